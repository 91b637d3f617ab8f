//! Several-row entries and completion for the row editor.

use std::cell::RefCell;
use std::rc::Rc;

use rustyline::completion::{Completer, Pair};
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::validate::{ValidationContext, ValidationResult, Validator};
use rustyline::{Context, Result};

use super::words;
use crate::fault::FileId;
use crate::session::entry::Session;
use crate::syntax;

/// Completes names and asks for another row while an entry is unfinished.
#[derive(Debug)]
pub struct Helper(Rc<RefCell<Session>>);

impl Helper {
    /// A helper beside a session.
    pub fn new(session: Rc<RefCell<Session>>) -> Helper {
        Helper(session)
    }
}

/// Whether an entry needs no other row; `in_sizes` says that the last entry was a row of sizes.
pub fn is_finished(entry: &str, in_sizes: bool) -> bool {
    words::find(entry).is_some()
        || entry.trim().is_empty()
        || !syntax::read_on(FileId(0), entry, in_sizes).unfinished
}

impl Validator for Helper {
    fn validate(&self, context: &mut ValidationContext<'_>) -> Result<ValidationResult> {
        let entry = context.input();
        // An empty row ends an entry, finished or not, so that nobody is held fast in one.
        Ok(match entry.ends_with('\n') || is_finished(entry, self.0.borrow().in_sizes()) {
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
            before.get(at..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8).saturating_add(at)
        });
        let stem = before.get(start..).unwrap_or("");
        if stem.is_empty() {
            return Ok((pos, Vec::new()));
        }
        let fits = self.0.borrow().words().into_iter().filter(|word| word.starts_with(stem));
        let pairs = fits.map(|word| Pair { display: word.clone(), replacement: word });
        Ok((start, pairs.collect()))
    }
}

impl Hinter for Helper {
    type Hint = String;
}

impl Highlighter for Helper {}

impl rustyline::Helper for Helper {}
