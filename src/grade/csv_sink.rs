//! Graded rows as CSV.

use std::io::{self, Write};

use super::numbers::Numbers;
use super::results::Cell;
use super::sink::{Head, Made, Sink, each_once};
use crate::docket::FigureValue;
use crate::report::escape::{csv_measure, csv_text, push_cell};
use crate::report::push_value;

/// Writes rows for a spreadsheet.
pub(super) struct CsvSink<W: Write> {
    out: W,
    /// Whether results are written as a ruler reads them.
    readings: bool,
    /// Whether numbers have a decimal comma, so that cells are between semicolons.
    commas: bool,
    /// The columns of results; words where they are no numbers.
    columns: Vec<(String, Option<Numbers>)>,
    line: String,
    cell: String,
    /// Columns whose heading does not say that a number in it is rounded.
    late: Vec<String>,
}

impl<W: Write> CsvSink<W> {
    pub fn new(out: W, readings: bool) -> CsvSink<W> {
        let (columns, late) = (Vec::new(), Vec::new());
        CsvSink { out, readings, commas: false, columns, line: String::new(), cell: String::new(), late }
    }

    fn put(&mut self, cell: &str) {
        if !self.commas {
            push_cell(cell, &mut self.line);
            return self.line.push(',');
        }
        let quoted = cell.contains(['"', '\n', '\r']) || cell.starts_with(' ') || cell.ends_with(' ');
        match (quoted, cell.contains(';')) {
            (true, _) => push_cell(cell, &mut self.line),
            (false, true) => self.line.extend(["\"", cell, "\""]),
            (false, false) => self.line.push_str(cell),
        }
        self.line.push(';');
    }

    fn end_line(&mut self) -> io::Result<()> {
        self.line.pop();
        self.line.push('\n');
        self.out.write_all(self.line.as_bytes())?;
        self.line.clear();
        Ok(())
    }

    fn result(&mut self, at: usize, cell: Option<&Cell<'_>>) {
        let mut numbers = self.columns.get_mut(at).and_then(|(_, numbers)| numbers.take());
        let count = numbers.as_ref().map_or(1, Numbers::count);
        let written = match (&mut numbers, cell) {
            (_, None) => {
                (0..count).for_each(|_| self.put(""));
                true
            }
            (Some(numbers), Some(cell)) => numbers.write(&cell.value, &mut |number, late| {
                match self.commas {
                    true => self.put(&number.replace('.', ",")),
                    false => self.put(number),
                }
                let name = self.columns.get(at).map(|(name, _)| name.clone());
                self.late.extend(name.filter(|_| late));
            }),
            (None, Some(_)) => false,
        };
        if let (false, Some(cell)) = (written, cell) {
            let mut text = std::mem::take(&mut self.cell);
            text.clear();
            push_value(&cell.value, &cell.manner, &mut text);
            match *cell.value {
                FigureValue::Text(_) => self.put(&csv_text(&text)),
                _ => self.put(&text),
            }
            self.cell = text;
            (1..count).for_each(|_| self.put(""));
        }
        if let Some((_, place)) = self.columns.get_mut(at) {
            *place = numbers;
        }
    }
}

impl<W: Write> Sink for CsvSink<W> {
    fn begin(&mut self, head: Head, rows: &[Made<'_>], _all: bool) -> io::Result<()> {
        self.commas = head.commas;
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
            self.put(&csv_text(&name));
        }
        self.end_line()?;
        rows.iter().try_for_each(|row| self.row(row))
    }

    fn row(&mut self, row: &Made<'_>) -> io::Result<()> {
        self.put(&csv_text(&row.label));
        row.passed.iter().chain(&row.givens).for_each(|text| self.put(&csv_measure(text)));
        (0..self.columns.len()).for_each(|at| self.result(at, row.result(at)));
        self.put(&csv_text(&row.cautions.join("; ")));
        self.put(&csv_text(&row.trouble_words()));
        self.end_line()
    }

    fn end(&mut self) -> io::Result<Vec<String>> {
        self.out.flush()?;
        let words = |name: &String| format!("column `{name}`: some later numbers are rounded to six places");
        Ok(self.late.iter().map(words).collect())
    }
}
