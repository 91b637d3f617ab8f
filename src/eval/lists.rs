//! Lists, ranges, loops, parts, and `how many`.

use std::rc::Rc;

use crate::code::node::{Code, EachNode, Node, RangeNode};
use crate::eval::machine::{Halt, Machine, Worked};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span, closest};
use crate::measure::{Dim, Quantity, Trouble};
use crate::value::data::{Record, Value};

/// A range worked out: where it begins, its step, and how many there are.
struct Steps {
    from: Quantity,
    step: Quantity,
    count: u64,
}

impl Machine {
    #[inline(never)]
    pub(crate) fn each(&mut self, node: &EachNode, span: Span) -> Worked {
        for slot in &node.once {
            self.set_local(*slot, Value::Unset);
        }
        let items = match &node.source.code {
            Code::Range(range) => self.each_step(node, range, span)?,
            _ => self.each_item(node, span)?,
        };
        self.made_list(items, span)
    }

    fn each_step(&mut self, node: &EachNode, range: &RangeNode, span: Span) -> Result<Vec<Value>, Halt> {
        let steps = self.steps(range, true)?;
        self.spend_items(steps.count, span)?;
        let mut made = Vec::with_capacity(usize::try_from(steps.count).unwrap_or(0));
        let toil = steps.from.number.toil() + steps.step.number.toil();
        let mut at = steps.from;
        for left in (0..steps.count).rev() {
            self.spend(1 + toil, span)?;
            let next = if left == 0 { Ok(at.clone()) } else { at.add(&steps.step) };
            self.set_local(
                node.slot,
                Value::Measure(std::mem::replace(&mut at, next.map_err(|t| words::alone(t, span))?)),
            );
            made.push(self.turn(node)?);
        }
        Ok(made)
    }

    /// One turn of a loop. What made sources of error is worked again at the next turn, for there it
    /// makes others.
    #[inline]
    fn turn(&mut self, node: &EachNode) -> Worked {
        let before = self.sources;
        let made = self.eval(&node.body)?;
        if self.sources != before {
            for slot in &node.once {
                self.set_local(*slot, Value::Unset);
            }
        }
        Ok(made)
    }

    fn each_item(&mut self, node: &EachNode, span: Span) -> Result<Vec<Value>, Halt> {
        let list = match self.eval(&node.source)? {
            Value::List(list) => list,
            other => {
                let fault = words::wanted("a list", &other, node.source.span);
                return Err(fault
                    .hint("write `each k from 1 to n: …` for a range, or `[a, b]` for a list")
                    .into());
            }
        };
        self.spend_items(list.items.len() as u64, span)?;
        let mut made = Vec::with_capacity(list.items.len());
        for item in &list.items {
            self.spend(1, span)?;
            self.set_local(node.slot, item.clone());
            made.push(self.turn(node)?);
        }
        Ok(made)
    }

    #[inline(never)]
    pub(crate) fn range_list(&mut self, node: &RangeNode, span: Span) -> Worked {
        let steps = self.steps(node, false)?;
        self.spend_items(steps.count, span)?;
        let toil = steps.from.number.toil() + steps.step.number.toil();
        self.spend(steps.count.saturating_mul(1 + toil), span)?;
        let mut items = Vec::with_capacity(usize::try_from(steps.count).unwrap_or(0));
        let mut at = steps.from;
        for _ in 0..steps.count {
            let next = at.add(&steps.step).map_err(|trouble| words::alone(trouble, span))?;
            items.push(Value::Measure(std::mem::replace(&mut at, next)));
        }
        self.made_list(items, span)
    }

    /// How a range steps. One that runs down is empty in a loop and refused elsewhere.
    fn steps(&mut self, node: &RangeNode, in_loop: bool) -> Result<Steps, Halt> {
        let from = self.measure(&node.from)?;
        let to = self.measure(&node.to)?;
        let span = node.from.span.to(node.to.span);
        let step = match &node.every {
            Some(every) => {
                let step = self.measure(every)?;
                if step.is_zero() || step.is_negative() {
                    let fault = Fault::new(
                        FaultCode::BadRange,
                        every.span,
                        "the step of a range must be more than 0",
                    );
                    return Err(fault.into());
                }
                step
            }
            None if from.dim == Dim::NONE && from.whole_count().is_some() => Quantity::whole(1),
            None if from.dim != to.dim => Quantity::whole(1),
            None => {
                let fault = Fault::new(FaultCode::BadRange, span, "a range of measures needs its step");
                return Err(fault.hint("write `… every 1/2 in` behind it").into());
            }
        };
        let (a, b) = (Value::Measure(from.clone()), Value::Measure(to.clone()));
        let compare = from.compare(&to);
        let ends = |trouble| {
            words::comparison(trouble, span, Operand::new(&a, node.from.span), Operand::new(&b, node.to.span))
        };
        if compare.map_err(ends)? == std::cmp::Ordering::Greater {
            if in_loop {
                return Ok(Steps { from, step, count: 0 });
            }
            let message = format!("this range runs down, from {} to {}", words::short(&a), words::short(&b));
            let fault = Fault::new(FaultCode::BadRange, span, message);
            return Err(fault.hint("write the smaller end first").into());
        }
        let count = steps_between(&from, &to, &step).map_err(|trouble| {
            let every = node.every.as_ref().map_or(span, |every| every.span);
            let step = Value::Measure(step.clone());
            words::comparison(trouble, span, Operand::new(&a, node.from.span), Operand::new(&step, every))
        })?;
        Ok(Steps { from, step, count })
    }

    /// A measure of any dimension.
    pub(crate) fn measure(&mut self, node: &Node) -> Result<Quantity, Halt> {
        match self.eval(node)? {
            Value::Measure(quantity) => Ok(quantity),
            other => Err(words::wanted("a measure or a number", &other, node.span).into()),
        }
    }

