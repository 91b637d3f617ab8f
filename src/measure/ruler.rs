//! The ruler in force, and the manner of printing.

use super::{Exact, System, UnitId};

/// A ruler: the distance between its marks, as a fraction of a unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Ruler {
    /// The unit it is read in.
    pub unit: UnitId,
    /// Numerator of its step.
    pub num: u16,
    /// Denominator of its step, above 0.
    pub den: u16,
}

impl Ruler {
    /// Sixteenths of an inch.
    pub const INCH: Ruler = Ruler { unit: UnitId::IN, num: 1, den: 16 };
    /// Millimetres, read in centimetres.
    pub const METRIC: Ruler = Ruler { unit: UnitId::CM, num: 1, den: 10 };

    /// The ruler where none is in force.
    pub fn usual(system: System) -> Ruler {
        match system {
            System::Inch => Ruler::INCH,
            System::Metric => Ruler::METRIC,
        }
    }

    /// A ruler with marks `step` base units apart.
    pub(super) fn with(unit: UnitId, step: &Exact) -> Option<Ruler> {
        let (num, den) = step.checked_div(unit.factor())?.reduced().small()?;
        let (num, den) = (u16::try_from(num).ok()?, u16::try_from(den).ok()?);
        (num > 0).then_some(Ruler { unit, num, den })
    }

    /// Its step as a fraction of its unit.
    #[inline]
    pub(super) fn fraction(self) -> Exact {
        Exact::ratio(self.num.into(), self.den.into()).unwrap_or(Exact::ONE)
    }

    /// Its step in base units.
    #[inline]
    pub fn step(self) -> Exact {
        self.fraction() * self.unit.factor()
    }

    /// The family it belongs to.
    pub fn system(self) -> System {
        self.unit.system().unwrap_or(System::Inch)
    }
}

/// The manner of printing: the ruler in force, and whether both families are wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Manner {
    /// The ruler in force; none leaves it to the measure.
    pub ruler: Option<Ruler>,
    /// Whether to print inches and centimetres side by side.
    pub both: bool,
}
