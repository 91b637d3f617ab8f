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
    let mut work = Work::new(budget.0, stop);
    let Some(loosest) = loosest else { return exact(job, kind, work) };
    let mut found = exact(job, kind, work.part(budget.0 / 2))?;
    let takes = takes(job, &found);
    found.bound = exact(loosest, kind, work).map_or(0, |loose| loose.bound).min(takes);
    found.proved = found.bound == takes;
    Ok(found)
}

/// What a plan's bound is a bound of: the length of the roll, where there is one, else the cost.
fn takes(job: &Job, plan: &Plan) -> i128 {
    if job.roll.is_some() { plan.length } else { i128::from(plan.cost) }
}

fn exact(job: &Job, kind: Kind, mut work: Work<'_>) -> Result<Plan, Misfit> {
    let steps = Steps::of(job, &mut work)?;
    let outer = cloths::plan(&steps.job(job), kind, work)?;
    let bound = match job.roll {
        Some(_) => steps.least(outer.bound, &mut work),
        None => i128::from(outer.bound),
    };
    let mut found = match (back(job, &outer), steps.up()) {
        (Some(found), _) => found,
        // Steps told fits that are none by a hair: sides are rounded up instead.
        (None, Some(up)) => {
            let inner = cloths::plan(&up.job(job), kind, work)?;
            back(job, &inner).ok_or(Misfit::TooMuch { piece: 0 })?
        }
        (None, None) => return Err(Misfit::TooMuch { piece: 0 }),
    };
    let takes = takes(job, &found);
    found.bound = bound.min(takes);
    found.proved = found.bound == takes || (job.roll.is_none() && outer.proved && steps.up().is_none());
    debug_assert_eq!(check(job, &found), Ok(()));
    Ok(found)
}
