//! The names and sizes of pieces: in them where there is room, a letter where there is little, beside them with a leader
//! where there is none.

use super::frame::moved;
use super::row::{Drawn, Row, inset};
use crate::docket::ClothPlan;
use crate::drawing::Place;
use crate::drawing::clear::{Area, Block, Sheet};
use crate::drawing::labels::{self, key, label, piece_size, thousands, times};
use crate::drawing::lines::wrapped;
use crate::drawing::view::{Shape, What};
use crate::layout::Rect;

/// Sizes of letters that are tried.
const SIZES: [f64; 3] = [3.0, 2.7, 2.4];
/// So many leaders in a row at most, and so many pieces left over that words beside a piece are tried on.
const MOST_LEADERS: usize = 80;
const MOST_LEFT: usize = 40;
/// Words over lines between pieces take no more than this share of them.
const SHARE: f64 = 0.62;
/// Over outlines that are no rectangles they take less, so that these can still be seen; they lie on none that is alone.
const HALF: f64 = 0.5;

/// What names a group of pieces.
struct Words {
    /// `12 × short sash`, or `2 of 12 short sash` where a row ends within the group.
    name: String,
    size: String,
    /// `12 × A`
    short: String,
    letter: String,
}

/// Names all pieces of this row.
pub(super) fn put(row: &Row<'_>, sheet: &mut Sheet, drawn: &mut Drawn) {
    let mut waiting = Vec::new();
    for (index, shape, seen) in row.seen() {
        let place = inset(row.frame.area(seen));
        let outlined = piece(shape).and_then(|at| row.plan.pieces.get(at));
        let outlined = outlined.is_some_and(|piece| !piece.outlines.is_empty());
        let shape_at = (index, shape, outlined);
        match shape.what {
            What::Pieces { .. } => {
                let Some(words) = words_of(row, shape, seen) else { continue };
                let full = |room: f64, size: f64| named(&words, room, size);
                if within(sheet, shape_at, place, &full) {
                    continue;
                }
                let short = |_: f64, _: f64| Some(vec![words.short.clone()]);
                let letter = |_: f64, _: f64| Some(vec![words.letter.clone()]);
                if within(sheet, shape_at, place, &short) || within(sheet, shape_at, place, &letter) {
                    drawn.keys.extend(piece(shape));
                } else {
                    waiting.push((shape, place, words));
                }
            }
            What::Left { .. } | What::Gap(_) => {
                for lines in labels::of(row.plan, shape) {
                    let words = |_: f64, _: f64| Some(lines.clone());
                    if within(sheet, shape_at, place, &words) {
                        break;
                    }
                }
            }
        }
    }
    let left: Vec<Area> = row
        .seen()
        .filter(|(_, shape, _)| matches!(shape.what, What::Left { .. }))
        .map(|(_, _, seen)| row.frame.area(seen))
        .take(MOST_LEFT)
        .collect();
    for (at, (shape, place, words)) in waiting.into_iter().enumerate() {
        if at < MOST_LEADERS && beside(row, sheet, place, &left, &words.short) {
            drawn.keys.extend(piece(shape));
        } else {
            drawn.unnamed = drawn.unnamed.saturating_add(1);
        }
    }
}

fn piece(shape: &Shape) -> Option<usize> {
    match shape.what {
        What::Pieces { piece, .. } => Some(piece),
        _ => None,
    }
}

/// What names the part of a group that a row shows; nothing where that is a sliver of a piece.
fn words_of(row: &Row<'_>, shape: &Shape, seen: Rect) -> Option<Words> {
    let plan: &ClothPlan = row.plan;
    let What::Pieces { piece, turned, columns, rows } = shape.what else { return None };
    let (label, letter) = (label(plan, piece), key(piece));
    let count = columns.saturating_mul(rows);
    let size = piece_size(plan, piece);
    let size = if turned { format!("{size}, turned") } else { size };
    let each = shape.at.along.checked_div(i128::from(rows)).unwrap_or(1).max(1);
    let whole = seen == shape.at;
    let length = row.frame.to.saturating_sub(row.frame.from);
    // Rows of the group that lie here as a whole.
    let offset = seen.y.saturating_sub(shape.at.y);
    let first = offset.saturating_add(each.saturating_sub(1)).checked_div(each).unwrap_or(0);
    let last = offset.saturating_add(seen.along).checked_div(each).unwrap_or(0);
    let here = u64::try_from(last.saturating_sub(first)).unwrap_or(0).saturating_mul(columns);
    let (name, short) = if whole {
        (times(count, &label), times(count, &letter))
    } else if here > 0 {
        let of = format!("{} of {}", thousands(here), thousands(count));
        (format!("{of} {label}"), format!("{of} {letter}"))
    } else if seen.along.saturating_mul(3) >= each || seen.along.saturating_mul(2) >= length {
        (times(columns, &format!("{label}, part")), times(columns, &letter))
    } else {
        return None;
    };
    Some(Words { name, size, short, letter })
}

