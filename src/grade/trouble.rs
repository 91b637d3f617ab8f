//! What is wrong with a row, in words that name the cell.

use super::cells::{eaten, may_be_day};
use super::{Cell, Recipe, RowFault};
use crate::docket::Docket;
use crate::fault::{Code, Fault};

/// Makes a row; an empty cell is reported before anything is evaluated.
pub(super) fn make(
    recipe: &mut dyn Recipe,
    cells: &[Cell<'_>],
    label: &str,
) -> Result<Docket, Vec<RowFault>> {
    let empty = cells.iter().filter(|cell| cell.text.is_empty() && !cell.words);
    let fault = || {
        let fault = Fault::nowhere(Code::BadCell, "nothing is written here");
        fault.hint("write the measure; without the column, the value in the recipe is used")
    };
    let empty: Vec<RowFault> =
        empty.map(|cell| RowFault { given: Some(cell.given), fault: fault() }).collect();
    if empty.is_empty() { recipe.make(cells, label) } else { Err(empty) }
}

/// A cell that a spreadsheet turned into a date is reported as that.
pub(super) fn explained<'t>(mut told: RowFault, cell: &dyn Fn(usize) -> Option<&'t str>) -> RowFault {
    let Some(text) = told.given.and_then(cell) else { return told };
    if let Some(was) = eaten(text) {
        told.fault.message = format!("a spreadsheet changed this cell to a date; it was most likely {was}");
        told.fault.hints = vec![
            "set the column to text before typing, or write the unit after the fraction: `1/2 in`".into(),
        ];
    } else if may_be_day(text) {
        told.fault.hints.push(
            "a spreadsheet may have changed a fraction to a date: it counts days in such numbers".into(),
        );
    }
    told
}

/// So many different faults are known again.
const MOST_KNOWN: usize = 256;

/// The faults reported so far, so that one of many rows is reported once.
#[derive(Debug, Default)]
pub(super) struct Reported {
    known: Vec<(Code, String, u64)>,
}

impl Reported {
    /// Whether this one comes for the first time.
    pub fn first(&mut self, fault: &Fault, lead: &str) -> bool {
        let message = format!("{lead}{}", fault.message);
        if let Some((_, _, again)) = self.known.iter_mut().find(|(_, known, _)| *known == message) {
            *again = again.saturating_add(1);
            return false;
        }
        if self.known.len() < MOST_KNOWN {
            self.known.push((fault.code, message, 0));
        }
        true
    }

    /// How many more rows had the same faults.
    pub fn again(&self, table: &str) -> Vec<Fault> {
        let often = self.known.iter().filter(|(_, _, again)| *again > 0);
        let fault = |(code, message, again): &(Code, String, u64)| {
            let rows = if *again == 1 { "1 more row".into() } else { format!("{again} more rows") };
            Fault::nowhere(*code, format!("{table}, in {rows} too: {message}"))
        };
        often.map(fault).collect()
    }
}

/// A text cut where it would be long.
pub(super) fn short(text: &str) -> String {
    if text.chars().count() <= 40 {
        return text.to_owned();
    }
    text.chars().take(37).chain("...".chars()).collect()
}
