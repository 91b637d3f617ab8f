//! Calls of rules and of built-ins.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::code::node::{CallNode, Node, RuleCode};
use crate::eval::builtins::{self, Builtin};
use crate::eval::machine::{Halt, Machine, Worked};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::limits::{self, CAUTIONS};
use crate::measure::{Dim, Quantity, Trouble};
use crate::value::data::Value;
use crate::value::kind::Kind;

/// How many calling places a fault inside a rule names, so that endless recursion stays readable.
const CALLERS_SHOWN: usize = 3;

/// Up to this depth any stack is deep enough; asking how much is left costs a start its time.
const SHALLOW: u32 = 100;

impl Machine {
    #[inline(never)]
    pub(crate) fn call(&mut self, node: &CallNode, span: Span) -> Worked {
        self.spend(2, span)?;
        let Some(rule) = self.rules.get(node.rule as usize).and_then(Option::as_ref).map(Rc::clone) else {
            return Err(Halt::Silent);
        };
        let new_base = self.stack.len();
        self.stack.resize(new_base + rule.slots as usize, Value::Unset);
        let worked = self.call_in_frame(node, &rule, new_base, span);
        self.stack.truncate(new_base);
        worked
    }

    fn call_in_frame(&mut self, node: &CallNode, rule: &Rc<RuleCode>, new_base: usize, span: Span) -> Worked {
        for (slot, arg) in &node.args {
            let value = self.eval(arg)?;
            if let Some(param) = rule.params.get(*slot as usize)
                && !param.kind.takes(&value)
            {
                return Err(wrong_argument(rule, *slot, &value, arg.span).into());
            }
            if let Some(place) = self.stack.get_mut(new_base + *slot as usize) {
                *place = value;
            }
        }
        let caller = std::mem::replace(&mut self.base, new_base);
        let worked = self.enter(rule, span);
        self.base = caller;
        worked.map_err(|halt| called_from(halt, rule, span))
    }

    /// Works the defaults and the formula, one level deeper.
    fn enter(&mut self, rule: &RuleCode, span: Span) -> Worked {
        let deeper = self.depth + rule.nesting + 1;
        if deeper > self.limits.depth {
            let message = format!("`{}` is called inside itself too many times", rule.name);
            let fault = Fault::new(FaultCode::TooMuch, span, message);
            let fault = fault.hint("a rule that calls itself needs an `if` that ends it");
            return Err(fault.hint(limits::hint("depth", u64::from(self.limits.depth))).into());
        }
        let before = std::mem::replace(&mut self.depth, deeper);
        let worked = if deeper <= SHALLOW {
            self.body(rule)
        } else {
            stacker::maybe_grow(256 << 10, 4 << 20, || self.body(rule))
        };
        self.depth = before;
        worked
    }

    fn body(&mut self, rule: &RuleCode) -> Worked {
        for (slot, param) in rule.params.iter().enumerate() {
            let slot = u32::try_from(slot).unwrap_or(u32::MAX);
            if let (Some(Value::Unset), Some(default)) = (self.local(slot), &param.default) {
                let value = self.eval(default)?;
                if !param.kind.takes(&value) {
                    return Err(wrong_argument(rule, slot, &value, default.span).into());
                }
                self.set_local(slot, value);
            }
        }
        let value = self.eval(&rule.body)?;
        if !rule.gives.takes(&value) {
            let operand = Operand::new(&value, rule.body.span);
            let message = format!(
                "`{}` says that it gives {}, and here it gives {}",
                rule.name,
                rule.gives.trade_name(),
                operand.words()
            );
            return Err(Fault::new(FaultCode::WrongKind, rule.body.span, message).into());
        }
        Ok(value)
    }

    #[inline(never)]
    pub(crate) fn builtin(&mut self, builtin: Builtin, nodes: &[Node], span: Span) -> Worked {
        self.spend(2, span)?;
        if builtin == Builtin::WithCaution {
            return self.with_caution(nodes, span);
        }
        let args = nodes.iter().map(|node| self.eval(node)).collect::<Result<Vec<_>, _>>()?;
        let place = nodes.first().map_or(span, |node| node.span);
        let slack = || builtins::items(&args).iter().any(Value::has_slack);
        match builtin {
            Builtin::Largest | Builtin::Smallest if slack() => {
                self.slack_extreme(builtins::items(&args), builtin == Builtin::Largest, span)
            }
            Builtin::Sum if slack() => self.slack_sum(builtins::items(&args), place),
            Builtin::Sum => self.sum(&args, place),
            Builtin::Largest => self.extreme(&args, nodes, span, Ordering::Greater),
            Builtin::Smallest => self.extreme(&args, nodes, span, Ordering::Less),
            Builtin::Count => match args.first() {
                Some(Value::List(list)) => {
                    Ok(Value::count(i64::try_from(list.items.len()).unwrap_or(i64::MAX)))
                }
                other => Err(wanted_arg("a list", other, place)),
            },
            Builtin::Joined => self.joined(&args, span, place),
            Builtin::CutLengths => self.cut_lengths(&args, nodes, span),
            Builtin::Refuse => match args.first() {
                Some(Value::Text(text)) => Err(Fault::new(FaultCode::Refused, span, &**text).into()),
                other => Err(wanted_arg("a text", other, place)),
            },
            _ => one_measure(builtin, args.first(), place),
        }
    }

