//! Tables of cells between commas, semicolons or tabs.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::cell::Cell;
use std::io::{self, Cursor, Read};
use std::rc::Rc;

use super::quotes::Watched;
use super::rows::{NOT_TEXT, Row, Rows, bad_table, too_long, unreadable};
use crate::fault::Fault;

/// So much of a table is looked at to say what is between its cells.
const LOOKED_AT: usize = 64 * 1024;

/// A CSV table being read.
pub(super) struct CsvRows<'a> {
    name: String,
    header: Vec<String>,
    reader: csv::Reader<Watched<Box<dyn Read + 'a>>>,
    since_row: Rc<Cell<u64>>,
    separator: u8,
    number: u64,
}

impl<'a> CsvRows<'a> {
    /// Reads the header.
    pub fn open(mut reader: Box<dyn Read + 'a>, name: &str) -> Result<CsvRows<'a>, Fault> {
        let start = first_line(&mut reader).map_err(|error| unreadable(name, &error))?;
        if start.starts_with(&[0xff, 0xfe]) || start.starts_with(&[0xfe, 0xff]) {
            return Err(bad_table(name, "the table is written in UTF-16").hint("save it as CSV in UTF-8"));
        }
        let separator = separator(&start);
        let since_row = Rc::new(Cell::new(0));
        let whole: Box<dyn Read + 'a> = Box::new(Cursor::new(start).chain(reader));
        let watched = Watched::new(whole, separator, since_row.clone());
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(separator)
            .flexible(true)
            .has_headers(false)
            .buffer_capacity(64 * 1024)
            .from_reader(watched);
        let mut first = csv::StringRecord::new();
        match reader.read_record(&mut first) {
            Ok(true) => {}
            Ok(false) => {
                return Err(bad_table(name, "the table is empty")
                    .hint("its first row holds the names of the columns"));
            }
            Err(error) => return Err(failed(name, 1, &error)),
        }
        let header = first.iter().map(|cell| cell.trim().to_owned()).collect();
        Ok(CsvRows { name: name.to_owned(), header, reader, since_row, separator, number: 1 })
    }
}

impl Rows for CsvRows<'_> {
    fn header(&self) -> &[String] {
        &self.header
    }

    fn decimal_comma(&self) -> bool {
        self.separator == b';'
    }

    fn next(&mut self, row: &mut Row) -> Result<bool, Fault> {
        loop {
            self.since_row.set(0);
            self.number += 1;
            row.number = self.number;
            row.trouble = None;
            match self.reader.read_record(&mut row.cells) {
                Ok(false) => return Ok(false),
                Ok(true) if row.cells.iter().all(|cell| cell.trim().is_empty()) => {}
                Ok(true) => {
                    row.trouble =
                        ragged(row.cells.len(), self.header.len()).or_else(|| self.swallowed(&row.cells));
                    return Ok(true);
                }
                Err(error) if matches!(error.kind(), csv::ErrorKind::Utf8 { .. }) => {
                    row.cells.clear();
                    row.trouble = Some(NOT_TEXT.into());
                    return Ok(true);
                }
                Err(error) => return Err(failed(&self.name, self.number, &error)),
            }
        }
    }
}

impl CsvRows<'_> {
    /// A cell over several lines of which one looks like a row: a quote may have been opened by mistake.
    fn swallowed(&self, cells: &csv::StringRecord) -> Option<String> {
        let columns = self.header.len();
        let separator = self.separator;
        let like_a_row =
            |line: &str| columns > 1 && line.bytes().filter(|byte| *byte == separator).count() + 1 >= columns;
        let at = cells.iter().position(|cell| cell.contains('\n') && cell.lines().any(like_a_row))?;
        let column = self.header.get(at).map_or("", |name| name);
        Some(format!(
            "its cell `{column}` holds lines that look like rows: is a quote opened in it and not closed?"
        ))
    }
}

/// A row with more or fewer cells than the header has columns.
fn ragged(cells: usize, columns: usize) -> Option<String> {
    let s = |n: usize| if n == 1 { "" } else { "s" };
    (cells != columns)
        .then(|| format!("it has {cells} cell{}, and the table has {columns} column{}", s(cells), s(columns)))
}

fn failed(name: &str, row: u64, error: &csv::Error) -> Fault {
    match error.kind() {
        csv::ErrorKind::Io(io) if io.kind() == io::ErrorKind::FileTooLarge => {
            too_long(name, row).hint("is a quote opened in it and never closed?")
        }
        csv::ErrorKind::Io(io) if io.kind() == io::ErrorKind::InvalidData => {
            bad_table(name, format!("row {row} cannot be read: {io}"))
                .hint("an inch mark inside quotes is written twice: `\"2 1/2\"\" wide\"`")
        }
        csv::ErrorKind::Io(io) => unreadable(name, io),
        csv::ErrorKind::Utf8 { .. } => {
            bad_table(name, format!("row {row} is not UTF-8 text")).hint("save it as CSV in UTF-8")
        }
        _ => bad_table(name, format!("row {row} cannot be read")),
    }
}

/// The bytes up to the end of the first line, as far as they are looked at.
fn first_line(reader: &mut dyn Read) -> io::Result<Vec<u8>> {
    let mut start = Vec::new();
    let mut piece = [0; 4096];
    while start.len() < LOOKED_AT {
        let read = match reader.read(&mut piece) {
            Ok(0) => break,
            Ok(read) => read,
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            Err(error) => return Err(error),
        };
        let new = piece.get(..read).unwrap_or(&[]);
        start.extend_from_slice(new);
        if new.contains(&b'\n') {
            break;
        }
    }
    Ok(start)
}

/// What is between the cells: what the header has most of outside quotes.
fn separator(start: &[u8]) -> u8 {
    let line = start.split(|byte| *byte == b'\n').next().unwrap_or(start);
    let mut quoted = false;
    let (mut commas, mut semicolons, mut tabs) = (0, 0, 0);
    for byte in line {
        match byte {
            b'"' => quoted = !quoted,
            b',' if !quoted => commas += 1,
            b';' if !quoted => semicolons += 1,
            b'\t' if !quoted => tabs += 1,
            _ => {}
        }
    }
    if semicolons > 0 && semicolons >= commas && semicolons >= tabs {
        b';'
    } else if tabs > commas {
        b'\t'
    } else {
        b','
    }
}
