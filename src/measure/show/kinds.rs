//! Everything that no ruler reads: areas, weights, prices, angles, bare numbers.

use crate::measure::reading::push_units;
use crate::measure::{Currency, Dim, Exact, Number, Quantity};

use super::figures::{denominator, places, places_for, push_about, push_mixed, push_places, ten};
use super::units::ToldIn;

/// Appends a measure that no ruler reads; money also with its exact value in brackets.
pub(super) fn write(quantity: &Quantity, units: ToldIn, brackets: bool, out: &mut String) {
    let number = units.count(&quantity.number);
    let places = if units.is_rate() { 4 } else { 2 };
    match quantity.dim.currency() {
        Some(currency) if quantity.dim == Dim::money(currency) => {
            return push_money(&number, currency, units, brackets, out);
        }
        Some(currency) => push_decimal(&number, (places, 1), currency.digits(), out),
        None if units.parts().next().is_none() => return push_plain(&number, out),
        None => push_decimal(&number, (places, 1), 0, out),
    }
    push_unit(units, out);
}

/// Appends the units, after a space but for `%`.
pub(super) fn push_unit(units: ToldIn, out: &mut String) {
    let from = out.len();
    push_units(units.parts(), out);
    if out.get(from..).is_some_and(|unit| !unit.is_empty() && unit != "%") {
        out.insert(from, ' ');
    }
}

/// A decimal of at most so many places, more where a value below 1 needs them to show so many digits, and at least so
/// many.
fn push_decimal(number: &Number, (most, digits): (u32, u32), least: u32, out: &mut String) {
    let most = places_for(number, most, digits);
    match number.exact().and_then(|exact| Some((exact, places(exact, most)?))) {
        Some((exact, places)) => push_places(exact, places.max(least), out),
        None => push_about(number, most, digits, out),
    }
}

/// A sum of money in its minor unit, and after it the exact value where that is another.
fn push_money(number: &Number, currency: Currency, units: ToldIn, brackets: bool, out: &mut String) {
    let digits = currency.digits();
    let as_it_is = number.exact().is_some_and(|exact| places(exact, digits).is_some());
    let brackets = brackets && !as_it_is && number.is_exact();
    if !as_it_is && (number.mid() * ten(digits)).round().is_zero() {
        out.push_str("under ");
        push_places(&Exact::ONE.checked_div(&ten(digits)).unwrap_or(Exact::ONE), digits, out);
    } else if as_it_is || brackets {
        push_places(&number.mid(), digits, out);
    } else {
        push_about(number, digits, 1, out);
    }
    push_unit(units, out);
    if brackets {
        out.push_str(" (");
        push_decimal(number, (digits.saturating_add(2), 1), 0, out);
        push_unit(units, out);
        out.push(')');
    }
}

/// A bare number: whole, a common fraction, or decimals.
fn push_plain(number: &Number, out: &mut String) {
    match number.exact().filter(|exact| is_common(exact)) {
        Some(exact) => push_mixed(exact, out),
        None => push_decimal(number, (4, 4), 0, out),
    }
}

/// Whether a bare number reads as it is: whole, or halves to sixteenths, thirds, sixths.
pub(super) fn is_common(exact: &Exact) -> bool {
    exact.is_whole() || matches!(denominator(exact), Some(2 | 3 | 4 | 6 | 8 | 16))
}
