//! Exact sizes as small whole steps, and back.
//!
//! What goes onto a cloth is decided by one thing: which sums of sides lie within its width and its
//! length. Steps that keep all of these sums on the right side of each measure of cloth keep every
//! layout, however fine the sizes are. Where sides are near the marks of some ruler, one step a
//! mark will often do, and that it does is proved by going through the sums.

mod back;
mod few;
mod near;
mod sums;

use std::collections::BTreeMap;

use num_integer::gcd;

use super::doors;
use super::job::{Job, Misfit, Piece, Sheet};
use super::work::Work;
use sums::{Side, Sums};

pub(super) use back::back;
pub(super) use few::{Few, Spans};

/// Cloth up to this many steps is laid out in common steps of all sizes, without looking for fewer.
const FEW: i128 = 8192;

/// Rough steps on the cloth.
const ROUGH: i128 = 1024;

/// So many pieces need no rough steps.
const FEW_PIECES: u64 = 24;

/// The least side is two to the power of this many rough steps at least.
const LEAST_ROUGH: u32 = 5;

/// Sides stacked to more steps than this are past what the planners count.
const MOST_STACKED: i128 = 1 << 60;

/// The planners search cloth of up to this many square steps.
const MOST_AREA: i128 = 1 << 56;

/// How the sizes of a job are counted in steps.
#[derive(Clone, Debug)]
pub(super) struct Steps {
    way: Way,
    /// Steps of one size, where others are near a ruler.
    plain: Option<Way>,
    /// Sides along the cloth, and how many there are of each.
    along: Vec<(i128, u64)>,
}

/// How a size becomes steps.
#[derive(Clone, Debug)]
enum Way {
    /// In whole steps of this many units; cloth is rounded down.
    Common(i128),
    /// Each size has a number of steps. Cloth has two, which are the same where steps keep all sums on
    /// the right side of it: one holds no more sums than the cloth does, the other all of them.
    Near { sides: BTreeMap<i128, i64>, across: Measures, along: Measures, tight: bool },
    /// In steps of about this many units, rounded down, or sides up.
    Coarse { step: i128, up: bool },
}

/// Measures of cloth in units, and the fewest and the most steps that they may be taken for.
type Measures = BTreeMap<i128, (i64, i64)>;

/// Steps that hold fewer than all sums may be so many times fewer at most.
const TIGHTEST: i64 = 64;

impl Steps {
    /// Steps for a job. Spends at most so many steps of search.
    pub fn of(job: &doors::Job, work: &mut Work<'_>) -> Result<Steps, Misfit> {
        let sizes = Sizes::of(job)?;
        let mut steps = Steps { way: Way::Common(sizes.common), plain: None, along: along_sides(job) };
        if sizes.few() {
            return Ok(steps);
        }
        match (steps.near(job, sizes.cloth, work), sizes.plain(job)) {
            (Some(near), plain) => (steps.way, steps.plain) = (near, plain),
            (None, Some(plain)) => steps.way = plain,
            (None, None) => {
                let last = wanted(job).last().map_or(0, |(at, _)| at);
                return Err(Misfit::TooMuch { piece: last });
            }
        }
        Ok(steps)
    }

    /// The common step of all sizes, where cloth has many of them, but lengths no more than can be counted.
    pub fn common(job: &doors::Job) -> Option<Steps> {
        let sizes = Sizes::of(job).ok().filter(|sizes| !sizes.few())?;
        let counted = sizes.stacked / sizes.common <= MOST_STACKED;
        counted.then(|| Steps { way: Way::Common(sizes.common), plain: None, along: along_sides(job) })
    }

    /// Few steps that keep all fits, where sizes are near the marks of a ruler.
    fn near(&self, job: &doors::Job, cloth: i128, work: &mut Work<'_>) -> Option<Way> {
        let mut sizes: Vec<i128> =
            wanted(job).flat_map(|(_, piece)| [piece.lies(false).0, piece.lies(false).1]).collect();
        sizes.sort_unstable();
        sizes.dedup();
        let (mut even, mut uneven) = (None, None);
        near::rulers(&sizes, (cloth, FEW), work, &mut |sides, work| {
            let Some((way, is_even)) = self.measured(job, sides, work) else { return false };
            if is_even {
                even = Some(way);
            } else if uneven.is_none() {
                uneven = way.serves().then_some(way);
            }
            even.is_some()
        });
        even.or(uneven)
    }

