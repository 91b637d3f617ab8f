//! The lines of a recipe, and the making of a docket from them.

pub mod bill;
pub mod build;
pub mod cloth;
pub mod cloth_acts;
pub mod cutting;
pub mod grid;
pub mod inputs;
pub mod make;
pub mod measured;
pub mod misfits;
pub mod planning;
pub mod together;
pub mod used;
