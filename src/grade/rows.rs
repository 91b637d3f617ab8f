//! Rows of a table, one after the other, whatever they are written in.

use std::io::{self, Read};

use crate::fault::{Code, Fault, Level};
use crate::limits::ROW;

/// Where the sizes come from.
pub enum Source<'a> {
    /// A table of cells between commas, semicolons or tabs.
    Csv(Box<dyn Read + 'a>),
    /// JSON: an array of objects, or one object a line.
    Json(Box<dyn Read + 'a>),
    /// The recipe's own `sizes`.
    Own,
}

/// One row: its cells in the order of the header.
#[derive(Debug, Default)]
pub(super) struct Row {
    /// Its number, the header counted as row 1 of a CSV table.
    pub number: u64,
    /// The cells; fewer where the row is short.
    pub cells: csv::StringRecord,
    /// What is wrong with the row as a whole.
    pub trouble: Option<String>,
}

/// A table being read.
pub(super) trait Rows {
    /// The header.
    fn header(&self) -> &[String];

    /// Whether a comma between digits is a decimal comma.
    fn decimal_comma(&self) -> bool;

    /// Reads the next row; `false` at the end. A fault ends the table.
    fn next(&mut self, row: &mut Row) -> Result<bool, Fault>;
}

/// The fault of a table that stops being readable.
pub(super) fn unreadable(name: &str, error: &io::Error) -> Fault {
    let why = match error.kind() {
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::PermissionDenied => "it may not be read".to_owned(),
        _ => error.to_string(),
    };
    Fault::nowhere(Code::BadFile, format!("{name} cannot be read: {why}"))
}

/// What is said of a row that is no text; the rows after it are read.
pub(super) const NOT_TEXT: &str = "it is not UTF-8 text; save the table in UTF-8";

/// The fault of a row that is longer than a row can be.
pub(super) fn too_long(name: &str, row: u64) -> Fault {
    bad_table(name, format!("row {row} is longer than a row can be: more than {} MiB", ROW >> 20))
}

/// What deserves a second look.
pub(super) fn advice(code: Code, message: String) -> Fault {
    Fault { level: Level::Advice, ..Fault::nowhere(code, message) }
}

/// A fault of the table as a whole.
pub(super) fn bad_table(name: &str, why: impl std::fmt::Display) -> Fault {
    Fault::nowhere(Code::BadTable, format!("{name}: {why}"))
}
