//! Tables on pages: no row is broken, and the headings stand on each page.
#![expect(clippy::arithmetic_side_effects, reason = "places on a page are small numbers in mm")]

use std::rc::Rc;

use super::{Block, Flow, GAP, Item, KEEP, Kind, NARROW, Rows, SHORT, TOP, Table, width};

impl Flow<'_> {
    /// How high the words are that belong to the last row of a table: a short paragraph right below it.
    pub(super) fn tied(&self, rest: &[Block]) -> f64 {
        let Some(Block::Paragraph(words)) = rest.first() else { return 0.0 };
        let lines = self.broken(words, self.size, self.width, false).len() as f64;
        if lines > KEEP { 0.0 } else { self.size + lines * self.size * self.leading }
    }

    /// A table, and how much below it goes with its last row.
    pub(super) fn table(&mut self, table: &Table, tied: f64) {
        let widths = self.columns(table);
        let part = self.part(Kind::Table(table.caption.clone()), 0);
        self.need(self.together(table, &widths, tied).min(self.bottom - TOP));
        if self.height(&table.head, &widths, true) > self.bottom - TOP {
            self.parted(part, table, &table.head, &widths, true);
        } else {
            self.row(part, table, &table.head, &widths, true);
        }
        for (rows, bold) in [(&table.rows, false), (&table.foot, true)] {
            for (at, row) in rows.iter().enumerate() {
                if self.unfinished.is_some() {
                    return;
                }
                let high = self.height(row, &widths, bold);
                let head = self.height(&table.head, &widths, true).min((self.bottom - TOP) / 2.0);
                if high > self.bottom - TOP - head {
                    self.parted(part, table, row, &widths, bold);
                    continue;
                }
                // The last row is not left alone on a page.
                let last = rows.get(at + 1).filter(|_| at > 0 && at + 2 == rows.len());
                let tied = if bold || table.foot.is_empty() { tied } else { 0.0 };
                let with = match last {
                    Some(last) => self.height(last, &widths, bold) + self.size * 0.15 + tied,
                    None if at + 1 == rows.len() => tied,
                    None => 0.0,
                };
                let both = if high + with > (self.bottom - TOP) / SHORT { high } else { high + with };
                if self.y + both > self.bottom && self.y > TOP {
                    self.page();
                    self.head_again(table, &widths);
                }
                self.row(part, table, row, &widths, bold);
            }
        }
        self.y += self.size;
    }

    /// How much of a table is not parted: all of a short one, else the headings and the first row.
    pub(super) fn together(&self, table: &Table, widths: &[f64], tied: f64) -> f64 {
        let under = self.size * 0.15;
        let head = self.height(&table.head, widths, true) + under;
        let rows = table.rows.iter().map(|row| (row, false)).chain(table.foot.iter().map(|row| (row, true)));
        let mut high = rows.map(|(row, bold)| self.height(row, widths, bold) + under);
        let first = head + high.next().unwrap_or(0.0);
        let short = (self.bottom - TOP) / SHORT;
        // A row that is higher than a page goes on over pages.
        let few = head + KEEP * self.size * self.leading;
        let first = if first > self.bottom - TOP { few } else { first };
        let all = high.try_fold(first, |all, row| Some(all + row).filter(|all| *all <= short));
        all.map_or(first, |all| all + tied)
    }

    /// A row that is higher than a page: as many lines as there is room for, the rest on the next pages.
    pub(super) fn parted(
        &mut self,
        part: usize,
        table: &Table,
        cells: &[String],
        widths: &[f64],
        bold: bool,
    ) {
        let line = self.size * self.leading;
        let lines = |(cell, room): (&String, &f64)| self.broken(cell, self.size, *room, bold).to_vec();
        let mut rest: Vec<Vec<Rc<str>>> = cells.iter().zip(widths).map(lines).collect();
        while rest.iter().any(|lines| !lines.is_empty()) {
            let fits = ((self.bottom - self.y - self.size * 0.5) / line) as usize;
            if fits < 2 && self.y > TOP {
                self.page();
                self.head_again(table, widths);
            }
            let fits = (((self.bottom - self.y - self.size * 0.5) / line) as usize).max(1);
            // Lines were broken for this width, so that each stays one.
            let take = |lines: &mut Vec<Rc<str>>| lines.drain(..fits.min(lines.len())).collect();
            let lines: Vec<Vec<Rc<str>>> = rest.iter_mut().map(take).collect();
            self.lines_of_row(part, table, &lines, widths, (bold, false));
        }
    }

    /// The headings once more at the top of a page, for eyes only.
    pub(super) fn head_again(&mut self, table: &Table, widths: &[f64]) {
        // They must leave room for rows.
        if self.height(&table.head, widths, true) > (self.bottom - TOP) / 2.0 {
            return;
        }
        let before = self.pages.last().map_or(0, Vec::len);
        let parts = self.parts.len();
        self.row(0, table, &table.head, widths, true);
        self.parts.truncate(parts);
        if let Some(page) = self.pages.last_mut() {
            page.iter_mut().skip(before).for_each(|(part, _)| *part = None);
        }
    }

    pub(super) fn height(&self, row: &[String], widths: &[f64], bold: bool) -> f64 {
        self.high(row.iter().zip(widths).map(|(cell, room)| self.broken(cell, self.size, *room, bold).len()))
    }

    /// The height of a row whose cells have so many lines.
    fn high(&self, lines: impl Iterator<Item = usize>) -> f64 {
        lines.max().unwrap_or(1).max(1) as f64 * self.size * self.leading + self.size * 0.5
    }

    /// A row with a rule below it.
    pub(super) fn row(&mut self, within: usize, table: &Table, cells: &[String], widths: &[f64], bold: bool) {
        let head = std::ptr::eq(cells.as_ptr(), table.head.as_ptr());
        let lines = cells.iter().zip(widths).map(|(cell, room)| self.broken(cell, self.size, *room, bold));
        let lines: Vec<Rows> = lines.collect();
        self.need(self.high(lines.iter().map(|lines| lines.len())).min(self.bottom - TOP));
        self.lines_of_row(within, table, &lines, widths, (bold, head));
    }

    /// A row whose cells are these lines.
    pub(super) fn lines_of_row(
        &mut self,
        within: usize,
        table: &Table,
        cells: &[impl AsRef<[Rc<str>]>],
        widths: &[f64],
        (bold, head): (bool, bool),
    ) {
        let size = self.size;
        let high = self.high(cells.iter().map(|lines| lines.as_ref().len()));
        let row = self.part(Kind::Row, within);
        let top = self.y;
        let mut left = self.left;
        for ((lines, room), right) in cells.iter().zip(widths).zip(&table.right) {
            let part = self.part(if head { Kind::HeadCell } else { Kind::Cell }, row);
            self.y = top + size * 0.2;
            for line in lines.as_ref() {
                if self.y + size * self.leading > self.bottom {
                    break;
                }
                let indent = if *right { room - width(line, size, bold) } else { 0.0 };
                let at = (left + indent, self.y + size);
                self.put(Some(part), Item::Words { at, text: Rc::clone(line), size, bold });
                self.y += size * self.leading;
            }
            left += room + self.gap();
        }
        self.y = (top + high).min(self.bottom);
        let (from, to) = ((self.left, self.y), (self.left + self.width, self.y));
        self.put(None, Item::Rule { from, to, width: if head { 0.35 } else { 0.12 } });
        self.y += size * 0.15;
    }

    /// Between two cells of a row.
    pub(super) fn gap(&self) -> f64 {
        if self.width <= NARROW { GAP / 2.0 } else { GAP }
    }
}
