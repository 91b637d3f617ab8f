//! Graded rows as a table to read.
//!
//! The first rows are held back until the widths of their columns are known. A short table that is
//! too wide for a page is turned: sizes stand side by side and measures below each other.

use std::io::{self, Write};

use super::sink::{Head, Made, Sink};
use crate::docket::FigureValue;
use crate::measure::Manner;
use crate::report::wrap::{pad, width, wrap};
use crate::report::{push_value, value_text};
use crate::text::harmless;

/// So many rows decide how wide the columns are.
const HELD: usize = 200;
/// A page.
const PAGE: usize = 80;
/// Names of measures, and the cells beside them, take at most so much in a turned table: two sizes
/// stand side by side at the least.
const CELL: usize = 25;
/// A longer cell is cut: its column would be as wide in every row.
const LONGEST_CELL: usize = 400;
/// So many bytes of rows are held back at most.
const HELD_BYTES: usize = 8 << 20;

pub(super) struct TextSink<W: Write> {
    out: W,
    results: usize,
    held: Vec<Vec<String>>,
    held_bytes: usize,
    widths: Option<Vec<usize>>,
    /// Troubles of the rows held, told below a turned table.
    troubles: Vec<String>,
    /// Whether a list was told by its ends.
    shortened: bool,
    /// Whether a cell was cut.
    cut: bool,
}

impl<W: Write> TextSink<W> {
    pub fn new(out: W) -> TextSink<W> {
        TextSink {
            out,
            results: 0,
            held: Vec::new(),
            held_bytes: 0,
            widths: None,
            troubles: Vec::new(),
            shortened: false,
            cut: false,
        }
    }

    fn line(&mut self, cells: &[String], widths: &[usize]) -> io::Result<()> {
        let padded: Vec<String> =
            cells.iter().zip(widths).map(|(cell, columns)| pad(cell, *columns)).collect();
        writeln!(self.out, "{}", padded.join("  ").trim_end())
    }

    /// Fixes the widths and writes what was held back.
    fn release(&mut self) -> io::Result<()> {
        let held = std::mem::take(&mut self.held);
        let widths = widths(&held);
        for (at, cells) in held.iter().enumerate() {
            self.line(cells, &widths)?;
            if at == 0 {
                let rules: Vec<String> = widths.iter().map(|columns| "-".repeat(*columns)).collect();
                self.line(&rules, &widths)?;
            }
        }
        self.widths = Some(widths);
        Ok(())
    }

    /// Sizes side by side, as many as a page holds at a time; troubles below.
    fn turned(&mut self) -> io::Result<()> {
        let held = std::mem::take(&mut self.held);
        let Some((head, rows)) = held.split_first() else { return Ok(()) };
        let names = head
            .iter()
            .take(head.len().saturating_sub(1))
            .map(|name| width(name))
            .filter(|columns| *columns <= CELL)
            .max()
            .unwrap_or(0);
        let columns: Vec<usize> = rows.iter().map(|row| self.turned_width(row)).collect();
        let mut first = 0;
        while first < rows.len() {
            let mut last = first;
            let mut used = names;
            while let Some(columns) = columns.get(last) {
                used += columns + 2;
                if used > PAGE && last > first {
                    break;
                }
                last += 1;
            }
            if first > 0 {
                writeln!(self.out)?;
            }
            let block: Vec<_> = rows.iter().zip(&columns).take(last).skip(first).collect();
            self.block(head, &block, names)?;
            first = last;
        }
        let troubles = std::mem::take(&mut self.troubles);
        if !troubles.is_empty() {
            writeln!(self.out)?;
        }
        troubles.iter().try_for_each(|trouble| writeln!(self.out, "{trouble}"))
    }

    fn turned_width(&self, row: &[String]) -> usize {
        let cells = row.iter().take(row.len().saturating_sub(1));
        cells.flat_map(|cell| wrap(cell, CELL)).map(|line| width(&line)).max().unwrap_or(0)
    }

