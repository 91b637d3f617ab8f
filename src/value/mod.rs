//! Values, measures with slack, kinds, the built-ins' headings, and what can go wrong with them.

pub mod builtin;
pub mod cause;
pub mod data;
pub mod describe;
pub mod guard;
pub mod kind;
mod shape_words;
pub(crate) mod sides;
pub mod slack;
mod words;

pub use builtin::{Ask, Builtin};
pub use cause::{At, Cause, One, Pair, Uncounted, Want};
pub use data::{List, Record, Value};
pub use describe::{Describe, Facts, Operand, Sort};
pub use guard::{Bound, Guard};
pub use kind::{KINDS, Kind};
pub use slack::{Slack, Source};
pub(crate) use words::named;
pub use words::no_operation;
