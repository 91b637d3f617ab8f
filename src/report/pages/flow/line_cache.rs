//! A cache of lines of words: the words of a book stand there again in every size, and pages are laid out more than once.
#![expect(clippy::arithmetic_side_effects, reason = "what is counted here was in memory before")]

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use crate::drawing::lines::broken;

/// So many bytes of words are kept.
const MOST: usize = 300_000;

/// The lines of a text.
pub(super) type Rows = Rc<[Rc<str>]>;

/// Texts and their lines, for each size of letters, room, and weight.
#[derive(Default)]
pub(in super::super) struct LineCache(RefCell<Known>);

#[derive(Default)]
struct Known {
    fits: HashMap<(u64, u64, bool), HashMap<String, Rows>>,
    bytes: usize,
}

impl LineCache {
    /// The lines of a text in letters of a size that fit a room, bold or not.
    pub fn of(&self, words: &str, size: f64, room: f64, bold: bool) -> Rows {
        let fit = (size.to_bits(), room.to_bits(), bold);
        if let Some(rows) = self.0.borrow().fits.get(&fit).and_then(|texts| texts.get(words)) {
            return Rc::clone(rows);
        }
        let rows: Rows = broken(words, size, room, bold).into_iter().map(Rc::from).collect();
        let mut known = self.0.borrow_mut();
        // The words stand there twice, as they are and in lines.
        known.bytes += 2 * words.len();
        if known.bytes > MOST {
            *known = Known { bytes: 2 * words.len(), ..Known::default() };
        }
        known.fits.entry(fit).or_default().insert(words.to_owned(), Rc::clone(&rows));
        rows
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is kept is what would be made, before and after all of it is given back.
    #[test]
    fn lines_are_those_of_the_text_in_its_room() {
        let lines = LineCache::default();
        let long = "a hem of 2 cm at the foot ".repeat(3_000);
        for words in ["turn 2 1/2 in under", long.as_str(), "turn 2 1/2 in under"] {
            for (room, bold) in [(20.0, false), (30.0, false), (30.0, true), (20.0, false)] {
                let rows: Vec<String> =
                    lines.of(words, 3.5, room, bold).iter().map(ToString::to_string).collect();
                assert_eq!(rows, broken(words, 3.5, room, bold));
                assert!(lines.0.borrow().bytes <= MOST);
            }
        }
    }
}
