//! What the recipe and its rules caution of, in every size or in some.

use std::rc::Rc;

/// So many different cautions are kept.
const MOST_KEPT: usize = 64;
/// So many of single sizes are reported.
const MOST_SHOWN: usize = 8;
/// So many sizes are named beside a caution.
const MOST_NAMED: usize = 6;

/// The cautions of the rows made so far.
#[derive(Debug, Default)]
pub(super) struct Cautions {
    rows: u64,
    counted: Vec<Counted>,
}

#[derive(Debug)]
struct Counted {
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
            let at = self.counted.iter().position(|caution| caution.words == *words);
            let at = at.unwrap_or(self.counted.len());
            if at == self.counted.len() && at < MOST_KEPT {
                self.counted.push(Counted { words: words.clone(), rows: 0, named: Vec::new() });
            }
            if let Some(caution) = self.counted.get_mut(at) {
                caution.rows = caution.rows.saturating_add(1);
                if caution.named.len() < MOST_NAMED {
                    caution.named.push(place());
                }
            }
        }
    }

    /// What every row has.
    pub fn every(&self) -> impl Iterator<Item = &Rc<str>> {
        self.counted.iter().filter(|caution| caution.rows == self.rows).map(|caution| &caution.words)
    }

    /// What some rows have, with their names: `small, large and 3 more`; `all` of it, or only what not every row has.
    /// The last may be only a count of others.
    pub fn named(&self, all: bool) -> Vec<(String, String)> {
        let some: Vec<&Counted> =
            self.counted.iter().filter(|caution| all || caution.rows < self.rows).collect();
        let shown = some.iter().take(MOST_SHOWN).map(|caution| {
            let named = caution.named.join(", ");
            let named = match caution.rows.saturating_sub(caution.named.len() as u64) {
                0 => named,
                more => format!("{named} and {more} more"),
            };
            (named, caution.words.to_string())
        });
        let more = some.len().saturating_sub(MOST_SHOWN);
        let rest =
            (more > 0).then(|| ("other sizes".into(), format!("{more} more; their dockets say which")));
        shown.chain(rest).collect()
    }
}
