//! A row of cloth: its pieces, its edges, its measures.

use std::collections::BTreeMap;

use super::frame::{Frame, moved};
use crate::docket::ClothPlan;
use crate::drawing::clear::{Area, Block, Sheet, thin};
use crate::drawing::edges;
use crate::drawing::labels::{self, mark, on_grid};
use crate::drawing::ruled;
use crate::drawing::view::{Shape, View, What};
use crate::drawing::{Fill, Mark, Pen, Place, Step, Stroke};
use crate::layout::{Rect, Spread};
use crate::measure::Number;
use crate::shape::Point;

/// Lines between the pieces of a block, each way.
const MOST_LINES: u64 = 120;
/// So many pieces of a group are drawn with their outlines.
const MOST_OUTLINES: u64 = 600;
/// Letters of measures and edges.
pub(super) const SMALL: f64 = 2.4;

/// What came of drawing the rows.
#[derive(Debug, Default)]
pub(super) struct Drawn {
    /// Pieces that have only a letter in the picture.
    pub keys: Vec<usize>,
    /// Groups of pieces without a name.
    pub unnamed: usize,
    /// Cuts without a number.
    pub unnumbered: usize,
}

/// A row of cloth and where it lies.
pub(super) struct Row<'a> {
    pub plan: &'a ClothPlan,
    pub spread: &'a Spread,
    pub view: &'a View,
    pub frame: Frame,
}

