//! A job in steps laid out on all its cloths.

use super::job::{Job, Kind, Misfit, Piece};
use super::plan::{Plan, Spread};
use super::roll::{self, Laid};
use super::spanning::Spanning;
use super::work::{Shares, Work};
use super::{selvage, sheets};

/// A plan of each kind up to the freest that holds all pieces of the job, the plainest first, the best
/// found within the work; the cheapest, where a length of the roll has a price.
pub(super) fn plans(
    job: &Job,
    price: Option<sheets::Price<'_>>,
    freest: Kind,
    work: Work<'_>,
) -> Vec<Result<Plan, Misfit>> {
    let mut shares = Shares::of(work);
    match (job.roll, price) {
        (Some(width), None) if job.sheets.iter().all(|sheet| sheet.count == 0) => {
            let plan = |kind: Kind| {
                let mut share = shares.of_kind(kind);
                let plan = roll_only(job, width, kind, &mut share);
                shares.back(share);
                plan
            };
            freest.up_to().map(plan).collect()
        }
        _ => sheets::plans(job, price, freest, (&length, &mut shares)),
    }
}

fn roll_only(job: &Job, width: i64, kind: Kind, work: &mut Work<'_>) -> Result<Plan, Misfit> {
    if kind != Kind::Strips
        && let Some(spanning) = Spanning::of(job, width)
    {
        // What spans the cloth could come first in every plan.
        return Ok(spanning.with(roll_only(&spanning.rest, width, kind, work)?));
    }
    let laid = length(width, &job.pieces, kind, work)?;
    let spread = Spread { sheet: None, count: 1, across: width, along: laid.length, lay: laid.lay };
    let spreads = if laid.length == 0 { Vec::new() } else { vec![spread] };
    Ok(Plan { kind, spreads, length: laid.length, cost: 0, bound: laid.bound, proved: laid.proved })
}

/// The shortest length found of a roll of `width` that holds all the pieces.
fn length(width: i64, pieces: &[Piece], kind: Kind, work: &mut Work<'_>) -> Result<Laid, Misfit> {
    if pieces.iter().any(|piece| piece.by_selvage && piece.count > 0) {
        return selvage::plan(width, pieces, kind, work.part(u64::MAX));
    }
    roll::plan(width, pieces, kind, work)
}
