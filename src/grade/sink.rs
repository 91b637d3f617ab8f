//! Where graded rows go: a table to read, CSV, JSON lines.

use std::collections::{HashMap, HashSet};
use std::io::{self, Write};

use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

use super::results::Result as Cell;
use super::table::TextSink;
use crate::docket::FigureValue;
use crate::report::escape::{csv_measure, csv_text, push_cell};
use crate::report::{FigureJson, push_value};
use crate::text::{HarmlessJson, harmless};

/// A way of writing graded rows.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Style {
    /// A table to read.
    #[default]
    Text,
    /// For spreadsheets.
    Csv,
    /// One JSON object a line.
    JsonLines,
}

impl Style {
    /// Every style with its name.
    pub const NAMES: &'static [(&'static str, Style)] =
        &[("text", Style::Text), ("csv", Style::Csv), ("json", Style::JsonLines)];

    /// The style with this name.
    pub fn find(name: &str) -> Option<Style> {
        Style::NAMES.iter().find(|(known, _)| *known == name).map(|(_, style)| *style)
    }
}

/// The columns of the output, by what they are.
#[derive(Clone, Debug, Default)]
pub(super) struct Head {
    pub label: String,
    pub passed: Vec<String>,
    pub givens: Vec<String>,
    pub results: Vec<String>,
}

impl Head {
    /// All names, each once.
    pub fn names(&self) -> Vec<String> {
        let all = [std::slice::from_ref(&self.label), &self.passed, &self.givens, &self.results];
        each_once(all.into_iter().flatten().map(String::as_str).chain(["trouble"]))
    }
}

/// The names; one that came before gets a number that makes it new.
fn each_once<'a>(names: impl Iterator<Item = &'a str> + Clone) -> Vec<String> {
    let mut taken: HashSet<String> = names.clone().map(str::to_owned).collect();
    let mut seen: HashMap<&str, u32> = HashMap::new();
    let once = |name: &'a str| {
        let times = seen.entry(name).or_insert(0);
        *times += 1;
        while *times > 1 {
            let numbered = format!("{name} {times}");
            if taken.insert(numbered.clone()) {
                return numbered;
            }
            *times += 1;
        }
        name.to_owned()
    };
    names.map(once).collect()
}

/// A row to write.
pub(super) struct Made<'a> {
    pub number: u64,
    pub label: &'a str,
    pub passed: &'a [&'a str],
    pub givens: &'a [&'a str],
    /// As many as the head has, or none where the row could not be made.
    pub results: &'a [Cell<'a>],
    pub trouble: &'a str,
}

/// Takes rows one at a time.
pub(super) trait Sink {
    /// Takes the columns, once, before any row.
    fn head(&mut self, head: &Head) -> io::Result<()>;
    /// Takes a row.
    fn row(&mut self, row: &Made<'_>) -> io::Result<()>;
    /// Writes what is still held back.
    fn end(&mut self) -> io::Result<()>;
}

/// A sink of a style.
pub(super) fn sink<'a>(style: Style, out: &'a mut dyn Write) -> Box<dyn Sink + 'a> {
    let out = io::BufWriter::with_capacity(64 * 1024, out);
    match style {
        Style::Text => Box::new(TextSink::new(out)),
        Style::Csv => Box::new(CsvSink { out, line: String::new(), cell: String::new(), results: 0 }),
        Style::JsonLines => Box::new(JsonSink { out, head: Head::default() }),
    }
}

struct CsvSink<W: Write> {
    out: W,
    line: String,
    cell: String,
    results: usize,
}

impl<W: Write> Sink for CsvSink<W> {
    fn head(&mut self, head: &Head) -> io::Result<()> {
        self.results = head.results.len();
        let mut line = String::new();
        for (at, name) in head.names().iter().enumerate() {
            line.push_str(if at == 0 { "" } else { "," });
            push_cell(&csv_text(name), &mut line);
        }
        writeln!(self.out, "{line}")
    }

    fn row(&mut self, row: &Made<'_>) -> io::Result<()> {
        self.line.clear();
        push_cell(&csv_text(row.label), &mut self.line);
        let texts = row.passed.iter().chain(row.givens);
        for text in texts {
            self.line.push(',');
            push_cell(&csv_measure(text), &mut self.line);
        }
        for at in 0..self.results {
            self.line.push(',');
            let Some((value, manner)) = row.results.get(at).copied().flatten() else { continue };
            self.cell.clear();
            push_value(value, manner, &mut self.cell);
            let cell = match value {
                FigureValue::Text(_) => csv_text(&self.cell),
                _ => harmless(&self.cell),
            };
            push_cell(&cell, &mut self.line);
        }
        self.line.push(',');
        push_cell(&csv_text(row.trouble), &mut self.line);
        self.line.push('\n');
        self.out.write_all(self.line.as_bytes())
    }

    fn end(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

struct JsonSink<W: Write> {
    out: W,
    head: Head,
}

impl<W: Write> Sink for JsonSink<W> {
    fn head(&mut self, head: &Head) -> io::Result<()> {
        let once = |names: &[String]| each_once(names.iter().map(String::as_str));
        let (passed, givens, results) = (once(&head.passed), once(&head.givens), once(&head.results));
        self.head = Head { label: head.label.clone(), passed, givens, results };
        Ok(())
    }

    fn row(&mut self, row: &Made<'_>) -> io::Result<()> {
        let format = HarmlessJson(serde_json::ser::CompactFormatter);
        let mut serializer = serde_json::Serializer::with_formatter(&mut self.out, format);
        Line { head: &self.head, row }.serialize(&mut serializer)?;
        self.out.write_all(b"\n")
    }

    fn end(&mut self) -> io::Result<()> {
        self.out.flush()
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
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("row", &row.number)?;
        map.serialize_entry("size", row.label)?;
        map.serialize_entry("passed", &Texts(&head.passed, row.passed))?;
        map.serialize_entry("givens", &Texts(&head.givens, row.givens))?;
        map.serialize_entry("results", &Figures(&head.results, row.results))?;
        map.serialize_entry("trouble", &Some(row.trouble).filter(|trouble| !trouble.is_empty()))?;
        map.end()
    }
}

struct Texts<'a>(&'a [String], &'a [&'a str]);

impl Serialize for Texts<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().zip(self.1))
    }
}

struct Figures<'a>(&'a [String], &'a [Cell<'a>]);

impl<'a> Serialize for Figures<'a> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let json = |cell: &Cell<'a>| cell.map(|(value, manner)| FigureJson(value, manner));
        serializer.collect_map(self.0.iter().zip(self.1.iter().map(json)))
    }
}
