//! What searches for a shorter plan have in common: what is found so far, what is left of the work.

use super::bounds;
use super::found::{Found, Pieces};
use super::kinds::Kinds;
use super::simple;
use super::work::Work;

/// More pieces than this are not laid one by one, nor pieces of more kinds.
const MOST_PIECES: u64 = 5000;
const MOST_KINDS: usize = 400;

/// Larger cloths, in square steps, are not searched.
const MOST_AREA: i128 = 1 << 56;

/// Rounds of search at most.
pub(super) const ROUNDS: usize = 40;

/// Work for a first bound.
pub(super) const FIRST_BOUND: u64 = 40_000;

/// Work for weights of sides, and for how many kinds they are taken.
const WEIGHING: u64 = 50_000;
const MOST_WEIGHED: usize = 60;

/// Weights of sides across and along, by kind and way.
pub(super) type Weights = (Vec<Vec<i64>>, Vec<Vec<i64>>);

/// A search on its way.
pub(super) struct Progress<'a> {
    pub kinds: &'a Kinds,
    pub found: Found,
    pub ends: bounds::Ends,
    /// What is left of the work.
    pub work: Work<'a>,
}

impl<'a> Progress<'a> {
    /// A search for something shorter than what is found.
    pub fn new(kinds: &'a Kinds, found: Found, mut work: Work<'a>) -> Progress<'a> {
        let ends = bounds::Ends::of(kinds, found.length, &mut work);
        Progress { kinds, found, ends, work }
    }

    /// A search that starts from simple strips.
    pub fn from_strips(kinds: &'a Kinds, work: Work<'a>) -> Progress<'a> {
        let strips = simple::strips(kinds);
        let length = simple::length(&strips);
        Progress::new(kinds, Found { length, bound: 0, pieces: Pieces::Strips(strips) }, work)
    }

    /// Whether there is nothing more to find, or nothing left to spend.
    pub fn done(&self) -> bool {
        self.work.out() || self.found.bound >= self.found.length
    }

    /// Whether the pieces are few enough to be laid one by one, and areas are in range.
    pub fn small(&self) -> bool {
        let pieces = self.kinds.items.iter().fold(0u64, |sum, item| sum.saturating_add(item.count));
        let area = i128::from(self.kinds.width) * i128::from(self.found.length);
        pieces <= MOST_PIECES && self.kinds.items.len() <= MOST_KINDS && area <= MOST_AREA
    }

    /// Looks for a higher bound.
    pub fn raise(&mut self, work: u64) {
        let mut given = self.work.part(work);
        self.found.bound = bounds::above(self.kinds, self.found.bound, self.found.length, &mut given);
        self.work.back(given);
    }

    /// Gives another planner some of the work, and keeps what it finds if that is shorter.
    pub fn ask(&mut self, work: u64, planner: impl FnOnce(&Kinds, &mut Work<'_>) -> Found) {
        if self.done() || work == 0 {
            return;
        }
        let other = planner(self.kinds, &mut self.work.part(work));
        if other.length < self.found.length {
            self.found = Found { bound: self.found.bound, ..other };
        }
    }

    /// Weights for a search on cloth of this length.
    pub fn weights(&mut self, length: i64) -> Weights {
        let mut sides = bounds::Sides::of(self.kinds, self.work.part(WEIGHING));
        let few = self.kinds.items.len() <= MOST_WEIGHED;
        let found = if few { sides.weights(length) } else { Weights::default() };
        self.work.back(sides.rest());
        found
    }

    /// What is found, no bound above it.
    pub fn end(self) -> Found {
        Found { bound: self.found.bound.min(self.found.length), ..self.found }
    }
}
