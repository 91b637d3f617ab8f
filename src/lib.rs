//! Scant: a small unit-aware language, a prompt and a recipe runner for the arithmetic of sewing.
//!
//! The rooms stand on four floors and import downward only; DEVELOPERS.md draws the plan and
//! `tests/layers.rs` holds it.

pub mod docket;
pub mod engine;
pub mod fault;
pub mod grade;
pub mod layout;
pub mod measure;
pub mod prompt;
pub mod report;
pub mod syntax;
mod text;

pub mod cli;
