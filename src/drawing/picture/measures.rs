//! The measures round a picture: dimension lines in rows that never overlap, and chains of distances from one edge.

use super::SMALL;
use super::parts::{led, middle as halfway};
use super::view::{View, length};
use crate::docket::{Figure, Part, Picture, figure_text};
use crate::drawing::Place;
use crate::drawing::clear::{Area, Block, Sheet, thin};
use crate::drawing::edges::place;
use crate::drawing::letters::width;
use crate::drawing::lines::shortened;
use crate::drawing::plan::measure;
use crate::shape::Point;

/// From one row of dimension lines to the next.
const ROW: f64 = 7.5;
/// From the picture to the line of a chain, its marks, and from them to the readings.
const LINE: f64 = 3.0;
const TICK: f64 = 1.5;
const FAN: f64 = 5.0;
/// A reading of a chain takes so much at most, with what is there.
const LONGEST: f64 = 42.0;
/// From one reading of a chain to the next.
const STEP: f64 = SMALL * 1.36;

/// A side of the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    Top,
    Bottom,
    Left,
    Right,
}

impl Side {
    fn level(self) -> bool {
        matches!(self, Side::Top | Side::Bottom)
    }

    fn outward(self) -> Place {
        match self {
            Side::Top => (0.0, -1.0),
            Side::Bottom => (0.0, 1.0),
            Side::Left => (-1.0, 0.0),
            Side::Right => (1.0, 0.0),
        }
    }

    /// A place so far outside the picture, at a place along the side.
    fn place(self, page: &Area, at: f64, out: f64) -> Place {
        match self {
            Side::Top => (at, page.top - out),
            Side::Bottom => (at, page.bottom + out),
            Side::Left => (page.left - out, at),
            Side::Right => (page.right + out, at),
        }
    }
}

/// A dimension line, or a chain, and where outside the picture it is.
#[derive(Clone, Debug)]
struct Placed {
    /// Index of its part.
    part: usize,
    side: Side,
    out: f64,
}

/// What stands outside a picture.
#[derive(Clone, Debug, Default)]
pub(super) struct Outside {
    placed: Vec<Placed>,
    thick: [f64; 4],
    /// How many measures have no room.
    pub left_out: usize,
}

impl Outside {
    /// How much stands outside a side, in mm.
    pub fn thick(&self, side: Side) -> f64 {
        self.thick.get(side as usize).copied().unwrap_or(0.0)
    }

    /// Where everything stands when the picture is drawn at a scale in a room of so many mm, width and height. What
    /// would leave too little of the room for the picture is left out.
    pub fn of(picture: &Picture, bounds: &Area, scale: f64, room: (f64, f64)) -> Outside {
        let mut outside = Outside::default();
        for (part, what) in picture.parts.iter().enumerate() {
            if let Part::Scale { from, down, at } = what {
                let (x, y) = place(from);
                let middle = bounds.middle();
                let side = match (*down, if *down { x <= middle.0 } else { y <= middle.1 }) {
                    (false, true) => Side::Top,
                    (false, false) => Side::Bottom,
                    (true, true) => Side::Left,
                    (true, false) => Side::Right,
                };
                let longest =
                    at.iter().map(|(at, label)| width(&reading(at, label.as_deref()), SMALL, false));
                let thick = LINE + TICK + FAN + longest.fold(0.0, f64::max) + 1.0;
                if outside.fits(side, outside.thick(side) + thick, room) {
                    outside.add(part, side, thick);
                } else {
                    outside.left_out = outside.left_out.saturating_add(1);
                }
            }
        }
        let mut lines: Vec<(usize, Side, f64, f64)> = Vec::new();
        for (part, what) in picture.parts.iter().enumerate() {
            if let Part::Distance { ends, reads } = what
                && let Some((side, from, to)) = side_of(ends, bounds)
            {
                let words = width(&figure_text(reads), SMALL, false) + 3.0;
                let (from, to) = (from * scale, to * scale);
                let spare = ((words - (to - from)) / 2.0).max(0.0);
                lines.push((part, side, from - spare, to + spare));
            }
        }
        // The shortest are nearest to the picture.
        lines.sort_by(|one, other| (one.3 - one.2).total_cmp(&(other.3 - other.2)).then(one.0.cmp(&other.0)));
        for side in [Side::Top, Side::Bottom, Side::Left, Side::Right] {
            let mut rows: Vec<Vec<(f64, f64)>> = Vec::new();
            let base = outside.thick(side);
            for (part, _, from, to) in lines.iter().filter(|line| line.1 == side) {
                let free =
                    |row: &Vec<(f64, f64)>| row.iter().all(|(a, b)| *b + 0.5 <= *from || *to + 0.5 <= *a);
                // A line lies outside all shorter ones that it reaches over.
                let over = rows.iter().rposition(|row| !free(row)).map_or(0, |row| row.saturating_add(1));
                if over >= rows.len() {
                    if !outside.fits(side, base + ROW * (over as f64 + 1.3), room) {
                        outside.left_out = outside.left_out.saturating_add(1);
                        continue;
                    }
                    rows.push(Vec::new());
                }
                if let Some(row) = rows.get_mut(over) {
                    row.push((*from, *to));
                }
                let out = base + ROW * (over as f64 + 0.8);
                outside.placed.push(Placed { part: *part, side, out });
            }
            if !rows.is_empty() {
                outside.set(side, base + ROW * (rows.len() as f64 + 0.3));
            }
        }
        outside
    }

