//! The resolved tree: names are slots, rules are numbers.

pub mod compile;
pub mod hoist;
pub mod names;
pub mod node;
pub mod scope;
