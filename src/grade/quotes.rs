//! A table's bytes on their way to the reader of cells, watched for quotes that do not hold together.
//!
//! The reader takes everything up to the next quote, or to the end, for one cell; rows after an open
//! quote would be lost in it.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::cell::Cell;
use std::io::{self, Read};
use std::rc::Rc;

use memchr::memchr3;

use crate::limits::ROW;

/// Where a byte is in its row.
#[derive(Clone, Copy, PartialEq, Eq)]
enum At {
    /// At the start of a cell.
    Start,
    /// In a cell without quotes.
    Plain,
    /// Between quotes.
    Quoted,
    /// After a quote that ends the cell or is the first of two.
    Closed,
}

/// A reader that ends with a fault at an open quote, at a cell that goes on after its quote, and
/// where one row takes too much.
pub(super) struct Watched<R> {
    reader: R,
    separator: u8,
    since_row: Rc<Cell<u64>>,
    at: At,
    /// What is wrong with the row that comes next.
    flaw: Option<&'static str>,
}

/// What is said of a quote without its partner.
const OPEN: &str = "a quote in it is never closed";
const BROKEN: &str = "there is more text in a cell after its closing quote";

impl<R: Read> Watched<R> {
    /// Watches a table whose cells are parted by `separator`; `since_row` counts the bytes since the
    /// last row that was read.
    pub fn new(reader: R, separator: u8, since_row: Rc<Cell<u64>>) -> Watched<R> {
        Watched { reader, separator, since_row, at: At::Start, flaw: None }
    }

    /// Takes in bytes; the start of the row that is wrong, where one is.
    fn watch(&mut self, bytes: &[u8]) -> Option<usize> {
        let (mut row, mut next) = (0, 0);
        while let Some(byte) = bytes.get(next) {
            next += 1;
            let ends_row = matches!(byte, b'\n' | b'\r');
            self.at = match (self.at, byte) {
                (At::Quoted, b'"') => At::Closed,
                (At::Quoted, _) => At::Quoted,
                (At::Start | At::Closed, b'"') => At::Quoted,
                (_, byte) if *byte == self.separator || ends_row => At::Start,
                (At::Closed, _) => {
                    self.flaw = Some(BROKEN);
                    return Some(row);
                }
                _ => At::Plain,
            };
            if ends_row && self.at == At::Start {
                row = next;
            } else if self.at == At::Plain {
                // Nothing in it matters but its end.
                let rest = bytes.get(next..).unwrap_or(&[]);
                next += memchr3(self.separator, b'\n', b'\r', rest).unwrap_or(rest.len());
            }
        }
        None
    }
}

impl<R: Read> Read for Watched<R> {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if let Some(flaw) = self.flaw {
            return Err(io::Error::new(io::ErrorKind::InvalidData, flaw));
        }
        if self.since_row.get() > ROW {
            return Err(io::ErrorKind::FileTooLarge.into());
        }
        let read = self.reader.read(buffer)?;
        if read == 0 && !buffer.is_empty() && self.at == At::Quoted {
            return Err(io::Error::new(io::ErrorKind::InvalidData, OPEN));
        }
        let read = match self.watch(buffer.get(..read).unwrap_or(&[])) {
            // The rows before it are whole.
            Some(0) => return self.read(buffer),
            Some(sound) => sound,
            None => read,
        };
        self.since_row.set(self.since_row.get() + read as u64);
        Ok(read)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (String, Option<String>) {
        let mut out = Vec::new();
        let end = Watched::new(text.as_bytes(), b',', Rc::default()).read_to_end(&mut out);
        (String::from_utf8(out).unwrap(), end.err().map(|error| error.to_string()))
    }

    #[test]
    fn quotes_that_hold_together_pass() {
        for text in ["", "a,b\n1,2 1/2\"\n", "\"a\",\"b \"\"c\"\"\"\r\n", "\"x\ny\",2\n", "\"a\""] {
            assert_eq!(read(text), (text.to_owned(), None));
        }
    }

    #[test]
    fn rows_before_a_broken_quote_are_whole() {
        assert_eq!(read("a,b\n1,\"2\" x\n3,4\n"), ("a,b\n".into(), Some(BROKEN.into())));
        assert_eq!(read("a,b\n1,\"2\n3,4\n").1, Some(OPEN.into()));
        assert_eq!(read("a,b\n1,\"2\n3,\"4\n").1, Some(BROKEN.into()));
    }
}
