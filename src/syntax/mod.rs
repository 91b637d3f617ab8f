//! The nesting scan, the reader over the grammar, and the tree with spans.

mod ask_lines;
mod ask_tree;
mod climb;
mod cloth_lines;
mod cloth_tree;
mod complain;
mod docs;
mod lacking;
mod lines;
mod operators;
mod read;
mod refuse;
pub mod said;
mod scan;
mod signs;
pub mod tree;
mod words;

pub use read::{Read, read, read_at, read_expression};
pub use words::{LATER_WORDS, LINE_WORDS, WORDS, is_word};
