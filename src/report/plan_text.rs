//! The cutting plans in a terminal: cloth to scale in lines of characters, its length from left to right.
#![expect(
    clippy::arithmetic_side_effects,
    reason = "places lie on a cloth whose sides are 64-bit integers, and on a page of characters"
)]

use std::io;

use super::text::Page;
use super::wrap::{width, wrap};
use crate::docket::ClothPlan;
use crate::drawing::cut_list::numbered;
use crate::drawing::labels;
use crate::drawing::view::{CutMark, Shape, View, What, breaks};
use crate::layout::{Rect, Spread};

/// Columns beside a picture: its indent, its edge, and the number of a cut at its end.
const BESIDE: usize = 6;
/// Rows: a letter is about twice as high as it is wide.
const MOST_HIGH: i128 = 20;
const LEAST_HIGH: i128 = 8;
/// So many times is a cloth broken at most.
const MOST_BREAKS: i128 = 4;

impl Page<'_> {
    /// The pictures of a cloth's plan, its cuts numbered after so many before them.
    pub(super) fn picture(&mut self, plan: &ClothPlan, before: usize) -> io::Result<()> {
        let mut before = before;
        let mut views = Vec::with_capacity(plan.plan.spreads.len());
        for spread in &plan.plan.spreads {
            views.push(View::of(plan, spread, before));
            before = before.saturating_add(numbered(plan, spread));
        }
        // One scale for a cloth, so that its pieces can be compared.
        let wide = i128::try_from(self.columns.saturating_sub(BESIDE)).unwrap_or(0);
        let scales = views.iter().filter_map(|view| Scale::of(view, wide));
        let Some(scale) = scales.min_by(Scale::compare) else { return Ok(()) };
        for (spread, view) in plan.plan.spreads.iter().zip(&views) {
            self.gap()?;
            self.hanging("    ", &format!("{}:", labels::title(plan, spread)))?;
            let mut keys = Vec::new();
            for line in drawn(plan, spread, view, &scale, &mut keys) {
                self.line(&line)?;
            }
            if view.cuts.iter().any(from_edge) {
                self.line("    The numbers above are those of the cuts in the list.")?;
            }
            keys.sort_unstable();
            keys.dedup();
            let keys: Vec<String> = keys.iter().map(|piece| labels::explained(plan, *piece)).collect();
            for line in
                wrap(&keys.join("; "), self.columns.saturating_sub(4)).iter().filter(|line| !line.is_empty())
            {
                self.line(&format!("    {line}"))?;
            }
        }
        Ok(())
    }
}

/// The lines of a picture.
fn drawn(
    plan: &ClothPlan,
    spread: &Spread,
    view: &View,
    scale: &Scale,
    keys: &mut Vec<usize>,
) -> Vec<String> {
    let (top, bottom) = match (spread.sheet, plan.folded) {
        (None, false) => ("selvage", "selvage"),
        (None, true) => ("selvages", "fold"),
        (Some(_), true) => ("edges", "fold"),
        (Some(_), false) => ("", ""),
    };
    let mut lines = Vec::new();
    let room = usize::try_from(scale.wide).unwrap_or(0).saturating_add(BESIDE);
    let across = labels::mark(&labels::on_grid(plan, spread.across));
    let mut beside = true;
    for (from, to) in breaks(view, scale.units(scale.wide)) {
        let columns = (scale.columns(to - from) + 1).min(scale.wide + 2);
        let mut canvas = Canvas::new(columns, scale.rows(view.across) + 1);
        let seen = view.shapes.iter().filter_map(|shape| Some((shape, labels::within(shape.at, from, to)?)));
        let seen: Vec<(&Shape, Cells)> =
            seen.map(|(shape, at)| (shape, scale.cells(Rect { y: at.y - from, ..at }))).collect();
        for (shape, at) in &seen {
            canvas.shape(shape, *at);
        }
        for (shape, at) in &seen {
            canvas.label(&labels::of(plan, shape), shape, *at, keys);
        }
        lines.extend(numbers(view, scale, from, to, top));
        let mut rows = canvas.lines();
        let middle = rows.len() / 2;
        match rows.get_mut(middle) {
            Some(row) if width(row) + width(&across) < room => row.push_str(&format!(" {across}")),
            _ => beside = false,
        }
        lines.extend(rows);
        if !bottom.is_empty() {
            lines.push(format!("   {bottom}"));
        }
        if to == view.along {
            let along = labels::mark(&labels::on_grid(plan, spread.along));
            let along = if from == 0 { along } else { format!("in all {along}") };
            lines.push(format!("   {}", spanned(&along, canvas.wide)));
        }
    }
    if !beside {
        lines.push(format!("   from top to bottom {across}"));
    }
    lines
}

