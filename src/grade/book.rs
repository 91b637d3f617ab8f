//! All sizes kept, for one document: the rows of the table as figures, and each docket.

use std::io;
use std::rc::Rc;

use super::cautions::Cautions;
use super::sink::{Head, Made, Sink, each_once};
use super::work::grade_into;
use super::{Cell, Ended, Recipe, RowFault, Source, Summary, Watch};
use crate::docket::{Docket, Figure, FigureValue};
use crate::fault::{Code, Fault};
use crate::limits::BOOK;
use crate::measure::Manner;
use crate::report::Sizes;

/// A recipe that notes each docket that it makes.
struct Noting<'a> {
    recipe: &'a mut dyn Recipe,
    dockets: Vec<Docket>,
}

impl Noting<'_> {
    fn note(&mut self, made: Result<Docket, Vec<RowFault>>) -> Result<Docket, Vec<RowFault>> {
        // One more than are allowed is enough to refuse them all.
        if let (Ok(docket), true) = (&made, self.dockets.len() <= BOOK) {
            self.dockets.push(docket.clone());
        }
        made
    }
}

impl Recipe for Noting<'_> {
    fn givens(&self) -> Vec<Rc<str>> {
        self.recipe.givens()
    }

    fn holds_words(&mut self, given: usize) -> bool {
        self.recipe.holds_words(given)
    }

    fn make(&mut self, cells: &[Cell<'_>], size: &str) -> Result<Docket, Vec<RowFault>> {
        let made = self.recipe.make(cells, size);
        self.note(made)
    }

    fn own_sizes(&self) -> Vec<Rc<str>> {
        self.recipe.own_sizes()
    }

    fn make_own(&mut self, size: usize) -> Result<Docket, Vec<RowFault>> {
        let made = self.recipe.make_own(size);
        self.note(made)
    }

    fn not_made(&mut self, size: &str) {
        self.recipe.not_made(size);
    }

    fn advice(&mut self) -> Vec<Fault> {
        self.recipe.advice()
    }
}

/// Keeps the rows.
struct BookSink<'a> {
    sizes: &'a mut Sizes,
    cautions: Cautions,
}

impl Sink for BookSink<'_> {
    fn begin(&mut self, head: Head, rows: &[Made<'_>], _all: bool) -> io::Result<()> {
        let names = [&head.passed, &head.givens, &head.results].into_iter().flatten();
        let names = std::iter::once(&head.label).chain(names).map(String::as_str);
        let names: Vec<&str> = names.chain(["caution", "trouble"]).collect();
        self.sizes.caution = names.len().saturating_sub(2);
        self.sizes.head = each_once(names.into_iter());
        rows.iter().try_for_each(|row| self.row(row))
    }

    fn row(&mut self, row: &Made<'_>) -> io::Result<()> {
        if self.sizes.rows.len() > BOOK {
            return Ok(());
        }
        if row.is_made() {
            self.cautions.take(&row.cautions, || row.label.to_string());
        }
        let text = |words: &str| {
            let value = FigureValue::Text(words.into());
            (!words.is_empty()).then(|| Figure { value, manner: Manner::default() })
        };
        let results = row.results.iter().map(|cell| {
            let cell = cell.as_ref()?;
            Some(Figure { value: cell.value.clone().into_owned(), manner: cell.manner })
        });
        let inputs = std::iter::once(&row.label).chain(&row.passed).chain(&row.givens);
        let mut cells: Vec<Option<Figure>> = inputs.map(|words| text(words)).chain(results).collect();
        // A row that could not be made has no results.
        cells.resize_with(self.sizes.caution, || None);
        cells.push(text(&row.cautions.join("; ")));
        cells.push(text(&row.trouble_words()));
        self.sizes.made.push(row.is_made());
        self.sizes.rows.push(cells);
        Ok(())
    }

    fn end(&mut self) -> io::Result<Vec<String>> {
        self.sizes.cautions = self.cautions.every().map(ToString::to_string).collect();
        Ok(Vec::new())
    }
}

/// Makes a recipe in every size of a table and keeps all of it.
pub fn book(
    recipe: &mut dyn Recipe,
    source: Source<'_>,
    name: &str,
    watch: &mut dyn Watch,
) -> Result<(Summary, Sizes), Ended> {
    let mut noting = Noting { recipe, dockets: Vec::new() };
    let mut sizes = Sizes::default();
    let sink = Box::new(BookSink { sizes: &mut sizes, cautions: Cautions::default() });
    let summary = grade_into(&mut noting, source, name, (sink, true), watch)?;
    if summary.rows > BOOK as u64 {
        let fault =
            Fault::nowhere(Code::TooMuch, format!("these are more than {BOOK} sizes for one document"));
        return Err(fault.hint("make several tables of it, or write the table alone: `--as csv`").into());
    }
    sizes.dockets = noting.dockets;
    Ok((summary, sizes))
}
