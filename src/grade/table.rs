//! Graded rows as a table to read.
//!
//! The first rows decide how wide the columns are. A short table that is too wide for a page is turned: sizes are
//! side by side and measures below each other.

use std::borrow::Cow;
use std::collections::HashSet;
use std::io::{self, Write};
use std::rc::Rc;

use super::cautions::Cautions;
use super::results::Cell;
use super::sink::{Head, Made, Sink, each_once};
use crate::docket::FigureValue;
use crate::measure::{Quantity, Units, common_units};
use crate::report::wrap::{COLUMNS as PAGE, hang, pad, width, wrap};
use crate::report::{push_value, value_text};
use crate::text::harmless;

/// Names of measures, and the cells beside them, take at most so much in a turned table: two sizes
/// are side by side at the least.
const CELL: usize = 25;
/// A longer cell is cut: its column would be as wide in every row.
const LONGEST_CELL: usize = 400;
/// Lists of more values are shown by their ends.
const LONG: usize = 12;

pub(super) struct TextSink<W: Write> {
    out: W,
    results: usize,
    widths: Vec<usize>,
    /// The unit in which a column is read, where its values have one in common.
    units: Vec<Option<Units>>,
    /// Whether a list was shown by its ends.
    shortened: bool,
    /// Whether a cell was cut.
    cut: bool,
    /// Cautions reported above the table, and those of rows that came later.
    above: HashSet<Rc<str>>,
    later: Cautions,
}

impl<W: Write> TextSink<W> {
    pub fn new(out: W) -> TextSink<W> {
        let (above, later) = (HashSet::new(), Cautions::default());
        let (widths, units) = (Vec::new(), Vec::new());
        TextSink { out, results: 0, widths, units, shortened: false, cut: false, above, later }
    }

    fn line(&mut self, cells: &[String]) -> io::Result<()> {
        let padded = cells.iter().zip(&self.widths).map(|(cell, columns)| pad(cell, *columns));
        writeln!(self.out, "{}", padded.collect::<Vec<_>>().join("  ").trim_end())
    }

    /// Words after a lead, on as many lines as they take.
    fn hanging(&mut self, lead: &str, words: &str) -> io::Result<()> {
        hang(lead, words, PAGE).iter().try_for_each(|line| writeln!(self.out, "{line}"))
    }

