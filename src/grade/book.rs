//! All sizes kept, for one document: a recipe that notes each docket that it makes.

use std::rc::Rc;

use super::{Cell, Ended, Recipe, RowFault, Source, Style, Summary, Watch, grade};
use crate::docket::Docket;
use crate::fault::{Code, Fault};
use crate::limits::BOOK;
use crate::report::pages::Sizes;

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

/// Makes a recipe in every size of a table and keeps all of it; `style` is that of the table over the sizes.
pub fn book(
    recipe: &mut dyn Recipe,
    source: Source<'_>,
    name: &str,
    style: Style,
    watch: &mut dyn Watch,
) -> Result<(Summary, Sizes), Ended> {
    let mut noting = Noting { recipe, dockets: Vec::new() };
    let mut table = Vec::new();
    let summary = grade(&mut noting, source, name, style, &mut table, watch)?;
    if noting.dockets.len() > BOOK {
        let fault =
            Fault::nowhere(Code::TooMuch, format!("these are more than {BOOK} sizes for one document"));
        return Err(fault.hint("make several tables of it, or write the table alone: `--as csv`").into());
    }
    let mut rows = csv::ReaderBuilder::new().has_headers(false).from_reader(&table[..]).into_records();
    let cells = |record: csv::StringRecord| record.iter().map(str::to_owned).collect::<Vec<_>>();
    let head = rows.next().and_then(Result::ok).map(cells).unwrap_or_default();
    let rows = rows.filter_map(Result::ok).map(cells).collect();
    Ok((summary, Sizes { head, rows, dockets: noting.dockets }))
}
