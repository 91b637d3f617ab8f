//! Shapes: against shapely, by the laws of turning and scaling, and what their cut outlines keep.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // what is wrong here is a test that fails

use proptest::prelude::*;
use scant::docket::FigureValue;
use scant::eval::limits::Limits;
use scant::fault;
use scant::measure::{Number, Reading};
use scant::recipe::used::NoFiles;
use scant::session::entry::{Answer, Session};
use scant::shape::{Finish, Outline, Point, polygon};

/// The lower and the upper end of a number, in base units.
fn ends(number: &Number) -> (f64, f64) {
    let near = |exact: &scant::measure::Exact| num_traits::ToPrimitive::to_f64(&exact.to_big()).unwrap();
    (near(number.lower()), near(number.upper()))
}

/// The ends of what an entry gives, in base units.
fn entered(entry: &str) -> (f64, f64) {
    let mut session = Session::new(Limits::default());
    let entered = session.enter(entry, &NoFiles);
    assert!(entered.faults.is_empty(), "{}", fault::plain(&entered.faults, &session.files));
    match entered.answers.iter().rfind(|said| matches!(said, Answer::Value(_))) {
        Some(Answer::Value(figure)) => match &figure.value {
            FigureValue::Measure(quantity) => ends(&quantity.number),
            other => panic!("`{entry}` gives {other:?}"),
        },
        _ => panic!("`{entry}` gives nothing"),
    }
}

const INCH: f64 = 127.0;

#[test]
fn shapes_measure_what_shapely_says() {
    let mut rows = csv::Reader::from_path("tests/outside/shapes.csv").unwrap();
    let mut checked = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let shape = format!("turned({}, {} deg)", &row[0], &row[1]);
        let mut check = |part: &str, column: usize, unit: f64| {
            if row[column].is_empty() {
                return;
            }
            let wanted: f64 = row[column].parse().unwrap();
            let (low, high) = entered(part);
            // Shapely draws arcs with straight parts.
            let off = 2e-6 * wanted.abs().max(1.0);
            assert!(
                low / unit - off <= wanted && wanted <= high / unit + off,
                "{part}: {wanted}, not {low} to {high}"
            );
            assert!((high - low) / unit < 1e-6, "{part} is known to {}", (high - low) / unit);
            checked += 1;
        };
        check(&format!("({shape}).area"), 2, INCH * INCH);
        check(&format!("({shape}).perimeter"), 3, INCH);
        check(&format!("({shape}).across"), 4, INCH);
        check(&format!("({shape}).along"), 5, INCH);
        let cut = format!("edged({shape}, \"all\", \"seamed\", {} in).cut", &row[6]);
        check(&format!("{cut}.area"), 7, INCH * INCH);
        check(&format!("{cut}.across"), 8, INCH);
    }
    assert!(checked >= 550, "{checked}");
}

fn place((across, along): (i64, i64)) -> Point {
    Point::new(Number::whole(across), Number::whole(along))
}

/// A polygon about a middle, with a corner in each direction: it never crosses itself.
fn about() -> impl Strategy<Value = Vec<(i64, i64)>> {
    proptest::collection::vec(400..4000i64, 5..12).prop_map(|far| {
        let count = far.len() as f64;
        let corner = |(at, far): (usize, &i64)| {
            let (sin, cos) = (std::f64::consts::TAU * at as f64 / count).sin_cos();
            ((*far as f64 * cos).round() as i64, (*far as f64 * sin).round() as i64)
        };
        far.iter().enumerate().map(corner).collect()
    })
}

fn made(places: &[(i64, i64)]) -> Outline {
    polygon(places.iter().copied().map(place).collect(), &[], Reading::Plain).unwrap()
}

