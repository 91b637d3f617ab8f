//! Bounds around a number that cannot be exact. After every operation they are rounded outward
//! to 62 binary digits, so that long sums cost no more than short ones.
#![expect(
    clippy::arithmetic_side_effects,
    reason = "numbers have at most 2^14 bits, so that sums of their sizes fit"
)]

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::Signed;

use super::Exact;
use super::Trouble;
use crate::limits::BITS;

/// Two bounds; the number is between them, or on one.
#[derive(Clone, Debug)]
pub struct Enclosure {
    lo: Exact,
    hi: Exact,
}

impl Enclosure {
    /// The bounds rounded outward to 62 binary digits.
    pub(super) fn outward(lo: Exact, hi: Exact) -> Enclosure {
        Enclosure { lo: dyadic(&lo, false), hi: dyadic(&hi, true) }
    }

    /// The lower bound.
    pub fn lo(&self) -> &Exact {
        &self.lo
    }

    /// The upper bound.
    pub fn hi(&self) -> &Exact {
        &self.hi
    }

    pub(super) fn negated(&self) -> Enclosure {
        Enclosure { lo: -&self.hi, hi: -&self.lo }
    }

    pub(super) fn abs(&self) -> Enclosure {
        if !self.lo.is_negative() {
            return self.clone();
        }
        let turned = self.negated();
        if self.hi.signum() <= 0 {
            return turned;
        }
        let hi = turned.hi.max(self.hi.clone());
        Enclosure { lo: Exact::ZERO, hi }
    }
}

/// How many binary digits the whole part takes; below 1, minus the zeros after the point. At most
/// one off.
fn magnitude(n: &Exact) -> i64 {
    let bits = |n: u64| i64::try_from(n).unwrap_or(i64::MAX);
    match n.small() {
        Some((n, d)) => i64::from(d.leading_zeros()) - i64::from(n.unsigned_abs().leading_zeros()),
        None => bits(n.numer().bits()) - bits(n.denom().bits()),
    }
}

/// How far to shift so that about 62 digits stay. A middling small number keeps 62 digits after the
/// point, which is far below a thread, and stays in machine integers.
fn shift_for(n: &Exact) -> i64 {
    let size = magnitude(n);
    let shift = 61 - size;
    if (-16..=0).contains(&size) { shift.min(62) } else { shift }
}

/// `n` rounded to a multiple of a power of two.
fn dyadic(n: &Exact, up: bool) -> Exact {
    if n.is_zero() {
        return Exact::ZERO;
    }
    let shift = shift_for(n);
    if let (Some((numer, denom)), 0..=62) = (n.small(), shift)
        && let Some(made) = dyadic_small(numer, denom, shift, up)
    {
        return made;
    }
    let (numer, denom) = (n.numer(), n.denom());
    scaled(&numer, &denom, shift, up)
}

fn dyadic_small(numer: i64, denom: i64, shift: i64, up: bool) -> Option<Exact> {
    if denom.count_ones() == 1 && i64::from(denom.trailing_zeros()) <= shift {
        return Exact::ratio(numer, denom);
    }
    let wide = i128::from(numer) << shift;
    let mut whole = wide.div_euclid(denom.into());
    if up && wide.rem_euclid(denom.into()) != 0 {
        whole += 1;
    }
    Exact::ratio(i64::try_from(whole).ok()?, 1i64 << shift).map(|made| made.reduced())
}

fn power_of_two(shift: i64) -> BigInt {
    BigInt::from(1) << u64::try_from(shift).unwrap_or(0)
}

/// `numer/denom` rounded to a multiple of 2^-shift.
fn scaled(numer: &BigInt, denom: &BigInt, shift: i64, up: bool) -> Exact {
    let divide = |n: &BigInt, d: &BigInt| if up { n.div_ceil(d) } else { n.div_floor(d) };
    if shift >= 0 {
        let two = power_of_two(shift);
        return Exact::from_big(BigRational::new(divide(&(numer * &two), denom), two));
    }
    let two = power_of_two(-shift);
    Exact::from_big(BigRational::from_integer(divide(numer, &(denom * &two)) * two))
}

/// A small number whose denominator is a power of two: its numerator, and that power.
fn binary(n: &Exact) -> Option<(i128, i64)> {
    let (numer, denom) = n.small()?;
    (denom.count_ones() == 1).then(|| (numer.into(), denom.trailing_zeros().into()))
}

/// `n` over a power of two, rounded like [`dyadic`]; none where it does not fit machine integers.
fn dyadic_wide(n: i128, power: i64, up: bool) -> Option<Exact> {
    if n == 0 {
        return Some(Exact::ZERO);
    }
    let bits = i64::from(128 - n.unsigned_abs().leading_zeros());
    let size = bits - power;
    let shift = (61 - size).min(if (-16..=0).contains(&size) { 62 } else { i64::MAX });
    let drop = power - shift;
    let (mut n, power) = if drop <= 0 {
        (n, power)
    } else {
        let whole = n >> drop;
        (whole + i128::from(up && (whole << drop) != n), shift)
    };
    if power < 0 {
        return None;
    }
    let spare = i64::from(n.trailing_zeros()).min(power);
    n >>= spare;
    let power = power - spare;
    if power > 62 {
        return None;
    }
    Exact::ratio(i64::try_from(n).ok()?, 1i64 << power)
}

