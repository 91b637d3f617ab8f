//! Row by row: read, made, written.

use std::io::{self, Write};
use std::rc::Rc;

use super::cautions::Cautions;
use super::cells::with_points;
use super::columns::{self, Columns};
use super::results::Results;
use super::rows::{Row, Rows, bad_table};
use super::sink::{Head, Made, Sink, Style, sink};
use super::source::{Source, open};
use super::trouble::{explained, make, short};
use super::{Cell, Recipe, RowFault, Summary, Watch};
use crate::docket::Docket;
use crate::fault::{Code, Fault};
use crate::limits::{COLUMNS, HOPELESS, HOPELESS_BYTES};

/// Progress is told after so many rows.
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
    let rows = open(source, name)?;
    let givens = recipe.givens();
    let mut work = Work {
        name,
        watch,
        sink: sink(style, out),
        head: Head::default(),
        results: None,
        early: Vec::new(),
        early_bytes: 0,
        summary: Summary::default(),
        cautions: Cautions::default(),
    };
    match rows {
        Some(rows) => work.table(recipe, rows, &givens)?,
        None => work.own(recipe)?,
    }
    work.finish()
}

/// A row that could not be made, held until the columns of results are known.
struct Early {
    number: u64,
    label: String,
    passed: Vec<String>,
    givens: Vec<String>,
    trouble: String,
}

/// What one row says.
struct Said<'a> {
    number: u64,
    label: &'a str,
    passed: &'a [&'a str],
    givens: &'a [&'a str],
}

struct Work<'a> {
    name: &'a str,
    watch: &'a mut dyn Watch,
    sink: Box<dyn Sink + 'a>,
    head: Head,
    results: Option<Results>,
    early: Vec<Early>,
    early_bytes: usize,
    summary: Summary,
    cautions: Cautions,
}

