//! Drawings: what is on them, that it can be read, and that they are sound SVG.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)] // a drawing that is not as expected is a test that fails
#![allow(clippy::arithmetic_side_effects)]

mod clear;
mod samples;

use std::path::Path;

use proptest::prelude::*;
use proptest::test_runner::{Config, TestRunner};
use scant::docket::{
    ClothPlan, Docket, Figure, FigureValue, Line, Part as Drawn, Picture, Piece, figure_text,
};
use scant::drawing::{Drawing, Mark, Paper, Step, Stroke, drawings, picture, plans};
use scant::layout::{Lay, Part, Share, Spread};
use scant::measure::{Manner, Number, Reading};
use scant::report::{svg, svg_document};
use scant::shape::Point;

use clear::{faults, texts};
use samples::{cloth, docket, figure, half_circle, panel, pictures, point, polygon};

/// A text without the character that XML has no place for.
fn legal(text: &str) -> String {
    text.replace('\u{fffe}', "")
}

/// The text with each row of Hebrew words between the marks that set it from right to left by itself.
fn set_apart(text: &str) -> String {
    let hebrew = |c: char| ('\u{590}'..='\u{5ff}').contains(&c);
    let (mut out, mut words) = (Vec::new(), text.split(' ').peekable());
    while let Some(word) = words.next() {
        let begins =
            word.starts_with(hebrew) && out.last().is_none_or(|last: &String| !last.ends_with(hebrew));
        let end = word.rfind(hebrew).map_or(0, |at| at + 2);
        let ends =
            end > 0 && !(end == word.len() && words.peek().is_some_and(|next| next.starts_with(hebrew)));
        let (name, rest) = word.split_at(end);
        let (open, close) = (if begins { "\u{2067}" } else { "" }, if ends { "\u{2069}" } else { "" });
        out.push(format!("{open}{name}{close}{rest}"));
    }
    out.join(" ")
}

/// A drawing is sound XML with a title, a description and a role, each of its words once.
fn sound(drawing: &Drawing) {
    let text = svg(drawing, 7);
    let xml = roxmltree::Document::parse(&text).unwrap_or_else(|error| panic!("{error}\n{text}"));
    let root = xml.root_element();
    assert_eq!((root.tag_name().name(), root.attribute("role")), ("svg", Some("img")));
    for (tag, words) in [("title", &drawing.title), ("desc", &drawing.description)] {
        let node =
            root.children().find(|node| node.has_tag_name(("http://www.w3.org/2000/svg", tag))).unwrap();
        assert_eq!(node.text().unwrap_or(""), legal(words));
        assert!(root.attribute("aria-labelledby").unwrap().contains(node.attribute("id").unwrap()));
    }
    let read: Vec<&str> = xml
        .descendants()
        .filter(|node| node.tag_name().name() == "text")
        .filter_map(|node| node.text())
        .collect();
    let written: Vec<String> =
        texts(drawing).iter().map(|text| set_apart(&legal(text))).filter(|text| !text.is_empty()).collect();
    assert_eq!(read, written);
    for node in xml.descendants().filter(|node| node.is_element()) {
        assert!(
            ["svg", "title", "desc", "defs", "pattern", "path", "circle", "rect", "text", "g", "clipPath"]
                .contains(&node.tag_name().name())
        );
    }
}

/// Pieces whose size is nowhere on the drawings, although these do not say that names have no room.
fn unsized_pieces(plan: &ClothPlan, drawings: &[Drawing]) -> Vec<String> {
    let all = drawings.iter().flat_map(texts).collect::<Vec<_>>().join(" ");
    if all.contains("has no room for its name") || all.contains("have no room for their names") {
        return Vec::new();
    }
    let kinds = plan.plan.spreads.iter().flat_map(|spread| spread.placed(100)).map(|placed| placed.piece);
    let size = |piece: usize| {
        let piece = &plan.pieces[piece];
        format!("{} by {}", figure_text(&piece.across), figure_text(&piece.along))
    };
    kinds.map(size).filter(|size| !all.contains(size)).collect()
}

