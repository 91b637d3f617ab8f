//! From a job in exact sizes to a plan in exact sizes, by way of steps.

use super::check::{check, check_cost};
use super::cloths;
use super::doors::{Job, Plan};
use super::job::{Budget, Kind, Misfit};
use super::steps::{Steps, back};
use super::work::Work;

/// What a length of the roll costs, in the coins that sheets cost; never less for more.
type Price<'a> = &'a dyn Fn(i128) -> i64;

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
    both(job, loosest, None, kind, Work::new(budget.0, stop))
}

/// The cheapest plan of the kind found, by what a length of the roll costs: in the coins that sheets
/// cost, and never less for more. Its cost and its bound are those of all cloth used.
pub fn cheapest(
    job: &Job,
    loosest: Option<&Job>,
    price: Price<'_>,
    kind: Kind,
    budget: Budget,
    stop: &dyn Fn() -> bool,
) -> Result<Plan, Misfit> {
    both(job, loosest, Some(price), kind, Work::new(budget.0, stop))
}

fn both(
    job: &Job,
    loosest: Option<&Job>,
    price: Option<Price<'_>>,
    kind: Kind,
    mut work: Work<'_>,
) -> Result<Plan, Misfit> {
    let Some(loosest) = loosest else { return exact(job, price, kind, work) };
    let mut found = exact(job, price, kind, work.part(work.left() / 2))?;
    let takes = takes(job, price, &found);
    found.bound = exact(loosest, price, kind, work).map_or(0, |loose| loose.bound).min(takes);
    found.proved = found.bound == takes;
    Ok(found)
}

/// What a plan's bound is a bound of: the length of a roll that has no price, else the cost.
fn takes(job: &Job, price: Option<Price<'_>>, plan: &Plan) -> i128 {
    if job.roll.is_some() && price.is_none() { plan.length } else { i128::from(plan.cost) }
}

fn exact(job: &Job, price: Option<Price<'_>>, kind: Kind, mut work: Work<'_>) -> Result<Plan, Misfit> {
    let steps = Steps::of(job, &mut work)?;
    let outer = in_steps(job, &steps, price, kind, &mut work)?;
    let by_length = job.roll.is_some() && price.is_none();
    let bound = if by_length { steps.least(outer.bound, &mut work) } else { i128::from(outer.bound) };
    let mut found = match (back(job, &outer), steps.up()) {
        (Some(found), _) => found,
        // Steps told fits that are none by a hair: sides are rounded up instead.
        (None, Some(up)) => {
            let inner = in_steps(job, &up, price, kind, &mut work)?;
            back(job, &inner).ok_or(Misfit::TooMuch { piece: 0 })?
        }
        (None, None) => return Err(Misfit::TooMuch { piece: 0 }),
    };
    if let Some(price) = price {
        found.cost = found.sheets_cost(&job.sheets).saturating_add(price(found.length));
    }
    let takes = takes(job, price, &found);
    found.bound = bound.min(takes);
    found.proved = found.bound == takes || (job.roll.is_none() && outer.proved && steps.up().is_none());
    debug_assert_eq!(
        match price {
            Some(price) => check_cost(job, price, &found),
            None => check(job, &found),
        },
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
    work: &mut Work<'_>,
) -> Result<super::plan::Plan, Misfit> {
    let inner = steps.job(job);
    let Some(price) = price else { return cloths::plan(&inner, None, kind, *work) };
    let lengths = steps.lengths(work);
    let price = |length: i64| price(lengths.least(length));
    cloths::plan(&inner, Some(&price), kind, *work)
}