impl Work<'_> {
    fn table(
        &mut self,
        recipe: &mut dyn Recipe,
        mut rows: Box<dyn Rows + '_>,
        givens: &[Rc<str>],
    ) -> Result<(), Ended> {
        let wide = rows.header().len();
        if wide > COLUMNS {
            let fault =
                bad_table(self.name, format!("it has {wide} columns, and a table may have {COLUMNS}"));
            return Err(fault.hint("`scant help limits` tells why").into());
        }
        let (columns, advice) = columns::sort(rows.header(), givens, self.name)?;
        advice.into_iter().for_each(|advice| self.watch.fault(advice));
        let header = rows.header().to_vec();
        let column = |at: usize| header.get(at).cloned().unwrap_or_default();
        self.head = Head {
            label: columns.label.map_or("row".into(), column),
            passed: columns.passed.iter().map(|at| column(*at)).collect(),
            givens: columns.givens.iter().map(|(at, _)| column(*at)).collect(),
            results: Vec::new(),
        };
        let words: Vec<bool> = columns.givens.iter().map(|(_, given)| recipe.holds_words(*given)).collect();
        let commas = rows.decimal_comma();
        let mut row = Row::default();
        while rows.next(&mut row)? {
            self.table_row(recipe, &row, &columns, &words, commas, givens)?;
            self.step()?;
        }
        if self.summary.rows == 0 {
            return Err(bad_table(self.name, "the table has a header and no rows").into());
        }
        Ok(())
    }

    fn table_row(
        &mut self,
        recipe: &mut dyn Recipe,
        row: &Row,
        columns: &Columns,
        words: &[bool],
        commas: bool,
        givens: &[Rc<str>],
    ) -> Result<(), Ended> {
        let cell = |at: usize| row.cells.get(at).map_or("", str::trim);
        let number = row.number.to_string();
        let label = columns.label.map_or(number.as_str(), cell);
        let passed: Vec<&str> = columns.passed.iter().map(|at| cell(*at)).collect();
        let written: Vec<&str> = columns.givens.iter().map(|(at, _)| cell(*at)).collect();
        let said = Said { number: row.number, label, passed: &passed, givens: &written };
        let made = match &row.trouble {
            Some(trouble) => {
                Err(vec![RowFault { given: None, fault: Fault::nowhere(Code::BadTable, trouble.as_str()) }])
            }
            None => {
                let texts: Vec<_> = written
                    .iter()
                    .zip(words)
                    .map(|(text, words)| match commas && !words {
                        true => with_points(text),
                        false => (*text).into(),
                    })
                    .collect();
                let cells = columns.givens.iter().zip(&texts).zip(words);
                let cells =
                    cells.map(|(((_, given), text), words)| Cell { given: *given, text, words: *words });
                make(recipe, &cells.collect::<Vec<_>>(), label)
            }
        };
        match made {
            Ok(docket) => self.made(&said, &docket, false),
            Err(faults) => {
                let named = |given: usize| givens.get(given).map_or("", |name| name);
                let at = |given: usize| columns.givens.iter().position(|(_, other)| *other == given);
                let cell = |given: usize| at(given).and_then(|at| written.get(at)).copied();
                self.not_made(&said, faults, &named, &cell)
            }
        }
    }

    fn own(&mut self, recipe: &mut dyn Recipe) -> Result<(), Ended> {
        let sizes = recipe.own_sizes();
        if sizes.is_empty() {
            let fault = Fault::nowhere(Code::BadTable, "this recipe holds no `sizes` of its own");
            return Err(fault
                .hint("give a table with `--sizes TABLE.csv`, or add `sizes` to the recipe")
                .into());
        }
        self.head.label = "size".into();
        let named = recipe.givens();
        for (at, label) in sizes.iter().enumerate() {
            let said = Said { number: at as u64 + 1, label, passed: &[], givens: &[] };
            match recipe.make_own(at) {
                Ok(docket) => self.made(&said, &docket, true)?,
                Err(faults) => {
                    self.not_made(&said, faults, &|given| named.get(given).map_or("", |name| name), &|_| {
                        None
                    })?;
                }
            }
            self.step()?;
        }
        Ok(())
    }

    fn step(&mut self) -> Result<(), Ended> {
        self.summary.rows += 1;
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

    fn place(&self, said: &Said<'_>) -> String {
        match said.label {
            "" => format!("{}, row {}", self.name, said.number),
            label => format!("{}, row {} ({})", self.name, said.number, short(label)),
        }
    }

    fn made(&mut self, said: &Said<'_>, docket: &Docket, with_givens: bool) -> Result<(), Ended> {
        if self.results.is_none() {
            let results = Results::of(docket, with_givens);
            self.head.results.clone_from(&results.names);
            self.results = Some(results);
            self.begin()?;
        }
        let mut cautions = std::mem::take(&mut self.cautions);
        cautions.take(docket, || self.place(said));
        self.cautions = cautions;
        let mut trouble = String::new();
        for check in docket.checks.iter().filter(|check| !check.passed) {
            let detail = check.detail.as_deref().map_or(String::new(), |detail| format!(" ({detail})"));
            trouble.push_str(if trouble.is_empty() { "" } else { "; " });
            let verdict = if check.open { "not sure: " } else { "" };
            trouble.push_str(&format!("{verdict}{}{detail}", check.message));
            let message = format!("{}: {verdict}{}{detail}", self.place(said), check.message);
            self.watch.fault(Fault::nowhere(Code::CheckFailed, message));
        }
        let fails = docket.checks.iter().any(|check| !check.passed && !check.open);
        self.summary.troubled += u64::from(fails);
        self.summary.open += u64::from(!trouble.is_empty() && !fails);
        let mut cells = Vec::with_capacity(self.head.results.len());
        if let Some(results) = &self.results {
            results.pick(docket, &mut cells);
        }
        let Said { number, label, passed, givens } = *said;
        Ok(self.sink.row(&Made { number, label, passed, givens, results: &cells, trouble: &trouble })?)
    }

    fn not_made<'t>(
        &mut self,
        said: &Said<'_>,
        faults: Vec<RowFault>,
        named: &dyn Fn(usize) -> &'t str,
        cell: &dyn Fn(usize) -> Option<&'t str>,
    ) -> Result<(), Ended> {
        let mut trouble = String::new();
        for fault in faults {
            let RowFault { given, fault } = explained(fault, cell);
            let place = match (given, given.and_then(cell)) {
                (Some(given), Some("")) => format!("column `{}`: ", named(given)),
                (Some(given), Some(cell)) => format!("column `{}`, `{}`: ", named(given), short(cell)),
                (Some(given), None) => format!("`{}`: ", named(given)),
                (None, _) => String::new(),
            };
            trouble.push_str(if trouble.is_empty() { "" } else { "; " });
            trouble.push_str(&format!("{place}{}", fault.message));
            let message = format!("{}: {place}{}", self.place(said), fault.message);
            self.watch.fault(Fault { message, ..fault });
        }
        self.summary.troubled += 1;
        let Said { number, label, passed, givens } = *said;
        if self.results.is_some() {
            return Ok(self.sink.row(&Made {
                number,
                label,
                passed,
                givens,
                results: &[],
                trouble: &trouble,
            })?);
        }
        let bytes = label.len()
            + trouble.len()
            + passed.iter().chain(givens).map(|text| text.len() + 24).sum::<usize>();
        self.early_bytes += bytes;
        if self.early.len() >= HOPELESS || self.early_bytes > HOPELESS_BYTES {
            let rows = self.early.len();
            let fault = bad_table(self.name, format!("none of the first {rows} rows can be made"));
            return Err(fault.into());
        }
        let owned = |texts: &[&str]| texts.iter().map(|text| (*text).to_owned()).collect();
        self.early.push(Early {
            number,
            label: label.to_owned(),
            passed: owned(passed),
            givens: owned(givens),
            trouble,
        });
        Ok(())
    }

    /// Writes the head and the rows that waited for it.
    fn begin(&mut self) -> Result<(), Ended> {
        self.sink.head(&self.head)?;
        for row in std::mem::take(&mut self.early) {
            let passed: Vec<&str> = row.passed.iter().map(String::as_str).collect();
            let givens: Vec<&str> = row.givens.iter().map(String::as_str).collect();
            let Early { number, label, trouble, .. } = &row;
            self.sink.row(&Made {
                number: *number,
                label,
                passed: &passed,
                givens: &givens,
                results: &[],
                trouble,
            })?;
        }
        Ok(())
    }

    fn finish(mut self) -> Result<Summary, Ended> {
        if self.results.is_none() {
            self.begin()?;
        }
        self.sink.end()?;
        self.cautions.told().into_iter().for_each(|caution| self.watch.fault(caution));
        Ok(self.summary)
    }
}
