//! Typed lengths, areas and ratios over exact numbers, for code whose dimensions are known when it
//! is built: adding an area to a length does not compile.
//!
//! The quantities are those of `uom`; the storage and the coefficients are ours, because its own
//! storage types keep factors as binary fractions. Each coefficient is taken from `uom`'s rational
//! one, which is exact for the lengths, areas, grams and times used here. Its ounce and pound are
//! rounded to seven digits, so these are defined by us.

use num_rational::Rational64;
use uom::si::{self, area, length, mass, ratio, time};
use uom::{Conversion, ConversionFactor};

use super::dim::Dim;
use super::exact::Exact;
use super::number::Number;
use super::quantity::Quantity;
use super::reading::Reading;
use super::trouble::Trouble;

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

/// The base units in which typed quantities are kept: those of [`Quantity`].
pub type Units = dyn si::Units<
        Exact,
        length = Mark,
        mass = mass::gram,
        time = time::minute,
        electric_current = si::electric_current::ampere,
        thermodynamic_temperature = si::thermodynamic_temperature::kelvin,
        amount_of_substance = si::amount_of_substance::mole,
        luminous_intensity = si::luminous_intensity::candela,
    >;

/// A length, exactly.
pub type Length = length::Length<Units, Exact>;
/// An area, exactly.
pub type Area = area::Area<Units, Exact>;
/// A bare number, exactly.
pub type Ratio = ratio::Ratio<Units, Exact>;

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

fn exact(coefficient: Rational64) -> Exact {
    Exact::ratio(*coefficient.numer(), *coefficient.denom()).unwrap_or(Exact::ZERO)
}

/// Takes coefficients over from `uom`'s rationals.
macro_rules! taken_over {
    ($($unit:path),+ $(,)?) => {
        $(impl Conversion<Exact> for $unit {
            type T = Exact;
            fn coefficient() -> Exact {
                exact(<$unit as Conversion<Rational64>>::coefficient())
            }
        })+
    };
}

taken_over!(
    length::meter,
    length::centimeter,
    length::millimeter,
    length::inch,
    length::foot,
    length::yard,
    area::square_meter,
    area::square_centimeter,
    area::square_inch,
    area::square_foot,
    area::square_yard,
    mass::gram,
    mass::kilogram,
    time::second,
    time::minute,
    time::hour,
    ratio::ratio,
    ratio::percent,
    si::electric_current::ampere,
    si::thermodynamic_temperature::kelvin,
    si::amount_of_substance::mole,
    si::luminous_intensity::candela,
);

/// Coefficients of our own.
macro_rules! our_own {
    ($($unit:ty = $numer:literal / $denom:literal;)+) => {
        $(impl Conversion<Exact> for $unit {
            type T = Exact;
            fn coefficient() -> Exact {
                Exact::ratio($numer, $denom).unwrap_or(Exact::ZERO)
            }
        })+
    };
}

our_own! {
    Mark = 1 / 5000;
    // The international pound, 0.45359237 kg, and a sixteenth of it (NIST Handbook 44, appendix C).
    mass::pound = 45_359_237 / 100_000_000;
    mass::ounce = 45_359_237 / 1_600_000_000;
}

/// Checks the dimension and hands the exact number on.
fn number_of(quantity: &Quantity, dim: Dim) -> Result<Exact, Trouble> {
    if quantity.dim != dim {
        return Err(Trouble::UnitMix);
    }
    quantity.number.exact().cloned().ok_or(Trouble::TooClose)
}

/// The ways there and back for one typed quantity.
macro_rules! both_ways {
    ($typed:ident, $dim:expr) => {
        impl TryFrom<&Quantity> for $typed {
            type Error = Trouble;
            fn try_from(quantity: &Quantity) -> Result<$typed, Trouble> {
                let value = number_of(quantity, $dim)?;
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

both_ways!(Length, Dim::LENGTH);
both_ways!(Area, Dim::AREA);
both_ways!(Ratio, Dim::NONE);
