//! One sheet of a true-size drawing: what it shows, the marks that meet those of its neighbours, and its foot.

use super::{At, MARGIN, OVERLAP, THIN, Tiling, letters, rectangle, words_at};
use crate::drawing::bounds::{reaches, shifted};
use crate::drawing::lines::{broken, shortened};
use crate::drawing::scene::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Stroke, Words};

/// Sides of the test squares in mm: 2 in and 5 cm.
const INCHES: f64 = 50.8;
const CENTIMETRES: f64 = 50.0;
/// Sizes of letters in mm.
const SMALL: f64 = 2.6;
const LARGE: f64 = 4.2;
/// From one line of words at the foot to the next.
const ROW: f64 = SMALL * 1.35;
/// The line before each word of the legend, and from one to the next, down and across.
const SAMPLE: f64 = 20.0;
const LEGEND: f64 = 3.6;

/// What every sheet and the page in front of them say.
pub const SCALE: &str = "Print at 100 %, without fitting to the page; measure the test square first.";
const JOIN: &str = "Cut off the margin at each edge that says so. Lay that edge on its neighbour's dotted line, so that \
                    the halves of the diamonds meet, and glue.";

/// Where a neighbour's edge is laid.
const DOTTED: Pen = Pen { width: 0.18, stroke: Stroke::Dotted };