    /// Cloth in the marks of a ruler, and whether these keep all sums; `None` where that is too much work.
    fn measured(
        &self,
        job: &doors::Job,
        sides: BTreeMap<i128, i64>,
        work: &mut Work<'_>,
    ) -> Option<(Way, bool)> {
        let cloths = |measures: Vec<i128>, sizes: &[(i128, u64)], work: &mut Work<'_>| {
            let most = measures.iter().max().copied().unwrap_or(0);
            let sums = Sums::up_to(&in_steps(&sides, sizes), most, work)?;
            let each = measures.iter().map(|measure| Some((*measure, sums.within(*measure)?)));
            each.collect::<Option<Measures>>()
        };
        let sheets = || job.sheets.iter().filter(|sheet| sheet.count > 0);
        let wide = sheets().map(|sheet| sheet.across).chain(job.roll).collect();
        let long = sheets().map(|sheet| sheet.along).collect();
        let across = cloths(wide, &across_sides(job), work)?;
        let along = cloths(long, &self.along, work)?;
        let even = across.values().chain(along.values()).all(|(tight, loose)| tight == loose);
        Some((Way::Near { sides, across, along, tight: false }, even))
    }

    /// Steps of one size, for a bound, where marks of a ruler stand for more than one length.
    pub fn even(&self) -> Option<Steps> {
        self.plain.clone().map(|way| self.with(way))
    }

    /// Marks of a ruler of which the cloth holds no sums but those that it truly holds, where these hold more.
    pub fn tight(&self) -> Option<Steps> {
        let Way::Near { sides, across, along, tight: false } = &self.way else { return None };
        let uneven = across.values().chain(along.values()).any(|(tight, loose)| tight < loose);
        let (sides, across, along) = (sides.clone(), across.clone(), along.clone());
        uneven.then(|| self.with(Way::Near { sides, across, along, tight: true }))
    }

    /// Steps of one size of which the cloth holds no sums but those that it truly holds, where these hold more.
    pub fn tighter(&self) -> Option<Steps> {
        let way = match &self.way {
            Way::Near { .. } => self.tight().and(self.plain.as_ref())?,
            way => way,
        };
        match way {
            Way::Coarse { step, up: false } => Some(self.with(Way::Coarse { step: *step, up: true })),
            Way::Common(step) if self.tight().is_some() => Some(self.with(Way::Common(*step))),
            _ => None,
        }
    }

    /// Other steps for the same job.
    fn with(&self, way: Way) -> Steps {
        Steps { way, plain: None, along: self.along.clone() }
    }

    /// Where cloth has many steps, that no ruler stands for: few steps, with sides rounded up for a plan, or down
    /// for a bound.
    pub fn rough(&self, job: &doors::Job) -> Option<[Steps; 2]> {
        let (Way::Common(own) | Way::Coarse { step: own, up: false }) = self.way else { return None };
        // Few pieces are gone through in all ways, however fine they are.
        let pieces = wanted(job).fold(0u64, |sum, (_, piece)| sum.saturating_add(piece.count));
        let sizes = Sizes::of(job).ok().filter(|_| pieces > FEW_PIECES)?;
        let step =
            (sizes.cloth / ROUGH + 1).min(sizes.least >> LEAST_ROUGH).max(sizes.stacked / MOST_STACKED + 1);
        (step > own && sizes.cloth / own > FEW)
            .then(|| [true, false].map(|up| self.with(Way::Coarse { step, up })))
    }

    /// The job in steps.
    pub fn job(&self, job: &doors::Job) -> Job {
        let narrow = |steps: i128| i64::try_from(steps).unwrap_or(if steps < 0 { 0 } else { i64::MAX });
        let cloth = |measure: i128, along: bool| match &self.way {
            Way::Common(step) | Way::Coarse { step, .. } => narrow(measure.max(0) / step),
            Way::Near { across: wide, along: long, tight, .. } => {
                let both = (if along { long } else { wide }).get(&measure).copied().unwrap_or_default();
                if *tight { both.0 } else { both.1 }
            }
        };
        let side = |size: i128, measures: [Option<i128>; 2]| match &self.way {
            Way::Common(step) | Way::Coarse { step, up: false } => narrow(size / step),
            Way::Near { sides, .. } => sides.get(&size).copied().unwrap_or(1),
            Way::Coarse { step, up: true } => {
                // What a cloth just holds by itself still goes onto it.
                let held = measures.into_iter().flatten().filter(|measure| size <= *measure);
                held.map(|measure| measure / step)
                    .fold(size / step + i128::from(size % step != 0), i128::min)
                    .try_into()
                    .unwrap_or(i64::MAX)
            }
        };
        let pieces = job.pieces.iter().map(|piece| {
            let (across, along) = piece.lies(false);
            let wide = [job.roll, job.sheets.iter().map(|sheet| sheet.across).min()];
            let long = [job.sheets.iter().map(|sheet| sheet.along).min(), None];
            Piece {
                count: piece.count,
                across: side(across, wide),
                along: side(along, long),
                may_turn: piece.may_turn,
                by_selvage: piece.by_selvage,
            }
        });
        let sheets = job.sheets.iter().map(|sheet| Sheet {
            count: sheet.count,
            across: if sheet.count > 0 { cloth(sheet.across, false) } else { 0 },
            along: if sheet.count > 0 { cloth(sheet.along, true) } else { 0 },
            cost: sheet.cost,
        });
        Job {
            roll: job.roll.map(|width| cloth(width, false)),
            sheets: sheets.collect(),
            pieces: pieces.collect(),
        }
    }

    /// The least that lengths of so many steps can be in units: no layout that takes as many steps is
    /// shorter.
    pub fn least(&self, lengths: &[i64], work: &mut Work<'_>) -> Vec<i128> {
        match &self.way {
            Way::Near { sides, .. } => sums::least_from(&self.sides_along(sides), lengths, work),
            Way::Common(step) | Way::Coarse { step, .. } => {
                lengths.iter().map(|steps| i128::from(*steps).saturating_mul(*step)).collect()
            }
        }
    }

    /// The same for all lengths.
    pub fn lengths(&self, work: &mut Work<'_>) -> Lengths {
        match &self.way {
            Way::Near { sides, .. } => Lengths::Near(sums::Least::of(self.sides_along(sides), work)),
            Way::Common(step) | Way::Coarse { step, .. } => Lengths::Even(*step),
        }
    }

    /// Sides along the cloth, in steps and in units.
    fn sides_along(&self, sides: &BTreeMap<i128, i64>) -> Vec<Side> {
        in_steps(sides, &self.along)
    }
}