    #[inline(never)]
    pub(crate) fn index(&mut self, pair: &(Node, Node)) -> Worked {
        let list = self.eval(&pair.0)?;
        let Value::List(list) = &list else {
            let message =
                format!("only a list has items, and this is {}", Operand::new(&list, pair.0.span).words());
            return Err(Fault::new(FaultCode::WrongKind, pair.0.span, message).into());
        };
        let at = self.measure(&pair.1)?;
        let len = list.items.len();
        let found = at.whole_count().filter(|_| at.dim == Dim::NONE).and_then(|n| usize::try_from(n).ok());
        if let Some(item) = found.and_then(|n| n.checked_sub(1)).and_then(|n| list.items.get(n)) {
            return Ok(item.clone());
        }
        let wanted = words::short(&Value::Measure(at));
        let message = match len {
            0 => format!("there is no item {wanted}: the list is empty"),
            1 => format!("there is no item {wanted}: the list has 1 item"),
            _ => format!("there is no item {wanted}: the list has items 1 to {len}"),
        };
        Err(Fault::new(FaultCode::OffTheList, pair.1.span, message).into())
    }

    #[inline(never)]
    pub(crate) fn part(&mut self, of: &Node, name: &Rc<str>, span: Span) -> Worked {
        let held = if of.is_leaf() { None } else { Some(self.eval(of)?) };
        let value = match &held {
            Some(value) => value,
            None => self.leaf(of)?,
        };
        match (value, &**name) {
            (Value::Size(size), "across") => Ok(Value::Measure(size.0.clone())),
            (Value::Size(size), "along") => Ok(Value::Measure(size.1.clone())),
            (Value::Record(record), _) if record.part(name).is_some() => {
                Ok(record.part(name).cloned().unwrap_or(Value::Unset))
            }
            _ => match crate::value::slack::part(value, name) {
                Some(part) => Ok(part),
                None => Err(unknown_part(value, of.span, name, span).into()),
            },
        }
    }

    #[inline(never)]
    pub(crate) fn how_many(&mut self, pair: &(Node, Node), span: Span) -> Worked {
        self.spend(2, span)?;
        let (piece, whole) = match (self.eval(&pair.0)?, self.eval(&pair.1)?) {
            (Value::Measure(piece), Value::Measure(whole)) => (piece, whole),
            (a, b) => return self.how_many_of_slack(&a, &b, pair, span),
        };
        if piece.is_zero() || piece.is_negative() {
            let fault = Fault::new(
                FaultCode::DivisionByZero,
                pair.0.span,
                "a piece must be more than 0 to be counted",
            );
            return Err(fault.into());
        }
        self.spend(piece.number.toil() + whole.number.toil(), span)?;
        let (a, b) = (Value::Measure(piece.clone()), Value::Measure(whole.clone()));
        let words = |trouble| match trouble {
            Trouble::UnitMix | Trouble::MoneyMix => {
                let message = format!("{} cannot be cut from {}", a.trade_name(), b.trade_name());
                Halt::from(
                    Fault::new(FaultCode::UnitMix, span, message)
                        .other(pair.0.span, format!("this is {}", Operand::new(&a, span).words()))
                        .other(pair.1.span, format!("this is {}", Operand::new(&b, span).words())),
                )
            }
            other => words::alone(other, span),
        };
        let none = Quantity::whole(0);
        let (count, left) = if whole.is_negative() {
            (none, whole.clone())
        } else {
            if piece.dim != whole.dim {
                return Err(words(Trouble::UnitMix));
            }
            let count = whole.div(&piece).and_then(|ratio| ratio.floor()).map_err(words)?;
            let used = piece.mul(&count).map_err(words)?;
            (count, whole.sub(&used).map_err(words)?)
        };
        let names: Rc<[Rc<str>]> = ["count".into(), "left".into()].into();
        let record = Record::new(names, vec![Value::Measure(count), Value::Measure(left)], self.limits.items);
        Ok(record.map_or(Value::Unset, |record| Value::Record(Rc::new(record))))
    }
}

/// How many steps lie from `from` to `to`, both ends counted.
fn steps_between(from: &Quantity, to: &Quantity, step: &Quantity) -> Result<u64, Trouble> {
    if step.dim != from.dim {
        return Err(Trouble::UnitMix);
    }
    let whole = to.sub(from)?.div(step)?.floor()?;
    let count = whole.whole_count().and_then(|n| u64::try_from(n).ok());
    Ok(count.unwrap_or(u64::MAX - 1).saturating_add(1))
}

fn unknown_part(value: &Value, value_span: Span, name: &str, span: Span) -> Fault {
    let message = format!("{} has no part `.{name}`", value.trade_name());
    let fault = Fault::new(FaultCode::UnknownPart, span, message).other(value_span, "this value");
    match value {
        Value::Size(_) => fault.hint("a size has `.across` and `.along`"),
        Value::Record(record) => {
            let parts: Vec<String> = record.names.iter().map(|name| format!("`.{name}`")).collect();
            let close = closest(name, record.names.iter().map(|name| &**name));
            fault.did_you_mean(close).hint(format!("it has {}", parts.join(", ")))
        }
        Value::List(_) => {
            fault.hint("take an item first, such as `[1]`; `count(…)` tells how many there are")
        }
        Value::Measure(_) => fault.hint("it is one measure, without parts"),
        Value::Slack(_) => fault.hint("a measure with slack has `.middle`, `.slack`, `.least` and `.most`"),
        Value::SlackSize(_) => fault.hint(
            "a size with slack has `.across` and `.along`, and `.middle`, `.slack`, `.least` and `.most`",
        ),
        _ => fault,
    }
}
