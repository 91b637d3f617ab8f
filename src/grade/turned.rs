//! A table too wide for its place, turned: sizes side by side, as many as fit, and measures below each other.

use crate::measure::glued;
use crate::report::wrap::{pad, width, wrap};

/// Names of measures, and the cells beside them, take at most so much: two sizes are side by side at the least.
const CELL: usize = 25;
/// On a narrow screen they may take so much.
const LEAST_CELL: usize = 15;

/// Rows that wait until no more fit beside them.
pub(super) struct Turned<T> {
    columns: usize,
    /// What a name or a cell takes at most, unless a measure is longer.
    cell: usize,
    head: Vec<String>,
    /// The columns of the names.
    names: usize,
    /// The rows that wait, how wide each is, and what is kept with it.
    waiting: Vec<(Vec<String>, usize, T)>,
}

/// Rows side by side, and what was kept with them.
pub(super) struct Block<T> {
    /// The first lines are its head.
    pub lines: Vec<String>,
    /// How many lines name the sizes.
    pub head: usize,
    pub kept: Vec<T>,
}

impl<T> Turned<T> {
    pub fn new(head: &[String], columns: usize) -> Turned<T> {
        let cell = (columns.saturating_sub(4) / 3).clamp(LEAST_CELL, CELL);
        // A single long name does not make the column of names wide; it is broken.
        let longest = head.iter().map(|name| width(name)).max().unwrap_or(0);
        let fits = head.iter().map(|name| width(name)).filter(|columns| *columns <= cell).max().unwrap_or(0);
        let names = fits.max(longest.min(LEAST_CELL));
        Turned { columns, cell, head: head.to_vec(), names, waiting: Vec::new() }
    }

    /// Takes a row; the rows before it where it does not fit beside them.
    pub fn take(&mut self, row: Vec<String>, kept: T) -> Option<Block<T>> {
        let wide = self.wide(&row);
        let beside = |used: usize, wide: usize| used.saturating_add(wide).saturating_add(2);
        let used = self.waiting.iter().fold(self.names, |used, (_, wide, _)| beside(used, *wide));
        let full = !self.waiting.is_empty() && beside(used, wide) > self.columns;
        let block = if full { self.block() } else { None };
        self.waiting.push((row, wide, kept));
        block
    }

    /// How wide a row is: a measure stays on one line where it can.
    fn wide(&self, row: &[String]) -> usize {
        let word = row.iter().flat_map(|cell| glued(cell)).map(|word| width(&word)).max().unwrap_or(0);
        let most = word.clamp(self.cell, CELL);
        row.iter().flat_map(|cell| wrap(cell, most)).map(|line| width(&line)).max().unwrap_or(0)
    }

    /// The rows that wait.
    pub fn block(&mut self) -> Option<Block<T>> {
        let rows = std::mem::take(&mut self.waiting);
        if rows.is_empty() {
            return None;
        }
        let (mut lines, mut head) = (Vec::new(), 0);
        for (at, name) in self.head.iter().enumerate() {
            lines.extend(self.lines(at, name, &rows));
            if at == 0 {
                head = lines.len();
                let rules = rows.iter().map(|(_, wide, _)| "-".repeat(*wide));
                lines.push(
                    std::iter::once("-".repeat(self.names)).chain(rules).collect::<Vec<_>>().join("  "),
                );
            }
        }
        Some(Block { lines, head, kept: rows.into_iter().map(|(.., kept)| kept).collect() })
    }

    /// One measure of all rows of a block.
    fn lines(&self, at: usize, name: &str, rows: &[(Vec<String>, usize, T)]) -> Vec<String> {
        let cell =
            |(row, wide, _): &(Vec<String>, usize, T)| wrap(row.get(at).map_or("", |cell| cell), *wide);
        let cells: Vec<Vec<String>> = rows.iter().map(cell).collect();
        let name = wrap(name, self.names);
        let height = cells.iter().chain([&name]).map(Vec::len).max().unwrap_or(0);
        let piece =
            |lines: &[String], line: usize, columns| pad(lines.get(line).map_or("", String::as_str), columns);
        let line = |line: usize| {
            let beside = cells.iter().zip(rows).map(|(lines, (_, wide, _))| piece(lines, line, *wide));
            let pieces: Vec<String> = std::iter::once(piece(&name, line, self.names)).chain(beside).collect();
            pieces.join("  ").trim_end().to_owned()
        };
        (0..height).map(line).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(count: usize) -> Vec<Vec<String>> {
        (1..=count).map(|at| vec![format!("size {at}"), format!("{at} cm")]).collect()
    }

    #[test]
    fn as_many_rows_as_fit_are_side_by_side_and_each_block_has_its_head() {
        let head = ["row".to_owned(), "waist".to_owned()];
        let mut turned = Turned::new(&head, 40);
        let mut blocks: Vec<Block<usize>> = Vec::new();
        for (at, row) in rows(7).into_iter().enumerate() {
            blocks.extend(turned.take(row, at));
        }
        blocks.extend(turned.block());
        let kept: Vec<&[usize]> = blocks.iter().map(|block| &*block.kept).collect();
        assert_eq!(kept, [&[0, 1, 2, 3][..], &[4, 5, 6][..]]);
        assert_eq!(
            blocks[1].lines,
            ["row    size 5  size 6  size 7", "-----  ------  ------  ------", "waist  5 cm    6 cm    7 cm"]
        );
        assert_eq!(blocks[1].head, 1);
    }

    #[test]
    fn two_sizes_are_side_by_side_on_a_narrow_screen() {
        let words = "words that are long enough to be broken".to_owned();
        let measure = "scant 140.9 cm (about 140.8999 cm)".to_owned();
        for columns in [50, 64, 80] {
            let mut turned = Turned::new(std::slice::from_ref(&words), columns);
            assert!(turned.take(vec![words.clone()], ()).is_none());
            assert!(turned.take(vec![words.clone()], ()).is_none());
            let lines = turned.block().unwrap().lines;
            assert!(lines.iter().all(|line| width(line) <= columns), "{lines:?}");
            assert!(lines[0].starts_with("words that are "), "{lines:?}");
            turned.take(vec![measure.clone()], ());
            let lines = turned.block().unwrap().lines;
            assert!(lines.iter().any(|line| line.ends_with("(about 140.8999 cm)")), "{lines:?}");
        }
    }
}