/// A bound as a power of two's multiple, rounded outward if it is none yet.
fn operand(n: &Exact, up: bool) -> Option<(i128, i64)> {
    binary(n).or_else(|| binary(&dyadic(n, up)))
}

/// The sum of two bounds, rounded outward.
pub(super) fn sum(a: &Exact, b: &Exact, up: bool) -> Exact {
    let fast = || {
        let ((n, power), (m, other)) = (operand(a, up)?, operand(b, up)?);
        let common = power.max(other);
        dyadic_wide((n << (common - power)) + (m << (common - other)), common, up)
    };
    fast().unwrap_or_else(|| dyadic(&(a + b), up))
}

/// The product of two bounds that are not below 0, rounded outward.
fn times(a: &Exact, b: &Exact, up: bool) -> Exact {
    let fast = || {
        let ((n, power), (m, other)) = (operand(a, up)?, operand(b, up)?);
        dyadic_wide(n * m, power + other, up)
    };
    fast().unwrap_or_else(|| dyadic(&(a * b), up))
}

/// The least and the greatest of the four products of bounds.
pub(super) fn product(a: (&Exact, &Exact), b: (&Exact, &Exact)) -> (Exact, Exact) {
    if !a.0.is_negative() && !b.0.is_negative() {
        return (times(a.0, b.0, false), times(a.1, b.1, true));
    }
    let all = [a.0 * b.0, a.0 * b.1, a.1 * b.0, a.1 * b.1];
    let [first, rest @ ..] = all;
    rest.into_iter().fold((first.clone(), first), |(lo, hi), next| {
        if next < lo {
            (next, hi)
        } else if next > hi {
            (lo, next)
        } else {
            (lo, hi)
        }
    })
}

/// Bounds of a power, each step rounded outward so that the cost stays flat.
pub(super) fn power(base: &Exact, exponent: u32) -> Result<(Exact, Exact), Trouble> {
    let negative = base.is_negative() && exponent % 2 == 1;
    let size = base.abs();
    let (mut made, mut square) = ((Exact::ONE, Exact::ONE), (size.clone(), size));
    let mut left = exponent;
    let multiplied = |a: &(Exact, Exact), b: &(Exact, Exact)| {
        let made = (times(&a.0, &b.0, false), times(&a.1, &b.1, true));
        if made.1.bits() > BITS || made.0.bits() > BITS { Err(Trouble::TooBig) } else { Ok(made) }
    };
    while left > 0 {
        if left & 1 == 1 {
            made = multiplied(&made, &square)?;
        }
        left >>= 1;
        if left > 0 {
            square = multiplied(&square, &square)?;
        }
    }
    Ok(if negative { (-made.1, -made.0) } else { made })
}

/// Bounds of a square root: of n·4^k the whole root is taken, and the true root is less than
/// one above it.
pub(super) fn root(n: &Exact) -> (Exact, Exact) {
    if n.is_zero() {
        return (Exact::ZERO, Exact::ZERO);
    }
    let shift = 61 - magnitude(n) / 2;
    if let Some(bounds) = root_small(n, shift) {
        return bounds;
    }
    let (mut numer, mut denom) = (n.numer(), n.denom());
    if shift >= 0 {
        numer *= power_of_two(2 * shift);
    } else {
        denom *= power_of_two(-2 * shift);
    }
    let low = numer.div_floor(&denom).abs().sqrt();
    let high = &low + 1;
    let unit = scaled_unit(shift);
    let back = |root: BigInt| Exact::from_big(BigRational::from_integer(root)) * &unit;
    (back(low), back(high))
}

/// The same in machine integers, where n·4^k fits them.
fn root_small(n: &Exact, shift: i64) -> Option<(Exact, Exact)> {
    let (numer, denom) = n.small()?;
    let (numer, denom) = (u128::try_from(numer).ok()?, u128::try_from(denom).ok()?);
    if !(0..=62).contains(&shift) || i64::from(numer.leading_zeros()) < 2 * shift + 1 {
        return None;
    }
    let low = i64::try_from(((numer << (2 * shift)) / denom).isqrt()).ok()?;
    let at = |n: i64| Exact::ratio(n, 1i64 << shift);
    Some((at(low)?, at(low.checked_add(1)?)?))
}

/// 2^-shift.
fn scaled_unit(shift: i64) -> Exact {
    let two = power_of_two(shift.abs());
    let one = BigInt::from(1);
    Exact::from_big(if shift >= 0 { BigRational::new(one, two) } else { BigRational::from_integer(two) })
}
