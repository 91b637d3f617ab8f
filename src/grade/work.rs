//! Row by row: read, made, written.

use std::borrow::Cow;
use std::collections::BTreeSet;
use std::io::{self, Write};
use std::rc::Rc;

use super::cautions::Cautions;
use super::cells::{with_points, with_unit};
use super::columns::{self, Columns};
use super::csv_rows::CsvRows;
use super::csv_sink::CsvSink;
use super::json_rows::JsonRows;
use super::json_sink::JsonSink;
use super::results::{Cell as ResultCell, Results};
use super::rows::{Row, Rows, Source, advice, bad_table};
use super::sink::{Head, Made, NOT_MADE, Sink, Style, Trouble};
use super::table::TextSink;
use super::trouble::{Reported, explained, make, short};
use super::{Cell, Recipe, RowFault, Summary, Watch};
use crate::docket::Docket;
use crate::fault::{Code, Fault, Span};
use crate::limits::{COLUMNS, HOPELESS, HOPELESS_BYTES};

/// So many rows are held back, by which the columns and their forms are chosen, and so many values in them at most.
const HELD: usize = 200;
const MOST_VALUES: usize = 50_000;
/// Progress is reported after so many rows.
const STEP: u64 = 1_000;

/// Why grading ended before the table did.
#[derive(Debug)]
pub enum Ended {
    /// The table cannot be read on, or the person at the keyboard stopped it.
    Fault(Box<Fault>),
    /// What was made cannot be written.
    Write(io::Error),
}

impl From<Fault> for Ended {
    fn from(fault: Fault) -> Ended {
        Ended::Fault(Box::new(fault))
    }
}

impl From<io::Error> for Ended {
    fn from(error: io::Error) -> Ended {
        Ended::Write(error)
    }
}

/// Makes a recipe in every size of a table; `name` is what faults call the table.
pub fn grade(
    recipe: &mut dyn Recipe,
    source: Source<'_>,
    name: &str,
    style: Style,
    out: &mut dyn Write,
    watch: &mut dyn Watch,
) -> Result<Summary, Ended> {
    // A table for people shows cautions itself.
    let shows_cautions = matches!(style, Style::Text | Style::Screen(_));
    grade_into(recipe, source, name, (sink(style, out), shows_cautions), watch)
}

/// The same into any sink; it says whether it shows the cautions itself.
pub(super) fn grade_into(
    recipe: &mut dyn Recipe,
    source: Source<'_>,
    name: &str,
    (sink, shows_cautions): (Box<dyn Sink + '_>, bool),
    watch: &mut dyn Watch,
) -> Result<Summary, Ended> {
    let rows = open(source, name)?;
    let mut work = Work {
        name,
        watch,
        sink,
        head: Head::default(),
        results: Results::new(rows.is_none()),
        held: Some(Vec::new()),
        values: 0,
        bytes: 0,
        made: false,
        summary: Summary::default(),
        cautions: (!shows_cautions).then(Cautions::default),
        reported: Reported::default(),
        advised: BTreeSet::new(),
    };
    let made = match rows {
        Some(rows) => work.table(recipe, rows),
        None => work.own(recipe),
    };
    // What was made before a table broke off is written.
    let finished = work.finish(made.is_ok());
    made?;
    finished
}

/// Opens a table; `name` is what faults call it.
fn open<'a>(source: Source<'a>, name: &str) -> Result<Option<Box<dyn Rows + 'a>>, Fault> {
    Ok(match source {
        Source::Csv(reader) => Some(Box::new(CsvRows::open(reader, name)?)),
        Source::Json(reader) => Some(Box::new(JsonRows::open(reader, name)?)),
        Source::Own => None,
    })
}

/// A sink of a style.
fn sink<'a>(style: Style, out: &'a mut dyn Write) -> Box<dyn Sink + 'a> {
    let out = io::BufWriter::with_capacity(64 * 1024, out);
    match style {
        Style::Text => Box::new(TextSink::new(out, None)),
        Style::Screen(screen) => Box::new(TextSink::new(out, Some(screen))),
        Style::Csv | Style::Readings => Box::new(CsvSink::new(out, style == Style::Readings)),
        Style::JsonLines => Box::new(JsonSink { out, head: Head::default() }),
    }
}

