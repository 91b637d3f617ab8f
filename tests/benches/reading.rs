//! A script of a hundred thousand ordinary lines, read into a tree.

use std::fmt::Write;

use scant::fault::FileId;
use scant::syntax::read;
use scant::syntax::tree::{
    BinaryOp, Bounds, Check, CompareOp, Expr, ExprKind, Ident, Line, LineKind, Name, Show, Text, TextPart,
    Tree, UnaryOp, Way, Words, WordsKind,
};

use super::clock::Whose;
use super::native;
use super::race::{Timed, race};
use super::seeded::Seeded;

const LINES: u32 = 100_000;

/// Lines as they stand in recipes, of all kinds that come often.
fn script() -> String {
    let mut lot = Seeded(11);
    let mut out = String::new();
    for at in 0..LINES {
        let kind = lot.below(16);
        line(kind, at, &mut lot, &mut out);
        out.push('\n');
    }
    out
}

fn line(kind: u64, at: u32, lot: &mut Seeded, out: &mut String) {
    let mut name =
        || ["panel", "strip", "edge", "hem", "loft", "flat"][usize::try_from(lot.below(6)).unwrap()];
    let (a, b) = (name(), name());
    let measure = lot.one(&["3/8 in", "2 1/2 in", "12.5 cm", "44 in", "1 1/4 in", "30 cm", "3/4 yd"]);
    let count = lot.one(&["2", "3", "5", "12", "40"]);
    let _ = match kind {
        0 => write!(out, "{a}_{at} = {measure} + {b} * {count}"),
        1 => write!(out, "{a}_{at} = ({b} + {measure}) * 3 / 4 nearest 1/8 in"),
        2 => write!(out, "{a}_{at} = gathered({b}, fullness: 2 1/2, seam: {measure})"),
        3 => write!(out, "{a}_{at} = {measure} by {b} + 2 cm"),
        4 => write!(out, "{a}_{at} = if {b} > {measure} then {b} - 1/4 in else {measure}"),
        5 => write!(out, "show \"{a} as cut\": {b} + 2 * {measure}"),
        6 => write!(out, "check {a} <= 44 in and {b} > {measure}: \"the {a} is too wide for the cloth\""),
        7 => write!(out, "step \"Cut {{{count}}} pieces {{{a} + 1/4 in}} wide and press the {b}.\""),
        8 => write!(out, "given {a}_{at} = {measure} from 1/8 in to 60 in"),
        9 => write!(
            out,
            "rule {a}_{at}(width: length, folds: count = {count}): length = width * folds + {measure}"
        ),
        10 => write!(out, "# the {a} and the {b} lie on the same fold"),
        11 => write!(out, "## how wide the {a} is cut"),
        12 => write!(out, "{a}_{at} = {b}.across - {measure}"),
        13 => write!(out, "{a}_{at} = each k from 1 to {count}: {measure} + (k - 1) * {b}"),
        14 => write!(out, "{a}_{at} = {b} - {measure} up 1/8 yd   # the shop's step"),
        _ => write!(out, "{a}_{at} = cut_size({b}.across by {measure}, left: {b}.along / {count})"),
    };
}

fn in_scant(script: &str) -> Tree {
    let read = read(FileId(0), script);
    assert!(read.faults.is_empty(), "{:?}", read.faults.first());
    read.tree
}

fn by_hand(script: &str) -> Vec<native::tree::Line> {
    native::parse::parse(script).unwrap()
}

pub fn task() {
    let script = script();
    let (a, b) = (native::tree::fingerprint(&by_hand(&script)), fingerprint(&in_scant(&script)));
    super::grading::same(a.as_bytes(), b.as_bytes());
    drop((a, b));
    let native = || drop(std::hint::black_box(by_hand(&script)));
    let (native, scant) = race(Whose::Own, 7, native, || drop(std::hint::black_box(in_scant(&script))));
    let megabytes = |time: std::time::Duration| script.len() as f64 / 1e6 / time.as_secs_f64();
    let pace = format!("{:.1} MB/s (native {:.0})", megabytes(scant), megabytes(native));
    Timed { task: "parsing 100,000 lines", native, scant, aim: 8.0, pace }.print();
}

/// The tree as the hand-written one tells itself.
fn fingerprint(tree: &Tree) -> String {
    let mut out = String::new();
    for line in &tree.lines {
        let _ = write!(out, "{}-{}", line.span.start, line.span.end);
        if let Some(doc) = &line.doc {
            let _ = write!(out, " ##{}", doc.words);
        }
        out.push_str(" (");
        line_kind(line, &mut out);
        out.push_str(")\n");
    }
    out
}

