//! The evaluator, the built-ins, the limits.

mod builtins;
mod calls;
mod domain;
pub mod grid;
mod halt;
mod lengths;
pub mod limits;
mod lists;
pub mod machine;
pub mod operate;
mod shapes;
mod slack;
pub(crate) mod trace;
mod tracing;
mod usual;
pub mod words;

pub(crate) use shapes::as_shape;
pub(crate) use slack::{alike, operation as slack_operation, part as slack_part};
