//! The lines of a recipe, and the making of a docket from them.

pub mod answer;
pub mod bill;
pub mod build;
pub mod cloth;
pub mod cutting;
pub(crate) mod dependence;
pub mod inputs;
pub(crate) mod lines;
pub mod make;
pub mod measured;
mod picture;
pub mod planning;
pub mod together;
pub mod used;
pub mod working;
