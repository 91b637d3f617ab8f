//! Whether a drawing can be read: words lie on the page, on no other words and on no line.

use scant::drawing::{Anchor, Drawing, Fill, Mark, Place, Step, Words, letters};

/// Left, top, right, bottom.
type Area = [f64; 4];

/// How far the letters of DejaVu Sans 2.37 reach above their base line and below it (its `hhea` table: 1901 and 483 of
/// 2048).
const ABOVE: f64 = 1901.0 / 2048.0;
const BELOW: f64 = 483.0 / 2048.0;

/// What is wrong with a drawing.
pub fn faults(drawing: &Drawing) -> Vec<String> {
    let mut faults = Vec::new();
    let (mut words, mut lines) = (Vec::new(), Vec::new());
    gather(&drawing.marks, &mut words, &mut lines);
    for (at, (area, text)) in words.iter().enumerate() {
        let [left, top, right, bottom] = *area;
        if left < -0.01 || top < -0.01 || right > drawing.width + 0.01 || bottom > drawing.height + 0.01 {
            faults.push(format!("{text:?} leaves the page: {area:?}"));
        }
        for (other, known) in words.iter().take(at) {
            if left < other[2] && other[0] < right && top < other[3] && other[1] < bottom {
                faults.push(format!("{text:?} lies on {known:?}"));
            }
        }
        for (a, b) in &lines {
            if crosses(area, *a, *b) {
                faults.push(format!("{text:?} at {area:?} lies on a line from {a:?} to {b:?}"));
                break;
            }
        }
    }
    for (a, b) in &lines {
        for (x, y) in [a, b] {
            let inside =
                (-0.3..=drawing.width + 0.3).contains(x) && (-0.3..=drawing.height + 0.3).contains(y);
            if !inside {
                faults.push(format!("a line leaves the page at {x}, {y}"));
            }
        }
    }
    faults
}

/// Every line of words.
pub fn texts(drawing: &Drawing) -> Vec<String> {
    let (mut words, mut lines) = (Vec::new(), Vec::new());
    gather(&drawing.marks, &mut words, &mut lines);
    words.into_iter().map(|(_, text)| text).collect()
}

fn gather(marks: &[Mark], words: &mut Vec<(Area, String)>, lines: &mut Vec<(Place, Place)>) {
    for mark in marks {
        match mark {
            Mark::Words(line) => words.push((area(line), line.text.clone())),
            Mark::Clipped(_, inner) => gather(inner, words, lines),
            // Hatching and white grounds have no line.
            Mark::Path { pen: None, fill: Fill::Hatched | Fill::White | Fill::Dotted, .. } => {}
            Mark::Path { steps, .. } => flattened(steps, lines),
        }
    }
}

fn area(words: &Words) -> Area {
    let long = letters::width(&words.text, words.size, words.bold);
    let start = match words.anchor {
        Anchor::Start => 0.0,
        Anchor::Middle => -long / 2.0,
        Anchor::End => -long,
    };
    let (above, below) = (ABOVE * words.size, BELOW * words.size);
    let (x, y) = words.at;
    if words.turned == 0.0 {
        [x + start, y - above, x + start + long, y + below]
    } else {
        assert_eq!(words.turned, -90.0);
        [x - above, y - start - long, x + below, y - start]
    }
}

fn flattened(steps: &[Step], lines: &mut Vec<(Place, Place)>) {
    let (mut begin, mut pen) = ((0.0, 0.0), (0.0, 0.0));
    for step in steps {
        match *step {
            Step::Move(to) => (begin, pen) = (to, to),
            Step::Line(to) => {
                lines.push((pen, to));
                pen = to;
            }
            Step::Close => {
                lines.push((pen, begin));
                pen = begin;
            }
            Step::Arc { radius, large, clockwise, to } => {
                let places = arc(pen, to, radius, large, clockwise);
                lines.extend(places.windows(2).map(|pair| (pair[0], pair[1])));
                pen = to;
            }
        }
    }
}

/// Places along an arc, by the conversion in appendix B.2.4 of the W3C's SVG 1.1.
pub fn arc(from: Place, to: Place, radius: f64, large: bool, clockwise: bool) -> Vec<Place> {
    let (hx, hy) = ((from.0 - to.0) / 2.0, (from.1 - to.1) / 2.0);
    let half = hx.hypot(hy);
    let radius = radius.max(half);
    let off = (radius * radius - half * half).max(0.0).sqrt() / half.max(1e-12);
    let sign = if large == clockwise { -1.0 } else { 1.0 };
    let (cx, cy) = ((from.0 + to.0) / 2.0 + sign * off * hy, (from.1 + to.1) / 2.0 - sign * off * hx);
    let first = (from.1 - cy).atan2(from.0 - cx);
    let full = 2.0 * std::f64::consts::PI;
    let last = (to.1 - cy).atan2(to.0 - cx);
    let turn = if clockwise { (last - first).rem_euclid(full) } else { -(first - last).rem_euclid(full) };
    let at = |n: u32| {
        let angle = first + turn * f64::from(n) / 32.0;
        (cx + radius * angle.cos(), cy + radius * angle.sin())
    };
    (0..=32).map(at).collect()
}

/// Whether a line goes through an area: it is halved until a part of it lies inside or none can.
fn crosses(area: &Area, a: Place, b: Place) -> bool {
    let inside =
        |(x, y): Place| x > area[0] + 0.01 && x < area[2] - 0.01 && y > area[1] + 0.01 && y < area[3] - 0.01;
    let apart = a.0.max(b.0) <= area[0] + 0.01
        || a.0.min(b.0) >= area[2] - 0.01
        || a.1.max(b.1) <= area[1] + 0.01
        || a.1.min(b.1) >= area[3] - 0.01;
    if apart {
        return false;
    }
    if inside(a) || inside(b) {
        return true;
    }
    if (a.0 - b.0).hypot(a.1 - b.1) < 0.005 {
        return false;
    }
    let middle = ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
    crosses(area, a, middle) || crosses(area, middle, b)
}
