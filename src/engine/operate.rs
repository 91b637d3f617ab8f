//! Operators: sums, comparisons, rounding, readings.

use std::cmp::Ordering;

use super::code::{BinaryNode, Code, Link, Node};
use super::machine::{Halt, Machine, Worked};
use super::value::Value;
use super::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Manner, Quantity, Reading, Trouble, UnitExpr};
use crate::syntax::tree::{BinaryOp, CompareOp, Way};

impl Machine {
    #[inline]
    pub(super) fn binary(&mut self, node: &BinaryNode) -> Worked {
        if matches!(node.op, BinaryOp::And | BinaryOp::Or) {
            return self.logic(node);
        }
        self.spend(1, node.op_span)?;
        // Leaves are read in place; only what had to be worked is held.
        let left = self.operand(&node.left)?;
        let right = self.operand(&node.right)?;
        let a = match &left {
            Some(value) => value,
            None => self.leaf(&node.left)?,
        };
        let b = match &right {
            Some(value) => value,
            None => self.leaf(&node.right)?,
        };
        if let (Value::Measure(x), Value::Measure(y)) = (a, b)
            && !node.percent
            && let Ok(value) = measured(node.op, x, y)
        {
            return Ok(Value::Measure(value));
        }
        slow(node, a, b)
    }

    /// Works an operand, where it is not one that can be read in place afterwards.
    #[inline]
    fn operand(&mut self, node: &Node) -> Result<Option<Value>, Halt> {
        match &node.code {
            Code::Const(_) | Code::Local(_) | Code::Global(_) => Ok(None),
            Code::Once(slot, inner) => {
                self.once(*slot, inner)?;
                Ok(None)
            }
            _ => self.eval(node).map(Some),
        }
    }

    #[inline(never)]
    fn logic(&mut self, node: &BinaryNode) -> Worked {
        let left = self.condition(&node.left)?;
        let decided = if node.op == BinaryOp::And { !left } else { left };
        if decided {
            return Ok(Value::YesNo(left));
        }
        Ok(Value::YesNo(self.condition(&node.right)?))
    }

    /// A yes or no.
    #[inline(never)]
    pub(super) fn condition(&mut self, node: &Node) -> Result<bool, Halt> {
        match self.eval(node)? {
            Value::YesNo(yes) => Ok(yes),
            other => Err(words::wanted("a yes or no", &other, node.span).into()),
        }
    }

    #[inline(never)]
    pub(super) fn compare(&mut self, first: &Node, links: &[Link]) -> Result<bool, Halt> {
        let mut left = self.eval(first)?;
        let mut left_span = first.span;
        let mut all = true;
        for link in links {
            let right = self.eval(&link.operand)?;
            self.spend(right.weight(), link.op_span)?;
            // Every link is looked at, so that a wrong unit in the last one is told too.
            all &= holds(link, Operand::new(&left, left_span), Operand::new(&right, link.operand.span))?;
            left = right;
            left_span = link.operand.span;
        }
        Ok(all)
    }

    #[inline(never)]
    pub(super) fn minus(&mut self, inner: &Node, span: Span) -> Worked {
        match self.eval(inner)? {
            Value::Measure(quantity) => Ok(Value::Measure(quantity.neg())),
            Value::Size(size) => Ok(Value::size(size.0.neg(), size.1.neg())),
            other => {
                let message = format!("`-` does not go before {}", other.trade_name());
                Err(Fault::new(FaultCode::UnitMix, span, message).into())
            }
        }
    }

    #[inline(never)]
    pub(super) fn size(&mut self, pair: &(Node, Node)) -> Worked {
        let across = self.length(&pair.0)?;
        let along = self.length(&pair.1)?;
        Ok(Value::size(across, along))
    }

    /// A length.
    pub(super) fn length(&mut self, node: &Node) -> Result<Quantity, Halt> {
        match self.eval(node)? {
            Value::Measure(quantity) if quantity.dim == Dim::LENGTH => Ok(quantity),
            other => Err(words::wanted("a length", &other, node.span).into()),
        }
    }

