//! The list beside a picture.
#![expect(clippy::arithmetic_side_effects, reason = "rows are counted up to a limit")]

use crate::drawing::Listed;
use crate::drawing::clear::Sheet;
use crate::drawing::letters::width;
use crate::drawing::lines::wrapped;

const SIZE: f64 = 2.7;
/// From one line to the next.
pub(super) const STEP: f64 = SIZE * 1.3;
/// What stands before the words of a numbered row.
const LEAD: f64 = 8.0;
const INDENT: f64 = 2.4;
/// A row has so many lines at most.
const MOST_LINES: usize = 12;

/// A row of the list.
#[derive(Clone, Debug)]
pub(super) struct Item {
    pub row: Listed,
    /// Whether it has a place for a number at all.
    led: bool,
}

impl Item {
    pub fn cut(row: Listed) -> Item {
        Item { row: Listed { depth: row.depth.min(6), ..row }, led: true }
    }

    pub fn plain(words: impl Into<String>) -> Item {
        Item { row: Listed { number: None, depth: 0, words: words.into() }, led: false }
    }

    fn indent(&self) -> f64 {
        if self.led { LEAD + INDENT * self.row.depth as f64 } else { 0.0 }
    }

    fn lines(&self, room: f64) -> Vec<String> {
        wrapped(&self.row.words, SIZE, false, (room - self.indent()).max(20.0), MOST_LINES)
    }
}

/// A column for the list.
#[derive(Clone, Copy, Debug)]
pub(super) struct Column {
    pub left: f64,
    pub width: f64,
    pub top: f64,
    pub bottom: f64,
}

/// So many columns over a width.
pub(super) fn columns(width: f64, count: usize, top: f64, bottom: f64) -> Vec<Column> {
    const APART: f64 = 6.0;
    let each = (width - APART * (count.max(1) - 1) as f64) / count.max(1) as f64;
    let column = |at: usize| Column { left: at as f64 * (each + APART), width: each, top, bottom };
    (0..count).map(column).collect()
}

/// How high the list is in one column of this width.
pub(super) fn height(items: &[Item], width: f64) -> f64 {
    let lines: usize = items.iter().map(|item| item.lines(width).len()).sum();
    lines as f64 * STEP
}

/// Writes rows into the columns while there is room; tells how many, and where the lowest ends.
pub(super) fn flow(sheet: &mut Sheet, items: &[Item], columns: &[Column]) -> (usize, f64) {
    let mut columns = columns.iter();
    let Some(mut column) = columns.next() else { return (0, 0.0) };
    let (mut y, mut lowest) = (column.top, 0.0_f64);
    for (at, item) in items.iter().enumerate() {
        let lines = item.lines(column.width);
        while y + lines.len() as f64 * STEP > column.bottom - 1.0 {
            match columns.next() {
                Some(next) => (column, y) = (next, next.top),
                None => return (at, lowest),
            }
        }
        if let Some(number) = item.row.number {
            let number = format!("{number}.");
            let x = column.left + (LEAD - 1.2 - width(&number, SIZE, true)).max(0.0);
            sheet.write((x, y + SIZE), &number, SIZE, true);
        }
        for line in lines {
            sheet.write((column.left + item.indent(), y + SIZE), &line, SIZE, false);
            y += STEP;
        }
        lowest = lowest.max(y);
    }
    (items.len(), lowest)
}