struct Work<'a> {
    name: &'a str,
    watch: &'a mut dyn Watch,
    sink: Box<dyn Sink + 'a>,
    head: Head,
    results: Results,
    /// Rows that wait for the columns; none once those are settled.
    held: Option<Vec<Made<'static>>>,
    /// How many values they hold, how many bytes of texts, and whether one of them could be made.
    values: usize,
    bytes: usize,
    made: bool,
    summary: Summary,
    cautions: Option<Cautions>,
    reported: Reported,
    /// Places in the recipe whose advice was already given.
    advised: BTreeSet<Span>,
}

impl Work<'_> {
    fn table(&mut self, recipe: &mut dyn Recipe, mut rows: Box<dyn Rows + '_>) -> Result<(), Ended> {
        let wide = rows.header().len();
        if wide > COLUMNS {
            let fault =
                bad_table(self.name, format!("it has {wide} columns, and a table may have {COLUMNS}"));
            return Err(fault.hint("`scant help limits` says why").into());
        }
        let givens = recipe.givens();
        let (columns, advice) = columns::sort(rows.header(), &givens, self.name)?;
        advice.into_iter().for_each(|advice| self.watch.fault(advice));
        let header = rows.header().to_vec();
        let column = |at: usize| header.get(at).cloned().unwrap_or_default();
        self.head = Head {
            label: columns.label.map_or("row".into(), column),
            passed: columns.passed.iter().map(|at| column(*at)).collect(),
            givens: columns.givens.iter().map(|(at, _)| column(*at)).collect(),
            results: Vec::new(),
            commas: rows.decimal_comma(),
        };
        let words: Vec<bool> = columns.givens.iter().map(|(_, given)| recipe.holds_words(*given)).collect();
        let mut row = Row::default();
        while rows.next(&mut row)? {
            self.table_row(recipe, &row, &columns, &words, &givens)?;
            self.step()?;
        }
        if self.summary.rows == 0 {
            return Err(bad_table(self.name, "the table has headings and no rows").into());
        }
        Ok(())
    }

    fn table_row(
        &mut self,
        recipe: &mut dyn Recipe,
        row: &Row,
        columns: &Columns,
        words: &[bool],
        givens: &[Rc<str>],
    ) -> Result<(), Ended> {
        let cell = |at: usize| row.cells.get(at).map_or("", str::trim);
        let number = row.number.to_string();
        let label = columns.label.map_or(number.as_str(), cell);
        let written: Vec<&str> = columns.givens.iter().map(|(at, _)| cell(*at)).collect();
        let inputs = Made {
            number: row.number,
            label: label.into(),
            passed: columns.passed.iter().map(|at| cell(*at).into()).collect(),
            givens: written.iter().map(|text| (*text).into()).collect(),
            ..Made::default()
        };
        let made = match &row.trouble {
            Some(trouble) => {
                Err(vec![RowFault { given: None, fault: Fault::nowhere(Code::BadTable, trouble.as_str()) }])
            }
            None => {
                let columns_read = written.iter().zip(words).zip(&columns.units);
                let texts = columns_read.map(|((text, words), unit)| match words {
                    true => Cow::Borrowed(*text),
                    false if self.head.commas => with_unit(with_points(text), unit.as_deref()),
                    false => with_unit(Cow::Borrowed(*text), unit.as_deref()),
                });
                let texts: Vec<Cow<'_, str>> = texts.collect();
                let cells = columns.givens.iter().zip(&texts).zip(words);
                let cells =
                    cells.map(|(((_, given), text), words)| Cell { given: *given, text, words: *words });
                make(recipe, &cells.collect::<Vec<_>>(), label)
            }
        };
        let at = |given: usize| columns.givens.iter().position(|(_, other)| *other == given);
        let cell = |given: usize| at(given).and_then(|at| written.get(at)).copied();
        self.came_out(recipe, inputs, made, (givens, &cell))
    }

    fn own(&mut self, recipe: &mut dyn Recipe) -> Result<(), Ended> {
        let sizes = recipe.own_sizes();
        if sizes.is_empty() {
            let fault = Fault::nowhere(Code::BadTable, "this recipe has no `sizes` of its own");
            return Err(fault
                .hint("give a table with `--sizes TABLE.csv`, or add `sizes` to the recipe")
                .into());
        }
        self.head.label = "size".into();
        let givens = recipe.givens();
        for ((at, label), number) in sizes.iter().enumerate().zip(1..) {
            let inputs = Made { number, label: Cow::Borrowed(label), ..Made::default() };
            let made = recipe.make_own(at);
            self.came_out(recipe, inputs, made, (&givens, &|_| None))?;
            self.step()?;
        }
        Ok(())
    }

    /// Takes what came of a row; the names of the givens, and what the row has for one, say where a fault is.
    fn came_out<'t>(
        &mut self,
        recipe: &mut dyn Recipe,
        inputs: Made<'_>,
        made: Result<Docket, Vec<RowFault>>,
        places: (&'t [Rc<str>], &dyn Fn(usize) -> Option<&'t str>),
    ) -> Result<(), Ended> {
        match made {
            Ok(docket) => {
                self.advice(recipe, &inputs);
                self.made(inputs, &docket)
            }
            Err(faults) => {
                recipe.not_made(&inputs.label);
                self.not_made(inputs, faults, places)
            }
        }
    }

    fn step(&mut self) -> Result<(), Ended> {
        count(&mut self.summary.rows, true);
        if self.summary.rows.is_multiple_of(STEP) {
            self.watch.progress(self.summary.rows);
        }
        if self.watch.stopped() {
            return Err(
                Fault::nowhere(Code::Stopped, format!("stopped after {} rows", self.summary.rows)).into()
            );
        }
        Ok(())
    }

    /// Reports what is wrong with a row, each thing once, and keeps it for the row.
    fn trouble(&mut self, inputs: &Made<'_>, verdict: &'static str, fault: Fault) -> Trouble {
        let words = fault.message.clone();
        let lead = if verdict == "not sure" { "not sure: " } else { "" };
        if self.reported.first(&fault, lead) {
            let message = format!("{}: {lead}{words}", place(self.name, inputs));
            self.watch.row_fault(Fault { message, ..fault.clone() });
        }
        Trouble { verdict, words, hints: fault.hints }
    }

    /// Tells what deserves a second look in a row, for each place in the recipe with the first row alone.
    fn advice(&mut self, recipe: &mut dyn Recipe, inputs: &Made<'_>) {
        for fault in recipe.advice() {
            let place_told = fault.span().is_some_and(|span| !self.advised.insert(span));
            if !place_told {
                let message = format!("{}: {}", place(self.name, inputs), fault.message);
                self.watch.fault(Fault { message, ..fault });
            }
        }
    }

    fn made<'a>(&mut self, inputs: Made<'a>, docket: &'a Docket) -> Result<(), Ended> {
        let cautions: Vec<Rc<str>> = docket.cautions.iter().map(|caution| caution.words.clone()).collect();
        if let Some(all) = &mut self.cautions {
            all.take(&cautions, || place(self.name, &inputs));
        }
        let mut trouble = Vec::new();
        for check in docket.checks.iter().filter(|check| !check.passed) {
            let detail = check.detail.as_deref().map_or(String::new(), |detail| format!(" ({detail})"));
            let fault = Fault::nowhere(Code::CheckFailed, format!("{}{detail}", check.message));
            let verdict = if check.open { "not sure" } else { "not right" };
            trouble.push(self.trouble(&inputs, verdict, fault));
        }
        let mut lost = Vec::new();
        let results = self.results.take(docket, &mut |words| lost.push(words));
        for words in lost {
            trouble.push(self.trouble(&inputs, "not right", Fault::nowhere(Code::BadTable, words)));
        }
        let fails = trouble.iter().any(|trouble| trouble.verdict == "not right");
        count(&mut self.summary.troubled, fails);
        count(&mut self.summary.open, !trouble.is_empty() && !fails);
        self.row(Made { results, cautions, trouble, ..inputs })
    }

    fn not_made<'t>(
        &mut self,
        inputs: Made<'_>,
        faults: Vec<RowFault>,
        (givens, cell): (&'t [Rc<str>], &dyn Fn(usize) -> Option<&'t str>),
    ) -> Result<(), Ended> {
        let named = |given: usize| givens.get(given).map_or("", |name| name);
        let mut trouble = Vec::new();
        for fault in faults {
            let RowFault { given, fault } = explained(fault, cell);
            let place = match (given, given.and_then(cell)) {
                (Some(given), Some("")) => format!("column `{}`: ", named(given)),
                (Some(given), Some(cell)) => format!("column `{}`, `{}`: ", named(given), short(cell)),
                (Some(given), None) => format!("`{}`: ", named(given)),
                (None, _) => String::new(),
            };
            let message = format!("{place}{}", fault.message);
            trouble.push(self.trouble(&inputs, NOT_MADE, Fault { message, ..fault }));
        }
        count(&mut self.summary.troubled, true);
        self.row(Made { trouble, ..inputs })
    }

    /// Writes a row, or holds it back while the columns are not settled.
    fn row(&mut self, row: Made<'_>) -> Result<(), Ended> {
        let Some(held) = &mut self.held else {
            return Ok(self.sink.row(&row)?);
        };
        let weight = row.results.iter().flatten().map(ResultCell::weight);
        self.values = weight.fold(self.values, usize::saturating_add);
        self.bytes = self.bytes.saturating_add(row.text_bytes());
        self.made |= row.is_made();
        held.push(row.into_owned());
        let full = self.bytes > HOPELESS_BYTES;
        if self.made && (held.len() > HELD || self.values > MOST_VALUES || full) {
            return self.begin(false);
        }
        if !self.made && (held.len() > HOPELESS || full) {
            let rows = held.len().saturating_sub(1);
            let fault = bad_table(self.name, format!("none of the first {rows} rows can be made"));
            return Err(fault.into());
        }
        Ok(())
    }

    /// Writes the head and the rows that waited for it.
    fn begin(&mut self, all: bool) -> Result<(), Ended> {
        let Some(mut held) = self.held.take() else { return Ok(()) };
        let mut head = std::mem::take(&mut self.head);
        let commas = head.commas;
        head.results = self.results.settle(held.iter_mut().map(|row| &mut row.results));
        self.head.commas = commas;
        Ok(self.sink.begin(head, &held, all)?)
    }

    /// Writes what is held back; `whole` where the table did not break off.
    fn finish(mut self, whole: bool) -> Result<Summary, Ended> {
        if whole || self.held.is_some() && self.made {
            self.begin(true)?;
            let late = self.sink.end()?;
            let advice = |words| advice(Code::Advice, format!("{}: {words}", self.name));
            late.into_iter().map(advice).for_each(|advice| self.watch.fault(advice));
        }
        self.reported.again(self.name).into_iter().for_each(|fault| self.watch.row_fault(fault));
        let cautions = self.cautions.unwrap_or_default().named(false);
        cautions
            .iter()
            .for_each(|(sizes, words)| self.watch.fault(Fault::caution(format!("{sizes}: {words}"))));
        Ok(self.summary)
    }
}

fn count(rows: &mut u64, one_more: bool) {
    *rows = rows.saturating_add(one_more.into());
}

/// What a row is called in faults.
fn place(table: &str, inputs: &Made<'_>) -> String {
    match &*inputs.label {
        "" => format!("{table}, row {}", inputs.number),
        label => format!("{table}, row {} ({})", inputs.number, short(label)),
    }
}
