//! Why and find of one expression.

pub mod find;
pub mod why;
