//! What operators make of values: sums, comparisons, rounding, readings.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::code::node::{BinaryNode, Code, Link, Node, Op};
use crate::code::walk::logic;
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::Machine;
use crate::eval::slack;
use crate::eval::words;
use crate::fault::Span;
use crate::measure::{Dim, Manner, Quantity, Reading, Trouble, UnitExpr, Way};
use crate::syntax::tree::{BinaryOp, CompareOp};
use crate::value::cause::{At, Cause, One, Pair, Want};
use crate::value::data::Value;
use crate::value::describe::Operand;

impl Machine {
    #[inline(never)]
    pub(crate) fn binary(&mut self, node: &BinaryNode) -> Worked {
        if matches!(node.op, BinaryOp::And | BinaryOp::Or) {
            return logic(self, node);
        }
        self.spend(1, node.op_span)?;
        // Leaves are read in place; only what had to be evaluated is held.
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
            let everyday = x.number.is_everyday() && y.number.is_everyday() && value.number.is_everyday();
            if everyday {
                return Ok(Value::Measure(value));
            }
            let operands = x.number.work().saturating_add(y.number.work());
            return self.paid(operands, value, node.op_span);
        }
        let made = both(node, a, b)?;
        if made.has_slack() { self.took(made, node.op_span) } else { Ok(made) }
    }

    /// Takes the work of long numbers from what is left: that of the operands, and that of what they made.
    #[cold]
    #[inline(never)]
    fn paid(&mut self, operands: u64, made: Quantity, span: Span) -> Worked {
        self.spend(operands.saturating_add(made.number.work()), span)?;
        Ok(Value::Measure(made))
    }

    /// Evaluates an operand, where it is not one that can be read in place afterwards.
    #[inline(always)]
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

    /// A yes or no that slack does not leave open.
    pub(crate) fn decided(value: Value, span: Span) -> Result<bool, Halt> {
        match value {
            Value::YesNo(yes) => Ok(yes),
            Value::NotSure(doubt) => Err(words::not_sure(&doubt, span)),
            other => Err(Cause::wanted(Want::YES_NO, &Operand::new(&other, span)).into()),
        }
    }

    /// One link of a chain of comparisons.
    pub(crate) fn held(&mut self, link: &Link, left: Operand<'_>, right: Operand<'_>) -> Worked {
        if let (Value::Measure(x), Value::Measure(y)) = (left.value, right.value)
            && x.number.is_everyday()
            && y.number.is_everyday()
            && let Ok(order) = x.compare(y)
        {
            self.spend(1, link.op_span)?;
            return Ok(Value::YesNo(link.op.holds(order)));
        }
        let work = left.value.work().saturating_add(right.value.work());
        self.spend(right.value.weight().saturating_add(work), link.op_span)?;
        Ok(match holds(link.op, left, right)? {
            Some(yes) => Value::YesNo(yes),
            None => slack::doubt(left, right),
        })
    }

    /// An operation on operands that are evaluated.
    pub(crate) fn operate(&mut self, op: &Op, nodes: &[Node], values: &[Value], span: Span) -> Worked {
        let operand = |at: usize| Some(Operand::new(values.get(at)?, nodes.get(at)?.span));
        let Some(first) = operand(0) else { return Err(Halt::Silent) };
        let second = operand(1).unwrap_or(first);
        match op {
            Op::Minus => minus(first, span),
            Op::Size => self.size(first, second),
            Op::Slack(name) => self.with_slack(name, first, second, span),
            Op::Separate(name) => self.separate(name, first, second, span),
            Op::Round(way) => self.round(*way, first, second, span),
            Op::ShownInUnit(unit) => shown(first, unit.dim(), |quantity| quantity.shown_in(unit)),
            Op::ShownInStep => {
                let step = measure(second, Want::READING)?;
                shown(first, step.dim, |quantity| quantity.shown_by(step))
            }
            Op::WithUnit(unit) => with_unit(first, unit),
            Op::Part(name, place) => self.shape_part(first, name, *place),
            Op::Index => index(first, second),
            Op::HowMany => self.how_many(first, second, span),
            Op::Range { in_loop } => self.range_list((first, second), operand(2), *in_loop, span),
            Op::List | Op::Record(_) | Op::Builtin(_) => Err(Halt::Silent),
        }
    }

    fn size(&mut self, across: Operand<'_>, along: Operand<'_>) -> Worked {
        match (across.value, along.value) {
            (Value::Measure(x), Value::Measure(y)) if x.dim == Dim::LENGTH && y.dim == Dim::LENGTH => {
                Ok(Value::size(x.clone(), y.clone()))
            }
            _ => slack::slack_size(across, along),
        }
    }

    fn round(&mut self, way: Way, value: Operand<'_>, step: Operand<'_>, span: Span) -> Worked {
        self.spend(2, span)?;
        let by = measure(step, Want::STEP)?;
        if by.is_zero() || by.is_negative() {
            return Err(Cause::At(At::NoStep("a step to round to"), step.span).into());
        }
        let made = match slack::rounded(value.value, by, way) {
            Some(made) => made.map_err(Some),
            None => sides(value, |quantity| quantity.round_to(by, way)),
        };
        let made = made.map_err(|trouble| match trouble {
            Some(trouble) => Cause::of_two(trouble, Pair::Step, &value, &step),
            None => Cause::wanted(Want::MEASURE, &value),
        })?;
        self.took(made, span)
    }
}