#[test]
fn no_words_lie_on_a_line_or_on_other_words_in_a_thousand_random_plans() {
    let mut runner = TestRunner::new(Config { cases: 1000, failure_persistence: None, ..Config::default() });
    let papers = prop_oneof![Just(Paper::A4), Just(Paper::Letter)];
    runner
        .run(&(docket(), papers), |(docket, paper)| {
            let drawings = plans(&docket, paper.room());
            prop_assert!(drawings.len() >= docket.cloths.len());
            let (width, height) = paper.room();
            for plan in &docket.cloths {
                let lacking = unsized_pieces(plan, &drawings);
                prop_assert!(
                    lacking.is_empty(),
                    "{lacking:?} {:?} {:?}",
                    plan.plan.spreads,
                    drawings.iter().flat_map(texts).collect::<Vec<_>>()
                );
            }
            for drawing in &drawings {
                prop_assert!(drawing.width <= width && drawing.height <= height + 0.01);
                let faults = faults(drawing);
                prop_assert!(faults.is_empty(), "{faults:?}");
            }
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{}", error.to_string().chars().take(3000).collect::<String>()));
}

#[test]
fn no_words_lie_on_a_line_or_on_other_words_in_random_pictures() {
    let mut runner = TestRunner::new(Config { cases: 400, failure_persistence: None, ..Config::default() });
    let rooms = prop_oneof![Just((180.0, 257.0)), Just((90.0, 120.0)), Just((300.0, 80.0))];
    runner
        .run(&(pictures(), rooms), |(drawn, room)| {
            let drawing = picture(&drawn, room);
            prop_assert!(drawing.width <= room.0 && drawing.height <= room.1 + 0.01);
            let faults = faults(&drawing);
            prop_assert!(faults.is_empty(), "{faults:?}");
            Ok(())
        })
        .unwrap_or_else(|error| panic!("{}", error.to_string().chars().take(3000).collect::<String>()));
}

#[test]
fn thousands_of_slivers_keep_their_words_apart() {
    let slivers = |n: i128| {
        share(
            1,
            1 + n % 3,
            Part::Along(vec![share(40, 8 - n % 2, piece(n as usize % 8)), share(1, 16, Part::Left)]),
        )
    };
    let shares: Vec<Share> = (0..390).map(slivers).collect();
    let along = shares.iter().map(|share| share.size).sum();
    let drawings = one(spread(336, along, Part::Across(shares)), false, false);
    assert!(!drawings.is_empty());
    assert_eq!(faults(&drawings[0]), Vec::<String>::new());
}

#[test]
fn random_plans_are_sound_svg() {
    let mut runner = TestRunner::new(Config { cases: 60, failure_persistence: None, ..Config::default() });
    runner
        .run(&docket(), |docket| {
            plans(&docket, Paper::A4.room()).iter().for_each(sound);
            Ok(())
        })
        .unwrap();
}

fn spread(across: i128, along: i128, lay: Part) -> Spread {
    Spread { sheet: None, count: 1, across, along, lay: Lay::Cut(lay) }
}

fn share(times: u64, size: i128, part: Part) -> Share {
    Share { times, size, part }
}

fn piece(piece: usize) -> Part {
    Part::Piece { piece, turned: false }
}

fn one(spread: Spread, folded: bool, nap: bool) -> Vec<Drawing> {
    let cloths = vec![cloth("linen", vec![spread], folded, nap)];
    plans(&Docket { cloths, ..Docket::default() }, Paper::A4.room())
}

#[test]
fn the_numbers_of_cuts_run_through_all_cloths() {
    let strips = || spread(336, 160, Part::Across(vec![share(4, 40, piece(0))]));
    let two = || cloth("linen", vec![strips(), strips()], false, false);
    let docket = Docket { cloths: vec![two(), two()], ..Docket::default() };
    let numbers: Vec<Vec<String>> = plans(&docket, Paper::A4.room())
        .iter()
        .map(|drawing| {
            texts(drawing).into_iter().filter(|text| text.ends_with('.') && text.len() == 2).collect()
        })
        .collect();
    assert_eq!(numbers, [["1."], ["2."], ["3."], ["4."]]);
    let rings = plans(&docket, Paper::A4.room())
        .iter()
        .map(|drawing| texts(drawing).contains(&"3".to_owned()))
        .collect::<Vec<_>>();
    assert_eq!(rings, [false, false, true, false]);
}

#[test]
fn selvages_fold_and_sizes_are_written() {
    let strips = || spread(336, 160, Part::Across(vec![share(4, 40, piece(0))]));
    let words = texts(&one(strips(), false, false)[0]);
    assert_eq!(words.iter().filter(|word| *word == "selvage").count(), 2, "{words:?}");
    for expected in ["42 in usable width", "20 in long", "grain", "4 × napkin", "2 1/8 in by 5 in"] {
        assert!(words.contains(&expected.to_owned()), "{expected}: {words:?}");
    }
    let words = texts(&one(strips(), true, true)[0]);
    for expected in ["both selvages", "fold", "nap: all one way", "42 in wide, folded"] {
        assert!(words.contains(&expected.to_owned()), "{expected}: {words:?}");
    }
}

#[test]
fn a_nap_has_one_arrow_and_plain_grain_a_double_one() {
    let heads = |nap: bool| {
        let drawing = &one(spread(336, 160, piece(0)), false, nap)[0];
        drawing
            .marks
            .iter()
            .filter(|mark| matches!(mark, Mark::Path { steps, pen: None, fill: scant::drawing::Fill::Black } if steps.len() == 4))
            .count()
    };
    assert_eq!(heads(false), heads(true) + 1);
}

#[test]
fn a_group_that_a_row_breaks_tells_how_many_of_how_many() {
    // 10 in wide and 20 ft long: several rows.
    let drawing = &one(spread(80, 1920, Part::Across(vec![share(3, 640, piece(2))])), false, false)[0];
    let words = texts(drawing);
    let of = words.iter().filter(|word| word.contains(" of 3 sash") || word.ends_with("sash, part")).count();
    assert!(of >= 2, "{words:?}");
    let drawing = &one(spread(80, 900, Part::Across(vec![share(12, 75, piece(2))])), false, false)[0];
    let words = texts(drawing);
    let counts: u32 = words
        .iter()
        .filter_map(|word| word.strip_suffix(" of 12 sash").and_then(|count| count.parse::<u32>().ok()))
        .sum();
    assert_eq!(counts, 12, "{words:?}");
}

#[test]
fn pieces_are_drawn_in_their_own_outlines() {
    // Four triangles 2 in wide and 4 in long, their points towards the near end, side by side.
    let mut plan =
        cloth("linen", vec![spread(64, 32, Part::Along(vec![share(4, 16, piece(0))]))], false, false);
    let corner = |x: i64, y: i64| Point::new(Number::whole(x * 127), Number::whole(y * 127));
    let triangle = vec![corner(0, 0), corner(2, 0), corner(1, 4)];
    let triangle = scant::shape::polygon(triangle, &[], Reading::Plain).unwrap();
    plan.pieces[0].outlines = vec![triangle];
    let long = ClothPlan {
        pieces: vec![Piece { label: "triangle ".repeat(10).into(), ..plan.pieces[0].clone() }],
        ..plan.clone()
    };
    let drawing = &plans(&Docket { cloths: vec![plan], ..Docket::default() }, Paper::A4.room())[0];
    // Words that would cover the outlines are a letter there.
    let lettered = &plans(&Docket { cloths: vec![long], ..Docket::default() }, Paper::A4.room())[0];
    assert!(texts(lettered).contains(&"4 × A".to_owned()), "{:?}", texts(lettered));
    assert_eq!(faults(drawing), Vec::<String>::new());
    let mut slanted = Vec::new();
    for mark in &drawing.marks {
        let Mark::Path { steps, pen: Some(_), .. } = mark else { continue };
        for pair in steps.windows(2) {
            let [Step::Move(a), Step::Line(b)] = pair else { continue };
            if (a.0 - b.0).abs() > 1.0 && (a.1 - b.1).abs() > 1.0 {
                slanted.push((*a, *b));
            }
        }
    }
    // Two slanted edges a piece; where words lie on one, it is in two parts.
    assert!(slanted.len() >= 8, "{slanted:?}");
    // The near end is to the left: all points lie on the left, at the end of a slanted edge.
    let left = slanted.iter().flat_map(|(a, b)| [a.0, b.0]).fold(f64::INFINITY, f64::min);
    let points =
        slanted.iter().flat_map(|(a, b)| [a, b]).filter(|place| (place.0 - left).abs() < 0.01).count();
    assert_eq!(points, 8);
}

#[test]
fn long_cloth_turns_on_the_page_where_it_is_larger_so() {
    let drawing = &one(spread(336, 800, Part::Across(vec![share(4, 200, piece(0))])), false, false)[0];
    let along = drawing.marks.iter().find_map(|mark| match mark {
        Mark::Words(words) if words.text.ends_with(" long") => Some(words.turned),
        _ => None,
    });
    assert_eq!(along, Some(-90.0));
}

#[test]
fn long_labels_stay_on_the_page_and_the_list_goes_on() {
    let mut cloth =
        cloth("linen", vec![spread(336, 400, Part::Across(vec![share(4, 100, piece(0))]))], false, false);
    cloth.pieces[0].label = "x".repeat(10_000).into();
    cloth.cloth = "y ".repeat(5_000).into();
    let caution = "z ".repeat(5_000);
    let docket = Docket {
        recipe: Some("w".repeat(10_000).into()),
        cautions: vec![caution.as_str().into(); 3],
        cloths: vec![cloth],
        ..Docket::default()
    };
    for drawing in plans(&docket, Paper::Letter.room()) {
        assert_eq!(faults(&drawing), Vec::<String>::new());
        assert!(texts(&drawing).iter().all(|text| text.chars().count() < 200));
        assert!(drawing.description.len() < 40_000 && drawing.title.len() < 1_000);
        sound(&drawing);
    }
    // So many different cuts that no page holds their list.
    let shares = (0..300)
        .map(|n| share(1, 8 + n % 7, Part::Along(vec![share(1, 100, piece(1)), share(1, 236, Part::Left)])));
    let shares: Vec<_> = shares.collect();
    let along = shares.iter().map(|share| share.size).sum();
    let drawings = one(spread(336, along, Part::Across(shares)), false, false);
    assert!(drawings.len() > 1);
    let all: Vec<String> = drawings.iter().flat_map(texts).collect();
    for drawing in &drawings {
        assert_eq!(faults(drawing), Vec::<String>::new());
    }
    assert!(all.contains(&"300.".to_owned()));
}

#[test]
fn a_picture_can_be_read_at_any_size() {
    for room in [(180.0, 257.0), (185.9, 239.4), (120.0, 120.0), (250.0, 120.0)] {
        let drawing = picture(&panel(), room);
        assert!(drawing.width <= room.0 && drawing.height <= room.1);
        assert_eq!(faults(&drawing), Vec::<String>::new(), "{room:?}");
        sound(&drawing);
    }
    let drawing = picture(&panel(), Paper::A4.room());
    let words = texts(&drawing);
    for expected in [
        "tucked panel",
        "pocket",
        "pennant",
        "right side",
        "grain",
        "400 mm",
        "600 mm",
        "fold 1: 60 mm",
        "95 mm",
    ] {
        assert!(words.contains(&expected.to_owned()), "{expected}: {words:?}");
    }
    assert_eq!(words.iter().filter(|word| *word == "button").count(), 4);
    assert_eq!(words.iter().filter(|word| *word == "15 mm").count(), 2);
}

/// A long measure has the room of its line.
#[test]
fn a_long_measure_on_a_long_line_is_not_cut_short() {
    let ends = [point(0, 0), point(192, 0)];
    let reads = "7.568".repeat(12);
    let figure = Figure { value: FigureValue::Text(reads.as_str().into()), manner: Manner::default() };
    let parts = vec![Drawn::Distance { ends: (ends[0].clone(), ends[1].clone()), reads: figure }];
    let drawing = picture(&Picture { title: "flag".into(), parts, line: 1 }, Paper::A4.room());
    assert!(texts(&drawing).contains(&reads), "{:?}", texts(&drawing));
}

#[test]
fn kinds_of_line_are_those_of_the_standard() {
    let stroke = |line: Line| {
        let parts = vec![
            Drawn::Straight { ends: (point(0, 0), point(100, 0)), line, label: None },
            Drawn::Straight { ends: (point(0, 50), point(100, 50)), line, label: None },
        ];
        let drawing = picture(&Picture { title: "line".into(), parts, line: 1 }, (100.0, 100.0));
        drawing.marks.iter().find_map(|mark| match mark {
            Mark::Path { pen: Some(pen), .. } => Some((pen.stroke, pen.width)),
            _ => None,
        })
    };
    let thick = stroke(Line::Cut).unwrap();
    assert_eq!(thick.0, Stroke::Solid);
    for (line, expected) in
        [(Line::Seam, Stroke::Dashed), (Line::Fold, Stroke::DashDot), (Line::Mark, Stroke::Solid)]
    {
        let (stroke, width) = stroke(line).unwrap();
        assert_eq!(stroke, expected);
        // ISO 128-2: thick to thin is 2 to 1.
        assert_eq!(width * 2.0, thick.1);
    }
}

#[test]
fn arcs_lie_where_their_circle_is() {
    let shape = Drawn::Shape {
        at: point(10, 20),
        outline: Box::new(half_circle(50)),
        label: None,
        line: Line::Cut,
        fill: scant::docket::Fill::None,
    };
    let drawing = picture(&Picture { title: "half".into(), parts: vec![shape], line: 1 }, (200.0, 200.0));
    let mut seen = 0;
    for mark in &drawing.marks {
        let Mark::Path { steps, .. } = mark else { continue };
        let mut pen = (0.0, 0.0);
        for step in steps {
            match *step {
                Step::Move(to) | Step::Line(to) => pen = to,
                Step::Arc { radius, large, clockwise, to } => {
                    seen += 1;
                    // The highest place of the half circle is its radius above the fold.
                    let places = clear::arc(pen, to, radius, large, clockwise);
                    let top = places.iter().map(|place| place.1).fold(f64::INFINITY, f64::min);
                    let base = pen.1.max(to.1);
                    assert!((base - top - radius).abs() < 0.01, "{base} {top} {radius}");
                    pen = to;
                }
                Step::Close => {}
            }
        }
    }
    assert_eq!(seen, 4);
}

#[test]
fn nothing_odd_in_a_picture_harms() {
    let odd = "</svg><script>\u{202e}\u{fffe}\u{1b}[2J & \"'";
    let spot = |x: i64| Drawn::Spot { at: point(x, x), label: Some(odd.into()) };
    let parts = vec![
        spot(0),
        spot(50),
        Drawn::Words { at: point(20, 10), words: "x".repeat(10_000).into() },
        Drawn::Shape {
            at: point(0, 0),
            outline: Box::new(polygon(&[])),
            label: Some("empty".into()),
            line: Line::Cut,
            fill: scant::docket::Fill::White,
        },
        Drawn::Distance { ends: (point(0, 0), point(0, 0)), reads: figure("0 in") },
        Drawn::Scale {
            from: point(0, 0),
            down: true,
            at: (0..500).map(|n| (figure(&format!("{n} mm")), Some(odd.into()))).collect(),
        },
    ];
    let drawing = picture(&Picture { title: odd.repeat(100).into(), parts, line: 1 }, Paper::A4.room());
    assert_eq!(faults(&drawing), Vec::<String>::new());
    let text = svg(&drawing, 1);
    assert!(!text.contains("<script") && !text.contains('\u{202e}') && !text.contains('\u{1b}'));
    sound(&drawing);
    for parts in [Vec::new(), vec![spot(3)]] {
        let drawing = picture(&Picture { title: "none".into(), parts, line: 1 }, Paper::A4.room());
        assert_eq!(faults(&drawing), Vec::<String>::new());
    }
}

#[test]
fn several_drawings_are_one_document_with_names_of_their_own() {
    let drawings = [picture(&panel(), (180.0, 200.0)), picture(&panel(), (100.0, 100.0))];
    let text = svg_document(&drawings);
    let xml = roxmltree::Document::parse(&text).unwrap();
    let mut names: Vec<&str> = xml.descendants().filter_map(|node| node.attribute("id")).collect();
    let all = names.len();
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), all);
    assert_eq!(xml.descendants().filter(|node| node.attribute("role") == Some("img")).count(), 2);
    let root = xml.root_element();
    let height: f64 = root.attribute("height").unwrap().trim_end_matches("mm").parse().unwrap();
    assert!((height - drawings[0].height - drawings[1].height - 10.0).abs() < 0.01);
}

#[test]
fn a_picture_is_as_it_is_kept() {
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/drawings/panel.svg");
    let drawn = svg(&picture(&panel(), Paper::A4.room()), 1);
    if std::env::var_os("SCANT_RENEW").is_some() {
        std::fs::write(&kept, &drawn).unwrap();
    }
    assert!(
        std::fs::read_to_string(&kept).is_ok_and(|text| text == drawn),
        "renew with SCANT_RENEW=1 and read it"
    );
}

#[test]
fn a_docket_without_cloth_says_so() {
    let docket = Docket { recipe: Some("x".repeat(10_000).into()), ..Docket::default() };
    let drawn = drawings(&docket, Paper::A4);
    assert_eq!(drawn.len(), 1);
    assert_eq!(faults(&drawn[0]), Vec::<String>::new());
    assert!(
        texts(&drawn[0]).contains(
            &"It cuts nothing from cloth and draws nothing, so there is nothing to show.".to_owned()
        )
    );
    sound(&drawn[0]);
}
