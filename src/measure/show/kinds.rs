//! Everything that no ruler reads: areas, weights, prices, angles, bare numbers.

use crate::measure::currency::Currency;
use crate::measure::dim::Dim;
use crate::measure::exact::Exact;
use crate::measure::number::Number;
use crate::measure::quantity::Quantity;
use crate::measure::reading::{Reading, power_of, push_units};
use crate::measure::ruler::Manner;
use crate::measure::unit::{System, UnitId};

use super::figures::{denominator_within, places, push_about, push_exact, push_mixed, push_places, ten};

/// The units in which a measure is printed: at most one of each kind.
#[derive(Clone, Copy, Debug)]
pub(super) struct UnitList {
    parts: [(UnitId, i8); 5],
}

/// Percent, which has no dimension.
pub(super) const PERCENT: UnitList = UnitList { parts: [(UnitId::PERCENT, 1), NO, NO, NO, NO] };
const NO: (UnitId, i8) = (UnitId::IN, 0);

impl UnitList {
    /// The units with their powers, those above the line first.
    pub(super) fn parts(&self) -> impl Iterator<Item = (UnitId, i8)> {
        let above = self.parts.into_iter().filter(|(_, power)| *power > 0);
        above.chain(self.parts.into_iter().filter(|(_, power)| *power < 0))
    }

    fn factor(&self) -> Exact {
        self.parts().fold(Exact::ONE, |made, (unit, power)| made * power_of(unit, power))
    }
}

/// The number of units.
pub(super) fn in_units(number: &Number, units: &UnitList) -> Number {
    let scale = Exact::ONE.checked_div(&units.factor()).unwrap_or(Exact::ONE);
    number.scaled(&scale)
}

/// The family in which it is read.
pub(super) fn family(quantity: &Quantity, manner: &Manner) -> Option<System> {
    let forced = manner.ruler.filter(|_| quantity.dim.length() != 0).map(|ruler| ruler.system());
    match quantity.reading {
        Reading::Typed(_) | Reading::Shown(_) | Reading::Step(_) | Reading::Rounded(_) => {
            quantity.reading.system().or(forced)
        }
        _ if is_pure_length(quantity.dim) => forced.or_else(|| quantity.reading.system()),
        _ => quantity.reading.system().or(forced),
    }
}

/// A power of length alone.
fn is_pure_length(dim: Dim) -> bool {
    dim.mass() == 0 && dim.time() == 0 && dim.angle() == 0 && dim.money_power() == 0 && dim.length() != 0
}

/// The units a measure is printed in: those asked for or typed, else its family's.
pub(super) fn units_of(quantity: &Quantity, manner: &Manner) -> UnitList {
    let dim = quantity.dim;
    let plain_length = dim == Dim::LENGTH && matches!(quantity.reading, Reading::Typed(_));
    if let Some(units) = quantity.wanted_units().filter(|_| !plain_length) {
        let mut parts = [NO; 5];
        for (place, part) in parts.iter_mut().zip(units.parts()) {
            *place = part;
        }
        return UnitList { parts };
    }
    let system = family(quantity, manner).unwrap_or(System::Inch);
    let money = dim.currency().map_or(NO, |currency| (UnitId::of(currency), dim.money_power()));
    UnitList {
        parts: [
            money,
            (weight_unit(quantity, system), dim.mass()),
            (length_unit(quantity, manner, system), dim.length()),
            (time_unit(quantity), dim.time()),
            (UnitId::DEG, dim.angle()),
        ],
    }
}

fn length_unit(quantity: &Quantity, manner: &Manner, system: System) -> UnitId {
    if let Reading::Step(ruler) | Reading::Rounded(ruler) = quantity.reading {
        return ruler.unit;
    }
    if is_pure_length(quantity.dim) {
        let ruler = manner.ruler.map(|ruler| ruler.unit);
        return ruler.unwrap_or(if system == System::Inch { UnitId::IN } else { UnitId::CM });
    }
    if system == System::Inch { UnitId::YD } else { UnitId::M }
}

