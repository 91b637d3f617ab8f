//! The types at the door of the room: lengths in exact grid units of 128 bits.

use super::{job, plan};

/// What is wanted, and the cloth that it may come from.
pub type Job = job::Job<i128>;
/// Equal cloths of a fixed size.
pub type Sheet = job::Sheet<i128>;
/// Equal pieces of a job.
pub type Piece = job::Piece<i128>;
/// A plan that holds all pieces of a job.
pub type Plan = plan::Plan<i128>;
/// One cloth laid out, or several alike.
pub type Spread = plan::Spread<i128>;
/// What lies where on a cloth.
pub type Lay = plan::Lay<i128>;
/// A rectangle of cloth, and what becomes of it.
pub type Part = plan::Part<i128>;
/// Equal parts next to each other.
pub type Share = plan::Share<i128>;
/// A piece in its place.
pub type Placed = plan::Placed<i128>;
/// A rectangle on a cloth.
pub type Rect = plan::Rect<i128>;
