//! Sameness and order, by cross-multiplication; hashing, on lowest terms.

use std::cmp::Ordering;
use std::hash::{Hash, Hasher};

use super::Exact;
use super::Repr::{Big, Small};

impl Ord for Exact {
    #[inline]
    fn cmp(&self, other: &Exact) -> Ordering {
        match (&self.0, &other.0) {
            (Small(a, b), Small(c, d)) if b == d => a.cmp(c),
            (Small(a, b), Small(c, d)) => {
                (i128::from(*a) * i128::from(*d)).cmp(&(i128::from(*c) * i128::from(*b)))
            }
            _ => self.to_big().cmp(&other.to_big()),
        }
    }
}

impl PartialOrd for Exact {
    #[inline]
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Exact {
    #[inline]
    fn eq(&self, other: &Exact) -> bool {
        match (&self.0, &other.0) {
            (Small(a, b), Small(c, d)) if b == d => a == c,
            (Small(a, b), Small(c, d)) => i128::from(*a) * i128::from(*d) == i128::from(*c) * i128::from(*b),
            (Big(a), Big(b)) => a == b,
            // A big one never fits a small one.
            _ => false,
        }
    }
}

impl Eq for Exact {}

impl Hash for Exact {
    fn hash<H: Hasher>(&self, state: &mut H) {
        match &self.reduced().0 {
            Small(n, d) => (n, d).hash(state),
            Big(big) => (big.numer(), big.denom()).hash(state),
        }
    }
}
