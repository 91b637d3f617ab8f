//! The planner of cuts from edge to edge, any number of them.
//!
//! It starts from strips and looks for shorter and shorter lengths that the pieces can be cut from.
//! What it looks for does not depend on the budget, only when it stops: more work never gives a
//! longer plan.

mod beam;
mod blocks;
mod fill;
mod order;
mod parts;

use beam::Manner;
use blocks::Blocks;
pub(super) use fill::fill;
use order::Orders;
use parts::Parts;

use super::found::{Found, Pieces};
use super::free::{self, task::Task};
use super::kinds::{Kinds, Spot};
use super::search::{FIRST_BOUND, Progress, ROUNDS};
use super::strips;
use super::work::Work;

/// Work for a first look among free layouts.
const FIRST_FREE: u64 = 30_000;

/// Work for strips: first, and in later rounds.
const FIRST_STRIPS: u64 = 15_000;
const STRIPS: &[(usize, u64)] = &[(2, 50_000), (8, 1_000_000), (14, 4_000_000)];

/// Work for orders of laying, which serve jobs of many kinds best, and from how many kinds on.
const FIRST_ORDERS: u64 = 100_000;
const FEW_ORDERS: u64 = 2_000;
const FEW_KINDS: usize = 14;

/// Work for going through all ways of cutting some of the kinds.
const FIRST_PARTS: u64 = 120_000;

/// Strips of more kinds are simple ones.
const MOST_LEVELS: usize = 300;

/// What a piece laid and an open rectangle count, round by round.
const MANNERS: &[(i64, i64)] = &[(4, 4), (0, 4), (0, 1), (4, 0), (16, 4), (4, 1)];

/// The shortest cuts found.
pub(super) fn plan(kinds: &Kinds, work: Work<'_>) -> Found {
    let given = work.left();
    let mut search = Search { so_far: Progress::from_strips(kinds, work), orders: Orders::new() };
    search.strips(FIRST_STRIPS);
    search.so_far.raise(FIRST_BOUND);
    if search.so_far.small() {
        let many = kinds.items.len() > FEW_KINDS;
        let mut parts = Parts::of(kinds);
        for round in 0..ROUNDS {
            if search.so_far.done() {
                break;
            }
            if round % 4 == 3 {
                search.so_far.raise(FIRST_BOUND << (round / 2));
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
            parts.go_through(&mut search.so_far, FIRST_PARTS << round.min(12));
            search.laid_free(FIRST_FREE << round.min(12));
        }
    } else {
        search.strips(given / 4);
        search.so_far.raise(given / 2);
    }
    search.so_far.end()
}

/// A search on its way.
struct Search<'a> {
    so_far: Progress<'a>,
    orders: Orders,
}

impl Search<'_> {
    /// Looks for shorter strips.
    fn strips(&mut self, work: u64) {
        if self.so_far.kinds.items.len() <= MOST_LEVELS {
            self.so_far.ask(work, strips::plan);
        }
    }

    /// Looks for a better order of laying.
    fn by_orders(&mut self, work: u64) {
        if self.so_far.done() || work == 0 {
            return;
        }
        let given = self.so_far.work.part(work);
        if let Some((length, spots)) = self.orders.look(self.so_far.kinds, self.so_far.found.length, given) {
            self.so_far.found.length = length;
            self.so_far.found.pieces = Pieces::Spots(spots);
        }
    }

    /// Looks among layouts that do not care for cuts for one that can be cut.
    fn laid_free(&mut self, work: u64) {
        let known = self.so_far.found.length;
        self.so_far.ask(work, |kinds, work| free::cut(kinds, known, work.part(u64::MAX)));
    }

    /// Looks between what is known and what is not, by halves; each round with more kept.
    fn by_halves(&mut self, round: usize) {
        let (thrift, level) = MANNERS.get((round + round / 4) % MANNERS.len()).copied().unwrap_or((4, 4));
        let padded = if round > 3 && round % 3 == 2 { 24usize << (round / 4).min(3) } else { 0 };
        let manner = Manner { beam: 4usize << (round / 2).min(12), thrift, level, padded };
        let most = 150usize << (round.div_ceil(2)).min(5);
        let mut low = self.so_far.found.bound;
        while low < self.so_far.found.length && !self.so_far.work.out() {
            let half = self.so_far.ends.between(low, self.so_far.found.length) / 2;
            let tried = self.so_far.ends.from(low, half).min(self.so_far.found.length - 1);
            let weights = self.so_far.weights(tried);
            let task = Task::of(self.so_far.kinds, weights, tried, false);
            let blocks = Blocks::of(&task, most);
            self.so_far.work.spend(blocks.work);
            if self.so_far.work.out() {
                break;
            }
            match beam::look(&task, &blocks, manner, &mut self.so_far.work) {
                Some(laid) => {
                    let far = |spot: &blocks::Spot| {
                        let way = task.kinds.get(spot.kind).and_then(|sort| sort.ways.get(spot.way));
                        spot.y + way.map_or(0, |way| way.1)
                    };
                    self.so_far.found.length = laid.iter().map(far).max().unwrap_or(0);
                    let spots: Vec<Spot> =
                        laid.iter().map(|spot| task.placed(spot.kind, spot.way, spot.x, spot.y)).collect();
                    self.so_far.found.pieces = Pieces::Spots(spots);
                }
                None => low = self.so_far.ends.after(tried),
            }
        }
    }
}
