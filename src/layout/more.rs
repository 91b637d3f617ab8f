//! How many more of a piece a length of cloth holds.

use super::doors::{Job, Piece, Plan};
use super::job::{Budget, Kind, Misfit};
use super::planned::plan_within;

/// How many more of a piece fit, beside all that is wanted anyway.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct More {
    /// So many more fit.
    pub count: u64,
    /// No plan of the kind holds more than this.
    pub at_most: u64,
    /// The plan with them in it.
    pub plan: Plan,
}

/// How many more of a piece fit into `length` of the roll, and into the sheets there are; `None`
/// where what is wanted anyway does not fit. `loosest` and `stop` are as for [`plan_within`].
///
/// Without a roll the sheets alone are filled, and `length` does not matter.
pub fn how_many_more(
    job: &Job,
    loosest: Option<&Job>,
    piece: usize,
    length: i128,
    kind: Kind,
    budget: Budget,
    stop: &dyn Fn() -> bool,
) -> Result<Option<More>, Misfit> {
    // The search halves its range each time, so a few dozen plans share the budget.
    let each = Budget(budget.0 / 16);
    let asked = Asked { job, loosest, piece, length, kind, each, stop };
    let Some(plan) = asked.fits(0)? else { return Ok(None) };
    let at_most = by_area(loosest.unwrap_or(job), piece, length);
    let mut more = asked.most(More { count: 0, at_most, plan })?;
    // One more is ruled out where its bound says so.
    if job.roll.is_some()
        && more.count < at_most
        && let Ok(over) = asked.planned(more.count + 1)
        && over.bound > length
    {
        more.at_most = more.count;
    }
    Ok(Some(more))
}

/// What was asked, and the work for each plan.
struct Asked<'a> {
    job: &'a Job,
    loosest: Option<&'a Job>,
    piece: usize,
    length: i128,
    kind: Kind,
    each: Budget,
    stop: &'a dyn Fn() -> bool,
}

impl Asked<'_> {
    fn planned(&self, more: u64) -> Result<Plan, Misfit> {
        let loosest = self.loosest.map(|job| with(job, self.piece, more));
        plan_within(&with(self.job, self.piece, more), loosest.as_ref(), self.kind, self.each, self.stop)
    }

    /// A plan with so many more within the length, if one was found.
    fn fits(&self, more: u64) -> Result<Option<Plan>, Misfit> {
        match self.planned(more) {
            Ok(plan) => Ok(Some(plan).filter(|plan| plan.length <= self.length || self.job.roll.is_none())),
            Err(Misfit::NoRoom { .. }) => Ok(None),
            Err(Misfit::TooMuch { .. }) if more > 0 => Ok(None),
            Err(misfit) => Err(misfit),
        }
    }

    /// The most found, up to what the area holds.
    fn most(&self, mut found: More) -> Result<More, Misfit> {
        let (mut high, mut step) = (found.at_most.saturating_add(1), 1);
        while found.count + 1 < high {
            let low = found.count;
            // Small steps first: a few more are asked for more often than thousands.
            let next = if low + step < high { low + step } else { low + (high - low) / 2 };
            match self.fits(next)? {
                Some(plan) => {
                    found = More { count: next, plan, ..found };
                    step = step.saturating_mul(2);
                }
                None => (high, step) = (next, 1),
            }
        }
        Ok(found)
    }
}

/// The job with some more of a piece.
fn with(job: &Job, piece: usize, more: u64) -> Job {
    let mut job = job.clone();
    if let Some(piece) = job.pieces.get_mut(piece) {
        piece.count = piece.count.saturating_add(more);
    }
    job
}

/// What the area that is left over would hold, were it in one piece.
fn by_area(job: &Job, piece: usize, length: i128) -> u64 {
    // Measures are taken in units so large that areas stay in range: pieces down, cloth up.
    let sizes = job.pieces.iter().flat_map(|piece| [piece.across, piece.along]);
    let sizes = sizes.chain(job.sheets.iter().flat_map(|sheet| [sheet.across, sheet.along]));
    let largest = sizes.chain([length, job.roll.unwrap_or(0)]).max().unwrap_or(0).max(1);
    let unit = 1i128 << (128 - largest.leading_zeros()).saturating_sub(48);
    let up = |size: i128| size.max(0) / unit + i128::from(unit > 1);
    let each = |at: &Piece| (at.lies(false).0 / unit).saturating_mul(at.lies(false).1 / unit);
    let used = job.pieces.iter().map(|piece| each(piece).saturating_mul(i128::from(piece.count)));
    let sheets = job.sheets.iter().map(|sheet| {
        up(sheet.across).saturating_mul(up(sheet.along)).saturating_mul(i128::from(sheet.count))
    });
    let roll = up(job.roll.unwrap_or(0)).saturating_mul(up(length));
    let cloth = sheets.fold(roll, i128::saturating_add);
    let one = job.pieces.get(piece).map_or(1, each).max(1);
    let free = cloth.saturating_sub(used.fold(0, i128::saturating_add)).max(0);
    u64::try_from(free / one).unwrap_or(u64::MAX)
}