    /// Whether a side may be so thick.
    fn fits(&self, side: Side, thick: f64, room: (f64, f64)) -> bool {
        const MOST: f64 = 0.7;
        match side {
            Side::Top => thick + self.thick(Side::Bottom) <= MOST * room.1,
            Side::Bottom => thick + self.thick(Side::Top) <= MOST * room.1,
            Side::Left => thick + self.thick(Side::Right) <= MOST * room.0,
            Side::Right => thick + self.thick(Side::Left) <= MOST * room.0,
        }
    }

    fn set(&mut self, side: Side, thick: f64) {
        if let Some(known) = self.thick.get_mut(side as usize) {
            *known = thick;
        }
    }

    fn add(&mut self, part: usize, side: Side, thick: f64) {
        let out = self.thick(side);
        self.placed.push(Placed { part, side, out });
        self.set(side, out + thick);
    }
}

/// The side of a level or an upright distance, and its ends along that side; nothing where it is slanted.
fn side_of(ends: &(Point, Point), bounds: &Area) -> Option<(Side, f64, f64)> {
    let (a, b) = (place(&ends.0), place(&ends.1));
    let (dx, dy) = ((b.0 - a.0).abs(), (b.1 - a.1).abs());
    let middle = bounds.middle();
    if dy <= 1e-6 + dx * 1e-6 {
        let side = if a.1 < middle.1 { Side::Top } else { Side::Bottom };
        return Some((side, a.0.min(b.0), a.0.max(b.0)));
    }
    let side = if a.0 < middle.0 { Side::Left } else { Side::Right };
    (dx <= dy * 1e-6).then_some((side, a.1.min(b.1), a.1.max(b.1)))
}

/// What a chain says at a mark.
fn reading(figure: &Figure, label: Option<&str>) -> String {
    let text = figure_text(figure);
    let words = label.map_or(text.clone(), |label| format!("{label}: {text}"));
    shortened(&words, SMALL, false, LONGEST)
}

/// Draws all measures.
pub(super) fn put(picture: &Picture, view: &View, outside: &Outside, sheet: &mut Sheet) {
    for placed in &outside.placed {
        match picture.parts.get(placed.part) {
            Some(Part::Distance { ends, reads }) => {
                dimension(view, placed, view.line(ends), &figure_text(reads), sheet);
            }
            Some(Part::Scale { from, down, at }) => chain(view, placed, place(from), *down, at, sheet),
            _ => {}
        }
    }
    for part in &picture.parts {
        if let Part::Distance { ends, reads } = part
            && side_of(ends, view.bounds()).is_none()
        {
            slanted(view, view.line(ends), &figure_text(reads), sheet);
        }
    }
}

/// A dimension line outside the picture, with thin lines to what it measures.
fn dimension(view: &View, placed: &Placed, (a, b): (Place, Place), words: &str, sheet: &mut Sheet) {
    let outward = placed.side.outward();
    let along = |place: Place| if placed.side.level() { place.0 } else { place.1 };
    let out = |place: Place| placed.side.place(&view.on_page, along(place), placed.out);
    for end in [a, b] {
        let from = (end.0 + outward.0, end.1 + outward.1);
        sheet.line((from, out(end)), thin(0.13));
    }
    // Words lie along their line, so that a long line has room for long ones.
    let room = LONGEST.max((along(b) - along(a)).abs() - 6.0);
    measure(sheet, (out(a), out(b)), outward, &shortened(words, SMALL, false, room));
}