    fn block(&mut self, head: &[String], rows: &[(&Vec<String>, &usize)], names: usize) -> io::Result<()> {
        for (at, name) in head.iter().enumerate().take(head.len().saturating_sub(1)) {
            let cell = |(row, _): &(&Vec<String>, &usize)| wrap(row.get(at).map_or("", |cell| cell), CELL);
            let cells: Vec<Vec<String>> = rows.iter().map(cell).collect();
            let name = wrap(name, names);
            let height = cells.iter().chain([&name]).map(Vec::len).max().unwrap_or(0);
            for line in 0..height {
                let piece =
                    |lines: &Vec<String>, columns| pad(lines.get(line).map_or("", |cell| cell), columns);
                let pieces = cells.iter().zip(rows).map(|(lines, (_, columns))| piece(lines, **columns));
                let pieces: Vec<String> = std::iter::once(piece(&name, names)).chain(pieces).collect();
                writeln!(self.out, "{}", pieces.join("  ").trim_end())?;
            }
            if at == 0 {
                let rules: Vec<String> = rows.iter().map(|(_, columns)| "-".repeat(**columns)).collect();
                writeln!(self.out, "{}  {}", "-".repeat(names), rules.join("  "))?;
            }
        }
        Ok(())
    }

    /// A text from outside as a cell.
    fn text(&mut self, text: &str) -> String {
        let text = harmless(text);
        match text.char_indices().nth(LONGEST_CELL) {
            None => text.into_owned(),
            Some((at, _)) => {
                self.cut = true;
                format!("{}...", text.get(..at).unwrap_or(""))
            }
        }
    }

    /// A cell to read: a long list is told by its ends, a table by its columns.
    fn cell(&mut self, value: &FigureValue, manner: &Manner) -> String {
        let mut cell = String::new();
        push_value(value, manner, &mut cell);
        if let FigureValue::List(items) = value
            && width(&cell) > CELL
            && let [first, .., last] = items.as_slice()
        {
            self.shortened = true;
            if let Some(table) = value.as_table() {
                let columns: Vec<String> = table.columns.iter().map(|name| name.replace('_', " ")).collect();
                return format!("{} rows of {}", items.len(), columns.join(", "));
            }
            let (first, last) = (value_text(first, manner), value_text(last, manner));
            cell = format!("{}, from {first} to {last}", items.len());
        }
        self.text(&cell)
    }
}

impl<W: Write> Sink for TextSink<W> {
    fn head(&mut self, head: &Head) -> io::Result<()> {
        self.results = head.results.len();
        let names = head.names().iter().map(|name| self.text(name)).collect();
        self.held.push(names);
        Ok(())
    }

    fn row(&mut self, row: &Made<'_>) -> io::Result<()> {
        let texts = std::iter::once(&row.label).chain(row.passed).chain(row.givens);
        let mut cells: Vec<String> = texts.map(|text| self.text(text)).collect();
        for at in 0..self.results {
            let result = row.results.get(at).copied().flatten();
            cells.push(result.map_or(String::new(), |(value, manner)| self.cell(value, manner)));
        }
        let trouble = self.text(row.trouble);
        if let Some(widths) = self.widths.take() {
            cells.push(trouble);
            self.line(&cells, &widths)?;
            self.widths = Some(widths);
            return Ok(());
        }
        if !trouble.is_empty() {
            let label = self.text(row.label);
            self.troubles.push(format!("Row {} ({label}): {trouble}", row.number));
        }
        cells.push(trouble);
        self.held_bytes += cells.iter().map(|cell| size_of::<String>() + cell.len()).sum::<usize>();
        self.held.push(cells);
        if self.held.len() > HELD || self.held_bytes > HELD_BYTES { self.release() } else { Ok(()) }
    }

    fn end(&mut self) -> io::Result<()> {
        if self.widths.is_none() {
            let widths = widths(&self.held);
            let whole = widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1);
            if whole > PAGE { self.turned()? } else { self.release()? }
        }
        if self.shortened {
            writeln!(self.out, "\nLong lists are told by their ends; CSV and JSON hold them whole.")?;
        }
        if self.cut {
            writeln!(
                self.out,
                "\nCells of more than {LONGEST_CELL} letters are cut; CSV and JSON hold them whole."
            )?;
        }
        self.out.flush()
    }
}

fn widths(rows: &[Vec<String>]) -> Vec<usize> {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let widest =
        |at: usize| rows.iter().filter_map(|row| row.get(at)).map(|cell| width(cell)).max().unwrap_or(0);
    (0..columns).map(widest).collect()
}
