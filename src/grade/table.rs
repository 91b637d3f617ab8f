//! Graded rows as a table to read.
//!
//! The first rows decide how wide the columns are. A table that is too wide is turned: on a screen always, on a page
//! if it is short.

use std::borrow::Cow;
use std::collections::HashSet;
use std::io::{self, Write};
use std::rc::Rc;

use anstyle::Style;

use super::cautions::Cautions;
use super::results::Cell;
use super::sink::{Head, Made, Sink, Trouble, each_once};
use super::turned::{Block, Turned};
use crate::docket::FigureValue;
use crate::measure::{Units, common_units};
use crate::report::screen::{CAUTION, STRONG, TROUBLE};
use crate::report::wrap::{hang, pad, width};
use crate::report::{Screen, shown_text, value_text};
use crate::text::harmless;

/// A longer cell is cut: its column would be as wide in every row.
const LONGEST_CELL: usize = 400;
/// On a screen the head comes again after so many rows.
const HEAD_AGAIN: usize = 40;
/// Lists of more values are shown by their ends.
const LONG: usize = 12;

pub(super) struct TextSink<W: Write> {
    out: W,
    screen: Screen,
    /// Whether it is read line by line as it comes, rather than kept.
    on_screen: bool,
    /// How the table goes on where it is turned; with each row what is wrong with it.
    turned: Option<Turned<Vec<String>>>,
    results: usize,
    /// The head of a table a row a line, and how many lines are below it.
    names: Vec<String>,
    lines: usize,
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
    /// A table for this screen, or for a page.
    pub fn new(out: W, screen: Option<Screen>) -> TextSink<W> {
        TextSink {
            out,
            screen: screen.unwrap_or_default(),
            on_screen: screen.is_some(),
            turned: None,
            results: 0,
            names: Vec::new(),
            lines: 0,
            widths: Vec::new(),
            units: Vec::new(),
            shortened: false,
            cut: false,
            above: HashSet::new(),
            later: Cautions::default(),
        }
    }

    /// The head of a table a row a line.
    fn head(&mut self) -> io::Result<()> {
        let (names, rules) =
            (self.joined(&self.names), self.widths.iter().map(|columns| "-".repeat(*columns)));
        let rules = rules.collect::<Vec<_>>().join("  ");
        self.styled(STRONG, &names)?;
        writeln!(self.out, "{rules}")
    }

    fn joined(&self, cells: &[String]) -> String {
        let padded = cells.iter().zip(&self.widths).map(|(cell, columns)| pad(cell, *columns));
        padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    }

    /// A row; on a screen its head comes again before it scrolls away, and what is wrong with it is below.
    fn line(&mut self, cells: &[String], row: &Made<'_>, all: bool) -> io::Result<()> {
        if self.on_screen && self.lines == HEAD_AGAIN {
            self.lines = 0;
            writeln!(self.out)?;
            self.head()?;
        }
        self.lines = self.lines.saturating_add(1);
        let line = self.joined(cells);
        writeln!(self.out, "{line}")?;
        if all { Ok(()) } else { self.told_below(row) }
    }

    fn styled(&mut self, style: Style, line: &str) -> io::Result<()> {
        writeln!(self.out, "{}", self.screen.ink(style, line))
    }

    /// Words after a lead, on as many lines as they take.
    fn hanging(&mut self, style: Style, lead: &str, words: &str) -> io::Result<()> {
        hang(lead, words, self.screen.prose()).iter().try_for_each(|line| self.styled(style, line))
    }

    /// Rows side by side, a gap before all but the first.
    fn block(&mut self, block: Block<Vec<String>>, first: bool) -> io::Result<()> {
        if !first {
            writeln!(self.out)?;
        }
        for (at, line) in block.lines.iter().enumerate() {
            let style = if at < block.head { STRONG } else { Style::new() };
            self.styled(style, line)?;
        }
        block.kept.iter().flatten().try_for_each(|line| self.styled(TROUBLE, line))
    }