/// The sizes of a job as they matter for its steps.
#[derive(Clone, Copy, Debug)]
struct Sizes {
    /// The common step of the pieces' sides, and the least of them.
    common: i128,
    least: i128,
    /// All pieces one above the other, the long way.
    stacked: i128,
    /// The largest measure of cloth.
    cloth: i128,
}

impl Sizes {
    fn of(job: &doors::Job) -> Result<Sizes, Misfit> {
        let mut stacked = 0i128;
        for (at, piece) in wanted(job) {
            let (across, along) = piece.lies(false);
            let all = across.max(along).checked_mul(i128::from(piece.count));
            stacked = all
                .and_then(|all| stacked.checked_add(all))
                .filter(|stacked| *stacked <= i128::MAX / 8)
                .ok_or(Misfit::TooMuch { piece: at })?;
        }
        let sides = || wanted(job).flat_map(|(_, piece)| [piece.lies(false).0, piece.lies(false).1]);
        let sheets = job.sheets.iter().filter(|sheet| sheet.count > 0);
        let measures = sheets.flat_map(|sheet| [sheet.across, sheet.along]).chain(job.roll);
        Ok(Sizes {
            common: sides().fold(0, gcd).max(1),
            least: sides().min().unwrap_or(1),
            stacked,
            cloth: measures.max().unwrap_or(0).min(i128::MAX / 8),
        })
    }

