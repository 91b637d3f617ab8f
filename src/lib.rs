//! Scant: a small unit-aware language, a prompt and a recipe runner for the arithmetic of sewing.
//!
//! The modules are in layers and import downward only; DEVELOPERS.md shows them and
//! `tests/layers` checks it.

#![warn(clippy::arithmetic_side_effects, clippy::iter_over_hash_type)]

pub mod ask;
pub mod check;
pub mod code;
pub mod docket;
pub mod drawing;
pub mod eval;
pub mod fault;
pub mod grade;
pub mod help;
pub mod layout;
pub mod library;
pub mod limits;
pub mod measure;
pub mod prompt;
pub mod recipe;
pub mod report;
pub mod session;
pub mod shape;
pub mod syntax;
mod text;
pub mod value;

pub mod cli;
