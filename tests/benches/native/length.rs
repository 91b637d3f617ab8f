//! Lengths with their family of units: read from a cell, worked, read on a ruler.

use std::fmt::Write;
use std::ops::{Add, Div, Mul, Sub};

use super::ratio::Ratio;

/// What a length is read in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unit {
    Inch,
    Centimetre,
    Metre,
    Yard,
}

/// A length in fifths of a millimetre, of which an inch has 127 and a centimetre 50.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Length {
    pub value: Ratio,
    pub unit: Unit,
}

impl Unit {
    pub fn factor(self) -> i64 {
        match self {
            Unit::Inch => 127,
            Unit::Centimetre => 50,
            Unit::Metre => 5000,
            Unit::Yard => 36 * 127,
        }
    }

    /// The unit that a sum begun with this one is read in.
    fn family(self) -> Unit {
        if self == Unit::Yard { Unit::Inch } else { self }
    }

    fn is_metric(self) -> bool {
        matches!(self, Unit::Centimetre | Unit::Metre)
    }

    fn symbol(self) -> &'static str {
        match self {
            Unit::Inch => "in",
            Unit::Centimetre => "cm",
            Unit::Metre => "m",
            Unit::Yard => "yd",
        }
    }
}

impl Length {
    pub fn new(n: i64, d: i64, unit: Unit) -> Length {
        Length { value: Ratio::new(n * unit.factor(), d), unit }
    }

    pub fn inches(n: i64, d: i64) -> Length {
        Length::new(n, d, Unit::Inch)
    }

    pub fn nearest(self, n: i64, d: i64, unit: Unit) -> Length {
        let step = Length::new(n, d, unit).value;
        Length { value: step * Ratio::whole((self.value / step).round()), unit }
    }

    pub fn up(self, n: i64, d: i64, unit: Unit) -> Length {
        let step = Length::new(n, d, unit).value;
        Length { value: step * Ratio::whole((self.value / step).ceil()), unit }
    }

    /// How many of them another one holds.
    pub fn held_by(self, whole: Length) -> i64 {
        (whole.value / self.value).floor()
    }

    /// Reads `27 1/2 in`, `96.5 cm`, `3/8 in`.
    pub fn read(text: &str) -> Option<Length> {
        let text = text.trim();
        let (number, unit) = text.rsplit_once(' ')?;
        let unit = match unit {
            "in" => Unit::Inch,
            "cm" => Unit::Centimetre,
            "yd" => Unit::Yard,
            _ => return None,
        };
        let value = read_number(number.trim_end())?;
        Some(Length { value: value * Ratio::whole(unit.factor()), unit })
    }

    /// As its usual ruler reads it: sixteenths of an inch, millimetres, eighths of a yard; from 3 m on in metres. The
    /// true value is behind it where it lies off the mark.
    pub fn push(self, out: &mut String) {
        if self.unit == Unit::Centimetre && self.value.abs().floor() >= 3 * Unit::Metre.factor() {
            return Length { unit: Unit::Metre, ..self }.push(out);
        }
        let step = match self.unit {
            Unit::Inch => Ratio { n: 1, d: 16 },
            Unit::Centimetre => Ratio { n: 1, d: 10 },
            Unit::Metre => Ratio { n: 1, d: 1000 },
            Unit::Yard => Ratio { n: 1, d: 8 },
        };
        let value = self.value / Ratio::whole(self.unit.factor());
        let marks = (value / step).round();
        let mark = step * Ratio::whole(marks);
        let off = value - mark;
        // Halfway between two marks, an inch reads as it is, and so do tenths of a millimetre.
        let as_it_is = match self.unit.is_metric() {
            true => 2 % self.value.d == 0,
            false => off.n == 0 || (off + off).abs() == step,
        };
        if !as_it_is {
            out.push_str(if off.n < 0 { "scant " } else { "generous " });
        }
        self.push_figure(if as_it_is { value } else { mark }, out);
        out.push(' ');
        out.push_str(self.unit.symbol());
        if !as_it_is {
            out.push_str(" (");
            // As far as the ruler goes and three places more, or as a common fraction of an inch.
            let places = match self.unit {
                Unit::Inch | Unit::Yard => 3,
                Unit::Centimetre => 4,
                Unit::Metre => 6,
            };
            match value.d {
                d if 10i64.pow(places) % d == 0 => push_decimal(value, out),
                1..=12 | 16 | 32 | 64 if !self.unit.is_metric() => push_mixed(value, out),
                _ => push_about(value, places, out),
            }
            out.push(' ');
            out.push_str(self.unit.symbol());
            out.push(')');
        }
    }

