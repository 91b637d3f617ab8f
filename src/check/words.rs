//! The faults of the check, in the same voice as those of working.

use std::rc::Rc;

use crate::check::Infer;
use crate::check::types::{Shape, Type};
use crate::code::node::{Code, Node};
use crate::eval::words::{Operand, bare_words_hint};
use crate::fault::{Code as FaultCode, Fault, Span, closest};
use crate::measure::Dim;
use crate::syntax::tree::BinaryOp;

/// A kind in trade words: `a length`, `a size`, `a list`.
pub(crate) fn name(infer: &mut Infer<'_>, ty: &Type) -> String {
    match infer.store.shallow(ty) {
        Type::Quant(_, Shape::Size) => "a size".into(),
        Type::Quant(dims, _) => dims.known().map_or_else(|| "a measure".into(), Dim::trade_name),
        Type::Text => "a text".into(),
        Type::YesNo | Type::No => "a yes or no".into(),
        Type::List(_) => "a list".into(),
        Type::Record(_) => "a record".into(),
        Type::Maybe(inner) => name(infer, &inner),
        Type::Unsure | Type::Never | Type::Var(_) | Type::Mixed(_) => "a value".into(),
    }
}

/// `this is a length, 2 1/2 in`, `this is a length, from line 4`.
pub(crate) fn operand(infer: &mut Infer<'_>, ty: &Type, node: &Node) -> String {
    format!("this is {}", described(infer, ty, node))
}

/// `a length, 2 1/2 in`, `a length, from line 4`.
pub(crate) fn described(infer: &mut Infer<'_>, ty: &Type, node: &Node) -> String {
    let kind = name(infer, ty);
    let from = match &node.code {
        Code::Const(value) => return Operand::new(value, node.span).words(),
        Code::Global(slot) => infer.names.globals.get(*slot as usize).map(|entry| entry.span),
        Code::Local(slot) => infer.locals.get(*slot as usize).and_then(|(_, span)| *span),
        _ => None,
    };
    match from.and_then(|span| line_of(infer, span, node.span)) {
        Some(place) => format!("{kind}, from {place}"),
        None => kind,
    }
}

fn line_of(infer: &Infer<'_>, span: Span, here: Span) -> Option<String> {
    let file = infer.files.get(span.file)?;
    let line = file.place(span.start as usize).line;
    if span.file != here.file {
        return Some(format!("line {line} of {}", file.name()));
    }
    (line != file.place(here.start as usize).line).then(|| format!("line {line}"))
}

fn dim(infer: &mut Infer<'_>, ty: &Type) -> Option<Dim> {
    match infer.store.shallow(ty) {
        Type::Quant(dims, Shape::One | Shape::Count) => dims.known(),
        Type::Maybe(inner) => dim(infer, &inner),
        _ => None,
    }
}

fn is_size(infer: &mut Infer<'_>, ty: &Type) -> bool {
    matches!(infer.store.shallow(ty), Type::Quant(_, Shape::Size))
}

fn part_list(infer: &mut Infer<'_>, ty: &Type) -> Option<String> {
    match infer.store.shallow(ty) {
        Type::Record(parts) => {
            let parts: Vec<String> = parts.parts.iter().map(|(name, _)| format!("`.{name}`")).collect();
            Some(parts.join(", "))
        }
        _ => None,
    }
}

/// Two operands that an operator cannot take, without their places.
pub(crate) fn operation(
    op: BinaryOp,
    span: Span,
    (a, x): (&str, &Type),
    (b, y): (&str, &Type),
    infer: &mut Infer<'_>,
) -> Fault {
    let (p, q) = (dim(infer, x), dim(infer, y));
    let currencies = p.and_then(Dim::currency).zip(q.and_then(Dim::currency));
    if let Some((one, other)) = currencies {
        let additive = matches!(op, BinaryOp::Add | BinaryOp::Subtract);
        if additive && one != other {
            let message = format!("{a} and {b} are of two currencies, and no rate is known here");
            return Fault::new(FaultCode::MoneyMix, span, message)
                .hint("money goes with numbers, and with money of its own currency only");
        }
        if !additive {
            let message = format!("`{}` makes nothing sensible of {a} and {b}", op.sign());
            return Fault::new(FaultCode::MoneyMix, span, message)
                .hint("money goes with numbers, and with money of its own currency only");
        }
    }
    if op == BinaryOp::Power && p.and_then(Dim::currency).is_some() {
        let message = format!("`^` makes nothing sensible of {a} and {b}");
        return Fault::new(FaultCode::MoneyMix, span, message)
            .hint("money goes with numbers, and with money of its own currency only");
    }
    let message = crate::eval::words::no_sum(op, a, b);
    let fault = Fault::new(FaultCode::UnitMix, span, message);
    let sizes = (is_size(infer, x), is_size(infer, y));
    let texts = [x, y].iter().any(|ty| matches!(infer.store.shallow(ty), Type::Text));
    match (sizes, p, q) {
        ((true, false), _, Some(Dim::LENGTH)) | ((false, true), Some(Dim::LENGTH), _)
            if matches!(op, BinaryOp::Add | BinaryOp::Subtract) =>
        {
            fault.hint("to add it at each edge write `grown(SIZE, each_edge: LENGTH)`; else take the part meant, `.across` or `.along`")
        }
        ((true, _), ..) | ((_, true), ..) => fault.hint("a size has two parts: take `.across` or `.along`"),
        (_, Some(p), Some(q)) => bare_words_hint(fault, op, p, q),
        _ => match part_list(infer, x).or_else(|| part_list(infer, y)) {
            Some(parts) => fault.hint(format!("take a part of the record: {parts}")),
            None if texts => fault.hint("a text takes a value in braces: `\"cut {width}\"`"),
            None => fault,
        },
    }
}

