//! The units people write, a row each.
//!
//! Base units are 0.2 mm (an inch is 127 of them, a millimetre 5), gram, minute, degree, and the
//! unit of each currency.

use super::{Currency, Dim, Exact};

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

/// All that is known of a unit.
struct Row {
    /// The printed name first.
    names: &'static [&'static str],
    dim: Dim,
    system: Option<System>,
    /// How many base units it is.
    factor: Exact,
    source: &'static str,
}

const INCH: Option<System> = Some(System::Inch);
const METRIC: Option<System> = Some(System::Metric);
const NEITHER: Option<System> = None;

const HB44: &str = "NIST Handbook 44, appendix C";
const SI: &str = "BIPM, The International System of Units (SI Brochure)";

/// Each row: the constant, what it measures, its family, how many base units it is, where that comes
/// from, and its names, the printed one first.
macro_rules! units {
    ($($constant:ident $dim:ident $system:ident $n:literal / $d:literal $source:ident: $symbol:literal $($name:literal)*;)+) => {
        #[expect(clippy::upper_case_acronyms, reason = "the names of the constants")]
        enum Place { $($constant),+ }

        impl UnitId {
            $(#[doc = concat!("`", $symbol, "`")]
            pub const $constant: UnitId = UnitId(Place::$constant as u8);)+

            /// The unit of a name, as it is written after a number.
            pub fn find(name: &str) -> Option<UnitId> {
                Some(match name {
                    $($symbol $(| $name)* => UnitId::$constant,)+
                    "€" => UnitId::of(Currency::EUR),
                    "£" => UnitId::of(Currency::GBP),
                    code => UnitId::of(Currency::find(code)?),
                })
            }
        }

        static ROWS: &[Row] = &[$(Row {
            names: &[$symbol, $($name),*],
            dim: Dim::$dim,
            system: $system,
            factor: Exact::fraction($n, $d),
            source: $source,
        }),+];
    };
}

units! {
    IN LENGTH INCH 127/1 HB44: "in" "inch" "inches" "in." "\"" "″" "”" "“";
    FT LENGTH INCH 1524/1 HB44: "ft" "foot" "feet" "'" "′" "’" "‘";
    YD LENGTH INCH 4572/1 HB44: "yd" "yard" "yards" "yds";
    MM LENGTH METRIC 5/1 SI: "mm" "millimetre" "millimetres" "millimeter" "millimeters";
    CM LENGTH METRIC 50/1 SI: "cm" "centimetre" "centimetres" "centimeter" "centimeters";
    M LENGTH METRIC 5000/1 SI: "m" "metre" "metres" "meter" "meters";
    DEG ANGLE NEITHER 1/1 SI: "deg" "°" "degree" "degrees";
    G MASS METRIC 1/1 SI: "g" "gram" "grams";
    KG MASS METRIC 1000/1 SI: "kg" "kilogram" "kilograms";
    OZ MASS INCH 45_359_237/1_600_000 HB44: "oz" "ounce" "ounces";
    LB MASS INCH 45_359_237/100_000 HB44: "lb" "lbs" "pound" "pounds";
    GSM MASS_PER_AREA METRIC 1/25_000_000 SI: "gsm";
    MIN TIME NEITHER 1/1 SI: "min" "minute" "minutes";
    H TIME NEITHER 60/1 SI: "h" "hour" "hours";
    PERCENT NONE NEITHER 1/100 SI: "%";
}

impl UnitId {
    /// The unit of a currency: these come after the rows, in the order of their list.
    pub fn of(currency: Currency) -> UnitId {
        UnitId(currency.place().saturating_add(u8::try_from(ROWS.len()).unwrap_or(u8::MAX)))
    }

    #[inline]
    fn row(self) -> Option<&'static Row> {
        ROWS.get(usize::from(self.0))
    }

    /// Its currency, where it is one's.
    pub fn currency(self) -> Option<Currency> {
        Currency::at(usize::from(self.0).checked_sub(ROWS.len())?)
    }

    pub(super) fn push_symbol(self, out: &mut String) {
        match self.row() {
            Some(row) => out.push_str(row.names.first().unwrap_or(&"")),
            None => self.currency().into_iter().for_each(|currency| currency.push(out)),
        }
    }

    /// The name it is printed with.
    pub fn symbol(self) -> String {
        let mut out = String::new();
        self.push_symbol(&mut out);
        out
    }

    /// What it measures.
    #[inline]
    pub fn dim(self) -> Dim {
        self.row().map_or_else(|| self.currency().map_or(Dim::NONE, Dim::money), |row| row.dim)
    }

    /// Which family it belongs to, where that makes a difference.
    #[inline]
    pub fn system(self) -> Option<System> {
        self.row()?.system
    }

    /// How many base units it is; a currency is its own.
    #[inline]
    pub fn factor(self) -> &'static Exact {
        self.row().map_or(&Exact::ONE, |row| &row.factor)
    }

    /// Where its factor is published.
    pub fn source(self) -> &'static str {
        self.row().map_or("ISO 4217", |row| row.source)
    }
}

impl std::fmt::Debug for UnitId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.symbol())
    }
}

/// Every unit that has a row, in order.
pub fn units() -> impl Iterator<Item = UnitId> {
    (0..).take(ROWS.len()).map(UnitId)
}

/// Every name of a unit, currency codes included, for suggestions.
pub fn unit_names() -> impl Iterator<Item = &'static str> {
    ROWS.iter().flat_map(|row| row.names).copied().chain(Currency::codes())
}

/// Whether a word is the name of a unit.
pub fn is_unit(name: &str) -> bool {
    UnitId::find(name).is_some()
}

/// The printed names, those of one kind together: `in ft yd mm cm m, deg, g kg oz lb, …`.
pub fn unit_symbols() -> String {
    let mut out = String::new();
    let mut before = None;
    for row in ROWS {
        out.push_str(if before.is_none() {
            ""
        } else if before == Some(row.dim) {
            " "
        } else {
            ", "
        });
        out.push_str(row.names.first().unwrap_or(&""));
        before = Some(row.dim);
    }
    out
}
