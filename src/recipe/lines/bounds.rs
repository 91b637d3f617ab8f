//! A given, its bounds and choices, held to them by the check and in each run.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::check::Infer;
use crate::check::operate::Quant;
use crate::check::types::{Shape, Type};
use crate::check::words as kinds;
use crate::code::node::{Code, Node};
use crate::eval::machine::{Halt, Machine};
use crate::eval::operate::same;
use crate::eval::words;
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::Dim;
use crate::recipe::lines::maker::Set;
use crate::value::data::Value;
use crate::value::slack::{Slack, Source};

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
                    if infer.store.unify(&ty, &kind).is_err() {
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
            return true;
        }
        let name = &self.name;
        let (a, b) = (infer.kind_name(ty), infer.kind_name(&kind));
        let held = matches!(infer.quant(ty), Quant::Is(..));
        let message = match held {
            true => format!("`{name}` is {a}, and this bound is {b}"),
            false => format!("`{name}` is {a}, and only measures and sizes have bounds"),
        };
        let this = kinds::operand(infer, ty, &self.default);
        let fault = Fault::new(FaultCode::UnitMix, bound.span, message).other(self.default.span, this);
        infer.tell(match held {
            true => fault.hint("write the bounds as the value is written"),
            false => fault.hint("list its choices instead: `one of …, …`"),
        });
        false
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
        Value::Slack(slack) => named(&slack).into(),
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
            let across = within(&measure(&l.0), &x.0.clone().into(), &measure(&h.0), given)?;
            Ok(across && within(&measure(&l.1), &x.1.clone().into(), &measure(&h.1), given)?)
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
