//! The docket written out, whole; golden files lie in `tests/report/`, and `SCANT_RENEW=1` renews them.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)] // a docket that is not as expected is a test that fails

#[path = "common/read_back.rs"]
#[allow(dead_code)] // shared with the tests of pages
mod read_back;
#[path = "common/schema.rs"]
mod schema;

use std::rc::Rc;

use clap::ValueEnum;
use scant::docket::{
    AlreadyCut, Buy, Change, Check, ClothPlan, Direction, Docket, Figure, FigureValue, Fill, Given, Held,
    Line, Made, Measured, Part, Picture, Piece, Share, Shown, Slack, Strip,
};
use scant::layout::Plan;
use scant::measure::{Manner, literal, size};
use scant::report::{Format, write};
use scant::shape::{Finish, Notch, Outline, Point, circle, polygon};
use serde_json::Value;

use schema::{problem, schema};

fn measure(text: &str) -> FigureValue {
    FigureValue::Measure(literal(text).unwrap())
}

fn figure(text: &str) -> Figure {
    Figure { value: measure(text), manner: Manner::default() }
}

fn sized(text: &str) -> Figure {
    Figure { value: FigureValue::Size(Box::new(size(text).unwrap())), manner: Manner::default() }
}

fn given(name: &str, words: Option<&str>, value: Figure, set: bool) -> Given {
    Given { name: name.into(), words: words.map(Rc::from), value, set, line: 3 }
}

fn shown(label: &str, value: FigureValue) -> Shown {
    Shown { label: label.into(), value: Figure { value, manner: Manner::default() }, line: 5 }
}

fn mark(tuck: &str, fold: &str) -> FigureValue {
    FigureValue::Record(vec![("tuck".into(), measure(tuck)), ("fold_line".into(), measure(fold))])
}

fn slack(middle: &str, off: &str, shares: &[(&str, Option<usize>, &str)]) -> Slack {
    let share = |(words, line, amount): &(&str, Option<usize>, &str)| Share {
        words: (*words).into(),
        line: *line,
        amount: literal(amount).unwrap(),
    };
    Slack {
        middle: literal(middle).unwrap(),
        slack: literal(off).unwrap(),
        shares: shares.iter().map(share).collect(),
    }
}

fn loose(middle: &str, off: &str, shares: &[(&str, Option<usize>, &str)]) -> FigureValue {
    FigureValue::Slack(Box::new(slack(middle, off, shares)))
}

