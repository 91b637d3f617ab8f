//! The working of a value: its formula, the numbers put in, the result, and so on down to what was
//! given. Nothing is noted while a recipe runs unless working was asked for; what a step says is found
//! by working its formula once more.

mod explain;
mod fill;
mod loops;
mod text;
mod trail;

pub(crate) use explain::{Asked, explain, part_of};
pub(crate) use trail::{Origin, Trail};
