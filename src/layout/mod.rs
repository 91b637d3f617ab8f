//! Cutting plans: integers in, integers out.
//!
//! A [`Job`] says which pieces are wanted and from which cloth; [`plan`] answers with what lies
//! where, in the order of cutting, and with a bound that no plan of the kind can better. All
//! lengths are whole grid units, so that an exact fit is one.
#![expect(
    clippy::arithmetic_side_effects,
    reason = "sizes and counts are bounded at the doors of the room so that their sums and areas fit"
)]
#![deny(clippy::float_arithmetic, clippy::indexing_slicing)]

mod beam;
mod bounds;
mod check;
mod cloths;
mod columns;
mod cover;
mod doors;
mod edge;
mod found;
mod free;
mod fronts;
mod job;
mod kinds;
mod lengths;
mod more;
mod plan;
mod planned;
mod roll;
mod rows;
mod search;
mod selvage;
mod sheets;
mod simple;
mod spanning;
mod steps;
mod strips;
mod tree;
mod work;

pub use check::{check, check_cost};
pub use doors::{Job, Lay, Part, Piece, Placed, Plan, Rect, Share, Sheet, Spread};
pub use job::{Budget, Kind, Misfit};
pub use lengths::{CutPiece, CutStrip, Cutting, Join, Joined, Length, Lengths, check_lengths, lengths};
pub use more::{More, how_many_more};
pub use planned::{Price, cheapest, plan, plan_within, plans};
