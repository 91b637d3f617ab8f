//! Cutting plans: integers in, integers out.
//!
//! A [`Job`] says which pieces are wanted and from which cloth; [`plan`] answers with what lies
//! where, in the order of cutting, and with a bound that no plan of the kind can better. All
//! lengths are whole grid units, so that an exact fit is one.
#![deny(clippy::float_arithmetic)]

mod bounds;
mod check;
mod columns;
mod cover;
mod edge;
mod free;
mod job;
mod kinds;
mod lengths;
mod more;
mod plan;
mod roll;
mod search;
mod selvage;
mod sheets;
mod simple;
mod strips;
mod tree;

pub use check::{check, check_cost};
pub use job::{Budget, Job, Kind, Misfit, Piece, Sheet};
pub use lengths::{CutPiece, CutStrip, Cutting, Join, Joined, Length, Lengths, check_lengths, lengths};
pub use more::{More, how_many_more};
pub use plan::{Lay, Part, Placed, Plan, Rect, Share, Spread};

/// A plan of the kind that holds all pieces of the job, the best found within the budget; the first
/// piece that has no place otherwise.
pub fn plan(job: &Job, kind: Kind, budget: Budget) -> Result<Plan, Misfit> {
    let found = match job.roll {
        Some(width) if job.sheets.iter().all(|sheet| sheet.count == 0) => roll_only(job, width, kind, budget),
        _ => sheets::plan(job, None, kind, budget),
    };
    if let Ok(found) = &found {
        debug_assert_eq!(check(job, found), Ok(()));
    }
    found
}

/// The cheapest plan of the kind found, where the roll has a price: what a length of it costs, in the
/// coins that sheets cost, and never less for more. Its cost and bound are those of all cloth used.
pub fn cheapest(job: &Job, price: &dyn Fn(i64) -> i64, kind: Kind, budget: Budget) -> Result<Plan, Misfit> {
    let found = sheets::plan(job, Some(price), kind, budget);
    if let Ok(found) = &found {
        debug_assert_eq!(check_cost(job, price, found), Ok(()));
    }
    found
}

fn roll_only(job: &Job, width: i64, kind: Kind, budget: Budget) -> Result<Plan, Misfit> {
    let laid = roll::plan(width, &job.pieces, kind, budget)?;
    let spread = Spread { sheet: None, count: 1, across: width, along: laid.length, lay: laid.lay };
    let spreads = if laid.length == 0 { Vec::new() } else { vec![spread] };
    Ok(Plan { kind, spreads, length: laid.length, cost: 0, bound: laid.bound, proved: laid.proved })
}
