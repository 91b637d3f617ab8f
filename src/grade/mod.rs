//! One recipe over a table of sizes: a row is a size, a column a given.
//!
//! Rows are read, made and written one at a time, so that a table of a million rows takes no more
//! memory than one of ten. A row with trouble comes out too, with the trouble reported.

mod book;
mod cautions;
mod cells;
mod columns;
mod csv_rows;
mod csv_sink;
mod json_rows;
mod json_sink;
mod numbers;
mod quotes;
mod recipe;
mod results;
mod rows;
mod sink;
mod table;
mod trouble;
mod turned;
mod work;

use std::rc::Rc;

use crate::docket::Docket;
use crate::fault::Fault;

pub use book::book;
pub use rows::Source;
pub use sink::Style;
pub use work::{Ended, grade};

/// A recipe as grading sees it.
pub trait Recipe {
    /// The names of its givens, in order.
    fn givens(&self) -> Vec<Rc<str>>;

    /// Whether a given holds words, so that a cell is taken as it is.
    fn holds_words(&mut self, given: usize) -> bool;

    /// Makes it in one size from the cells of a row.
    fn make(&mut self, cells: &[Cell<'_>], size: &str) -> Result<Docket, Vec<RowFault>>;

    /// The labels of the sizes that it holds itself.
    fn own_sizes(&self) -> Vec<Rc<str>>;

    /// Makes it in one of those.
    fn make_own(&mut self, size: usize) -> Result<Docket, Vec<RowFault>>;

    /// A size could not be made.
    fn not_made(&mut self, _size: &str) {}

    /// What deserves a second look in the size that was made last.
    fn advice(&mut self) -> Vec<Fault> {
        Vec::new()
    }
}

/// A cell of a row that sets a given.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cell<'a> {
    /// Index of the given.
    pub given: usize,
    /// What is written, with a decimal comma already read as a point.
    pub text: &'a str,
    /// Whether the given holds words.
    pub words: bool,
}

/// Why a row cannot be made.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowFault {
    /// The given whose cell is the reason, where it is one.
    pub given: Option<usize>,
    /// What is wrong; its place, if any, is one in the recipe.
    pub fault: Fault,
}

/// Who looks on while a table is graded.
pub trait Watch {
    /// Something is wrong with a column, or is to be known of the table.
    fn fault(&mut self, fault: Fault);

    /// Something is wrong with a row, which its row says too; the other rows go on.
    fn row_fault(&mut self, fault: Fault) {
        self.fault(fault);
    }

    /// So many rows are done.
    fn progress(&mut self, rows: u64);

    /// Whether the work is to stop.
    fn stopped(&self) -> bool;
}

/// What became of a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Summary {
    /// How many rows there were.
    pub rows: u64,
    /// How many of them had trouble: a bad cell, or a check that does not hold.
    pub troubled: u64,
    /// Rows without trouble in which slack leaves a check open.
    pub open: u64,
}
