//! The nesting scan, the reader over the grammar, and the tree with spans.

mod climb;
mod complain;
mod habits;
mod lacking;
pub mod numbers;
mod operators;
mod phrases;
mod read;
mod refuse;

mod scan;
mod signs;
mod stopped;
pub mod tree;
pub mod visit;
mod words;

pub use read::{Read, read, read_at, read_expression, read_on, read_until};
pub use words::{LINE_WORDS, WORDS, is_word};