    #[inline(never)]
    pub(super) fn round(&mut self, way: Way, pair: &(Node, Node), span: Span) -> Worked {
        self.spend(2, span)?;
        let value = self.eval(&pair.0)?;
        let step = match self.eval(&pair.1)? {
            Value::Measure(step) => step,
            other => return Err(words::wanted("a step such as `1/8 in`", &other, pair.1.span).into()),
        };
        if step.is_zero() || step.is_negative() {
            let fault =
                Fault::new(FaultCode::BadRange, pair.1.span, "a step to round to must be more than 0");
            return Err(fault.into());
        }
        let rounded = |quantity: &Quantity| {
            let way = match way {
                Way::Nearest => crate::measure::Way::Nearest,
                Way::Up => crate::measure::Way::Up,
                Way::Down => crate::measure::Way::Down,
            };
            quantity.round_to(&step, way)
        };
        let step_value = Value::Measure(step.clone());
        let words = |trouble| match trouble {
            Trouble::UnitMix | Trouble::MoneyMix => {
                let message = format!(
                    "{} cannot be rounded to a step of {}",
                    value.trade_name(),
                    words::short(&step_value)
                );
                let fault = Fault::new(FaultCode::UnitMix, span, message)
                    .other(pair.0.span, format!("this is {}", Operand::new(&value, pair.0.span).words()))
                    .other(
                        pair.1.span,
                        format!("this is {}", Operand::new(&step_value, pair.1.span).words()),
                    );
                Halt::from(fault)
            }
            other => words::alone(other, span),
        };
        match &value {
            Value::Measure(quantity) => Ok(Value::Measure(rounded(quantity).map_err(words)?)),
            Value::Size(size) => {
                Ok(Value::size(rounded(&size.0).map_err(words)?, rounded(&size.1).map_err(words)?))
            }
            _ => Err(words::wanted("a measure", &value, pair.0.span).into()),
        }
    }

    #[inline(never)]
    pub(super) fn shown_in_unit(&mut self, inner: &Node, unit: &UnitExpr, span: Span) -> Worked {
        let value = self.eval(inner)?;
        self.shown(value, span, unit.dim(), |quantity| quantity.shown_in(unit))
    }

    #[inline(never)]
    pub(super) fn shown_in_step(&mut self, pair: &(Node, Node), span: Span) -> Worked {
        let value = self.eval(&pair.0)?;
        match self.eval(&pair.1)? {
            Value::Measure(step) => self.shown(value, span, step.dim, |quantity| quantity.shown_by(&step)),
            other => Err(words::wanted("a unit or a step such as `1/16 in`", &other, pair.1.span).into()),
        }
    }

    fn shown(
        &self,
        value: Value,
        span: Span,
        wanted: Dim,
        read: impl Fn(&Quantity) -> Result<Quantity, Trouble>,
    ) -> Worked {
        let words = |_| {
            let name = value.trade_name();
            let wanted = wanted.trade_name();
            let how = if wanted == name { "that way".into() } else { format!("as {wanted}") };
            let message = format!("{}, cannot be shown {how}", Operand::new(&value, span).words());
            Halt::from(Fault::new(FaultCode::UnitMix, span, message))
        };
        match &value {
            Value::Measure(quantity) => Ok(Value::Measure(read(quantity).map_err(words)?)),
            Value::Size(size) => {
                Ok(Value::size(read(&size.0).map_err(words)?, read(&size.1).map_err(words)?))
            }
            _ => Err(words::wanted("a measure", &value, span).into()),
        }
    }

    #[inline(never)]
    pub(super) fn with_unit(&mut self, inner: &Node, unit: &UnitExpr) -> Worked {
        match self.eval(inner)? {
            Value::Measure(quantity) if quantity.dim == Dim::NONE => {
                Ok(Value::Measure(unit.apply(&quantity.number)))
            }
            other => {
                let fault = words::wanted("a bare number before its unit", &other, inner.span);
                Err(fault.hint("the brackets already hold a unit: leave this one out").into())
            }
        }
    }
}

/// An operation on two measures.
#[inline]
fn measured(op: BinaryOp, x: &Quantity, y: &Quantity) -> Result<Quantity, Trouble> {
    match op {
        BinaryOp::Add => x.add(y),
        BinaryOp::Subtract => x.sub(y),
        BinaryOp::Multiply | BinaryOp::Of => x.mul(y),
        BinaryOp::Divide => x.div(y),
        _ => x.pow(y),
    }
}

