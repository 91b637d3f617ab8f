//! The words of what goes wrong in a formula: the check and the evaluator say the same.

use std::rc::Rc;

use crate::fault::{Code, Fault, Span, closest};
use crate::measure::{Dim, Manner, Quantity, Trouble};
use crate::syntax::tree::BinaryOp;
use crate::value::cause::{At, Cause, One, Pair, Slip, Uncounted};
use crate::value::describe::{Facts, Sort};
use crate::value::kind::Kind;
use crate::value::shape_words::wrong_shape;

const PART_OF_SIZE: &str = "a size has two parts: take `.across` or `.along`";
const GIVE_UNIT: &str = "give the bare number its unit, such as `2 in`";

impl From<Cause> for Fault {
    fn from(cause: Cause) -> Fault {
        match cause {
            Cause::Pair(pair, left, right) => of_pair(&pair, &left, &right),
            Cause::One(one, found) => of_one(&one, &found),
            Cause::At(at, span) => of_place(&at, span),
        }
    }
}

fn of_pair(pair: &Pair, left: &Facts, right: &Facts) -> Fault {
    let (a, b) = (&left.name, &right.name);
    let span = match pair {
        Pair::NotCutFrom(span) | Pair::OpenHowMany(_, _, span) => *span,
        _ => left.span.to(right.span),
    };
    let two = |code, message: String| named(Fault::new(code, span, message), left, right);
    match pair {
        Pair::Operation(op) => named(no_operation(*op, left, right), left, right),
        Pair::Percent(op, percent) => {
            let (done, sign) =
                if *op == BinaryOp::Subtract { ("taken from", '-') } else { ("added to", '+') };
            two(Code::UnitMix, format!("{percent} cannot be {done} {a}"))
                .hint(format!("for a percentage of it write `* (100% {sign} {percent})`"))
        }
        Pair::Comparison => named(no_comparison(left, right), left, right),
        Pair::Ends => {
            let fault = two(Code::UnitMix, format!("a range cannot go from {a} to {b}"));
            if left.sort.is_bare() || right.sort.is_bare() { fault.hint(GIVE_UNIT) } else { fault }
        }
        Pair::TooClose => {
            let step = if left.sort.is_bare() { "nearest 1/1000" } else { "nearest 1/64 in" };
            two(Code::TooClose, "too close to compare: one of the two is only approximate".into())
                .hint(format!("round it first, such as `(…) {step}`"))
        }
        Pair::Step => {
            let fault = two(Code::UnitMix, format!("{a} cannot be rounded to a step that is {b}"));
            let length = left.sort.dim() == Some(Dim::LENGTH) && right.sort.is_bare();
            if length { fault.hint("give the step its unit, such as `nearest 1/8 in`") } else { fault }
        }
        Pair::OffBy => two(Code::UnitMix, format!("the tolerance of {a} cannot be {b}")).hint(
            match right.sort.is_bare() {
                true => "give the number after `±` its unit, such as `± 1/32 in`, or write a percentage",
                false => "both sides of `±` must be of one kind",
            },
        ),
        Pair::NotCutFrom(_) => two(Code::UnitMix, format!("{a} cannot be cut from {b}")),
        Pair::OpenHowMany(least, most, _) => {
            let (least, most) = (reading(least), reading(most));
            two(Code::TooClose, format!("with the slack, the count may be from {least} to {most}"))
                .hint("to be safe, count with `.most` of the piece and `.least` of the cloth")
        }
    }
}

