//! Rows that name headings with their pages, in columns: contents, an index, what to see also.

use std::ops::Range;
use std::rc::Rc;

use super::{Flow, Item, Kind, LINE, Rows, TOP};
use crate::drawing::letters::width;
use crate::report::pages::{Ref, Refs};

/// Between two columns.
const BETWEEN: f64 = 6.0;
/// How far a row is set in, for each step.
const STEP: f64 = 3.0;
/// Words and numbers are so large, as a share of the letters of the page.
const SIZE: f64 = 0.8;
/// A last page that is filled to less than this is to be saved, by lines that stand so much closer.
const SHORT: f64 = 0.25;
const CLOSER: [f64; 2] = [0.95, 0.9];
/// The room for rows: on the page that is begun, on a page of their own, and in how many columns.
struct Room {
    first: f64,
    full: f64,
    columns: usize,
}

/// The rows of each column of each page, and how far one line is below the other: lines stand closer where the last
/// page would hold next to nothing. The first page has no column where nothing fits there.
fn filled(rows: &[Ref], lines: &[f64], room: &Room, leading: f64) -> (Vec<Vec<Range<usize>>>, f64) {
    let with = |share: f64| {
        let heights: Vec<f64> = lines.iter().map(|lines| lines * leading * share).collect();
        let pages = columns(rows, &heights, room, leading * share);
        let column = |rows: &Range<usize>| heights.get(rows.clone()).unwrap_or(&[]).iter().sum::<f64>();
        let last = pages.last().map_or(0.0, |page| page.iter().map(column).fold(0.0, f64::max));
        let sound = pages.len() < 2 || last > room.full * SHORT;
        (pages, leading * share, sound)
    };
    let (pages, usual, sound) = with(1.0);
    let closer = CLOSER.iter().map(|share| with(*share)).find(|(.., sound)| *sound);
    match closer {
        Some((pages, leading, _)) if !sound => (pages, leading),
        _ => (pages, usual),
    }
}

/// The rows of each column of each page. A page takes as many rows as all of its columns hold; on the last one the
/// columns are equally long.
fn columns(rows: &[Ref], heights: &[f64], room: &Room, line: f64) -> Vec<Vec<Range<usize>>> {
    let mut pages: Vec<Vec<Range<usize>>> = Vec::new();
    let mut next = 0;
    while next < rows.len() {
        let least = heights.get(next).copied().unwrap_or(0.0).max(2.0 * line);
        let most = if pages.is_empty() { room.first } else { room.full };
        if pages.is_empty() && least > most && room.first < room.full {
            pages.push(Vec::new());
            continue;
        }
        let rest = heights.get(next..).unwrap_or(&[]);
        let fair = (rest.iter().sum::<f64>() / room.columns as f64 + line).min(most);
        let mut page = Vec::with_capacity(room.columns);
        for n in 0..room.columns {
            let begin = next;
            let mut used = 0.0;
            // The last column takes what is left, as far as there is room.
            let most = if n + 1 == room.columns { most } else { fair };
            while let (Some(row), Some(high)) = (rows.get(next), heights.get(next)) {
                // A row that others hang on is not the last one of a column.
                let hung = rows.get(next + 1).is_some_and(|below| below.indent > row.indent);
                let with = heights.get(next + 1).filter(|_| hung).copied().unwrap_or(0.0);
                if next > begin && used + high + with > most {
                    break;
                }
                used += high;
                next += 1;
            }
            page.push(begin..next);
        }
        pages.push(page);
    }
    pages
}

impl<'a> Flow<'a> {
    pub(super) fn refs(&mut self, refs: &'a Refs) {
        let size = self.size * SIZE;
        let columns = refs.columns.max(1);
        let column = (self.width - BETWEEN * (columns as f64 - 1.0)) / columns as f64;
        let list = self.part(Kind::List { numbered: false }, 0);
        let lines: Vec<f64> =
            refs.rows.iter().map(|row| self.lines(row, column, size).len() as f64).collect();
        let room = Room { first: self.bottom - self.y, full: self.bottom - TOP, columns };
        let (pages, leading) = filled(&refs.rows, &lines, &room, size * LINE);
        for (at, page) in pages.iter().enumerate() {
            if at > 0 {
                self.page();
            }
            let (top, mut lowest) = (self.y, self.y);
            for (n, rows) in page.iter().enumerate() {
                self.y = top;
                let left = self.left + (column + BETWEEN) * n as f64;
                for row in refs.rows.get(rows.clone()).unwrap_or_default() {
                    self.row_of(row, list, (left, column), (size, leading));
                }
                lowest = lowest.max(self.y);
            }
            self.y = lowest;
        }
        self.y += self.size * 0.6;
    }

    fn lines(&self, row: &Ref, column: f64, size: f64) -> Rows {
        let number = if row.to.is_some() { width("0000", size, false) + 2.0 } else { 0.0 };
        let room = (column - STEP * f64::from(row.indent) - number).max(10.0);
        self.broken(&row.words, size, room, row.bold)
    }

    fn row_of(&mut self, row: &'a Ref, list: usize, (left, column): (f64, f64), (size, leading): (f64, f64)) {
        let item = self.part(Kind::Item, list);
        let body = self.part(Kind::Body, item);
        let part = if row.to.is_some() { self.part(Kind::Link, body) } else { body };
        let indent = STEP * f64::from(row.indent);
        let top = self.y;
        for text in self.lines(row, column, size).iter() {
            let at = (left + indent, self.y + size);
            self.put(Some(part), Item::Words { at, text: Rc::clone(text), size, bold: row.bold });
            self.y += leading;
        }
        let Some(target) = &row.to else { return };
        let number =
            self.spots.get(target).map_or_else(|| "000".to_owned(), |spot| (spot.page + 1).to_string());
        let at = (left + column - width(&number, size, false), self.y - leading + size);
        self.put(Some(part), Item::Words { at, text: number.as_str().into(), size, bold: false });
        let area = [left + indent, top, column - indent, self.y - top];
        self.put(Some(part), Item::Link { area, to: target });
    }
}
