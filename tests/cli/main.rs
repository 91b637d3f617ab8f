//! The program as a person meets it: real files in, whole texts and exit statuses out.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)] // a test that fails panics

mod bench;
mod bounded;
mod commands;
mod figures;
mod files;
mod gallery;
mod golden;
mod hostile;
mod outside_texts;
mod plans;
mod prompt;
#[path = "../common/read_back.rs"]
#[allow(dead_code)] // other tests use the rest
mod read_back;
mod same;
#[path = "../common/schema.rs"]
mod schema;
mod steps;
mod tables;
#[cfg(unix)]
mod terminal;
mod words;
mod work;