    /// The value, and words for the docket where they are called for; else they are not even worked.
    fn with_caution(&mut self, nodes: &[Node], span: Span) -> Worked {
        let [value, said, when @ ..] = nodes else { return Err(Halt::Silent) };
        let value = self.eval(value)?;
        let called_for = match when.first() {
            None => true,
            Some(when) => match self.eval(when)? {
                Value::YesNo(yes) => yes,
                // better said in vain than not said
                Value::NotSure(_) => true,
                other => return Err(words::wanted("a yes or no", &other, when.span).into()),
            },
        };
        if called_for {
            let text = match self.eval(said)? {
                Value::Text(text) => text,
                other => return Err(words::wanted("a text", &other, said.span).into()),
            };
            self.spend(1 + self.cautions.len() as u64, span)?;
            if !self.cautions.contains(&text) {
                self.one_more_caution(text, span)?;
            }
        }
        Ok(value)
    }

    fn one_more_caution(&mut self, words: Rc<str>, span: Span) -> Result<(), Halt> {
        self.spend_items(1, span)?;
        if self.cautions.len() >= CAUTIONS {
            let message = format!("one line cautions of more than {CAUTIONS} things");
            let fault = Fault::new(FaultCode::TooMuch, span, message);
            return Err(fault
                .hint("say once what holds for all: leave the measures out of the words")
                .into());
        }
        self.cautions.push(words);
        Ok(())
    }

    fn sum(&mut self, args: &[Value], place: Span) -> Worked {
        let Some(Value::List(list)) = args.first() else {
            return Err(wanted_arg("a list", args.first(), place));
        };
        self.spend(list.items.len() as u64, place)?;
        let mut items = list.items.iter();
        let Some(first) = items.next() else { return Ok(Value::count(0)) };
        let mut total = first.clone();
        for item in items {
            self.spend(total.toil() + item.toil(), place)?;
            total = match (&total, item) {
                (Value::Measure(x), Value::Measure(y)) => {
                    Value::Measure(x.add(y).map_err(|t| mixed(t, &total, item, place))?)
                }
                (Value::Size(x), Value::Size(y)) => Value::size(
                    x.0.add(&y.0).map_err(|t| words::alone(t, place))?,
                    x.1.add(&y.1).map_err(|t| words::alone(t, place))?,
                ),
                _ => return Err(mixed(Trouble::UnitMix, &total, item, place)),
            };
        }
        match total {
            Value::Measure(_) | Value::Size(_) => Ok(total),
            other => Err(words::wanted("a list of measures", &other, place).into()),
        }
    }

    fn extreme(&mut self, args: &[Value], nodes: &[Node], span: Span, wanted: Ordering) -> Worked {
        let items = builtins::items(args);
        self.spend(items.iter().map(|item| 1 + item.toil()).sum(), span)?;
        let place =
            |at: usize| if args.len() == items.len() { nodes.get(at).map_or(span, |n| n.span) } else { span };
        let mut best: Option<(usize, &Quantity)> = None;
        for (at, item) in items.iter().enumerate() {
            let Value::Measure(quantity) = item else {
                return Err(words::wanted("a measure", item, place(at)).into());
            };
            let better = match best {
                None => true,
                Some((before, least)) => {
                    let kept = Value::Measure(least.clone());
                    let order = quantity.compare(least).map_err(|trouble| {
                        words::comparison(
                            trouble,
                            span,
                            Operand::new(&kept, place(before)),
                            Operand::new(item, place(at)),
                        )
                    })?;
                    order == wanted
                }
            };
            if better {
                best = Some((at, quantity));
            }
        }
        match best {
            Some((_, quantity)) => Ok(Value::Measure(quantity.clone())),
            None => {
                Err(Fault::new(FaultCode::OffTheList, span, "an empty list has no largest and no smallest")
                    .into())
            }
        }
    }

    fn joined(&mut self, args: &[Value], span: Span, place: Span) -> Worked {
        let Some(Value::List(lists)) = args.first() else {
            return Err(wanted_arg("a list of lists", args.first(), place));
        };
        let mut items = Vec::new();
        for item in &lists.items {
            let Value::List(list) = item else {
                return Err(words::wanted("a list of lists", item, place).into());
            };
            self.spend_items(list.items.len() as u64, span)?;
            items.extend(list.items.iter().cloned());
        }
        self.made_list(items, span)
    }
}

