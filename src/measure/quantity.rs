//! A measure: a number, what it measures, and how it is to be read.

use std::cmp::Ordering;

use super::{Dim, Exact, Number, Reading, Ruler, Trouble};

/// A measure. The number counts base units: see [`super::unit`].
#[derive(Clone, Debug)]
pub struct Quantity {
    /// How many base units.
    pub number: Number,
    /// What it measures.
    pub dim: Dim,
    /// How it is to be read.
    pub reading: Reading,
}

impl Quantity {
    /// A bare number.
    pub fn number(exact: Exact) -> Quantity {
        Quantity { number: Number::Exact(exact), dim: Dim::NONE, reading: Reading::Plain }
    }

    /// A bare whole number.
    pub const fn whole(n: i64) -> Quantity {
        Quantity { number: Number::whole(n), dim: Dim::NONE, reading: Reading::Plain }
    }

    /// The circle's ratio.
    pub fn pi() -> Quantity {
        Quantity::bare(Number::pi())
    }

    fn bare(number: Number) -> Quantity {
        Quantity { number, dim: Dim::NONE, reading: Reading::Plain }
    }

    #[inline(never)]
    fn sum_reading(&self, other: &Quantity) -> Reading {
        let percent = |reading: Reading| matches!(reading, Reading::Percent);
        let beside_number = percent(self.reading) && !percent(other.reading);
        if beside_number { Reading::Plain } else { self.reading.merge(other.reading, self.dim) }
    }

    /// The sum.
    #[inline(always)]
    pub fn add(&self, other: &Quantity) -> Result<Quantity, Trouble> {
        self.joined::<false>(other)
    }

    /// The difference.
    #[inline(always)]
    pub fn sub(&self, other: &Quantity) -> Result<Quantity, Trouble> {
        self.joined::<true>(other)
    }

    // The number comes last, here and below: what is done with it in hand would have to drop it, and keeps it from
    // being made in its place.
    #[inline(always)]
    fn joined<const MINUS: bool>(&self, other: &Quantity) -> Result<Quantity, Trouble> {
        if self.dim != other.dim {
            return Err(self.dim.mismatch(other.dim));
        }
        let reading = self.sum_reading(other);
        let (one, two) = (&self.number, &other.number);
        let number = if MINUS { one.sub(two)? } else { one.add(two)? };
        Ok(Quantity { number, dim: self.dim, reading })
    }

    /// The product.
    #[inline]
    pub fn mul(&self, other: &Quantity) -> Result<Quantity, Trouble> {
        let dim = self.dim.times(other.dim)?;
        let reading = self.reading.merge(other.reading, dim);
        let number = self.number.mul(&other.number)?;
        Ok(Quantity { number, dim, reading })
    }

    /// The quotient.
    #[inline]
    pub fn div(&self, other: &Quantity) -> Result<Quantity, Trouble> {
        let dim = self.dim.over(other.dim)?;
        let ratio = matches!((self.reading, other.reading), (Reading::Percent, Reading::Percent));
        let reading = if ratio { Reading::Plain } else { self.reading.merge(other.reading, dim) };
        let number = self.number.div(&other.number)?;
        Ok(Quantity { number, dim, reading })
    }

    /// A power: the exponent is a bare whole number, or 1/2 for the root.
    pub fn pow(&self, exponent: &Quantity) -> Result<Quantity, Trouble> {
        if exponent.dim != Dim::NONE {
            return Err(Trouble::UnitMix);
        }
        let exponent = exponent.number.exact().ok_or(Trouble::NoSuchNumber)?;
        if exponent.is_whole() {
            let whole = exponent.to_i64().and_then(|n| i32::try_from(n).ok()).ok_or(Trouble::TooBig)?;
            let dim = self.dim.powi(whole)?;
            return Ok(self.worked(self.number.powi(whole)?, dim));
        }
        if exponent * Exact::whole(2) == Exact::ONE {
            return self.sqrt();
        }
        Err(Trouble::NoSuchNumber)
    }

    /// The square root; exact when it comes out.
    pub fn sqrt(&self) -> Result<Quantity, Trouble> {
        let dim = self.dim.root2().ok_or(Trouble::UnitMix)?;
        Ok(self.worked(self.number.sqrt()?, dim))
    }

    /// Something calculated from this measure alone.
    fn worked(&self, number: Number, dim: Dim) -> Quantity {
        let reading = if dim == Dim::NONE { Reading::Plain } else { self.reading.merge(Reading::Plain, dim) };
        Quantity { number, dim, reading }
    }

    /// The same measure with the other sign.
    #[must_use]
    pub fn neg(&self) -> Quantity {
        Quantity { number: self.number.neg(), dim: self.dim, reading: self.reading }
    }

    /// The same measure without its sign.
    #[must_use]
    pub fn abs(&self) -> Quantity {
        Quantity { number: self.number.abs(), dim: self.dim, reading: self.reading }
    }

    /// The sine of an angle.
    pub fn sin(&self) -> Result<Quantity, Trouble> {
        self.of_angle(Number::sin_deg)
    }

    /// The cosine of an angle.
    pub fn cos(&self) -> Result<Quantity, Trouble> {
        self.of_angle(Number::cos_deg)
    }

    /// The tangent of an angle.
    pub fn tan(&self) -> Result<Quantity, Trouble> {
        self.of_angle(Number::tan_deg)
    }

    fn of_angle(&self, f: impl Fn(&Number) -> Result<Number, Trouble>) -> Result<Quantity, Trouble> {
        if self.dim != Dim::ANGLE {
            return Err(Trouble::UnitMix);
        }
        f(&self.number).map(Quantity::bare)
    }

    /// Which of two measures of one kind is greater.
    #[inline]
    pub fn compare(&self, other: &Quantity) -> Result<Ordering, Trouble> {
        if self.dim != other.dim {
            return Err(self.dim.mismatch(other.dim));
        }
        self.number.compare(&other.number).ok_or(Trouble::TooClose)
    }

    /// Whether it is exactly nothing.
    #[inline]
    pub fn is_zero(&self) -> bool {
        self.number.exact().is_some_and(Exact::is_zero)
    }

    /// Whether it is surely below nothing.
    #[inline]
    pub fn is_negative(&self) -> bool {
        self.number.upper().is_negative()
    }

    /// Whether it is known exactly.
    pub fn is_exact(&self) -> bool {
        self.number.is_exact()
    }

    /// The count, where it is a bare whole number.
    #[inline]
    pub fn whole_count(&self) -> Option<i64> {
        if self.dim == Dim::NONE { self.number.exact()?.to_i64() } else { None }
    }
}

impl Ruler {
    /// The ruler of a step such as `1/16 in`, `1 mm`, `1/8 yd`; none where no ruler has it.
    pub fn from_step(step: &Quantity) -> Option<Ruler> {
        if step.dim != Dim::LENGTH {
            return None;
        }
        if let Reading::Step(ruler) | Reading::Rounded(ruler) = step.reading {
            return Ruler::with(ruler.unit, step.number.exact()?);
        }
        let unit = match step.reading {
            Reading::Typed(units) | Reading::Shown(units) => units.single()?,
            reading => Ruler::usual(reading.system()?).unit,
        };
        Ruler::with(unit, step.number.exact()?)
    }
}
