//! Givens: their defaults, bounds and choices, and values from outside read as people write them.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::eval::machine::{Halt, Machine};
use crate::eval::operate::same;
use crate::eval::words;
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, read};
use crate::recipe::lines::{Given, GivenBounds};
use crate::recipe::make::Set;
use crate::value::data::Value;
use crate::value::slack::{Slack, Source};

/// The value of a given in this run, checked against its kind and its bounds.
pub(crate) fn given_value(machine: &mut Machine, given: &Given, set: Option<&Set>) -> Result<Value, Halt> {
    let default = machine.line(&given.default, given.slots)?;
    let value = set.map_or(&default, |set| &set.value).clone();
    let value = if set.is_some() { named_slack(value, given, machine.line_now) } else { value };
    let span = set.map_or(given.default.span, |set| set.span.unwrap_or(given.span));
    same_kind(given, &default, &value, span)?;
    match &given.bounds {
        GivenBounds::Any => {}
        GivenBounds::FromTo(low, high) => {
            let (low_span, high_span) = (low.span, high.span);
            let low = machine.line(low, given.slots)?;
            let high = machine.line(high, given.slots)?;
            bound_kind(given, &default, &low, low_span)?;
            bound_kind(given, &default, &high, high_span)?;
            let counted = is_count(&default) && is_count(&low) && is_count(&high);
            if counted && !is_count(&value) {
                let message = format!(
                    "`{}` is a count and takes whole numbers only, not {}",
                    given.name,
                    words::short(&value)
                );
                return Err(Fault::new(FaultCode::OutOfBounds, span, message).into());
            }
            if !within(&low, &value, &high, given)? {
                let message = format!(
                    "`{}` is {}, and may be from {} to {}",
                    given.name,
                    words::short(&value),
                    words::short(&low),
                    words::short(&high)
                );
                return Err(Fault::new(FaultCode::OutOfBounds, span, message).into());
            }
        }
        GivenBounds::OneOf(choices) => {
            let mut known = Vec::with_capacity(choices.len());
            for choice in choices {
                let choice = machine.line(choice, given.slots)?;
                if same(&choice, &value).unwrap_or(false) {
                    return Ok(value);
                }
                known.push(words::short(&choice));
            }
            let message = format!(
                "`{}` is {}, and may be one of {}",
                given.name,
                words::short(&value),
                known.join(", ")
            );
            return Err(Fault::new(FaultCode::OutOfBounds, span, message).into());
        }
    }
    Ok(value)
}

/// A slack from outside is called by the given that it is set for, and is a source of its own.
fn named_slack(value: Value, given: &Given, line: Option<usize>) -> Value {
    let named =
        |slack: &Slack| Slack::new(&slack.middle(), &slack.radius(), Source::new(given.name.clone(), line));
    match value {
        Value::Slack(slack) => named(&slack).value(),
        Value::SlackSize(size) => Value::SlackSize(Rc::new((named(&size.0), named(&size.1)))),
        other => other,
    }
}

/// A bound must be of the default's kind.
fn bound_kind(given: &Given, default: &Value, bound: &Value, span: Span) -> Result<(), Halt> {
    let fits = match (default, bound) {
        (Value::Measure(x), Value::Measure(y)) => x.dim == y.dim,
        (Value::Slack(x), Value::Measure(y)) => x.dim() == y.dim,
        (Value::Size(_) | Value::SlackSize(_), Value::Size(_)) => true,
        _ => false,
    };
    if fits {
        return Ok(());
    }
    let name = &given.name;
    let message = match default {
        Value::Measure(_) | Value::Size(_) | Value::Slack(_) | Value::SlackSize(_) => {
            format!("`{name}` is {}, and this bound is {}", default.trade_name(), bound.trade_name())
        }
        _ => format!("`{name}` is {}, and only measures and sizes have bounds", default.trade_name()),
    };
    let fault = Fault::new(FaultCode::UnitMix, span, message)
        .other(given.default.span, format!("this is {}", words::Operand::new(default, span).words()));
    Err(match default {
        Value::Measure(_) | Value::Size(_) | Value::Slack(_) | Value::SlackSize(_) => {
            fault.hint("write the bounds as the value is written")
        }
        _ => fault.hint("list its choices instead: `one of …, …`"),
    }
    .into())
}

fn is_count(value: &Value) -> bool {
    matches!(value, Value::Measure(quantity) if quantity.whole_count().is_some())
}

/// A value from outside must be of the default's kind.
fn same_kind(given: &Given, default: &Value, value: &Value, span: Span) -> Result<(), Halt> {
    let fits = match (default, value) {
        (Value::Measure(x), Value::Measure(y)) => x.dim == y.dim || x.dim.is_money() && y.dim.is_money(),
        (Value::Slack(x), Value::Measure(y)) | (Value::Measure(y), Value::Slack(x)) => x.dim() == y.dim,
        (Value::Slack(x), Value::Slack(y)) => x.dim() == y.dim(),
        (Value::Size(_) | Value::SlackSize(_), Value::Size(_) | Value::SlackSize(_)) => true,
        (a, b) => std::mem::discriminant(a) == std::mem::discriminant(b),
    };
    if fits {
        return Ok(());
    }
    let message = format!(
        "`{}` is {}, and this is {}",
        given.name,
        default.trade_name(),
        words::Operand::new(value, span).words()
    );
    let fault = Fault::new(FaultCode::WrongKind, span, message);
    let bare = matches!((default, value), (Value::Measure(x), Value::Measure(y)) if x.dim != Dim::NONE && y.dim == Dim::NONE);
    let fault = match (default, value) {
        (Value::Size(_) | Value::SlackSize(_), _) => fault.hint("write a size as `14 in by 48 in`"),
        _ if bare => fault.hint("give the number its unit"),
        _ => fault,
    };
    Err(fault.into())
}

