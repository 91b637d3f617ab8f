//! The numbers of cuts, each in a ring where its cut begins.

use super::frame::moved;
use super::row::{Drawn, Row, ring};
use crate::drawing::Place;
use crate::drawing::clear::{Area, Block, Sheet, thin};
use crate::drawing::view::CutMark;

const SIZE: f64 = 2.3;
/// Rows of rings outside an edge.
const RANKS: u32 = 3;

/// A cut as it lies on the page.
struct Line {
    start: Place,
    /// One mm along the cut.
    way: Place,
    length: f64,
    /// One mm out of the cloth, where the cut begins at its edge.
    outward: Option<Place>,
}

/// Puts the numbers of all cuts that begin in this row.
pub(super) fn put(row: &Row<'_>, sheet: &mut Sheet, drawn: &mut Drawn) {
    for cut in &row.view.cuts {
        let Some(line) = line(row, cut) else { continue };
        let block = Block { bold: true, ..Block::line(cut.number.to_string(), SIZE) };
        let (wide, high) = block.extent();
        let radius = wide.hypot(high) / 2.0 + 0.35;
        if !outside(sheet, &line, &block, radius)
            && !on_line(sheet, &line, &block, radius)
            && !beside(sheet, &line, &block, radius)
        {
            drawn.unnumbered = drawn.unnumbered.saturating_add(1);
        }
    }
}

fn line(row: &Row<'_>, cut: &CutMark) -> Option<Line> {
    let (frame, off) = (&row.frame, cut.off);
    let (start, end, way, outward);
    if cut.across {
        let at = off.y.saturating_add(off.along);
        if at <= frame.from || at > frame.to {
            return None;
        }
        start = frame.place(at as f64, off.x as f64);
        end = frame.place(at as f64, off.x.saturating_add(off.across) as f64);
        way = frame.vector(0.0, 1.0);
        outward = (off.x == 0).then(|| frame.vector(0.0, -1.0));
    } else {
        let at = off.x.saturating_add(off.across);
        if off.y < frame.from || off.y >= frame.to {
            return None;
        }
        start = frame.place(off.y as f64, at as f64);
        end = frame.place(off.y.saturating_add(off.along).min(frame.to) as f64, at as f64);
        way = frame.vector(1.0, 0.0);
        outward = (off.y == 0).then(|| frame.vector(-1.0, 0.0));
    }
    Some(Line { start, way, length: (end.0 - start.0).hypot(end.1 - start.1), outward })
}

fn draw(sheet: &mut Sheet, block: &Block, middle: Place, radius: f64) {
    sheet.over(ring(middle, radius));
    sheet.put(block, middle);
    sheet.keep(Area::around(middle, (2.0 * radius, 2.0 * radius)));
}

/// Outside the edge where the cut begins, with a short line to it.
fn outside(sheet: &mut Sheet, line: &Line, block: &Block, radius: f64) -> bool {
    let Some(outward) = line.outward else { return false };
    let step = 2.0 * radius + 0.9;
    for rank in 0..RANKS {
        for shift in [0.0, 1.0, -1.0] {
            let out = moved(line.start, outward, 1.9 + radius + step * f64::from(rank));
            let middle = moved(out, (outward.1, outward.0), shift * step);
            if free(sheet, middle, radius) && sheet.passes(middle, line.start) {
                let (dx, dy) = (line.start.0 - middle.0, line.start.1 - middle.1);
                let far = dx.hypot(dy).max(radius);
                let edge = moved(middle, (dx / far, dy / far), radius);
                sheet.line((edge, line.start), thin(0.18));
                draw(sheet, block, middle, radius);
                return true;
            }
        }
    }
    false
}

fn free(sheet: &Sheet, middle: Place, radius: f64) -> bool {
    sheet.free(&Area::around(middle, (2.0 * radius, 2.0 * radius)), |_, _| false)
}

/// On the cut itself, which is left out there.
fn on_line(sheet: &mut Sheet, line: &Line, block: &Block, radius: f64) -> bool {
    let mut at = radius + 0.8;
    while at + radius < line.length {
        let middle = moved(line.start, line.way, at);
        let along = |_: Option<usize>, (a, b): (Place, Place)| {
            let off = |place: Place| {
                ((place.0 - middle.0) * line.way.1 - (place.1 - middle.1) * line.way.0).abs() < 0.05
            };
            off(a) && off(b)
        };
        if sheet.free(&Area::around(middle, (2.0 * radius, 2.0 * radius)), along) {
            draw(sheet, block, middle, radius);
            return true;
        }
        at += 2.0 * radius + 0.5;
    }
    false
}

/// Beside the beginning of the cut, with a leader to it.
fn beside(sheet: &mut Sheet, line: &Line, block: &Block, radius: f64) -> bool {
    let target = moved(line.start, line.way, (line.length / 2.0).min(1.2));
    for far in [4.5, 6.5, 9.0, 12.0] {
        for turn in 0..12 {
            let angle = f64::from(turn) * std::f64::consts::PI / 6.0;
            let way = (angle.cos(), angle.sin());
            let middle = moved(target, way, far);
            if free(sheet, middle, radius) && sheet.passes(middle, target) {
                sheet.leader(moved(middle, way, -radius), target);
                draw(sheet, block, middle, radius);
                return true;
            }
        }
    }
    false
}
