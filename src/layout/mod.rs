//! Cutting plans: integers in, integers out.
//!
//! A [`Job`] says how wide the cloth is and which pieces are wanted; [`plan`] answers with strips cut
//! straight across the cloth, each cut into pieces. All lengths are whole grid units, so that an
//! exact fit is one.
#![deny(clippy::float_arithmetic)]

mod job;
mod strips;

pub use job::{Held, Job, Misfit, Piece, Plan, Strip};
pub use strips::plan;