    /// What every size has, then what single sizes have.
    fn cautions(&mut self, rows: &[Made<'_>]) -> io::Result<()> {
        let mut all = Cautions::default();
        for row in rows.iter().filter(|row| row.is_made()) {
            all.take(&row.cautions, || row.label.to_string());
        }
        for words in all.every() {
            self.hanging("!! CAUTION: ", words)?;
            self.above.insert(words.clone());
        }
        let some = all.named(false);
        self.of_some(&some)?;
        if some.is_empty() && self.above.is_empty() { Ok(()) } else { writeln!(self.out) }
    }

    fn of_some(&mut self, some: &[(String, String)]) -> io::Result<()> {
        some.iter()
            .try_for_each(|(sizes, words)| self.hanging("!! CAUTION for ", &format!("{sizes}: {words}")))
    }

    /// Sizes side by side, as many as a page holds at a time.
    fn turned(&mut self, head: &[String], rows: &[Vec<String>]) -> io::Result<()> {
        let names = head.iter().map(|name| width(name)).filter(|columns| *columns <= CELL).max().unwrap_or(0);
        let wide = |row: &Vec<String>| {
            row.iter().flat_map(|cell| wrap(cell, CELL)).map(|line| width(&line)).max().unwrap_or(0)
        };
        let mut rest: Vec<(&Vec<String>, usize)> = rows.iter().map(|row| (row, wide(row))).collect();
        let mut first = true;
        while !rest.is_empty() {
            let mut used = names;
            let fits = rest.iter().take_while(|(_, columns)| {
                used = used.saturating_add(*columns).saturating_add(2);
                used <= PAGE
            });
            let block: Vec<_> = rest.drain(..fits.count().max(1)).collect();
            if !std::mem::take(&mut first) {
                writeln!(self.out)?;
            }
            self.block(head, &block, names)?;
        }
        Ok(())
    }

    fn block(&mut self, head: &[String], rows: &[(&Vec<String>, usize)], names: usize) -> io::Result<()> {
        for (at, name) in head.iter().enumerate() {
            let cell = |(row, _): &(&Vec<String>, usize)| wrap(row.get(at).map_or("", |cell| cell), CELL);
            let cells: Vec<Vec<String>> = rows.iter().map(cell).collect();
            let name = wrap(name, names);
            let height = cells.iter().chain([&name]).map(Vec::len).max().unwrap_or(0);
            for line in 0..height {
                let piece =
                    |lines: &Vec<String>, columns| pad(lines.get(line).map_or("", |cell| cell), columns);
                let pieces = cells.iter().zip(rows).map(|(lines, (_, columns))| piece(lines, *columns));
                let pieces: Vec<String> = std::iter::once(piece(&name, names)).chain(pieces).collect();
                writeln!(self.out, "{}", pieces.join("  ").trim_end())?;
            }
            if at == 0 {
                let rules: Vec<String> = rows.iter().map(|(_, columns)| "-".repeat(*columns)).collect();
                writeln!(self.out, "{}  {}", "-".repeat(names), rules.join("  "))?;
            }
        }
        Ok(())
    }

    /// What is wrong with rows, below their table.
    fn troubles(&mut self, rows: &[Made<'_>]) -> io::Result<()> {
        let mut first = true;
        for row in rows {
            for trouble in &row.trouble {
                if std::mem::take(&mut first) {
                    writeln!(self.out)?;
                }
                let lead = format!("Row {} ({}): ", row.number, harmless(&row.label));
                self.hanging("", &format!("{lead}{}", trouble.words))?;
                trouble.hints.iter().try_for_each(|hint| self.hanging("  help: ", hint))?;
            }
        }
        Ok(())
    }

    /// The cells of a row, all but what is wrong with it.
    fn cells(&mut self, row: &Made<'_>) -> Vec<String> {
        let texts = std::iter::once(&row.label).chain(&row.passed).chain(&row.givens);
        let mut cells: Vec<String> = texts.map(|text| self.text(text)).collect();
        for at in 0..self.results {
            let units = self.units.get(at).copied().flatten();
            cells.push(row.result(at).map_or(String::new(), |cell| match units {
                Some(units) => self.cell(&read_in(cell, units)),
                None => self.cell(cell),
            }));
        }
        cells
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

    /// A cell to read: a long list is shown by its ends, a table by its columns.
    fn cell(&mut self, cell: &Cell<'_>) -> String {
        let Cell { value, manner } = cell;
        if let FigureValue::List(items) = &**value
            && let [first, .., last] = items.as_slice()
        {
            if let Some(table) = value.as_table() {
                self.shortened = true;
                return format!("{} rows of {}", items.len(), table.columns.join(", "));
            }
            if items.len() > LONG {
                self.shortened = true;
                let (first, last) = (value_text(first, manner), value_text(last, manner));
                return format!("{}, from {first} to {last}", items.len());
            }
        }
        let mut text = String::new();
        push_value(value, manner, &mut text);
        self.text(&text)
    }
}

impl<W: Write> Sink for TextSink<W> {
    fn begin(&mut self, head: Head, rows: &[Made<'_>], all: bool) -> io::Result<()> {
        self.results = head.results.len();
        let names = [std::slice::from_ref(&head.label), &head.passed, &head.givens, &head.results];
        let names = names.into_iter().flatten().map(String::as_str).chain(["trouble"]);
        let mut names: Vec<String> = each_once(names).iter().map(|name| self.text(name)).collect();
        self.units = head.results.iter().enumerate().map(|(at, name)| in_common(name, at, rows)).collect();
        let mut cells: Vec<Vec<String>> = rows.iter().map(|row| self.cells(row)).collect();
        self.cautions(rows)?;
        let verdict = |row: &Made<'_>| row.trouble.iter().map(|trouble| trouble.verdict).min().unwrap_or("");
        for (cells, row) in cells.iter_mut().zip(rows) {
            // Below a short table there is room to say what is wrong.
            cells.push(if all { verdict(row).to_owned() } else { self.text(&row.trouble_words()) });
        }
        self.widths = widths(&names, &cells);
        let whole =
            self.widths.iter().fold(0usize, |sum, columns| sum.saturating_add(*columns).saturating_add(2));
        if all && whole > PAGE + 2 {
            for row in cells.iter_mut().chain([&mut names]) {
                row.pop();
            }
            self.turned(&names, &cells)?;
        } else {
            self.line(&names)?;
            self.line(&self.widths.iter().map(|columns| "-".repeat(*columns)).collect::<Vec<_>>())?;
            cells.iter().try_for_each(|cells| self.line(cells))?;
        }
        if all { self.troubles(rows) } else { Ok(()) }
    }

    fn row(&mut self, row: &Made<'_>) -> io::Result<()> {
        if row.is_made() {
            let new: Vec<Rc<str>> =
                row.cautions.iter().filter(|words| !self.above.contains(*words)).cloned().collect();
            self.later.take(&new, || row.label.to_string());
        }
        let mut cells = self.cells(row);
        cells.push(self.text(&row.trouble_words()));
        self.line(&cells)
    }

    fn end(&mut self) -> io::Result<Vec<String>> {
        if self.shortened {
            writeln!(self.out, "\nLong lists and tables are shortened; CSV and JSON have every value.")?;
        }
        if self.cut {
            writeln!(
                self.out,
                "\nCells of more than {LONGEST_CELL} letters are cut; CSV and JSON have all of them."
            )?;
        }
        let later = self.later.named(true);
        if !later.is_empty() {
            writeln!(self.out)?;
        }
        self.of_some(&later)?;
        self.out.flush()?;
        Ok(Vec::new())
    }
}

/// The unit of a column; what is bought is read as the shop sells it.
fn in_common(name: &str, at: usize, rows: &[Made<'_>]) -> Option<Units> {
    let cells: Vec<&Cell<'_>> = rows.iter().filter_map(|row| row.result(at)).collect();
    let manner = &cells.first().filter(|_| !name.starts_with("buy "))?.manner;
    let measure = |cell: &&Cell<'_>| match &*cell.value {
        FigureValue::Measure(quantity) => Some(quantity.clone()),
        _ => None,
    };
    let all = cells.iter().map(measure).collect::<Option<Vec<Quantity>>>()?;
    common_units(&all, manner)
}

/// The same cell, its measure in this unit.
fn read_in(cell: &Cell<'_>, units: Units) -> Cell<'static> {
    let value = match &*cell.value {
        FigureValue::Measure(quantity) => FigureValue::Measure(quantity.in_units(units)),
        other => other.clone(),
    };
    Cell { value: Cow::Owned(value), manner: cell.manner }
}

fn widths(head: &[String], rows: &[Vec<String>]) -> Vec<usize> {
    let widest = |(at, name): (usize, &String)| {
        let cells = rows.iter().filter_map(|row| row.get(at)).map(|cell| width(cell));
        cells.chain([width(name)]).max().unwrap_or(0)
    };
    head.iter().enumerate().map(widest).collect()
}
