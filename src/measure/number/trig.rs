//! Sine, cosine and tangent of degrees: exact where they come out, else enclosed.
//!
//! The series are evaluated in whole multiples of 2^-63. For an angle of at most 45 degrees the terms
//! of sine and cosine alternate and shrink, so what is left out is less than the last term taken,
//! and each of the at most 24 terms is off by less than 4 units from its own roundings.
#![expect(
    clippy::arithmetic_side_effects,
    reason = "an angle of at most 45 degrees in multiples of 2^-63 leaves room in 128 bits"
)]

use super::enclosure::Enclosure;
use super::{Exact, Number, Trouble};

/// Binary digits after the point.
const POINT: u32 = 63;
/// pi/180 in multiples of 2^-68, rounded down (digits of pi: OEIS A000796).
const RADIANS: i128 = 5_151_302_725_743_731_799;
/// pi in multiples of 2^-60, rounded down.
const PI: i64 = 3_622_009_729_038_561_421;
/// All the roundings of a series together, in multiples of 2^-63.
const SLACK: i128 = 128;

/// pi between two neighbours 2^-60 apart.
pub(super) fn pi() -> Enclosure {
    let at = |n: i64| Exact::ratio(n, 1 << 60).unwrap_or(Exact::ZERO);
    Enclosure::outward(at(PI), at(PI + 1))
}

/// A sine: a fraction at whole multiples of 30 degrees (by Niven's theorem nowhere else), or two bounds.
enum Known {
    Exactly(Exact),
    Between(Exact, Exact),
}

impl Number {
    /// The sine of so many degrees.
    pub fn sin_deg(&self) -> Result<Number, Trouble> {
        match self {
            Number::Exact(exact) => match sine(exact) {
                Known::Exactly(made) => Ok(Number::Exact(made)),
                Known::Between(lo, hi) => Number::between(lo, hi),
            },
            Number::About(bounds) => sine_between(bounds.lo(), bounds.hi()),
        }
    }

    /// The cosine of so many degrees.
    pub fn cos_deg(&self) -> Result<Number, Trouble> {
        Number::whole(90).sub(self)?.sin_deg()
    }

    /// The tangent of so many degrees; there is none at 90.
    pub fn tan_deg(&self) -> Result<Number, Trouble> {
        if let Some(exact) = self.exact() {
            let turn = fold(exact, 180);
            let eighth = |n: i64| turn == Exact::whole(n);
            if eighth(45) || eighth(135) {
                return Ok(Number::whole(if eighth(45) { 1 } else { -1 }));
            }
            if eighth(90) {
                return Err(Trouble::NoSuchNumber);
            }
        }
        self.sin_deg()?.div(&self.cos_deg()?)
    }
}

/// `angle` less its whole multiples of `turn`.
fn fold(angle: &Exact, turn: i64) -> Exact {
    let turn = Exact::whole(turn);
    match angle.checked_div(&turn) {
        Some(turns) => angle - turns.floor() * turn,
        None => angle.clone(),
    }
}

/// The sine of an exact angle.
fn sine(angle: &Exact) -> Known {
    let angle = fold(angle, 360);
    let (half, quarter) = (Exact::whole(180), Exact::whole(90));
    if angle > half {
        return match sine_upright(&(angle - half)) {
            Known::Exactly(made) => Known::Exactly(-made),
            Known::Between(lo, hi) => Known::Between(-hi, -lo),
        };
    }
    if angle > quarter { sine_upright(&(half - angle)) } else { sine_upright(&angle) }
}

/// The sine of 0 to 180 degrees.
fn sine_upright(angle: &Exact) -> Known {
    let quarter = Exact::whole(90);
    let angle = if *angle > quarter { Exact::whole(180) - angle } else { angle.clone() };
    match angle.to_i64() {
        Some(0) => return Known::Exactly(Exact::ZERO),
        Some(30) => return Known::Exactly(Exact::ratio(1, 2).unwrap_or(Exact::ZERO)),
        Some(90) => return Known::Exactly(Exact::ONE),
        _ => {}
    }
    let cosine = angle > Exact::whole(45);
    let turn = if cosine { quarter - angle } else { angle };
    let middle = series(radians(&turn), cosine);
    let at = |n: i128| {
        let n = i64::try_from(n.clamp(0, 1 << (POINT - 1))).unwrap_or(0);
        Exact::ratio(n, 1 << (POINT - 1)).unwrap_or(Exact::ZERO)
    };
    Known::Between(at((middle - SLACK) >> 1), at(((middle + SLACK) >> 1) + 1))
}

/// At most 45 degrees as radians, in multiples of 2^-63, at most 3 too low.
fn radians(turn: &Exact) -> i128 {
    if let Some((n, d)) = turn.small() {
        return i128::from(n) * RADIANS / (i128::from(d) * 32);
    }
    let scale = Exact::from_big(num_rational::BigRational::new(RADIANS.into(), 32.into()));
    let whole = (turn * scale).floor();
    whole.to_i64().map_or(0, i128::from)
}

/// x - x³/3! + x⁵/5! … or 1 - x²/2! + x⁴/4! …, until a term vanishes.
fn series(x: i128, cosine: bool) -> i128 {
    let square = (x * x) >> POINT;
    let (mut term, mut n) = if cosine { (1i128 << POINT, 0) } else { (x, 1) };
    let (mut sum, mut sign) = (0i128, 1);
    while term > 0 {
        sum += sign * term;
        sign = -sign;
        term = ((term * square) >> POINT) / ((n + 1) * (n + 2));
        n += 2;
    }
    sum
}

/// The sine of an angle between two bounds: that of both ends, and the crest or the trough where
/// one is between them.
fn sine_between(lo: &Exact, hi: &Exact) -> Result<Number, Trouble> {
    let halves = |n: &Exact| (n - Exact::whole(90)).checked_div(&Exact::whole(180)).map(|n| n.floor());
    let ends = [sine(lo), sine(hi)].map(|known| match known {
        Known::Exactly(made) => (made.clone(), made),
        Known::Between(lo, hi) => (lo, hi),
    });
    let [(a, b), (c, d)] = ends;
    let (mut low, mut high) = (a.min(c), b.max(d));
    let (before, behind) = (halves(lo).unwrap_or_default(), halves(hi).unwrap_or_default());
    let passed = behind.clone() - &before;
    if passed > Exact::ONE {
        (low, high) = (Exact::whole(-1), Exact::ONE);
    } else if passed == Exact::ONE {
        // The turning point number k is a crest where k is even.
        let even = fold(&behind, 2).is_zero();
        if even { high = Exact::ONE } else { low = Exact::whole(-1) }
    }
    Number::between(low, high)
}
