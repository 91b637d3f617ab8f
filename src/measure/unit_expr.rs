//! Compound units as they are written: `g/m^2`, `EUR/m`, `in^2`.

use super::reading::{Reading, Units, power_of};
use super::{Dim, Exact, Number, Quantity, Trouble, UnitId};

/// The most units that one expression may name: one of each family, so that every reading reads back.
const MOST: usize = 5;

/// A product of powers of units.
#[derive(Clone, Debug)]
pub struct UnitExpr {
    parts: [(UnitId, i8); MOST],
    count: u8,
    dim: Dim,
    factor: Exact,
}

impl UnitExpr {
    /// One unit.
    #[inline]
    pub fn one(unit: UnitId) -> UnitExpr {
        UnitExpr { parts: [(unit, 1); MOST], count: 1, dim: unit.dim(), factor: unit.factor().clone() }
    }

    /// The product of several; none beyond five.
    pub(super) fn of(parts: &[(UnitId, i8)]) -> Result<UnitExpr, Trouble> {
        let mut made = UnitExpr {
            parts: [(UnitId::IN, 0); MOST],
            count: u8::try_from(parts.len()).unwrap_or(u8::MAX),
            dim: Dim::NONE,
            factor: Exact::ONE,
        };
        if parts.len() > MOST {
            return Err(Trouble::TooBig);
        }
        for (place, (unit, power)) in made.parts.iter_mut().zip(parts) {
            *place = (*unit, *power);
            made.dim = made.dim.times(unit.dim().powi((*power).into())?)?;
            made.factor *= power_of(*unit, *power);
        }
        made.factor = made.factor.reduced();
        Ok(made)
    }

    /// The units with their powers.
    pub fn parts(&self) -> &[(UnitId, i8)] {
        self.parts.get(..usize::from(self.count)).unwrap_or(&[])
    }

    /// The unit, where it is one alone and of power one.
    #[inline]
    pub(super) fn single(&self) -> Option<UnitId> {
        match self.parts() {
            [(unit, 1)] => Some(*unit),
            _ => None,
        }
    }

    /// What it measures.
    #[inline]
    pub fn dim(&self) -> Dim {
        self.dim
    }

    /// How many base units it is.
    #[inline]
    pub fn factor(&self) -> &Exact {
        &self.factor
    }

    /// So many of it.
    pub fn apply(&self, number: &Number) -> Quantity {
        Quantity { number: number.scaled(&self.factor), dim: self.dim, reading: self.typed() }
    }

    /// The reading of a literal with this unit.
    #[inline]
    pub(super) fn typed(&self) -> Reading {
        match self.parts() {
            [(unit, _)] if unit.currency().is_some() => Reading::Plain,
            _ => self.reading(Reading::Typed),
        }
    }

    /// The reading of a value that is to be shown in this unit.
    pub(super) fn shown(&self) -> Reading {
        self.reading(Reading::Shown)
    }

    /// More than two units are not kept: their family is.
    fn reading(&self, kind: impl Fn(Units) -> Reading) -> Reading {
        match self.parts() {
            [(UnitId::PERCENT, _)] => Reading::Percent,
            [(unit, power)] => kind(Units::power(*unit, *power)),
            [first, second] => kind(Units::two(*first, *second)),
            parts => parts.iter().find_map(|(unit, _)| unit.system()).map_or(Reading::Plain, Reading::from),
        }
    }
}
