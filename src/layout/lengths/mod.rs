//! Strips of one width cut into lengths, and lengths joined from strips: the fewest strips.

mod check;
mod cut;
mod join;
mod joined;

use super::job::{Budget, Misfit};
use super::work::Work;

pub use check::check_lengths;

/// Lengths that are wanted, and the strips that they come from. All sizes are whole grid units.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Lengths {
    /// How long each new strip is: the usable width of the cloth, for strips cut across it.
    pub strip: i64,
    /// Strips in hand, which count for nothing.
    pub hand: Vec<Length>,
    /// What is wanted; a length below one grid unit counts as one.
    pub wanted: Vec<Length>,
    /// How a length may be joined from several; `None` where each is in one piece.
    pub join: Option<Join>,
}

/// Equal lengths.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Length {
    /// How many.
    pub count: u64,
    /// How long each is.
    pub length: i64,
}

/// A join between two pieces of a length.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Join {
    /// Length that each join takes up: two seam allowances of a straight join, the width of the strip
    /// of a diagonal one. A length of n pieces takes its own length and n - 1 times this.
    pub loss: i64,
    /// No piece that is joined to another is shorter than this.
    pub shortest: i64,
}

/// How strips are cut into lengths.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cutting {
    /// How many new strips are used.
    pub strips: u64,
    /// There is no way with fewer.
    pub bound: u64,
    /// Whether it is proved that there is no way with fewer.
    pub proved: bool,
    /// The strips, new and in hand, equal ones together.
    pub cuts: Vec<CutStrip>,
    /// The lengths that are joined from several pieces, equal ones together.
    pub joined: Vec<Joined>,
}

/// Equal strips and what each is cut into.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CutStrip {
    /// How many.
    pub times: u64,
    /// Which strips in hand: an index into [`Lengths::hand`]; new ones otherwise.
    pub hand: Option<usize>,
    /// What comes off, in order.
    pub pieces: Vec<CutPiece>,
    /// What is left over of each.
    pub left: i64,
}

/// Equal pieces cut from a strip next to each other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CutPiece {
    /// Index into [`Lengths::wanted`].
    pub item: usize,
    /// How long each is: the whole of what is wanted, or a piece of a joined length.
    pub length: i64,
    /// How many.
    pub count: u64,
}

/// Equal lengths that are joined from pieces.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Joined {
    /// Index into [`Lengths::wanted`].
    pub item: usize,
    /// How many are joined like this.
    pub times: u64,
    /// The pieces, in the order in which they are joined.
    pub pieces: Vec<i64>,
}

/// The fewest new strips found that give all lengths; [`Misfit::TooWide`] names a length that no strip
/// and no joins give, [`Misfit::TooMuch`] one past what can be counted.
pub fn lengths(job: &Lengths, budget: Budget) -> Result<Cutting, Misfit> {
    let job = in_range(job)?;
    let cutting = match job.join {
        None => cut::cut(&job, &mut Work::new(budget.0, &|| false))?,
        Some(join) => joined::cut(&job, join, budget)?,
    };
    debug_assert_eq!(check_lengths(&job, &cutting), Ok(()));
    Ok(cutting)
}

/// The fewest new strips found by so much work, each length in one piece; `None` where they are past counting.
pub(super) fn fewest(job: &Lengths, work: &mut Work<'_>) -> Option<Cutting> {
    cut::cut(&in_range(job).ok()?, work).ok()
}

/// The job with lengths that are at least one grid unit, and within what can be counted.
fn in_range(job: &Lengths) -> Result<Lengths, Misfit> {
    let mut job = job.clone();
    job.strip = job.strip.max(0);
    let mut sum = 0i128;
    for (at, one) in job.wanted.iter_mut().enumerate() {
        one.length = one.length.max(1);
        sum = sum.saturating_add(i128::from(one.length).saturating_mul(i128::from(one.count)));
        if sum > i128::from(i64::MAX / 8) {
            return Err(Misfit::TooMuch { piece: at });
        }
    }
    for one in &mut job.hand {
        one.length = one.length.max(0);
        // More strips in hand than could be used are not looked at.
        one.count = one.count.min(u64::try_from(sum).unwrap_or(u64::MAX));
    }
    if let Some(join) = &mut job.join {
        join.loss = join.loss.max(0);
        join.shortest = join.shortest.max(1).max(join.loss);
    }
    Ok(job)
}