/// The same made of a measure, or of each side of a size; no trouble is told of what is neither.
fn sides(
    operand: Operand<'_>,
    make: impl Fn(&Quantity) -> Result<Quantity, Trouble>,
) -> Result<Value, Option<Trouble>> {
    match operand.value {
        Value::Measure(quantity) => Ok(Value::Measure(make(quantity)?)),
        Value::Size(size) => Ok(Value::size(make(&size.0)?, make(&size.1)?)),
        Value::Slack(slack) => Ok(slack.shown(&make)?.into()),
        Value::SlackSize(size) => Ok(Value::SlackSize(Rc::new((size.0.shown(&make)?, size.1.shown(&make)?)))),
        _ => Err(None),
    }
}

/// A measure of any dimension, without slack.
pub(crate) fn measure<'v>(operand: Operand<'v>, want: Want<'_>) -> Result<&'v Quantity, Halt> {
    match operand.value {
        Value::Measure(quantity) => Ok(quantity),
        _ => Err(Cause::wanted(want, &operand).into()),
    }
}

fn minus(operand: Operand<'_>, span: Span) -> Worked {
    match operand.value {
        Value::Measure(quantity) => Ok(Value::Measure(quantity.neg())),
        Value::Size(size) => Ok(Value::size(size.0.neg(), size.1.neg())),
        Value::Slack(slack) => Ok(slack.neg().into()),
        Value::SlackSize(size) => Ok(Value::SlackSize(Rc::new((size.0.neg(), size.1.neg())))),
        _ => Err(Cause::one(One::Minus(span), &operand).into()),
    }
}

fn shown(operand: Operand<'_>, wanted: Dim, read: impl Fn(&Quantity) -> Result<Quantity, Trouble>) -> Worked {
    sides(operand, read).map_err(|trouble| match trouble {
        Some(_) => Cause::one(One::Shown(wanted), &operand).into(),
        None => Cause::wanted(Want::MEASURE, &operand).into(),
    })
}

fn with_unit(operand: Operand<'_>, unit: &UnitExpr) -> Worked {
    match operand.value {
        Value::Measure(quantity) if quantity.dim == Dim::NONE => {
            Ok(Value::Measure(unit.apply(&quantity.number)))
        }
        _ => Err(Cause::wanted(Want::BEFORE_UNIT, &operand).into()),
    }
}

fn index(list: Operand<'_>, at: Operand<'_>) -> Worked {
    let Value::List(held) = list.value else { return Err(Cause::one(One::NotAList, &list).into()) };
    let wanted = measure(at, Want::NUMBER)?;
    let whole = wanted.whole_count().filter(|_| wanted.dim == Dim::NONE);
    let found = whole.and_then(|n| usize::try_from(n).ok()).and_then(|n| held.items.get(n.checked_sub(1)?));
    found.cloned().ok_or_else(|| Cause::At(At::NoItem(at.value.short(), held.items.len()), at.span).into())
}

