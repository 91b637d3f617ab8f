//! Several-row entries and completion for the row editor.

use std::cell::RefCell;
use std::path::Path;
use std::rc::Rc;

use rustyline::completion::{Completer, Pair};
use rustyline::highlight::Highlighter;
use rustyline::hint::Hinter;
use rustyline::validate::{ValidationContext, ValidationResult, Validator};
use rustyline::{Context, Result};

use super::complete::complete;
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
        let (start, words) = complete(before, &self.0.borrow(), &files_like);
        // An argument is listed by its name alone.
        let pair = |word: String| Pair { display: word.trim_end_matches(": ").to_owned(), replacement: word };
        Ok((start, words.into_iter().map(pair).collect()))
    }
}

/// So many files are offered.
const MOST_FILES: usize = 1_000;

/// The recipes and the folders whose paths begin with a text, in alphabetical order.
fn files_like(stem: &str) -> Vec<String> {
    let (folder, _) = stem.split_at(stem.rfind('/').map_or(0, |at| at.saturating_add(1)));
    let place = if folder.is_empty() { Path::new(".") } else { Path::new(folder) };
    let Ok(there) = std::fs::read_dir(place) else { return Vec::new() };
    let name = |entry: std::fs::DirEntry| {
        let name = entry.file_name().into_string().ok()?;
        let is_folder = entry.path().is_dir();
        let fits = (is_folder || name.ends_with(".scant")) && !name.starts_with('.');
        fits.then(|| format!("{folder}{name}{}", if is_folder { "/" } else { "" }))
    };
    let mut names: Vec<String> =
        there.flatten().filter_map(name).filter(|name| name.starts_with(stem)).take(MOST_FILES).collect();
    names.sort();
    names
}

impl Hinter for Helper {
    type Hint = String;
}

impl Highlighter for Helper {}

impl rustyline::Helper for Helper {}