fn line_kind(line: &Line, out: &mut String) {
    match &line.kind {
        LineKind::Name(Name { name, value }) => {
            ident("name", name, out);
            expr(value, out);
        }
        LineKind::Given(given) => {
            ident("given", &given.name, out);
            expr(&given.default, out);
            if let Bounds::FromTo(low, high) = &given.bounds {
                expr(low, out);
                expr(high, out);
            }
        }
        LineKind::Rule(rule) => {
            ident("rule", &rule.name, out);
            for param in &rule.params {
                ident("param", &param.name, out);
                param.kind.iter().for_each(|kind| ident(":", kind, out));
                param.default.iter().for_each(|default| expr(default, out));
            }
            rule.gives.iter().for_each(|kind| ident("gives", kind, out));
            expr(&rule.body, out);
        }
        LineKind::Show(Show { label, value }) => {
            out.push_str("show");
            label.iter().for_each(|label| text(label, out));
            expr(value, out);
        }
        LineKind::Check(Check { condition, message }) => {
            out.push_str("check");
            expr(condition, out);
            message.iter().for_each(|message| text(message, out));
        }
        LineKind::Words(Words { what: WordsKind::Step, text: words }) => {
            out.push_str("step");
            text(words, out);
        }
        other => panic!("{other:?}"),
    }
}

fn ident(what: &str, ident: &Ident, out: &mut String) {
    let _ = write!(out, " {what} {}@{}-{}", ident.name, ident.span.start, ident.span.end);
}

fn text(text: &Text, out: &mut String) {
    for part in &text.parts {
        match part {
            TextPart::Plain(plain) => {
                let _ = write!(out, " {plain:?}");
            }
            TextPart::Filled(value) => expr(value, out),
        }
    }
}

fn expr(value: &Expr, out: &mut String) {
    out.push_str(" (");
    match &value.kind {
        ExprKind::Measure(quantity) => out.push_str(&quantity.exact_text()),
        ExprKind::Name(name) => out.push_str(name),
        ExprKind::Bracket(inner) => all("bracket", &[inner], out),
        ExprKind::Unary(UnaryOp::Minus, inner) => all("minus", &[inner], out),
        ExprKind::Binary(binary) => all(operator(binary.op), &[&binary.left, &binary.right], out),
        ExprKind::Compare(first, links) => {
            all("compare", &[first], out);
            links.iter().for_each(|link| all(comparison(link.op), &[&link.operand], out));
        }
        ExprKind::Size(pair) => all("size", &[&pair.0, &pair.1], out),
        ExprKind::Round { way, operands } => {
            let way = match way {
                Way::Nearest => "Nearest",
                Way::Up => "Up",
                Way::Down => "Down",
            };
            all(way, &[&operands.0, &operands.1], out);
        }
        ExprKind::Call(call) => {
            ident("call", &call.rule, out);
            for arg in &call.args {
                arg.name.iter().for_each(|name| ident("arg", name, out));
                expr(&arg.value, out);
            }
        }
        ExprKind::Part(of, part) => {
            all("part", &[of], out);
            ident("", part, out);
        }
        ExprKind::If(parts) => all("if", &[&parts.0, &parts.1, &parts.2], out),
        ExprKind::Each(each) => {
            ident("each", &each.name, out);
            let ExprKind::Range(range) = &each.source.kind else { panic!("{:?}", each.source) };
            all("", &[&range.from, &range.to, &each.body], out);
        }
        other => panic!("{other:?}"),
    }
    let _ = write!(out, ")@{}-{}", value.span.start, value.span.end);
}

fn all(what: &str, parts: &[&Expr], out: &mut String) {
    out.push_str(what);
    parts.iter().for_each(|part| expr(part, out));
}

fn operator(op: BinaryOp) -> &'static str {
    match op {
        BinaryOp::Add => "Add",
        BinaryOp::Subtract => "Subtract",
        BinaryOp::Multiply => "Multiply",
        BinaryOp::Divide => "Divide",
        BinaryOp::And => "And",
        BinaryOp::Or => "Or",
        other => panic!("{other:?}"),
    }
}

fn comparison(op: CompareOp) -> &'static str {
    match op {
        CompareOp::Less => " Less",
        CompareOp::AtMost => " AtMost",
        CompareOp::More => " More",
        CompareOp::AtLeast => " AtLeast",
        CompareOp::Is => " Is",
        CompareOp::IsNot => panic!("not written here"),
    }
}
