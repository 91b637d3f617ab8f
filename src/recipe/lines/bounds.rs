//! A given, its bounds and choices, held to them by the check and in each run.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::check::{Infer, Quant, Shape, Type, words as kinds};
use crate::code::node::{Code, Node};
use crate::eval::machine::{Halt, Machine};
use crate::eval::operate::same;
use crate::eval::words;
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Quantity, Reading};
use crate::recipe::lines::maker::Set;
use crate::value::{Cause, One, Slack, Source, Value};

/// A given of a recipe.
#[derive(Debug)]
pub struct Given {
    /// Its name.
    pub name: Rc<str>,
    /// The `##` words above it.
    pub words: Option<Rc<str>>,
    /// Where it is named.
    pub span: Span,
    pub(crate) slot: u32,
    pub(crate) slots: u32,
    pub(crate) default: Node,
    pub(crate) bounds: GivenBounds,
}

/// What a given may be.
#[derive(Debug)]
pub(crate) enum GivenBounds {
    Any,
    FromTo(Node, Node),
    OneOf(Vec<Node>),
}

impl Given {
    /// Its kind, and that of its bounds.
    pub(super) fn check(&self, infer: &mut Infer<'_>) -> Type {
        let ty = infer.expr(&self.default);
        match &self.bounds {
            GivenBounds::Any => {}
            GivenBounds::FromTo(low, high) => {
                let _ = self.bound(infer, &ty, low) && self.bound(infer, &ty, high);
            }
            GivenBounds::OneOf(choices) => {
                for choice in choices {
                    let kind = infer.expr(choice);
                    if self.in_percent(infer, choice) && infer.store.unify(&ty, &kind).is_err() {
                        let (a, b) = (infer.kind_name(&ty), infer.kind_name(&kind));
                        let message = format!("`{}` is {a}, and this choice is {b}", self.name);
                        let fault = Fault::advice(FaultCode::Advice, choice.span, message);
                        infer.tell(fault.other(self.default.span, format!("this is {a}")));
                    }
                }
            }
        }
        match ty {
            Type::No => Type::YesNo,
            // Another size may hold a part of one.
            Type::Quant(dims, Shape::Count) if !self.counted() => Type::Quant(dims, Shape::One),
            ty => ty,
        }
    }

    /// A bound must be of the default's kind.
    fn bound(&self, infer: &mut Infer<'_>, ty: &Type, bound: &Node) -> bool {
        let kind = infer.expr(bound);
        let measured = match (infer.quant(ty), infer.quant(&kind)) {
            (Quant::Not, _) | (_, Quant::Not) => false,
            _ => infer.store.unify(ty, &kind).is_ok(),
        };
        if measured {
            return self.in_percent(infer, bound);
        }
        let held = matches!(infer.quant(ty), Quant::Is(..));
        let (a, b) = (infer.kind_name(ty), infer.kind_name(&kind));
        let this = kinds::operand(infer, ty, &self.default);
        let fault = self.bad_bound(held, (&a, &b), this, bound.span);
        infer.tell(fault);
        false
    }

    /// A bound that is not of the given's kind, or of a given that `held` tells has none.
    fn bad_bound(&self, held: bool, (a, b): (&str, &str), this: String, span: Span) -> Fault {
        let name = &self.name;
        let (message, hint) = match held {
            true => (
                format!("`{name}` is {a}, and this bound is {b}"),
                "write the bounds in the same way as the value",
            ),
            false => (
                format!("`{name}` is {a}, and only measures and sizes have bounds"),
                "list its choices instead: `one of …, …`",
            ),
        };
        Fault::new(FaultCode::UnitMix, span, message).other(self.default.span, this).hint(hint)
    }

    /// A value that is not of the given's kind.
    pub(super) fn misfit(&self, (a, b): (&str, &str), is_size: bool, bare: bool, span: Span) -> Fault {
        let message = format!("`{}` is {a}, and this is {b}", self.name);
        let fault = Fault::new(FaultCode::WrongKind, span, message);
        match (is_size, bare) {
            (true, _) => fault.hint("write a size as `14 in by 48 in`"),
            (false, true) => fault.hint("give the number its unit"),
            _ => fault,
        }
    }

    /// That a bare number is written for a percentage.
    pub(super) fn bare_percent(&self, default: &Value, value: &Value, span: Span) -> Option<Cause> {
        let percent = matches!(default, Value::Measure(x) if x.reading == Reading::Percent);
        let instead = if percent { value.bare_percent()? } else { return None };
        let one = One::BarePercent { place: format!("`{}`", self.name), instead };
        Some(Cause::one(one, &words::Operand::new(value, span)))
    }

    /// Whether what is written beside the default of a percentage is one too; 0 is the same in both.
    fn in_percent(&self, infer: &mut Infer<'_>, node: &Node) -> bool {
        let (Code::Const(default), Code::Const(value)) = (&self.default.code, &node.code) else {
            return true;
        };
        let nothing = matches!(value, Value::Measure(x) if x.is_zero());
        let bare = self.bare_percent(default, value, node.span).filter(|_| !nothing);
        bare.map(|bare| infer.tell(bare)).is_none()
    }

    /// Whether it takes whole numbers only.
    fn counted(&self) -> bool {
        let whole =
            |node: &Node| matches!(&node.code, Code::Const(Value::Measure(x)) if x.whole_count().is_some());
        matches!(&self.bounds, GivenBounds::FromTo(low, high) if whole(&self.default) && whole(low) && whole(high))
    }
}

