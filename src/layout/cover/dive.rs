//! Whole numbers of strips from fractions: what the relaxation uses most is cut, and the rest
//! relaxed again.

use super::super::work::Work;
use super::generation::Relaxed;
use super::simplex::ONE;
use super::stock::{Cuts, Stock};

/// How far down a dive may leave the first choice, and how often.
#[derive(Clone, Copy, Debug)]
pub(super) struct Freedom {
    /// Only in so many first choices.
    pub depth: u32,
    /// So often.
    pub turns: u32,
}

/// A search by dives.
pub(super) struct Dive<'a, 'w, 's> {
    stock: &'a Stock,
    /// The best cuts found, if any are cheaper than what was known.
    pub best: Option<Cuts>,
    /// What they cost, or what is known to do.
    pub cost: i64,
    /// Nothing costs less.
    bound: i64,
    work: &'w mut Work<'s>,
}

/// What is decided so far in a dive.
#[derive(Clone)]
struct Depth {
    cuts: Cuts,
    cost: i64,
    depth: u32,
    turns: u32,
}

impl<'a, 'w, 's> Dive<'a, 'w, 's> {
    /// A search for something cheaper than `cost`.
    pub fn new(stock: &'a Stock, cost: i64, bound: i64, work: &'w mut Work<'s>) -> Dive<'a, 'w, 's> {
        Dive { stock, best: None, cost, bound, work }
    }

    /// Dives from a solved relaxation.
    pub fn run(&mut self, relaxed: &Relaxed<'a>, freedom: Freedom) {
        let start = Depth { cuts: Vec::new(), cost: 0, depth: freedom.depth, turns: freedom.turns };
        self.below(relaxed.clone(), start, &mut Vec::new());
    }

    fn below(&mut self, mut relaxed: Relaxed<'a>, mut at: Depth, avoid: &mut Vec<usize>) {
        loop {
            if self.whole(&mut relaxed, &mut at) {
                let (goal, enough) = self.ends(&at);
                relaxed.refit();
                if relaxed.solve(goal, Some(enough), self.work).bound() >= goal {
                    return;
                }
            }
            if relaxed.left.iter().all(|left| *left == 0) {
                return self.found(at);
            }
            if self.work.out() || self.cost <= self.bound {
                return;
            }
            let used = relaxed.used();
            let Some(choice) = used
                .iter()
                .filter(|(pattern, _)| !avoid.contains(pattern))
                .max_by_key(|(at, value)| (*value, std::cmp::Reverse(*at)))
            else {
                return;
            };
            let choice = choice.0;
            if at.turns > 0 && at.depth > 0 {
                let next = Depth { depth: at.depth - 1, ..at.clone() };
                if let Some((inner, next)) = self.step(relaxed.clone(), next, choice) {
                    self.below(inner, next, avoid);
                }
                avoid.push(choice);
                at.turns -= 1;
                let again = Depth { depth: at.depth, ..at };
                self.below(relaxed, again, avoid);
                avoid.pop();
                return;
            }
            match self.step(relaxed, at, choice) {
                Some(next) => (relaxed, at) = next,
                None => return,
            }
        }
    }

    /// Cuts one strip more and relaxes the rest; `None` where that cannot end cheaper.
    fn step(
        &mut self,
        mut relaxed: Relaxed<'a>,
        mut at: Depth,
        choice: usize,
    ) -> Option<(Relaxed<'a>, Depth)> {
        let pattern = relaxed.patterns.get(choice)?.clone();
        at.cost = at.cost.saturating_add(self.stock.cost(&pattern));
        relaxed.cut(&pattern, 1);
        at.cuts.push((pattern, 1));
        relaxed.refit();
        let (goal, enough) = self.ends(&at);
        if relaxed.left.iter().all(|left| *left == 0) {
            return (goal > 0).then_some((relaxed, at));
        }
        (relaxed.solve(goal, Some(enough), self.work).bound() < goal).then_some((relaxed, at))
    }

    /// What the rest must cost less than, and what it cannot cost less than as things stand.
    fn ends(&self, at: &Depth) -> (i64, i64) {
        (self.cost.saturating_sub(at.cost), self.bound.saturating_sub(at.cost))
    }

    /// Cuts what the relaxation uses in whole strips; whether there was any.
    fn whole(&mut self, relaxed: &mut Relaxed<'a>, at: &mut Depth) -> bool {
        let mut any = false;
        for (pattern, value) in relaxed.used() {
            let Some(pattern) = relaxed.patterns.get(pattern).cloned() else { continue };
            let fits = pattern
                .holds
                .iter()
                .map(|(item, count)| relaxed.left.get(*item).map_or(0, |left| left / count));
            let times = ((value + ONE / 1000) / ONE).min(fits.min().unwrap_or(0));
            if times > 0 {
                at.cost = at.cost.saturating_add(self.stock.cost(&pattern).saturating_mul(times));
                relaxed.cut(&pattern, times);
                at.cuts.push((pattern, times));
                any = true;
            }
        }
        any
    }

    /// Keeps a whole cover, if it is cheaper; not one that comes of a relaxation which was stopped on its way, as more
    /// work would go another way from there.
    fn found(&mut self, at: Depth) {
        if self.work.out() {
            return;
        }
        let cuts = self.stock.trimmed(at.cuts);
        let cost = self.stock.total(&cuts);
        if cost < self.cost {
            (self.cost, self.best) = (cost, Some(cuts));
        }
    }
}
