//! Every example call of every rule with one argument spoiled: nothing, less than nothing, a hundredfold, another kind, a
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
use scant::syntax::tree::{Call, Expr, ExprKind, LineKind};
use scant::syntax::{self, visit};

/// Rules whose answers are places that have a direction.
const DIRECTED: &[&str] = &["motif_points", "motif_rings", "rose_spokes"];

/// Rules that take measures of any kind, as long as all are of one.
const ANY_KIND: &[&str] = &["left_over", "packs", "packs_cost", "scaled_amount"];

#[derive(Clone, Copy, PartialEq)]
enum Way {
    Nothing,
    LessThanNothing,
    Hundredfold,
    OtherKind,
    BarePercent,
}

struct Spoiled {
    /// Whether the heading says that what was spoiled, or what comes of it, may be less than nothing.
    signed: bool,
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
    visit::within(tried, &mut |expr| {
        if let ExprKind::Call(call) = &expr.kind
            && found.is_none()
            && library::index().contains_key(&*call.rule.name)
        {
            found = Some((expr, &**call));
        }
    });
    found
}

/// The rules that say `signed` of what they give, and the parameters of which a heading says it.
fn signed() -> BTreeSet<(String, String)> {
    let mut signed = BTreeSet::new();
    for (_, text) in library::FILES {
        for line in syntax::read(Files::new().add(File::new("library", *text)), text).tree.lines {
            let LineKind::Rule(rule) = line.kind else { continue };
            let params = rule.params.iter().filter(|param| param.guard.signed);
            let names = params.map(|param| &param.name.name).chain(rule.signed.then_some(&rule.name.name));
            signed.extend(names.map(|name| (rule.name.name.to_string(), name.to_string())));
        }
    }
    signed
}

/// All spoiled calls: one argument of one example at a time.
fn calls() -> Vec<Spoiled> {
    let (mut calls, mut done) = (Vec::new(), BTreeSet::new());
    let signed = signed();
    for (name, text) in library::FILES {
        let mut files = Files::new();
        let id = files.add(File::new(*name, *text));
        let read = syntax::read(id, text);
        assert!(read.faults.is_empty(), "{name}");
        let docs = read.tree.lines.iter().filter_map(|line| line.doc.as_ref());
        for (expr, call) in docs.flat_map(|doc| &doc.examples).filter_map(|example| outermost(&example.tried))
        {
            let rule = call.rule.name.to_string();
            let says = |name: &str| signed.contains(&(rule.clone(), name.to_owned()));
            let (start, end) = (expr.span.start as usize, expr.span.end as usize);
            for arg in &call.args {
                for (way, instead) in spoiled(text, &arg.value) {
                    let (from, to) = (arg.value.span.start as usize, arg.value.span.end as usize);
                    let call_text = format!("{}{instead}{}", &text[start..from], &text[to..end]);
                    if done.insert(call_text.clone()) {
                        let name = arg.name.as_ref().map_or("", |name| &name.name);
                        let signed = says(&rule) || says(name);
                        calls.push(Spoiled { signed, rule: rule.clone(), way, call: call_text });
                    }
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
    let spoken = |code: Code| {
        matches!(code, Code::Refused | Code::WrongKind | Code::OutOfBounds | Code::DoesNotFit | Code::TooMuch)
    };
    entered.faults.iter().any(|fault| !spoken(fault.code) || fault.message.contains("divide by 0"))
}

/// What is wrong with how a spoiled call ended, if anything is.
fn wrong(spoiled: &Spoiled) -> Option<String> {
    let Spoiled { signed, rule, way, call } = spoiled;
    let entered = entered(call);
    let negative = |answer: &Answer| matches!(answer, Answer::Value(figure) if below_nothing(&figure.value));
    let cautioned = || entered.answers.iter().any(|answer| matches!(answer, Answer::Caution(_)));
    let directed = || *signed || DIRECTED.contains(&rule.as_str());
    let what = match way {
        _ if raw(&entered) => entered.faults[0].message.as_str(),
        _ if !entered.faults.is_empty() => return None,
        Way::OtherKind if ANY_KIND.contains(&rule.as_str()) => return None,
        Way::OtherKind => "takes another kind",
        Way::BarePercent => "takes a bare percent",
        _ if entered.answers.iter().any(negative) && !cautioned() && !directed() => "less than nothing",
        _ => return None,
    };
    Some(format!("{call}: {what}"))
}

#[test]
fn a_spoiled_call_is_refused_in_words_or_truly_sound() {
    let calls = calls();
    assert!(calls.len() > 2400, "{} calls", calls.len());
    let wrong: Vec<String> = calls.iter().filter_map(wrong).collect();
    assert!(wrong.is_empty(), "{} of {}:\n{}", wrong.len(), calls.len(), wrong.join("\n"));
}
