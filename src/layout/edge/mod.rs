//! The planner of cuts from edge to edge, any number of them.
//!
//! It starts from strips and looks for shorter and shorter lengths that the pieces can be cut from.
//! What it looks for does not depend on the budget, only when it stops: more work never gives a
//! longer plan.

mod beam;
mod blocks;
mod order;

use beam::Manner;
use blocks::Blocks;
use order::Orders;

use super::bounds;
use super::free::{self, task::Task};
use super::job::Budget;
use super::kinds::{Kinds, Spot};
use super::roll::{Found, Pieces};
use super::{simple, strips};

/// More pieces than this are not laid one by one.
const MOST_PIECES: u64 = 5000;

/// Larger cloths, in square steps, are not searched.
const MOST_AREA: i128 = 1 << 54;

/// Rounds of search at most.
const ROUNDS: usize = 40;

/// Work for a first bound, for weights of sides, and for a first look among free layouts.
const FIRST_BOUND: u64 = 40_000;
const WEIGHING: u64 = 50_000;
const FIRST_FREE: u64 = 30_000;
const MOST_WEIGHED: usize = 60;

/// Work for strips: first, and in later rounds.
const FIRST_STRIPS: u64 = 15_000;
const STRIPS: &[(usize, u64)] = &[(2, 50_000), (8, 1_000_000), (14, 4_000_000)];

/// Work for orders of laying, which serve jobs of many kinds best, and from how many kinds on.
const FIRST_ORDERS: u64 = 100_000;
const FEW_ORDERS: u64 = 2_000;
const FEW_KINDS: usize = 14;

/// Strips of more kinds are simple ones.
const MOST_LEVELS: usize = 300;

/// What a piece laid and an open rectangle count, round by round.
const MANNERS: &[(i64, i64)] = &[(4, 4), (0, 4), (0, 1), (4, 0), (16, 4), (4, 1)];

/// The shortest cuts found.
pub(super) fn plan(kinds: &Kinds, budget: Budget) -> Found {
    let strips = simple::strips(kinds);
    let start = Found { length: simple::length(&strips), bound: 0, pieces: Pieces::Strips(strips) };
    let mut search = Search::new(kinds, start, budget.0);
    search.strips(FIRST_STRIPS);
    search.raise(FIRST_BOUND);
    if small(kinds, search.found.length) {
        let many = kinds.items.len() > FEW_KINDS;
        for round in 0..ROUNDS {
            if search.done() {
                break;
            }
            if round % 4 == 3 {
                search.raise(FIRST_BOUND << (round / 2));
            }
            if let Some((_, work)) = STRIPS.iter().find(|(when, _)| *when == round) {
                search.strips(*work);
            }
            if many || round > 0 {
                search.by_orders(if many {
                    FIRST_ORDERS << round.min(12)
                } else {
                    FEW_ORDERS << round.min(8)
                });
            }
            search.by_halves(round);
            search.laid_free(FIRST_FREE << round.min(12));
        }
    } else {
        search.strips(budget.0 / 4);
        search.raise(budget.0 / 2);
    }
    search.found.bound = search.found.bound.min(search.found.length);
    search.found
}

/// Whether the pieces are few enough to be laid one by one, and areas are in range.
fn small(kinds: &Kinds, length: i64) -> bool {
    let pieces = kinds.items.iter().fold(0u64, |sum, item| sum.saturating_add(item.count));
    pieces <= MOST_PIECES && i128::from(kinds.width) * i128::from(length) <= MOST_AREA
}

/// A search on its way.
struct Search<'a> {
    kinds: &'a Kinds,
    found: Found,
    ends: bounds::Ends,
    orders: Orders,
    work: u64,
}

impl<'a> Search<'a> {
    fn new(kinds: &'a Kinds, found: Found, work: u64) -> Search<'a> {
        let ends = bounds::Ends::of(kinds, found.length);
        Search { kinds, found, ends, orders: Orders::new(), work }
    }

    fn done(&self) -> bool {
        self.work == 0 || self.found.bound >= self.found.length
    }

    /// Looks for shorter strips.
    fn strips(&mut self, work: u64) {
        let given = work.min(self.work);
        if self.done() || given == 0 || self.kinds.items.len() > MOST_LEVELS {
            return;
        }
        self.work -= given;
        let strips = strips::plan(self.kinds, Budget(given));
        if strips.length < self.found.length {
            self.found = Found { bound: self.found.bound, ..strips };
        }
    }

    /// Looks for a better order of laying.
    fn by_orders(&mut self, work: u64) {
        let given = work.min(self.work);
        if self.done() || given == 0 {
            return;
        }
        self.work -= given;
        if let Some((length, spots)) = self.orders.look(self.kinds, self.found.length, given) {
            self.found.length = length;
            self.found.pieces = Pieces::Spots(spots);
        }
    }

    /// Looks for a higher bound.
    fn raise(&mut self, work: u64) {
        let given = work.min(self.work);
        let mut left = given;
        self.found.bound = bounds::above(self.kinds, self.found.bound, self.found.length, &mut left);
        self.work -= given - left.min(given);
    }

    /// Looks among layouts that do not care for cuts for one that can be cut.
    fn laid_free(&mut self, work: u64) {
        if self.done() {
            return;
        }
        let given = work.min(self.work);
        self.work -= given;
        let laid = free::cut(self.kinds, self.found.length, given);
        if laid.length < self.found.length && matches!(laid.pieces, Pieces::Spots(_)) {
            self.found = Found { bound: self.found.bound, ..laid };
        }
    }

    /// The task of cutting all pieces from cloth of this length.
    fn task(&mut self, length: i64) -> Task {
        let given = WEIGHING.min(self.work);
        let mut sides = bounds::Sides::of(self.kinds, given);
        let few = self.kinds.items.len() <= MOST_WEIGHED;
        let weights = if few { sides.weights(length) } else { Default::default() };
        self.work -= given - sides.work().min(given);
        Task::of(self.kinds, weights, length, false)
    }

    /// Looks between what is known and what is not, by halves; each round with more kept.
    fn by_halves(&mut self, round: usize) {
        let (thrift, level) = MANNERS.get((round + round / 4) % MANNERS.len()).copied().unwrap_or((4, 4));
        let padded = if round > 3 && round % 3 == 2 { 24usize << (round / 4).min(3) } else { 0 };
        let manner = Manner { beam: 4usize << (round / 2).min(12), thrift, level, padded };
        let most = 150usize << (round.div_ceil(2)).min(5);
        let mut low = self.found.bound;
        while low < self.found.length && self.work > 0 {
            let half = self.ends.between(low, self.found.length) / 2;
            let tried = self.ends.from(low, half).min(self.found.length - 1);
            let task = self.task(tried);
            let blocks = Blocks::of(&task, most);
            self.work = self.work.saturating_sub(blocks.work);
            match beam::look(&task, &blocks, manner, &mut self.work) {
                Some(laid) => {
                    let far = |spot: &blocks::Spot| {
                        let way = task.kinds.get(spot.kind).and_then(|sort| sort.ways.get(spot.way));
                        spot.y + way.map_or(0, |way| way.1)
                    };
                    self.found.length = laid.iter().map(far).max().unwrap_or(0);
                    let spots: Vec<Spot> =
                        laid.iter().map(|spot| task.placed(spot.kind, spot.way, spot.x, spot.y)).collect();
                    self.found.pieces = Pieces::Spots(spots);
                }
                None => low = self.ends.from(tried + 1, 0),
            }
        }
    }
}
