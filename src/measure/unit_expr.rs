//! Compound units as they are written: `g/m^2`, `EUR/m`, `in^2`.

use super::dim::Dim;
use super::exact::Exact;
use super::number::Number;
use super::quantity::Quantity;
use super::read::{ReadFault, unit_at};
use super::reading::{Reading, Units, power_of};
use super::trouble::Trouble;
use super::unit::UnitId;

/// The most units that one expression may name.
const MOST: usize = 4;

/// A product of powers of units.
#[derive(Clone, Debug)]
pub struct UnitExpr {
    parts: [(UnitId, i8); MOST],
    count: u8,
    dim: Dim,
    factor: Exact,
    /// The names as written, where there are several.
    names: Option<Box<[Box<str>]>>,
}

impl UnitExpr {
    /// One unit.
    #[inline]
    pub fn one(unit: UnitId) -> UnitExpr {
        UnitExpr {
            parts: [(unit, 1); MOST],
            count: 1,
            dim: unit.dim(),
            factor: unit.factor().clone(),
            names: None,
        }
    }

    /// The product of several; none beyond four.
    pub(super) fn of(parts: &[(UnitId, i8)]) -> Result<UnitExpr, Trouble> {
        let mut made = UnitExpr {
            parts: [(UnitId::IN, 0); MOST],
            count: u8::try_from(parts.len()).unwrap_or(u8::MAX),
            dim: Dim::NONE,
            factor: Exact::ONE,
            names: None,
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

    /// Keeps the names as they were written.
    pub(super) fn named(mut self, names: Vec<Box<str>>) -> UnitExpr {
        self.names = Some(names.into_boxed_slice());
        self
    }

    /// Reads a unit; the whole text must be one.
    pub fn parse(text: &str) -> Result<UnitExpr, ReadFault> {
        let trimmed = text.trim();
        let start = text.len() - text.trim_start().len();
        match unit_at(text, start)? {
            Some((unit, end)) if end == start + trimmed.len() => Ok(unit),
            Some((_, end)) => Err(ReadFault::syntax(end..text.len(), "a unit ends before this")),
            None => Err(ReadFault::syntax(0..text.len(), "a unit is wanted here")),
        }
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

    /// Whether it is made of several units.
    pub fn is_compound(&self) -> bool {
        self.count > 1
    }

    /// The names of its units as they were written.
    pub fn unit_names(&self) -> impl Iterator<Item = &str> {
        self.names.iter().flat_map(|names| names.iter().map(AsRef::as_ref))
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

    fn units(&self) -> Option<Units> {
        match self.parts() {
            [(unit, power)] => Some(Units::power(*unit, *power)),
            [first, second] => Some(Units::two(*first, *second)),
            _ => None,
        }
    }

    /// The reading of a literal with this unit.
    #[inline]
    pub(super) fn typed(&self) -> Reading {
        match self.parts() {
            [(UnitId::PERCENT, _)] => Reading::Percent,
            [(unit, _)] if unit.currency().is_some() => Reading::Plain,
            [(unit, 1)] => Reading::Typed(Units::one(*unit)),
            [(unit, _)] => unit.system().into(),
            _ => self.compound(Reading::Typed),
        }
    }

    /// The reading of a value that is to be shown in this unit.
    pub(super) fn shown(&self) -> Reading {
        match self.parts() {
            [(UnitId::PERCENT, _)] => Reading::Percent,
            _ => self.compound(Reading::Shown),
        }
    }

    fn compound(&self, reading: impl Fn(Units) -> Reading) -> Reading {
        let family = || self.parts().iter().find_map(|(unit, _)| unit.system()).into();
        self.units().map_or_else(family, reading)
    }
}
