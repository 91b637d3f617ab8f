//! A page as it is being drawn. It knows where lines run and words lie, so that no words cross a line, a leader or
//! other words: where they may lie on a line, the line is left out there.

use std::collections::BTreeMap;

use super::letters::width;
use super::{Anchor, Fill, Mark, Pen, Place, Step, Stroke, Words};

/// How far letters reach above their base line and below it, as shares of their size.
const ABOVE: f64 = 0.93;
const BELOW: f64 = 0.24;
/// From one base line to the next.
const LINE: f64 = 1.25;
/// What is left free round words.
const CLEAR: f64 = 0.35;
/// Cells of the index are so wide and high.
const CELL: f64 = 6.0;

/// A rectangle on the page.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Area {
    pub left: f64,
    pub top: f64,
    pub right: f64,
    pub bottom: f64,
}

impl Area {
    pub fn around((x, y): Place, (wide, high): (f64, f64)) -> Area {
        Area { left: x - wide / 2.0, top: y - high / 2.0, right: x + wide / 2.0, bottom: y + high / 2.0 }
    }

    pub fn of(a: Place, b: Place) -> Area {
        Area { left: a.0.min(b.0), top: a.1.min(b.1), right: a.0.max(b.0), bottom: a.1.max(b.1) }
    }

    /// What holds all of these places that are finite.
    pub fn of_all(places: impl IntoIterator<Item = Place>) -> Option<Area> {
        let finite = places.into_iter().filter(|(x, y)| x.is_finite() && y.is_finite());
        finite.map(|at| Area::of(at, at)).reduce(|a, b| a.joined(&b))
    }

    pub fn joined(&self, other: &Area) -> Area {
        Area {
            left: self.left.min(other.left),
            top: self.top.min(other.top),
            right: self.right.max(other.right),
            bottom: self.bottom.max(other.bottom),
        }
    }

    pub fn wide(&self) -> f64 {
        self.right - self.left
    }

    pub fn high(&self) -> f64 {
        self.bottom - self.top
    }

    pub fn middle(&self) -> Place {
        ((self.left + self.right) / 2.0, (self.top + self.bottom) / 2.0)
    }

