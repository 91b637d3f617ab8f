//! Arithmetic. The everyday case stays in 64 bits; what does not fit goes through 128 bits, is
//! reduced, and grows into big integers only if it still does not fit.

use std::borrow::Borrow;
use std::ops::{Add, Mul, Neg, Sub};

use num_bigint::BigInt;
use num_rational::BigRational;

use super::Exact;
use super::Repr::{Big, Small};

impl Exact {
    /// The sum, or the difference.
    #[inline(always)]
    fn joined<const MINUS: bool>(&self, other: &Exact) -> Exact {
        let join = |a: i64, b: i64| if MINUS { a.checked_sub(b) } else { a.checked_add(b) };
        if let (Small(a, b), Small(c, d)) = (&self.0, &other.0) {
            if b == d {
                if let Some(n) = join(*a, *c) {
                    return Exact(Small(n, *b));
                }
            } else if let (Some(left), Some(right), Some(below)) =
                (a.checked_mul(*d), c.checked_mul(*b), b.checked_mul(*d))
                && let Some(n) = join(left, right)
            {
                return Exact(Small(n, below));
            }
        }
        if MINUS { self.plus_wide(&other.negated()) } else { self.plus_wide(other) }
    }

    #[cold]
    #[inline(never)]
    fn plus_wide(&self, other: &Exact) -> Exact {
        match (&self.0, &other.0) {
            (Small(a, b), Small(c, d)) if b == d => {
                Exact::from_wide(i128::from(*a) + i128::from(*c), (*b).into())
            }
            // Each product is below 2^126, so the sum fits.
            (Small(a, b), Small(c, d)) => {
                let (a, b, c, d) = (i128::from(*a), i128::from(*b), i128::from(*c), i128::from(*d));
                Exact::from_wide(a * d + c * b, b * d)
            }
            _ => Exact::from_big(self.to_big() + other.to_big()),
        }
    }

    #[inline(always)]
    fn times(&self, other: &Exact) -> Exact {
        if let (Small(a, b), Small(c, d)) = (&self.0, &other.0)
            && let (Some(n), Some(below)) = (a.checked_mul(*c), b.checked_mul(*d))
        {
            return Exact(Small(n, below));
        }
        self.times_wide(other)
    }

    #[cold]
    #[inline(never)]
    fn times_wide(&self, other: &Exact) -> Exact {
        match (&self.0, &other.0) {
            (Small(a, b), Small(c, d)) => {
                Exact::from_wide(i128::from(*a) * i128::from(*c), i128::from(*b) * i128::from(*d))
            }
            _ => Exact::from_big(self.to_big() * other.to_big()),
        }
    }

    /// The quotient; none where `other` is 0.
    #[inline]
    pub fn checked_div(&self, other: &Exact) -> Option<Exact> {
        if let (Small(a, b), Small(c, d)) = (&self.0, &other.0)
            && *c > 0
            && let (Some(n), Some(below)) = (a.checked_mul(*d), b.checked_mul(*c))
        {
            return Some(Exact(Small(n, below)));
        }
        self.div_wide(other)
    }

    #[cold]
    #[inline(never)]
    fn div_wide(&self, other: &Exact) -> Option<Exact> {
        match (&self.0, &other.0) {
            (_, Small(0, _)) => None,
            (Small(a, b), Small(c, d)) => {
                let (n, below) = (i128::from(*a) * i128::from(*d), i128::from(*b) * i128::from(*c));
                let (n, below) = if below < 0 { (-n, -below) } else { (n, below) };
                Some(match (i64::try_from(n), i64::try_from(below)) {
                    (Ok(n), Ok(below)) => Exact(Small(n, below)),
                    _ => Exact::from_wide(n, below),
                })
            }
            _ => Some(Exact::from_big(self.to_big() / other.to_big())),
        }
    }

    #[inline]
    fn negated(&self) -> Exact {
        match &self.0 {
            Small(n, d) => match n.checked_neg() {
                Some(n) => Exact(Small(n, *d)),
                None => Exact::from_wide(-i128::from(*n), (*d).into()),
            },
            Big(big) => Exact::from_big(-big.as_ref()),
        }
    }

    /// The same number above 0.
    #[must_use]
    #[inline]
    pub fn abs(&self) -> Exact {
        if self.is_negative() { self.negated() } else { self.clone() }
    }

    /// A whole power; none for a negative power of 0, or where the result would take more than
    /// 65,536 bits.
    pub fn powi(&self, exponent: i32) -> Option<Exact> {
        const MOST_BITS: u64 = 65_536;
        let base = if exponent < 0 { Exact::ONE.checked_div(self)? } else { self.reduced() };
        let mut left = exponent.unsigned_abs();
        let unit = base.abs() == Exact::ONE || base.is_zero();
        if !unit && base.bits().checked_mul(u64::from(left))? > MOST_BITS {
            return None;
        }
        let (mut made, mut square) = (Exact::ONE, base);
        while left > 0 {
            if left & 1 == 1 {
                made = &made * &square;
            }
            left >>= 1;
            if left > 0 {
                square = &square * &square;
            }
        }
        Some(made)
    }

    /// The square root, only when it comes out.
    pub fn sqrt(&self) -> Option<Exact> {
        if self.is_negative() {
            return None;
        }
        let root = |n: &BigInt| {
            let root = n.sqrt();
            (&root * &root == *n).then_some(root)
        };
        match &self.reduced().0 {
            Small(n, d) => {
                let (n, d) = (n.unsigned_abs(), d.unsigned_abs());
                let (above, below) = (n.isqrt(), d.isqrt());
                let comes_out = above * above == n && below * below == d;
                comes_out.then(|| Exact::ratio(i64::try_from(above).ok()?, i64::try_from(below).ok()?))?
            }
            Big(big) => Some(Exact::from_big(BigRational::new_raw(root(big.numer())?, root(big.denom())?))),
        }
    }
}

/// The four shapes of an operator, values and references.
macro_rules! operator {
    ($name:ident $method:ident $inner:expr; $($left:ty, $right:ty;)+) => {
        $(impl $name<$right> for $left {
            type Output = Exact;
            #[inline]
            fn $method(self, other: $right) -> Exact {
                $inner(Borrow::<Exact>::borrow(&self), Borrow::<Exact>::borrow(&other))
            }
        })+
    };
    ($name:ident $method:ident $inner:expr) => {
        operator!($name $method $inner; Exact, Exact; Exact, &Exact; &Exact, Exact; &Exact, &Exact;);
    };
}

operator!(Add add Exact::joined::<false>);
operator!(Sub sub Exact::joined::<true>);
operator!(Mul mul Exact::times);

impl Neg for &Exact {
    type Output = Exact;
    #[inline]
    fn neg(self) -> Exact {
        self.negated()
    }
}

impl Neg for Exact {
    type Output = Exact;
    #[inline]
    fn neg(self) -> Exact {
        self.negated()
    }
}
