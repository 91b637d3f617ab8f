//! The evaluator, the built-ins, the limits.

pub mod arguments;
pub mod builtins;
pub mod calls;
pub mod lengths;
pub mod limits;
pub mod lists;
pub mod machine;
pub mod operate;
pub mod words;