/// A length under what is so long: `├─── 52 in ───┤`.
fn spanned(words: &str, columns: i128) -> String {
    let spare = usize::try_from(columns).unwrap_or(0).saturating_sub(width(words).saturating_add(4));
    if spare < 2 {
        return words.to_owned();
    }
    let left = "─".repeat(spare / 2);
    let right = "─".repeat(spare.saturating_sub(spare / 2));
    format!("├{left} {words} {right}┤")
}

/// Whether a cut begins at the upper edge, where its number is.
fn from_edge(cut: &CutMark) -> bool {
    cut.across && cut.off.x == 0
}

/// The numbers of the cuts that begin at the upper edge, above it, and the edge's name: before them where
/// there is room, else in a line above them.
fn numbers(view: &View, scale: &Scale, from: i128, to: i128, edge: &str) -> Vec<String> {
    let mut row = Row(vec![' '; usize::try_from(scale.wide + 8).unwrap_or(0)]);
    for cut in view.cuts.iter().filter(|cut| from_edge(cut)) {
        let at = cut.off.y + cut.off.along;
        if at > from && at <= to {
            row.write(scale.columns(at - from), &cut.number.to_string());
        }
    }
    if row.write(0, edge) {
        return vec![row.text()];
    }
    vec![format!("   {edge}"), row.text()]
}

/// A row of characters.
struct Row(Vec<char>);

impl Row {
    /// Writes words where they have room, a space before and after them; whether they have.
    fn write(&mut self, at: i128, words: &str) -> bool {
        let at = usize::try_from(at + 3).unwrap_or(0);
        let count = words.chars().count();
        let free = (at.saturating_sub(1)..=at + count).all(|n| self.0.get(n) == Some(&' '));
        if free {
            let cells = self.0.iter_mut().skip(at);
            cells.zip(words.chars()).for_each(|(cell, c)| *cell = c);
        }
        free
    }

    fn text(self) -> String {
        self.0.into_iter().collect::<String>().trim_end().to_owned()
    }
}

/// How large a grid unit is drawn: `cells` columns for `units` along the cloth.
struct Scale {
    cells: i128,
    units: i128,
    /// Columns of a picture.
    wide: i128,
}

/// A rectangle of cells: its lines are in the first and the last of them.
#[derive(Clone, Copy)]
struct Cells {
    left: i128,
    top: i128,
    right: i128,
    bottom: i128,
}

impl Scale {
    /// The one that fills a page with a view; none where there is nothing to see.
    fn of(view: &View, wide: i128) -> Option<Scale> {
        if view.across <= 0 || view.along <= 0 {
            return None;
        }
        // Rows are half as many to a length as columns.
        let whole = Scale { cells: wide, units: view.along, wide };
        let high = whole.rows(view.across);
        if high > MOST_HIGH {
            return Some(Scale { cells: 2 * MOST_HIGH, units: view.across, wide });
        }
        if high >= LEAST_HIGH {
            return Some(whole);
        }
        let low = Scale { cells: 2 * LEAST_HIGH, units: view.across, wide };
        let most = MOST_BREAKS * wide;
        let fits = low.columns(view.along) <= most;
        Some(if fits { low } else { Scale { cells: most, units: view.along, wide } })
    }

    /// Which of two draws smaller.
    fn compare(&self, other: &Scale) -> std::cmp::Ordering {
        let product = |cells: i128, units: i128| cells * units;
        product(self.cells, other.units).cmp(&product(other.cells, self.units))
    }

    fn times(&self, length: i128, cells: i128, units: i128) -> i128 {
        let (length, cells, units) = (length, cells, units.max(1));
        (2 * length * cells + units) / (2 * units)
    }

    fn columns(&self, along: i128) -> i128 {
        self.times(along, self.cells, self.units)
    }

    fn rows(&self, across: i128) -> i128 {
        self.times(across, self.cells, self.units.saturating_mul(2))
    }

    /// So much of the cloth's length is that many columns.
    fn units(&self, columns: i128) -> i128 {
        self.times(columns, self.units, self.cells).max(1)
    }

    fn cells(&self, at: Rect) -> Cells {
        Cells {
            left: self.columns(at.y),
            right: self.columns(at.y + at.along),
            top: self.rows(at.x),
            bottom: self.rows(at.x + at.across),
        }
    }
}

const UP: u8 = 1;
const DOWN: u8 = 2;
const LEFT: u8 = 4;
const RIGHT: u8 = 8;

/// Box-drawing characters by the arms they have.
const BOXES: [char; 16] = [' ', '│', '│', '│', '─', '┘', '┐', '┤', '─', '└', '┌', '├', '─', '┴', '┬', '┼'];

