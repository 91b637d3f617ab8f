//! The units that a measure is read in.

use std::cmp::Reverse;

use crate::measure::reading::{Reading, Units, power_of, push_units};
use crate::measure::{Dim, Exact, Manner, Number, Quantity, Ruler, System, UnitId};

/// The units in which a measure is reported: at most one of each kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ToldIn([(UnitId, i8); 5]);

const NO: (UnitId, i8) = (UnitId::IN, 0);

/// The steps of the metric system, the smallest first.
const METRIC_LENGTHS: [UnitId; 3] = [UnitId::MM, UnitId::CM, UnitId::M];

impl ToldIn {
    fn of(units: impl IntoIterator<Item = (UnitId, i8)>) -> ToldIn {
        let mut parts = [NO; 5];
        for (place, part) in parts.iter_mut().zip(units) {
            *place = part;
        }
        ToldIn(parts)
    }

    /// The units with their powers, those above the line first.
    pub(super) fn parts(self) -> impl Iterator<Item = (UnitId, i8)> {
        let above = self.0.into_iter().filter(|(_, power)| *power > 0);
        above.chain(self.0.into_iter().filter(|(_, power)| *power < 0))
    }

    /// The unit of a length.
    pub(super) fn first(self) -> UnitId {
        self.0[0].0
    }

    fn factor(self) -> Exact {
        self.parts().fold(Exact::ONE, |made, (unit, power)| made * power_of(unit, power))
    }

    /// How they are written: `EUR/m`; nothing for a bare number.
    pub fn symbol(self) -> String {
        let mut symbol = String::new();
        push_units(self.parts(), &mut symbol);
        symbol
    }

    /// A number of base units as a number of these.
    pub fn count(self, number: &Number) -> Number {
        number.scaled(&Exact::ONE.checked_div(&self.factor()).unwrap_or(Exact::ONE))
    }

    /// Whether one is measured by the other.
    pub(super) fn is_rate(self) -> bool {
        self.0.iter().any(|(_, power)| *power < 0)
    }

    /// Whether it reads in decimals wherever it is given exactly; else in fractions.
    pub(super) fn style(self) -> System {
        let decimal = |unit: UnitId| {
            matches!(unit, UnitId::DEG | UnitId::PERCENT) || unit.system() == Some(System::Metric)
        };
        let money = self.parts().any(|(unit, _)| unit.currency().is_some());
        let first = self.parts().find(|(unit, _)| unit.system().is_some());
        let decimal = money || first.or_else(|| self.parts().next()).is_some_and(|(unit, _)| decimal(unit));
        if decimal { System::Metric } else { System::Inch }
    }
}

impl From<Units> for ToldIn {
    fn from(units: Units) -> ToldIn {
        ToldIn::of(units.parts())
    }
}

/// The family in which a measure is read: what is asked for, else the ruler's for lengths and their
/// powers, else that of its units.
pub(super) fn system_of(quantity: &Quantity, manner: &Manner) -> Option<System> {
    let own = quantity.reading.system();
    let ruler = manner.ruler.filter(|_| quantity.dim.length() != 0).map(Ruler::system);
    if ruler.is_none() {
        return own;
    }
    let follows = match quantity.reading {
        Reading::Shown(_) | Reading::Step(_) => false,
        Reading::Rounded(step) => !is_large(step.unit),
        _ => quantity.dim.length_alone().is_some(),
    };
    if follows { ruler.or(own) } else { own.or(ruler) }
}

/// Yards, feet and metres are on no ruler: what is rounded to them stays in them.
fn is_large(unit: UnitId) -> bool {
    unit.factor() >= UnitId::FT.factor()
}

