//! Where the sizes come from, and who reads them.

use std::io::Read;

use super::csv_rows::CsvRows;
use super::json_rows::JsonRows;
use super::rows::Rows;
use crate::fault::Fault;

/// Where the sizes come from.
pub enum Source<'a> {
    /// A table of cells between commas, semicolons or tabs.
    Csv(Box<dyn Read + 'a>),
    /// JSON: an array of objects, or one object a line.
    Json(Box<dyn Read + 'a>),
    /// The recipe's own `sizes`.
    Own,
}

/// Opens a table; `name` is what faults call it.
pub(super) fn open<'a>(source: Source<'a>, name: &str) -> Result<Option<Box<dyn Rows + 'a>>, Fault> {
    Ok(match source {
        Source::Csv(reader) => Some(Box::new(CsvRows::open(reader, name)?)),
        Source::Json(reader) => Some(Box::new(JsonRows::open(reader, name)?)),
        Source::Own => None,
    })
}