struct Canvas {
    wide: i128,
    high: i128,
    arms: Vec<u8>,
    /// Letters and hatching over the lines; a wide letter leaves the cell after it out.
    over: Vec<Option<char>>,
}

/// Comes after a letter that takes two columns.
const BEHIND_WIDE: char = '\0';

impl Canvas {
    fn new(wide: i128, high: i128) -> Canvas {
        let (wide, high) = (wide.max(2), high.clamp(2, 4 * MOST_HIGH));
        let cells = usize::try_from(wide * high).unwrap_or(0);
        Canvas { wide, high, arms: vec![0; cells], over: vec![None; cells] }
    }

    fn at(&self, x: i128, y: i128) -> Option<usize> {
        let inside = (0..self.wide).contains(&x) && (0..self.high).contains(&y);
        inside.then(|| usize::try_from(y * self.wide + x).ok()).flatten()
    }

    fn arm(&mut self, x: i128, y: i128, arms: u8) {
        if let Some(cell) = self.at(x, y).and_then(|at| self.arms.get_mut(at)) {
            *cell |= arms;
        }
    }

    fn put(&mut self, x: i128, y: i128, c: char) {
        if let Some(cell) = self.at(x, y).and_then(|at| self.over.get_mut(at)) {
            *cell = Some(c);
        }
    }

    fn upright(&mut self, x: i128, top: i128, bottom: i128) {
        for y in top..bottom {
            self.arm(x, y, DOWN);
            self.arm(x, y + 1, UP);
        }
    }

    fn level(&mut self, y: i128, left: i128, right: i128) {
        for x in left..right {
            self.arm(x, y, RIGHT);
            self.arm(x + 1, y, LEFT);
        }
    }

    fn shape(&mut self, shape: &Shape, at: Cells) {
        let Cells { left, top, right, bottom } = at;
        self.level(top, left, right);
        self.level(bottom, left, right);
        if let What::Gap(_) = shape.what {
            for y in top..=bottom {
                self.put(left, y, '≈');
                self.put(right, y, '≈');
            }
            return;
        }
        self.upright(left, top, bottom);
        self.upright(right, top, bottom);
        match shape.what {
            What::Pieces { columns, rows, .. } => {
                let (rows, columns) = (signed(rows), signed(columns));
                // Lines between the pieces where there is room for them.
                if rows > 1 && right - left >= 3 * rows {
                    (1..rows).for_each(|n| self.upright(left + (right - left) * n / rows, top, bottom));
                }
                if columns > 1 && bottom - top >= 2 * columns {
                    (1..columns).for_each(|n| self.level(top + (bottom - top) * n / columns, left, right));
                }
            }
            _ => {
                for y in top + 1..bottom {
                    (left + 1..right).for_each(|x| self.put(x, y, '░'));
                }
            }
        }
    }

    /// The fullest words that fit between the lines.
    fn label(&mut self, choices: &[Vec<String>], shape: &Shape, at: Cells, keys: &mut Vec<usize>) {
        let (room, high) = (at.right - at.left - 1, at.bottom - at.top - 1);
        for lines in choices {
            let widest = signed(lines.iter().map(|line| width(line) as u64).max().unwrap_or(0));
            if widest > room || signed(lines.len() as u64) > high {
                continue;
            }
            keys.extend(labels::is_key(lines, shape));
            let first = at.top + (at.bottom - at.top - signed(lines.len() as u64)) / 2;
            for (y, line) in (first.max(at.top + 1)..).zip(lines) {
                let spare = room - signed(width(line) as u64);
                self.words(at.left + 1 + spare / 2, y, line, spare >= 2);
            }
            return;
        }
    }

    fn words(&mut self, x: i128, y: i128, words: &str, airy: bool) {
        let mut x = x;
        if airy {
            self.put(x - 1, y, ' ');
        }
        for c in words.chars() {
            let wide = unicode_width::UnicodeWidthChar::width(c).unwrap_or(0);
            if wide == 0 {
                continue;
            }
            self.put(x, y, c);
            if wide == 2 {
                self.put(x + 1, y, BEHIND_WIDE);
            }
            x += signed(wide as u64);
        }
        if airy {
            self.put(x, y, ' ');
        }
    }

    fn lines(&self) -> Vec<String> {
        let cell = |x: i128, y: i128| {
            let at = self.at(x, y)?;
            let over = self.over.get(at).copied().flatten();
            over.or_else(|| BOXES.get(usize::from(*self.arms.get(at)?)).copied())
        };
        let line = |y: i128| {
            let cells = (0..self.wide).filter_map(|x| cell(x, y)).filter(|c| *c != BEHIND_WIDE);
            format!("   {}", cells.collect::<String>())
        };
        (0..self.high).map(line).collect()
    }
}

fn signed(count: u64) -> i128 {
    i128::from(count)
}
