//! Cloth of a fixed size: pieces in hand that save cloth to buy, and cloth sold by the piece.
//!
//! Where the pieces are few, all choices of them are gone through ([`small`]); else columns are
//! generated ([`generate`]). Each kind of cuts
//! starts from what the plainer kinds found, with the same work for each, so that a freer kind never
//! costs more.

mod bound;
mod cost;
mod deal;
mod generate;
mod knapsack;
mod shelf;
mod small;
mod squeezed;
mod task;

use std::cell::RefCell;
use std::collections::HashMap;

use super::job::{Job, Kind, Misfit, Piece};
use super::plan::Plan;
use super::roll::Planner;
use super::work::{Shares, Work};
use cost::Cost;
use generate::Generation;
use small::Small;
use task::{Found, Roll, Task};

/// What a length of the roll costs, in the smallest coin.
pub(super) type Price<'a> = &'a dyn Fn(i64) -> i64;

/// So much less work than there is must do for what is given up where it does not suffice.
const SURE: u64 = 4;

/// The cheapest plan found of each kind up to the freest that may use the sheets, the plainest first.
/// Without a price of the roll, the one that takes the least of it. `planner` lays pieces out on the roll.
pub(super) fn plans(
    job: &Job,
    price: Option<Price<'_>>,
    freest: Kind,
    (planner, shares): (Planner<'_>, &mut Shares<'_>),
) -> Vec<Result<Plan, Misfit>> {
    let straight = job.roll.is_none().then(|| without_selvage(job));
    let job = straight.as_ref().unwrap_or(job);
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
    let roll = job.roll.map(|width| Roll { width, cost: &cost, plan: planner });
    let task = Task::of(job, job.roll.is_some() && price.is_none());
    // Sides must stay within what can be counted, and each piece fit somewhere.
    if let Err(misfit) = without_place(job, &task) {
        return freest.up_to().map(|_| Err(misfit.clone())).collect();
    }
    let mut small = None;
    let mut large = Generation::of(&task, roll);
    let mut plans: Vec<Result<Plan, Misfit>> = Vec::new();
    for kind in freest.up_to() {
        let mut work = shares.of_kind(kind);
        if kind == Kind::Strips {
            small = Small::of(&task, roll, work.left() / SURE);
        }
        let found = found(&mut small, &mut large, kind, &mut work);
        shares.back(work);
        let found = match found {
            Some(found) => finished(job, &task, roll, kind, found),
            None => Err(Misfit::NoRoom { left: task.left(&task.counts()) }),
        };
        plans.push(match plans.last() {
            None => found,
            Some(plainer) => better(plainer.clone(), found, kind, &total),
        });
    }
    plans
}

/// What is found by going through all choices, until that is too much work, and by columns from then on.
fn found(
    small: &mut Option<Small<'_>>,
    large: &mut Generation<'_>,
    kind: Kind,
    work: &mut Work<'_>,
) -> Option<Found> {
    let found = small.as_mut().and_then(|small| small.plan(kind, work));
    if found.is_none() {
        *small = None;
    }
    found.or_else(|| large.plan(kind, work))
}

/// A piece that no cloth holds, or pieces past counting.
fn without_place(job: &Job, task: &Task) -> Result<(), Misfit> {
    let mut stacked = 0i128;
    for (at, piece) in job.pieces.iter().enumerate().filter(|(_, piece)| piece.count > 0) {
        let lies = |turned: bool| piece.lies(turned);
        let within = |turned: bool, most: (i64, i64)| lies(turned).0 <= most.0 && lies(turned).1 <= most.1;
        let fits = |most: (i64, i64)| within(false, most) || piece.may_turn && within(true, most);
        let sheets = task.cloths.iter().map(|(_, sheet)| (sheet.across, sheet.along));
        let on_sheets = sheets.filter(|_| !piece.by_selvage).any(fits);
        if !on_sheets && !job.roll.is_some_and(|width| fits((width, i64::MAX))) {
            return Err(Misfit::TooWide { piece: at });
        }
        stacked += i128::from(lies(false).0.max(lies(false).1)) * i128::from(piece.count);
        if stacked > i128::from(i64::MAX / 4) {
            return Err(Misfit::TooMuch { piece: at });
        }
    }
    Ok(())
}

/// A piece in hand has no selvage to speak of; what would lie along it is not turned.
fn without_selvage(job: &Job) -> Job {
    let straight =
        |piece: &Piece| Piece { by_selvage: false, may_turn: piece.may_turn && !piece.by_selvage, ..*piece };
    Job { pieces: job.pieces.iter().map(straight).collect(), ..job.clone() }
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

/// What was found, with the job's pieces.
fn finished(
    job: &Job,
    task: &Task,
    roll: Option<Roll<'_>>,
    kind: Kind,
    found: Found,
) -> Result<Plan, Misfit> {
    let left = task.left(&found.left);
    if !left.is_empty() {
        return Err(Misfit::NoRoom { left });
    }
    let mut spreads = task.spreads(&found.uses, roll.map_or(0, |roll| roll.width));
    spreads.retain(|spread| spread.sheet.is_none() || !spread.placed(1).is_empty());
    let plan = Plan { kind, spreads, length: found.length, ..Plan::default() };
    let sheets = plan.sheets_cost(&job.sheets);
    let main = roll.map_or(Cost::default(), |roll| (roll.cost)(found.length));
    let (cost, goal) = match (roll, task.by_length()) {
        (Some(_), true) => (sheets, main.main),
        (Some(_), false) => (sheets.saturating_add(main.main), sheets.saturating_add(main.main)),
        (None, _) => (sheets, sheets),
    };
    let bound = found.bound.min(goal);
    Ok(Plan { cost, bound, proved: bound == goal, ..plan })
}