fn of_one(one: &One, found: &Facts) -> Fault {
    let this = &found.words;
    let here = |code, message: String| Fault::new(code, found.span, message);
    match one {
        One::Wanted(what, slip) => wanted(what, *slip, found),
        One::MayBeZero(divided) => {
            let message = format!("{this}, may be 0 within its slack, and a number cannot be divided by 0");
            here(Code::DivisionByZero, message).other(*divided, "this is divided by it")
        }
        One::Minus(span) => {
            Fault::new(Code::UnitMix, *span, format!("{} cannot have a `-` before it", found.name))
        }
        One::Shown(dim) => {
            let wanted = dim.trade_name();
            let how = if wanted == found.name { "that way".into() } else { format!("as {wanted}") };
            here(Code::UnitMix, format!("{this}, cannot be shown {how}"))
        }
        One::NotAList => here(Code::WrongKind, format!("only a list has items, and this is {this}")),
        One::NoPart(part, span) => no_part(found, part, *span),
        One::OpenCount(low, high) => {
            let (low, high) = (reading(low), reading(high));
            here(Code::TooClose, format!("with the slack, this whole number may be from {low} to {high}"))
                .label(format!("this is {this}"))
                .hint("to be safe, round its `.least` or its `.most`")
        }
        One::NoRoot => here(Code::UnitMix, format!("{this}, has no square root"))
            .hint("an area has one, which is a length: `sqrt(9 in^2)` is 3 in"),
        One::MaybeNoRoot => {
            here(Code::NoSuchNumber, format!("{this}, may be less than 0, which has no square root"))
        }
        One::Argument { param, rule, kind, declared } => {
            let kind_name = kind.trade_name();
            let fault = here(
                Code::WrongKind,
                format!("`{param}` in `{rule}` must be {kind_name}, and this is {this}"),
            );
            argument_hint(fault, *kind, found).other(*declared, "the rule says so here")
        }
        One::Beyond { param, rule, limit, declared } => {
            here(Code::OutOfBounds, format!("`{param}` in `{rule}` must be {limit}, and this is {this}"))
                .other(*declared, "the rule says so here")
        }
        One::Negative(rule) => {
            let message = format!("`{rule}` gives less than 0 with these values: {this}");
            here(Code::OutOfBounds, message)
        }
        One::BarePercent { place, instead } => {
            here(Code::WrongKind, format!("{place} must be a percentage, and this is {this}"))
                .hint(format!("write {instead}"))
        }
        One::Result(rule, kind) => {
            let kind = kind.trade_name();
            here(
                Code::WrongKind,
                format!("`{rule}` must give {kind}, and with these arguments it gives {this}"),
            )
            .hint(format!("check what each argument measures: `help {rule}` has an example"))
        }
    }
}

fn of_place(at: &At, span: Span) -> Fault {
    let here = |code, message: String| Fault::new(code, span, message);
    match at {
        At::ZeroDivisor(divided) => {
            here(Code::DivisionByZero, "this is 0, and a number cannot be divided by 0".into())
                .other(*divided, "this is divided by it")
        }
        At::SlackExponent => {
            let message = "the power of a measure with slack must be a plain whole number, or 1/2";
            here(Code::NoSuchNumber, message.into())
        }
        At::Shape(wrong) => wrong_shape(wrong, span),
        At::NotSure(sides) => here(
            Code::TooClose,
            format!("a clear yes or no is needed here, and with the slack this can be both: {sides}"),
        )
        .hint(
            "compare one end, `.least` or `.most`, of the measure with slack; only a `check` may be not sure",
        ),
        At::Number(trouble) => number(*trouble, span),
        At::NoStep(what) => here(Code::BadRange, format!("{what} must be more than 0")),
        At::OffBelow => here(Code::BadRange, "the slack of a measure cannot be less than 0".into()),
        At::NoEvery => here(Code::BadRange, "a range of measures needs a step".into())
            .hint("write `… every 1/2 in` after it"),
        At::RunsDown(from, to) => here(Code::BadRange, format!("this range goes down, from {from} to {to}"))
            .hint("write the smaller end first"),
        At::NoItem(wanted, len) => {
            let held = match len {
                0 => "the list is empty".into(),
                1 => "the list has 1 item".into(),
                _ => format!("the list has items 1 to {len}"),
            };
            here(Code::OffTheList, format!("there is no item {wanted}: {held}"))
        }
        At::NoPiece(reading) => {
            let is = reading.as_ref().map_or_else(String::new, |reading| format!(", and this is {reading}"));
            here(Code::DivisionByZero, format!("a piece must be more than 0 to be counted{is}"))
        }
        At::NegativeRoot => here(Code::NoSuchNumber, "a negative value has no square root".into()),
        At::NoTangent => here(Code::NoSuchNumber, "there is no tangent at this angle".into()),
        At::MixedList(first, item) => {
            here(Code::UnitMix, format!("a list that holds {first} and {item} cannot be added up"))
                .hint("all items must be of one kind: look for a missing unit")
        }
        At::EmptyList => here(Code::OffTheList, "an empty list has no largest or smallest item".into()),
        At::Count(what, why, number) => count(what, *why, number, span),
    }
}

fn reading(quantity: &Quantity) -> String {
    quantity.show(&Manner::default())
}

/// Names both operands at their places.
pub(crate) fn named(fault: Fault, left: &Facts, right: &Facts) -> Fault {
    fault
        .other(left.span, format!("this is {}", left.words))
        .other(right.span, format!("this is {}", right.words))
}

fn additive(op: BinaryOp) -> bool {
    matches!(op, BinaryOp::Add | BinaryOp::Subtract)
}