impl Row<'_> {
    /// The cloth without the numbers of its cuts and the names of its pieces.
    pub fn draw(&self, sheet: &mut Sheet) {
        self.shapes(sheet);
        self.selvages(sheet);
        self.ends(sheet);
        self.names(sheet);
        self.ruler(sheet);
        self.measures(sheet);
    }

    /// The shapes of this row, each with what is seen of it.
    pub fn seen(&self) -> impl Iterator<Item = (usize, &Shape, Rect)> {
        let (from, to) = (self.frame.from, self.frame.to);
        let seen =
            move |(at, shape): (usize, &'_ Shape)| labels::within(shape.at, from, to).map(|seen| (at, seen));
        let shapes = self.view.shapes.iter();
        shapes
            .enumerate()
            .filter_map(move |(at, shape)| seen((at, shape)).map(|(at, rect)| (at, shape, rect)))
    }

    /// Left-over cloth is hatched; the edges of pieces are cut lines, each drawn once.
    fn shapes(&self, sheet: &mut Sheet) {
        let frame = &self.frame;
        // Lines across the cloth by their place along it, lines along it by their place across.
        let mut edges: BTreeMap<(bool, i128), Vec<(i128, i128)>> = BTreeMap::new();
        let mut edge = |across: bool, at: i128, from: i128, to: i128| {
            edges.entry((across, at)).or_default().push((from, to))
        };
        for (index, shape, seen) in self.seen() {
            let (near, far) = (seen.y, seen.y.saturating_add(seen.along));
            let (left, right) = (seen.x, seen.x.saturating_add(seen.across));
            if let What::Gap(_) = shape.what {
                self.zigzag(sheet, shape.at);
                continue;
            }
            if let What::Left { .. } = shape.what {
                let steps = frame.area(seen).steps();
                sheet.under(Mark::Path { steps, pen: None, fill: Fill::Hatched });
            }
            edge(false, left, near, far);
            edge(false, right, near, far);
            for at in [shape.at.y, shape.at.y.saturating_add(shape.at.along)] {
                if (near..=far).contains(&at) {
                    edge(true, at, left, right);
                }
            }
            self.dividers(sheet, index, shape, seen);
            self.outlines(sheet, index, shape, seen);
        }
        for ((across, at), mut spans) in edges {
            spans.sort_unstable();
            let mut joined: Vec<(i128, i128)> = Vec::new();
            for (from, to) in spans {
                match joined.last_mut() {
                    Some(last) if from <= last.1 => last.1 = last.1.max(to),
                    _ => joined.push((from, to)),
                }
            }
            for (from, to) in joined {
                let place = |along: i128| match across {
                    true => frame.place(at as f64, along as f64),
                    false => frame.place(along as f64, at as f64),
                };
                sheet.line((place(from), place(to)), thin(0.35));
            }
        }
    }

    /// The lines between equal pieces.
    fn dividers(&self, sheet: &mut Sheet, index: usize, shape: &Shape, seen: Rect) {
        let (What::Pieces { columns, rows, .. } | What::Left { columns, rows }) = shape.what else { return };
        let frame = &self.frame;
        let at = shape.at;
        let (near, far) = (seen.y as f64, (seen.y.saturating_add(seen.along)) as f64);
        let (left, right) = (at.x as f64, (at.x.saturating_add(at.across)) as f64);
        if (2..=MOST_LINES).contains(&rows) {
            for n in 1..rows {
                let along = at.y as f64 + at.along as f64 * n as f64 / rows as f64;
                if along > near && along < far {
                    sheet.line_of(index, (frame.place(along, left), frame.place(along, right)), thin(0.2));
                }
            }
        }
        if (2..=MOST_LINES).contains(&columns) {
            for n in 1..columns {
                let across = left + at.across as f64 * n as f64 / columns as f64;
                sheet.line_of(index, (frame.place(near, across), frame.place(far, across)), thin(0.2));
            }
        }
    }

    /// The true outlines of pieces that are no rectangles.
    fn outlines(&self, sheet: &mut Sheet, index: usize, shape: &Shape, seen: Rect) {
        let What::Pieces { piece, turned, columns, rows } = shape.what else { return };
        let Some(piece) = self.plan.pieces.get(piece).filter(|piece| !piece.outlines.is_empty()) else {
            return;
        };
        let Some(unit) = self.plan.unit.value.as_measure() else { return };
        let unit = edges::mm(&unit.number).max(1e-9);
        if columns.saturating_mul(rows) > MOST_OUTLINES {
            return;
        }
        let corner = Point { across: Number::whole(0), along: Number::whole(0) };
        let mut lines: Vec<(Place, Place)> = Vec::new();
        for edge in piece.outlines.iter().flat_map(|outline| edges::edges(&corner, outline)) {
            lines.extend(edge.lines(|at| at));
        }
        let at = shape.at;
        let (wide, long) = (at.across as f64 / columns as f64, at.along as f64 / rows as f64);
        for cell in 0..columns.saturating_mul(rows) {
            let (column, row) = (cell.checked_rem(columns), cell.checked_div(columns));
            let left = at.x as f64 + wide * column.unwrap_or(0) as f64;
            let near = at.y as f64 + long * row.unwrap_or(0) as f64;
            // A piece is drawn with its length down the page, and the cloth's runs up: turned, never mirrored.
            let place = |(x, y): Place| {
                let (x, y) = (x / unit, y / unit);
                if turned { (near + x, left + y) } else { (near + long - y, left + x) }
            };
            for (a, b) in &lines {
                let (a, b) = (place(*a), place(*b));
                let (from, to) = (seen.y as f64, seen.y.saturating_add(seen.along) as f64);
                if a.0.min(b.0) < from - 0.01 || a.0.max(b.0) > to + 0.01 {
                    continue;
                }
                let ends = (self.frame.place(a.0, a.1), self.frame.place(b.0, b.1));
                sheet.line_of(index, ends, thin(0.35));
            }
        }
    }

    /// Both sides of a gap, where strips that repeat are left out.
    fn zigzag(&self, sheet: &mut Sheet, at: Rect) {
        const STEPS: i128 = 8;
        let frame = &self.frame;
        for end in [at.y, at.y.saturating_add(at.along)] {
            if !(frame.from..=frame.to).contains(&end) {
                continue;
            }
            let place = |n: i128| {
                let across = at.x as f64 + at.across as f64 * n as f64 / STEPS as f64;
                let way = if n == 0 || n == STEPS {
                    0.0
                } else if n % 2 == 0 {
                    -0.7
                } else {
                    0.7
                };
                moved(frame.place(end as f64, across), frame.vector(1.0, 0.0), way)
            };
            for n in 0..STEPS {
                sheet.line((place(n), place(n.saturating_add(1))), thin(0.3));
            }
        }
    }

    /// What the two long edges are.
    fn edge_names(&self) -> [&'static str; 2] {
        match (self.spread.sheet, self.plan.folded) {
            (None, false) => ["selvage", "selvage"],
            (None, true) => ["both selvages", "fold"],
            (Some(_), true) => ["two edges", "fold"],
            (Some(_), false) => ["", ""],
        }
    }

    fn selvages(&self, sheet: &mut Sheet) {
        let frame = &self.frame;
        let (from, to) = (frame.from as f64, frame.to as f64);
        for (across, name, out) in [(0.0, 0, -1.0), (frame.across as f64, 1, 1.0)] {
            let name = self.edge_names().get(name).copied().unwrap_or_default();
            let ends = (frame.place(from, across), frame.place(to, across));
            let outward = frame.vector(0.0, out);
            let beside = |by: f64| (moved(ends.0, outward, by), moved(ends.1, outward, by));
            match name {
                "fold" => {
                    let pen = Pen { width: 0.5, stroke: Stroke::DashDot };
                    sheet.line(beside(0.7), pen);
                }
                "selvage" | "both selvages" => {
                    sheet.line(ends, thin(0.5));
                    sheet.line(beside(0.9), thin(0.2));
                }
                _ => sheet.line(ends, thin(0.5)),
            }
        }
    }

    /// The ends of the cloth, or where it goes on in the next row.
    fn ends(&self, sheet: &mut Sheet) {
        let frame = &self.frame;
        for (at, end) in [(frame.from, 0), (frame.to, self.view.along)] {
            let ends = (frame.place(at as f64, 0.0), frame.place(at as f64, frame.across as f64));
            let pen = if at == end { thin(0.5) } else { Pen { width: 0.4, stroke: Stroke::Dotted } };
            sheet.line(ends, pen);
        }
    }

    /// The names of the long edges, at the far end of the first and at the near end of the second.
    fn names(&self, sheet: &mut Sheet) {
        let frame = &self.frame;
        let [first, second] = self.edge_names();
        for (name, across, out, by) in [(first, 0.0, -1.0, 1.6), (second, frame.across as f64, 1.0, 7.0)] {
            if name.is_empty() {
                continue;
            }
            let block = Block::line(name, SMALL).turned(frame.turned);
            let (wide, high) = block.extent();
            let (long, tall) = if frame.turned { (high, wide) } else { (wide, high) };
            let (end, inward) = if out < 0.0 { (frame.to, -1.0) } else { (frame.from, 1.0) };
            let edge = frame.place(end as f64, across);
            let middle = moved(edge, frame.vector(0.0, out), by + tall / 2.0);
            sheet.try_put(&block, moved(middle, frame.vector(inward, 0.0), long / 2.0));
        }
    }

    /// Marks of a ruler along the second long edge, from the near end of the cloth up to the first gap.
    fn ruler(&self, sheet: &mut Sheet) {
        let frame = &self.frame;
        let gaps = self.view.shapes.iter().filter(|shape| matches!(shape.what, What::Gap(_)));
        let true_to = gaps.map(|gap| gap.at.y).min().unwrap_or(self.view.along).min(frame.to);
        if frame.from >= true_to {
            return;
        }
        let apart = if frame.turned { 9.0 } else { 13.0 };
        let Some(marks) = ruled::marks(self.plan, apart / frame.scale, true_to) else { return };
        let outward = frame.vector(0.0, 1.0);
        let edge = |along: f64, by: f64| moved(frame.place(along, frame.across as f64), outward, by);
        sheet.line((edge(frame.from as f64, 1.8), edge(true_to as f64, 1.8)), thin(0.2));
        for (at, words) in marks {
            if at < frame.from as f64 - 0.01 || at > true_to as f64 + 0.01 {
                continue;
            }
            sheet.line((edge(at, 1.8), edge(at, 3.2)), thin(0.25));
            let block = Block::line(words, SMALL);
            let (wide, high) = block.extent();
            sheet.try_put(&block, edge(at, 3.7 + if frame.turned { wide } else { high } / 2.0));
        }
    }

    /// The cloth's width and its length.
    fn measures(&self, sheet: &mut Sheet) {
        let frame = &self.frame;
        let across = mark(&on_grid(self.plan, self.spread.across));
        let words = match (self.spread.sheet, self.plan.folded) {
            (_, true) => format!("{across} wide, folded"),
            (None, false) => format!("{across} usable width"),
            (Some(_), false) => format!("{across} wide"),
        };
        let outward = frame.vector(1.0, 0.0);
        let end = |across: f64| moved(frame.place(frame.to as f64, across), outward, 5.0);
        measure(sheet, (end(0.0), end(frame.across as f64)), outward, &words);
        let along = mark(&on_grid(self.plan, self.spread.along));
        let whole = frame.from == 0 && frame.to == self.view.along && self.view.along == self.spread.along;
        let outward = frame.vector(0.0, 1.0);
        let edge = |at: i128| moved(frame.place(at as f64, frame.across as f64), outward, 13.0);
        if whole {
            measure(sheet, (edge(frame.from), edge(frame.to)), outward, &format!("{along} long"));
        } else if frame.to == self.view.along {
            let block = Block::line(format!("in all {along} long"), SMALL).turned(frame.turned);
            let (wide, high) = block.extent();
            let long = if frame.turned { high } else { wide };
            let (start, end) = (edge(frame.from), edge(frame.to));
            let middle = moved(end, frame.vector(-1.0, 0.0), long / 2.0);
            if !sheet.try_put(&block, middle) {
                sheet.try_put(&block, moved(start, frame.vector(1.0, 0.0), long / 2.0));
            }
        }
    }
}

