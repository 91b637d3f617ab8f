//! Lengths that are too short for all kinds, or for the largest alone: of few kinds all ways can be gone through.

use super::super::found::Pieces;
use super::super::kinds::Kinds;
use super::super::search::Progress;
use super::super::work::Work;
use super::super::{bounds, search::Weights};
use super::exact::{self, Outcome, Seen};
use super::task::Task;

/// So many kinds at most are gone through alone.
const MOST_KINDS: usize = 8;

/// So many edges are kept that led to nothing.
const MOST_SEEN: usize = 900_000;

/// Work that it takes to begin.
const A_TASK: u64 = 50;

/// All of a job's kinds or some, and the length that may be too short for them.
#[derive(Clone, Debug)]
struct Part {
    kinds: Kinds,
    /// Whether these are all.
    all: bool,
    /// Whether there is more to find out.
    open: bool,
    length: i64,
    /// Whether what is across the cloth is taken for what is along.
    aside: bool,
    weights: Weights,
    seen: Seen,
}

/// All kinds, and the largest kind, the two largest and so on, each by itself.
#[derive(Clone, Debug)]
pub(super) struct Parts(Vec<Part>);

impl Parts {
    /// The parts of a job.
    pub fn of(kinds: &Kinds) -> Parts {
        let mut order: Vec<usize> = (0..kinds.items.len()).collect();
        let area = |at: &usize| kinds.items.get(*at).map(|item| item.across.saturating_mul(item.along));
        order.sort_by_key(|at| std::cmp::Reverse(area(at)));
        let some = (1..order.len().min(MOST_KINDS + 1)).filter_map(|count| order.get(..count));
        let parts: Vec<Kinds> = some.map(|which| kinds.some(which)).chain([kinds.clone()]).collect();
        let most = MOST_SEEN / parts.len().max(1);
        let part = |kinds: Kinds| Part {
            all: kinds.items.len() == order.len(),
            kinds,
            open: true,
            length: 0,
            aside: false,
            weights: Weights::default(),
            seen: Seen::new(most),
        };
        Parts(parts.into_iter().map(part).collect())
    }

    /// Tries to rule out lengths from the bound on, with so much work for each part. A layout of all kinds
    /// that is found is kept.
    pub fn raise(&mut self, so_far: &mut Progress<'_>, work: u64, aside: bool) {
        for part in self.0.iter_mut().filter(|part| part.open) {
            let mut step = 0;
            let mut left = work;
            while !so_far.done() {
                let low = so_far.found.bound;
                let tried = so_far.ends.from(low, step).min(so_far.found.length - 1);
                let mut given = so_far.work.part(left);
                let (outcome, task) = part.look(tried, aside, &mut given);
                left = given.left();
                so_far.work.back(given);
                match outcome {
                    Outcome::Never => {
                        so_far.found.bound = so_far.ends.attainable(tried + 1);
                        step = step * 2 + 1;
                    }
                    Outcome::Laid(spots) if part.all => {
                        let (length, spots) = super::on_cloth(&part.kinds, &task, &spots);
                        so_far.found.length = length;
                        so_far.found.pieces = Pieces::Spots(spots);
                        step = 0;
                    }
                    _ if step > 0 && left > 0 => step = 0,
                    Outcome::Laid(_) => {
                        part.open = false;
                        break;
                    }
                    Outcome::Open => break,
                }
            }
        }
    }
}

impl Part {
    fn look(&mut self, length: i64, aside: bool, work: &mut Work<'_>) -> (Outcome, Task) {
        if (length, aside) != (self.length, self.aside) {
            let mut sides = bounds::Sides::of(&self.kinds, work.part(u64::MAX));
            self.weights = sides.weights(length);
            work.back(sides.rest());
            self.seen.clear();
            (self.length, self.aside) = (length, aside);
        }
        let task = Task::of(&self.kinds, self.weights.clone(), length, aside);
        work.spend(A_TASK);
        (exact::look(&task, &mut self.seen, work), task)
    }
}
