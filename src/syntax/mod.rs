//! The nesting scan, the reader over the grammar, and the tree with spans.

pub mod tree;