/// What cannot be done with two operands, without their places.
pub fn no_operation(op: BinaryOp, left: &Facts, right: &Facts) -> Fault {
    let (a, b) = (operand_name(left), operand_name(right));
    let span = left.span.to(right.span);
    let currency = |side: &Facts| side.sort.dim().and_then(Dim::currency);
    let money = match (currency(left), currency(right)) {
        (Some(one), Some(other)) if additive(op) => (one != other)
            .then(|| format!("{one} and {other} are different currencies, and Scant knows no exchange rate")),
        (Some(_), Some(_)) if op == BinaryOp::Multiply => Some("money cannot be multiplied by money".into()),
        (Some(_), Some(_)) => Some(refusal(op, a, b)),
        (Some(_), None) if op == BinaryOp::Power => Some("money cannot be raised to a power".into()),
        _ => None,
    };
    if let Some(message) = money {
        return Fault::new(Code::MoneyMix, span, message)
            .hint("multiply or divide money by a number, or add money in the same currency");
    }
    let fault = Fault::new(Code::UnitMix, span, refusal(op, a, b));
    match (&left.sort, &right.sort) {
        (size, other) | (other, size) if size.is_size() && !other.is_size() && additive(op) && other.dim() == Some(Dim::LENGTH) => {
            fault.hint("to add it at each edge write `grown(SIZE, each_edge: LENGTH)`; or take one part, `.across` or `.along`")
        }
        (size, _) | (_, size) if size.is_size() => fault.hint(PART_OF_SIZE),
        (Sort::Record(parts), _) | (_, Sort::Record(parts)) => fault.hint(take_a_part(parts)),
        (Sort::Text, _) | (_, Sort::Text) => fault.hint("write a value inside text in braces: `\"cut {width}\"`"),
        (Sort::List, other) | (other, Sort::List) if !matches!(other, Sort::List) => {
            fault.hint("to do it for each value write `each x in LIST: …`, and `x` where the value goes")
        }
        _ if additive(op) && percent_of(left).or(percent_of(right)).is_some() => {
            fault.hint("a percentage of a measure is written `5% of 4 yd`")
        }
        (x, y) => match x.dim().zip(y.dim()) {
            Some((x, y)) => bare_hint(fault, additive(op), x, y),
            None => fault,
        },
    }
}

/// A percentage as it is written, anything else by its kind.
fn operand_name(of: &Facts) -> &str {
    percent_of(of).unwrap_or(&of.name)
}

/// What is written in percent, `4%`.
fn percent_of(of: &Facts) -> Option<&str> {
    of.words.strip_prefix("a percentage, ").filter(|words| of.sort.is_bare() && words.ends_with('%'))
}

/// That an operation cannot be done, in the words of the trade.
fn refusal(op: BinaryOp, a: &str, b: &str) -> String {
    match op {
        BinaryOp::Add => format!("{a} and {b} cannot be added"),
        BinaryOp::Subtract => format!("{b} cannot be taken from {a}"),
        BinaryOp::Multiply => format!("{a} cannot be multiplied by {b}"),
        BinaryOp::Power => format!("{a} cannot be raised to a power that is {b}"),
        BinaryOp::Divide => format!("{a} cannot be divided by {b}"),
        _ => format!("`{}` cannot be used with {a} and {b}", op.words()),
    }
}

fn take_a_part(parts: &[Rc<str>]) -> String {
    format!("take a part of the record: {}", listed(parts))
}

fn listed(parts: &[Rc<str>]) -> String {
    parts.iter().map(|name| format!("`.{name}`")).collect::<Vec<_>>().join(", ")
}

/// The commonest slip is a unit left out.
fn bare_hint(fault: Fault, additive: bool, left: Dim, right: Dim) -> Fault {
    if additive && (left == Dim::NONE) != (right == Dim::NONE) {
        return fault.hint(GIVE_UNIT);
    }
    // `3 / 4 in`: a spaced stroke divides by the whole measure behind it.
    if [left, right].iter().any(|dim| dim.length() == -1 && dim.mass() == 0 && dim.money_power() == 0) {
        return fault.hint(
            "a `/` with spaces divides by the measure after it: three quarters of an inch is `3/4 in`",
        );
    }
    if additive && [left, right].iter().all(|dim| matches!(*dim, Dim::LENGTH | Dim::AREA)) {
        return fault.hint("to get a length, divide the area by a length");
    }
    fault
}

fn no_comparison(left: &Facts, right: &Facts) -> Fault {
    let dims = left.sort.dim().zip(right.sort.dim());
    let currencies = dims.and_then(|(a, b)| a.currency().zip(b.currency()));
    let code = if currencies.is_some_and(|(a, b)| a != b) { Code::MoneyMix } else { Code::UnitMix };
    let message = format!("{} cannot be compared with {}", left.name, right.name);
    let fault = Fault::new(code, left.span.to(right.span), message);
    match dims {
        Some((a, b)) => bare_hint(fault, true, a, b),
        None if left.sort.is_size() || right.sort.is_size() => {
            fault.hint("compare a part: `.across` or `.along`")
        }
        None => fault,
    }
}

