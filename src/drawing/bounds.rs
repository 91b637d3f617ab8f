//! Where marks of a drawing are: moved, and whether anything of one is seen through a window.

use super::clear::Area;
use super::letters::width;
use super::scene::{Anchor, Mark, Place, Step, Words};

/// A mark moved by so much.
pub fn shifted(mark: &Mark, by: Place) -> Mark {
    let moved = |(x, y): Place| (x + by.0, y + by.1);
    match mark {
        Mark::Path { steps, pen, fill } => {
            let steps = steps.iter().map(|step| step.moved(moved, 1.0)).collect();
            Mark::Path { steps, pen: *pen, fill: *fill }
        }
        Mark::Words(words) => Mark::Words(Words { at: moved(words.at), ..words.clone() }),
        Mark::Clipped([x, y, wide, high], inner) => {
            let inner = inner.iter().map(|mark| shifted(mark, by)).collect();
            Mark::Clipped([x + by.0, y + by.1, *wide, *high], inner)
        }
    }
}

/// Whether a line of the mark, or its words, cross a window, its edges among it.
pub(super) fn crosses(mark: &Mark, window: &Area) -> bool {
    /// So far outside is on the edge.
    const EDGE: f64 = 1e-6;
    match mark {
        Mark::Path { steps, .. } => {
            let window = window.grown(EDGE);
            segments(steps).iter().any(|(from, to)| window.inside(*from, *to).is_some())
        }
        Mark::Words(words) => window.overlaps(&extent(words)),
        Mark::Clipped(_, inner) => inner.iter().any(|mark| crosses(mark, window)),
    }
}

/// Whether a mark, or what fills it, may be seen through a window.
pub(super) fn reaches(mark: &Mark, window: &Area) -> bool {
    match mark {
        Mark::Path { steps, .. } => {
            let [left, top, wide, high] = bounds(steps);
            window.overlaps(&Area { left, top, right: left + wide, bottom: top + high }.grown(1.0))
        }
        Mark::Words(words) => window.overlaps(&extent(words).grown(1.0)),
        Mark::Clipped([left, top, wide, high], inner) => {
            let clip = Area { left: *left, top: *top, right: left + wide, bottom: top + high };
            window.overlaps(&clip) && inner.iter().any(|mark| reaches(mark, window))
        }
    }
}

/// The rectangle that words lie in.
pub(super) fn extent(words: &Words) -> Area {
    let long = width(&words.text, words.size, words.bold);
    let (above, below) = (words.size * 0.93, words.size * 0.24);
    let (from, to) = match words.anchor {
        Anchor::Start => (0.0, long),
        Anchor::Middle => (-long / 2.0, long / 2.0),
        Anchor::End => (-long, 0.0),
    };
    let (sin, cos) = words.turned.to_radians().sin_cos();
    let turned = |(x, y): Place| (words.at.0 + x * cos - y * sin, words.at.1 + x * sin + y * cos);
    let [a, b, c, d] = [(from, -above), (to, -above), (to, below), (from, below)].map(turned);
    Area::of(a, c).joined(&Area::of(b, d))
}

/// The straight pieces of an outline; an arc as so many that none is a tenth of a mm off.
pub fn segments(steps: &[Step]) -> Vec<(Place, Place)> {
    let mut found = Vec::new();
    let (mut begin, mut here) = ((0.0, 0.0), (0.0, 0.0));
    for step in steps {
        match *step {
            Step::Move(to) => (begin, here) = (to, to),
            Step::Line(to) => {
                found.push((here, to));
                here = to;
            }
            Step::Arc { radius, large, clockwise, to } => {
                for next in arc(here, radius, large, clockwise, to) {
                    found.push((here, next));
                    here = next;
                }
            }
            Step::Close => {
                found.push((here, begin));
                here = begin;
            }
        }
    }
    found
}