    /// Whether cloth has few common steps.
    fn few(&self) -> bool {
        self.cloth / self.common <= FEW && self.stacked / self.common <= MOST_STACKED
    }

    /// Steps of one size: the common one, if that can be counted.
    fn plain(&self, job: &doors::Job) -> Option<Way> {
        let fine = (self.cloth >> 20).min(self.least >> 4);
        let step = (self.stacked / MOST_STACKED + 1).max(fine.min(for_area(job, self.cloth)));
        match step {
            step if step > self.least => None,
            step if step > self.common => Some(Way::Coarse { step, up: false }),
            _ => Some(Way::Common(self.common)),
        }
    }
}

impl Way {
    /// Whether marks of a ruler that keep not all sums still keep enough of them.
    fn serves(&self) -> bool {
        let Way::Near { sides, across, along, .. } = self else { return true };
        let close =
            across.values().chain(along.values()).all(|(tight, loose)| loose - tight <= loose / TIGHTEST);
        // What a cloth holds by itself, it holds in these steps too.
        let alone = || {
            across.iter().chain(along).all(|(measure, (tight, _))| {
                sides.iter().all(|(size, steps)| size > measure || steps <= tight)
            })
        };
        close && alone()
    }
}

/// Sides in steps and in units.
fn in_steps(steps: &BTreeMap<i128, i64>, sizes: &[(i128, u64)]) -> Vec<Side> {
    let one = |(size, count): &(i128, u64)| Side {
        steps: steps.get(size).copied().unwrap_or(1),
        size: *size,
        count: *count,
    };
    sizes.iter().map(one).collect()
}

/// What lengths in steps are in units at least.
pub(super) enum Lengths {
    /// All steps are so many units.
    Even(i128),
    /// By the sums of sides.
    Near(sums::Least),
}

impl Lengths {
    /// The least that so many steps can be.
    pub fn least(&self, steps: i64) -> i128 {
        match self {
            Lengths::Even(step) => i128::from(steps).saturating_mul(*step),
            Lengths::Near(least) => least.from(steps),
        }
    }
}

/// The pieces that are wanted at all.
fn wanted(job: &doors::Job) -> impl Iterator<Item = (usize, &doors::Piece)> {
    job.pieces.iter().enumerate().filter(|(_, piece)| piece.count > 0)
}

/// Sides that may lie across the cloth, and how many there are of each.
fn across_sides(job: &doors::Job) -> Vec<(i128, u64)> {
    sides(job, |(across, _)| across)
}

/// Sides that may lie along the cloth.
fn along_sides(job: &doors::Job) -> Vec<(i128, u64)> {
    sides(job, |(_, along)| along)
}

fn sides(job: &doors::Job, side: impl Fn((i128, i128)) -> i128) -> Vec<(i128, u64)> {
    let mut all: BTreeMap<i128, u64> = BTreeMap::new();
    for (_, piece) in wanted(job) {
        for turned in [Some(false), piece.may_turn.then_some(true)].into_iter().flatten() {
            let count = all.entry(side(piece.lies(turned))).or_default();
            *count = count.saturating_add(piece.count);
        }
    }
    all.into_iter().collect()
}

/// Steps so large that the cloth that is likely to be needed has few enough of them.
fn for_area(job: &doors::Job, cloth: i128) -> i128 {
    let mut step = 1i128;
    // Measures are halved until their products are in range.
    let fold = |step: i128| {
        let area = wanted(job).try_fold(0i128, |sum, (_, piece)| {
            let (across, along) = piece.lies(false);
            let each = (across / step + 1).checked_mul(along / step + 1)?;
            sum.checked_add(each.checked_mul(i128::from(piece.count))?)
        });
        area.is_some_and(|area| {
            let longest = wanted(job).map(|(_, piece)| piece.lies(false).1).max().unwrap_or(0);
            let beside = (cloth / step + 1).checked_mul(longest / step + 1);
            beside
                .and_then(|beside| area.checked_mul(2)?.checked_add(beside))
                .is_some_and(|all| all <= MOST_AREA)
        })
    };
    while step < cloth && !fold(step) {
        step *= 2;
    }
    step
}
