//! Graded rows as JSON, one object a line.

use std::io::{self, Write};

use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

use super::sink::{Head, Made, Sink, each_once};
use crate::docket::FigureJson;
use crate::text::HarmlessJson;

/// Writes rows for programs.
pub(super) struct JsonSink<W: Write> {
    pub out: W,
    pub head: Head,
}

impl<W: Write> Sink for JsonSink<W> {
    fn begin(&mut self, head: Head, rows: &[Made<'_>], _all: bool) -> io::Result<()> {
        let keys = |names: &[String]| each_once(names.iter().map(String::as_str));
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
