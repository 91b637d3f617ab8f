//! Rows that name headings with their pages, in columns: contents, an index, what to see also.

use super::{Flow, Item, Kind, LINE};
use crate::drawing::letters::width;
use crate::drawing::lines::broken;
use crate::report::pages::{Ref, Refs};

/// Between two columns.
const BETWEEN: f64 = 6.0;
/// How far a row is set in, for each step.
const STEP: f64 = 3.0;
/// Words and numbers are so large, as a share of the letters of the page.
const SIZE: f64 = 0.8;
impl<'a> Flow<'a> {
    pub(super) fn refs(&mut self, refs: &'a Refs) {
        let size = self.size * SIZE;
        let columns = refs.columns.max(1);
        let column = (self.width - BETWEEN * (columns as f64 - 1.0)) / columns as f64;
        let list = self.part(Kind::List { numbered: false }, 0);
        let heights: Vec<f64> =
            refs.rows.iter().map(|row| self.lines(row, column, size).len() as f64 * size * LINE).collect();
        let mut next = 0;
        while next < refs.rows.len() {
            // A page takes as many rows as all of its columns hold; on the last one the columns are equally long.
            let least = heights.get(next).copied().unwrap_or(0.0);
            self.need(least.max(2.0 * size * LINE));
            let room = self.bottom - self.y;
            let rest = heights.get(next..).unwrap_or(&[]);
            let fair = (rest.iter().sum::<f64>() / columns as f64 + size * LINE).min(room);
            let top = self.y;
            let mut lowest = top;
            for n in 0..columns {
                let left = self.left + (column + BETWEEN) * n as f64;
                self.y = top;
                while let (Some(row), Some(high)) = (refs.rows.get(next), heights.get(next)) {
                    // The last column takes what is left, as far as there is room.
                    let most = if n + 1 == columns { room } else { fair };
                    let begins = self.y > top;
                    if begins && self.y + high > top + most {
                        break;
                    }
                    // A row that others hang on is not the last one of a column.
                    let hung = refs.rows.get(next + 1).is_some_and(|below| below.indent > row.indent);
                    let with = heights.get(next + 1).filter(|_| hung).copied().unwrap_or(0.0);
                    if begins && with > 0.0 && self.y + high + with > top + most {
                        break;
                    }
                    self.row_of(row, list, (left, column), size);
                    next += 1;
                }
                lowest = lowest.max(self.y);
            }
            self.y = lowest;
        }
        self.y += self.size * 0.6;
    }

    fn lines(&self, row: &Ref, column: f64, size: f64) -> Vec<String> {
        let number = if row.to.is_some() { width("0000", size, false) + 2.0 } else { 0.0 };
        let room = (column - STEP * f64::from(row.indent) - number).max(10.0);
        broken(&row.words, size, room, row.bold)
    }

    fn row_of(&mut self, row: &'a Ref, list: usize, (left, column): (f64, f64), size: f64) {
        let item = self.part(Kind::Item, list);
        let body = self.part(Kind::Body, item);
        let part = if row.to.is_some() { self.part(Kind::Link, body) } else { body };
        let indent = STEP * f64::from(row.indent);
        let top = self.y;
        for text in self.lines(row, column, size) {
            let at = (left + indent, self.y + size);
            self.put(Some(part), Item::Words { at, text, size, bold: row.bold });
            self.y += size * LINE;
        }
        let Some(target) = &row.to else { return };
        let number =
            self.spots.get(target).map_or_else(|| "000".to_owned(), |spot| (spot.page + 1).to_string());
        let at = (left + column - width(&number, size, false), self.y - size * LINE + size);
        self.put(Some(part), Item::Words { at, text: number, size, bold: false });
        let area = [left + indent, top, column - indent, self.y - top];
        self.put(Some(part), Item::Link { area, to: target });
    }
}
