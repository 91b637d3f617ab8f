//! Measures known give or take: `96 in ± 11/16 in`.

use crate::measure::{Exact, Manner, Number, Quantity, System};

use super::figures::{denominator, places, places_for, push_exact, push_places, ten};
use super::kinds::{is_common, push_unit};
use super::units::units_of;

/// The largest denominator of an amount that is given as a fraction, and the places of a bare number, of a decimal
/// that is given as it is, and of one that is rounded up.
const FINEST: i64 = 1000;
const BARE: u32 = 4;
const PLACES: u32 = 3;
const ROUNDED: u32 = 2;

/// Appends a measure and how far off it may be, which is never given too small.
pub fn write_slack(middle: &Quantity, slack: &Exact, manner: &Manner, out: &mut String) {
    middle.write_as(manner, true, out);
    push_slack(middle, slack, manner, out);
    if manner.both && middle.dim.has_system() {
        out.push_str(" / ");
        write_slack_mark(&middle.other_side(manner), slack, &Manner::default(), out);
    }
}

/// Appends the same by the ruler's marks alone.
pub fn write_slack_mark(middle: &Quantity, slack: &Exact, manner: &Manner, out: &mut String) {
    middle.write_as(manner, false, out);
    push_slack(middle, slack, manner, out);
}

fn push_slack(middle: &Quantity, slack: &Exact, manner: &Manner, out: &mut String) {
    if slack.is_zero() {
        return;
    }
    out.push_str(" \u{B1} ");
    let off = Quantity { number: Number::Exact(slack.clone()), ..middle.clone() };
    write_amount(&off, manner, out);
}

/// Appends how far off something may be: as it is where that is short, else rounded up.
pub fn write_amount(off: &Quantity, manner: &Manner, out: &mut String) {
    let units = units_of(off, manner);
    let number = Number::Exact(units.count(&off.number).upper().clone());
    // A bare number is a common fraction or a decimal, like others.
    let bare = units.parts().next().is_none();
    let decimal = bare && !is_common(number.upper()) && places(number.upper(), BARE).is_some();
    push_up(&number, if decimal { System::Metric } else { units.style() }, out);
    push_unit(units, out);
}

/// A fraction or a decimal that ends, as it is; else decimals, rounded up.
fn push_up(number: &Number, style: System, out: &mut String) {
    let value = number.upper();
    let as_it_is = match style {
        System::Inch => denominator(value).is_some_and(|d| d <= FINEST) || value.is_whole(),
        System::Metric => places(value, PLACES).is_some(),
    };
    if as_it_is {
        return push_exact(number, style, out);
    }
    let digits = places_for(number, ROUNDED, 3);
    let up = (value * ten(digits)).ceil().checked_div(&ten(digits)).unwrap_or(Exact::ZERO);
    out.push_str("about ");
    push_places(&up, digits, out);
}