/// The name and the size in lines that fit a room; nothing where they do not.
fn named(words: &Words, room: f64, size: f64) -> Option<Vec<String>> {
    let mut lines = wrapped(&words.name, size, false, room, 3);
    let whole = wrapped(&words.size, size, false, room, 1);
    if whole.iter().any(|line| line.ends_with('…')) {
        let (across, along) = words.size.split_once(" by ")?;
        lines.push(format!("{across} by"));
        lines.push(along.to_owned());
    } else {
        lines.extend(whole);
    }
    let cut = |line: &String| line.ends_with('…') && !words.name.ends_with('…');
    (!lines.iter().any(cut)).then_some(lines)
}

/// Words within a shape, level or turned, in letters as large as fit.
fn within(
    sheet: &mut Sheet,
    (index, shape, outlined): (usize, &Shape, bool),
    place: Area,
    words: &dyn Fn(f64, f64) -> Option<Vec<String>>,
) -> bool {
    if place.wide() < 1.8 || place.high() < 1.8 || place.wide().max(place.high()) < 2.9 {
        return false;
    }
    let many = |what: What| match what {
        What::Pieces { columns, rows, .. } | What::Left { columns, rows } => columns.max(rows) > 1,
        What::Gap(_) => false,
    };
    let many = many(shape.what);
    for size in SIZES {
        for turned in [false, true] {
            let room = if turned { place.high() } else { place.wide() };
            let Some(lines) = words(room - 0.6, size) else { continue };
            let block = Block { lines, size, turned, ..Block::default() };
            let (wide, high) = block.extent();
            if wide > place.wide() || high > place.high() {
                continue;
            }
            let covers = match outlined {
                true => wide > HALF * place.wide() || high > HALF * place.high(),
                false => wide > SHARE * place.wide() && high > SHARE * place.high(),
            };
            if many && covers {
                continue;
            }
            let (x, y) = place.middle();
            let (spare_x, spare_y) = ((place.wide() - wide) / 2.0, (place.high() - high) / 2.0);
            for (dx, dy) in OFFSETS {
                let middle = (x + dx * spare_x, y + dy * spare_y);
                let area = Area::around(middle, (wide, high));
                if sheet.free(&area, |owner, _| owner == Some(index) && (many || !outlined)) {
                    if matches!(shape.what, What::Left { .. }) {
                        sheet.ground(&block, middle);
                    }
                    sheet.put(&block, middle);
                    return true;
                }
            }
        }
    }
    false
}

/// Where words are tried: in the middle, then towards the sides and the corners.
const OFFSETS: [(f64, f64); 17] = [
    (0.0, 0.0),
    (0.4, 0.0),
    (-0.4, 0.0),
    (0.0, 0.4),
    (0.0, -0.4),
    (0.9, 0.0),
    (-0.9, 0.0),
    (0.0, 0.9),
    (0.0, -0.9),
    (0.4, 0.4),
    (-0.4, -0.4),
    (0.4, -0.4),
    (-0.4, 0.4),
    (0.9, 0.9),
    (-0.9, -0.9),
    (0.9, -0.9),
    (-0.9, 0.9),
];

/// A letter beside a piece, outside the cloth or on what is left over, with a leader.
fn beside(row: &Row<'_>, sheet: &mut Sheet, place: Area, left: &[Area], words: &str) -> bool {
    const SIZE: f64 = 2.4;
    let block = Block::line(words, SIZE);
    let cloth = row.frame.area(Rect {
        x: 0,
        y: row.frame.from,
        across: row.frame.across,
        along: row.frame.to.saturating_sub(row.frame.from),
    });
    // The middle of the piece, or another place on its long middle line.
    let targets = [0.5, 0.25, 0.75, 0.1, 0.9].map(|share| match place.wide() > place.high() {
        true => (place.left + place.wide() * share, place.middle().1),
        false => (place.middle().0, place.top + place.high() * share),
    });
    for target in targets {
        if led(sheet, &block, target, &cloth, left) {
            return true;
        }
    }
    false
}

fn led(sheet: &mut Sheet, block: &Block, target: Place, cloth: &Area, left: &[Area]) -> bool {
    let (wide, high) = block.extent();
    for far in 2..16 {
        for turn in 0..16 {
            let angle = f64::from(turn) * std::f64::consts::PI / 8.0;
            let way = (angle.cos(), angle.sin());
            let middle = moved(target, way, f64::from(far) * 2.5);
            let area = Area::around(middle, (wide, high));
            let outside = !cloth.grown(1.5).overlaps(&area);
            if !outside && !left.iter().any(|left| left.holds(&area)) {
                continue;
            }
            if !sheet.free(&area, |_, _| false) {
                continue;
            }
            // The leader begins at the edge of the words.
            let reach = (wide / 2.0 / way.0.abs().max(1e-6)).min(high / 2.0 / way.1.abs().max(1e-6)) + 0.5;
            let from = moved(middle, way, -reach);
            if !sheet.passes(from, target) {
                continue;
            }
            if !outside {
                sheet.ground(block, middle);
            }
            sheet.put(block, middle);
            sheet.leader(from, target);
            return true;
        }
    }
    false
}
