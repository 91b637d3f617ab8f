//! What cannot be laid to one source: how far below and how far above it may put a measure.

use crate::measure::Trouble;

/// What a source of error adds.
pub trait Amount: Clone {
    /// The sum.
    fn plus(&self, other: &Self) -> Result<Self, Trouble>;
    /// With the other sign.
    fn opposite(&self) -> Self;
    /// Without its sign.
    fn magnitude(&self) -> Self;
    /// Whether it is 0.
    fn is_nothing(&self) -> bool;
    /// The greater of two.
    fn greater(&self, other: &Self) -> Result<Self, Trouble>;
}

/// Anywhere from `-below` to `above`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Rest<A> {
    pub below: A,
    pub above: A,
}

impl<A: Amount> Rest<A> {
    /// As far either way.
    pub fn even(amount: A) -> Rest<A> {
        Rest { below: amount.clone(), above: amount }
    }

    /// Whether it is nothing.
    pub fn is_nothing(&self) -> bool {
        self.below.is_nothing() && self.above.is_nothing()
    }

    /// Both together.
    pub fn plus(&self, other: &Rest<A>) -> Result<Rest<A>, Trouble> {
        Ok(Rest { below: self.below.plus(&other.below)?, above: self.above.plus(&other.above)? })
    }

    /// With the other sign.
    #[must_use]
    pub fn opposite(&self) -> Rest<A> {
        Rest { below: self.above.clone(), above: self.below.clone() }
    }
}
