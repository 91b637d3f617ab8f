//! Typed lengths and areas over exact numbers, for code whose dimensions are known when it is built:
//! adding an area to a length does not compile.
//!
//! The quantities are those of `uom`; the storage is ours, because its own storage types keep factors as
//! binary fractions. Their base units are those of [`Quantity`], so that a value goes in and out as it is.

use uom::si::{self, area, length};
use uom::{Conversion, ConversionFactor};

use super::{Dim, Exact, Number, Quantity, Reading, Trouble, UnitId};

/// The base unit of length: 0.2 mm, in which an inch is 127 and a millimetre 5.
#[derive(Clone, Copy, Debug)]
pub struct Mark;

impl si::Unit for Mark {
    fn abbreviation() -> &'static str {
        "mark"
    }
    fn singular() -> &'static str {
        "mark"
    }
    fn plural() -> &'static str {
        "marks"
    }
}

impl length::Unit for Mark {}

/// The base units in which typed quantities are kept: those of [`Quantity`], as far as these are lengths.
pub type Units = dyn si::Units<
        Exact,
        length = Mark,
        mass = si::mass::gram,
        time = si::time::minute,
        electric_current = si::electric_current::ampere,
        thermodynamic_temperature = si::thermodynamic_temperature::kelvin,
        amount_of_substance = si::amount_of_substance::mole,
        luminous_intensity = si::luminous_intensity::candela,
    >;

/// A length, exactly.
pub type Length = length::Length<Units, Exact>;
/// An area, exactly.
pub type Area = area::Area<Units, Exact>;

impl Conversion<Exact> for Exact {
    type T = Exact;
    fn conversion(&self) -> Exact {
        self.clone()
    }
}

impl ConversionFactor<Exact> for Exact {
    fn powi(self, exponent: i32) -> Exact {
        Exact::powi(&self, exponent).unwrap_or(Exact::ZERO)
    }
    fn value(self) -> Exact {
        self
    }
}

/// Coefficients in `uom`'s own base units, metres for a length.
macro_rules! coefficients {
    ($($unit:path = $coefficient:expr;)+) => {
        $(impl Conversion<Exact> for $unit {
            type T = Exact;
            fn coefficient() -> Exact {
                $coefficient
            }
        })+
    };
}

fn metres(unit: UnitId) -> Exact {
    unit.factor().checked_div(UnitId::M.factor()).unwrap_or(Exact::ZERO)
}

coefficients! {
    Mark = metres(UnitId::M).checked_div(UnitId::M.factor()).unwrap_or(Exact::ZERO);
    length::inch = metres(UnitId::IN);
    length::millimeter = metres(UnitId::MM);
    si::mass::gram = Exact::fraction(1, 1000);
    si::time::minute = Exact::whole(60);
    si::electric_current::ampere = Exact::ONE;
    si::thermodynamic_temperature::kelvin = Exact::ONE;
    si::amount_of_substance::mole = Exact::ONE;
    si::luminous_intensity::candela = Exact::ONE;
}

/// The ways there and back for one typed quantity. An approximate measure has no exact one.
macro_rules! both_ways {
    ($typed:ident, $dim:expr) => {
        impl TryFrom<&Quantity> for $typed {
            type Error = Trouble;
            fn try_from(quantity: &Quantity) -> Result<$typed, Trouble> {
                if quantity.dim != $dim {
                    return Err(quantity.dim.mismatch($dim));
                }
                let value = quantity.number.exact().cloned().ok_or(Trouble::TooClose)?;
                Ok($typed { dimension: std::marker::PhantomData, units: std::marker::PhantomData, value })
            }
        }

        impl From<&$typed> for Quantity {
            fn from(typed: &$typed) -> Quantity {
                Quantity { number: Number::Exact(typed.value.clone()), dim: $dim, reading: Reading::Plain }
            }
        }
    };
}

/// A length in base units.
pub fn marks(length: &Length) -> Exact {
    length.get::<Mark>()
}

/// The most that a length can be: what something of this length needs.
pub fn most(quantity: &Quantity) -> Result<Length, Trouble> {
    bound(quantity, quantity.number.upper())
}

/// The least that a length can be: what something of this length holds.
pub fn least(quantity: &Quantity) -> Result<Length, Trouble> {
    bound(quantity, quantity.number.lower())
}

fn bound(quantity: &Quantity, bound: &Exact) -> Result<Length, Trouble> {
    Length::try_from(&Quantity { number: Number::Exact(bound.clone()), ..quantity.clone() })
}

both_ways!(Length, Dim::LENGTH);
both_ways!(Area, Dim::AREA);
