//! Whole numbers near a fraction.

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::BigRational;

use super::Exact;
use super::Repr::{Big, Small};

impl Exact {
    fn from_int(n: BigInt) -> Exact {
        Exact::from_big(BigRational::from_integer(n))
    }

    /// The greatest whole number that is not above it.
    #[must_use]
    #[inline]
    pub fn floor(&self) -> Exact {
        match &self.0 {
            Small(n, d) => Exact::whole(n.div_euclid(*d)),
            Big(big) => Exact::from_int(big.numer().div_floor(big.denom())),
        }
    }

    /// The least whole number that is not below it.
    #[must_use]
    #[inline]
    pub fn ceil(&self) -> Exact {
        match &self.0 {
            Small(n, d) => Exact::from(n.div_euclid(*d)) + Exact::whole(i64::from(n % d != 0)),
            Big(big) => Exact::from_int(big.numer().div_ceil(big.denom())),
        }
    }

    /// The nearest whole number; a half goes away from 0.
    #[must_use]
    pub fn round(&self) -> Exact {
        match &self.0 {
            Small(n, d) => {
                let (whole, rest) = (n / d, n % d);
                let over = rest.unsigned_abs() >= d.unsigned_abs().div_ceil(2);
                Exact::whole(whole) + Exact::whole(if over { n.signum() } else { 0 })
            }
            Big(big) => Exact::from_int(big.round().to_integer()),
        }
    }
}
