//! Figures as text: mixed numbers, decimals, and decimals that are nearly right.

use num_integer::Integer;
use num_traits::{Signed, Zero};

use crate::measure::{Exact, Number, System};

/// A mixed number: `4 13/64`, `-1/2`, `7`.
pub fn mixed_text(value: &Exact) -> String {
    let mut out = String::new();
    push_mixed(value, &mut out);
    out
}

/// Appends a mixed number.
pub(super) fn push_mixed(value: &Exact, out: &mut String) {
    push_mixed_reduced(&value.reduced(), out);
}

/// The same of a value in lowest terms.
pub(super) fn push_mixed_reduced(value: &Exact, out: &mut String) {
    let parts = value.small().and_then(|(n, d)| Some((n, n.unsigned_abs(), u64::try_from(d).ok()?)));
    let Some((n, above, below)) = parts.filter(|(.., below)| *below > 0) else {
        return push_mixed_big(value, out);
    };
    let (whole, rest) = above.div_rem(&below);
    if n < 0 {
        out.push('-');
    }
    if whole > 0 || rest == 0 {
        push_whole(whole, 1, out);
    }
    if rest > 0 {
        out.push_str(if whole > 0 { " " } else { "" });
        push_whole(rest, 1, out);
        out.push('/');
        push_whole(below, 1, out);
    }
}

/// Appends a whole number, in at least so many digits.
fn push_whole(number: u64, least: usize, out: &mut String) {
    // One digit alone: it fits a byte.
    let digit = |number: u64| char::from(b'0'.saturating_add((number % 10) as u8));
    if number > 99 || least > 2 {
        push_whole(number / 10, least.saturating_sub(1), out);
    } else if number > 9 || least > 1 {
        out.push(digit(number / 10));
    }
    out.push(digit(number));
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

/// How many places after the point it takes exactly; none where it never ends, or past `most`.
pub fn places(value: &Exact, most: u32) -> Option<u32> {
    places_reduced(&value.reduced(), most)
}

/// The same of a value in lowest terms.
pub(super) fn places_reduced(value: &Exact, most: u32) -> Option<u32> {
    // A decimal ends where the denominator has no other factors than those of ten.
    let Some((_, below)) = value.small() else {
        return (0..=most).find(|places| (value * ten(*places)).is_whole());
    };
    let twos = below.trailing_zeros();
    let (mut left, mut fives) = (below.checked_shr(twos)?, 0u32);
    while left % 5 == 0 && left > 0 {
        (left, fives) = (left / 5, fives.saturating_add(1));
    }
    (left == 1).then_some(twos.max(fives)).filter(|places| *places <= most)
}

/// Ten to a power.
pub(super) fn ten(places: u32) -> Exact {
    let small = 10i64.checked_pow(places).map(Exact::whole);
    small.or_else(|| Exact::whole(10).powi(i32::try_from(places).ok()?)).unwrap_or(Exact::ONE)
}

/// Appends a value, rounded to so many places after the point.
pub fn push_places(value: &Exact, places: u32, out: &mut String) {
    let scaled = (value * ten(places)).round();
    if scaled.is_negative() {
        out.push('-');
    }
    let width = usize::try_from(places).unwrap_or(0);
    if let (Some(n), Some(ten)) = (scaled.to_i64(), 10u64.checked_pow(places)) {
        let (whole, behind) = n.unsigned_abs().div_rem(&ten);
        push_whole(whole, 1, out);
        if width > 0 {
            out.push('.');
            push_whole(behind, width, out);
        }
        return;
    }
    let digits = format!("{:0>width$}", scaled.numer().abs().to_string(), width = width.saturating_add(1));
    let (whole, behind) =
        digits.split_at_checked(digits.len().saturating_sub(width)).unwrap_or((&digits, ""));
    out.push_str(whole);
    if !behind.is_empty() {
        out.push('.');
        out.push_str(behind);
    }
}

/// The most places after the point that are printed exactly.
const MOST_PLACES: u32 = 18;

/// The denominator in lowest terms; none where it takes more than 64 bits, or the whole does.
pub(super) fn denominator(value: &Exact) -> Option<i64> {
    value.reduced().small().map(|(_, d)| d)
}

/// Appends the value exactly: a fraction in the inch family, decimals in the metric one as far as
/// they end.
pub(super) fn push_exact(number: &Number, style: System, out: &mut String) {
    let Some(value) = number.exact().map(Exact::reduced) else {
        return push_about(number, 4, 4, out);
    };
    match places_reduced(&value, MOST_PLACES).filter(|_| style == System::Metric) {
        Some(places) => push_places(&value, places, out),
        None => push_mixed_reduced(&value, out),
    }
}

/// So many places after the point, or as many as a value below 1 takes to show so many digits that count.
pub(super) fn places_for(number: &Number, most: u32, digits: u32) -> u32 {
    let size = number.mid().abs();
    let least = ten(digits.saturating_sub(1));
    let shows = |places: &u32| size >= Exact::ONE || size.is_zero() || &size * ten(*places) >= least;
    (most..40).find(shows).unwrap_or(40)
}

/// Appends `about` and decimals: so many places, more where a value below 1 needs them to show so many
/// digits that count, and only digits that the bounds prove.
pub(super) fn push_about(number: &Number, most: u32, digits: u32, out: &mut String) {
    out.push_str("about ");
    let proved = |places: &u32| {
        let at = |bound: &Exact| (bound * ten(*places)).round();
        number.is_exact() || at(number.lower()) == at(number.upper())
    };
    let places = (1..=places_for(number, most, digits)).rev().find(proved).unwrap_or(0);
    push_places(&number.mid(), places, out);
}
