//! The built-ins at work.

use std::cmp::Ordering;

use crate::code::node::Node;
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::Machine;
use crate::eval::{slack, words};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::limits::CAUTIONS;
use crate::measure::{Dim, Quantity, Trouble};
use crate::value::builtin::{self, Ask, Builtin};
use crate::value::cause::{At, Cause, Want};
use crate::value::data::Value;
use crate::value::describe::Operand;

impl Machine {
    pub(crate) fn builtin(&mut self, builtin: Builtin, nodes: &[Node], args: &[Value], span: Span) -> Worked {
        self.spend(2, span)?;
        let (Some(first), Some(node)) = (args.first(), nodes.first()) else { return Err(Halt::Silent) };
        let first = Operand::new(first, node.span);
        let items = builtin::items(args);
        let slack = || items.iter().any(Value::has_slack);
        let wrong = || Halt::from(Cause::wanted(builtin.ask().want(), &first));
        match (builtin, first.value) {
            (Builtin::Largest | Builtin::Smallest, _) if slack() => {
                self.slack_extreme(items, builtin == Builtin::Largest, span)
            }
            (Builtin::Largest, _) => self.extreme(args, nodes, span, Ordering::Greater),
            (Builtin::Smallest, _) => self.extreme(args, nodes, span, Ordering::Less),
            (Builtin::CutLengths, _) => self.cut_lengths(args, nodes, span),
            (Builtin::Sum, Value::List(_)) if slack() => self.slack_sum(items, node.span),
            (Builtin::Sum, Value::List(list)) => self.sum(&list.items, node.span),
            (Builtin::Count, Value::List(list)) => {
                Ok(Value::count(i64::try_from(list.items.len()).unwrap_or(i64::MAX)))
            }
            (Builtin::Joined, Value::List(lists)) => self.joined(&lists.items, span, node.span),
            (Builtin::Refuse, Value::Text(text)) => Err(Fault::new(FaultCode::Refused, span, &**text).into()),
            (Builtin::Sum | Builtin::Count | Builtin::Joined | Builtin::Refuse, _) => Err(wrong()),
            (shape, _) if shape.makes_shape() => self.shape(shape, args, nodes, span),
            (_, Value::Slack(slack)) => slack::one(builtin, slack, first),
            (_, Value::Measure(quantity)) => one_measure(builtin, quantity, first),
            _ => Err(Cause::wanted(Want::NUMBER, &first).into()),
        }
    }

    /// Takes words of caution for the docket, each once.
    pub(crate) fn take_caution(&mut self, words: Value, node: &Node, span: Span) -> Result<(), Halt> {
        let text = match words {
            Value::Text(text) => text,
            other => return Err(Cause::wanted("text", &Operand::new(&other, node.span)).into()),
        };
        self.spend((self.cautions.len() as u64).saturating_add(1), span)?;
        if self.cautions.contains(&text) {
            return Ok(());
        }
        self.spend_items(1, span)?;
        if self.cautions.len() >= CAUTIONS {
            let message = format!("this line adds more than {CAUTIONS} cautions");
            let hint = "write one caution for all of them, without measures in its text";
            return Err(words::too_much(span, message).hint(hint).into());
        }
        self.cautions.push(text);
        Ok(())
    }

    fn sum(&mut self, items: &[Value], place: Span) -> Worked {
        self.spend(items.len() as u64, place)?;
        let mut items = items.iter();
        let Some(first) = items.next() else { return Ok(Value::count(0)) };
        let mut total = first.clone();
        for item in items {
            self.spend(total.work().saturating_add(item.work()), place)?;
            if let (Value::Measure(x), Value::Measure(y)) = (&total, item)
                && let Ok(sum) = x.add(y)
            {
                total = Value::Measure(sum);
                continue;
            }
            let made = match (&total, item) {
                (Value::Measure(x), Value::Measure(y)) => x.add(y).map(Value::Measure),
                (Value::Size(x), Value::Size(y)) => match (x.0.add(&y.0), x.1.add(&y.1)) {
                    (Ok(across), Ok(along)) => Ok(Value::size(across, along)),
                    (Err(trouble), _) | (_, Err(trouble)) => Err(trouble),
                },
                _ => Err(Trouble::UnitMix),
            };
            total = made.map_err(|trouble| words::mixed_list(trouble, &total, item, place))?;
        }
        match total {
            Value::Measure(_) | Value::Size(_) => Ok(total),
            other => Err(Cause::wanted("a list of measures", &Operand::new(&other, place)).into()),
        }
    }

    fn extreme(&mut self, args: &[Value], nodes: &[Node], span: Span, wanted: Ordering) -> Worked {
        let items = builtin::items(args);
        let work = items.iter().fold(0u64, |sum, item| sum.saturating_add(item.work()).saturating_add(1));
        self.spend(work, span)?;
        let place =
            |at: usize| if args.len() == items.len() { nodes.get(at).map_or(span, |n| n.span) } else { span };
        let mut best: Option<(Operand<'_>, &Quantity)> = None;
        for (at, item) in items.iter().enumerate() {
            let item = Operand::new(item, place(at));
            let Value::Measure(quantity) = item.value else {
                return Err(Cause::wanted(Want::MEASURE, &item).into());
            };
            let better = match best {
                None => true,
                Some((before, least)) => {
                    let order = quantity.compare(least);
                    order.map_err(|trouble| words::comparison(trouble, before, item))? == wanted
                }
            };
            if better {
                best = Some((item, quantity));
            }
        }
        best.map(|(item, _)| item.value.clone()).ok_or_else(|| Cause::At(At::EmptyList, span).into())
    }

    fn joined(&mut self, lists: &[Value], span: Span, place: Span) -> Worked {
        let mut items: Vec<Value> = Vec::new();
        for item in lists {
            let Value::List(list) = item else {
                return Err(Cause::wanted(Ask::Lists.want(), &Operand::new(item, place)).into());
            };
            self.spend_items(list.items.len() as u64, span)?;
            items.extend(list.items.iter().cloned());
        }
        self.made_list(items, span)
    }
}

fn one_measure(builtin: Builtin, x: &Quantity, operand: Operand<'_>) -> Worked {
    let ask = builtin.ask();
    let takes = match ask {
        Ask::Angle => x.dim == Dim::ANGLE,
        Ask::Number => x.dim == Dim::NONE,
        _ => true,
    };
    if !takes {
        return Err(Cause::wanted(ask.want(), &operand).into());
    }
    let made = match builtin {
        Builtin::Sqrt => x.sqrt(),
        Builtin::Abs => Ok(x.abs()),
        Builtin::Sin => x.sin(),
        Builtin::Cos => x.cos(),
        Builtin::Tan => x.tan(),
        Builtin::Floor => x.floor(),
        Builtin::Ceil => x.ceil(),
        _ => x.round_whole(),
    };
    made.map(Value::Measure).map_err(|trouble| words::no_number(trouble, builtin, operand).into())
}