/// A dimension line with its words in the middle, or outside where it is too short for them.
pub(in crate::drawing) fn measure(sheet: &mut Sheet, (a, b): (Place, Place), outward: Place, words: &str) {
    let (dx, dy) = ((b.0 - a.0).abs(), (b.1 - a.1).abs());
    let length = dx.hypot(dy);
    let block = Block::line(words, SMALL).turned(dy > dx);
    let (wide, high) = block.extent();
    let (long, tall) = if dy > dx { (high, wide) } else { (wide, high) };
    let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
    let beside = moved(middle, outward, tall / 2.0 + 0.8);
    let fits = long + 6.0 <= length;
    let put = (fits && sheet.try_put(&block, middle))
        || sheet.try_put(&block, beside)
        || sheet.try_put(&block, pulled(sheet, beside, (wide, high)));
    sheet.line((a, b), thin(0.2));
    let inward = (-outward.0, -outward.1);
    for (tip, from) in [(a, b), (b, a)] {
        sheet.line((moved(tip, outward, 0.8), moved(tip, inward, 2.2)), thin(0.15));
        if length > 5.0 {
            sheet.arrow(from, tip);
        }
    }
    if !put {
        // No room beside the line either: a leader to where there is some.
        for by in [6.0, 10.0, 15.0, 22.0] {
            let flat = Block::line(words, SMALL);
            let place = pulled(sheet, moved(middle, outward, by), flat.extent());
            if sheet.try_put(&flat, place) {
                sheet.line((place, middle), thin(0.15));
                return;
            }
        }
    }
}

/// A place moved so far that words round it lie on the page.
fn pulled(sheet: &Sheet, (x, y): Place, (wide, high): (f64, f64)) -> Place {
    let page = sheet.page();
    let within = |value: f64, from: f64, to: f64| value.min(to).max(from);
    let (wide, high) = (wide / 2.0 + 0.5, high / 2.0 + 0.5);
    (within(x, page.left + wide, page.right - wide), within(y, page.top + high, page.bottom - high))
}

/// The outline of a ring.
pub(super) fn ring(middle: Place, radius: f64) -> Mark {
    let steps: Vec<Step> = crate::drawing::clear::dot(middle, radius);
    Mark::Path { steps, pen: Some(thin(0.25)), fill: Fill::White }
}

/// The part of an area within a margin.
pub(super) fn inset(area: Area) -> Area {
    area.grown(-0.7)
}
