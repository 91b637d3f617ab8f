//! Figures as text: mixed numbers, decimals, and decimals that are nearly right.

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{One, Signed, Zero};

use crate::measure::exact::Exact;
use crate::measure::number::Number;
use crate::measure::unit::System;

/// A mixed number: `4 13/64`, `-1/2`, `7`.
pub fn mixed_text(value: &Exact) -> String {
    let mut out = String::new();
    push_mixed(value, &mut out);
    out
}

/// Appends a whole number.
pub(super) fn push_int(n: i64, out: &mut String) {
    if n < 0 {
        out.push('-');
    }
    let mut digits = [0u8; 20];
    let (mut left, mut count) = (n.unsigned_abs(), 0);
    for place in digits.iter_mut().rev() {
        *place = b'0' + (left % 10) as u8;
        left /= 10;
        count += 1;
        if left == 0 {
            break;
        }
    }
    let digits = digits.get(20 - count..).unwrap_or_default();
    out.push_str(str::from_utf8(digits).unwrap_or_default());
}

/// Appends a mixed number.
pub(super) fn push_mixed(value: &Exact, out: &mut String) {
    push_mixed_reduced(&value.reduced(), out);
}

fn push_mixed_reduced(value: &Exact, out: &mut String) {
    let Some((n, d)) = value.small().filter(|(n, _)| *n != i64::MIN) else {
        return push_mixed_big(value, out);
    };
    let (whole, rest) = (n / d, (n % d).abs());
    if rest == 0 {
        return push_int(whole, out);
    }
    if whole != 0 {
        push_int(whole, out);
        out.push(' ');
    } else if n < 0 {
        out.push('-');
    }
    push_int(rest, out);
    out.push('/');
    push_int(d, out);
}

fn push_mixed_big(value: &Exact, out: &mut String) {
    let (n, d) = (value.numer(), value.denom());
    let (whole, rest) = n.div_rem(&d);
    if n.is_negative() {
        out.push('-');
    }
    let fraction = format!("{}/{d}", rest.abs());
    match (whole.is_zero(), rest.is_zero()) {
        (_, true) => out.push_str(&whole.abs().to_string()),
        (true, _) => out.push_str(&fraction),
        _ => out.push_str(&format!("{} {fraction}", whole.abs())),
    }
}

/// How many places behind the point it takes exactly; none where it never ends, or past `most`.
pub fn places(value: &Exact, most: u32) -> Option<u32> {
    places_reduced(&value.reduced(), most)
}

fn places_reduced(value: &Exact, most: u32) -> Option<u32> {
    let (mut twos, mut fives) = (0, 0);
    match value.small() {
        Some((_, mut d)) => {
            while d % 2 == 0 {
                d /= 2;
                twos += 1;
            }
            while d % 5 == 0 {
                d /= 5;
                fives += 1;
            }
            (d == 1 && twos.max(fives) <= most).then_some(twos.max(fives))
        }
        None => {
            let mut d = value.denom();
            let five = BigInt::from(5);
            twos = d.trailing_zeros().and_then(|n| u32::try_from(n).ok())?;
            d >>= twos;
            while fives <= most && (&d % &five).is_zero() {
                d /= &five;
                fives += 1;
            }
            (d.is_one() && twos.max(fives) <= most).then_some(twos.max(fives))
        }
    }
}

/// Ten to a power.
pub(super) fn ten(places: u32) -> Exact {
    let small = 10i64.checked_pow(places).map(Exact::whole);
    small.or_else(|| Exact::whole(10).powi(i32::try_from(places).ok()?)).unwrap_or(Exact::ONE)
}

/// Appends a value, rounded to so many places behind the point.
pub fn push_places(value: &Exact, places: u32, out: &mut String) {
    let scaled = (value * ten(places)).round();
    let digits = match scaled.to_i64() {
        Some(n) => n.unsigned_abs().to_string(),
        None => scaled.numer().abs().to_string(),
    };
    if scaled.is_negative() {
        out.push('-');
    }
    let places = usize::try_from(places).unwrap_or(0);
    let padded = format!("{digits:0>width$}", width = places + 1);
    let (whole, behind) = padded.split_at_checked(padded.len() - places).unwrap_or((&padded, ""));
    out.push_str(whole);
    if !behind.is_empty() {
        out.push('.');
        out.push_str(behind);
    }
}

/// The largest denominator that is printed as a fraction to be read back.
const FINEST: i64 = 1_000_000;
/// The most places behind the point that are printed exactly.
const MOST_PLACES: u32 = 18;

fn denominator(value: &Exact) -> Option<i64> {
    value.reduced().small().map(|(_, d)| d)
}

/// Whether the reduced denominator is at most that.
pub(super) fn denominator_within(value: &Exact, most: i64) -> bool {
    denominator(value).is_some_and(|d| d <= most) || value.is_whole()
}

/// Appends the value exactly: a fraction in the inch family, decimals in the metric one as far as
/// they end.
pub(super) fn push_exact(number: &Number, style: System, out: &mut String) {
    match number.exact() {
        Some(value) => push_reduced(&value.reduced(), style, out),
        None => push_about(number, 4, out),
    }
}

fn push_reduced(value: &Exact, style: System, out: &mut String) {
    let places = if style == System::Metric { places_reduced(value, MOST_PLACES) } else { None };
    match places {
        Some(places) => push_places(value, places, out),
        None => push_mixed_reduced(value, out),
    }
}

/// The same, but a fraction finer than a millionth is given in decimals with `about`.
pub(super) fn push_true(number: &Number, style: System, out: &mut String) {
    // Brought to lowest terms once, which takes longer than all the rest.
    let value = number.exact().map(Exact::reduced);
    let fine = |value: &Exact| {
        let small = value.small().is_some_and(|(_, d)| d <= FINEST) || value.is_whole();
        !(small || style == System::Metric && places_reduced(value, MOST_PLACES).is_some())
    };
    match value {
        Some(value) if !fine(&value) => push_reduced(&value, style, out),
        _ => push_about(number, 4, out),
    }
}

/// Appends `about` and decimals: at most so many places, more below a tenth of that, and only
/// digits that the bounds prove.
pub(super) fn push_about(number: &Number, most: u32, out: &mut String) {
    out.push_str("about ");
    let size = number.mid().abs();
    let mut places = most;
    // Four digits that count, however small the value.
    while places < 40 && !size.is_zero() && &size * ten(places) < Exact::whole(1000) && size < Exact::ONE {
        places += 1;
    }
    while places > 0 {
        let scale = ten(places);
        let at = |bound: &Exact| (bound * &scale).round();
        if number.is_exact() || at(number.lower()) == at(number.upper()) {
            break;
        }
        places -= 1;
    }
    push_places(&number.mid(), places, out);
}
