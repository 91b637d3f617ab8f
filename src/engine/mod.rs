//! Limits, values, names, built-ins, evaluation, the embedded library, the session.
//!
//! A text is read by the syntax room, compiled against what its names mean ([`recipe`]), and
//! worked by the [`machine`] into a docket ([`run`]). Nothing here touches a file, a clock or a terminal.

mod arguments;
mod ask;
mod bill;
pub mod builtins;
mod calls;
mod cloth;
mod cloth_acts;
mod code;
mod compile;
mod cutting;
mod find;
mod grid;
pub mod handbook;
pub mod help;
mod hoist;
mod infer;
mod inputs;
mod kind;
pub mod lengths;
pub mod library;
mod limits;
mod lists;
mod machine;
mod measured;
mod misfits;
mod names;
mod operate;
mod planning;
mod recipe;
mod reworked;
mod run;
mod save;
mod save_rules;
mod scope;
mod session;
mod session_ask;
mod session_cloth;
mod slack;
mod spending;
mod stale;
mod together;
mod tries;
mod used;
mod value;
mod why;
mod words;

pub use ask::Tell;
use code::Code;
pub use inputs::{BadText, read_value};
pub use limits::Limits;
pub use recipe::{Given, Recipe, Size, compile, unknown_given};
pub use run::{Run, Set};
pub use session::{Entered, Said, Session};
pub use tries::{Tried, try_library};
pub use used::{Host, NoFiles};
pub use value::Value;
