//! What the rules caution of in some sizes and not in others.

use std::rc::Rc;

use crate::docket::Docket;
use crate::fault::Fault;

/// So many different cautions are kept.
const MOST_KEPT: usize = 64;
/// So many are told.
const MOST_TOLD: usize = 8;

/// The cautions of the rows made so far.
#[derive(Debug, Default)]
pub(super) struct Cautions {
    rows: u64,
    said: Vec<Said>,
}

#[derive(Debug)]
struct Said {
    words: Rc<str>,
    rows: u64,
    /// The first row that has it.
    first: String,
}

impl Cautions {
    /// Takes in the docket of a row; `place` names the row.
    pub fn take(&mut self, docket: &Docket, place: impl Fn() -> String) {
        self.rows += 1;
        for words in &docket.cautions {
            if let Some(said) = self.said.iter_mut().find(|said| said.words == *words) {
                said.rows += 1;
            } else if self.said.len() < MOST_KEPT {
                self.said.push(Said { words: words.clone(), rows: 1, first: place() });
            }
        }
    }

    /// What is to be told: a caution that every size has stands in each docket, and is no news of a table.
    pub fn told(self) -> Vec<Fault> {
        let some = self.said.into_iter().filter(|said| said.rows < self.rows).collect::<Vec<_>>();
        let more = some.len().saturating_sub(MOST_TOLD);
        let line = |said: &Said| match said.rows {
            1 => Fault::caution(format!("{}: {}", said.first, said.words)),
            rows => Fault::caution(format!("{} and {} more: {}", said.first, rows - 1, said.words)),
        };
        let mut told: Vec<Fault> = some.iter().take(MOST_TOLD).map(line).collect();
        if more > 0 {
            told.push(Fault::caution(format!("{more} more of single sizes: their dockets tell which")));
        }
        told
    }
}