/// The units a measure is printed in: those asked for, else its family's.
pub(super) fn units_of(quantity: &Quantity, manner: &Manner) -> ToldIn {
    let dim = quantity.dim;
    match quantity.reading {
        Reading::Shown(units) => return units.into(),
        Reading::Step(ruler) => return ToldIn::of([(ruler.unit, 1)]),
        Reading::Percent if dim == Dim::NONE => return ToldIn::of([(UnitId::PERCENT, 1)]),
        _ => {}
    }
    let system = system_of(quantity, manner).unwrap_or(System::Inch);
    if let Some(power) = dim.length_alone() {
        return ToldIn::of([(of_length(quantity, power, system), power)]);
    }
    let typed = quantity.reading.units();
    if let Some(units) = typed.filter(|units| units.parts().count() > 1 && measures(*units, dim)) {
        return units.into();
    }
    let typed_unit = |dim, system| typed.and_then(|units| units.of_kind(dim, system));
    if let Some(gsm) = typed.and_then(Units::single).filter(|unit| unit.dim() == dim && dim.length() != 0) {
        return ToldIn::of([(gsm, 1)]);
    }
    let money = dim.currency().map_or(NO, |currency| (UnitId::of(currency), dim.money_power()));
    let mass = match system {
        System::Inch => typed_unit(Dim::MASS, Some(system)).unwrap_or(UnitId::OZ),
        System::Metric if dim.money_power() != 0 => UnitId::KG,
        System::Metric if dim == Dim::MASS && at_least(quantity, UnitId::KG, 1) => UnitId::KG,
        System::Metric => UnitId::G,
    };
    let length = if system == System::Inch { UnitId::YD } else { UnitId::M };
    ToldIn::of([
        money,
        (mass, dim.mass()),
        (length, dim.length()),
        (typed_unit(Dim::TIME, None).unwrap_or(UnitId::MIN), dim.time()),
        (UnitId::DEG, dim.angle()),
    ])
}

fn measures(units: Units, dim: Dim) -> bool {
    let all =
        units.parts().try_fold(Dim::NONE, |all, (unit, power)| all.times(unit.dim().powi(power.into())?));
    all == Ok(dim)
}

/// Whether it is at least one of a unit to a power.
fn at_least(quantity: &Quantity, unit: UnitId, power: i8) -> bool {
    quantity.number.mid().abs() >= power_of(unit, power)
}

/// The unit that a length is printed in: that of [`units_of`].
pub(super) fn unit_of_length(quantity: &Quantity, manner: &Manner) -> UnitId {
    match quantity.reading {
        Reading::Shown(units) => ToldIn::from(units).first(),
        Reading::Step(ruler) => ruler.unit,
        _ => of_length(quantity, 1, system_of(quantity, manner).unwrap_or(System::Inch)),
    }
}

/// The unit of a length, an area, a volume.
fn of_length(quantity: &Quantity, power: i8, system: System) -> UnitId {
    let own = || quantity.reading.units().and_then(|units| units.of_kind(Dim::LENGTH, Some(system)));
    // Only what was typed as an area says in what areas are read.
    let typed = || {
        let same_power = |own: &UnitId| quantity.reading.units()?.parts().eq([(*own, power)]).then_some(());
        own().filter(|own| same_power(own).is_some())
    };
    match (system, power) {
        (System::Metric, 1) => step_of_length(quantity, own().unwrap_or(UnitId::CM)),
        (System::Inch, 1) => match quantity.reading {
            Reading::Typed(_) => own().filter(|unit| in_eighths(quantity, *unit)),
            Reading::Rounded(_) => own(),
            _ => None,
        }
        .unwrap_or(UnitId::IN),
        (System::Metric, 2..) if at_least(quantity, UnitId::M, power) => UnitId::M,
        (System::Metric, 2..) => UnitId::CM,
        (System::Inch, _) => typed().unwrap_or(UnitId::IN),
        (System::Metric, _) => typed().unwrap_or(UnitId::CM),
    }
}

fn in_eighths(quantity: &Quantity, unit: UnitId) -> bool {
    let eighths = |exact: &Exact| (exact * Exact::whole(8)).checked_div(unit.factor());
    quantity.number.exact().and_then(eighths).is_some_and(|eighths| eighths.is_whole())
}