fn meets(a: &Number, b: &Number) -> bool {
    let ((low, high), (least, most)) = (ends(a), ends(b));
    let off = 1e-9 * high.abs().max(1.0);
    low - off <= most && least - off <= high
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn turning_moving_and_mirroring_keep_area_and_edges(places in about(), degrees in -400..400i64, across in -900..900i64) {
        let outline = made(&places);
        let (area, round) = (outline.area().unwrap(), outline.perimeter().unwrap());
        // The area of a polygon with whole corners is exact, twice it a whole number.
        prop_assert!(area.exact().is_some());
        let changed = [
            outline.turned(&Number::whole(degrees)).unwrap(),
            outline.moved(&place((across, -across))).unwrap(),
            outline.mirrored().unwrap(),
        ];
        for other in &changed {
            prop_assert!(meets(&other.area().unwrap(), &area));
            prop_assert!(meets(&other.perimeter().unwrap(), &round));
        }
        let back = changed[2].mirrored().unwrap();
        prop_assert!(back.area().unwrap().exact() == area.exact());
        // A full turn about comes to the same places.
        let about = outline.turned(&Number::whole(360)).unwrap();
        for (a, b) in outline.edges.iter().zip(&about.edges) {
            prop_assert!(meets(&a.from.across, &b.from.across) && meets(&a.from.along, &b.from.along));
        }
    }

    #[test]
    fn scaling_goes_with_the_square(places in about(), times in 2..9i64) {
        let larger: Vec<(i64, i64)> = places.iter().map(|(x, y)| (x * times, y * times)).collect();
        let (small, large) = (made(&places), made(&larger));
        let square = Number::whole(times * times);
        let (wanted, area) = (small.area().unwrap().mul(&square).unwrap(), large.area().unwrap());
        prop_assert_eq!(wanted.exact(), area.exact());
        let wanted = small.perimeter().unwrap().mul(&Number::whole(times)).unwrap();
        prop_assert!(meets(&wanted, &large.perimeter().unwrap()));
    }

    /// A cut outline is outside the seam line by the allowance: each of its corners is at least as far from every
    /// seam, on the outer side of the edges beside it, and no allowance gives the shape itself.
    #[test]
    fn a_cut_outline_is_outside_by_its_allowance(places in about(), allowance in 1..60i64) {
        let mut outline = made(&places);
        prop_assert_eq!(outline.cut().unwrap().edges.len(), outline.edges.len());
        for at in 0..outline.edges.len() {
            outline.finish(at, Finish::Seamed, &Number::whole(allowance));
        }
        let Ok(cut) = outline.cut() else { return Ok(()) };
        let (before, after) = (outline.area().unwrap(), cut.area().unwrap());
        let least = outline.perimeter().unwrap().mul(&Number::whole(allowance)).unwrap();
        // Hollow corners take off, sharp ones add: the border is within a quarter of edge times allowance of it.
        let border = ends(&after).0 - ends(&before).1;
        prop_assert!(border > 0.0);
        prop_assert!((border / ends(&least).0 - 1.0).abs() < 0.75, "{border} beside {:?}", ends(&least));
        let near = |point: &Point| (ends(&point.across).0, ends(&point.along).0);
        let seams: Vec<((f64, f64), (f64, f64))> = outline
            .edges
            .iter()
            .zip(outline.edges.iter().cycle().skip(1))
            .map(|(a, b)| (near(&a.from), near(&b.from)))
            .collect();
        for edge in &cut.edges {
            let far = seams.iter().map(|(a, b)| distance(near(&edge.from), *a, *b)).fold(f64::MAX, f64::min);
            prop_assert!(far > allowance as f64 - 1e-6, "{far} from a seam, not {allowance}");
        }
    }
}

/// How far a place is from a line between two others.
fn distance(p: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let (x, y) = (b.0 - a.0, b.1 - a.1);
    let share = (((p.0 - a.0) * x + (p.1 - a.1) * y) / (x * x + y * y)).clamp(0.0, 1.0);
    (p.0 - a.0 - share * x).hypot(p.1 - a.1 - share * y)
}

#[test]
fn allowances_differ_by_edge_and_corners_are_those_of_the_trade() {
    let size = |entry: &str| {
        (entered(&format!("{entry}.across")).1 / INCH, entered(&format!("{entry}.along")).1 / INCH)
    };
    // A hem at the bottom, seams at the sides, the top on the fold.
    let panel = "edged(edged(edged(4 in by 6 in, [\"left\", \"right\"], \"seamed\", 1/2 in), \"bottom\", \"hemmed\", 2 in), \"top\", \"fold\").cut";
    assert_eq!(size(panel), (5.0, 8.0));
    // A corner of 60 degrees keeps its tip, at twice the allowance; a sharper one is squared there.
    let keen =
        "edged(polygon([0 in by 0 in, 1 in by 0 in, 1/2 in by 8 in]), \"all\", \"seamed\", 1/4 in).cut";
    let (_, along) = size(keen);
    assert!((along - 8.75).abs() < 1e-9, "{along}");
    let (low, _) = entered(
        "count(edged(polygon([0 in by 0 in, 1 in by 0 in, 1/2 in by 8 in]), \"all\", \"seamed\", 1/4 in).cut.edges)",
    );
    assert!((low - 4.0).abs() < 1e-9, "{low}");
    // Two edges of one line with different allowances: a step between them.
    let step = "edged(polygon([0 in by 0 in, 2 in by 0 in, 4 in by 0 in, 4 in by 3 in, 0 in by 3 in], [\"a\", \"b\"]), \"a\", \"seamed\", 1 in).cut";
    assert_eq!(size(step), (4.0, 4.0));
    assert!((entered(&format!("{step}.area")).0 / INCH / INCH - 14.0).abs() < 1e-9);
}

#[test]
fn shapes_open_at_the_fold_and_join_at_edges() {
    let area = |entry: &str| entered(&format!("({entry}).area")).0 / INCH / INCH;
    let triangle = "polygon([0 in by 0 in, 3 in by 0 in, 3 in by 4 in], [\"top\", \"side\", \"slope\"])";
    for edge in ["top", "side", "slope"] {
        let opened = format!("unfolded({triangle}, \"{edge}\")");
        assert!((area(&opened) - 12.0).abs() < 1e-9, "{edge}");
    }
    let joined = format!("attached({triangle}, \"slope\", {triangle}, \"slope\")");
    assert!((area(&joined) - 12.0).abs() < 1e-9);
    assert!((entered(&format!("count(({joined}).edges)")).0 - 4.0).abs() < 1e-9);
}
