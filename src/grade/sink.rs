//! Where graded rows go: a table to read, CSV, JSON lines.

use std::borrow::Cow;
use std::collections::HashSet;
use std::io::{self, Write};
use std::rc::Rc;

use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

use super::csv_sink::CsvSink;
use super::results::Cell;
use super::table::TextSink;
use crate::docket::FigureJson;
use crate::report::escape::HarmlessJson;

/// A way of writing graded rows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Style {
    /// A table to read.
    #[default]
    Text,
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

/// Names, each once: one that comes again gets a number.
pub(super) fn unique<'a>(names: impl Iterator<Item = &'a str>) -> Vec<String> {
    let mut seen: HashSet<String> = HashSet::new();
    let once = |name: &str| {
        let numbered = (2u64..).map(|number| format!("{name} {number}"));
        let mut tried = std::iter::once(name.to_owned()).chain(numbered);
        let free = tried.find(|name| !seen.contains(name)).unwrap_or_default();
        seen.insert(free.clone());
        free
    };
    names.map(once).collect()
}

/// A row to write.
#[derive(Clone, Debug)]
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
        Made {
            number: self.number,
            label: Cow::Owned(self.label.into_owned()),
            passed: texts(self.passed),
            givens: texts(self.givens),
            results: self.results.into_iter().map(|cell| cell.map(Cell::into_owned)).collect(),
            cautions: self.cautions,
            trouble: self.trouble,
        }
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

/// A sink of a style.
pub(super) fn sink<'a>(style: Style, out: &'a mut dyn Write) -> Box<dyn Sink + 'a> {
    let out = io::BufWriter::with_capacity(64 * 1024, out);
    match style {
        Style::Text => Box::new(TextSink::new(out)),
        Style::Csv | Style::Readings => Box::new(CsvSink::new(out, style == Style::Readings)),
        Style::JsonLines => Box::new(JsonSink { out, head: Head::default() }),
    }
}

struct JsonSink<W: Write> {
    out: W,
    head: Head,
}

impl<W: Write> Sink for JsonSink<W> {
    fn begin(&mut self, head: Head, rows: &[Made<'_>], _all: bool) -> io::Result<()> {
        let keys = |names: &[String]| unique(names.iter().map(String::as_str));
        let (passed, givens, results) = (keys(&head.passed), keys(&head.givens), keys(&head.results));
        self.head = Head { passed, givens, results, ..head };
        rows.iter().try_for_each(|row| self.row(row))
    }

    fn row(&mut self, row: &Made<'_>) -> io::Result<()> {
        let format = HarmlessJson(serde_json::ser::CompactFormatter);
        let mut serializer = serde_json::Serializer::with_formatter(&mut self.out, format);
        Line { head: &self.head, row }.serialize(&mut serializer)?;
        self.out.write_all(b"\n")
    }

    fn end(&mut self) -> io::Result<Vec<String>> {
        self.out.flush()?;
        Ok(Vec::new())
    }
}

/// A row as a JSON object; the groups keep columns of one name apart.
struct Line<'a> {
    head: &'a Head,
    row: &'a Made<'a>,
}

impl Serialize for Line<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Line { head, row } = self;
        let made = row.results.iter().map(|cell| {
            let cell = cell.as_ref()?;
            Some(FigureJson(&cell.value, &cell.manner))
        });
        let trouble = Some(row.trouble_words()).filter(|trouble| !trouble.is_empty());
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("row", &row.number)?;
        map.serialize_entry("size", &row.label)?;
        map.serialize_entry("passed", &Keyed(&head.passed, &row.passed))?;
        map.serialize_entry("givens", &Keyed(&head.givens, &row.givens))?;
        map.serialize_entry("results", &Keyed(&head.results, &made.collect::<Vec<_>>()))?;
        map.serialize_entry("cautions", &row.cautions)?;
        map.serialize_entry("trouble", &trouble)?;
        map.end()
    }
}

/// Values under their names.
struct Keyed<'a, T>(&'a [String], &'a [T]);

impl<T: Serialize> Serialize for Keyed<'_, T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().zip(self.1))
    }
}
