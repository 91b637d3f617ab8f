//! The planner of pieces that lie anyhow, without overlap.
//!
//! Two searches take turns: one over far edges of what is laid, which is strong where kinds are
//! few, and one over orders of the kinds, for many kinds. What they look for does not depend on
//! the budget, only when they stop: more work never gives a longer plan.

mod beam;
mod order;
pub(super) mod room;
mod sky;
pub(super) mod task;

use std::collections::HashMap;

use beam::{Manner, Outcome};
use order::Orders;
use task::Task;

use super::bounds;
use super::job::Budget;
use super::kinds::{Kinds, Spot};
use super::plan::{Placed, Rect};
use super::roll::{Found, Pieces};
use super::{simple, tree};

/// More pieces than this are not laid one by one.
const MOST_PIECES: u64 = 5000;

/// Larger cloths, in square steps, are not searched.
const MOST_AREA: i128 = 1 << 54;

/// Rounds of search at most.
const ROUNDS: usize = 40;

/// Work for a first bound, and for the first orders.
const FIRST_BOUND: u64 = 40_000;
const FIRST_ORDERS: u64 = 20_000;

/// Work that it takes to begin.
const A_TASK: u64 = 50;

/// Work for the first try to prove that a length is too short.
const FIRST_PROOF: u64 = 3000;

/// Work for weights of sides, and for how many kinds they are taken.
const WEIGHING: u64 = 50_000;
const MOST_WEIGHED: usize = 60;

/// So many kinds at most are better searched by edges than by orders.
const FEW_KINDS: usize = 16;

/// Rounds in which strips are looked at, and the work for that.
const STRIPS: &[(usize, u64)] = &[(2, 20_000), (8, 300_000), (14, 3_000_000)];

/// Rounds in which cuts from edge to edge are looked at, and the work for that.
const CUTS: &[(usize, u64)] = &[(5, 100_000), (10, 2_000_000), (15, 8_000_000)];

/// What a piece laid and an uneven edge count, round by round.
const MANNERS: &[(i64, i64)] = &[(8, 4), (4, 8), (2, 2), (16, 16), (0, 1)];

/// The shortest layout found.
pub(super) fn plan(kinds: &Kinds, budget: u64) -> Found {
    let strips = simple::strips(kinds);
    let length = simple::length(&strips);
    let found = Found { length, bound: 0, pieces: Pieces::Strips(strips) };
    let mut search = Search::new(kinds, found, budget);
    search.raise(FIRST_BOUND);
    if small(kinds, length) {
        search.by_orders(FIRST_ORDERS);
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
            if let Some((_, work)) = CUTS.iter().find(|(when, _)| *when == round) {
                search.cuts(*work);
            }
            search.prove(round);
            let before = search.work;
            search.by_halves(round);
            let spent = before - search.work;
            search.by_orders(if kinds.items.len() > FEW_KINDS { spent * 3 } else { spent / 8 });
        }
    } else {
        search.strips(budget / 2);
        search.raise(budget / 2);
    }
    search.found.bound = search.found.bound.min(search.found.length);
    search.found
}

/// The shortest layout found that can be cut edge to edge, if it is shorter than `known`.
pub(super) fn cut(kinds: &Kinds, known: i64, work: u64) -> Found {
    let found = Found { length: known, bound: 0, pieces: Pieces::Strips(Vec::new()) };
    let mut search = Search::new(kinds, found, work);
    search.only_cut = true;
    search.found.bound = bounds::any(kinds, known, 0);
    for round in 0..ROUNDS {
        if search.done() {
            break;
        }
        let before = search.work;
        search.by_halves(round);
        let spent = before - search.work;
        search.by_orders(if kinds.items.len() > FEW_KINDS { spent * 3 } else { spent / 8 });
    }
    search.found
}

/// Whether pieces can be cut apart edge to edge.
fn cuttable(kinds: &Kinds, spots: &[Spot], length: i64) -> bool {
    let placed = |spot: &Spot| {
        let (across, along) = kinds.items.get(spot.item).map_or((0, 0), |item| item.lies(spot.turned));
        Placed { piece: spot.item, turned: spot.turned, at: Rect { x: spot.x, y: spot.y, across, along } }
    };
    let cloth = Rect { x: 0, y: 0, across: kinds.width, along: length };
    tree::cuts(cloth, spots.iter().map(placed).collect()).is_some()
}

/// Whether the pieces are few enough to be laid one by one, and areas are in range.
fn small(kinds: &Kinds, length: i64) -> bool {
    let pieces = kinds.items.iter().fold(0u64, |sum, item| sum.saturating_add(item.count));
    let area = i128::from(kinds.width) * i128::from(length);
    pieces <= MOST_PIECES && area <= MOST_AREA
}

/// Weights of sides across and along, by kind and way.
type Weights = (Vec<Vec<i64>>, Vec<Vec<i64>>);

/// A search on its way.
struct Search<'a> {
    kinds: &'a Kinds,
    found: Found,
    ends: bounds::Ends,
    weights: HashMap<i64, Weights>,
    orders: Orders,
    /// Only what can be cut edge to edge counts.
    only_cut: bool,
    work: u64,
}

