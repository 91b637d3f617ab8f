//! A number that is exact, or approximate and says so.

mod enclosure;
mod trig;

use std::cmp::Ordering;

pub use enclosure::Enclosure;

use super::{Exact, Trouble};
use crate::limits::BITS;

/// A number: exact, or known to be between two bounds.
#[derive(Clone, Debug)]
pub enum Number {
    /// Exactly this.
    Exact(Exact),
    /// Somewhere between two bounds.
    About(Box<Enclosure>),
}

use Number::About;

/// Hands an exact result on, unless it has grown out of bounds.
#[inline(always)]
fn bounded(made: Exact) -> Result<Number, Trouble> {
    if made.is_big() && made.bits() > BITS {
        return Err(Trouble::TooBig);
    }
    Ok(Number::Exact(made))
}

impl Number {
    /// How many words of 64 bits it takes beyond the everyday case.
    #[inline]
    pub fn words(&self) -> u64 {
        let long = |number: &Exact| if number.is_big() { (number.bits() / 64).saturating_add(1) } else { 0 };
        match self {
            Number::Exact(number) => long(number),
            About(about) => long(about.lo()).saturating_add(long(about.hi())),
        }
    }

    /// Whether it is exact and short.
    #[inline]
    pub fn is_everyday(&self) -> bool {
        matches!(self, Number::Exact(number) if !number.is_big())
    }

    /// The steps of work of one operation on it, beyond the everyday case.
    pub fn work(&self) -> u64 {
        match self.words() {
            0 => 0,
            words => (words.saturating_mul(words) / 4).saturating_add(1),
        }
    }

    /// A whole number.
    pub const fn whole(n: i64) -> Number {
        Number::Exact(Exact::whole(n))
    }

    /// Between two bounds; exact where they meet.
    fn between(lo: Exact, hi: Exact) -> Result<Number, Trouble> {
        if lo == hi {
            return bounded(lo);
        }
        if lo.bits() > BITS || hi.bits() > BITS {
            return Err(Trouble::TooBig);
        }
        Ok(About(Box::new(Enclosure::outward(lo, hi))))
    }

    /// Every number from one to another, as one that is not known better; exact where they meet.
    pub fn spanning(lo: Exact, hi: Exact) -> Number {
        if lo == hi { Number::Exact(lo) } else { About(Box::new(Enclosure::outward(lo, hi))) }
    }

    /// The circle's ratio, enclosed.
    pub fn pi() -> Number {
        About(Box::new(trig::pi()))
    }

    /// Whether it is known exactly.
    #[inline]
    pub fn is_exact(&self) -> bool {
        matches!(self, Number::Exact(_))
    }

    /// The exact number, where it is one.
    #[inline]
    pub fn exact(&self) -> Option<&Exact> {
        match self {
            Number::Exact(exact) => Some(exact),
            About(_) => None,
        }
    }

    /// The lower bound; the number itself where it is exact.
    pub fn lower(&self) -> &Exact {
        match self {
            Number::Exact(exact) => exact,
            About(bounds) => bounds.lo(),
        }
    }

    /// The upper bound; the number itself where it is exact.
    pub fn upper(&self) -> &Exact {
        match self {
            Number::Exact(exact) => exact,
            About(bounds) => bounds.hi(),
        }
    }

    /// The middle of its bounds; the number itself where it is exact.
    pub fn mid(&self) -> Exact {
        match self {
            Number::Exact(exact) => exact.clone(),
            About(bounds) => {
                let sum = bounds.lo() + bounds.hi();
                sum.checked_div(&Exact::whole(2)).unwrap_or(sum)
            }
        }
    }

    /// The sum.
    #[inline(always)]
    pub fn add(&self, other: &Number) -> Result<Number, Trouble> {
        match (self, other) {
            (Number::Exact(a), Number::Exact(b)) => bounded(a + b),
            _ => self.add_bounds(other),
        }
    }

    #[inline(never)]
    fn add_bounds(&self, other: &Number) -> Result<Number, Trouble> {
        Number::between(
            enclosure::sum(self.lower(), other.lower(), false),
            enclosure::sum(self.upper(), other.upper(), true),
        )
    }

    /// The difference.
    #[inline(always)]
    pub fn sub(&self, other: &Number) -> Result<Number, Trouble> {
        match (self, other) {
            (Number::Exact(a), Number::Exact(b)) => bounded(a - b),
            _ => self.add_bounds(&other.neg()),
        }
    }

    /// The product.
    #[inline(always)]
    pub fn mul(&self, other: &Number) -> Result<Number, Trouble> {
        match (self, other) {
            (Number::Exact(a), Number::Exact(b)) => bounded(a * b),
            _ => self.mul_bounds(other),
        }
    }

