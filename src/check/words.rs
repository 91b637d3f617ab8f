//! What the check infers, described as values are, and the faults that only the check can find.

use std::rc::Rc;

use crate::check::Infer;
use crate::check::types::{Shape, Type};
use crate::code::node::{Code, Node};
use crate::fault::{Code as FaultCode, Fault, Label, Span};
use crate::measure::Dim;
use crate::value::{Cause, Describe, Facts, Operand, Pair, Sort, named};

/// A kind that was inferred, and the expression that has it.
pub(crate) struct Seen<'s, 'a> {
    infer: &'s Infer<'a>,
    ty: &'s Type,
    node: &'s Node,
}

impl<'a> Infer<'a> {
    /// An expression and its kind, to be told.
    pub(crate) fn seen<'s>(&'s self, ty: &'s Type, node: &'s Node) -> Seen<'s, 'a> {
        Seen { infer: self, ty, node }
    }

    /// A kind in trade words: `a length`, `a size`, `a list`.
    pub(crate) fn kind_name(&self, ty: &Type) -> String {
        match self.store.shallow(ty) {
            Type::Quant(_, Shape::Size) => "a size".into(),
            Type::Quant(dims, _) => dims.known().map_or_else(|| "a measure".into(), Dim::trade_name),
            Type::Text => "text".into(),
            Type::Outline => "a shape".into(),
            Type::YesNo | Type::No => "a yes or no".into(),
            Type::List(_) => "a list".into(),
            Type::Record(_) => "a record".into(),
            Type::Maybe(inner) => self.kind_name(&inner),
            Type::Unsure | Type::Never | Type::Var(_) | Type::Mixed(_) => "a value".into(),
        }
    }

    /// A kind at a place, where no expression says more.
    pub(crate) fn facts(&self, ty: &Type, span: Span) -> Facts {
        let name = self.kind_name(ty);
        Facts { words: name.clone(), name, sort: self.sort(ty), span }
    }

    fn sort(&self, ty: &Type) -> Sort {
        match self.store.shallow(ty) {
            Type::Quant(_, Shape::Size) => Sort::Size,
            Type::Quant(dims, _) => Sort::Measure(dims.known()),
            Type::Text => Sort::Text,
            Type::Outline => Sort::Shape,
            Type::List(_) => Sort::List,
            Type::Record(record) => Sort::Record(record.parts.iter().map(|(name, _)| name.clone()).collect()),
            Type::Maybe(inner) => self.sort(&inner),
            _ => Sort::Other,
        }
    }

    /// The line that something stands on, seen from another place.
    fn line_of(&self, span: Span, here: Span) -> Option<String> {
        let file = self.files.get(span.file)?;
        let line = file.place(span.start as usize).line;
        if span.file != here.file {
            return Some(format!("line {line} of {}", file.name()));
        }
        (line != file.place(here.start as usize).line).then(|| format!("line {line}"))
    }
}

impl Describe for Seen<'_, '_> {
    /// `a length, 2 1/2 in`; `a length, from line 4`.
    fn facts(&self) -> Facts {
        let Seen { infer, ty, node } = self;
        let facts = infer.facts(ty, node.span);
        let from = match &node.code {
            Code::Const(value) => return Facts { words: Operand::new(value, node.span).words(), ..facts },
            Code::Global(slot) => infer.names.globals.get(*slot as usize).map(|entry| entry.span),
            Code::Local(slot) => infer.locals.get(*slot as usize).and_then(|(_, span)| *span),
            _ => None,
        };
        match from.and_then(|span| infer.line_of(span, node.span)) {
            Some(place) => Facts { words: format!("{}, from {place}", facts.name), ..facts },
            None => facts,
        }
    }
}

/// A value of the wrong kind.
pub(crate) fn kind(span: Span, message: String) -> Fault {
    Fault::new(FaultCode::WrongKind, span, message)
}

/// A fault inside a generic rule, told at the call whose arguments bring it about.
pub(crate) fn carried(fault: Fault, rule: &Rc<str>, call: Span) -> Fault {
    let inside = fault.span();
    let mut told = Fault::new(fault.code, call, format!("in `{rule}`, {}", fault.message));
    told.others = fault.others;
    if let Some(span) = inside
        && told.others.iter().all(|label| label.span != span)
    {
        told.others.push(Label { span, text: "it is calculated here".into() });
    }
    told.hints = fault.hints;
    told
}

/// Two ways of a choice that give two kinds.
pub(crate) fn either(span: Span, left: &Facts, right: &Facts) -> Fault {
    let (a, b) = (&left.name, &right.name);
    let message = format!(
        "this gives {a} in one case and {b} in the other: the lines that use it are checked only when they are calculated"
    );
    Fault::advice(FaultCode::Advice, span, message)
        .other(left.span, format!("this is {a}"))
        .other(right.span, format!("this is {b}"))
}

/// A power whose exponent is not fixed.
pub(crate) fn open_exponent(span: Span, exponent: Span) -> Fault {
    let message = "what this power measures is known only when it is calculated";
    Fault::advice(FaultCode::Advice, span, message).other(exponent, "this is not a fixed number")
}

/// A list whose items have no largest.
pub(crate) fn mixed_extreme(span: Span, list: Span, a: &str, b: &str) -> Fault {
    let message = format!("{a} cannot be compared with {b}");
    Fault::new(FaultCode::UnitMix, span, message).other(list, "this list holds both")
}

/// `a length, 2 1/2 in`; `a length, from line 4`.
pub(crate) fn described(infer: &Infer<'_>, ty: &Type, node: &Node) -> String {
    infer.seen(ty, node).facts().words
}

/// `this is a length, 2 1/2 in`.
pub(crate) fn operand(infer: &Infer<'_>, ty: &Type, node: &Node) -> String {
    format!("this is {}", described(infer, ty, node))
}

/// Names both operands at their places.
pub(crate) fn both(infer: &Infer<'_>, fault: Fault, left: (&Type, &Node), right: (&Type, &Node)) -> Fault {
    named(fault, &infer.seen(left.0, left.1).facts(), &infer.seen(right.0, right.1).facts())
}

/// Something of the wrong kind for its place.
pub(crate) fn wanted(infer: &Infer<'_>, what: &str, ty: &Type, node: &Node) -> Fault {
    Cause::wanted(what, &infer.seen(ty, node)).into()
}

/// Two that cannot be compared.
pub(crate) fn comparison(infer: &Infer<'_>, left: (&Type, &Node), right: (&Type, &Node)) -> Fault {
    Cause::pair(Pair::Comparison, &infer.seen(left.0, left.1), &infer.seen(right.0, right.1)).into()
}

/// A rule of which the check cannot tell all: what it leaves open is checked at the run.
pub(super) fn unsettled(rule: &str, heading: Span) -> Fault {
    let message = format!(
        "`{rule}` has too many arguments and names without a kind: some are checked only when the recipe runs"
    );
    Fault::advice(FaultCode::Advice, heading, message)
        .hint("write kinds in its heading, such as `depth: length`")
}
