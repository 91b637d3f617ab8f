//! What cannot be laid to one source: how far below and how far above it may put a measure.

use crate::measure::Exact;

/// Anywhere from `-below` to `above`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Rest {
    pub below: Exact,
    pub above: Exact,
}

impl Rest {
    /// Nothing.
    pub const ZERO: Rest = Rest { below: Exact::ZERO, above: Exact::ZERO };

    /// As far either way.
    pub fn even(amount: Exact) -> Rest {
        Rest { below: amount.clone(), above: amount }
    }

    /// Whether it is nothing.
    pub fn is_zero(&self) -> bool {
        self.below.is_zero() && self.above.is_zero()
    }

    /// How far it goes the further way.
    pub fn most(&self) -> Exact {
        if self.below > self.above { self.below.clone() } else { self.above.clone() }
    }

    /// Both together.
    #[must_use]
    pub fn plus(&self, other: &Rest) -> Rest {
        Rest { below: (&self.below + &other.below).reduced(), above: (&self.above + &other.above).reduced() }
    }

    /// So many times.
    #[must_use]
    pub fn times(&self, factor: &Exact) -> Rest {
        let (below, above) = ((&self.below * factor).reduced(), (&self.above * factor).reduced());
        if factor.is_negative() { Rest { below: -above, above: -below } } else { Rest { below, above } }
    }
}
