//! Pieces with a shape of their own: their rectangles, pairs laid head to tail, and what the docket says of them.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // what is wrong here is a test that fails

#[path = "common/made.rs"]
mod made;

use made::made;
use num_traits::ToPrimitive;
use proptest::prelude::*;
use scant::docket::{Docket, figure_text};
use scant::measure::{Number, Reading};
use scant::report::{Format, write};
use scant::shape::{Outline, Point, polygon};

const CLOTH: &str = "seam 0 in\nred = cloth(\"red\", width: 44 in, selvage: 1 in)\n";

/// The cut list: count, label and size of each piece.
fn pieces(lines: &str) -> Vec<(u64, String, String)> {
    let docket = made(&format!("{CLOTH}{lines}"));
    let size = |piece: &scant::docket::Piece| {
        format!("{} by {}", figure_text(&piece.across), figure_text(&piece.along))
    };
    docket.cloths[0].pieces.iter().map(|piece| (piece.count, piece.label.to_string(), size(piece))).collect()
}

fn piece(count: u64, label: &str, size: &str) -> (u64, String, String) {
    (count, label.into(), size.into())
}

#[test]
fn triangles_lie_head_to_tail() {
    // A pennant 6 in wide: two take 9 in, not 12.
    let found = pieces("cut 7 \"flag\" from red: pennant(6 in by 8 in)\n");
    assert_eq!(
        found,
        [piece(3, "pairs of flag, head to tail", "9 in by 8 in"), piece(1, "flag", "6 in by 8 in")]
    );
    // Two right triangles are a rectangle.
    let found = pieces("cut 2 \"half\" from red: right_triangle(6 in by 8 in).outline\n");
    assert_eq!(found, [piece(1, "pair of half, head to tail", "6 in by 8 in")]);
}

#[test]
fn what_may_not_turn_is_not_paired() {
    let nap = "velvet = cloth(\"velvet\", width: 44 in, selvage: 1 in, directional: yes)\n";
    let docket = made(&format!("seam 0 in\n{nap}cut 4 \"flag\" from velvet: pennant(6 in by 8 in)\n"));
    assert_eq!(docket.cloths[0].pieces.len(), 1);
    assert_eq!(pieces("cut 4 \"flag\" from red: pennant(6 in by 8 in), mirrored\n").len(), 1);
    assert_eq!(pieces("cut 1 \"flag\" from red: pennant(6 in by 8 in)\n").len(), 1);
    // A hexagon with its points at the sides saves half a side, a rectangle nothing.
    assert_eq!(
        pieces("cut 4 \"mat\" from red: rectangle(6 in by 8 in)\n")[0],
        piece(4, "mat", "6 in by 8 in")
    );
}

#[test]
fn a_piece_is_cut_with_its_allowances() {
    let lines = "cut 1 \"panel\" from red: edged(edged(10 in by 20 in, \"all\", \"seamed\", 1/2 in), \"bottom\", \"hemmed\", 2 in)\n";
    assert_eq!(pieces(lines), [piece(1, "panel", "11 in by 22 1/2 in")]);
}

fn text(docket: &Docket, format: Format) -> String {
    let mut out = Vec::new();
    write(docket, format, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

#[test]
fn the_docket_says_that_rectangles_are_planned() {
    let docket = made(&format!("{CLOTH}cut 4 \"flag\" from red: pennant(6 in by 8 in)\nplan red\n"));
    for format in [Format::Text, Format::Html, Format::Markdown] {
        let text = text(&docket, format).split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("what the plan proves is true for these rectangles"), "{format:?}");
    }
    let json: serde_json::Value = serde_json::from_str(&text(&docket, Format::Json)).unwrap();
    assert_eq!(json["cloths"][0]["pieces"][0]["outlines"].as_array().unwrap().len(), 2);
}

fn near(number: &Number) -> f64 {
    number.mid().to_big().to_f64().unwrap()
}

fn places(outline: &Outline) -> Vec<(f64, f64)> {
    outline.edges.iter().map(|edge| (near(&edge.from.across), near(&edge.from.along))).collect()
}

/// How far two convex outlines reach into each other: the least way along any direction at right angles to an edge,
/// an independent check by separating lines.
fn overlap(a: &[(f64, f64)], b: &[(f64, f64)]) -> f64 {
    let ways = |shape: &[(f64, f64)]| -> Vec<(f64, f64)> {
        let next = shape.iter().cycle().skip(1);
        let way = |(p, q): (&(f64, f64), &(f64, f64))| {
            let (x, y) = (q.0 - p.0, q.1 - p.1);
            (y / x.hypot(y), -x / x.hypot(y))
        };
        shape.iter().zip(next).map(way).collect()
    };
    let spread = |shape: &[(f64, f64)], way: (f64, f64)| {
        let far = shape.iter().map(|p| p.0 * way.0 + p.1 * way.1);
        far.fold((f64::MAX, f64::MIN), |(low, high), far| (low.min(far), high.max(far)))
    };
    let depth = |way: (f64, f64)| {
        let (first, second) = (spread(a, way), spread(b, way));
        first.1.min(second.1) - first.0.max(second.0)
    };
    ways(a).into_iter().chain(ways(b)).map(depth).fold(f64::MAX, f64::min)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, ..ProptestConfig::default() })]

    /// Two that are laid head to tail touch, and do not overlap.
    #[test]
    fn pairs_touch_and_do_not_overlap(angles in proptest::collection::btree_set(0..360i64, 3..9), wide in 500..4000i64, high in 500..4000i64) {
        let corner = |degrees: &i64| {
            let (sin, cos) = (*degrees as f64).to_radians().sin_cos();
            Point::new(Number::whole((cos * wide as f64) as i64), Number::whole((sin * high as f64) as i64))
        };
        let Ok(shape) = polygon(angles.iter().map(corner).collect(), &[], Reading::Plain) else { return Ok(()) };
        let shape = shape.to_origin().unwrap();
        let Ok(Some(apart)) = shape.head_to_tail() else { return Ok(()) };
        let other = shape.turned(&Number::whole(180)).unwrap().to_origin().unwrap();
        let other = other.moved(&Point::new(apart, Number::whole(0))).unwrap();
        let depth = overlap(&places(&shape), &places(&other));
        prop_assert!(depth.abs() < 1e-6, "{depth} {:?}", places(&shape));
    }
}
