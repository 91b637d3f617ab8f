//! The units people write, and what each is in base units.
//!
//! Base units are 0.2 mm (an inch is 127 of them, a millimetre 5), gram, minute, degree, and the
//! unit of each currency.

use std::sync::LazyLock;

use uom::Conversion;
use uom::si::{length, mass, time};

use super::currency::Currency;
use super::dim::Dim;
use super::exact::Exact;
use super::typed::Mark;

/// A unit that has a name of its own.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct UnitId(u8);

/// Whether inches or centimetres: which family of units a measure belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum System {
    /// Inches, yards, ounces.
    Inch,
    /// Centimetres, metres, grams.
    Metric,
}

/// Currencies stand behind the units proper, in the order of their list.
const FIRST_CURRENCY: u8 = 32;

/// The units proper: the constant, the printed name, all names.
macro_rules! units {
    ($($constant:ident $n:literal $symbol:literal: $($name:literal)+;)+) => {
        impl UnitId {
            $(#[doc = concat!("`", $symbol, "`")]
            pub const $constant: UnitId = UnitId($n);)+

            /// The unit of a name, as it is written behind a number.
            pub fn find(name: &str) -> Option<UnitId> {
                Some(match name {
                    $($($name)|+ => UnitId::$constant,)+
                    "€" => UnitId::of(Currency::EUR),
                    "£" => UnitId::of(Currency::GBP),
                    code => UnitId::of(Currency::find(code)?),
                })
            }

            fn own_symbol(self) -> Option<&'static str> {
                Some(match self.0 {
                    $($n => $symbol,)+
                    _ => return None,
                })
            }
        }

        /// The units proper, in order.
        const PROPER: &[UnitId] = &[$(UnitId::$constant),+];
        /// Their names.
        const NAMES: &[&str] = &[$($($name),+),+];
    };
}

units! {
    IN 0 "in": "in" "inch" "inches" "in." "\"" "″" "”";
    FT 1 "ft": "ft" "foot" "feet" "'" "′" "’";
    YD 2 "yd": "yd" "yard" "yards" "yds";
    MM 3 "mm": "mm";
    CM 4 "cm": "cm";
    M 5 "m": "m";
    DEG 6 "deg": "deg" "°";
    G 7 "g": "g";
    KG 8 "kg": "kg";
    OZ 9 "oz": "oz";
    LB 10 "lb": "lb" "lbs";
    MIN 11 "min": "min";
    H 12 "h": "h";
    PERCENT 13 "%": "%";
    GSM 14 "gsm": "gsm";
}

impl UnitId {
    /// The unit of a currency.
    pub fn of(currency: Currency) -> UnitId {
        UnitId(FIRST_CURRENCY.saturating_add(currency.place()))
    }

    /// Its currency, where it is one's.
    pub fn currency(self) -> Option<Currency> {
        Currency::at(self.0.checked_sub(FIRST_CURRENCY)?)
    }

    /// The name it is printed with.
    pub fn symbol(self) -> String {
        match (self.own_symbol(), self.currency()) {
            (Some(symbol), _) => symbol.to_string(),
            (_, Some(currency)) => currency.to_string(),
            _ => String::new(),
        }
    }

    pub(super) fn push_symbol(self, out: &mut String) {
        match self.own_symbol() {
            Some(symbol) => out.push_str(symbol),
            None => out.push_str(&self.symbol()),
        }
    }

    /// What it measures.
    #[inline]
    pub fn dim(self) -> Dim {
        match self {
            UnitId::IN | UnitId::FT | UnitId::YD | UnitId::MM | UnitId::CM | UnitId::M => Dim::LENGTH,
            UnitId::DEG => Dim::ANGLE,
            UnitId::G | UnitId::KG | UnitId::OZ | UnitId::LB => Dim::MASS,
            UnitId::MIN | UnitId::H => Dim::TIME,
            UnitId::GSM => Dim::MASS_PER_AREA,
            _ => self.currency().map_or(Dim::NONE, Dim::money),
        }
    }

    /// Which family it belongs to, where that makes a difference.
    #[inline]
    pub fn system(self) -> Option<System> {
        match self {
            UnitId::IN | UnitId::FT | UnitId::YD | UnitId::OZ | UnitId::LB => Some(System::Inch),
            UnitId::MM | UnitId::CM | UnitId::M | UnitId::G | UnitId::KG | UnitId::GSM => {
                Some(System::Metric)
            }
            _ => None,
        }
    }

    /// How many base units it is.
    #[inline]
    pub fn factor(self) -> &'static Exact {
        FACTORS.get(usize::from(self.0)).unwrap_or(&Exact::ONE)
    }
}

impl std::fmt::Debug for UnitId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.symbol())
    }
}

/// Factors in the order of the units proper; a currency's is one.
static FACTORS: LazyLock<Vec<Exact>> =
    LazyLock::new(|| PROPER.iter().map(|unit| definition(*unit)).collect());

/// A unit's definition, from `uom` where it has one. Degrees are kept as degrees.
fn definition(unit: UnitId) -> Exact {
    let over = |unit: Exact, base: Exact| unit.checked_div(&base).unwrap_or(Exact::ZERO).reduced();
    let of_length = |coefficient: Exact| over(coefficient, <Mark as Conversion<Exact>>::coefficient());
    let of_mass = |coefficient: Exact| over(coefficient, <mass::gram as Conversion<Exact>>::coefficient());
    let of_time = |coefficient: Exact| over(coefficient, <time::minute as Conversion<Exact>>::coefficient());
    match unit {
        UnitId::IN => of_length(<length::inch as Conversion<Exact>>::coefficient()),
        UnitId::FT => of_length(<length::foot as Conversion<Exact>>::coefficient()),
        UnitId::YD => of_length(<length::yard as Conversion<Exact>>::coefficient()),
        UnitId::MM => of_length(<length::millimeter as Conversion<Exact>>::coefficient()),
        UnitId::CM => of_length(<length::centimeter as Conversion<Exact>>::coefficient()),
        UnitId::M => of_length(<length::meter as Conversion<Exact>>::coefficient()),
        UnitId::G => of_mass(<mass::gram as Conversion<Exact>>::coefficient()),
        UnitId::KG => of_mass(<mass::kilogram as Conversion<Exact>>::coefficient()),
        UnitId::OZ => of_mass(<mass::ounce as Conversion<Exact>>::coefficient()),
        UnitId::LB => of_mass(<mass::pound as Conversion<Exact>>::coefficient()),
        UnitId::MIN => of_time(<time::minute as Conversion<Exact>>::coefficient()),
        UnitId::H => of_time(<time::hour as Conversion<Exact>>::coefficient()),
        UnitId::PERCENT => Exact::ratio(1, 100).unwrap_or(Exact::ZERO),
        UnitId::GSM => {
            let metre = of_length(<length::meter as Conversion<Exact>>::coefficient());
            over(Exact::ONE, &metre * &metre)
        }
        _ => Exact::ONE,
    }
}

/// Every name of a unit, currency codes included, for suggestions.
pub fn unit_names() -> impl Iterator<Item = &'static str> {
    NAMES.iter().copied().chain(Currency::codes())
}

/// Whether a word is the name of a unit.
pub fn is_unit(name: &str) -> bool {
    UnitId::find(name).is_some()
}
