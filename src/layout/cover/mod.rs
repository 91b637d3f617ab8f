//! Whole numbers of patterns that cover what is wanted, at the least cost: strips of several
//! heights, lengths of one width, lengths joined.

mod branch;
mod costs;
mod dive;
mod generation;
mod given;
mod price;
mod simplex;
mod stock;

pub(super) use costs::Sums;
pub(super) use given::Programme;
pub(super) use stock::{Cuts, Level, Pattern, Stock, Way};

use super::work::Work;
use branch::{Branch, Closed};
use costs::{Attainable, Costs};
use dive::{Dive, Freedom};
use generation::{DualPrices, Relaxed};

/// What covers all that is wanted.
#[derive(Clone, Debug, Default)]
pub(super) struct Covered {
    /// The patterns and how often; `None` where nothing cheaper than what was known was found.
    pub cuts: Option<Cuts>,
    /// What they cost, or what was known.
    pub cost: i64,
    /// Nothing costs less.
    pub bound: i64,
}

/// The cheapest cover found of all that is wanted. `known` and `bound` are what one is known to cost,
/// and what none can better; some of its patterns may be given as a start.
///
/// What is done next depends on the work done, never on what is left of it, and what comes of a step that the end
/// of the work cut short does not count: so more work finds all that less does.
pub(super) fn cover(
    stock: &Stock,
    (known, bound): (i64, i64),
    start: &Cuts,
    sums: &mut dyn Sums,
    work: &mut Work<'_>,
) -> Covered {
    let mut covered = Covered { cuts: None, cost: known, bound };
    let Some(mut relaxed) = Relaxed::of(stock) else { return covered };
    for (pattern, _) in start {
        relaxed.add(pattern.clone());
    }
    let mut costs = Costs::of(sums, work);
    let dual = relaxed.solve(known, None, work);
    for step in STEPS {
        costs.look(work);
        covered.bound = covered.bound.max(costs.attainable(dual.bound())).min(covered.cost);
        if covered.cost <= covered.bound || work.out() {
            break;
        }
        match step {
            Step::Dive(turns) => {
                let mut dive = Dive::new(stock, covered.cost, covered.bound, work);
                dive.run(&relaxed, Freedom { depth: turns * 2, turns });
                if let Some(cuts) = dive.best {
                    (covered.cost, covered.cuts) = (dive.cost, Some(cuts));
                }
            }
            Step::Branch(limit) => {
                prove(stock, &mut covered, &relaxed, (&dual, limit), &|cost| costs.attainable(cost), work);
            }
        }
    }
    covered
}

/// All patterns that matter, if there are no more than `limit`, and the proof among them.
fn prove(
    stock: &Stock,
    covered: &mut Covered,
    relaxed: &Relaxed<'_>,
    (dual, limit): (&DualPrices, usize),
    attainable: Attainable<'_>,
    work: &mut Work<'_>,
) {
    let mut closed = Closed::of(stock, limit);
    if !relaxed.list((dual, covered.cost), limit, work, &mut |level, holds| closed.add(level, holds)) {
        return;
    }
    let mut branch = Branch::new(stock, closed, dual, covered.cost, attainable, work);
    branch.run();
    let whole = branch.whole;
    if let Some(cuts) = branch.best {
        (covered.cost, covered.cuts) = (branch.cost, Some(cuts));
    }
    if whole {
        covered.bound = covered.cost;
    }
}

/// No cover of all that is wanted costs less than this.
pub(super) fn bound(stock: &Stock, known: i64, work: &mut Work<'_>) -> i64 {
    Relaxed::of(stock).map_or(0, |mut relaxed| relaxed.solve(known, None, work).bound().min(known))
}

/// The cheapest cover found among given patterns, if one costs less than `known`; bounds are worked in
/// `one` parts of a cost.
pub(super) fn among(
    stock: &Stock,
    patterns: &[Pattern],
    (known, one): (i64, i64),
    work: &mut Work<'_>,
) -> Option<Cuts> {
    let dual = DualPrices { one, ..DualPrices::default() };
    let mut closed = Closed::of(stock, patterns.len());
    if !patterns.iter().all(|pattern| closed.add(pattern.level, &pattern.holds)) {
        return None;
    }
    let mut branch = Branch::new(stock, closed, &dual, known, &|cost| cost, work);
    branch.run();
    branch.best
}

/// A step towards the best cover.
#[derive(Clone, Copy, Debug)]
enum Step {
    /// Dives with so much freedom.
    Dive(u32),
    /// All patterns that matter, if there are no more than this, and the proof among them.
    Branch(usize),
}

const STEPS: [Step; 8] = [
    Step::Dive(0),
    Step::Branch(1_000),
    Step::Dive(1),
    Step::Dive(2),
    Step::Branch(20_000),
    Step::Dive(4),
    Step::Branch(80_000),
    Step::Branch(400_000),
];
