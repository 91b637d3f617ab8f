//! Units change nothing: every example, and every rule that can be called by its heading alone, comes out the same in
//! inches and in millimetres.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // what is wrong here is a test that fails

#[path = "common/calls.rs"]
mod calls;
#[path = "common/examples.rs"]
mod examples;

use std::fs;

use calls::{Draws, call, heading};
use examples::examples;

use scant::docket::{Docket, FigureValue, Piece};
use scant::eval::limits::Limits;
use scant::fault::{self, File, Files};
use scant::library;
use scant::measure::{Dim, Exact, Number, Quantity};
use scant::recipe::build::Recipe;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::session::entry::Answer;
use scant::session::entry::Session;
use scant::shape::Outline;
use scant::syntax::{self, tree::ExprKind, tree::LineKind, tree::Setting, visit};

/// A millimetre in base units.
const MILLIMETRE: i64 = 5;
/// An inch in base units.
const INCH: i64 = 127;

/// A length as a literal: `381/10 mm`, `50/127 in`.
fn literal(quantity: &Quantity, base: i64, unit: &str) -> Option<String> {
    let number = quantity.number.exact()?.checked_div(&Exact::whole(base))?;
    Some(format!("{number} {unit}"))
}

/// The recipe with every length of its tree written in one unit. Only the ruler stays: its marks are those of the
/// thing in hand, and it changes no value.
fn in_unit(text: &str, base: i64, unit: &str) -> String {
    let mut files = Files::new();
    let id = files.add(File::new("recipe", text));
    let read = syntax::read(id, text);
    assert!(read.faults.is_empty());
    let mut changes: Vec<(usize, usize, String)> = Vec::new();
    for line in read
        .tree
        .lines
        .iter()
        .filter(|line| !matches!(&line.kind, LineKind::Set(set) if set.setting == Setting::Ruler))
    {
        visit::exprs(line, &mut |expr| {
            visit::within(expr, &mut |part| {
                if let ExprKind::Measure(quantity) = &part.kind
                    && quantity.dim == Dim::LENGTH
                    && let Some(written) = literal(quantity, base, unit)
                {
                    changes.push((part.span.start as usize, part.span.end as usize, written));
                }
            });
        });
    }
    changes.sort();
    changes.dedup();
    let mut out = text.to_owned();
    for (start, end, written) in changes.iter().rev() {
        out.replace_range(*start..*end, written);
    }
    out
}

fn compiled(name: &str, text: &str) -> Recipe {
    let mut files = Files::new();
    compile(name, text, &mut files, &NoFiles, &Limits::default())
        .unwrap_or_else(|faults| panic!("{}\n{text}", fault::plain(&faults, &files)))
}

/// The area and the sides of a shape, and of the shape that is cut for it.
fn shape_measures(outline: &Outline) -> Vec<Number> {
    let both = [Ok(outline.clone()), outline.cut()];
    let measures = both.into_iter().flatten().filter_map(|outline| {
        let size = outline.size().ok()?;
        Some([outline.area().ok()?, size.across, size.along])
    });
    measures.flatten().collect()
}

/// Whether two values are the same, whatever they are read in.
fn same(a: &FigureValue, b: &FigureValue) -> bool {
    match (a, b) {
        (FigureValue::Measure(x), FigureValue::Measure(y)) => alike(x, y),
        (FigureValue::Size(x), FigureValue::Size(y)) => alike(&x.0, &y.0) && alike(&x.1, &y.1),
        (FigureValue::Slack(x), FigureValue::Slack(y)) => {
            alike(&x.middle, &y.middle) && alike(&x.slack, &y.slack)
        }
        (FigureValue::SlackSize(x), FigureValue::SlackSize(y)) => [(&x.0, &y.0), (&x.1, &y.1)]
            .iter()
            .all(|(x, y)| alike(&x.middle, &y.middle) && alike(&x.slack, &y.slack)),
        // the measures in words are read by a ruler
        (FigureValue::Text(_), FigureValue::Text(_)) => true,
        (FigureValue::YesNo(x), FigureValue::YesNo(y)) => x == y,
        // As large, and cut as large.
        (FigureValue::Shape(x), FigureValue::Shape(y)) => {
            let (x, y) = (shape_measures(x), shape_measures(y));
            x.len() == y.len()
                && x.iter().zip(&y).all(|(x, y)| x.compare(y).is_none_or(|order| order.is_eq()))
        }
        (FigureValue::List(x), FigureValue::List(y)) => {
            x.len() == y.len() && x.iter().zip(y).all(|(x, y)| same(x, y))
        }
        (FigureValue::Record(x), FigureValue::Record(y)) => {
            x.len() == y.len() && x.iter().zip(y).all(|(x, y)| x.0 == y.0 && same(&x.1, &y.1))
        }
        _ => false,
    }
}

