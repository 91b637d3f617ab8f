//! A compiled recipe as grading sees it.

use std::rc::Rc;

use super::cells::written_out;
use super::{Cell, Recipe, RowFault};
use crate::docket::Docket;
use crate::fault::{Code, Fault};
use crate::recipe::build;
use crate::recipe::inputs::read_value;
use crate::recipe::make::Set;
use crate::value::data::Value;

impl Recipe for build::Recipe {
    fn givens(&self) -> Vec<Rc<str>> {
        self.givens.iter().map(|given| given.name.clone()).collect()
    }

    fn holds_words(&mut self, given: usize) -> bool {
        self.holds_text(given)
    }

    fn make(&mut self, cells: &[Cell<'_>], size: &str) -> Result<Docket, Vec<RowFault>> {
        let mut set = Vec::with_capacity(cells.len());
        let mut faults = Vec::new();
        for cell in cells {
            match read(cell) {
                Ok(value) => set.push(Set { given: cell.given, value, span: None }),
                Err(fault) => faults.push(RowFault { given: Some(cell.given), fault }),
            }
        }
        if faults.is_empty() { made(self, &set, size.into()) } else { Err(faults) }
    }

    fn own_sizes(&self) -> Vec<Rc<str>> {
        self.sizes.iter().map(|size| size.label.clone()).collect()
    }

    fn make_own(&mut self, size: usize) -> Result<Docket, Vec<RowFault>> {
        let label = self.sizes.get(size).map_or_else(|| "".into(), |size| size.label.clone());
        let placed = |fault| RowFault { given: None, fault };
        let set =
            self.size_values(size).map_err(|faults| faults.into_iter().map(placed).collect::<Vec<_>>())?;
        made(self, &set, label)
    }

    fn not_made(&mut self, size: &str) {
        self.leave_out(size);
    }

    fn advice(&mut self) -> Vec<Fault> {
        std::mem::take(&mut self.graded_advice)
    }
}

fn read(cell: &Cell<'_>) -> Result<Value, Fault> {
    let text = if cell.words { cell.text.into() } else { written_out(cell.text) };
    read_value(&text, cell.words)
        .map_err(|bad| Fault { hints: bad.hints, ..Fault::nowhere(Code::BadCell, bad.message) })
}

/// The docket of one size; a fault at a given's own line is reported as one of its cell.
fn made(recipe: &mut build::Recipe, set: &[Set], size: Rc<str>) -> Result<Docket, Vec<RowFault>> {
    let run = recipe.run(set, Some(size));
    if run.faults.is_empty() {
        recipe.graded_advice = run.advice;
        return Ok(run.docket);
    }
    let told = |fault: Fault| {
        let given = recipe.givens.iter().position(|given| fault.span() == Some(given.span));
        let cell = given.filter(|given| set.iter().any(|set| set.given == *given && set.span.is_none()));
        match cell {
            Some(_) => RowFault { given: cell, fault: Fault { primary: None, ..fault } },
            None => RowFault { given: None, fault },
        }
    };
    Err(run.faults.into_iter().map(told).collect())
}
