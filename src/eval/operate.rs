//! Operators: sums, comparisons, rounding, readings.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::code::node::{BinaryNode, Code, Link, Node};
use crate::eval::machine::{Halt, Machine, Worked};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Manner, Quantity, Reading, Trouble, UnitExpr};
use crate::syntax::tree::{BinaryOp, CompareOp, Way};
use crate::value::data::Value;
use crate::value::slack;

impl Machine {
    #[inline]
    pub(crate) fn binary(&mut self, node: &BinaryNode) -> Worked {
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
            let toil = x.number.toil() + y.number.toil() + value.number.toil();
            if toil > 0 {
                self.spend(toil, node.op_span)?;
            }
            return Ok(Value::Measure(value));
        }
        let made = slow(node, a, b)?;
        if made.has_slack() { self.took(made, node.op_span) } else { Ok(made) }
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

    /// What is not sure stays so unless the other side settles it.
    #[inline(never)]
    fn logic(&mut self, node: &BinaryNode) -> Worked {
        let settles = node.op == BinaryOp::Or;
        let left = self.answer(&node.left)?;
        if matches!(left, Value::YesNo(yes) if yes == settles) {
            return Ok(left);
        }
        let right = self.answer(&node.right)?;
        let open = matches!(left, Value::NotSure(_));
        if open && !matches!(right, Value::YesNo(yes) if yes == settles) { Ok(left) } else { Ok(right) }
    }

    /// A yes, a no, or what is not sure.
    fn answer(&mut self, node: &Node) -> Worked {
        match self.eval(node)? {
            answer @ (Value::YesNo(_) | Value::NotSure(_)) => Ok(answer),
            other => Err(words::wanted("a yes or no", &other, node.span).into()),
        }
    }

    #[inline(never)]
    pub(crate) fn not(&mut self, inner: &Node) -> Worked {
        Ok(match self.answer(inner)? {
            Value::YesNo(yes) => Value::YesNo(!yes),
            open => open,
        })
    }

    /// A yes or no.
    #[inline(never)]
    pub(crate) fn condition(&mut self, node: &Node) -> Result<bool, Halt> {
        match self.eval(node)? {
            Value::YesNo(yes) => Ok(yes),
            Value::NotSure(doubt) => Err(words::not_sure(&doubt, node.span)),
            other => Err(words::wanted("a yes or no", &other, node.span).into()),
        }
    }

    #[inline(never)]
    pub(crate) fn compare(&mut self, first: &Node, links: &[Link]) -> Worked {
        let mut left = self.eval(first)?;
        let mut left_span = first.span;
        let mut all = true;
        let mut open = None;
        for link in links {
            let right = self.eval(&link.operand)?;
            self.spend(right.weight() + left.toil() + right.toil(), link.op_span)?;
            // Every link is looked at, so that a wrong unit in the last one is told too.
            let (a, b) = (Operand::new(&left, left_span), Operand::new(&right, link.operand.span));
            match holds(link, a, b)? {
                Some(yes) => all &= yes,
                None => open = open.or_else(|| Some(slack::doubt(a, b))),
            }
            left = right;
            left_span = link.operand.span;
        }
        Ok(open.filter(|_| all).unwrap_or(Value::YesNo(all)))
    }

    #[inline(never)]
    pub(crate) fn minus(&mut self, inner: &Node, span: Span) -> Worked {
        match self.eval(inner)? {
            Value::Measure(quantity) => Ok(Value::Measure(quantity.neg())),
            Value::Size(size) => Ok(Value::size(size.0.neg(), size.1.neg())),
            Value::Slack(slack) => Ok(slack.neg().value()),
            Value::SlackSize(size) => Ok(Value::SlackSize(Rc::new((size.0.neg(), size.1.neg())))),
            other => {
                let message = format!("`-` does not go before {}", other.trade_name());
                Err(Fault::new(FaultCode::UnitMix, span, message).into())
            }
        }
    }