    fn push_figure(self, value: Ratio, out: &mut String) {
        match self.unit {
            Unit::Centimetre | Unit::Metre => push_decimal(value, out),
            Unit::Inch | Unit::Yard => push_mixed(value, out),
        }
    }
}

/// `27 1/2`, `96.5`, `3/8`, `5`.
pub fn read_number(text: &str) -> Option<Ratio> {
    if let Some((whole, fraction)) = text.split_once(' ') {
        let (above, below) = fraction.split_once('/')?;
        let below = below.parse().ok()?;
        return Some(Ratio::new(whole.parse::<i64>().ok()? * below + above.parse::<i64>().ok()?, below));
    }
    if let Some((above, below)) = text.split_once('/') {
        return Some(Ratio::new(above.parse().ok()?, below.parse().ok()?));
    }
    if let Some((whole, behind)) = text.split_once('.') {
        let scale = 10i64.pow(u32::try_from(behind.len()).ok()?);
        return Some(Ratio::new(whole.parse::<i64>().ok()? * scale + behind.parse::<i64>().ok()?, scale));
    }
    text.parse().ok().map(Ratio::whole)
}

pub fn push_mixed(value: Ratio, out: &mut String) {
    let (whole, rest) = (value.n / value.d, (value.n % value.d).abs());
    if value.n < 0 {
        out.push('-');
    }
    if whole != 0 || rest == 0 {
        push_int(whole.unsigned_abs(), out);
        out.push_str(if rest == 0 { "" } else { " " });
    }
    if rest != 0 {
        push_int(rest.unsigned_abs(), out);
        out.push('/');
        push_int(value.d.unsigned_abs(), out);
    }
}

fn push_int(n: u64, out: &mut String) {
    if n > 9 {
        push_int(n / 10, out);
    }
    out.push(char::from(b'0' + (n % 10) as u8));
}

/// Decimals where they end, else a mixed number.
pub fn push_decimal(value: Ratio, out: &mut String) {
    let (mut left, mut twos, mut fives) = (value.d, 0u32, 0u32);
    while left % 2 == 0 {
        left /= 2;
        twos += 1;
    }
    while left % 5 == 0 {
        left /= 5;
        fives += 1;
    }
    if left != 1 {
        return push_mixed(value, out);
    }
    let places = twos.max(fives);
    let (whole, rest) = (value.n / value.d, (value.n % value.d).abs());
    if value.n < 0 {
        out.push('-');
    }
    push_int(whole.unsigned_abs(), out);
    if places > 0 {
        let behind = rest * (10i64.pow(places) / value.d);
        let _ = write!(out, ".{behind:0width$}", width = places as usize);
    }
}

/// `about 40.224`
fn push_about(value: Ratio, places: u32, out: &mut String) {
    let scale = 10i64.pow(places);
    let scaled = (value * Ratio::whole(scale)).round();
    out.push_str(if scaled < 0 { "about -" } else { "about " });
    let (whole, behind) = (scaled.abs() / scale, scaled.abs() % scale);
    push_int(whole.unsigned_abs(), out);
    let _ = write!(out, ".{behind:0width$}", width = places as usize);
}

impl Add for Length {
    type Output = Length;
    fn add(self, other: Length) -> Length {
        Length { value: self.value + other.value, unit: self.unit.family() }
    }
}

impl Sub for Length {
    type Output = Length;
    fn sub(self, other: Length) -> Length {
        Length { value: self.value - other.value, unit: self.unit.family() }
    }
}

impl Mul<Ratio> for Length {
    type Output = Length;
    fn mul(self, by: Ratio) -> Length {
        Length { value: self.value * by, unit: self.unit.family() }
    }
}

impl Mul<i64> for Length {
    type Output = Length;
    fn mul(self, by: i64) -> Length {
        self * Ratio::whole(by)
    }
}

impl Div<i64> for Length {
    type Output = Length;
    fn div(self, by: i64) -> Length {
        Length { value: self.value / Ratio::whole(by), unit: self.unit.family() }
    }
}