/// A docket with something of everything.
fn runner() -> Docket {
    let piece = |label: &str, count, across: &str, along: &str| Piece {
        label: label.into(),
        alone: None,
        count,
        across: figure(across),
        along: figure(along),
        direction: Direction::AnyWay,
        mirrored: false,
        spare: 0,
        line: 7,
        outlines: Vec::new(),
    };
    let strip = |count, width: &str, piece, each, turned| Strip {
        count,
        width: figure(width),
        holds: vec![Held { piece, count: each, turned }],
    };
    let root = literal("2").unwrap().sqrt().unwrap().mul(&literal("3 in").unwrap()).unwrap();
    Docket {
        recipe: Some("Harbour table runner".into()),
        size: Some("large".into()),
        kits: None,
        notes: vec!["Linen runner with crossed tucks and a bound edge, made for the long tables under the loft's north window.".into()],
        givens: vec![
            given("finished", Some("finished size"), sized("16 in by 72 in"), true),
            given("depth", Some("depth of one tuck, fold to stitching"), figure("1/8 in"), false),
            given("in_width", Some("how many tucks eat into the width, and how many more there may be before the cloth runs out"), figure("7"), true),
            given("binding", None, figure("3/8 in"), false),
        ],
        shows: vec![
            shown("flat", sized("17 3/4 in by 74 1/2 in").value),
            shown("seam to seam", measure("4 13/64 in")),
            shown("diagonal of the corner patch before it is trimmed to fit", FigureValue::Measure(root)),
            shown("tuck marks", FigureValue::List(vec![mark("1", "3 1/8 in"), mark("2", "5 3/8 in"), mark("10", "12 in")])),
            shown("offcut", FigureValue::Record(vec![("count".into(), measure("8")), ("left".into(), measure("2 in"))])),
            shown("turned", FigureValue::YesNo(false)),
            shown("row as sewn", loose("96 in", "11/16 in", &[("seam", Some(4), "9/16 in"), ("1/8 in ± 1/8 in", None, "1/8 in")])),
            shown("top as sewn", FigureValue::SlackSize(Box::new((slack("24 in", "1/8 in", &[]), slack("32 cm", "1 mm", &[]))))),
        ],
        cloths: vec![ClothPlan {
            cloth: "linen".into(),
            usable: figure("50 9/10 in"),
            pieces: vec![piece("panel", 1, "17 3/4 in", "74 1/2 in"), piece("binding strip", 12, "50 in", "2 1/4 in")],
            hands: Vec::new(),
            plan: Plan::default(),
            unit: figure("1/10 in"),
            folded: false,
            in_hand_costs_more: None,
            planned: None,
            strips: vec![strip(1, "74 1/2 in", 0, 1, false), strip(12, "2 1/4 in", 1, 1, true)],
            length: figure("101 1/2 in"),
            buy: figure("270 cm"),
            step: Some(figure("10 cm")),
            price: Some(figure("14.50 EUR/m")),
            cost: Some(figure("39.15 EUR")),
            washed: true,
            directional: false,
            line: 6,
        }],
        buys: vec![
            Buy { label: "shell buttons".into(), needed: figure("3"), buy: figure("3"), packs: None, price: Some(figure("0.45 EUR")), cost: Some(figure("1.35 EUR")), line: 9 },
            Buy { label: "linen thread".into(), needed: figure("212 1/2 yd"), buy: figure("220 yd"), packs: None, price: None, cost: None, line: 10 },
        ],
        totals: vec![figure("40.50 EUR")],
        steps: vec![
            "Mark 7 fold lines, the first 3 1/8 in from the left edge, then every 2 1/4 in.".into(),
            "Stop stitching 3/8 in from each corner and fold the mitre; press the seam towards the binding before the second side is sewn down.".into(),
        ],
        checks: vec![
            Check { passed: true, open: false, message: "tucks do not overlap".into(), detail: None, line: 12 },
            Check { passed: false, open: false, message: "the panel is wider than the cloth: turn it along the grain".into(), detail: Some("17 3/4 in against 17 1/2 in".into()), line: 19 },
            Check { passed: false, open: true, message: "the row is too long".into(), detail: Some("96 in ± 11/16 in against 96 in".into()), line: 20 },
        ],
        pictures: vec![pennant()],
        cautions: vec!["Close the rotary cutter each time you put it down.".into()],
        finds: Vec::new(),
        working: None,
        measured: Some(Box::new(Measured {
            made: vec![Made { name: "top".into(), planned: sized("60 in by 72 in"), made: sized("59 5/8 in by 72 in"), corrections: vec!["across: 3/8 in too short: a border 3/16 in wider at each end brings it back, or ease what is sewn to it in by 3/8 in".into()] }],
            changes: vec![Change { what: "top border, cut size".into(), before: sized("3 in by 66 in"), after: sized("3 in by 65 5/8 in") }],
            steps: vec![1, 2],
            unplanned: false,
            cut: vec![AlreadyCut { label: "side border".into(), cut: sized("3 in by 72 in"), now: sized("3 in by 71 3/4 in"), corrections: vec!["along: 1/4 in too long: trim 1/4 in off".into()] }],
        })),
    }
}

/// Texts from outside that would do harm.
/// A pennant with a hem at its top, a fold, a notch, and all that a picture can show.
fn pennant() -> Picture {
    let at = |across: &str, along: &str| {
        Point::new(literal(across).unwrap().number, literal(along).unwrap().number)
    };
    let corners = vec![at("0 in", "0 in"), at("6 in", "0 in"), at("3 in", "8 in")];
    let names = ["top", "right", "left"].map(Rc::from);
    let mut outline = polygon(corners, &names, literal("1 in").unwrap().reading).unwrap();
    outline.finish(0, Finish::Hemmed, &literal("1 in").unwrap().number);
    outline.notches.push(Notch { edge: 0, at: literal("3 in").unwrap().number });
    outline.folds.push((at("3 in", "0 in"), at("3 in", "8 in")));
    let ends = || (at("0 in", "0 in"), at("6 in", "0 in"));
    let shape = |outline: Outline| Part::Shape {
        at: at("0 in", "0 in"),
        outline: Box::new(outline),
        label: Some("pennant".into()),
        line: Line::Seam,
        fill: Fill::None,
    };
    let round = circle(&literal("1 in").unwrap().number, literal("1 in").unwrap().reading).unwrap();
    let parts = vec![
        shape(outline),
        shape(round),
        Part::Straight { ends: ends(), line: Line::Fold, label: None },
        Part::Spot { at: at("3 in", "4 in"), label: Some("eyelet".into()) },
        Part::Distance { ends: ends(), reads: figure("6 in") },
        Part::Scale {
            from: at("0 in", "0 in"),
            down: true,
            at: vec![(figure("4 in"), Some("eyelet".into()))],
        },
        Part::Words { at: at("3 in", "1 in"), words: "hoist".into() },
        Part::Grain { ends: (at("1 in", "1 in"), at("1 in", "3 in")) },
    ];
    Picture { title: "the pennant".into(), parts, line: 22 }
}

