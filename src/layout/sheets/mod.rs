//! Cloth of a fixed size: pieces in hand that save cloth to buy, and cloth sold by the piece.
//!
//! Where the pieces are few, all choices of them are gone through ([`small`]). Each kind of cuts
//! starts from what the plainer kinds found, with the same work for each, so that a freer kind never
//! costs more.

mod cost;
mod deal;
mod rounds;
mod shelf;
mod small;
mod squeezed;
mod task;

use std::cell::RefCell;
use std::collections::HashMap;

use super::cover::Work;
use super::job::{Budget, Job, Kind, Misfit};
use super::plan::Plan;
use cost::Cost;
use small::Small;
use task::{Roll, Task};

/// What a length of the roll costs, in the smallest coin.
pub(super) type Price<'a> = &'a dyn Fn(i64) -> i64;

/// The kinds of cuts, the plainest first.
const KINDS: [Kind; 3] = [Kind::Strips, Kind::EdgeToEdge, Kind::Any];

/// The cheapest plan found that may use the sheets. Without a price of the roll, the one that takes the
/// least of it.
pub(super) fn plan(job: &Job, price: Option<Price<'_>>, kind: Kind, budget: Budget) -> Result<Plan, Misfit> {
    let job = &rounds::without_selvage(job);
    let known: RefCell<HashMap<i64, i64>> = RefCell::default();
    let cost = |length: i64| match price {
        Some(price) => {
            let main = *known.borrow_mut().entry(length).or_insert_with(|| price(length));
            Cost { main, then: length, cloths: 0 }
        }
        None => Cost { main: length, then: 0, cloths: 0 },
    };
    let total = |plan: &Plan| match (job.roll, price) {
        (Some(_), None) => (plan.length, plan.cost),
        _ => (plan.cost, plan.length),
    };
    let roll = job.roll.map(|width| Roll { width, cost: &cost });
    let task = Task::of(job, job.roll.is_some() && price.is_none());
    let share = budget.0 / 3;
    let by_selvage = job.pieces.iter().any(|piece| piece.count > 0 && piece.by_selvage);
    let mut small = if by_selvage { None } else { Small::of(&task, roll, share) };
    let mut best: Option<Result<Plan, Misfit>> = None;
    for kind in KINDS.into_iter().filter(|one| *one <= kind) {
        let found = small.as_mut().and_then(|small| small.plan(kind, &mut Work(share)));
        let found = match found {
            Some(found) => finished(&task, roll, kind, found, price.is_some()),
            None => {
                small = None;
                rounds::plan(job, price, kind, Budget(share))
            }
        };
        best = Some(match best {
            None => found,
            Some(best) => better(best, found, kind, &total),
        });
    }
    best.unwrap_or_else(|| Ok(Plan::default()))
}

/// The cheaper of two plans, as one of the freer kind.
fn better(
    plainer: Result<Plan, Misfit>,
    freer: Result<Plan, Misfit>,
    kind: Kind,
    total: &dyn Fn(&Plan) -> (i64, i64),
) -> Result<Plan, Misfit> {
    match (plainer, freer) {
        (Ok(plainer), Ok(freer)) if total(&plainer) <= total(&freer) => {
            let bound = freer.bound.min(total(&plainer).0);
            Ok(Plan { kind, bound, proved: bound == total(&plainer).0, ..plainer })
        }
        (Ok(plainer), Err(_)) => Ok(Plan { kind, bound: 0, proved: false, ..plainer }),
        (_, freer) => freer,
    }
}

/// A plan of a small job.
fn finished(
    task: &Task,
    roll: Option<Roll<'_>>,
    kind: Kind,
    found: small::Found,
    priced: bool,
) -> Result<Plan, Misfit> {
    let left = task.left(&found.left);
    if !left.is_empty() {
        return Err(Misfit::NoRoom { left });
    }
    let spreads = task.spreads(&found.uses, roll.map_or(0, |roll| roll.width));
    let (bound, main) = (found.bound, found.cost.main);
    let cost = if priced { main } else { task.sheets_cost(&found.uses) };
    Ok(Plan { kind, spreads, length: found.length, cost, bound, proved: bound >= main })
}
