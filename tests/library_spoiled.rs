//! An example call of every rule with one argument spoiled: nothing, less than nothing, a hundredfold, another kind, a
//! bare number for a percent. Each is refused in words or truly sound: no raw fault of arithmetic, no silent number below nothing.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // what is wrong here is a test that fails

use std::collections::BTreeSet;

use scant::docket::FigureValue;
use scant::eval::limits::Limits;
use scant::fault::{Code, File, Files};
use scant::library;
use scant::measure::Dim;
use scant::recipe::used::NoFiles;
use scant::session::entry::{Answer, Entered, Session};
use scant::syntax::tree::{Call, Expr, ExprKind};
use scant::syntax::{self, said};

/// Rules whose answers have a direction, or are larger than what they start from by less than nothing.
const SIGNED: &[&str] = &["motif_points", "motif_rings", "rose_spokes", "stacked_seams"];

/// How many spoiled calls may still end otherwise. These are upper bounds: lower them when fewer do.
const RAW_FAULTS: usize = 106;
const RULES_BELOW_NOTHING: usize = 145;
const OTHER_KINDS_TAKEN: usize = 1;
const BARE_PERCENTS_TAKEN: usize = 4;

#[derive(Clone, Copy, PartialEq)]
enum Way {
    Nothing,
    LessThanNothing,
    Hundredfold,
    OtherKind,
    BarePercent,
}

struct Spoiled {
    rule: String,
    way: Way,
    call: String,
}

/// What an argument becomes when it is spoiled; nothing where it is no measure and no size.
fn spoiled(text: &str, value: &Expr) -> Vec<(Way, String)> {
    let written = |expr: &Expr| &text[expr.span.start as usize..expr.span.end as usize];
    match &value.kind {
        ExprKind::Measure(measure) => {
            let x = written(value);
            let other = if measure.dim == Dim::MASS { "7 in" } else { "7 g" };
            let mut ways = vec![
                (Way::Nothing, format!("({x} - {x})")),
                (Way::LessThanNothing, format!("(-({x}))")),
                (Way::Hundredfold, format!("(100 * {x})")),
                (Way::OtherKind, other.to_owned()),
            ];
            ways.extend(x.strip_suffix('%').map(|bare| (Way::BarePercent, bare.to_owned())));
            ways
        }
        ExprKind::Size(sides) => {
            let (x, y) = (written(&sides.0), written(value).rsplit(" by ").next().unwrap_or_default());
            let whole = written(value);
            vec![
                (Way::Nothing, format!("(0 * ({whole}))")),
                (Way::LessThanNothing, format!("(-1 * ({whole}))")),
                (Way::Hundredfold, format!("(100 * ({whole}))")),
                (Way::OtherKind, y.to_owned()),
                (Way::OtherKind, if x.contains("in") { "7 g" } else { "7 oz" }.to_owned()),
            ]
        }
        _ => Vec::new(),
    }
}

/// The outermost call of a rule of the library.
fn outermost(tried: &Expr) -> Option<(&Expr, &Call)> {
    let mut found = None;
    said::within(tried, &mut |expr| {
        if let ExprKind::Call(call) = &expr.kind
            && found.is_none()
            && library::index().contains_key(&*call.rule.name)
        {
            found = Some((expr, &**call));
        }
    });
    found
}

/// All spoiled calls: one argument of one example at a time.
fn calls() -> Vec<Spoiled> {
    let (mut calls, mut done) = (Vec::new(), BTreeSet::new());
    for (name, text) in library::FILES {
        let mut files = Files::new();
        let id = files.add(File::new(*name, *text));
        let read = syntax::read(id, text);
        assert!(read.faults.is_empty(), "{name}");
        let docs = read.tree.lines.iter().filter_map(|line| line.doc.as_ref());
        for (expr, call) in docs.flat_map(|doc| &doc.examples).filter_map(|example| outermost(&example.tried))
        {
            if !done.insert(call.rule.name.to_string()) {
                continue;
            }
            let (start, end) = (expr.span.start as usize, expr.span.end as usize);
            for arg in &call.args {
                for (way, instead) in spoiled(text, &arg.value) {
                    let (from, to) = (arg.value.span.start as usize, arg.value.span.end as usize);
                    let call_text = format!("{}{instead}{}", &text[start..from], &text[to..end]);
                    calls.push(Spoiled { rule: call.rule.name.to_string(), way, call: call_text });
                }
            }
        }
    }
    calls
}

fn entered(call: &str) -> Entered {
    let mut session = Session::new(Limits::default());
    session.enter("seam 1/4 in", &NoFiles);
    session.enter("shop 1/8 yd", &NoFiles);
    session.enter(call, &NoFiles)
}

fn below_nothing(value: &FigureValue) -> bool {
    match value {
        FigureValue::Measure(x) => x.is_negative(),
        FigureValue::Slack(x) => x.middle.is_negative(),
        FigureValue::Size(size) => size.0.is_negative() || size.1.is_negative(),
        FigureValue::List(items) => items.iter().any(below_nothing),
        FigureValue::Record(parts) => parts.iter().any(|(_, part)| below_nothing(part)),
        _ => false,
    }
}

/// One fault that is not in the trade's words: the arithmetic of the library came to its end.
fn raw(entered: &Entered) -> bool {
    let spoken = |code: Code| matches!(code, Code::Refused | Code::WrongKind | Code::OutOfBounds);
    entered.faults.iter().any(|fault| !spoken(fault.code))
}

#[test]
fn a_spoiled_call_is_refused_in_words_or_truly_sound() {
    let calls = calls();
    assert!(calls.len() > 1200, "{} calls", calls.len());
    let (mut raw_faults, mut below, mut kinds, mut percents) =
        (Vec::new(), BTreeSet::new(), Vec::new(), Vec::new());
    for Spoiled { rule, way, call } in &calls {
        let entered = entered(call);
        let cautioned = entered.answers.iter().any(|answer| matches!(answer, Answer::Caution(_)));
        let negative =
            |answer: &Answer| matches!(answer, Answer::Value(figure) if below_nothing(&figure.value));
        if raw(&entered) {
            raw_faults.push(format!("{call}: {}", entered.faults[0].message));
        } else if entered.faults.is_empty() {
            match way {
                Way::OtherKind => kinds.push(call.clone()),
                Way::BarePercent => percents.push(call.clone()),
                _ if !cautioned
                    && !SIGNED.contains(&rule.as_str())
                    && entered.answers.iter().any(negative) =>
                {
                    below.insert(rule.clone());
                }
                _ => {}
            }
        }
    }
    let told = [
        ("raw faults", raw_faults, RAW_FAULTS),
        ("rules below nothing", below.into_iter().collect(), RULES_BELOW_NOTHING),
        ("other kinds taken", kinds, OTHER_KINDS_TAKEN),
        ("bare percents taken", percents, BARE_PERCENTS_TAKEN),
    ];
    let more: Vec<String> = told
        .into_iter()
        .filter(|(_, found, bound)| found.len() > *bound)
        .map(|(what, found, bound)| {
            format!("{} {what}, more than {bound}:\n{}", found.len(), found.join("\n"))
        })
        .collect();
    assert!(more.is_empty(), "{}", more.join("\n\n"));
}
