//! How a measure is to be read: the family of its units, or units asked for.

use super::exact::Exact;
use super::ruler::Ruler;
use super::unit::{System, UnitId};

/// How a measure is to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Reading {
    /// Nothing said.
    #[default]
    Plain,
    /// In inches.
    Inch,
    /// In centimetres.
    Metric,
    /// As a percentage.
    Percent,
    /// As typed: a length is still read by the ruler, but a step keeps its unit.
    Typed(Units),
    /// In units asked for with `shown in`.
    Shown(Units),
    /// On a ruler of its own, asked for with `shown in`.
    Step(Ruler),
    /// Rounded to a step: read by the ruler in force where there is one, else by the step's own; yards
    /// and metres stay what they are.
    Rounded(Ruler),
}

/// Up to two units with their powers: `cm`, `oz/yd^2`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Units {
    first: (UnitId, i8),
    second: (UnitId, i8),
}

impl Units {
    /// One unit.
    pub fn one(unit: UnitId) -> Units {
        Units::power(unit, 1)
    }

    /// One unit with its power.
    pub fn power(unit: UnitId, power: i8) -> Units {
        Units { first: (unit, power), second: (unit, 0) }
    }

    /// Two units with their powers.
    pub fn two(first: (UnitId, i8), second: (UnitId, i8)) -> Units {
        Units { first, second }
    }

    /// The units with their powers.
    pub fn parts(self) -> impl Iterator<Item = (UnitId, i8)> {
        [self.first, self.second].into_iter().filter(|(_, power)| *power != 0)
    }

    /// The unit, where it is one alone and of power one.
    #[inline]
    pub fn single(self) -> Option<UnitId> {
        (self.first.1 == 1 && self.second.1 == 0).then_some(self.first.0)
    }

    /// How many base units it is.
    pub fn factor(self) -> Exact {
        self.parts().fold(Exact::ONE, |made, (unit, power)| made * power_of(unit, power))
    }

    #[inline]
    fn system(self) -> Option<System> {
        match self.first.0.system() {
            None if self.second.1 != 0 => self.second.0.system(),
            system => system,
        }
    }
}

/// Units as they are written: `EUR/m`, `in^2`. Those above the line come first.
pub(super) fn push_units(parts: impl Iterator<Item = (UnitId, i8)>, out: &mut String) {
    for (place, (unit, power)) in parts.enumerate() {
        let below = power < 0 && place > 0;
        if place > 0 {
            out.push(if below { '/' } else { '*' });
        }
        unit.push_symbol(out);
        let power = if below { power.saturating_neg() } else { power };
        if power != 1 {
            out.push('^');
            out.push_str(&power.to_string());
        }
    }
}

/// A power of a unit, in base units.
pub(super) fn power_of(unit: UnitId, power: i8) -> Exact {
    match power {
        1 => unit.factor().clone(),
        power => unit.factor().powi(power.into()).unwrap_or(Exact::ONE),
    }
}

impl Reading {
    /// The family it belongs to.
    #[inline]
    pub fn system(self) -> Option<System> {
        match self {
            Reading::Inch => Some(System::Inch),
            Reading::Metric => Some(System::Metric),
            Reading::Plain | Reading::Percent => None,
            Reading::Typed(units) | Reading::Shown(units) => units.system(),
            Reading::Step(ruler) | Reading::Rounded(ruler) => ruler.unit.system(),
        }
    }

    /// The reading of a result: the left operand's family, else the right one's.
    #[inline]
    pub(super) fn merge(self, other: Reading) -> Reading {
        match self {
            Reading::Inch | Reading::Metric => self,
            _ => match self.system() {
                None => other.system().into(),
                system => system.into(),
            },
        }
    }
}

impl From<Option<System>> for Reading {
    #[inline]
    fn from(system: Option<System>) -> Reading {
        match system {
            Some(System::Inch) => Reading::Inch,
            Some(System::Metric) => Reading::Metric,
            None => Reading::Plain,
        }
    }
}
