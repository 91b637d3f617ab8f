//! From a job in exact sizes to a plan in exact sizes, by way of steps.

use super::check::{check, check_cost};
use super::cloths;
use super::doors::{Job, Plan};
use super::job::{Budget, Kind, Misfit};
use super::plan as steps_plan;
use super::steps::{Steps, back};
use super::work::Work;

/// This part of the work is for strips in common steps of fine sizes: where the proof is near.
const STRIPS: u64 = 120;

/// Work beside the search for finding steps: always as much, so that the steps do not depend on the work there is.
const FINDING: u64 = 100_000;

/// These parts of the work at most are spent beside the search: on lengths in steps, on a bound in steps that hold
/// more than the cloth does, on plans in tighter steps where nothing else was found, and on a bound in even steps.
const ASIDE: u64 = 8;
const LOOSER: u64 = 8;
const TIGHTER: u64 = 4;
const EVEN: u64 = 32;

/// A plan in steps.
type InSteps = Result<steps_plan::Plan, Misfit>;

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
    let goal = |plan: &Plan| (takes(job, price, plan), plan.length, plan.cost);
    let mut plans: Vec<Result<Plan, Misfit>> = Vec::new();
    let own = between(job, loosest, price, freest, Work::new(budget.0, stop));
    for (kind, own) in freest.up_to().zip(own) {
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

/// Plans of each kind with bounds that hold for all that the sizes may be.
fn between(
    job: &Job,
    loosest: Option<&Job>,
    price: Option<Price<'_>>,
    freest: Kind,
    mut work: Work<'_>,
) -> Vec<Result<Plan, Misfit>> {
    let Some(loosest) = loosest else { return exact(job, price, freest, work) };
    if let Some(plans) = alike(job, loosest, price, freest, &work) {
        return plans;
    }
    let half = work.part(work.left() / 2);
    let mut plans = exact(job, price, freest, half);
    if plans.iter().all(Result::is_err) {
        return plans;
    }
    for (plan, loose) in plans.iter_mut().zip(exact(loosest, price, freest, work)) {
        if let Ok(plan) = plan {
            let takes = takes(job, price, plan);
            plan.bound = loose.map_or(0, |loose| loose.bound).min(takes);
            plan.proved = plan.bound == takes;
        }
    }
    plans
}

/// What a plan's bound is a bound of: the length of a roll that has no price, else the cost.
fn takes(job: &Job, price: Option<Price<'_>>, plan: &Plan) -> i128 {
    if job.roll.is_some() && price.is_none() { plan.length } else { i128::from(plan.cost) }
}

/// Plans of each kind by one search, where the job is the same in steps whatever its sizes are: then a bound in
/// steps holds for the loosest sizes, too.
fn alike(
    job: &Job,
    loosest: &Job,
    price: Option<Price<'_>>,
    freest: Kind,
    work: &Work<'_>,
) -> Option<Vec<Result<Plan, Misfit>>> {
    if price.is_some() {
        // A length in steps costs less where it is less.
        return None;
    }
    let all = work.left();
    let aside = work.beside(all / ASIDE);
    let steps = steps_of(job, work).ok()?;
    let loose = steps_of(loosest, work).ok()?;
    if steps.rough(job).is_some() || steps.job(job) != loose.job(loosest) {
        return None;
    }
    let mut so_far = SoFar { job, price, freest, aside, found: Vec::new(), bounds: Vec::new() };
    let outer = so_far.search(&steps, work.beside(all));
    if let Some(tighter) = steps.tighter().filter(|_| so_far.misses(&outer)) {
        let inner = so_far.pass(&tighter, work.beside(all / TIGHTER));
        so_far.keep(&inner);
    }
    so_far.bounds = bounds_of(&outer, &loose, so_far.by_length(), &mut so_far.aside);
    let strips = |job: &Job, aside: &mut Work<'_>| strips(job, price, work.beside(all / STRIPS), aside);
    let bound = strips(loosest, &mut so_far.aside).map_or(0, |loose| loose.bound);
    let tight = strips(job, &mut so_far.aside).map(|tight| Plan { bound, ..tight });
    so_far.with_strips(tight);
    Some(so_far.settled(outer, false))
}

fn exact(job: &Job, price: Option<Price<'_>>, freest: Kind, mut work: Work<'_>) -> Vec<Result<Plan, Misfit>> {
    let mut aside = work.beside(work.left() / ASIDE);
    let all = work.left();
    let strips = strips(job, price, work.beside(all / STRIPS), &mut aside);
    if let Some(strips) = strips.as_ref().filter(|strips| freest == Kind::Strips && strips.proved) {
        return vec![Ok(strips.clone())];
    }
    let steps = match steps_of(job, &work) {
        Ok(steps) => steps,
        Err(misfit) => return freest.up_to().map(|_| Err(misfit.clone())).collect(),
    };
    let rough = steps.rough(job);
    // Many steps that no ruler stands for are searched less than the few that are near them.
    let own = if rough.is_some() { work.part(work.left() / 8) } else { work.part(u64::MAX) };
    let mut so_far = SoFar { job, price, freest, aside, found: Vec::new(), bounds: Vec::new() };
    let outer = so_far.search(&steps, own);
    let tighter = steps.tighter();
    let even = tighter.is_none() && steps.tight().is_none();
    if let Some(tighter) = tighter.filter(|_| so_far.misses(&outer)) {
        let some = if rough.is_some() { work.part(work.left() / 8) } else { work.beside(all / TIGHTER) };
        let inner = so_far.pass(&tighter, some);
        so_far.keep(&inner);
    }
    so_far.bounds = bounds_of(&outer, &steps, so_far.by_length(), &mut so_far.aside);
    if let Some([up, down]) = &rough {
        let some = work.part(work.left() / 4 * 3);
        let upper = so_far.pass(up, some);
        so_far.keep(&upper);
        let lower = so_far.pass(down, work.part(u64::MAX));
        so_far.raise(&lower, down);
        so_far.keep(&lower);
    }
    let told = freest == Kind::Strips && strips.is_some();
    so_far.with_strips(strips);
    if let Some(plain) = steps.even().filter(|_| so_far.by_length() && !told && so_far.open()) {
        let again = so_far.pass(&plain, work.beside(all / EVEN));
        so_far.raise(&again, &plain);
    }
    so_far.settled(outer, even)
}

/// Steps for a job. What finding them takes is beside the search, so that fine sizes are searched as long as others.
fn steps_of(job: &Job, work: &Work<'_>) -> Result<Steps, Misfit> {
    Steps::of(job, &mut work.beside(if work.out() { 0 } else { FINDING }))
}

/// Plans of each kind, and what none of the kind can better, as far as they are found.
struct SoFar<'a, 's> {
    job: &'a Job,
    price: Option<Price<'a>>,
    freest: Kind,
    /// Work beside the search.
    aside: Work<'s>,
    found: Vec<Option<Plan>>,
    bounds: Vec<i128>,
}

impl SoFar<'_, '_> {
    /// Whether bounds are lengths, not costs.
    fn by_length(&self) -> bool {
        self.job.roll.is_some() && self.price.is_none()
    }

    /// Plans of each kind in steps.
    fn pass(&mut self, steps: &Steps, work: Work<'_>) -> Vec<InSteps> {
        in_steps(self.job, steps, self.price, self.freest, (work, &mut self.aside))
    }

    /// Plans of each kind in steps that hold all that the cloth does; those that go onto it are kept.
    fn search(&mut self, steps: &Steps, work: Work<'_>) -> Vec<InSteps> {
        self.found = self.freest.up_to().map(|_| None).collect();
        let Some(tight) = steps.tight() else {
            let outer = self.pass(steps, work);
            self.keep(&outer);
            return outer;
        };
        // In marks that hold no more than the cloth does a job is laid out as one whose sizes are marks: a hair
        // less on each side makes no plan longer.
        let inner = self.pass(&tight, work);
        self.keep(&inner);
        let outer = self.pass(steps, work.beside(work.left() / LOOSER));
        self.keep(&outer);
        outer
    }

    /// Whether steps told fits that are none by a hair, and nothing else was found.
    fn misses(&self, outer: &[InSteps]) -> bool {
        outer.iter().zip(&self.found).any(|(outer, found)| outer.is_ok() && found.is_none())
    }

    /// Keeps plans in steps that are better and go onto the cloth in exact sizes.
    fn keep(&mut self, plans: &[InSteps]) {
        for (found, plan) in self.found.iter_mut().zip(plans) {
            let plan = plan.as_ref().ok().and_then(|plan| exactly(self.job, self.price, plan));
            *found = better(self.job, self.price, found.take(), plan);
        }
    }

    /// Keeps bounds of plans in steps that are higher.
    fn raise(&mut self, plans: &[InSteps], steps: &Steps) {
        let again = bounds_of(plans, steps, self.by_length(), &mut self.aside);
        self.bounds.iter_mut().zip(again).for_each(|(bound, again)| *bound = again.max(*bound));
    }

    /// Keeps strips and their bound, where these are better.
    fn with_strips(&mut self, strips: Option<Plan>) {
        if let (Some(strips), Some(found), Some(bound)) =
            (strips, self.found.first_mut(), self.bounds.first_mut())
        {
            *bound = strips.bound.max(*bound);
            *found = better(self.job, self.price, Some(strips), found.take());
        }
    }

    /// Whether a plan found is not proved.
    fn open(&self) -> bool {
        let open = |(found, bound): (&Option<Plan>, &i128)| {
            found.as_ref().is_some_and(|found| *bound < takes(self.job, self.price, found))
        };
        self.found.iter().zip(&self.bounds).any(open)
    }

    /// The plans with their bounds. `outer` are those in steps that hold all that the cloth does, and no more
    /// where they are `even`.
    fn settled(self, outer: Vec<InSteps>, even: bool) -> Vec<Result<Plan, Misfit>> {
        let SoFar { job, price, .. } = self;
        let settled = |((outer, found), bound): ((InSteps, Option<Plan>), i128)| {
            let (mut found, proved) = match (outer, found) {
                (Ok(outer), Some(found)) => (found, outer.proved && even),
                (Err(_), Some(found)) => (found, false),
                (Ok(_), None) => return Err(Misfit::TooMuch { piece: 0 }),
                (Err(misfit), None) => return Err(misfit),
            };
            let takes = takes(job, price, &found);
            found.bound = bound.min(takes);
            found.proved = found.bound == takes || (job.roll.is_none() && proved);
            debug_assert_eq!(
                price.map_or_else(|| check(job, &found), |price| check_cost(job, price, &found)),
                Ok(())
            );
            Ok(found)
        };
        outer.into_iter().zip(self.found).zip(self.bounds).map(settled).collect()
    }
}

/// The better of two plans of one kind, the first where they are alike.
fn better(job: &Job, price: Option<Price<'_>>, one: Option<Plan>, other: Option<Plan>) -> Option<Plan> {
    let goal = |plan: &Plan| (takes(job, price, plan), plan.length, plan.cost);
    [one, other].into_iter().flatten().min_by_key(goal)
}

/// The bounds of plans in steps in exact sizes; those of costs as they are.
fn bounds_of(plans: &[InSteps], steps: &Steps, by_length: bool, aside: &mut Work<'_>) -> Vec<i128> {
    let bounds: Vec<i64> = plans.iter().map(|plan| plan.as_ref().map_or(0, |plan| plan.bound)).collect();
    if by_length { steps.least(&bounds, aside) } else { bounds.into_iter().map(i128::from).collect() }
}

/// The shortest strips from a roll, counted in the common step of all sizes, where it has many of these.
fn strips(job: &Job, price: Option<Price<'_>>, work: Work<'_>, aside: &mut Work<'_>) -> Option<Plan> {
    if price.is_some() || job.roll.is_none() || job.sheets.iter().any(|sheet| sheet.count > 0) {
        return None;
    }
    let steps = Steps::common(job)?;
    let plan = in_steps(job, &steps, None, Kind::Strips, (work, &mut *aside)).pop()?.ok()?;
    let mut found = exactly(job, None, &plan)?;
    let bound = steps.least(&[plan.bound], aside).first().copied().unwrap_or(0);
    found.bound = bound.min(found.length);
    found.proved = found.bound == found.length;
    debug_assert_eq!(check(job, &found), Ok(()));
    Some(found)
}

/// A plan in steps in exact sizes, with what it costs; `None` where it does not go onto the cloth.
fn exactly(job: &Job, price: Option<Price<'_>>, plan: &steps_plan::Plan) -> Option<Plan> {
    let mut plan = back(job, plan)?;
    if let Some(price) = price {
        plan.cost = plan.sheets_cost(&job.sheets).saturating_add(price(plan.length));
    }
    Some(plan)
}

/// The job laid out in steps; a length in steps costs what the least that it can be costs.
fn in_steps(
    job: &Job,
    steps: &Steps,
    price: Option<Price<'_>>,
    freest: Kind,
    (work, aside): (Work<'_>, &mut Work<'_>),
) -> Vec<InSteps> {
    let inner = steps.job(job);
    let Some(price) = price else { return cloths::plans(&inner, None, freest, work) };
    let lengths = steps.lengths(aside);
    let price = |length: i64| price(lengths.least(length));
    cloths::plans(&inner, Some(&price), freest, work)
}