fn within(low: &Value, value: &Value, high: &Value, given: &Given) -> Result<bool, Halt> {
    match (low, value, high) {
        (Value::Measure(low), Value::Measure(x), Value::Measure(high)) => {
            let words = |trouble| words::alone(trouble, given.span);
            let above = low.compare(x).map_err(words)? != Ordering::Greater;
            Ok(above && x.compare(high).map_err(words)? != Ordering::Greater)
        }
        // All that it may be has to lie within.
        (Value::Measure(_), Value::Slack(slack), Value::Measure(_)) => {
            let (least, most) = slack.ends();
            Ok(within(low, &Value::Measure(least), high, given)?
                && within(low, &Value::Measure(most), high, given)?)
        }
        (Value::Size(l), Value::SlackSize(x), Value::Size(h)) => {
            let measure = |q: &crate::measure::Quantity| Value::Measure(q.clone());
            let across = within(&measure(&l.0), &x.0.clone().value(), &measure(&h.0), given)?;
            Ok(across && within(&measure(&l.1), &x.1.clone().value(), &measure(&h.1), given)?)
        }
        (Value::Size(low), Value::Size(x), Value::Size(high)) => {
            let part = |l: &_, v: &_, h: &_| within(l, v, h, given);
            let measure = |q: &crate::measure::Quantity| Value::Measure(q.clone());
            Ok(part(&measure(&low.0), &measure(&x.0), &measure(&high.0))?
                && part(&measure(&low.1), &measure(&x.1), &measure(&high.1))?)
        }
        _ => {
            let fault = Fault::new(
                FaultCode::WrongKind,
                given.span,
                "bounds and default must be measures, all of one kind",
            );
            Err(fault.into())
        }
    }
}

/// Why a text from outside is no value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadText {
    /// What is wrong with it.
    pub message: String,
    /// How to mend it.
    pub hints: Vec<String>,
}

/// Reads a cell of a table or the text of a `--set` as people write measures: `54 1/2 in`,
/// `137 cm`, `5`, `16 in by 60 in`, `yes`, or words where the given holds words.
pub fn read_value(text: &str, wants_text: bool) -> Result<Value, BadText> {
    if wants_text {
        return Ok(Value::Text(text.into()));
    }
    if text.contains('\u{B1}') || text.contains("+-") {
        return with_slack(text);
    }
    let fault = match read::literal(text) {
        Ok(quantity) => return Ok(Value::Measure(quantity)),
        Err(fault) => fault,
    };
    let trimmed = text.trim();
    match trimmed {
        "yes" => return Ok(Value::YesNo(true)),
        "no" => return Ok(Value::YesNo(false)),
        "" => return Err(BadText { message: "nothing is written here".into(), hints: Vec::new() }),
        _ => {}
    }
    if trimmed.split_whitespace().any(|word| word == "by") {
        return match read::size(trimmed) {
            Ok((across, along)) => Ok(Value::size(across, along)),
            Err(fault) => Err(bad_text(fault, trimmed)),
        };
    }
    if let Some(words) = trimmed.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')) {
        return Ok(Value::Text(words.into()));
    }
    Err(bad_text(fault, text))
}

/// `8 in ± 1/32 in`, and a size of such sides.
fn with_slack(text: &str) -> Result<Value, BadText> {
    let mut sides = Vec::new();
    for side in text.split(" by ") {
        let literal = |text: &str| read::literal(text).map_err(|fault| bad_text(fault, text));
        let signed = side.split_once('\u{B1}').or_else(|| side.split_once("+-"));
        let Some((middle, off)) = signed else {
            sides.push(Slack::plain(&literal(side)?));
            continue;
        };
        let (middle, off) = (literal(middle.trim())?, literal(off.trim())?);
        let source = Source::new(text.trim().into(), None);
        let slack = Slack::literal(&middle, &off, source).ok_or_else(|| BadText {
            message: "both sides of `\u{B1}` are of one kind, and what is behind it is 0 or more".into(),
            hints: vec!["write it as `8 in \u{B1} 1/32 in`".into()],
        })?;
        sides.push(slack);
    }
    let mut sides = sides.into_iter();
    match (sides.next(), sides.next(), sides.next()) {
        (Some(one), None, None) => Ok(one.value()),
        (Some(across), Some(along), None) if across.dim() == Dim::LENGTH && along.dim() == Dim::LENGTH => {
            Ok(Value::SlackSize(Rc::new((across, along))))
        }
        _ => Err(BadText { message: "a size has two sides, and both are lengths".into(), hints: Vec::new() }),
    }
}

fn bad_text(fault: read::ReadFault, text: &str) -> BadText {
    let mut hints = fault.hints;
    if fault.kind == read::ReadKind::UnknownUnit {
        let word = text.get(fault.range).unwrap_or("");
        if let Some(close) = crate::fault::closest(word, crate::measure::unit_names()) {
            hints.insert(0, format!("did you mean `{close}`?"));
        }
    }
    BadText { message: fault.message, hints }
}

impl crate::recipe::build::Recipe {
    /// Whether a given holds words, so that a cell is taken as it is.
    pub fn holds_text(&mut self, given: usize) -> bool {
        let crate::recipe::build::Recipe { givens, machine, .. } = self;
        let Some(given) = givens.get(given) else { return false };
        matches!(given.default.code, crate::code::node::Code::Const(Value::Text(_)))
            || matches!(machine.line(&given.default, given.slots), Ok(Value::Text(_)))
    }
}
