//! What a choice of cloths costs.

/// What is spent, the first figure before the second: without a price of the roll its length, then
/// money; with one money, then the length of the roll. Of equals the fewest cloths are best.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cost {
    pub main: i64,
    pub then: i64,
    pub cloths: i64,
}

impl Cost {
    /// The cost of what there is not enough of.
    pub const NEVER: Cost = Cost { main: i64::MAX, then: i64::MAX, cloths: i64::MAX };

    /// Both; what never is stays so.
    pub fn plus(self, other: Cost) -> Cost {
        Cost {
            main: self.main.saturating_add(other.main),
            then: self.then.saturating_add(other.then),
            cloths: self.cloths.saturating_add(other.cloths),
        }
    }

    /// So many times as much.
    pub fn times(self, count: i64) -> Cost {
        Cost {
            main: self.main.saturating_mul(count),
            then: self.then.saturating_mul(count),
            cloths: self.cloths.saturating_mul(count),
        }
    }
}