/// Exact measures are equal; those with bounds lie nearer than a hair of a hair.
fn alike(x: &Quantity, y: &Quantity) -> bool {
    if x.dim != y.dim || x.is_exact() != y.is_exact() {
        return false;
    }
    match (x.number.exact(), y.number.exact()) {
        (Some(x), Some(y)) => x == y,
        _ => {
            let off = (&x.number.mid() - &y.number.mid()).abs();
            off < Exact::ONE.checked_div(&Exact::whole(1_000_000_000)).unwrap()
        }
    }
}

/// Whether both sides of a piece are known exactly.
fn sized(piece: &Piece) -> bool {
    [&piece.across, &piece.along]
        .iter()
        .all(|side| matches!(&side.value, FigureValue::Measure(x) if x.is_exact()))
}

/// A piece that no mark meets is laid out on a step finer than any ruler, a 64th of an inch or a tenth of a
/// millimetre: the length may come out a few of those apart.
fn nearly(x: &FigureValue, y: &FigureValue) -> bool {
    let (FigureValue::Measure(x), FigureValue::Measure(y)) = (x, y) else { return false };
    let off = (&x.number.mid() - &y.number.mid()).abs();
    off <= Exact::whole(INCH).checked_div(&Exact::whole(16)).unwrap()
}

/// What two dockets differ in; nothing where they are the same in all but reading.
fn difference(a: &Docket, b: &Docket) -> Option<String> {
    for (x, y) in a.shows.iter().zip(&b.shows) {
        if !same(&x.value.value, &y.value.value) {
            return Some(format!("{}: {:?} and {:?}", x.label, x.value.value, y.value.value));
        }
    }
    for (x, y) in a.cloths.iter().zip(&b.cloths) {
        let figures = [(&x.buy, &y.buy), (&x.usable, &y.usable)];
        let length = if x.pieces.iter().all(sized) {
            same(&x.length.value, &y.length.value)
        } else {
            nearly(&x.length.value, &y.length.value)
        };
        if figures.iter().any(|(x, y)| !same(&x.value, &y.value))
            || !length
            || x.pieces.len() != y.pieces.len()
        {
            return Some(format!("cloth {}", x.cloth));
        }
        for (p, q) in x.pieces.iter().zip(&y.pieces) {
            if p.count != q.count
                || !same(&p.across.value, &q.across.value)
                || !same(&p.along.value, &q.along.value)
            {
                return Some(format!("piece {}", p.label));
            }
        }
    }
    for (x, y) in a.buys.iter().zip(&b.buys) {
        if !same(&x.needed.value, &y.needed.value) || !same(&x.buy.value, &y.buy.value) {
            return Some(format!("buy {}", x.label));
        }
    }
    for (x, y) in a.checks.iter().zip(&b.checks) {
        if (x.passed, x.open) != (y.passed, y.open) {
            return Some(format!("check {}", x.message));
        }
    }
    let totals = a.totals.iter().zip(&b.totals).all(|(x, y)| same(&x.value, &y.value));
    let lengths = |docket: &Docket| {
        [
            docket.shows.len(),
            docket.cloths.len(),
            docket.buys.len(),
            docket.checks.len(),
            docket.steps.len(),
            docket.cautions.len(),
            docket.totals.len(),
        ]
    };
    (!totals || lengths(a) != lengths(b)).then(|| "totals or how many lines there are".into())
}

