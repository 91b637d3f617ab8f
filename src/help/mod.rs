//! Rules, their words, examples and sources, and the search in them.

pub mod handbook;
pub mod rules;
pub mod tries;
