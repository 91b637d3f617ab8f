//! Whether edges cross each other, told from lines near them: nothing is measured by it.
#![expect(clippy::arithmetic_side_effects, reason = "numbers that are near enough to tell a crossing")]

use super::arc::near;
use super::outline::{Edge, Run, ends};
use super::point::Point;

type Place = (f64, f64);

fn place(point: &Point) -> Place {
    (near(&point.across), near(&point.along))
}

/// Lines near a row of edges, from place to place; the last is the first again.
pub(super) fn near_lines(edges: &[Edge]) -> Vec<Place> {
    let mut out = Vec::new();
    for (edge, _) in ends(edges) {
        let from = place(&edge.from);
        out.push(from);
        if let Run::Arc { centre, sweep } = &edge.run {
            let (centre, sweep) = (place(centre), near(sweep).to_radians());
            let count = ((sweep.abs() / 0.05).ceil() as u32).clamp(2, 200);
            let (x, y) = (from.0 - centre.0, from.1 - centre.1);
            out.extend((1..count).map(|n| {
                let (sin, cos) = (sweep * f64::from(n) / f64::from(count)).sin_cos();
                (centre.0 + x * cos - y * sin, centre.1 + x * sin + y * cos)
            }));
        }
    }
    out.extend(out.first().copied());
    out
}

fn cross(o: Place, a: Place, b: Place) -> f64 {
    (a.0 - o.0) * (b.1 - o.1) - (a.1 - o.1) * (b.0 - o.0)
}

/// Whether two lines cross, more than touching at an end.
fn cross_each_other((a, b): (Place, Place), (c, d): (Place, Place)) -> bool {
    let long = |(p, q): (Place, Place)| (q.0 - p.0).hypot(q.1 - p.1);
    let least = 1e-9 * (long((a, b)) + long((c, d))).powi(2);
    let apart = |x: f64, y: f64| (x > least && y < -least) || (x < -least && y > least);
    apart(cross(a, b, c), cross(a, b, d)) && apart(cross(c, d, a), cross(c, d, b))
}

/// Whether any two lines of these rows cross.
pub(super) fn crosses(rows: &[&[Edge]]) -> bool {
    let mut lines: Vec<(Place, Place)> = Vec::new();
    for row in rows {
        let places = near_lines(row);
        lines.extend(places.iter().copied().zip(places.iter().copied().skip(1)));
    }
    // By their leftmost places: what begins right of another's end cannot cross it.
    let left = |line: &(Place, Place)| line.0.0.min(line.1.0);
    lines.sort_by(|a, b| left(a).total_cmp(&left(b)));
    lines.iter().enumerate().any(|(at, line)| {
        let right = line.0.0.max(line.1.0);
        let others = lines.iter().skip(at + 1).take_while(|other| left(other) <= right);
        others.into_iter().any(|other| cross_each_other(*line, *other))
    })
}