/// An operation on two measures.
#[inline(always)]
fn measured(op: BinaryOp, x: &Quantity, y: &Quantity) -> Result<Quantity, Trouble> {
    match op {
        BinaryOp::Add => x.add(y),
        BinaryOp::Subtract => x.sub(y),
        BinaryOp::Multiply => x.mul(y),
        // A part of something reads as that does.
        BinaryOp::Of => y.mul(x),
        BinaryOp::Divide => x.div(y),
        BinaryOp::Power => x.pow(y),
        BinaryOp::And | BinaryOp::Or => Err(Trouble::UnitMix),
    }
}

/// Arithmetic on any two values, with every fault.
#[cold]
pub(crate) fn both(node: &BinaryNode, a: &Value, b: &Value) -> Worked {
    let left = Operand::new(a, node.left.span);
    let right = Operand::new(b, node.right.span);
    if let Some(made) = slack::operation(node.op, left, right) {
        return made;
    }
    let made = match (a, b) {
        (Value::Measure(x), Value::Measure(y)) => {
            if node.percent && x.reading != Reading::Percent {
                let pair = Pair::Percent(node.op, y.show(&Manner::default()));
                return Err(Cause::pair(pair, &left, &right).into());
            }
            measured(node.op, x, y).map(Value::Measure)
        }
        _ => sized(node.op, a, b),
    };
    made.map_err(|trouble| Cause::operation(trouble, node.op, &left, &right).into())
}

/// Sizes go together side by side, and with numbers.
fn sized(op: BinaryOp, a: &Value, b: &Value) -> Result<Value, Trouble> {
    match (a, b, op) {
        (Value::Size(x), Value::Size(y), BinaryOp::Add | BinaryOp::Subtract) => {
            Ok(Value::size(measured(op, &x.0, &y.0)?, measured(op, &x.1, &y.1)?))
        }
        (Value::Measure(n), Value::Size(s), BinaryOp::Multiply | BinaryOp::Of) if n.dim == Dim::NONE => {
            Ok(Value::size(measured(op, n, &s.0)?, measured(op, n, &s.1)?))
        }
        (Value::Size(s), Value::Measure(n), BinaryOp::Multiply | BinaryOp::Divide) if n.dim == Dim::NONE => {
            Ok(Value::size(measured(op, &s.0, n)?, measured(op, &s.1, n)?))
        }
        _ => Err(Trouble::UnitMix),
    }
}

/// Whether one link of a comparison holds; `None` where slack leaves it open.
fn holds(op: CompareOp, left: Operand<'_>, right: Operand<'_>) -> Result<Option<bool>, Halt> {
    if let (Value::NotSure(doubt), _) | (_, Value::NotSure(doubt)) = (left.value, right.value) {
        return Err(words::not_sure(doubt, left.span.to(right.span)));
    }
    let answer = match slack::holds(op, left.value, right.value) {
        Some(answer) => answer,
        None => plainly(op, left.value, right.value).map(Some),
    };
    answer.map_err(|trouble| words::comparison(trouble, left, right))
}

/// Whether a comparison without slack holds.
fn plainly(op: CompareOp, left: &Value, right: &Value) -> Result<bool, Trouble> {
    match (op, left, right) {
        (CompareOp::Is, a, b) => same(a, b),
        (CompareOp::IsNot, a, b) => same(a, b).map(|same| !same),
        (_, Value::Measure(x), Value::Measure(y)) => Ok(op.holds(x.compare(y)?)),
        _ => Err(Trouble::UnitMix),
    }
}

/// Whether two values of one kind are the same; different kinds are trouble, not `no`.
pub fn same(a: &Value, b: &Value) -> Result<bool, Trouble> {
    let all =
        |xs: &[Value], ys: &[Value]| xs.iter().zip(ys).try_fold(true, |all, (x, y)| Ok(all && same(x, y)?));
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
        (Value::YesNo(false), other) | (other, Value::YesNo(false)) if may_be_none(other) => Ok(false),
        (Value::List(x), Value::List(y)) => Ok(x.items.len() == y.items.len() && all(&x.items, &y.items)?),
        (Value::Record(x), Value::Record(y)) => Ok(x.names == y.names && all(&x.values, &y.values)?),
        _ => Err(Trouble::UnitMix),
    }
}

fn may_be_none(value: &Value) -> bool {
    matches!(value, Value::Measure(_) | Value::Size(_) | Value::Text(_) | Value::Record(_) | Value::List(_))
}
