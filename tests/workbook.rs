//! The workbook of a docket, read back by another library.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

mod bench;