    #[inline(never)]
    pub(crate) fn size(&mut self, pair: &(Node, Node)) -> Worked {
        let across = self.eval(&pair.0)?;
        let along = self.eval(&pair.1)?;
        match (across, along) {
            (Value::Measure(across), Value::Measure(along))
                if across.dim == Dim::LENGTH && along.dim == Dim::LENGTH =>
            {
                Ok(Value::size(across, along))
            }
            (across, along) => self.slack_size(&across, &along, pair),
        }
    }

    #[inline(never)]
    pub(crate) fn round(&mut self, way: Way, pair: &(Node, Node), span: Span) -> Worked {
        self.spend(2, span)?;
        let value = self.eval(&pair.0)?;
        let step = match self.eval(&pair.1)? {
            Value::Measure(step) => step,
            other => return Err(words::wanted("a step such as `1/8 in`", &other, pair.1.span).into()),
        };
        self.spend(value.toil() + step.number.toil(), span)?;
        if step.is_zero() || step.is_negative() {
            let fault =
                Fault::new(FaultCode::BadRange, pair.1.span, "a step to round to must be more than 0");
            return Err(fault.into());
        }
        let way = match way {
            Way::Nearest => crate::measure::Way::Nearest,
            Way::Up => crate::measure::Way::Up,
            Way::Down => crate::measure::Way::Down,
        };
        let rounded = |quantity: &Quantity| quantity.round_to(&step, way);
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
            Value::Slack(_) | Value::SlackSize(_) => {
                self.slack_round(&value, &step, way, span).map_err(words)?
            }
            _ => Err(words::wanted("a measure", &value, pair.0.span).into()),
        }
    }

    #[inline(never)]
    pub(crate) fn shown_in_unit(&mut self, inner: &Node, unit: &UnitExpr, span: Span) -> Worked {
        let value = self.eval(inner)?;
        self.shown(value, span, unit.dim(), |quantity| quantity.shown_in(unit))
    }

    #[inline(never)]
    pub(crate) fn shown_in_step(&mut self, pair: &(Node, Node), span: Span) -> Worked {
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
            Value::Slack(slack) => Ok(slack.shown(&read).map_err(words)?.value()),
            Value::SlackSize(size) => {
                let sides = (size.0.shown(&read).map_err(words)?, size.1.shown(&read).map_err(words)?);
                Ok(Value::SlackSize(Rc::new(sides)))
            }
            _ => Err(words::wanted("a measure", &value, span).into()),
        }
    }

    #[inline(never)]
    pub(crate) fn with_unit(&mut self, inner: &Node, unit: &UnitExpr) -> Worked {
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
    if let Some(made) = slack::operation(node.op, span, left, right) {
        return made;
    }
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

/// Whether one link of a comparison holds; `None` where slack leaves it open.
fn holds(link: &Link, left: Operand<'_>, right: Operand<'_>) -> Result<Option<bool>, Halt> {
    let span = left.span.to(right.span);
    let words = |trouble| words::comparison(trouble, span, left, right);
    if let (Value::NotSure(doubt), _) | (_, Value::NotSure(doubt)) = (left.value, right.value) {
        return Err(words::not_sure(doubt, span));
    }
    if let Some(answer) = slack::holds(link.op, left.value, right.value) {
        return answer.map_err(words);
    }
    plainly(link, left, right).map(Some)
}

/// Whether one link of a comparison without slack holds.
fn plainly(link: &Link, left: Operand<'_>, right: Operand<'_>) -> Result<bool, Halt> {
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
        (Value::Slack(_) | Value::SlackSize(_), _) | (_, Value::Slack(_) | Value::SlackSize(_)) => {
            slack::holds(CompareOp::Is, a, b).unwrap_or(Ok(None))?.ok_or(Trouble::TooClose)
        }
        (Value::Text(x), Value::Text(y)) => Ok(x == y),
        (Value::YesNo(x), Value::YesNo(y)) => Ok(x == y),
        // `no` stands for "none" where a rule takes a measure or nothing: `price is no`.
        (
            Value::YesNo(false),
            Value::Measure(_) | Value::Size(_) | Value::Text(_) | Value::Record(_) | Value::List(_),
        )
        | (
            Value::Measure(_) | Value::Size(_) | Value::Text(_) | Value::Record(_) | Value::List(_),
            Value::YesNo(false),
        ) => Ok(false),
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
