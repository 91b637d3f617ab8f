//! Figures as text: mixed numbers, decimals, and decimals that are nearly right.

use std::fmt::Write;

use num_integer::Integer;
use num_traits::{Signed, Zero};

use crate::measure::exact::Exact;
use crate::measure::number::Number;
use crate::measure::unit::System;

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

fn push_mixed_reduced(value: &Exact, out: &mut String) {
    let parts = value.small().filter(|(n, _)| *n != i64::MIN);
    let Some(((n, d), whole)) = parts.and_then(|(n, d)| Some(((n, d), n.checked_div(d)?))) else {
        return push_mixed_big(value, out);
    };
    let rest = n.checked_rem(d).unwrap_or(0).unsigned_abs();
    // Writing to a string cannot fail.
    let _ = match (whole, rest) {
        (whole, 0) => write!(out, "{whole}"),
        (0, rest) => write!(out, "{}{rest}/{d}", if n < 0 { "-" } else { "" }),
        (whole, rest) => write!(out, "{whole} {rest}/{d}"),
    };
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

fn places_reduced(value: &Exact, most: u32) -> Option<u32> {
    // A decimal of so many places has a denominator that divides ten to that power.
    let ends = |places: &u32| match (value.small(), 10i64.checked_pow(*places)) {
        (Some((_, d)), Some(ten)) => ten.checked_rem(d) == Some(0),
        _ => (value * ten(*places)).is_whole(),
    };
    (0..=most).find(ends)
}

/// Ten to a power.
pub(super) fn ten(places: u32) -> Exact {
    let small = 10i64.checked_pow(places).map(Exact::whole);
    small.or_else(|| Exact::whole(10).powi(i32::try_from(places).ok()?)).unwrap_or(Exact::ONE)
}

/// Appends a value, rounded to so many places after the point.
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
    let padded = format!("{digits:0>width$}", width = places.saturating_add(1));
    let whole = padded.len().saturating_sub(places);
    let (whole, behind) = padded.split_at_checked(whole).unwrap_or((&padded, ""));
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