/// Two operands that an operator cannot take.
pub(crate) fn two(infer: &mut Infer<'_>, op: BinaryOp, left: (&Type, &Node), right: (&Type, &Node)) -> Fault {
    let (a, b) = (name(infer, left.0), name(infer, right.0));
    let span = left.1.span.to(right.1.span);
    let fault = operation(op, span, (&a, left.0), (&b, right.0), infer);
    both(infer, fault, left, right)
}

/// Names both operands.
pub(crate) fn both(
    infer: &mut Infer<'_>,
    fault: Fault,
    left: (&Type, &Node),
    right: (&Type, &Node),
) -> Fault {
    let (a, b) = (operand(infer, left.0, left.1), operand(infer, right.0, right.1));
    fault.other(left.1.span, a).other(right.1.span, b)
}

/// Two operands that cannot be compared.
pub(crate) fn comparison(infer: &mut Infer<'_>, left: (&Type, &Node), right: (&Type, &Node)) -> Fault {
    let (a, b) = (name(infer, left.0), name(infer, right.0));
    let (p, q) = (dim(infer, left.0), dim(infer, right.0));
    let span = left.1.span.to(right.1.span);
    let mixed = p.and_then(Dim::currency).is_some() && q.and_then(Dim::currency).is_some();
    let code = if mixed { FaultCode::MoneyMix } else { FaultCode::UnitMix };
    let fault = Fault::new(code, span, format!("{a} cannot be compared with {b}"));
    let fault = both(infer, fault, left, right);
    match (p, q) {
        (Some(p), Some(q)) => bare_words_hint(fault, BinaryOp::Add, p, q),
        _ if is_size(infer, left.0) || is_size(infer, right.0) => {
            fault.hint("compare a part: `.across` or `.along`")
        }
        _ => fault,
    }
}

/// A value of the wrong kind for the place where it stands.
pub(crate) fn wanted(infer: &mut Infer<'_>, what: &str, ty: &Type, node: &Node) -> Fault {
    let described = described(infer, ty, node);
    let fault = kind(node.span, format!("{what} is wanted here, and this is {described}"));
    let bare = dim(infer, ty);
    if is_size(infer, ty) {
        return fault.hint("a size has two parts: take `.across` or `.along`");
    }
    if let Some(parts) = part_list(infer, ty) {
        return fault.hint(format!("take a part of the record: {parts}"));
    }
    match bare {
        Some(_) if what.contains("yes or no") => {
            fault.hint("ask something of it, such as `… <= 54 in` or `… is 5`")
        }
        Some(Dim::NONE) if what.contains("length") => {
            fault.hint("give the bare number its unit, such as `2 in`")
        }
        _ => fault,
    }
}

/// A value of the wrong kind.
pub(crate) fn kind(span: Span, message: String) -> Fault {
    Fault::new(FaultCode::WrongKind, span, message)
}

/// A part that a value does not have.
pub(crate) fn no_part(infer: &mut Infer<'_>, of: &Type, part: &str, of_span: Span, span: Span) -> Fault {
    let kind = name(infer, of);
    let fault = Fault::new(FaultCode::UnknownPart, span, format!("{kind} has no part `.{part}`"))
        .other(of_span, "this value");
    match infer.store.shallow(of) {
        Type::Quant(_, Shape::Size) => fault.hint("a size has `.across` and `.along`"),
        Type::Record(parts) => {
            let close = closest(part, parts.parts.iter().map(|(name, _)| &**name));
            let listed: Vec<String> = parts.parts.iter().map(|(name, _)| format!("`.{name}`")).collect();
            fault.did_you_mean(close).hint(format!("it has {}", listed.join(", ")))
        }
        Type::List(_) => fault.hint("take an item first, such as `[1]`; `count(…)` tells how many there are"),
        Type::Quant(..) => fault.hint("it is one measure, without parts"),
        _ => fault,
    }
}

/// A fault inside a generic rule, told at the call whose arguments bring it about.
pub(crate) fn carried(fault: Fault, rule: &Rc<str>, call: Span) -> Fault {
    let inside = fault.span();
    let mut told = Fault::new(fault.code, call, format!("in `{rule}`, {}", fault.message));
    told.others = fault.others;
    if let Some(span) = inside
        && told.others.iter().all(|label| label.span != span)
    {
        told.others.push(crate::fault::Label { span, text: "it is worked here".into() });
    }
    told.hints = fault.hints;
    told
}

/// Two ways of a choice that give two kinds.
pub(crate) fn either(span: Span, (left, a): (Span, &str), (right, b): (Span, &str)) -> Fault {
    let message = format!(
        "this gives {a} one way and {b} the other: what is made of it is checked only when it is worked"
    );
    Fault::advice(FaultCode::Advice, span, message)
        .other(left, format!("this is {a}"))
        .other(right, format!("this is {b}"))
}

/// A rule of which the check cannot tell all: what it leaves open is checked at the run.
pub(super) fn unsettled(rule: &str, heading: Span) -> Fault {
    let message =
        format!("`{rule}` has more unknown measures than the check can tell apart; the run checks the rest");
    Fault::advice(FaultCode::Advice, heading, message)
        .hint("name kinds in its heading, such as `depth: length`")
}