/// Each example as it stands, in inches, and in millimetres, in its own sizes.
#[test]
fn every_example_comes_out_the_same_in_inches_and_in_millimetres() {
    let mut made = 0;
    for path in examples() {
        let text = fs::read_to_string(&path).unwrap();
        if text.contains("\nuse \"") {
            continue;
        }
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let mut recipes: Vec<Recipe> =
            [text.clone(), in_unit(&text, INCH, "in"), in_unit(&text, MILLIMETRE, "mm")]
                .iter()
                .map(|text| compiled(&name, text))
                .collect();
        let sizes = recipes[0].sizes.len();
        for size in std::iter::once(None).chain((0..sizes).map(Some)) {
            let dockets: Vec<Docket> = recipes
                .iter_mut()
                .map(|recipe| {
                    let set = size.map_or(Vec::new(), |size| recipe.size_values(size).unwrap());
                    let run = recipe.run(&set, None);
                    assert!(run.faults.is_empty(), "{name}: {:?}", run.faults);
                    run.docket
                })
                .collect();
            for (docket, unit) in dockets[1..].iter().zip(["inches", "millimetres"]) {
                assert_eq!(difference(&dockets[0], docket), None, "{name} in {unit}, size {size:?}");
            }
            made += 1;
        }
    }
    assert!(made > 60, "{made} dockets");
}

/// How large a length with this name is in a sewing room, in 64ths of an inch.
fn usual(name: &str) -> (u64, u64) {
    match name {
        "seam" | "box_seam" | "turn" | "ease" | "fold" | "edge" | "off" | "cut_off" | "read_to" | "mark"
        | "least" | "trim" | "margin" | "loss" | "into" | "finish" | "more" | "less" | "take_up" | "step"
        | "thickness" => (8, 32),
        "depth" | "hem" | "heading" | "overlap" | "border" | "cord" | "elastic" | "beyond" | "stop"
        | "gap" | "band" | "side_hem" | "diameter" | "needles" | "stitch" | "start" | "shows" | "knot"
        | "returns" | "sashing" => (32, 80),
        "cut" | "strip_width" | "width" | "apart" | "target" | "insertion" | "square" | "second"
        | "spare" => (96, 200),
        "usable" | "strip" | "slot" | "channel" | "flat" | "before" | "wide" | "hand" | "along" => {
            (2560, 3200)
        }
        "shortest" | "least_tails" | "centre" | "piece" => (320, 480),
        _ => (640, 1600),
    }
}

/// What a call comes to; the kind of fault where it is refused.
fn worked(call: &str) -> Result<FigureValue, String> {
    let mut session = Session::new(Limits::default());
    session.enter("seam 1/4 in", &NoFiles);
    session.enter("shop 1/8 yd", &NoFiles);
    let entered = session.enter(call, &NoFiles);
    if let Some(fault) = entered.faults.first() {
        return Err(fault.code.as_str().into());
    }
    match entered.answers.into_iter().find(|said| matches!(said, Answer::Value(_))) {
        Some(Answer::Value(figure)) => Ok(figure.value),
        _ => panic!("`{call}` says nothing"),
    }
}

/// Rules called by their headings: the same number, or the same refusal.
#[test]
fn every_rule_comes_out_the_same_in_inches_and_in_millimetres() {
    let mut draws = Draws(7);
    let (mut told, mut silent) = (0, Vec::new());
    for (name, entry) in library::index() {
        let mut came_out = false;
        for _ in 0..12 {
            let Some([imperial, metric]) = call(name, heading(entry), &mut draws, usual) else { break };
            match (worked(&imperial), worked(&metric)) {
                (Ok(x), Ok(y)) => {
                    assert!(same(&x, &y), "{imperial}\n{metric}\n{x:?}\n{y:?}");
                    came_out = true;
                }
                (Err(x), Err(y)) => assert_eq!(x, y, "{imperial}\n{metric}"),
                (x, y) => panic!("{imperial}: {x:?}\n{metric}: {y:?}"),
            }
        }
        if came_out { told += 1 } else { silent.push(*name) }
    }
    // rules of lists and of records are called by the examples, which the law above goes through
    assert!(told >= 230, "{told} rules came out; not {silent:?}");
}
