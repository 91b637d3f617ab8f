//! The resolved tree: names are slots, rules are numbers; and the one walk over it.

mod call;
pub mod compile;
mod elsewhere;
mod hoist;
pub mod names;
pub mod node;
mod rules;
pub mod scope;
pub mod walk;

pub use compile::Compiler;
pub use names::{Names, RuleEntry};
pub use node::{BinaryNode, CallNode, Code, Link, Node, Op, Piece, RuleCode, Setting};
pub use scope::{Mention, Scope};
pub use walk::{Domain, Truth, walk};