fn number(trouble: Trouble, span: Span) -> Fault {
    let (code, message) = match trouble {
        Trouble::UnitMix => (Code::UnitMix, "these two cannot be used together"),
        Trouble::MoneyMix => {
            (Code::MoneyMix, "money cannot be multiplied by money or mixed with another currency")
        }
        Trouble::DivisionByZero => (Code::DivisionByZero, "a number cannot be divided by 0"),
        Trouble::NoSuchNumber => (Code::NoSuchNumber, "there is no such number"),
        Trouble::TooClose => (Code::TooClose, "too close to decide: the value is only approximate"),
        Trouble::TooBig => (Code::TooMuch, "this number has more digits than a recipe may make"),
    };
    let fault = Fault::new(code, span, message);
    match trouble {
        Trouble::TooClose => fault.hint("round it first to a finer step, such as `nearest 1/64 in`"),
        _ => fault,
    }
}

fn wanted(what: &str, slip: Slip, found: &Facts) -> Fault {
    let message = format!("write {what} here; this is {}", found.words);
    let fault = Fault::new(Code::WrongKind, found.span, message);
    let fault = match (&found.sort, slip) {
        (Sort::Measure(Some(_)), Slip::Unasked) => {
            fault.hint("compare it with something, such as `… <= 54 in` or `… is 5`")
        }
        (Sort::Slack(_) | Sort::SlackSize, _) => {
            fault.hint("this measure has slack: take its `.middle`, or to be safe its `.least` or `.most`")
        }
        (Sort::Size, _) => fault.hint(PART_OF_SIZE),
        (Sort::Record(parts), _) => fault.hint(take_a_part(parts)),
        (sort, Slip::Bare) if sort.is_bare() => fault.hint(GIVE_UNIT),
        _ => fault,
    };
    match slip {
        Slip::Write(instead) => fault.hint(instead),
        _ => fault,
    }
}

fn no_part(of: &Facts, part: &str, span: Span) -> Fault {
    let message = format!("{} has no part `.{part}`", of.name);
    let fault = Fault::new(Code::UnknownPart, span, message).other(of.span, "this value");
    match &of.sort {
        Sort::Size => fault.hint("a size has `.across` and `.along`"),
        Sort::Record(names) => fault
            .did_you_mean(closest(part, names.iter().map(|name| &**name)))
            .hint(format!("it has {}", listed(names))),
        Sort::List => fault.hint("take an item first, such as `[1]`; `count(…)` gives how many there are"),
        Sort::Measure(_) => fault.hint("it is a single measure"),
        Sort::Slack(_) => fault.hint("a measure with slack has `.middle`, `.slack`, `.least` and `.most`"),
        Sort::SlackSize => fault.hint(
            "a size with slack has `.across` and `.along`, and `.middle`, `.slack`, `.least` and `.most`",
        ),
        Sort::Shape => fault.hint(
            "a shape has `.area`, `.perimeter`, `.across`, `.along`, `.size`, `.edges`, `.corners` and `.cut`",
        ),
        Sort::Text | Sort::Other => fault,
    }
}

/// What mends an argument of the wrong kind.
fn argument_hint(fault: Fault, kind: Kind, found: &Facts) -> Fault {
    match kind {
        Kind::Measure(Dim::LENGTH) if found.sort.is_bare() => fault.hint(GIVE_UNIT),
        Kind::Measure(Dim::LENGTH) if found.sort == Sort::Size => fault.hint(PART_OF_SIZE),
        Kind::Price(Dim::LENGTH) => {
            fault.hint("write the price of a length, such as `14.50 EUR/m` or `12 USD/yd`")
        }
        Kind::List if found.sort != Sort::List => {
            fault.hint("a list is written with square brackets: `[3 in, 4 in]`")
        }
        Kind::Size if !found.sort.is_size() => fault.hint("write a size as `14 in by 48 in`"),
        _ => fault,
    }
}

fn count(what: &str, why: Uncounted, number: &str, span: Span) -> Fault {
    let wrong = |range: &str| {
        Fault::new(Code::WrongKind, span, format!("{what} must be {range}, and this is {number}"))
    };
    match why {
        Uncounted::Below => wrong("0 or more"),
        Uncounted::Part => wrong("a whole number").hint("round it: `x up 1`, `x down 1`"),
        Uncounted::TooMany => {
            let message = format!("too many {}: {number}", what.strip_prefix("a count of ").unwrap_or(what));
            Fault::new(Code::TooMuch, span, message)
        }
    }
}
