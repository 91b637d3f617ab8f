//! The reader, rule by rule: what it takes, what it refuses and in which words, and how it bears
//! hostile texts.
#![allow(clippy::unwrap_used)] // what cannot be unwrapped here is a test that fails

mod dump;
mod expressions;
mod hostile;
mod laws;
mod lines;
mod places;
mod refusals;
mod texts;
mod unfinished;
