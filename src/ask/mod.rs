//! Why and find of one expression.

pub mod act;
pub mod find;
pub mod why;