    /// What every size has, then what single sizes have.
    fn cautions(&mut self, rows: &[Made<'_>]) -> io::Result<()> {
        let mut all = Cautions::default();
        for row in rows.iter().filter(|row| row.is_made()) {
            all.take(&row.cautions, || row.label.to_string());
        }
        for words in all.every() {
            self.hanging(CAUTION, "!! CAUTION: ", words)?;
            self.above.insert(words.clone());
        }
        let some = all.named(false);
        self.of_some(&some)?;
        if some.is_empty() && self.above.is_empty() { Ok(()) } else { writeln!(self.out) }
    }

    fn of_some(&mut self, some: &[(String, String)]) -> io::Result<()> {
        some.iter().try_for_each(|(sizes, words)| {
            self.hanging(CAUTION, "!! CAUTION for ", &format!("{sizes}: {words}"))
        })
    }

    /// What is wrong with rows, below their table.
    fn troubles(&mut self, rows: &[Made<'_>]) -> io::Result<()> {
        let lines: Vec<String> = rows.iter().flat_map(|row| self.told(row)).collect();
        if !lines.is_empty() {
            writeln!(self.out)?;
        }
        lines.iter().try_for_each(|line| self.styled(TROUBLE, line))
    }

    /// What is wrong with a row of a long table, below it on a screen.
    fn told_below(&mut self, row: &Made<'_>) -> io::Result<()> {
        let lines = if self.on_screen { self.told(row) } else { Vec::new() };
        lines.iter().try_for_each(|line| self.styled(TROUBLE, &format!("  {line}")))
    }

    /// What is wrong with a row, in lines.
    fn told(&self, row: &Made<'_>) -> Vec<String> {
        let columns = self.screen.prose();
        let lead = format!("Row {} ({}): ", row.number, harmless(&row.label));
        let told = |trouble: &Trouble| {
            let hints = trouble.hints.iter().flat_map(|hint| hang("  help: ", hint, columns));
            let words = hang("", &format!("{lead}{}", trouble.words), columns);
            words.into_iter().chain(hints).collect::<Vec<_>>()
        };
        row.trouble.iter().flat_map(told).collect()
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
        self.text(&shown_text(value, manner))
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
        // Below a short table there is room to say what is wrong, and on a screen below its row.
        let beside = !all && !self.on_screen;
        let verdicts = !all || rows.iter().any(|row| !row.verdict().is_empty());
        for (cells, row) in cells.iter_mut().zip(rows).filter(|_| verdicts) {
            cells.push(if beside { self.text(&row.trouble_words()) } else { row.verdict().to_owned() });
        }
        names.truncate(names.len().saturating_sub(usize::from(!verdicts)));
        self.widths = widths(&names, &cells);
        let whole =
            self.widths.iter().fold(0usize, |sum, columns| sum.saturating_add(*columns).saturating_add(2));
        if !beside && whole > self.screen.table().saturating_add(2) {
            names.truncate(names.len().saturating_sub(usize::from(verdicts)));
            let mut turned = Turned::new(&names, self.screen.table());
            let mut first = true;
            for (mut cells, row) in cells.into_iter().zip(rows) {
                cells.truncate(names.len());
                let told = if all { Vec::new() } else { self.told(row) };
                if let Some(block) = turned.take(cells, told) {
                    self.block(block, std::mem::take(&mut first))?;
                }
            }
            if all && let Some(block) = turned.block() {
                self.block(block, first)?;
            }
            self.turned = Some(turned);
        } else {
            self.names = names;
            self.head()?;
            for (cells, row) in cells.iter().zip(rows) {
                self.line(cells, row, all)?;
            }
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
        if let Some(mut turned) = self.turned.take() {
            let block = turned.take(cells, self.told(row));
            self.turned = Some(turned);
            return block.map_or(Ok(()), |block| self.block(block, false));
        }
        cells.push(if self.on_screen { row.verdict().to_owned() } else { self.text(&row.trouble_words()) });
        self.line(&cells, row, false)
    }

    fn end(&mut self) -> io::Result<Vec<String>> {
        if let Some(block) = self.turned.take().and_then(|mut turned| turned.block()) {
            self.block(block, false)?;
        }
        if self.shortened {
            writeln!(self.out)?;
            let words = "Long lists and tables are shortened; CSV and JSON have every value.";
            self.hanging(Style::new(), "", words)?;
        }
        if self.cut {
            writeln!(self.out)?;
            let words =
                format!("Cells of more than {LONGEST_CELL} letters are cut; CSV and JSON have all of them.");
            self.hanging(Style::new(), "", &words)?;
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
    let all = cells.iter().map(|cell| cell.value.as_measure().cloned()).collect::<Option<Vec<_>>>()?;
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