/// A dimension line of a slanted distance, beside what it measures.
fn slanted(view: &View, (a, b): (Place, Place), words: &str, sheet: &mut Sheet) {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let long = dx.hypot(dy);
    if long < 0.1 {
        return;
    }
    let middle = view.on_page.middle();
    let mut out = (dy / long, -dx / long);
    if (a.0 - middle.0) * out.0 + (a.1 - middle.1) * out.1 < 0.0 {
        out = (-out.0, -out.1);
    }
    let moved = |place: Place, by: f64| (place.0 + out.0 * by, place.1 + out.1 * by);
    let ends = (moved(a, 4.0), moved(b, 4.0));
    sheet.line(ends, thin(0.2));
    for (from, to, tip) in [(a, ends.0, ends.1), (b, ends.1, ends.0)] {
        sheet.line((moved(from, 1.0), moved(from, 4.8)), thin(0.13));
        sheet.arrow(tip, to);
    }
    let block = Block::line(shortened(words, SMALL, false, LONGEST), SMALL);
    let (wide, high) = block.extent();
    let centre = halfway(ends.0, ends.1);
    // So far out that the words are clear of the line.
    let off = (wide * out.0.abs() + high * out.1.abs()) / 2.0 + 1.0;
    for by in [off, off + 2.0, off + 4.0, -off - 5.0] {
        if sheet.try_put(&block, moved(centre, by)) {
            return;
        }
    }
    led(sheet, &block, centre);
}

/// Distances from one edge: a line with a mark at each, and the readings in their order.
fn chain(
    view: &View,
    placed: &Placed,
    from: Place,
    down: bool,
    at: &[(Figure, Option<std::rc::Rc<str>>)],
    sheet: &mut Sheet,
) {
    let side = placed.side;
    let page = &view.on_page;
    let start = view.place(from);
    let start = if down { start.1 } else { start.0 };
    let mut marks: Vec<(f64, String)> = at
        .iter()
        .filter_map(|(figure, label)| {
            Some((start + length(figure)? * view.scale, reading(figure, label.as_deref())))
        })
        .collect();
    marks.sort_by(|one, other| one.0.total_cmp(&other.0));
    let base = placed.out + LINE;
    let last = marks.last().map_or(start, |mark| mark.0);
    let first = marks.first().map_or(start, |mark| mark.0.min(start));
    sheet.line((side.place(page, first, base), side.place(page, last, base)), thin(0.2));
    sheet.line((side.place(page, start, base - 1.5), side.place(page, start, base + 1.5)), thin(0.35));
    let whole = sheet.page();
    let (least, most) = if down { (whole.top, whole.bottom) } else { (whole.left, whole.right) };
    let room = ((most - least - 4.0) / STEP) as usize;
    // Where there are more than fit, every so many has its reading.
    let every = marks.len().div_ceil(room.max(1)).max(1);
    let shown: Vec<&(f64, String)> = marks.iter().step_by(every).collect();
    let places = apart(&shown.iter().map(|mark| mark.0).collect::<Vec<_>>(), least + 2.0, most - 2.0);
    for (at, _) in &marks {
        sheet.line((side.place(page, *at, base), side.place(page, *at, base + TICK)), thin(0.2));
    }
    for ((at, words), to) in shown.into_iter().zip(places) {
        let tick = side.place(page, *at, base + TICK);
        let near = side.place(page, to, base + TICK + FAN - 0.6);
        sheet.line((tick, near), thin(0.13));
        let block = Block::line(words.clone(), SMALL).turned(!down);
        let (wide, high) = block.extent();
        let long = if down { wide } else { high };
        sheet.try_put(&block, side.place(page, to, base + TICK + FAN + long / 2.0));
    }
}

/// Places at least a step apart, in order, each as near as may be to where it belongs.
fn apart(ideal: &[f64], least: f64, most: f64) -> Vec<f64> {
    let mut places = ideal.to_vec();
    // Groups of readings that touch lie round the middle of where they belong.
    let mut groups: Vec<(f64, f64)> = Vec::new();
    for place in ideal {
        groups.push((*place, 1.0));
        while let [.., before, last] = groups.as_slice() {
            let (before, last) = (*before, *last);
            if last.0 - before.0 >= STEP * (before.1 + last.1) / 2.0 {
                break;
            }
            groups.truncate(groups.len().saturating_sub(2));
            let count = before.1 + last.1;
            groups.push(((before.0 * before.1 + last.0 * last.1) / count, count));
        }
    }
    let mut at = 0_usize;
    for (middle, count) in groups {
        let first = middle - STEP * (count - 1.0) / 2.0;
        for n in 0..count as usize {
            if let Some(place) = places.get_mut(at) {
                *place = first + STEP * n as f64;
            }
            at = at.saturating_add(1);
        }
    }
    let mut low = least;
    for place in &mut places {
        *place = place.max(low);
        low = *place + STEP;
    }
    let mut high = most;
    for place in places.iter_mut().rev() {
        *place = place.min(high);
        high = *place - STEP;
    }
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_keep_a_step_apart() {
        let places = apart(&[10.0, 10.5, 11.0, 50.0, 99.9], 0.0, 100.0);
        for pair in places.windows(2) {
            let [a, b] = pair else { continue };
            assert!(b - a > STEP - 1e-9, "{places:?}");
        }
        assert!((places.first().copied().unwrap_or(0.0) - (10.5 - STEP)).abs() < 1e-9, "{places:?}");
    }
}
