//! What is entered at the prompt: a recipe that grows, undo, save.

pub mod entry;
mod save;