    #[inline(never)]
    fn mul_bounds(&self, other: &Number) -> Result<Number, Trouble> {
        let (lo, hi) = enclosure::product((self.lower(), self.upper()), (other.lower(), other.upper()));
        Number::between(lo, hi)
    }

    /// The quotient.
    #[inline]
    pub fn div(&self, other: &Number) -> Result<Number, Trouble> {
        match (self, other) {
            (Number::Exact(a), Number::Exact(b)) => match a.checked_div(b) {
                Some(made) => bounded(made),
                None => Err(Trouble::DivisionByZero),
            },
            _ => self.mul(&other.reciprocal()?),
        }
    }

    /// The product with a unit's factor.
    pub(super) fn scaled(&self, factor: &Exact) -> Number {
        match self {
            Number::Exact(exact) => Number::Exact(exact * factor),
            About(bounds) => {
                let (lo, hi) = (bounds.lo() * factor, bounds.hi() * factor);
                let (lo, hi) = if factor.is_negative() { (hi, lo) } else { (lo, hi) };
                About(Box::new(Enclosure::outward(lo, hi)))
            }
        }
    }

    fn reciprocal(&self) -> Result<Number, Trouble> {
        let over = |n: &Exact| Exact::ONE.checked_div(n).ok_or(Trouble::DivisionByZero);
        if self.lower().signum() != self.upper().signum() || self.lower().is_zero() {
            let nothing = self.is_exact();
            return Err(if nothing { Trouble::DivisionByZero } else { Trouble::TooClose });
        }
        Number::between(over(self.upper())?, over(self.lower())?)
    }

    /// The number with the other sign.
    #[must_use]
    pub fn neg(&self) -> Number {
        match self {
            Number::Exact(exact) => Number::Exact(-exact),
            About(bounds) => About(Box::new(bounds.negated())),
        }
    }

    /// The number without its sign.
    #[must_use]
    pub fn abs(&self) -> Number {
        match self {
            Number::Exact(exact) => Number::Exact(exact.abs()),
            About(bounds) => About(Box::new(bounds.abs())),
        }
    }

    /// A whole power.
    pub fn powi(&self, exponent: i32) -> Result<Number, Trouble> {
        if exponent < 0 && self.exact().is_some_and(Exact::is_zero) {
            return Err(Trouble::DivisionByZero);
        }
        match self {
            Number::Exact(exact) => bounded(exact.powi(exponent).ok_or(Trouble::TooBig)?),
            About(_) => self.power(exponent),
        }
    }

    fn power(&self, exponent: i32) -> Result<Number, Trouble> {
        // An even power of a range around 0 is never below 0, so the sign is dropped first.
        let even = exponent % 2 == 0;
        let base = if even { self.abs() } else { self.clone() };
        let raise = |n: &Exact| enclosure::power(n, exponent.unsigned_abs());
        let (low, high) = (raise(base.lower())?, raise(base.upper())?);
        let made = Number::between(low.0, high.1)?;
        if exponent < 0 { made.reciprocal() } else { Ok(made) }
    }

    /// The square root; exact when it comes out.
    pub fn sqrt(&self) -> Result<Number, Trouble> {
        if self.upper().is_negative() {
            return Err(Trouble::NoSuchNumber);
        }
        if self.lower().is_negative() {
            return Err(Trouble::TooClose);
        }
        if let Some(root) = self.exact().and_then(Exact::sqrt) {
            return bounded(root);
        }
        Number::between(enclosure::root(self.lower()).0, enclosure::root(self.upper()).1)
    }

    /// Which is greater; none where their bounds leave it open.
    #[inline]
    pub fn compare(&self, other: &Number) -> Option<Ordering> {
        match (self, other) {
            (Number::Exact(a), Number::Exact(b)) => Some(a.cmp(b)),
            _ if self.upper() < other.lower() => Some(Ordering::Less),
            _ if self.lower() > other.upper() => Some(Ordering::Greater),
            _ => None,
        }
    }

    /// What both bounds round to, if they round to the same.
    fn settled(&self, round: impl Fn(&Exact) -> Exact) -> Option<Exact> {
        let low = round(self.lower());
        (self.is_exact() || low == round(self.upper())).then_some(low)
    }

    /// The greatest whole number that is not above it; none where the bounds leave it open.
    pub fn floor(&self) -> Option<Exact> {
        self.settled(Exact::floor)
    }

    /// The least whole number that is not below it; none where the bounds leave it open.
    pub fn ceil(&self) -> Option<Exact> {
        self.settled(Exact::ceil)
    }

    /// The nearest whole number, halves away from 0; none where the bounds leave it open.
    pub fn round(&self) -> Option<Exact> {
        self.settled(Exact::round)
    }
}

impl From<Exact> for Number {
    fn from(exact: Exact) -> Number {
        Number::Exact(exact)
    }
}