fn one_measure(builtin: Builtin, arg: Option<&Value>, place: Span) -> Worked {
    if let Some(Value::Slack(slack)) = arg {
        return crate::value::slack::one(builtin, slack, place);
    }
    let Some(Value::Measure(x)) = arg else {
        return Err(wanted_arg("a measure or a number", arg, place));
    };
    let angle = || {
        if x.dim == Dim::ANGLE { Ok(()) } else { Err(wanted_arg("an angle such as `45 deg`", arg, place)) }
    };
    let bare = || {
        if x.dim == Dim::NONE {
            return Ok(());
        }
        let fault = words::wanted("a number without a unit", arg.unwrap_or(&Value::Unset), place);
        Err(Halt::from(fault.hint("to round a measure write `x up 1/8 in`, `x down …` or `x nearest …`")))
    };
    let made = match builtin {
        Builtin::Sqrt => x.sqrt(),
        Builtin::Abs => Ok(x.abs()),
        Builtin::Sin => angle().map(|()| x.sin())?,
        Builtin::Cos => angle().map(|()| x.cos())?,
        Builtin::Tan => angle().map(|()| x.tan())?,
        Builtin::Floor => bare().map(|()| x.floor())?,
        Builtin::Ceil => bare().map(|()| x.ceil())?,
        _ => bare().map(|()| x.round_whole())?,
    };
    match made {
        Ok(value) => Ok(Value::Measure(value)),
        Err(Trouble::UnitMix) => {
            let message = format!(
                "{}, has no square root that means anything",
                Operand::new(&Value::Measure(x.clone()), place).words()
            );
            Err(Fault::new(FaultCode::UnitMix, place, message).hint("an area has one: it is a length").into())
        }
        Err(Trouble::NoSuchNumber) => {
            let message = match builtin {
                Builtin::Sqrt => "a negative value has no square root",
                _ => "there is no tangent at this angle",
            };
            Err(Fault::new(FaultCode::NoSuchNumber, place, message).into())
        }
        Err(other) => Err(words::alone(other, place)),
    }
}

fn wanted_arg(what: &str, value: Option<&Value>, place: Span) -> Halt {
    words::wanted(what, value.unwrap_or(&Value::Unset), place).into()
}

fn mixed(trouble: Trouble, a: &Value, b: &Value, place: Span) -> Halt {
    match trouble {
        Trouble::UnitMix | Trouble::MoneyMix => {
            let message =
                format!("a list that holds {} and {} cannot be added up", a.trade_name(), b.trade_name());
            Fault::new(FaultCode::UnitMix, place, message).hint(words::MIXED_LIST).into()
        }
        other => words::alone(other, place),
    }
}

fn wrong_argument(rule: &RuleCode, slot: u32, value: &Value, span: Span) -> Fault {
    let (name, kind, declared) = match rule.params.get(slot as usize) {
        Some(param) => (&*param.name, param.kind, param.span),
        None => ("", Kind::Any, rule.heading),
    };
    let operand = Operand::new(value, span);
    let message =
        format!("`{name}` of `{}` wants {}, and this is {}", rule.name, kind.trade_name(), operand.words());
    let fault = Fault::new(FaultCode::WrongKind, span, message);
    let fault = match (kind, value) {
        (Kind::Measure(dim), Value::Measure(quantity)) if quantity.dim == Dim::NONE && dim == Dim::LENGTH => {
            fault.hint("give the bare number its unit, such as `2 in`")
        }
        (Kind::Measure(dim), Value::Size(_)) if dim == Dim::LENGTH => {
            fault.hint("a size has two parts: take `.across` or `.along`")
        }
        (Kind::Size, Value::Measure(_)) => fault.hint("write a size as `14 in by 48 in`"),
        _ => fault,
    };
    fault.other(declared, "asked for here")
}

/// A fault inside a rule names the places that called it, the nearest first.
fn called_from(halt: Halt, rule: &RuleCode, span: Span) -> Halt {
    let Halt::Fault(mut fault) = halt else { return halt };
    let inside = fault.span().is_some_and(|place| place.file != span.file || !within(place, span));
    let callers = fault.others.iter().filter(|label| label.text.ends_with("called here")).count();
    let told = fault.others.iter().any(|label| label.span == span);
    if inside && !told && callers < CALLERS_SHOWN && fault.code != FaultCode::Stopped {
        fault.others.push(crate::fault::Label { span, text: format!("`{}` is called here", rule.name) });
    }
    Halt::Fault(fault)
}

fn within(inner: Span, outer: Span) -> bool {
    inner.file == outer.file && outer.start <= inner.start && inner.end <= outer.end
}
