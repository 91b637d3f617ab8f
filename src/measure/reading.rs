//! How a measure is to be read: the units it comes from, or units asked for.

use super::{Dim, Exact, Ruler, System, UnitId};

/// How a measure is to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Reading {
    /// Nothing said.
    #[default]
    Plain,
    /// As a percentage.
    Percent,
    /// As typed: a literal by itself.
    Typed(Units),
    /// Worked out of measures, the leftmost of which was typed in these units.
    Like(Units),
    /// In units asked for with `shown in`.
    Shown(Units),
    /// On a ruler of its own, asked for with `shown in`.
    Step(Ruler),
    /// Rounded to a step: read by the ruler in force where there is one, else by the step's own; yards
    /// and feet stay what they are.
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
    #[inline]
    pub fn one(unit: UnitId) -> Units {
        Units::power(unit, 1)
    }

    /// One unit with its power.
    #[inline]
    pub fn power(unit: UnitId, power: i8) -> Units {
        Units { first: (unit, power), second: (unit, 0) }
    }

    /// Two units with their powers.
    pub fn two(first: (UnitId, i8), second: (UnitId, i8)) -> Units {
        Units { first, second }
    }

    /// The units with their powers.
    #[inline]
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

    /// The unit among them that measures `dim`, whatever its power.
    pub(super) fn of_kind(self, dim: Dim, system: Option<System>) -> Option<UnitId> {
        let fits = |unit: &UnitId| unit.dim() == dim && unit.system() == system;
        self.parts().map(|(unit, _)| unit).find(fits)
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
    /// The units it names.
    #[inline]
    pub fn units(self) -> Option<Units> {
        match self {
            Reading::Plain | Reading::Percent => None,
            Reading::Typed(units) | Reading::Like(units) | Reading::Shown(units) => Some(units),
            Reading::Step(ruler) | Reading::Rounded(ruler) => Some(Units::one(ruler.unit)),
        }
    }

    /// The family it belongs to.
    #[inline]
    pub fn system(self) -> Option<System> {
        self.units()?.system()
    }

    /// That of a value calculated from one with this reading.
    pub fn worked(self) -> Reading {
        self.units().map_or(Reading::Plain, Reading::Like)
    }

    /// The units it names where they say how something of this dimension is to be read.
    #[inline]
    fn telling(self, dim: Dim) -> Option<Units> {
        let tells = |units: &Units| match dim.has_system() {
            true => units.system().is_some(),
            false => units.of_kind(Dim::TIME, None).is_some(),
        };
        self.units().filter(tells)
    }

    /// The reading of what was calculated from two measures: like the left one, where its units say
    /// anything, else like the right one. A percentage stays one, but not in a measure.
    #[inline]
    pub(super) fn merge(self, other: Reading, dim: Dim) -> Reading {
        if !dim.has_units() {
            let percent = matches!(self, Reading::Percent) && dim == Dim::NONE;
            return if percent { self } else { Reading::Plain };
        }
        // The everyday cases, at once.
        let tells = |reading: Reading| match reading {
            Reading::Like(units) | Reading::Typed(units) => {
                (dim.has_system() && units.first.0.system().is_some()).then_some(Reading::Like(units))
            }
            _ => None,
        };
        let told = tells(self).or_else(|| tells(other).filter(|_| matches!(self, Reading::Plain)));
        told.unwrap_or_else(|| self.merged(other, dim))
    }

    #[inline(never)]
    fn merged(self, other: Reading, dim: Dim) -> Reading {
        self.telling(dim).or_else(|| other.telling(dim)).map_or(Reading::Plain, Reading::Like)
    }
}

impl From<System> for Reading {
    /// In inches, or in centimetres.
    fn from(system: System) -> Reading {
        Reading::Like(Units::one(match system {
            System::Inch => UnitId::IN,
            System::Metric => UnitId::CM,
        }))
    }
}