impl<'a> Search<'a> {
    fn new(kinds: &'a Kinds, found: Found, work: u64) -> Search<'a> {
        let ends = bounds::Ends::of(kinds, found.length);
        let orders = Orders::of(kinds.width, &Task::plain(kinds).kinds);
        Search { kinds, found, ends, weights: HashMap::new(), orders, only_cut: false, work }
    }

    fn done(&self) -> bool {
        self.work == 0 || self.found.bound >= self.found.length
    }

    /// Looks for a higher bound.
    fn raise(&mut self, work: u64) {
        let given = work.min(self.work);
        let mut left = given;
        self.found.bound = bounds::above(self.kinds, self.found.bound, self.found.length, &mut left);
        self.work -= given - left.min(given);
    }

    /// Weights for a search on cloth of this length, kept for the next time.
    fn weights(&mut self, length: i64) -> Weights {
        if let Some(known) = self.weights.get(&length) {
            return known.clone();
        }
        let given = WEIGHING.min(self.work);
        let mut sides = bounds::Sides::of(self.kinds, given);
        let found =
            if self.kinds.items.len() > MOST_WEIGHED { Weights::default() } else { sides.weights(length) };
        self.work -= given - sides.work().min(given);
        self.weights.insert(length, found.clone());
        found
    }

    /// Looks for shorter strips.
    fn strips(&mut self, work: u64) {
        let given = work.min(self.work);
        if self.done() || given == 0 {
            return;
        }
        self.work -= given;
        let strips = super::strips::plan(self.kinds, Budget(given));
        if strips.length < self.found.length {
            self.found = Found { bound: self.found.bound, ..strips };
        }
    }

    /// Looks for shorter cuts from edge to edge.
    fn cuts(&mut self, work: u64) {
        let given = work.min(self.work);
        if self.done() || given == 0 {
            return;
        }
        self.work -= given;
        let cuts = super::edge::plan(self.kinds, Budget(given));
        if cuts.length < self.found.length {
            self.found = Found { bound: self.found.bound, ..cuts };
        }
    }

    /// Looks for a better order.
    fn by_orders(&mut self, work: u64) {
        if self.done() {
            return;
        }
        let work = work.min(self.work);
        self.work -= work;
        if let Some(given) = self.orders.look(self.found.length, work) {
            let task = Task::plain(self.kinds);
            let spots: Vec<Spot> = given.spots.iter().map(|spot| task.spot(spot)).collect();
            if !self.only_cut || cuttable(self.kinds, &spots, given.length) {
                self.found.length = given.length;
                self.found.pieces = Pieces::Spots(spots);
            }
        }
    }

    /// Tries everything on the shortest length not ruled out, as long as that is little.
    fn prove(&mut self, round: usize) {
        let mut work = FIRST_PROOF << (round / 2);
        let beam = 2000 << (round / 4).min(3);
        let manner = Manner { beam, thrift: 0, level: 0, thorough: true };
        while !self.done() && work > 0 {
            let tried = self.found.bound;
            let weights = self.weights(tried);
            let task = Task::of(self.kinds, weights, tried, round % 2 == 1);
            self.work = self.work.saturating_sub(A_TASK);
            work = work.min(self.work);
            self.work -= work;
            let outcome = beam::look(&task, manner, &mut work);
            self.work += work;
            match outcome {
                Outcome::Laid(spots) if self.laid(&task, &spots) => {}
                Outcome::Never => self.found.bound = self.ends.from(tried + 1, 0),
                Outcome::Laid(_) | Outcome::Unknown => break,
            }
        }
    }

    /// Keeps a layout found, unless it cannot be cut as it should.
    fn laid(&mut self, task: &Task, spots: &[beam::Spot]) -> bool {
        let spots: Vec<Spot> = spots.iter().map(|spot| task.spot(spot)).collect();
        let far = |spot: &Spot| spot.y + self.kinds.items[spot.item].lies(spot.turned).1;
        let length = spots.iter().map(far).max().unwrap_or(0);
        if self.only_cut && !cuttable(self.kinds, &spots, length) {
            return false;
        }
        self.found.length = length;
        self.found.pieces = Pieces::Spots(spots);
        true
    }

    /// Looks between what is known and what is not, by halves; each round with more edges kept.
    fn by_halves(&mut self, round: usize) {
        let (thrift, level) = MANNERS[(round + round / 4) % MANNERS.len()];
        let manner = Manner { beam: 4usize << (round / 2).min(12), thrift, level, thorough: false };
        let mut low = self.found.bound;
        while low < self.found.length && self.work > 0 {
            let half = self.ends.between(low, self.found.length) / 2;
            let tried = self.ends.from(low, half).min(self.found.length - 1);
            let weights = self.weights(tried);
            let task = Task::of(self.kinds, weights, tried, round % 2 == 1);
            self.work = self.work.saturating_sub(A_TASK);
            match beam::look(&task, manner, &mut self.work) {
                Outcome::Laid(spots) if self.laid(&task, &spots) => {}
                Outcome::Laid(_) | Outcome::Unknown => low = self.ends.from(tried + 1, 0),
                Outcome::Never => {
                    low = self.ends.from(tried + 1, 0);
                    self.found.bound = low;
                }
            }
        }
    }
}