/// What the fast way does not take: sizes, a written percentage, and every fault.
#[cold]
fn slow(node: &BinaryNode, a: &Value, b: &Value) -> Worked {
    let left = Operand::new(a, node.left.span);
    let right = Operand::new(b, node.right.span);
    let span = node.left.span.to(node.right.span);
    let words = |trouble| words::operation(trouble, node.op, span, left, right);
    let size = |across: Result<Quantity, Trouble>, along: Result<Quantity, Trouble>| {
        Ok(Value::size(across.map_err(words)?, along.map_err(words)?))
    };
    match (a, b) {
        (Value::Measure(x), Value::Measure(y)) => {
            if node.percent && x.reading != Reading::Percent {
                let percent = y.show(&Manner::default());
                return Err(words::percent_added(node.op, span, left, right, &percent));
            }
            Ok(Value::Measure(measured(node.op, x, y).map_err(words)?))
        }
        (Value::Size(x), Value::Size(y)) => match node.op {
            BinaryOp::Add => size(x.0.add(&y.0), x.1.add(&y.1)),
            BinaryOp::Subtract => size(x.0.sub(&y.0), x.1.sub(&y.1)),
            _ => Err(words(Trouble::UnitMix)),
        },
        (Value::Measure(n), Value::Size(s))
            if n.dim == Dim::NONE && matches!(node.op, BinaryOp::Multiply | BinaryOp::Of) =>
        {
            size(n.mul(&s.0), n.mul(&s.1))
        }
        (Value::Size(s), Value::Measure(n)) if n.dim == Dim::NONE => match node.op {
            BinaryOp::Multiply => size(s.0.mul(n), s.1.mul(n)),
            BinaryOp::Divide => size(s.0.div(n), s.1.div(n)),
            _ => Err(words(Trouble::UnitMix)),
        },
        _ => Err(words(Trouble::UnitMix)),
    }
}

/// Whether one link of a comparison holds.
fn holds(link: &Link, left: Operand<'_>, right: Operand<'_>) -> Result<bool, Halt> {
    let span = left.span.to(right.span);
    let words = |trouble| words::comparison(trouble, span, left, right);
    match link.op {
        CompareOp::Is => same(left.value, right.value).map_err(words),
        CompareOp::IsNot => same(left.value, right.value).map(|same| !same).map_err(words),
        _ => {
            let (Value::Measure(x), Value::Measure(y)) = (left.value, right.value) else {
                return Err(words(Trouble::UnitMix));
            };
            let order = x.compare(y).map_err(words)?;
            Ok(match link.op {
                CompareOp::Less => order == Ordering::Less,
                CompareOp::AtMost => order != Ordering::Greater,
                CompareOp::More => order == Ordering::Greater,
                _ => order != Ordering::Less,
            })
        }
    }
}

/// Whether two values of one kind are the same; different kinds are trouble, not `no`.
pub fn same(a: &Value, b: &Value) -> Result<bool, Trouble> {
    match (a, b) {
        (Value::Measure(x), Value::Measure(y)) => Ok(x.compare(y)? == Ordering::Equal),
        (Value::Size(x), Value::Size(y)) => {
            let across = x.0.compare(&y.0)?;
            Ok(across == Ordering::Equal && x.1.compare(&y.1)? == Ordering::Equal)
        }
        (Value::Text(x), Value::Text(y)) => Ok(x == y),
        (Value::YesNo(x), Value::YesNo(y)) => Ok(x == y),
        // `no` stands for "none" where a rule takes a measure or nothing: `price is no`.
        (Value::YesNo(false), Value::Measure(_) | Value::Text(_) | Value::Record(_) | Value::List(_))
        | (Value::Measure(_) | Value::Text(_) | Value::Record(_) | Value::List(_), Value::YesNo(false)) => {
            Ok(false)
        }
        (Value::List(x), Value::List(y)) => {
            if x.items.len() != y.items.len() {
                return Ok(false);
            }
            x.items.iter().zip(&y.items).try_fold(true, |all, (x, y)| Ok(all && same(x, y)?))
        }
        (Value::Record(x), Value::Record(y)) => {
            if x.names != y.names {
                return Ok(false);
            }
            x.values.iter().zip(&y.values).try_fold(true, |all, (x, y)| Ok(all && same(x, y)?))
        }
        _ => Err(Trouble::UnitMix),
    }
}
