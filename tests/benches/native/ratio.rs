//! Fractions of two machine integers, in lowest terms.

use std::cmp::Ordering;
use std::ops::{Add, Div, Mul, Neg, Sub};

/// A fraction; the denominator is above 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ratio {
    pub n: i64,
    pub d: i64,
}

pub fn gcd(mut a: u64, mut b: u64) -> u64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

impl Ratio {
    pub const fn whole(n: i64) -> Ratio {
        Ratio { n, d: 1 }
    }

    pub fn new(n: i64, d: i64) -> Ratio {
        if d == 1 {
            return Ratio { n, d };
        }
        let (n, d) = if d < 0 { (-n, -d) } else { (n, d) };
        match gcd(n.unsigned_abs(), d.unsigned_abs()).cast_signed() {
            1 => Ratio { n, d },
            common => Ratio { n: n / common, d: d / common },
        }
    }

    pub fn floor(self) -> i64 {
        self.n.div_euclid(self.d)
    }

    pub fn ceil(self) -> i64 {
        -(-self.n).div_euclid(self.d)
    }

    /// The nearest whole number, halves away from 0.
    pub fn round(self) -> i64 {
        let up = (2 * self.n.abs() + self.d) / (2 * self.d);
        if self.n < 0 { -up } else { up }
    }

    pub fn abs(self) -> Ratio {
        Ratio { n: self.n.abs(), d: self.d }
    }
}

impl Add for Ratio {
    type Output = Ratio;
    fn add(self, other: Ratio) -> Ratio {
        if self.d == other.d {
            return Ratio::new(self.n + other.n, self.d);
        }
        Ratio::new(self.n * other.d + other.n * self.d, self.d * other.d)
    }
}

impl Neg for Ratio {
    type Output = Ratio;
    fn neg(self) -> Ratio {
        Ratio { n: -self.n, d: self.d }
    }
}

impl Sub for Ratio {
    type Output = Ratio;
    fn sub(self, other: Ratio) -> Ratio {
        self + -other
    }
}

impl Mul for Ratio {
    type Output = Ratio;
    fn mul(self, other: Ratio) -> Ratio {
        Ratio::new(self.n * other.n, self.d * other.d)
    }
}

impl Div for Ratio {
    type Output = Ratio;
    fn div(self, other: Ratio) -> Ratio {
        Ratio::new(self.n * other.d, self.d * other.n)
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Ratio) -> Option<Ordering> {
        Some((self.n * other.d).cmp(&(other.n * self.d)))
    }
}
