//! From a job in exact sizes to a plan in exact sizes, by way of steps.

use super::check::check;
use super::cloths;
use super::doors::{Job, Plan};
use super::job::{Budget, Kind, Misfit};
use super::steps::{Steps, back};
use super::work::Work;

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
    let mut plans = plans(job, loosest, kind, budget, stop);
    plans.pop().unwrap_or(Err(Misfit::TooMuch { piece: 0 }))
}

/// A plan of each kind up to the freest, the plainest first: none takes more than those before it, and
/// where it takes as much it is the same.
pub fn plans(
    job: &Job,
    loosest: Option<&Job>,
    freest: Kind,
    budget: Budget,
    stop: &dyn Fn() -> bool,
) -> Vec<Result<Plan, Misfit>> {
    // Half for strips, which often leave most of it, and the rest for cuts from edge to edge; layouts
    // of any kind get half as much again.
    let mut work = Work::new(budget.0, stop);
    let mut plans: Vec<Result<Plan, Misfit>> = Vec::new();
    for kind in Kind::ALL.into_iter().filter(|kind| *kind <= freest) {
        let mut share = match kind {
            Kind::Strips => work.part(budget.0 / 2),
            Kind::EdgeToEdge => work.part(u64::MAX),
            Kind::Any => Work::new(budget.0 / 2, stop),
        };
        let own = between(job, loosest, kind, &mut share);
        work.back(share);
        let plain = plans.last().and_then(|plan| plan.as_ref().ok());
        let plan = match (own, plain) {
            (Ok(own), Some(plain)) if (plain.length, plain.cost) <= (own.length, own.cost) => {
                Ok(freer(plain, own.kind, own.bound))
            }
            (Err(_), Some(plain)) => Ok(freer(plain, kind, 0)),
            (own, _) => own,
        };
        plans.push(plan);
    }
    // What no plan of a freer kind can do, none of a plainer one can.
    let mut least = 0;
    for plan in plans.iter_mut().rev().flatten() {
        least = plan.bound.max(least).min(takes(job, plan));
        plan.proved |= least == takes(job, plan);
        plan.bound = least;
    }
    plans
}

/// A plan as one of a freer kind, with a bound on that kind.
fn freer(plan: &Plan, kind: Kind, bound: i128) -> Plan {
    Plan { kind, bound, proved: false, ..plan.clone() }
}

/// A plan with a bound that holds for all that the sizes may be.
fn between(job: &Job, loosest: Option<&Job>, kind: Kind, work: &mut Work<'_>) -> Result<Plan, Misfit> {
    let Some(loosest) = loosest else { return exact(job, kind, work) };
    let mut half = work.part(work.left() / 2);
    let mut found = exact(job, kind, &mut half)?;
    work.back(half);
    let takes = takes(job, &found);
    found.bound = exact(loosest, kind, work).map_or(0, |loose| loose.bound).min(takes);
    found.proved = found.bound == takes;
    Ok(found)
}

/// What a plan's bound is a bound of: the length of the roll, where there is one, else the cost.
fn takes(job: &Job, plan: &Plan) -> i128 {
    if job.roll.is_some() { plan.length } else { i128::from(plan.cost) }
}

fn exact(job: &Job, kind: Kind, work: &mut Work<'_>) -> Result<Plan, Misfit> {
    // What finding steps takes is beside the search, so that fine sizes are searched as long as others.
    let mut aside = work.beside(work.left() / 4);
    let again = work.left();
    let steps = Steps::of(job, &mut aside)?;
    let outer = cloths::plan(&steps.job(job), kind, work)?;
    let bound = match job.roll {
        Some(_) => steps.least(outer.bound, &mut aside),
        None => i128::from(outer.bound),
    };
    let mut best = back(job, &outer);
    let tighter = steps.tighter();
    if best.is_none() {
        // Steps told fits that are none by a hair.
        for steps in &tighter {
            let inner = cloths::plan(&steps.job(job), kind, &mut work.beside(again))?;
            let other = back(job, &inner);
            let takes = |plan: &Plan| (plan.length, plan.cost);
            best = [best, other].into_iter().flatten().min_by_key(takes);
        }
    }
    let mut found = best.ok_or(Misfit::TooMuch { piece: 0 })?;
    let takes = takes(job, &found);
    found.bound = bound.min(takes);
    found.proved = found.bound == takes || (job.roll.is_none() && outer.proved && tighter.is_empty());
    debug_assert_eq!(check(job, &found), Ok(()));
    Ok(found)
}
