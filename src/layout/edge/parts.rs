//! All ways of cutting all kinds, or the largest alone: where these are few enough, the shortest length is known.

use super::super::found::Pieces;
use super::super::fronts::{Fronts, Limits, States};
use super::super::kinds::{Item, Kinds, Spot};
use super::super::search::Progress;
use super::super::work::Work;

/// More choices of pieces than this are not gone through.
const MOST_STATES: usize = 1 << 15;

/// So many pairs of choices are about one step of work.
const PAIRS: u64 = 8;

/// All of a job's kinds or some, to be gone through.
#[derive(Clone, Debug)]
struct Part {
    items: Vec<Item>,
    states: States,
    /// Whether these are all kinds.
    all: bool,
}

/// All kinds, and the largest kind, the two largest and so on, each by itself; those not gone through yet.
#[derive(Clone, Debug)]
pub(super) struct Parts {
    parts: Vec<Part>,
    /// So many times the least work is what the last one took.
    times: u64,
}

impl Parts {
    /// The parts of a job.
    pub fn of(kinds: &Kinds) -> Parts {
        let mut order: Vec<usize> = (0..kinds.items.len()).collect();
        let area = |at: &usize| kinds.items.get(*at).map(|item| item.across.saturating_mul(item.along));
        order.sort_by_key(|at| std::cmp::Reverse(area(at)));
        let mut parts = Vec::new();
        for count in 1..=order.len() {
            let all = count == order.len();
            let some = kinds.some(order.get(..count).unwrap_or(&[]));
            let items = if all { kinds.items.clone() } else { some.items };
            let counts: Vec<u64> = items.iter().map(|item| item.count).collect();
            let Some(states) = States::of(&counts, MOST_STATES) else { break };
            parts.push(Part { items, states, all });
        }
        Parts { parts, times: 1 }
    }

    /// Goes through the parts that so much work may suffice for: more kinds take no fewer times the least work.
    pub fn go_through(&mut self, so_far: &mut Progress<'_>, work: u64) {
        let mut enough = true;
        let times = &mut self.times;
        self.parts.retain(|part| {
            let least = part.states.pairs() / PAIRS;
            let given = work.min(so_far.work.left());
            // Where it does not suffice for some kinds, it does not for more; all waste less.
            let tried =
                if part.all { least <= work } else { enough && least.saturating_mul(*times) <= given };
            if so_far.done() || !tried {
                return true;
            }
            let mut given = so_far.work.part(work);
            let before = given.left();
            enough = part.settle(so_far, &mut given);
            if enough {
                *times = ((before - given.left()) / least.max(1)).max(1);
            }
            so_far.work.back(given);
            !enough
        });
    }
}

impl Part {
    /// The shortest length, where it is below the best plan; whether that is known now.
    fn settle(&self, so_far: &mut Progress<'_>, work: &mut Work<'_>) -> bool {
        let (width, below) = (so_far.kinds.width, so_far.found.length - 1);
        let area: i128 = self
            .items
            .iter()
            .map(|item| i128::from(item.across) * i128::from(item.along) * i128::from(item.count))
            .sum();
        let waste = i128::from(width) * i128::from(below) - area;
        let limits = Limits { most: (width, below), waste };
        let Some(fronts) = Fronts::of(&self.states, &self.items, limits, work) else { return false };
        let all = self.states.size() - 1;
        let length = fronts.length(all, width);
        so_far.found.bound = length.map_or(so_far.found.length, |length| length.max(so_far.found.bound));
        if let Some(length) = length.filter(|_| self.all) {
            let placed = fronts.placed(&self.states, &self.items, all, width);
            let spot = |one: &super::super::plan::Placed| Spot {
                item: one.piece,
                turned: one.turned,
                x: one.at.x,
                y: one.at.y,
            };
            so_far.found.pieces = Pieces::Spots(placed.iter().map(spot).collect());
            so_far.found.length = length;
        }
        true
    }
}