fn hostile() -> Docket {
    Docket {
        recipe: Some("=HYPERLINK(\"x\")\u{1b}[2J".into()),
        notes: vec!["+1 \u{202e}turned".into(), "x".repeat(500).as_str().into()],
        shows: vec![
            shown("@cmd", FigureValue::Text("-2+3".into())),
            shown("below nothing", measure("-3/4 in")),
        ],
        steps: vec!["one\r\ntwo\u{7}".into()],
        ..Docket::default()
    }
}

fn written(docket: &Docket, format: Format) -> String {
    let mut out = Vec::new();
    write(docket, format, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// Compares with the golden file, or renews it.
fn golden(name: &str, got: &str) {
    let path = format!("{}/tests/report/{name}", env!("CARGO_MANIFEST_DIR"));
    if std::env::var_os("SCANT_RENEW").is_some() {
        std::fs::write(path, got).unwrap();
        return;
    }
    assert_eq!(got, std::fs::read_to_string(path).unwrap(), "{name} differs");
}

#[test]
fn the_docket_to_read() {
    golden("runner.txt", &written(&runner(), Format::Text));
}

#[test]
fn the_docket_for_programs() {
    golden("runner.json", &written(&runner(), Format::Json));
}

#[test]
fn the_docket_for_spreadsheets() {
    golden("runner.csv", &written(&runner(), Format::Csv));
}

#[test]
fn an_empty_docket_writes_nothing_odd() {
    assert_eq!(written(&Docket::default(), Format::Text), "");
    assert_eq!(written(&Docket::default(), Format::Csv).lines().count(), 1);
    check_schema(&serde_json::from_str(&written(&Docket::default(), Format::Json)).unwrap());
}

#[test]
fn no_line_is_longer_than_a_page() {
    for docket in [runner(), hostile()] {
        for line in written(&docket, Format::Text).lines() {
            assert!(line.chars().count() <= 80, "{line}");
        }
    }
}

#[test]
fn texts_from_outside_are_harmless_everywhere() {
    for format in Format::value_variants() {
        let mut out = Vec::new();
        write(&hostile(), *format, &mut out).unwrap();
        let harm = |c: char| (c.is_control() && c != '\n') || c == '\u{202e}';
        if !format.is_binary() {
            let text = String::from_utf8(out.clone()).unwrap();
            assert!(!text.contains(harm), "{format:?}: {text}");
        }
        let words = read_back::words_of(&out, *format);
        assert!(!words.contains(harm), "{format:?}: {words}");
        // A drawing has nothing to say of a docket without cloth.
        assert!(*format == Format::Svg || words.contains("turned"), "{format:?}: {words}");
    }
    let csv = written(&hostile(), Format::Csv);
    assert!(csv.contains("recipe,,,\"'=HYPERLINK"), "{csv}");
    assert!(csv.contains("note,,,'+1 "), "{csv}");
    assert!(csv.contains("show,'@cmd,,'-2+3,"), "{csv}");
    assert!(csv.contains(",-3/4 in,-0.75,in,"), "a measure is not harmed: {csv}");
}

#[test]
fn json_is_as_its_schema_says() {
    for docket in [runner(), hostile()] {
        check_schema(&serde_json::from_str(&written(&docket, Format::Json)).unwrap());
    }
}

#[test]
fn the_schema_refuses_what_is_not_a_docket() {
    let mut value: Value = serde_json::from_str(&written(&runner(), Format::Json)).unwrap();
    value["cloths"][0]["pieces"][0]["count"] = "one".into();
    assert!(problem(&schema(), &schema(), &value, "docket").is_some());
    let mut value: Value = serde_json::from_str(&written(&runner(), Format::Json)).unwrap();
    value["surprise"] = 1.into();
    assert!(problem(&schema(), &schema(), &value, "docket").is_some());
}

fn check_schema(value: &Value) {
    assert_eq!(problem(&schema(), &schema(), value, "docket"), None);
}