    pub fn grown(&self, by: f64) -> Area {
        Area { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    pub fn overlaps(&self, other: &Area) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    pub fn holds(&self, other: &Area) -> bool {
        self.left <= other.left
            && self.top <= other.top
            && self.right >= other.right
            && self.bottom >= other.bottom
    }

    /// The part of a line from `a` to `b` inside the area, as shares of its length (Liang and Barsky's way of clipping).
    pub fn inside(&self, a: Place, b: Place) -> Option<(f64, f64)> {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (step, from) in
            [(-dx, a.0 - self.left), (dx, self.right - a.0), (-dy, a.1 - self.top), (dy, self.bottom - a.1)]
        {
            if step == 0.0 {
                if from <= 0.0 {
                    return None;
                }
            } else if step < 0.0 {
                enters = enters.max(from / step);
            } else {
                leaves = leaves.min(from / step);
            }
        }
        (enters < leaves).then_some((enters, leaves))
    }

    pub fn steps(&self) -> Vec<Step> {
        let (left, top, right, bottom) = (self.left, self.top, self.right, self.bottom);
        Step::closed(&[(left, top), (right, top), (right, bottom), (left, bottom)])
    }
}

/// Lines of words below each other round one place.
#[derive(Clone, Debug, Default)]
pub(super) struct Block {
    pub lines: Vec<String>,
    pub size: f64,
    pub bold: bool,
    /// Whether they read from the bottom to the top of the page.
    pub turned: bool,
    /// Whether a white edge keeps them apart from lines below.
    pub halo: bool,
}

impl Block {
    pub fn line(words: impl Into<String>, size: f64) -> Block {
        Block { lines: vec![words.into()], size, ..Block::default() }
    }

    pub fn turned(self, turned: bool) -> Block {
        Block { turned, ..self }
    }

    /// Its width and height on the page.
    pub fn extent(&self) -> (f64, f64) {
        let widths = self.lines.iter().map(|line| width(line, self.size, self.bold));
        let long = widths.fold(0.0, f64::max);
        let count = self.lines.len() as f64;
        let tall = self.size * ((count - 1.0).max(0.0) * LINE + ABOVE + BELOW);
        if self.turned { (tall, long) } else { (long, tall) }
    }
}

#[derive(Clone, Copy, Debug)]
struct Line {
    ends: (Place, Place),
    pen: Pen,
    /// The shape whose words may lie on it; all others keep off it.
    owner: Option<usize>,
    /// Whether it is drawn here, not as part of an outline.
    drawn: bool,
}

/// Which things are near a place.
#[derive(Debug)]
struct Index {
    columns: usize,
    rows: usize,
    cells: Vec<Vec<usize>>,
}

impl Index {
    fn new((wide, high): (f64, f64)) -> Index {
        let cells = |length: f64| ((length.clamp(1.0, 2_000.0) / CELL).ceil() as usize).max(1);
        let (columns, rows) = (cells(wide), cells(high));
        Index { columns, rows, cells: vec![Vec::new(); columns.saturating_mul(rows)] }
    }

    fn cells_of(&self, area: &Area) -> impl Iterator<Item = usize> + use<> {
        let at = |value: f64, most: usize| ((value / CELL).max(0.0) as usize).min(most.saturating_sub(1));
        let (columns, rows) = (self.columns, self.rows);
        let across = at(area.left, columns)..=at(area.right, columns);
        let down = at(area.top, rows)..=at(area.bottom, rows);
        down.flat_map(move |row| {
            across.clone().map(move |column| row.saturating_mul(columns).saturating_add(column))
        })
    }

    fn add(&mut self, area: &Area, thing: usize) {
        for cell in self.cells_of(area) {
            if let Some(cell) = self.cells.get_mut(cell) {
                cell.push(thing);
            }
        }
    }

    fn near(&self, area: Area) -> impl Iterator<Item = usize> {
        self.cells_of(&area).filter_map(|cell| self.cells.get(cell)).flatten().copied()
    }
}

/// A page as it is being drawn.
#[derive(Debug)]
pub(super) struct Sheet {
    page: Area,
    under: Vec<Mark>,
    over: Vec<Mark>,
    lines: Vec<Line>,
    words: Vec<Area>,
    line_index: Index,
    word_index: Index,
}

impl Sheet {
    /// A page of so many mm, width and height.
    pub fn new(room: (f64, f64)) -> Sheet {
        Sheet {
            page: Area { left: 0.0, top: 0.0, right: room.0, bottom: room.1 },
            under: Vec::new(),
            over: Vec::new(),
            lines: Vec::new(),
            words: Vec::new(),
            line_index: Index::new(room),
            word_index: Index::new(room),
        }
    }

    /// The part of the page that words may lie in.
    pub fn page(&self) -> Area {
        self.page
    }

    /// Words that look for a place lie in this part of the page from now on.
    pub fn within(&mut self, part: Area) {
        self.page = part;
    }

    /// What lies below all lines.
    pub fn under(&mut self, mark: Mark) {
        self.under.push(mark);
    }

    /// What lies above all lines; words go another way.
    pub fn over(&mut self, mark: Mark) {
        self.over.push(mark);
    }

    /// A line that words keep off.
    pub fn line(&mut self, ends: (Place, Place), pen: Pen) {
        self.track(Line { ends, pen, owner: None, drawn: true });
    }

    /// A line that the words of a shape may interrupt.
    pub fn line_of(&mut self, shape: usize, ends: (Place, Place), pen: Pen) {
        self.track(Line { ends, pen, owner: Some(shape), drawn: true });
    }

    /// A line that is part of an outline drawn elsewhere.
    pub fn shy(&mut self, ends: (Place, Place)) {
        self.track(Line { ends, pen: thin(0.0), owner: None, drawn: false });
    }

    fn track(&mut self, line: Line) {
        let area = Area::of(line.ends.0, line.ends.1);
        if [area.left, area.top, area.right, area.bottom].iter().all(|value| value.is_finite()) {
            self.line_index.add(&area, self.lines.len());
            self.lines.push(line);
        }
    }

    /// Whether words may lie in an area: on the page, off other words and off lines that they may not interrupt.
    pub fn free(&self, area: &Area, may: impl Fn(Option<usize>, (Place, Place)) -> bool) -> bool {
        let area = area.grown(CLEAR);
        let lines = self.line_index.near(area).filter_map(|at| self.lines.get(at));
        let mut kept = lines.filter(|line| !may(line.owner, line.ends));
        let crossed = |line: &Line| area.inside(line.ends.0, line.ends.1).is_some();
        self.page.holds(&area) && !self.worded(&area) && !kept.any(crossed)
    }

    /// Whether words lie in an area.
    pub fn worded(&self, area: &Area) -> bool {
        self.word_index.near(*area).filter_map(|at| self.words.get(at)).any(|taken| taken.overlaps(area))
    }

    /// Whether a line from `a` to `b` keeps off all words.
    pub fn passes(&self, a: Place, b: Place) -> bool {
        let near = self.word_index.near(Area::of(a, b).grown(CLEAR));
        near.filter_map(|at| self.words.get(at)).all(|taken| taken.grown(CLEAR).inside(a, b).is_none())
    }

    /// Keeps an area from words.
    pub fn keep(&mut self, area: Area) {
        self.word_index.add(&area, self.words.len());
        self.words.push(area);
    }

    /// Puts words round a place, whatever is there.
    pub fn put(&mut self, block: &Block, middle: Place) {
        let area = Area::around(middle, block.extent());
        for (at, text) in block.lines.iter().enumerate() {
            let base = block.size * (ABOVE + LINE * at as f64);
            let (at, turned) = match block.turned {
                false => ((middle.0, area.top + base), 0.0),
                true => ((area.left + base, middle.1), -90.0),
            };
            let Block { size, bold, halo, .. } = *block;
            let (text, anchor) = (text.clone(), Anchor::Middle);
            self.over.push(Mark::Words(Words { at, text, size, anchor, turned, halo, bold }));
        }
        self.keep(area);
    }

    /// A white ground for words, over hatching and dots.
    pub fn ground(&mut self, block: &Block, middle: Place) {
        let steps = Area::around(middle, block.extent()).grown(CLEAR).steps();
        self.under.push(Mark::Path { steps, pen: None, fill: Fill::White });
    }

    /// Puts words where they are free to lie; tells whether they were put.
    pub fn try_put(&mut self, block: &Block, middle: Place) -> bool {
        let free = self.free(&Area::around(middle, block.extent()), |_, _| false);
        if free {
            self.put(block, middle);
        }
        free
    }

    /// Words from a place on the base line to the right.
    pub fn write(&mut self, (x, y): Place, words: &str, size: f64, bold: bool) {
        let long = width(words, size, bold);
        self.keep(Area { left: x, top: y - ABOVE * size, right: x + long, bottom: y + BELOW * size });
        let text = words.to_owned();
        self.over.push(Mark::Words(Words { at: (x, y), text, size, bold, ..Words::default() }));
    }

    /// An arrow's head at `tip`, seen from `from`; where words lie, a short slanted line in its place.
    pub fn arrow(&mut self, from: Place, tip: Place) {
        let [a, b] = barbs(from, tip);
        if self.worded(&Area::of(a, b).grown(0.01).joined(&Area::of(tip, tip))) {
            let ends = ((tip.0 - 0.7, tip.1 + 0.7), (tip.0 + 0.7, tip.1 - 0.7));
            return self.line(ends, thin(0.35));
        }
        for ends in [(a, b), (tip, a), (tip, b)] {
            self.shy(ends);
        }
        self.over.push(Mark::Path { steps: Step::closed(&[tip, a, b]), pen: None, fill: Fill::Black });
    }

    /// A leader from words to a dot in what they name.
    pub fn leader(&mut self, from: Place, to: Place) {
        self.line((from, to), thin(0.18));
        const DOT: f64 = 0.34;
        for (dx, dy) in [(DOT, 0.0), (0.0, DOT)] {
            self.shy(((to.0 - dx, to.1 - dy), (to.0 + dx, to.1 + dy)));
        }
        self.over.push(Mark::Path { steps: dot(to, DOT), pen: None, fill: Fill::Black });
    }

    /// All that is drawn, each line left out where words lie on it.
    pub fn finish(self) -> Vec<Mark> {
        let mut marks = self.under;
        let mut paths: BTreeMap<(u64, u8), (Pen, Vec<Step>)> = BTreeMap::new();
        for line in self.lines.iter().filter(|line| line.drawn) {
            let (a, b) = line.ends;
            let near = self.word_index.near(Area::of(a, b).grown(CLEAR)).filter_map(|at| self.words.get(at));
            let mut holes: Vec<(f64, f64)> =
                near.filter_map(|taken| taken.grown(CLEAR).inside(a, b)).collect();
            holes.sort_by(|one, other| one.0.total_cmp(&other.0));
            let key = ((line.pen.width * 1000.0) as u64, line.pen.stroke as u8);
            let (_, steps) = paths.entry(key).or_insert_with(|| (line.pen, Vec::new()));
            let at = |share: f64| (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
            let mut from = 0.0;
            for (enters, leaves) in holes.into_iter().chain([(1.0, 1.0)]) {
                if enters > from {
                    steps.extend([Step::Move(at(from)), Step::Line(at(enters))]);
                }
                from = from.max(leaves);
            }
        }
        let drawn = paths.into_values().filter(|(_, steps)| !steps.is_empty());
        marks.extend(drawn.map(|(pen, steps)| Mark::Path { steps, pen: Some(pen), fill: Fill::None }));
        marks.extend(self.over);
        marks
    }
}

/// A pen for continuous lines.
pub(super) fn thin(width: f64) -> Pen {
    Pen { width, stroke: Stroke::Solid }
}

/// A round dot.
pub(super) fn dot((x, y): Place, radius: f64) -> Vec<Step> {
    let half = |to: Place| Step::Arc { radius, large: false, clockwise: true, to };
    vec![Step::Move((x - radius, y)), half((x + radius, y)), half((x - radius, y)), Step::Close]
}

/// The ends of an arrow's head at `tip`, seen from `from`.
fn barbs(from: Place, tip: Place) -> [Place; 2] {
    let (dx, dy) = (tip.0 - from.0, tip.1 - from.1);
    let long = dx.hypot(dy).max(1e-9);
    let (ux, uy) = (dx / long, dy / long);
    let back = |side: f64| (tip.0 - ux * 2.2 - uy * side, tip.1 - uy * 2.2 + ux * side);
    [back(0.5), back(-0.5)]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_left_out_where_words_lie_on_it() {
        let mut sheet = Sheet::new((100.0, 100.0));
        sheet.line_of(1, ((0.0, 50.0), (100.0, 50.0)), thin(0.2));
        let block = Block::line("words", 3.0);
        let area = Area::around((50.0, 50.0), block.extent());
        assert!(!sheet.free(&area, |_, _| false));
        assert!(sheet.free(&area, |owner, _| owner == Some(1)));
        sheet.put(&block, (50.0, 50.0));
        let marks = sheet.finish();
        let Some(Mark::Path { steps, .. }) = marks.first() else { return assert!(!marks.is_empty()) };
        assert_eq!(steps.len(), 4);
        for pair in steps.chunks(2) {
            let [Step::Move(a), Step::Line(b)] = pair else { return assert_eq!(pair.len(), 0) };
            assert!(area.inside(*a, *b).is_none(), "{a:?} {b:?}");
        }
    }
}
