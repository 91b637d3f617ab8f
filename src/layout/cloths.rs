//! A job in steps laid out on all its cloths.

use super::job::{Job, Kind, Misfit};
use super::plan::{Plan, Spread};
use super::work::Work;
use super::{roll, sheets};

/// A plan of the kind that holds all pieces of the job, the best found within the budget; the cheapest,
/// where a length of the roll has a price.
pub(super) fn plan(
    job: &Job,
    price: Option<sheets::Price<'_>>,
    kind: Kind,
    work: &mut Work<'_>,
) -> Result<Plan, Misfit> {
    match (job.roll, price) {
        (Some(width), None) if job.sheets.iter().all(|sheet| sheet.count == 0) => {
            roll_only(job, width, kind, work)
        }
        _ => sheets::plan(job, price, kind, work.part(u64::MAX)),
    }
}

fn roll_only(job: &Job, width: i64, kind: Kind, work: &mut Work<'_>) -> Result<Plan, Misfit> {
    if kind == Kind::EdgeToEdge {
        let mut part = work.part(work.left() / 4);
        if let Some(plan) = sheets::few(job, kind, &mut part) {
            return Ok(plan);
        }
        work.back(part);
    }
    let laid = roll::plan(width, &job.pieces, kind, work)?;
    let spread = Spread { sheet: None, count: 1, across: width, along: laid.length, lay: laid.lay };
    let spreads = if laid.length == 0 { Vec::new() } else { vec![spread] };
    Ok(Plan { kind, spreads, length: laid.length, cost: 0, bound: laid.bound, proved: laid.proved })
}
