//! Costs that can come out at all, which are learnt on the way.

use super::super::work::Work;

/// The smallest cost that can come out and is not below the one given.
pub(super) type Attainable<'a> = &'a dyn Fn(i64) -> i64;

/// Work for a first look at which costs there are.
const FIRST_LOOK: u64 = 300;
/// A later look takes at most this part of the work done so far.
const LATER_LOOK: u64 = 10;

/// The sums that costs can be.
pub(in crate::layout) trait Sums {
    /// The smallest of them that is not below `cost`, as far as they are known.
    fn attainable(&self, cost: i64) -> i64;

    /// Finds out which they are; whether the work sufficed for that.
    fn look(&mut self, work: &mut Work<'_>) -> bool;
}

/// Sums of which nothing is known.
impl Sums for () {
    fn attainable(&self, cost: i64) -> i64 {
        cost
    }

    fn look(&mut self, _: &mut Work<'_>) -> bool {
        true
    }
}

/// Costs that can come out, and when they are looked for again.
pub(super) struct Costs<'a> {
    sums: &'a mut dyn Sums,
    /// What was left of the work at the beginning.
    given: u64,
    /// The least work for another look; `None` where there is no more to find out.
    next: Option<u64>,
}

impl<'a> Costs<'a> {
    /// Costs after a first look.
    pub fn of(sums: &'a mut dyn Sums, work: &mut Work<'_>) -> Costs<'a> {
        let mut costs = Costs { sums, given: work.left(), next: None };
        costs.take(FIRST_LOOK, work);
        costs
    }

    /// Another look, where it takes no more than a part of what was done.
    pub fn look(&mut self, work: &mut Work<'_>) {
        let most = self.given.saturating_sub(work.left()) / LATER_LOOK;
        if self.next.is_some_and(|next| most >= next) {
            self.take(most, work);
        }
    }

    fn take(&mut self, most: u64, work: &mut Work<'_>) {
        let known = work.whole(most, |some| self.sums.look(some));
        self.next = (!known).then_some(most * 2);
    }

    /// The smallest cost that can come out and is not below this one.
    pub fn attainable(&self, cost: i64) -> i64 {
        self.sums.attainable(cost)
    }
}