impl Tiling<'_> {
    pub(super) fn sheet(&self, at: At, (page, pages): (usize, usize)) -> Drawing {
        let (width, height) = self.paper.size();
        let (x, y) = self.origin(at);
        let window = [MARGIN, MARGIN, self.window.0, self.window.1];
        let seen = self.shows(at).grown(1.0);
        let shown = self.drawing.marks.iter().filter(|mark| reaches(mark, &seen));
        let shown = shown.map(|mark| shifted(mark, (MARGIN - x, MARGIN - y)));
        let mut marks = vec![Mark::Clipped(window, shown.collect())];
        self.joins(at, &mut marks);
        self.foot(at, (page, pages), &mut marks);
        let title = format!("{}: sheet {}", self.drawing.title, self.name(at));
        let description = format!(
            "{title}, row {}, column {}, page {page} of {pages}. It shows its part at true size.",
            letters(at.row),
            at.column.saturating_add(1),
        );
        Drawing { width, height, title, description, list: None, marks }
    }

    /// The edges that lie on a neighbour, the lines on which a neighbour lies, and marks that meet.
    fn joins(&self, at: At, marks: &mut Vec<Mark>) {
        let [left, top, wide, high] = [MARGIN, MARGIN, self.window.0, self.window.1];
        marks.push(rectangle([left, top, wide, high], Fill::None));
        let (before, after) = (|n: usize| n.checked_sub(1), |n: usize| n.checked_add(1));
        let here = (Some(at.row), Some(at.column));
        let sides = [
            (self.has(here.0, before(at.column)), true, left, true),
            (self.has(here.0, after(at.column)), true, left + wide - OVERLAP, false),
            (self.has(before(at.row), here.1), false, top, true),
            (self.has(after(at.row), here.1), false, top + high - OVERLAP, false),
        ];
        for (neighbour, upright, join, cut_there) in sides {
            let Some(neighbour) = neighbour else { continue };
            // A place so far from the line where both meet, and so far along it.
            let place = |off: f64, share: f64| match upright {
                true => (join + off, top + share * high),
                false => (left + share * wide, join + off),
            };
            if !cut_there {
                marks.push(Mark::line(place(0.0, 0.0), place(0.0, 1.0), DOTTED));
            }
            marks.extend([0.2, 0.5, 0.8].map(|share| diamond(place(0.0, share), upright, cut_there)));
            let name = self.name(neighbour);
            let (text, off) = match cut_there {
                true => (format!("cut here, lay on the dotted line of {name}"), 1.0 + SMALL),
                false => (format!("{name} goes here"), OVERLAP / 2.0 + SMALL * 0.35),
            };
            let (at, size, anchor) = (place(off, 0.35), SMALL, Anchor::Middle);
            let turned = if upright { -90.0 } else { 0.0 };
            marks.push(Mark::Words(Words { at, text, size, anchor, turned, halo: true, bold: false }));
        }
    }

    /// Test squares, what it is, how it is put together.
    fn foot(&self, at: At, (page, pages): (usize, usize), marks: &mut Vec<Mark>) {
        let (width, height) = self.paper.size();
        let top = height - MARGIN - super::BAND + 4.0;
        let mut left = MARGIN;
        for (side, words) in [(INCHES, "2 in"), (CENTIMETRES, "5 cm")] {
            marks.push(rectangle([left, top, side, side], Fill::None));
            for (n, line) in ["test square", words, "measure each side"].iter().enumerate() {
                let size = if n == 1 { LARGE } else { SMALL };
                let y = top + side / 2.0 + (n as f64 - 0.8) * 5.0;
                marks.push(words_at((left + side / 2.0, y), line, size, (Anchor::Middle, n == 1)));
            }
            left += side + 3.0;
        }
        left += 2.0;
        let room = width - MARGIN - left;
        let (start, base) = ((Anchor::Start, true), top + LARGE * 0.8);
        marks.push(words_at((left, base), &format!("sheet {}", self.name(at)), LARGE, start));
        let number = format!("page {page} of {pages}");
        marks.push(words_at((left + room, base), &number, SMALL, (Anchor::End, false)));
        let names = std::iter::once(&self.imprint.recipe).chain(&self.imprint.lines);
        let names = names.take(4).map(|line| (shortened(line, SMALL, false, room), false));
        let fitted = |words: &str, bold: bool| {
            let lines = broken(words, SMALL, room, bold);
            lines.into_iter().map(move |line| (line, bold))
        };
        let join = if self.kept.len() > 1 { JOIN } else { "" };
        let mut y = base + SMALL * 1.8;
        for (line, bold) in names.chain(fitted(SCALE, true)).chain(fitted(join, false)) {
            marks.push(words_at((left, y), &line, SMALL, (Anchor::Start, bold)));
            y += ROW;
        }
        let rest = [left, y - SMALL * 0.6, room, height - MARGIN - y + SMALL * 0.6];
        if !self.imprint.legend.is_empty() {
            self.legend(rest, marks);
        } else if self.kept.len() > 1 {
            self.map(at, rest, marks);
        }
    }

    /// The kind of line of each size, as many as there is room for; the page in front shows all.
    fn legend(&self, [left, top, wide, high]: [f64; 4], marks: &mut Vec<Mark>) {
        let rows = ((high / LEGEND) as usize).max(1);
        let columns = self.imprint.legend.len().div_ceil(rows).clamp(1, 2);
        let room = wide / columns as f64;
        for (n, (size, stroke)) in self.imprint.legend.iter().take(rows.saturating_mul(columns)).enumerate() {
            let (column, row) = (n.checked_div(rows).unwrap_or(0), n.checked_rem(rows).unwrap_or(0));
            let (x, y) = (left + room * column as f64, top + LEGEND * (row as f64 + 0.6));
            let pen = Pen { width: 0.35, stroke: *stroke };
            marks.push(Mark::line((x, y), (x + SAMPLE, y), pen));
            let words = shortened(size, SMALL, false, room - SAMPLE - 3.0);
            marks.push(words_at((x + SAMPLE + 1.5, y + SMALL * 0.35), &words, SMALL, (Anchor::Start, false)));
        }
    }

    /// All sheets, small; this one is black.
    fn map(&self, this: At, [left, top, wide, high]: [f64; 4], marks: &mut Vec<Mark>) {
        let cell = (wide / self.columns as f64).min(high / self.rows as f64).min(5.0);
        if cell < 0.6 {
            return;
        }
        for at in &self.kept {
            let place = [left + at.column as f64 * cell, top + at.row as f64 * cell, cell, cell];
            let fill = if *at == this { Fill::Black } else { Fill::None };
            marks.push(rectangle(place, fill));
        }
    }
}

/// A mark on the line where two sheets meet; the half of it on the sheet that is cut there.
fn diamond((x, y): Place, upright: bool, half: bool) -> Mark {
    const REACH: f64 = 3.5;
    let (up, right, down, left) = ((x, y - REACH), (x + REACH, y), (x, y + REACH), (x - REACH, y));
    let steps = match (upright, half) {
        (_, false) => Step::closed(&[up, right, down, left]),
        (true, true) => Step::closed(&[up, right, down]),
        (false, true) => Step::closed(&[left, down, right]),
    };
    Mark::Path { steps, pen: Some(THIN), fill: Fill::None }
}
