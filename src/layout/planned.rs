//! From a job in exact sizes to a plan in exact sizes, by way of steps.

use super::check::{check, check_cost};
use super::cloths;
use super::doors::{Job, Plan};
use super::job::{Budget, Kind, Misfit};
use super::steps::{Steps, back};
use super::work::Work;

/// What a length of the roll costs, in the coins that sheets cost; never less for more.
pub type Price<'a> = &'a dyn Fn(i128) -> i64;

/// A plan of the kind that holds all pieces of the job, the best found within the budget; the first
/// piece that has no place otherwise.
pub fn plan(job: &Job, kind: Kind, budget: Budget) -> Result<Plan, Misfit> {
    plan_within(job, None, kind, budget, &|| false)
}

/// The same for sizes that are not known exactly: `job` has pieces at their largest and cloth at its
/// smallest, so that the plan holds whatever they are; `loosest` has pieces at their smallest and
/// cloth at its largest, so that the bound does. Both have the same pieces and sheets in the same order.
///
/// Once `stop` says so, planning ends soon with what is found.
pub fn plan_within(
    job: &Job,
    loosest: Option<&Job>,
    kind: Kind,
    budget: Budget,
    stop: &dyn Fn() -> bool,
) -> Result<Plan, Misfit> {
    last(plans(job, loosest, None, kind, budget, stop))
}

/// The cheapest plan of the kind found, by what a length of the roll costs. Its cost and its bound are
/// those of all cloth used.
pub fn cheapest(
    job: &Job,
    loosest: Option<&Job>,
    price: Price<'_>,
    kind: Kind,
    budget: Budget,
    stop: &dyn Fn() -> bool,
) -> Result<Plan, Misfit> {
    last(plans(job, loosest, Some(price), kind, budget, stop))
}

fn last(mut plans: Vec<Result<Plan, Misfit>>) -> Result<Plan, Misfit> {
    plans.pop().unwrap_or(Err(Misfit::TooMuch { piece: 0 }))
}

/// A plan of each kind up to the freest, the plainest first: none takes more than those before it, and
/// where it takes as much it is the same. By cost, where the roll has a price; else by its length.
pub fn plans(
    job: &Job,
    loosest: Option<&Job>,
    price: Option<Price<'_>>,
    freest: Kind,
    budget: Budget,
    stop: &dyn Fn() -> bool,
) -> Vec<Result<Plan, Misfit>> {
    // Half for strips, which often leave most of it, and the rest for cuts from edge to edge; layouts
    // of any kind get half as much again.
    let goal = |plan: &Plan| (takes(job, price, plan), plan.length, plan.cost);
    let mut work = Work::new(budget.0, stop);
    let mut plans: Vec<Result<Plan, Misfit>> = Vec::new();
    for kind in Kind::ALL.into_iter().filter(|kind| *kind <= freest) {
        let mut share = match kind {
            Kind::Strips => work.part(budget.0 / 2),
            Kind::EdgeToEdge => work.part(u64::MAX),
            Kind::Any => Work::new(budget.0 / 2, stop),
        };
        let own = between(job, loosest, price, kind, &mut share);
        work.back(share);
        let plain = plans.last().and_then(|plan| plan.as_ref().ok());
        let plan = match (own, plain) {
            (Ok(own), Some(plain)) if goal(plain) <= goal(&own) => Ok(freer(plain, own.kind, own.bound)),
            (Err(_), Some(plain)) => Ok(freer(plain, kind, 0)),
            (own, _) => own,
        };
        plans.push(plan);
    }
    // What no plan of a freer kind can do, none of a plainer one can.
    let mut least = 0;
    for plan in plans.iter_mut().rev().flatten() {
        least = plan.bound.max(least).min(takes(job, price, plan));
        plan.proved |= least == takes(job, price, plan);
        plan.bound = least;
    }
    plans
}

/// A plan as one of a freer kind, with a bound on that kind.
fn freer(plan: &Plan, kind: Kind, bound: i128) -> Plan {
    Plan { kind, bound, proved: false, ..plan.clone() }
}

/// A plan with a bound that holds for all that the sizes may be.
fn between(
    job: &Job,
    loosest: Option<&Job>,
    price: Option<Price<'_>>,
    kind: Kind,
    work: &mut Work<'_>,
) -> Result<Plan, Misfit> {
    let Some(loosest) = loosest else { return exact(job, price, kind, work) };
    let mut half = work.part(work.left() / 2);
    let mut found = exact(job, price, kind, &mut half)?;
    work.back(half);
    let takes = takes(job, price, &found);
    found.bound = exact(loosest, price, kind, work).map_or(0, |loose| loose.bound).min(takes);
    found.proved = found.bound == takes;
    Ok(found)
}

/// What a plan's bound is a bound of: the length of a roll that has no price, else the cost.
fn takes(job: &Job, price: Option<Price<'_>>, plan: &Plan) -> i128 {
    if job.roll.is_some() && price.is_none() { plan.length } else { i128::from(plan.cost) }
}

fn exact(job: &Job, price: Option<Price<'_>>, kind: Kind, work: &mut Work<'_>) -> Result<Plan, Misfit> {
    // What finding steps takes is beside the search, so that fine sizes are searched as long as others.
    let mut aside = work.beside(work.left() / 4);
    let again = work.left();
    let steps = Steps::of(job, &mut aside)?;
    let outer = in_steps(job, &steps, price, kind, (&mut *work, &mut aside))?;
    let by_length = job.roll.is_some() && price.is_none();
    let bound = if by_length { steps.least(outer.bound, &mut aside) } else { i128::from(outer.bound) };
    let paid = |mut plan: Plan| {
        if let Some(price) = price {
            plan.cost = plan.sheets_cost(&job.sheets).saturating_add(price(plan.length));
        }
        plan
    };
    let mut best = back(job, &outer).map(paid);
    let tighter = steps.tighter();
    if best.is_none() {
        // Steps told fits that are none by a hair.
        for steps in &tighter {
            let mut work = work.beside(again);
            let inner = in_steps(job, steps, price, kind, (&mut work, &mut aside))?;
            let goal = |plan: &Plan| (takes(job, price, plan), plan.length, plan.cost);
            best = [best, back(job, &inner).map(paid)].into_iter().flatten().min_by_key(goal);
        }
    }
    let mut found = best.ok_or(Misfit::TooMuch { piece: 0 })?;
    let takes = takes(job, price, &found);
    let mut bound = bound;
    if let (true, Some(even)) = (by_length && bound < takes, steps.even()) {
        let mut work = work.beside(again / 4);
        let outer = in_steps(job, &even, price, kind, (&mut work, &mut aside))?;
        bound = bound.max(even.least(outer.bound, &mut aside));
    }
    found.bound = bound.min(takes);
    found.proved = found.bound == takes || (job.roll.is_none() && outer.proved && tighter.is_empty());
    debug_assert_eq!(
        price.map_or_else(|| check(job, &found), |price| check_cost(job, price, &found)),
        Ok(())
    );
    Ok(found)
}

/// The job laid out in steps; a length in steps costs what the least that it can be costs.
fn in_steps(
    job: &Job,
    steps: &Steps,
    price: Option<Price<'_>>,
    kind: Kind,
    (work, aside): (&mut Work<'_>, &mut Work<'_>),
) -> Result<super::plan::Plan, Misfit> {
    let inner = steps.job(job);
    let Some(price) = price else { return cloths::plan(&inner, None, kind, work) };
    let lengths = steps.lengths(aside);
    let price = |length: i64| price(lengths.least(length));
    cloths::plan(&inner, Some(&price), kind, work)
}
