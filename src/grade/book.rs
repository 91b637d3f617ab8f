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
use crate::report::{Quota, Sizes, Unfinished, json};

/// A recipe that notes each docket that it makes, as far as there is memory for it.
struct Noting<'a> {
    recipe: &'a mut dyn Recipe,
    dockets: Vec<Docket>,
    quota: &'a Quota,
}

impl Noting<'_> {
    fn note(&mut self, made: Result<Docket, Vec<RowFault>>) -> Result<Docket, Vec<RowFault>> {
        // Where there is none left, the row of this size is refused too, and with it the book.
        if let Ok(docket) = &made
            && self.quota.take(weight(docket)).is_ok()
        {
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

/// About as many bytes as a docket takes in memory: its JSON form takes as much.
fn weight(docket: &Docket) -> usize {
    struct Count(usize);
    impl io::Write for Count {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.0 = self.0.saturating_add(bytes.len());
            Ok(bytes.len())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }
    let mut count = Count(0);
    // Counting does not fail.
    let _ = json(docket, &mut count);
    count.0
}

/// Keeps the rows.
struct BookSink<'a> {
    sizes: &'a mut Sizes,
    quota: &'a Quota,
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
        if self.sizes.rows.len() >= BOOK {
            return Err(io::Error::other(Unfinished::TooLarge));
        }
        if row.is_made() {
            self.cautions.take(&row.cautions, || row.label.to_string());
        }
        let text = |words: &str| {
            let value = FigureValue::Text(words.into());
            (!words.is_empty()).then(|| Figure { value, manner: Manner::default() })
        };
        let results = row.results.iter().map(|cell| {
            // Marks in rows stand with each size.
            let cell = cell.as_ref().filter(|cell| cell.value.as_table().is_none())?;
            Some(Figure { value: cell.value.clone().into_owned(), manner: cell.manner })
        });
        let inputs = std::iter::once(&row.label).chain(&row.passed).chain(&row.givens);
        let mut cells: Vec<Option<Figure>> = inputs.map(|words| text(words)).chain(results).collect();
        // A row that could not be made has no results.
        cells.resize_with(self.sizes.caution, || None);
        cells.push(text(&row.cautions.join("; ")));
        cells.push(text(&row.trouble_words()));
        // A cell's words are counted with the docket; these are the cells themselves.
        self.quota.take(cells.len().saturating_mul(size_of::<Option<Figure>>()))?;
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
    (watch, quota): (&mut dyn Watch, &Quota),
) -> Result<(Summary, Sizes), Ended> {
    let mut noting = Noting { recipe, dockets: Vec::new(), quota };
    let mut sizes = Sizes::default();
    let sink = Box::new(BookSink { sizes: &mut sizes, quota, cautions: Cautions::default() });
    let summary = grade_into(&mut noting, source, name, (sink, true), watch);
    if summary.is_err() && sizes.rows.len() >= BOOK {
        let fault =
            Fault::nowhere(Code::TooMuch, format!("these are more than {BOOK} sizes for one document"));
        return Err(fault.hint("make several tables of it, or write the table alone: `--as csv`").into());
    }
    sizes.dockets = noting.dockets;
    Ok((summary?, sizes))
}
