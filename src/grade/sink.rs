//! Where graded rows go: what a writer of rows takes.

use std::borrow::Cow;
use std::collections::HashSet;
use std::io;
use std::rc::Rc;

use super::results::Cell;
use crate::report::Screen;

/// A way of writing graded rows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Style {
    /// A table to read: lines of 80 columns, a long table a row a line.
    #[default]
    Text,
    /// A table to read as it comes: never wider than the screen, as far as its words can be broken.
    Screen(Screen),
    /// For spreadsheets: numbers, their units in the headings.
    Csv,
    /// The same as a ruler reads them.
    Readings,
    /// One JSON object a line.
    JsonLines,
}

/// The columns of the output, by what they are.
#[derive(Clone, Debug, Default)]
pub(super) struct Head {
    pub label: String,
    pub passed: Vec<String>,
    pub givens: Vec<String>,
    pub results: Vec<String>,
    /// Whether the table that came in has decimal commas.
    pub commas: bool,
}

/// The names; one that came before gets a number that makes it new.
pub(super) fn each_once<'a>(names: impl Iterator<Item = &'a str> + Clone) -> Vec<String> {
    let mut taken: HashSet<String> = names.clone().map(str::to_owned).collect();
    let mut seen: HashSet<&str> = HashSet::new();
    let once = |name: &'a str| {
        if seen.insert(name) {
            return name.to_owned();
        }
        let mut numbered = (2u64..).map(|number| format!("{name} {number}"));
        numbered.find(|numbered| taken.insert(numbered.clone())).unwrap_or_default()
    };
    names.map(once).collect()
}

/// A row to write.
#[derive(Clone, Debug, Default)]
pub(super) struct Made<'a> {
    pub number: u64,
    pub label: Cow<'a, str>,
    pub passed: Vec<Cow<'a, str>>,
    pub givens: Vec<Cow<'a, str>>,
    /// In the order of the columns; none where the row could not be made.
    pub results: Vec<Option<Cell<'a>>>,
    pub cautions: Vec<Rc<str>>,
    pub trouble: Vec<Trouble>,
}

/// The verdict on a row of which there is no docket.
pub(super) const NOT_MADE: &str = "not made";

/// What is wrong with a row.
#[derive(Clone, Debug)]
pub(super) struct Trouble {
    /// `not made`, `not right`, `not sure`
    pub verdict: &'static str,
    pub words: String,
    pub hints: Vec<String>,
}

impl Made<'_> {
    /// The row kept for later.
    pub fn into_owned(self) -> Made<'static> {
        let texts = |texts: Vec<Cow<'_, str>>| {
            texts.into_iter().map(|text| Cow::Owned(text.into_owned())).collect::<Vec<_>>()
        };
        let Made { number, label, passed, givens, results, cautions, trouble } = self;
        let results = results.into_iter().map(|cell| cell.map(Cell::into_owned)).collect();
        let (label, passed, givens) = (label.into_owned().into(), texts(passed), texts(givens));
        Made { number, label, passed, givens, results, cautions, trouble }
    }

    /// The bytes of its texts, each text counted with what it takes itself.
    pub fn text_bytes(&self) -> usize {
        let texts = std::iter::once(&self.label).chain(&self.passed).chain(&self.givens);
        let texts = texts.map(|text| size_of::<String>().saturating_add(text.len())).sum::<usize>();
        texts.saturating_add(self.trouble.iter().map(|trouble| trouble.words.len()).sum::<usize>())
    }

    /// Whether it could be made.
    pub fn is_made(&self) -> bool {
        self.trouble.iter().all(|trouble| trouble.verdict != NOT_MADE)
    }

    /// How bad the worst of it is; empty where nothing is wrong.
    pub fn verdict(&self) -> &'static str {
        self.trouble.iter().map(|trouble| trouble.verdict).min().unwrap_or("")
    }

    /// All that is wrong, in one text.
    pub fn trouble_words(&self) -> String {
        let words = self.trouble.iter().map(|trouble| match trouble.verdict {
            "not sure" => format!("not sure: {}", trouble.words),
            _ => trouble.words.clone(),
        });
        words.collect::<Vec<_>>().join("; ")
    }

    /// The value in a column of results.
    pub fn result(&self, at: usize) -> Option<&Cell<'_>> {
        self.results.get(at).and_then(Option::as_ref)
    }
}

/// Takes rows one at a time.
pub(super) trait Sink {
    /// Takes the columns and the first rows, by which their forms are chosen; `all` where no more come.
    fn begin(&mut self, head: Head, rows: &[Made<'_>], all: bool) -> io::Result<()>;
    /// Takes a row.
    fn row(&mut self, row: &Made<'_>) -> io::Result<()>;
    /// Writes what is still held back; what came up too late for the head is handed back in words.
    fn end(&mut self) -> io::Result<Vec<String>>;
}
