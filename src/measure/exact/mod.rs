//! An exact number: a fraction of two machine integers that grows into big ones when it must.
#![expect(
    clippy::arithmetic_side_effects,
    reason = "products of 64-bit integers fit in 128 bits, denominators are above 0, and big integers grow"
)]

mod ops;
mod order;
mod round;
mod text;
mod traits;

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::ToPrimitive;

/// A fraction, exactly. Small ones are not reduced until they have to be.
#[derive(Clone, Debug)]
pub struct Exact(Repr);

/// Invariants: the denominator of `Small` is above 0; `Big` is reduced and does not fit `Small`.
#[derive(Clone, Debug)]
enum Repr {
    Small(i64, i64),
    Big(Box<BigRational>),
}

use Repr::{Big, Small};

impl Exact {
    /// Nothing.
    pub const ZERO: Exact = Exact(Small(0, 1));
    /// One.
    pub const ONE: Exact = Exact(Small(1, 1));

    /// A whole number.
    pub const fn whole(n: i64) -> Exact {
        Exact(Small(n, 1))
    }

    /// A fraction whose denominator is written down, above 0.
    pub(super) const fn fraction(numer: i64, denom: i64) -> Exact {
        Exact(Small(numer, denom))
    }

    /// A whole number of up to 128 bits.
    pub fn wide(n: i128) -> Exact {
        i64::try_from(n).map_or_else(|_| Exact::from_wide(n, 1), Exact::whole)
    }

    /// A fraction; none where the denominator is 0.
    pub fn ratio(numer: i64, denom: i64) -> Option<Exact> {
        match denom {
            0 => None,
            1.. => Some(Exact(Small(numer, denom))),
            _ => Some(Exact::from_wide(-i128::from(numer), -i128::from(denom))),
        }
    }

    /// From big integers, back into small ones where they fit.
    pub fn from_big(big: BigRational) -> Exact {
        match (big.numer().to_i64(), big.denom().to_i64()) {
            (Some(n), Some(d)) => Exact(Small(n, d)),
            _ => Exact(Big(Box::new(big))),
        }
    }

    /// The numerator over the denominator, which is above 0; reduced only where it does not fit otherwise.
    #[cold]
    #[inline(never)]
    fn from_wide(n: i128, d: i128) -> Exact {
        let (n, d) = reduce_wide(n, d);
        match (i64::try_from(n), i64::try_from(d)) {
            (Ok(n), Ok(d)) => Exact(Small(n, d)),
            _ => Exact(Big(Box::new(BigRational::new_raw(n.into(), d.into())))),
        }
    }

    /// The same in big integers.
    pub fn to_big(&self) -> BigRational {
        match &self.0 {
            Small(n, d) => {
                let (n, d) = reduce_small(*n, *d);
                BigRational::new_raw(n.into(), d.into())
            }
            Big(big) => big.as_ref().clone(),
        }
    }

    /// The numerator of the reduced fraction.
    pub fn numer(&self) -> BigInt {
        match &self.0 {
            Small(n, d) => reduce_small(*n, *d).0.into(),
            Big(big) => big.numer().clone(),
        }
    }

    /// The denominator of the reduced fraction, above 0.
    pub fn denom(&self) -> BigInt {
        match &self.0 {
            Small(n, d) => reduce_small(*n, *d).1.into(),
            Big(big) => big.denom().clone(),
        }
    }

    /// Numerator and denominator as they are kept, not reduced; none where they are big.
    #[inline]
    pub fn small(&self) -> Option<(i64, i64)> {
        match &self.0 {
            Small(n, d) => Some((*n, *d)),
            Big(_) => None,
        }
    }

    /// The same number in its lowest terms.
    #[must_use]
    pub fn reduced(&self) -> Exact {
        match &self.0 {
            Small(n, d) => {
                let (n, d) = reduce_small(*n, *d);
                Exact(Small(n, d))
            }
            Big(_) => self.clone(),
        }
    }

    /// The number, where it is whole and fits.
    #[inline]
    pub fn to_i64(&self) -> Option<i64> {
        match &self.0 {
            Small(n, 1) => Some(*n),
            Small(n, d) if n % d == 0 => Some(n / d),
            _ => None,
        }
    }

    /// Whether it is 0.
    #[inline]
    pub fn is_zero(&self) -> bool {
        matches!(self.0, Small(0, _))
    }

    /// Whether it is below 0.
    #[inline]
    pub fn is_negative(&self) -> bool {
        match &self.0 {
            Small(n, _) => *n < 0,
            Big(big) => big.numer().sign() == num_bigint::Sign::Minus,
        }
    }

    /// Whether nothing is left after the whole.
    #[inline]
    pub fn is_whole(&self) -> bool {
        match &self.0 {
            Small(n, d) => n % d == 0,
            Big(big) => big.is_integer(),
        }
    }

    /// -1, 0 or 1.
    #[inline]
    pub fn signum(&self) -> i32 {
        match (self.is_zero(), self.is_negative()) {
            (true, _) => 0,
            (_, true) => -1,
            _ => 1,
        }
    }

    /// How many bits it takes, so that growth can be bounded.
    pub fn bits(&self) -> u64 {
        match &self.0 {
            Small(n, d) => u64::from(128 - n.unsigned_abs().leading_zeros() - d.leading_zeros()),
            Big(big) => big.numer().bits() + big.denom().bits(),
        }
    }

    /// Whether it has grown past machine integers.
    #[inline]
    pub fn is_big(&self) -> bool {
        matches!(self.0, Big(_))
    }
}

/// Lowest terms. The greatest common divisor divides a positive `d`, so it fits back.
fn reduce_small(n: i64, d: i64) -> (i64, i64) {
    if d == 1 {
        return (n, d);
    }
    // One step of division first: the numerator is mostly the longer of the two.
    let (n_size, d_size) = (n.unsigned_abs(), d.unsigned_abs());
    let common = num_integer::gcd(n_size.checked_rem(d_size).unwrap_or(n_size), d_size);
    match i64::try_from(common) {
        Ok(common) if common > 1 => (n / common, d / common),
        _ => (n, d),
    }
}

fn reduce_wide(n: i128, d: i128) -> (i128, i128) {
    let common = num_integer::gcd(n.unsigned_abs(), d.unsigned_abs());
    match i128::try_from(common) {
        Ok(common) if common > 1 => (n / common, d / common),
        _ => (n, d),
    }
}

impl From<i64> for Exact {
    fn from(n: i64) -> Exact {
        Exact::whole(n)
    }
}

impl Default for Exact {
    fn default() -> Exact {
        Exact::ZERO
    }
}
