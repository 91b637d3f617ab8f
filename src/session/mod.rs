//! What is entered at the prompt: versions of names, undo, save.

pub mod asking;
pub mod cloth;
pub mod entry;
pub mod reworked;
pub mod save;
pub mod save_rules;
pub mod stale;
