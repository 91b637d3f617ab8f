//! Lengths on a ruler: at the nearest mark, and what is said when the true value lies off it.

use crate::measure::dim::Dim;
use crate::measure::exact::Exact;
use crate::measure::number::Number;
use crate::measure::quantity::Quantity;
use crate::measure::reading::Reading;
use crate::measure::ruler::{Manner, Ruler};
use crate::measure::unit::{System, UnitId};

use super::figures::{denominator_within, places, push_about, push_mixed, push_places, push_true};

/// The ruler on which a length is read; none for other measures, and for lengths asked for in
/// yards, feet or metres, which no ruler shows.
pub(super) fn ruler_of(quantity: &Quantity, manner: &Manner) -> Option<Ruler> {
    if quantity.dim != Dim::LENGTH {
        return None;
    }
    match quantity.reading {
        Reading::Step(ruler) => Some(ruler),
        Reading::Rounded(step) => {
            let by_rule = matches!(step.unit, UnitId::IN | UnitId::CM | UnitId::MM);
            Some(manner.ruler.filter(|_| by_rule).unwrap_or(step))
        }
        Reading::Shown(units) => in_unit(units.single()?, manner),
        reading => {
            Some(manner.ruler.unwrap_or_else(|| Ruler::usual(reading.system().unwrap_or(System::Inch))))
        }
    }
}

/// The ruler in force read in that unit, if it belongs to its family, else the unit's usual one.
fn in_unit(unit: UnitId, manner: &Manner) -> Option<Ruler> {
    let usual = match unit {
        UnitId::IN => Ruler::INCH,
        UnitId::CM => Ruler::METRIC,
        UnitId::MM => Ruler { unit, num: 1, den: 1 },
        _ => return None,
    };
    let forced = manner.ruler.filter(|ruler| ruler.system() == usual.system());
    Some(forced.and_then(|ruler| Ruler::with(unit, &ruler.step())).unwrap_or(usual))
}

/// Where a value lies beside its nearest mark.
enum Beside {
    /// On it.
    On,
    /// Half a step below it: the mark away from 0 is given.
    Halfway,
    /// A little nearer to 0 than it.
    Scant,
    /// A little further from 0.
    Generous,
    /// Off by more than a hair.
    Off(Exact),
    /// Approximate, and its bounds reach over the mark.
    Astride,
}

/// Appends a length as that ruler reads it.
pub(super) fn write(quantity: &Quantity, ruler: Ruler, brackets: bool, out: &mut String) {
    let number = &quantity.number;
    let step = ruler.step();
    let mid = number.mid();
    let marks = mid.checked_div(&step).unwrap_or_default().round();
    if marks.is_zero() && !mid.is_zero() {
        // Below half of the first mark it would read as nothing.
        return write_true(number, ruler, out);
    }
    let at = &marks * &step;
    let beside = beside(number, &mid, &at, &step, ruler);
    match beside {
        Beside::Scant => out.push_str("scant "),
        Beside::Generous => out.push_str("generous "),
        _ => {}
    }
    push_mark(&(marks * ruler.fraction()), ruler, out);
    out.push(' ');
    ruler.unit.push_symbol(out);
    match &beside {
        Beside::On => return,
        Beside::Off(by) => push_offset(by, ruler, out),
        Beside::Halfway if brackets => out.push_str(", halfway"),
        _ => {}
    }
    if brackets {
        out.push_str(" (");
        write_true(number, ruler, out);
        out.push(')');
    }
}

/// Within what distance a length is scant or generous, in base units: 1/32 in, or 1/2 mm.
fn hair(ruler: Ruler) -> Exact {
    let hair = match ruler.system() {
        System::Inch => Exact::ratio(127, 32),
        System::Metric => Exact::ratio(5, 2),
    };
    hair.unwrap_or(Exact::ZERO)
}

fn beside(number: &Number, mid: &Exact, at: &Exact, step: &Exact, ruler: Ruler) -> Beside {
    let by = mid - at;
    if number.is_exact() {
        if by.is_zero() {
            return Beside::On;
        }
        if (&by + &by).abs() == *step {
            return Beside::Halfway;
        }
    } else if number.lower() <= at && at <= number.upper() {
        return Beside::Astride;
    }
    match (by.abs() <= hair(ruler), by.is_negative() == mid.is_negative()) {
        (false, _) => Beside::Off(by),
        (true, true) => Beside::Generous,
        (true, false) => Beside::Scant,
    }
}

/// Appends the figure at a mark.
fn push_mark(value: &Exact, ruler: Ruler, out: &mut String) {
    match ruler.system() {
        System::Inch => push_mixed(value, out),
        System::Metric => match places(value, 6) {
            Some(places) => push_places(value, places, out),
            None => push_mixed(value, out),
        },
    }
}

/// ` + 3/64 in`: how far off the mark; in inches where the ruler has yards or feet.
fn push_offset(by: &Exact, ruler: Ruler, out: &mut String) {
    out.push_str(if by.is_negative() { " - " } else { " + " });
    let unit = match ruler.unit {
        UnitId::YD | UnitId::FT => UnitId::IN,
        UnitId::M => UnitId::CM,
        unit => unit,
    };
    let value = by.abs().checked_div(unit.factor()).unwrap_or_default();
    let number = Number::Exact(value);
    match number.exact() {
        Some(value) if denominator_within(value, 1000) => push_true(&number, ruler.system(), out),
        _ => push_about(&number, 3, out),
    }
    out.push(' ');
    unit.push_symbol(out);
}

/// Appends the true value in the ruler's unit.
fn write_true(number: &Number, ruler: Ruler, out: &mut String) {
    let scale = Exact::ONE.checked_div(ruler.unit.factor()).unwrap_or(Exact::ONE);
    push_true(&number.scaled(&scale), ruler.system(), out);
    out.push(' ');
    ruler.unit.push_symbol(out);
}