/// The unit in which a metric length is a number from 1 to below 1000, of centimetres below 300:
/// its own, else the next.
fn step_of_length(quantity: &Quantity, own: UnitId) -> UnitId {
    let size = quantity.number.mid().abs();
    let below = |unit: UnitId| size < *unit.factor();
    let past =
        |unit: UnitId| size >= Exact::whole(if unit == UnitId::CM { 300 } else { 1000 }) * unit.factor();
    if size.is_zero() || !below(own) && !past(own) {
        return own;
    }
    let mut steps = METRIC_LENGTHS.into_iter();
    if below(own) {
        steps.rfind(|unit| unit.factor() < own.factor() && !below(*unit)).unwrap_or(UnitId::MM)
    } else {
        steps.find(|unit| unit.factor() > own.factor() && !past(*unit)).unwrap_or(UnitId::M)
    }
}

/// The units in which the values of a list, of a column or of both sides of a size are read together:
/// those of the largest, or smaller ones until none but 0 is below 1. Read each with
/// [`Quantity::in_units`]. None where they are not all lengths, all areas or all weights, or where one
/// is asked for in units of its own (`shown in`): then each is read by itself.
pub fn common_units<'a>(values: impl IntoIterator<Item = &'a Quantity>, manner: &Manner) -> Option<Units> {
    let all: Vec<&Quantity> = values.into_iter().collect();
    let largest = all.iter().max_by_key(|quantity| quantity.number.mid().abs())?;
    let asked = |quantity: &&&Quantity| matches!(quantity.reading, Reading::Shown(_) | Reading::Step(_));
    let dim = largest.dim;
    let power = dim.length_alone().unwrap_or(1);
    if all.iter().any(|quantity| quantity.dim != dim) || all.iter().any(|quantity| asked(&quantity)) {
        return None;
    }
    let own = units_of(largest, manner);
    let unit = match dim {
        Dim::MASS => own.first_of(Dim::MASS)?,
        _ => dim.length_alone().map(|_| own.first())?,
    };
    let smallest =
        all.iter().filter(|quantity| !quantity.is_zero()).min_by_key(|quantity| quantity.number.mid().abs());
    let Some(smallest) = smallest else { return Some(Units::power(unit, power)) };
    if unit.system() != Some(System::Metric) {
        let alike = dim != Dim::LENGTH || all.iter().all(|quantity| units_of(quantity, manner) == own);
        return Some(Units::power(if alike { unit } else { UnitId::IN }, power));
    }
    let mut steps: Vec<UnitId> = match dim {
        Dim::MASS => vec![UnitId::G, UnitId::KG],
        Dim::LENGTH => METRIC_LENGTHS.to_vec(),
        _ => vec![UnitId::CM, UnitId::M],
    };
    steps.retain(|step| step.factor() < unit.factor());
    steps.sort_by_key(|step| Reverse(step.factor()));
    let fits = |unit: &UnitId| at_least(smallest, *unit, power);
    let last = steps.last().copied().unwrap_or(unit);
    let unit = if fits(&unit) { unit } else { steps.into_iter().find(fits).unwrap_or(last) };
    Some(Units::power(unit, power))
}

/// Both sides of a size, each as it is read beside the other: in one unit, or in two where the larger
/// would pass 999. Sizes are read in inches, never in yards or feet.
pub fn side_by_side(sides: [&Quantity; 2], manner: &Manner) -> [Quantity; 2] {
    let sides = sides.map(|side| {
        let reading = match side.reading {
            Reading::Typed(units) => Reading::Like(units),
            reading => reading,
        };
        Quantity { reading, ..side.clone() }
    });
    let common = common_units(&sides, manner).filter(|units| {
        let most = Exact::whole(999) * units.factor();
        let metric = units.single().and_then(UnitId::system) == Some(System::Metric);
        !metric || sides.iter().all(|side| side.number.mid().abs() <= most)
    });
    match common {
        Some(units) => sides.map(|side| side.in_units(units)),
        None => sides,
    }
}

impl ToldIn {
    fn first_of(self, dim: Dim) -> Option<UnitId> {
        self.parts().map(|(unit, _)| unit).find(|unit| unit.dim() == dim)
    }
}
