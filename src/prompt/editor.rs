//! Several-row entries and completion for the row editor.

use rustyline::completion::{Completer, Pair};
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::validate::{ValidationContext, ValidationResult, Validator};
use rustyline::{Context, Result};

use super::words;
use crate::fault::FileId;
use crate::syntax;

/// Completes names and asks for another row while an entry is unfinished.
#[derive(Debug)]
pub struct Helper {
    known: Vec<String>,
}

impl Helper {
    /// A helper that completes these words.
    pub fn new(known: Vec<String>) -> Helper {
        Helper { known }
    }

    /// Completes these words from now on.
    pub fn set_words(&mut self, known: Vec<String>) {
        self.known = known;
    }
}

/// Whether an entry needs no other row.
pub fn is_finished(entry: &str) -> bool {
    words::find(entry).is_some() || entry.trim().is_empty() || !syntax::read(FileId(0), entry).unfinished
}

impl Validator for Helper {
    fn validate(&self, context: &mut ValidationContext<'_>) -> Result<ValidationResult> {
        let entry = context.input();
        // An empty row ends an entry, finished or not, so that nobody is held fast in one.
        Ok(match entry.ends_with('\n') || is_finished(entry) {
            true => ValidationResult::Valid(None),
            false => ValidationResult::Incomplete,
        })
    }
}

impl Completer for Helper {
    type Candidate = Pair;

    fn complete(&self, line: &str, pos: usize, _context: &Context<'_>) -> Result<(usize, Vec<Pair>)> {
        let before = line.get(..pos).unwrap_or(line);
        let start = before.rfind(|c: char| !(c.is_alphanumeric() || c == '_')).map_or(0, |at| {
            at + before.get(at..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8)
        });
        let stem = before.get(start..).unwrap_or("");
        if stem.is_empty() {
            return Ok((pos, Vec::new()));
        }
        let fits = self.known.iter().filter(|word| word.starts_with(stem));
        let pairs = fits.map(|word| Pair { display: word.clone(), replacement: word.clone() });
        Ok((start, pairs.collect()))
    }
}

impl Hinter for Helper {
    type Hint = String;
}

impl Highlighter for Helper {}

impl rustyline::Helper for Helper {}
