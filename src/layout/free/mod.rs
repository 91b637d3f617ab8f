//! The planner of pieces that lie anyhow, without overlap.
//!
//! Two searches take turns: one over far edges of what is laid, which is strong where kinds are
//! few, and one over orders of the kinds, for many kinds. Where the pieces are few, or some kinds of them
//! are, all ways are gone through: that raises the bound. What they look for does not depend on
//! the budget, only when they stop: more work never gives a longer plan.

mod beam;
mod exact;
mod held;
mod order;
mod parts;
pub(super) mod room;
mod sky;
pub(super) mod task;

use std::collections::HashMap;

use beam::{Manner, Outcome};
use order::Orders;
use parts::Parts;
use task::Task;

use super::found::{Found, Pieces};
use super::kinds::{Kinds, Spot};
use super::plan::{Placed, Rect};
use super::search::{FIRST_BOUND, Progress, ROUNDS, Weights};
use super::work::Work;
use super::{bounds, strips, tree};

/// Work for the first orders.
const FIRST_ORDERS: u64 = 20_000;

/// Work that it takes to begin.
const A_TASK: u64 = 50;

/// Work for the first try to prove that a length is too short, for each part of the kinds.
const FIRST_PROOF: u64 = 4000;

/// So many kinds at most are better searched by edges than by orders.
const FEW_KINDS: usize = 16;

/// Rounds in which strips are looked at, and the work for that.
const STRIPS: &[(usize, u64)] = &[(2, 20_000), (8, 300_000), (14, 3_000_000)];

/// What a piece laid and an uneven edge count, round by round.
const MANNERS: &[(i64, i64)] = &[(8, 4), (4, 8), (2, 2), (16, 16), (0, 1)];

/// The shortest layout found.
pub(super) fn plan(kinds: &Kinds, work: Work<'_>) -> Found {
    let given = work.left();
    let mut search = Search::new(Progress::from_strips(kinds, work), false);
    search.so_far.raise(FIRST_BOUND);
    if search.so_far.small() {
        search.by_orders(FIRST_ORDERS);
        let mut parts = Parts::of(kinds);
        for round in 0..ROUNDS {
            if search.so_far.done() {
                break;
            }
            if round % 4 == 3 {
                search.so_far.raise(FIRST_BOUND << (round / 2));
            }
            if let Some((_, work)) = STRIPS.iter().find(|(when, _)| *when == round) {
                search.so_far.ask(*work, strips::plan);
            }
            parts.raise(&mut search.so_far, FIRST_PROOF << (round / 2), round % 2 == 1);
            search.round(round);
        }
    } else {
        search.so_far.ask(given / 2, strips::plan);
        search.so_far.raise(given / 2);
    }
    search.so_far.end()
}

/// The shortest layout found that can be cut edge to edge, if it is shorter than `known`.
pub(super) fn cut(kinds: &Kinds, known: i64, mut work: Work<'_>) -> Found {
    let bound = bounds::any(kinds, known, work.part(0));
    let found = Found { length: known, bound, pieces: Pieces::Strips(Vec::new()) };
    let mut search = Search::new(Progress::new(kinds, found, work), true);
    for round in 0..ROUNDS {
        if search.so_far.done() {
            break;
        }
        search.round(round);
    }
    search.so_far.found
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

/// Pieces laid by a search as they lie on the cloth, and the length that they take.
fn on_cloth(kinds: &Kinds, task: &Task, spots: &[task::Spot]) -> (i64, Vec<Spot>) {
    let spots: Vec<Spot> = spots.iter().map(|spot| task.spot(spot)).collect();
    let along = |spot: &Spot| kinds.items.get(spot.item).map_or(0, |item| item.lies(spot.turned).1);
    let length = spots.iter().map(|spot| spot.y + along(spot)).max().unwrap_or(0);
    (length, spots)
}

/// A search on its way.
struct Search<'a> {
    so_far: Progress<'a>,
    /// Weights of sides for the lengths that were tried.
    weights: HashMap<i64, Weights>,
    orders: Orders,
    /// Only what can be cut edge to edge counts.
    only_cut: bool,
}

impl<'a> Search<'a> {
    fn new(so_far: Progress<'a>, only_cut: bool) -> Search<'a> {
        let orders = Orders::of(so_far.kinds.width, &Task::plain(so_far.kinds).kinds);
        Search { so_far, weights: HashMap::new(), orders, only_cut }
    }

    /// Both searches in turn.
    fn round(&mut self, round: usize) {
        let before = self.so_far.work.left();
        self.by_halves(round);
        let spent = before - self.so_far.work.left();
        let many = self.so_far.kinds.items.len() > FEW_KINDS;
        self.by_orders(if many { spent * 3 } else { spent / 8 });
    }

    /// The task of laying all pieces on cloth of this length; its weights are kept for the next time.
    fn task(&mut self, length: i64, aside: bool) -> Task {
        let weights = match self.weights.get(&length) {
            Some(known) => known.clone(),
            None => {
                let found = self.so_far.weights(length);
                self.weights.insert(length, found.clone());
                found
            }
        };
        let task = Task::of(self.so_far.kinds, weights, length, aside);
        self.so_far.work.spend(A_TASK);
        task
    }

    /// Looks for a better order.
    fn by_orders(&mut self, work: u64) {
        if self.so_far.done() {
            return;
        }
        let work = self.so_far.work.part(work);
        if let Some(given) = self.orders.look(self.so_far.found.length, work) {
            let task = Task::plain(self.so_far.kinds);
            let spots: Vec<Spot> = given.spots.iter().map(|spot| task.spot(spot)).collect();
            if !self.only_cut || cuttable(self.so_far.kinds, &spots, given.length) {
                self.so_far.found.length = given.length;
                self.so_far.found.pieces = Pieces::Spots(spots);
            }
        }
    }

    /// Keeps a layout found, unless it cannot be cut as it should.
    fn laid(&mut self, task: &Task, spots: &[task::Spot]) -> bool {
        let (length, spots) = on_cloth(self.so_far.kinds, task, spots);
        if self.only_cut && !cuttable(self.so_far.kinds, &spots, length) {
            return false;
        }
        self.so_far.found.length = length;
        self.so_far.found.pieces = Pieces::Spots(spots);
        true
    }

    /// Looks between what is known and what is not, by halves; each round with more edges kept.
    fn by_halves(&mut self, round: usize) {
        let (thrift, level) = MANNERS.get((round + round / 4) % MANNERS.len()).copied().unwrap_or((4, 4));
        let manner = Manner { beam: 4usize << (round / 2).min(12), thrift, level };
        let mut low = self.so_far.found.bound;
        while low < self.so_far.found.length && !self.so_far.work.out() {
            let half = self.so_far.ends.between(low, self.so_far.found.length) / 2;
            let tried = self.so_far.ends.from(low, half).min(self.so_far.found.length - 1);
            let task = self.task(tried, round % 2 == 1);
            if self.so_far.work.out() {
                break;
            }
            match beam::look(&task, manner, &mut self.so_far.work) {
                Outcome::Laid(spots) if self.laid(&task, &spots) => {}
                Outcome::Laid(_) | Outcome::Open => low = self.so_far.ends.after(tried),
                Outcome::Never => {
                    low = self.so_far.ends.attainable(tried + 1);
                    self.so_far.found.bound = low;
                }
            }
        }
    }
}
