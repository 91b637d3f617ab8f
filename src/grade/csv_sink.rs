//! Graded rows as CSV.

use std::io::{self, Write};

use super::numbers::Numbers;
use super::sink::{Head, Made, Sink, each_once};
use crate::docket::FigureValue;
use crate::report::escape::{csv_measure, csv_text, push_cell};
use crate::report::push_value;

/// Writes rows for a spreadsheet.
pub(super) struct CsvSink<W: Write> {
    out: W,
    /// Whether results are written as a ruler reads them.
    readings: bool,
    /// The columns of results; words where they are no numbers.
    columns: Vec<(String, Option<Numbers>)>,
    line: Line,
    cell: String,
    /// Columns whose heading does not say that a number in it is rounded.
    late: Vec<String>,
}

/// A line as it is being written.
#[derive(Default)]
struct Line {
    text: String,
    /// Whether numbers have a decimal comma, so that cells are between semicolons.
    commas: bool,
}

impl Line {
    fn put(&mut self, cell: &str) {
        if !self.commas {
            push_cell(cell, &mut self.text);
            return self.text.push(',');
        }
        let quoted = cell.contains(['"', '\n', '\r']) || cell.starts_with(' ') || cell.ends_with(' ');
        match (quoted, cell.contains(';')) {
            (true, _) => push_cell(cell, &mut self.text),
            (false, true) => self.text.extend(["\"", cell, "\""]),
            (false, false) => self.text.push_str(cell),
        }
        self.text.push(';');
    }

    fn put_number(&mut self, number: &str) {
        if self.commas { self.put(&number.replace('.', ",")) } else { self.put(number) }
    }
}

impl<W: Write> CsvSink<W> {
    pub fn new(out: W, readings: bool) -> CsvSink<W> {
        let (line, cell) = (Line::default(), String::new());
        CsvSink { out, readings, columns: Vec::new(), line, cell, late: Vec::new() }
    }

    fn end_line(&mut self) -> io::Result<()> {
        self.line.text.pop();
        self.line.text.push('\n');
        self.out.write_all(self.line.text.as_bytes())?;
        self.line.text.clear();
        Ok(())
    }

    /// The results of a row.
    fn results(&mut self, row: &Made<'_>) {
        let CsvSink { columns, line, cell: text, late, .. } = self;
        for (at, (name, numbers)) in columns.iter_mut().enumerate() {
            let count = numbers.as_ref().map_or(1, Numbers::count);
            let Some(cell) = row.result(at) else {
                (0..count).for_each(|_| line.put(""));
                continue;
            };
            let written = numbers.as_mut().is_some_and(|numbers| {
                numbers.write(&cell.value, &mut |number, rounded| {
                    line.put_number(number);
                    late.extend(rounded.then(|| name.clone()));
                })
            });
            if !written {
                text.clear();
                push_value(&cell.value, &cell.manner, text);
                match *cell.value {
                    FigureValue::Text(_) => line.put(&csv_text(text)),
                    _ => line.put(text),
                }
                (1..count).for_each(|_| line.put(""));
            }
        }
    }
}

impl<W: Write> Sink for CsvSink<W> {
    fn begin(&mut self, head: Head, rows: &[Made<'_>], _all: bool) -> io::Result<()> {
        self.line.commas = head.commas;
        let readings = self.readings;
        let numbers = |at: usize| {
            let cells = rows.iter().filter_map(|row| row.result(at));
            if readings { None } else { Numbers::of(cells) }
        };
        self.columns =
            head.results.iter().cloned().enumerate().map(|(at, name)| (name, numbers(at))).collect();
        let results = self.columns.iter().flat_map(|(name, numbers)| match numbers {
            Some(numbers) => numbers.headings(name),
            None => vec![name.clone()],
        });
        let names: Vec<String> = std::iter::once(head.label).chain(head.passed).chain(head.givens).collect();
        let names: Vec<String> = names.into_iter().chain(results).collect();
        let names = names.iter().map(String::as_str).chain(["caution", "trouble"]);
        for name in each_once(names) {
            self.line.put(&csv_text(&name));
        }
        self.end_line()?;
        rows.iter().try_for_each(|row| self.row(row))
    }

    fn row(&mut self, row: &Made<'_>) -> io::Result<()> {
        self.line.put(&csv_text(&row.label));
        row.passed.iter().chain(&row.givens).for_each(|text| self.line.put(&csv_measure(text)));
        self.results(row);
        self.line.put(&csv_text(&row.cautions.join("; ")));
        self.line.put(&csv_text(&row.trouble_words()));
        self.end_line()
    }

    fn end(&mut self) -> io::Result<Vec<String>> {
        self.out.flush()?;
        let words = |name: &String| format!("column `{name}`: some later numbers are rounded to six places");
        Ok(self.late.iter().map(words).collect())
    }
}
