//! The faults of working, in the trade's words: one voice for all of them.

use crate::eval::machine::Halt;
use crate::fault::{Code, Fault, Span};
use crate::measure::{Dim, Manner, Quantity, Trouble};
use crate::syntax::tree::BinaryOp;
use crate::value::data::{Doubt, Value};

/// An operand for the words of a fault: its value and its place.
#[derive(Clone, Copy)]
pub struct Operand<'a> {
    /// What it is.
    pub value: &'a Value,
    /// Where it stands.
    pub span: Span,
}

impl<'a> Operand<'a> {
    /// An operand.
    pub fn new(value: &'a Value, span: Span) -> Operand<'a> {
        Operand { value, span }
    }

    /// `a length, 2 1/2 in`
    pub fn words(&self) -> String {
        let name = self.value.trade_name();
        match self.value {
            Value::Measure(_) | Value::Size(_) | Value::Slack(_) | Value::SlackSize(_) => {
                format!("{name}, {}", short(self.value))
            }
            _ => name,
        }
    }
}

/// A value's reading, cut where it would be long.
pub fn short(value: &Value) -> String {
    let whole = value.show(&Manner::default());
    if whole.chars().count() <= 60 {
        return whole;
    }
    whole.chars().take(57).chain("...".chars()).collect()
}

/// The sign or word of an operator.
fn two(code: Code, span: Span, message: String, left: Operand<'_>, right: Operand<'_>) -> Fault {
    Fault::new(code, span, message)
        .other(left.span, format!("this is {}", left.words()))
        .other(right.span, format!("this is {}", right.words()))
}

/// Two operands that an operator cannot take.
pub fn operation(trouble: Trouble, op: BinaryOp, span: Span, left: Operand<'_>, right: Operand<'_>) -> Halt {
    let fault = match trouble {
        Trouble::UnitMix => unit_mix(op, span, left, right),
        Trouble::MoneyMix => two(Code::MoneyMix, span, money_words(op, left, right), left, right)
            .hint("money goes with numbers, and with money of its own currency only"),
        Trouble::DivisionByZero => {
            Fault::new(Code::DivisionByZero, right.span, "this is 0, and nothing can be divided by 0")
                .other(left.span, "this would be divided")
        }
        other => return alone(other, span),
    };
    fault.into()
}

fn money_words(op: BinaryOp, left: Operand<'_>, right: Operand<'_>) -> String {
    let (a, b) = (left.value.trade_name(), right.value.trade_name());
    match op {
        BinaryOp::Add | BinaryOp::Subtract => {
            format!("{a} and {b} are of two currencies, and no rate is known here")
        }
        _ => format!("`{}` makes nothing sensible of {a} and {b}", op.sign()),
    }
}

/// What cannot be done with two kinds, in the trade's words.
pub fn no_sum(op: BinaryOp, a: &str, b: &str) -> String {
    match op {
        BinaryOp::Add => format!("{a} and {b} cannot be added"),
        BinaryOp::Subtract => format!("{b} cannot be taken from {a}"),
        BinaryOp::Power => format!("{a} cannot be raised to {b}"),
        BinaryOp::Divide => format!("{a} cannot be divided by {b}"),
        _ => format!("`{}` does not go between {a} and {b}", op.sign()),
    }
}

fn unit_mix(op: BinaryOp, span: Span, left: Operand<'_>, right: Operand<'_>) -> Fault {
    let (a, b) = (left.value.trade_name(), right.value.trade_name());
    let message = no_sum(op, &a, &b);
    let fault = two(Code::UnitMix, span, message, left, right);
    match (left.value, right.value) {
        (Value::Size(_), Value::Measure(length)) | (Value::Measure(length), Value::Size(_))
            if length.dim == Dim::LENGTH && matches!(op, BinaryOp::Add | BinaryOp::Subtract) =>
        {
            fault.hint("to add it at each edge write `grown(SIZE, each_edge: LENGTH)`; else take the part meant, `.across` or `.along`")
        }
        (Value::Size(_), _) | (_, Value::Size(_)) => fault.hint("a size has two parts: take `.across` or `.along`"),
        (Value::Measure(x), Value::Measure(y)) => bare_words_hint(fault, op, x.dim, y.dim),
        (Value::Record(record), _) | (_, Value::Record(record)) => {
            let parts: Vec<String> = record.names.iter().map(|name| format!("`.{name}`")).collect();
            fault.hint(format!("take a part of the record: {}", parts.join(", ")))
        }
        (Value::Text(_), _) | (_, Value::Text(_)) => {
            fault.hint("a text takes a value in braces: `\"cut {width}\"`")
        }
        _ => fault,
    }
}

/// The commonest slip is a unit left out.
pub(crate) fn bare_words_hint(fault: Fault, op: BinaryOp, left: Dim, right: Dim) -> Fault {
    let additive = matches!(op, BinaryOp::Add | BinaryOp::Subtract);
    if additive && (left == Dim::NONE) != (right == Dim::NONE) {
        return fault.hint("give the bare number its unit, such as `2 in`");
    }
    // `3 / 4 in`: a spaced stroke divides by the whole measure behind it.
    if [left, right].iter().any(|dim| dim.length() == -1 && dim.mass() == 0 && dim.money_power() == 0) {
        return fault.hint(
            "a `/` with spaces divides by the measure behind it: three quarters of an inch is `3/4 in`",
        );
    }
    if additive && [left, right].iter().all(|dim| matches!(*dim, Dim::LENGTH | Dim::AREA)) {
        return fault.hint("an area is a length times a length; to come back to a length divide by one");
    }
    fault
}

/// `4 yd + 5%`
pub fn percent_added(op: BinaryOp, span: Span, left: Operand<'_>, right: Operand<'_>, percent: &str) -> Halt {
    let (message, factor) = match op {
        BinaryOp::Subtract => (
            format!("{percent} cannot be taken from {}", left.value.trade_name()),
            format!("(100% - {percent})"),
        ),
        _ => (
            format!("{percent} cannot be added to {}", left.value.trade_name()),
            format!("(100% + {percent})"),
        ),
    };
    two(Code::UnitMix, span, message, left, right)
        .hint(format!("a percentage of it is meant? write `* {factor}`"))
        .into()
}

/// Two values that cannot be compared.
pub fn comparison(trouble: Trouble, span: Span, left: Operand<'_>, right: Operand<'_>) -> Halt {
    match trouble {
        Trouble::TooClose => {
            let message = "too close to tell: one of them is approximate".into();
            let bare = matches!(left.value, Value::Measure(x) if x.dim == Dim::NONE);
            let step = if bare { "nearest 1/1000" } else { "nearest 1/64 in" };
            two(Code::TooClose, span, message, left, right)
                .hint(format!("round it first, such as `(…) {step}`"))
                .into()
        }
        Trouble::MoneyMix | Trouble::UnitMix => {
            let message =
                format!("{} cannot be compared with {}", left.value.trade_name(), right.value.trade_name());
            let fault = two(Code::UnitMix, span, message, left, right);
            match (left.value, right.value) {
                (Value::Measure(x), Value::Measure(y)) => {
                    bare_words_hint(fault, BinaryOp::Add, x.dim, y.dim).into()
                }
                (Value::Size(_), _) | (_, Value::Size(_)) => {
                    fault.hint("compare a part: `.across` or `.along`").into()
                }
                _ => fault.into(),
            }
        }
        other => alone(other, span),
    }
}

/// Trouble with one value.
pub fn alone(trouble: Trouble, span: Span) -> Halt {
    let fault = match trouble {
        Trouble::UnitMix => Fault::new(Code::UnitMix, span, "these do not go together"),
        Trouble::MoneyMix => {
            Fault::new(Code::MoneyMix, span, "two currencies, or money times money, make nothing sensible")
        }
        Trouble::DivisionByZero => Fault::new(Code::DivisionByZero, span, "nothing can be divided by 0"),
        Trouble::NoSuchNumber => Fault::new(Code::NoSuchNumber, span, "there is no such number"),
        Trouble::TooClose => Fault::new(Code::TooClose, span, "too close to tell: the value is approximate")
            .hint("round it first to a finer step, such as `nearest 1/64 in`"),
        Trouble::TooBig => {
            Fault::new(Code::TooMuch, span, "this number grows longer than a recipe may make it")
        }
    };
    fault.into()
}

/// A value of the wrong kind for the place where it stands.
pub fn wanted(what: &str, value: &Value, span: Span) -> Fault {
    let operand = Operand::new(value, span);
    let fault =
        Fault::new(Code::WrongKind, span, format!("{what} is wanted here, and this is {}", operand.words()));
    match value {
        Value::Measure(_) if what.contains("yes or no") => {
            fault.hint("ask something of it, such as `… <= 54 in` or `… is 5`")
        }
        Value::Slack(_) | Value::SlackSize(_) => fault.hint(
            "it is known give or take: take `.middle`, or to be on the safe side `.least` or `.most` of it",
        ),
        Value::Size(_) => fault.hint("a size has two parts: take `.across` or `.along`"),
        Value::Record(record) => {
            let parts: Vec<String> = record.names.iter().map(|name| format!("`.{name}`")).collect();
            fault.hint(format!("take a part of the record: {}", parts.join(", ")))
        }
        Value::Measure(quantity) if quantity.dim == Dim::NONE && what.contains("length") => {
            fault.hint("give the bare number its unit, such as `2 in`")
        }
        _ => fault,
    }
}

/// A yes or no is needed, and slack leaves it open.
pub fn not_sure(doubt: &Doubt, span: Span) -> Halt {
    let message = format!("a yes or no is needed here, and the slack leaves it open: {}", doubt.words);
    Fault::new(Code::TooClose, span, message)
        .hint("ask it of one end: `.least` or `.most` of what has slack; a `check` may stay not sure")
        .into()
}

/// `8 in ± 1/32 kg`
pub fn slack_of_another_kind(span: Span, left: Operand<'_>, right: Operand<'_>) -> Halt {
    let (a, b) = (left.value.trade_name(), right.value.trade_name());
    let fault = two(Code::UnitMix, span, format!("{a} cannot be off by {b}"), left, right);
    match (left.value, right.value) {
        (_, Value::Measure(off)) if off.dim == Dim::NONE => {
            fault.hint("give the number behind `±` its unit, such as `± 1/32 in`, or write a percentage")
        }
        _ => fault.hint("both sides of `±` are of one kind"),
    }
    .into()
}

/// A rounding to a whole number that slack leaves open.
pub fn open_count(operand: Operand<'_>, low: &Quantity, high: &Quantity) -> Halt {
    let (low, high) = (low.show(&Manner::default()), high.show(&Manner::default()));
    let message = format!("the slack leaves open which whole number this is, {low} to {high}");
    Fault::new(Code::TooClose, operand.span, message)
        .label(format!("this is {}", operand.words()))
        .hint("to be on the safe side take `.least` or `.most` of what is rounded")
        .into()
}

/// What to look for in a list of two kinds.
pub const MIXED_LIST: &str = "everything that is added up must be of one kind: look for a missing unit";

/// A list whose items do not add up.
pub fn mixed_list(first: Option<&Value>, item: &Value, place: Span) -> Halt {
    let first = first.map_or_else(String::new, Value::trade_name);
    let message = format!("a list that holds {first} and {} cannot be added up", item.trade_name());
    Fault::new(Code::UnitMix, place, message).hint(MIXED_LIST).into()
}

/// A piece that is no part of what it is cut from.
pub fn not_cut_from(span: Span, left: Operand<'_>, right: Operand<'_>) -> Halt {
    let message = format!("{} cannot be cut from {}", left.value.trade_name(), right.value.trade_name());
    two(Code::UnitMix, span, message, left, right).into()
}

/// `how many` where slack leaves more than one count.
pub fn open_how_many(
    span: Span,
    left: Operand<'_>,
    right: Operand<'_>,
    least: &Quantity,
    most: &Quantity,
) -> Halt {
    let (least, most) = (least.show(&Manner::default()), most.show(&Manner::default()));
    let message = format!("the slack leaves open how many come out, {least} to {most}");
    two(Code::TooClose, span, message, left, right)
        .hint("to be on the safe side count with `.most` of the piece and `.least` of the cloth")
        .into()
}
