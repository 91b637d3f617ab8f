//! What is entered at the prompt: a recipe that grows, undo, save.

mod around;
pub mod entry;
mod save;
