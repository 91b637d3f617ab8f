//! What the recipe and its rules caution of, in every size or in some.

use std::rc::Rc;

/// So many different cautions are kept.
const MOST_KEPT: usize = 64;
/// So many of single sizes are reported.
const MOST_TOLD: usize = 8;
/// So many sizes are named beside a caution.
const MOST_NAMED: usize = 6;

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
    /// The first rows that have it.
    named: Vec<String>,
}

impl Cautions {
    /// Takes in those of a row that was made; `place` names the row.
    pub fn take(&mut self, cautions: &[Rc<str>], place: impl Fn() -> String) {
        self.rows = self.rows.saturating_add(1);
        for words in cautions {
            let at = self.said.iter().position(|said| said.words == *words);
            let at = at.unwrap_or(self.said.len());
            if at == self.said.len() && at < MOST_KEPT {
                self.said.push(Said { words: words.clone(), rows: 0, named: Vec::new() });
            }
            if let Some(said) = self.said.get_mut(at) {
                said.rows = said.rows.saturating_add(1);
                if said.named.len() < MOST_NAMED {
                    said.named.push(place());
                }
            }
        }
    }

    /// What every row has.
    pub fn every(&self) -> impl Iterator<Item = &Rc<str>> {
        self.said.iter().filter(|said| said.rows == self.rows).map(|said| &said.words)
    }

    /// What some rows have, with their names: `small, large and 3 more`; `all` of it, or only what not every row has.
    /// The last may be only a count of others.
    pub fn named(&self, all: bool) -> Vec<(String, String)> {
        let some: Vec<&Said> = self.said.iter().filter(|said| all || said.rows < self.rows).collect();
        let told = some.iter().take(MOST_TOLD).map(|said| {
            let named = said.named.join(", ");
            let named = match said.rows.saturating_sub(said.named.len() as u64) {
                0 => named,
                more => format!("{named} and {more} more"),
            };
            (named, said.words.to_string())
        });
        let more = some.len().saturating_sub(MOST_TOLD);
        let rest =
            (more > 0).then(|| ("other sizes".into(), format!("{more} more; their dockets say which")));
        told.chain(rest).collect()
    }
}