/// The value of a given in this run, checked against its kind and its bounds.
pub(crate) fn given_value(machine: &mut Machine, given: &Given, set: Option<&Set>) -> Result<Value, Halt> {
    let default = machine.line(&given.default, given.slots)?;
    let value = set.map_or(&default, |set| &set.value).clone();
    let value = if set.is_some() { named_slack(value, given, machine.line_now) } else { value };
    let span = set.map_or(given.default.span, |set| set.span.unwrap_or(given.span));
    same_kind(given, &default, &value, span)?;
    let outside = set.is_some_and(|set| set.span.is_none());
    if let Some(bare) = given.bare_percent(&default, &value, span).filter(|_| outside) {
        return Err(bare.into());
    }
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
                let message =
                    format!("`{}` is a count and must be a whole number, not {}", given.name, value.short());
                return Err(Fault::new(FaultCode::OutOfBounds, span, message).into());
            }
            if !within(&low, &value, &high, given)? {
                let message = format!(
                    "`{}` is {}, and must be from {} to {}",
                    given.name,
                    value.short(),
                    low.short(),
                    high.short()
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
                known.push(quoted(&choice));
            }
            let message =
                format!("`{}` is {}, and must be one of {}", given.name, quoted(&value), known.join(", "));
            return Err(Fault::new(FaultCode::OutOfBounds, span, message).into());
        }
    }
    Ok(value)
}

/// A value in a sentence: text in quotes.
fn quoted(value: &Value) -> String {
    match value {
        Value::Text(_) => format!("\"{}\"", value.short()),
        _ => value.short(),
    }
}

/// A slack from outside is called by the given that it is set for, and is a source of its own.
fn named_slack(value: Value, given: &Given, line: Option<usize>) -> Value {
    let named =
        |slack: &Slack| Slack::new(&slack.middle(), &slack.radius(), Source::new(given.name.clone(), line));
    match value {
        Value::Slack(slack) => named(&slack).into(),
        Value::SlackSize(size) => Value::SlackSize(Rc::new((named(&size.0), named(&size.1)))),
        other => other,
    }
}

/// A bound must be of the default's kind.
fn bound_kind(given: &Given, default: &Value, bound: &Value, span: Span) -> Result<(), Halt> {
    if !bound.has_slack() && default.measures_like(bound) {
        return Ok(());
    }
    let held = ends(default).is_some();
    let this = format!("this is {}", words::Operand::new(default, span).words());
    Err(given.bad_bound(held, (&default.trade_name(), &bound.trade_name()), this, span).into())
}

fn is_count(value: &Value) -> bool {
    matches!(value, Value::Measure(quantity) if quantity.whole_count().is_some())
}

/// A value from outside must be of the default's kind.
fn same_kind(given: &Given, default: &Value, value: &Value, span: Span) -> Result<(), Halt> {
    if let (Value::List(default), Value::List(list)) = (default, value) {
        let Some(like) = default.items.first() else { return Ok(()) };
        let Some(other) = list.items.iter().find(|item| !fits(like, item)) else { return Ok(()) };
        let (a, b) = (like.trade_name(), words::Operand::new(other, span).words());
        let message = format!("each item of `{}` is {a}, and this one is {b}", given.name);
        return Err(Fault::new(FaultCode::WrongKind, span, message).into());
    }
    if fits(default, value) {
        return Ok(());
    }
    let bare = matches!((default, value), (Value::Measure(x), Value::Measure(y)) if x.dim != Dim::NONE && y.dim == Dim::NONE);
    let kinds = (&*default.trade_name(), &*words::Operand::new(value, span).words());
    Err(given.misfit(kinds, default.is_size(), bare, span).into())
}

/// Whether one value is of the kind of another.
fn fits(default: &Value, value: &Value) -> bool {
    match (default, value) {
        (Value::Measure(x), Value::Measure(y)) => x.dim == y.dim || x.dim.is_money() && y.dim.is_money(),
        (Value::Slack(_), Value::Slack(_)) => default.measures_like(value),
        (a, b) => a.measures_like(b) || std::mem::discriminant(a) == std::mem::discriminant(b),
    }
}

/// The least and the most that each side of a value may be.
fn ends(value: &Value) -> Option<Vec<(Quantity, Quantity)>> {
    let exact = |x: &Quantity| (x.clone(), x.clone());
    Some(match value {
        Value::Measure(x) => vec![exact(x)],
        Value::Slack(x) => vec![x.ends()],
        Value::Size(x) => vec![exact(&x.0), exact(&x.1)],
        Value::SlackSize(x) => vec![x.0.ends(), x.1.ends()],
        _ => return None,
    })
}

/// Whether all that a value may be lies within.
fn within(low: &Value, value: &Value, high: &Value, given: &Given) -> Result<bool, Halt> {
    let (Some(low), Some(value), Some(high)) = (ends(low), ends(value), ends(high)) else {
        let message = "bounds and default must be measures, all of one kind";
        return Err(Fault::new(FaultCode::WrongKind, given.span, message).into());
    };
    let words = |trouble| words::alone(trouble, given.span);
    for (((least, most), (low, _)), (_, high)) in value.iter().zip(&low).zip(&high) {
        let below = low.compare(least).map_err(words)? == Ordering::Greater;
        if below || most.compare(high).map_err(words)? == Ordering::Greater {
            return Ok(false);
        }
    }
    Ok(true)
}
