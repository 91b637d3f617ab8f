//! Where entries come from: the keyboard, or rows from a pipe.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::io::{self, BufRead, IsTerminal, Read};

use rustyline::config::{CompletionType, Configurer};
use rustyline::error::ReadlineError;
use rustyline::history::MemHistory;

use super::editor::{Helper, is_finished};
use crate::limits::{ENTRY_ROWS, HISTORY, LINE};

/// The longest entry, in bytes: the longest line of a recipe.
const LONGEST: u64 = LINE as u64;

/// What came.
pub enum Next {
    /// An entry.
    Entry(String),
    /// What is no entry, and why.
    Refused(String),
    /// The input ended within an entry.
    Unfinished(String),
    /// The input ended.
    End,
}

/// The source of entries.
pub enum Entries {
    /// A person at a keyboard.
    Keyboard(Box<rustyline::Editor<Helper, MemHistory>>),
    /// Rows from a pipe or a file.
    Rows(io::BufReader<io::Stdin>),
}

impl Entries {
    /// Standard input; at a keyboard a helper completes names, and these entries are remembered.
    pub fn open(helper: Helper, remembered: Vec<String>) -> io::Result<Entries> {
        if !io::stdin().is_terminal() {
            return Ok(Entries::Rows(io::BufReader::new(io::stdin())));
        }
        // Where several words fit they are all listed at once.
        let config = rustyline::Config::builder()
            .completion_type(CompletionType::List)
            .completion_show_all_if_ambiguous(true)
            .build();
        let mut editor =
            rustyline::Editor::with_history(config, MemHistory::new()).map_err(io::Error::other)?;
        editor.set_max_history_size(HISTORY).map_err(io::Error::other)?;
        editor.set_helper(Some(helper));
        for entry in remembered {
            editor.add_history_entry(entry).map_err(io::Error::other)?;
        }
        Ok(Entries::Keyboard(Box::new(editor)))
    }

    /// Remembers an entry.
    pub fn remember(&mut self, entry: &str) {
        if let Entries::Keyboard(editor) = self {
            // Memory takes any entry.
            let _ = editor.add_history_entry(entry);
        }
    }

    /// The next entry; `in_sizes` says that the last one was a row of sizes.
    pub fn next(&mut self, in_sizes: bool) -> io::Result<Next> {
        let editor = match self {
            Entries::Rows(reader) => return from_rows(reader, in_sizes),
            Entries::Keyboard(editor) => editor,
        };
        loop {
            return Ok(match editor.readline("> ") {
                Ok(entry) if entry.len() as u64 > LONGEST => Next::Refused(too_long()),
                Ok(entry) => Next::Entry(entry),
                Err(ReadlineError::Interrupted) => continue,
                Err(ReadlineError::Eof) => Next::End,
                Err(ReadlineError::Io(error)) if error.kind() == io::ErrorKind::InvalidData => {
                    Next::Refused(not_text())
                }
                Err(other) => return Err(io::Error::other(other)),
            });
        }
    }
}

fn too_long() -> String {
    format!("this entry is longer than {} KiB: write it into a file and `load` it", LONGEST >> 10)
}

fn not_text() -> String {
    "this entry is not UTF-8 text".into()
}

/// Rows up to the end of an entry.
pub fn from_rows(reader: &mut impl BufRead, in_sizes: bool) -> io::Result<Next> {
    let mut entry = String::new();
    for rows in 0.. {
        let mut row = Vec::new();
        reader.take(LONGEST + 1).read_until(b'\n', &mut row)?;
        if row.is_empty() {
            return Ok(if entry.is_empty() { Next::End } else { Next::Unfinished(entry) });
        }
        let whole = row.pop_if(|byte| *byte == b'\n').is_some();
        row.pop_if(|byte| *byte == b'\r');
        if (entry.len() + row.len()) as u64 > LONGEST || rows > ENTRY_ROWS {
            if !whole {
                skip_row(reader)?;
            }
            return Ok(Next::Refused(too_long()));
        }
        let Ok(row) = String::from_utf8(row) else { return Ok(Next::Refused(not_text())) };
        let ends_here = row.trim().is_empty();
        entry.push_str(&row);
        // An empty row ends an entry, finished or not, so that nobody is held fast in one.
        if ends_here || is_finished(&entry, in_sizes) {
            return Ok(Next::Entry(entry));
        }
        if !whole {
            return Ok(Next::Unfinished(entry));
        }
        entry.push('\n');
    }
    Ok(Next::End)
}

/// Leaves out what is left of a row.
fn skip_row(reader: &mut impl BufRead) -> io::Result<()> {
    loop {
        let buffer = reader.fill_buf()?;
        let end = buffer.iter().position(|byte| *byte == b'\n');
        let used = end.map_or(buffer.len(), |at| at + 1);
        let ended = end.is_some() || buffer.is_empty();
        reader.consume(used);
        if ended {
            return Ok(());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(mut text: &[u8]) -> Vec<String> {
        let mut told = Vec::new();
        loop {
            told.push(match from_rows(&mut text, false).unwrap() {
                Next::Entry(entry) => entry,
                Next::Refused(why) => format!("refused: {why}"),
                Next::Unfinished(entry) => format!("unfinished: {entry}"),
                Next::End => return told,
            });
        }
    }

    #[test]
    fn rows_make_entries() {
        assert_eq!(all(b"1 in\r\nx = [1,\n2]\nhelp\n"), ["1 in", "x = [1,\n2]", "help"]);
        assert_eq!(all(b"x = (1 +\n\n2\n"), ["x = (1 +\n", "2"]);
    }

    #[test]
    fn an_entry_that_the_end_cuts_off_is_told() {
        assert_eq!(all(b"1 in\nx = (1 +"), ["1 in", "unfinished: x = (1 +"]);
        assert_eq!(all(b"x = (1 +\n"), ["unfinished: x = (1 +\n"]);
        assert_eq!(all(b"x = 1"), ["x = 1"]);
    }

    #[test]
    fn what_is_no_text_or_too_long_is_refused_and_the_next_row_read() {
        let told = all(b"1 in\n2 \xff in\n3 in\n");
        assert_eq!(told, ["1 in", "refused: this entry is not UTF-8 text", "3 in"]);
        let long = [vec![b'1'; 70 << 10], b"\n3 in\n".to_vec()].concat();
        assert_eq!(all(&long)[1..], ["3 in"]);
        assert!(all(&long)[0].starts_with("refused: this entry is longer than 64 KiB"));
        assert!(all("x = [\n".repeat(600).as_bytes())[0].starts_with("refused"));
    }
}
