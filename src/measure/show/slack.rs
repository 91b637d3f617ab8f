//! Measures known give or take: `96 in ± 11/16 in`.

use crate::measure::dim::Dim;
use crate::measure::exact::Exact;
use crate::measure::number::Number;
use crate::measure::quantity::Quantity;
use crate::measure::reading::{Reading, push_units};
use crate::measure::ruler::Manner;
use crate::measure::unit::System;

use super::figures::{denominator_within, places, push_exact, push_places, ten};
use super::{kinds, length};

/// The largest denominator of a slack that is given as a fraction, and the most places of a decimal one.
const FINEST: i64 = 1000;
const PLACES: u32 = 4;

/// Appends a measure and how far off it may be, which is never given too small.
pub fn write_slack(middle: &Quantity, slack: &Exact, manner: &Manner, out: &mut String) {
    middle.write_as(manner, true, out);
    push_slack(middle, slack, manner, out);
    if manner.both && middle.dim.has_system() {
        out.push_str(" / ");
        let (other, manner) = middle.other_side(manner);
        other.write_as(&manner, false, out);
        push_slack(&other, slack, &manner, out);
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
    let percent = off.reading == Reading::Percent;
    if let Some(ruler) = length::ruler_of(off, manner) {
        let value = off.number.upper().checked_div(ruler.unit.factor()).unwrap_or(Exact::ZERO);
        push_up(&value, ruler.system(), out);
        out.push(' ');
        return ruler.unit.push_symbol(out);
    }
    let units = if percent { kinds::PERCENT } else { kinds::units_of(off, manner) };
    let bare = off.dim == Dim::NONE && !percent;
    let value = kinds::in_units(&off.number, &units).mid();
    push_up(&value, kinds::style(off, &units), out);
    if percent {
        return out.push('%');
    }
    if !bare {
        out.push(' ');
        push_units(units.parts(), out);
    }
}

/// A fraction or a decimal that ends, as it is; else decimals, rounded up.
fn push_up(value: &Exact, style: System, out: &mut String) {
    let as_it_is = match style {
        System::Inch => denominator_within(value, FINEST),
        System::Metric => places(value, PLACES + 2).is_some(),
    };
    if as_it_is {
        return push_exact(&Number::Exact(value.clone()), style, out);
    }
    let mut digits = PLACES;
    while digits < 40 && !value.is_zero() && value * ten(digits) < Exact::whole(100) && *value < Exact::ONE {
        digits += 1;
    }
    let up = (value * ten(digits)).ceil().checked_div(&ten(digits)).unwrap_or(Exact::ZERO);
    out.push_str("about ");
    push_places(&up, digits, out);
}
