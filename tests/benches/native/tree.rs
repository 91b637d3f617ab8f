//! The tree that the hand-written parser builds, and its fingerprint.

use std::fmt::Write;

use super::length::{Length, Unit, push_decimal, push_mixed};
use super::ratio::Ratio;

/// Start and end in bytes.
pub type Span = (u32, u32);

/// From the first to the second.
pub type Bounds = Option<(Expr, Expr)>;

/// An argument, with its name where it has one.
pub type Arg = (Option<Ident>, Expr);

pub struct Ident {
    pub name: Box<str>,
    pub span: Span,
}

pub struct Line {
    pub kind: LineKind,
    pub span: Span,
    pub doc: Option<Box<str>>,
}

pub enum LineKind {
    Name(Ident, Expr),
    Given(Box<(Ident, Expr, Bounds)>),
    Rule(Box<Rule>),
    Show(Option<Text>, Expr),
    Check(Expr, Option<Text>),
    Step(Text),
    Work(Expr),
}

pub struct Rule {
    pub name: Ident,
    pub params: Vec<(Ident, Option<Ident>, Option<Expr>)>,
    pub gives: Option<Ident>,
    pub body: Expr,
}

pub struct Expr {
    pub kind: ExprKind,
    pub span: Span,
}

pub enum ExprKind {
    Number(Ratio),
    Length(Length),
    Name(Box<str>),
    Bracket(Box<Expr>),
    Minus(Box<Expr>),
    Binary(Box<(Op, Expr, Expr)>),
    Compare(Box<Expr>, Vec<(Op, Expr)>),
    Size(Box<(Expr, Expr)>),
    Round(Op, Box<(Expr, Expr)>),
    Call(Box<(Ident, Vec<Arg>)>),
    Part(Box<Expr>, Ident),
    If(Box<(Expr, Expr, Expr)>),
    Each(Box<(Ident, Expr, Expr, Expr)>),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Op {
    Add,
    Subtract,
    Multiply,
    Divide,
    And,
    Or,
    Less,
    AtMost,
    More,
    AtLeast,
    Is,
    Nearest,
    Up,
    Down,
    By,
}

pub struct Text {
    pub parts: Vec<TextPart>,
}

pub enum TextPart {
    Plain(Box<str>),
    Filled(Expr),
}

/// All lines as one text: structure, values, and where the leaves stand.
pub fn fingerprint(lines: &[Line]) -> String {
    let mut out = String::new();
    for line in lines {
        let _ = write!(out, "{}-{}", line.span.0, line.span.1);
        if let Some(doc) = &line.doc {
            let _ = write!(out, " ##{doc}");
        }
        out.push_str(" (");
        line_kind(&line.kind, &mut out);
        out.push_str(")\n");
    }
    out
}

fn line_kind(kind: &LineKind, out: &mut String) {
    match kind {
        LineKind::Name(name, value) => {
            ident("name", name, out);
            value.write(out);
        }
        LineKind::Given(given) => {
            let (name, default, bounds) = &**given;
            ident("given", name, out);
            default.write(out);
            if let Some((low, high)) = bounds {
                low.write(out);
                high.write(out);
            }
        }
        LineKind::Rule(rule) => {
            ident("rule", &rule.name, out);
            for (name, kind, default) in &rule.params {
                ident("param", name, out);
                kind.iter().for_each(|kind| ident(":", kind, out));
                default.iter().for_each(|default| default.write(out));
            }
            rule.gives.iter().for_each(|kind| ident("gives", kind, out));
            rule.body.write(out);
        }
        LineKind::Show(label, value) => {
            out.push_str("show");
            label.iter().for_each(|label| label.write(out));
            value.write(out);
        }
        LineKind::Check(condition, message) => {
            out.push_str("check");
            condition.write(out);
            message.iter().for_each(|message| message.write(out));
        }
        LineKind::Step(text) => {
            out.push_str("step");
            text.write(out);
        }
        LineKind::Work(value) => value.write(out),
    }
}

fn ident(what: &str, ident: &Ident, out: &mut String) {
    let _ = write!(out, " {what} {}@{}-{}", ident.name, ident.span.0, ident.span.1);
}

impl Text {
    fn write(&self, out: &mut String) {
        for part in &self.parts {
            match part {
                TextPart::Plain(text) => {
                    let _ = write!(out, " {text:?}");
                }
                TextPart::Filled(expr) => expr.write(out),
            }
        }
    }
}

impl Expr {
    fn write(&self, out: &mut String) {
        let (start, end) = self.span;
        out.push_str(" (");
        match &self.kind {
            ExprKind::Number(value) => push_mixed(*value, out),
            ExprKind::Length(length) => {
                if length.unit == Unit::Centimetre {
                    push_decimal(length.value / Ratio::whole(length.unit.factor()), out);
                    out.push_str(" cm");
                } else {
                    // Yards stay as they are typed.
                    let (unit, symbol) = match length.unit {
                        Unit::Yard => (Unit::Yard, " yd"),
                        _ => (Unit::Inch, " in"),
                    };
                    push_mixed(length.value / Ratio::whole(unit.factor()), out);
                    out.push_str(symbol);
                }
            }
            ExprKind::Name(name) => out.push_str(name),
            ExprKind::Bracket(inner) => all("bracket", &[inner], out),
            ExprKind::Minus(inner) => all("minus", &[inner], out),
            ExprKind::Binary(parts) => all(&format!("{:?}", parts.0), &[&parts.1, &parts.2], out),
            ExprKind::Compare(first, links) => {
                all("compare", &[first], out);
                links.iter().for_each(|(op, operand)| all(&format!(" {op:?}"), &[operand], out));
            }
            ExprKind::Size(pair) => all("size", &[&pair.0, &pair.1], out),
            ExprKind::Round(way, pair) => all(&format!("{way:?}"), &[&pair.0, &pair.1], out),
            ExprKind::Call(call) => {
                ident("call", &call.0, out);
                for (name, value) in &call.1 {
                    name.iter().for_each(|name| ident("arg", name, out));
                    value.write(out);
                }
            }
            ExprKind::Part(of, part) => {
                all("part", &[of], out);
                ident("", part, out);
            }
            ExprKind::If(parts) => all("if", &[&parts.0, &parts.1, &parts.2], out),
            ExprKind::Each(each) => {
                ident("each", &each.0, out);
                all("", &[&each.1, &each.2, &each.3], out);
            }
        }
        let _ = write!(out, ")@{start}-{end}");
    }
}

fn all(what: &str, parts: &[&Expr], out: &mut String) {
    out.push_str(what);
    parts.iter().for_each(|part| part.write(out));
}