/// Ounces or grams for cloth and small weights, pounds or kilograms where they come out.
fn weight_unit(quantity: &Quantity, system: System) -> UnitId {
    let (small, large) = match system {
        System::Inch => (UnitId::OZ, UnitId::LB),
        System::Metric => (UnitId::G, UnitId::KG),
    };
    let price = quantity.dim.money_power() != 0;
    let plain = quantity.dim == Dim::MASS;
    let many = quantity.number.mid().abs().checked_div(large.factor()).unwrap_or_default();
    let comes_out = system == System::Metric || denominator_within(&many, 4);
    if price || (plain && many >= Exact::ONE && comes_out) { large } else { small }
}

/// Minutes, or hours where they come out in quarters.
fn time_unit(quantity: &Quantity) -> UnitId {
    let hours = quantity.number.mid().abs().checked_div(UnitId::H.factor()).unwrap_or_default();
    let come_out = quantity.dim == Dim::TIME && hours >= Exact::ONE && denominator_within(&hours, 4);
    if come_out { UnitId::H } else { UnitId::MIN }
}

/// Fractions or decimals.
pub(super) fn style(quantity: &Quantity, units: &UnitList) -> System {
    let family = units.parts().find_map(|(unit, _)| unit.system());
    let money = quantity.dim.money_power() != 0;
    let decimal = money || quantity.dim == Dim::ANGLE || family == Some(System::Metric);
    if decimal { System::Metric } else { System::Inch }
}

/// Appends a measure that no ruler reads.
pub(super) fn write(quantity: &Quantity, manner: &Manner, out: &mut String) {
    if quantity.dim == Dim::NONE {
        return write_bare(quantity, out);
    }
    let units = units_of(quantity, manner);
    let number = in_units(&quantity.number, &units);
    match quantity.dim.currency() {
        Some(currency) if quantity.dim.is_money() => push_money(&number, currency, out),
        _ => push_measure(&number, quantity, &units, out),
    }
    out.push(' ');
    push_units(units.parts(), out);
}

fn push_measure(number: &Number, quantity: &Quantity, units: &UnitList, out: &mut String) {
    let Some(value) = number.exact() else {
        return push_about(number, about_places(quantity.dim), out);
    };
    let style = style(quantity, units);
    match places(value, 4) {
        Some(places) if style == System::Metric => push_places(value, places, out),
        _ if denominator_within(value, 64) => push_mixed(value, out),
        _ => push_about(number, about_places(quantity.dim), out),
    }
}

/// Areas and other odd measures are given to the hundredth, lengths and angles finer.
fn about_places(dim: Dim) -> u32 {
    if dim == Dim::LENGTH || dim == Dim::ANGLE { 4 } else { 2 }
}

/// Money with the digits of its minor unit, or more where it is exact with more.
fn push_money(number: &Number, currency: Currency, out: &mut String) {
    let digits = currency.digits();
    match number.exact().map(|value| (value, places(value, 6))) {
        Some((value, Some(places))) => push_places(value, places.max(digits), out),
        _ => push_about(number, digits, out),
    }
}

fn write_bare(quantity: &Quantity, out: &mut String) {
    if quantity.reading == Reading::Percent {
        let percent = quantity.number.scaled(&ten(2));
        push_bare(&percent, System::Metric, out);
        return out.push('%');
    }
    push_bare(&quantity.number, System::Inch, out);
}

/// A bare number: a fraction while its denominator is small, else decimals that end, else `about`.
fn push_bare(number: &Number, style: System, out: &mut String) {
    let Some(value) = number.exact() else {
        return push_about(number, 4, out);
    };
    let ends = places(value, 6).is_some();
    let decimal = ends && (style == System::Metric || !denominator_within(value, 64));
    if decimal {
        push_exact(number, System::Metric, out);
    } else if denominator_within(value, 1000) {
        push_mixed(value, out);
    } else {
        push_about(number, 4, out);
    }
}