/// The rectangle round an outline: left, top, width, height.
pub fn bounds(steps: &[Step]) -> [f64; 4] {
    let ends = segments(steps);
    let of = |pick: fn(Place) -> f64| {
        let all = ends.iter().flat_map(|(from, to)| [pick(*from), pick(*to)]);
        all.fold((f64::INFINITY, f64::NEG_INFINITY), |(least, most), at| (least.min(at), most.max(at)))
    };
    let ((left, right), (top, bottom)) = (of(|place| place.0), of(|place| place.1));
    if left > right { [0.0; 4] } else { [left, top, right - left, bottom - top] }
}

/// The centre of an arc, where it begins as an angle, and how far it turns, in radians; clockwise is
/// positive, for places are read downward.
pub fn centre(from: Place, radius: f64, large: bool, clockwise: bool, to: Place) -> (Place, f64, f64) {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let half = dx.hypot(dy) / 2.0;
    let radius = radius.max(half);
    let height = (radius * radius - half * half).max(0.0).sqrt();
    let (ux, uy) = if half > 0.0 { (dx / (2.0 * half), dy / (2.0 * half)) } else { (1.0, 0.0) };
    // The short way round clockwise has its centre to the right of the chord, as it is walked.
    let side = if large == clockwise { -height } else { height };
    let middle = ((from.0 + to.0) / 2.0 - uy * side, (from.1 + to.1) / 2.0 + ux * side);
    let start = (from.1 - middle.1).atan2(from.0 - middle.0);
    let end = (to.1 - middle.1).atan2(to.0 - middle.0);
    let full = std::f64::consts::TAU;
    let turn = (end - start).rem_euclid(full);
    (middle, start, if clockwise { turn } else { turn - full })
}

fn arc(from: Place, radius: f64, large: bool, clockwise: bool, to: Place) -> Vec<Place> {
    let (middle, start, turn) = centre(from, radius, large, clockwise, to);
    let radius = (from.0 - middle.0).hypot(from.1 - middle.1);
    let widest = (2.0 * (1.0 - 0.1 / radius.max(0.2)).acos()).max(0.02);
    let parts = (turn.abs() / widest).ceil().clamp(1.0, 400.0);
    let mut places: Vec<Place> = (1..parts as usize)
        .map(|n| start + turn * n as f64 / parts)
        .map(|angle| (middle.0 + radius * angle.cos(), middle.1 + radius * angle.sin()))
        .collect();
    places.push(to);
    places
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn arcs_turn_the_way_that_is_said() {
        // Half circles over and under the line from (0, 0) to (2, 0); downward is positive.
        for (clockwise, y) in [(true, -1.0), (false, 1.0)] {
            let (middle, start, turn) = centre((0.0, 0.0), 1.0, false, clockwise, (2.0, 0.0));
            assert!((middle.0 - 1.0).abs() < 1e-9 && middle.1.abs() < 1e-9);
            let half = start + turn / 2.0;
            assert!((middle.1 + half.sin() - y).abs() < 1e-9, "{clockwise}");
        }
        // A quarter of a circle round (1, 0), and the other three.
        for (large, turn) in [(false, 0.25), (true, 0.75)] {
            let found = centre((0.0, 0.0), 1.0, large, true, (1.0, -1.0));
            assert!((found.2 - turn * std::f64::consts::TAU).abs() < 1e-9, "{large}: {found:?}");
        }
    }

    #[test]
    fn a_line_is_seen_where_it_crosses() {
        let window = Area::of((10.0, 10.0), (20.0, 20.0));
        let line = |from: Place, to: Place| Mark::Path {
            steps: vec![Step::Move(from), Step::Line(to)],
            pen: None,
            fill: super::super::Fill::None,
        };
        let seen = |from, to| crosses(&line(from, to), &window);
        assert!(seen((0.0, 15.0), (30.0, 15.0)));
        assert!(seen((12.0, 12.0), (13.0, 13.0)));
        assert!(!seen((0.0, 0.0), (30.0, 5.0)));
        assert!(!seen((0.0, 21.0), (9.0, 12.0)));
        assert!(seen((5.0, 16.0), (16.0, 5.0)));
        // A line on the edge is on the sheet.
        assert!(seen((10.0, 0.0), (10.0, 30.0)));
    }
}
