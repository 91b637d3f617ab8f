//! Operators, comparisons, folds and parts where slack comes in.

use std::rc::Rc;

use crate::code::node::{Node, SeparateNode, SlackNode};
use crate::eval::builtins::Builtin;
use crate::eval::machine::{Halt, Machine, Worked};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::limits::ITEMS;
use crate::measure::{Dim, Exact, Number, Quantity, Reading, Trouble, Way};
use crate::recipe::make::whole_count;
use crate::syntax::tree::{BinaryOp, CompareOp};
use crate::value::data::{Doubt, Record, Value};
use crate::value::slack::Slack;
use crate::value::slack::Source;
use crate::value::slack::curves::Whole;
use crate::value::slack::fold::Total;
use crate::value::slack::sizes::{Loose, size};

/// An operation; `None` where neither operand has slack.
pub(crate) fn operation(op: BinaryOp, span: Span, left: Operand<'_>, right: Operand<'_>) -> Option<Worked> {
    if !(left.value.has_slack() || right.value.has_slack()) {
        return None;
    }
    let words = |trouble| words::operation(trouble, op, span, left, right);
    let (Some(a), Some(b)) = (Loose::of(left.value), Loose::of(right.value)) else {
        return Some(Err(words(Trouble::UnitMix)));
    };
    Some(match two(op, a, b) {
        Ok(Some(made)) => Ok(made.value()),
        Ok(None) => Err(may_be_zero(right, left.span)),
        Err(Trouble::NoSuchNumber) if op == BinaryOp::Power => Err(plain_exponent(right)),
        Err(trouble) => Err(words(trouble)),
    })
}

fn may_be_zero(right: Operand<'_>, left: Span) -> Halt {
    let message = format!("{}, may be 0 within its slack, and nothing can be divided by 0", right.words());
    Fault::new(FaultCode::DivisionByZero, right.span, message).other(left, "this would be divided").into()
}

fn plain_exponent(right: Operand<'_>) -> Halt {
    let message = "a measure with slack is raised to a plain whole number, or to 1/2";
    Fault::new(FaultCode::NoSuchNumber, right.span, message).into()
}

fn two(op: BinaryOp, a: Loose, b: Loose) -> Result<Option<Loose>, Trouble> {
    let one = |made| Ok(Some(Loose::One(made)));
    let both = |across, along| Ok(Some(Loose::Two(across, along)));
    Ok(match (a, b) {
        (Loose::One(x), Loose::One(y)) => match op {
            BinaryOp::Add => return one(x.add(&y)?),
            BinaryOp::Subtract => return one(x.sub(&y)?),
            BinaryOp::Multiply | BinaryOp::Of => return one(x.mul(&y)?),
            BinaryOp::Divide => x.div(&y)?.map(Loose::One),
            _ => power(&x, &y)?.map(Loose::One),
        },
        (Loose::Two(x, u), Loose::Two(y, v)) => match op {
            BinaryOp::Add => return both(x.add(&y)?, u.add(&v)?),
            BinaryOp::Subtract => return both(x.sub(&y)?, u.sub(&v)?),
            _ => return Err(Trouble::UnitMix),
        },
        (Loose::One(n), Loose::Two(x, u)) | (Loose::Two(x, u), Loose::One(n))
            if n.middle.dim == Dim::NONE && matches!(op, BinaryOp::Multiply | BinaryOp::Of) =>
        {
            return both(x.mul(&n)?, u.mul(&n)?);
        }
        (Loose::Two(x, u), Loose::One(n)) if n.middle.dim == Dim::NONE && op == BinaryOp::Divide => {
            match (x.div(&n)?, u.div(&n)?) {
                (Some(across), Some(along)) => Some(Loose::Two(across, along)),
                _ => None,
            }
        }
        _ => return Err(Trouble::UnitMix),
    })
}

fn power(base: &Slack, exponent: &Slack) -> Result<Option<Slack>, Trouble> {
    if !(exponent.terms.is_empty() && exponent.rest.is_zero()) {
        return Err(Trouble::NoSuchNumber);
    }
    if exponent.middle.dim != Dim::NONE {
        return Err(Trouble::UnitMix);
    }
    let exponent = exponent.mid();
    if &exponent + &exponent == Exact::ONE {
        return base.sqrt().map(Some);
    }
    if !exponent.is_whole() {
        return Err(Trouble::NoSuchNumber);
    }
    let whole = exponent.to_i64().and_then(|n| i32::try_from(n).ok()).ok_or(Trouble::TooBig)?;
    base.powi(whole)
}

/// Whether a comparison holds; the inner `None` where the slack leaves it open, the outer one where
/// neither side has slack.
pub(crate) fn holds(op: CompareOp, left: &Value, right: &Value) -> Option<Result<Option<bool>, Trouble>> {
    if !(left.has_slack() || right.has_slack()) {
        return None;
    }
    let (Some(a), Some(b)) = (Loose::of(left), Loose::of(right)) else {
        let none = |value: &Value| matches!(value, Value::YesNo(false));
        // `no` stands for "none", as it does beside a plain measure.
        let other = (none(left) || none(right)) && matches!(op, CompareOp::Is | CompareOp::IsNot);
        return Some(if other { Ok(Some(op == CompareOp::IsNot)) } else { Err(Trouble::UnitMix) });
    };
    let not = |answer: Option<bool>| answer.map(|yes| !yes);
    Some(match (op, a, b) {
        (CompareOp::Is, a, b) => same(&a, &b),
        (CompareOp::IsNot, a, b) => same(&a, &b).map(not),
        (_, Loose::One(x), Loose::One(y)) => x.compare(&y).map(|order| match op {
            CompareOp::Less => order.less(),
            CompareOp::AtMost => not(order.more()),
            CompareOp::More => order.more(),
            _ => not(order.less()),
        }),
        _ => Err(Trouble::UnitMix),
    })
}

fn same(a: &Loose, b: &Loose) -> Result<Option<bool>, Trouble> {
    match (a, b) {
        (Loose::One(x), Loose::One(y)) => Ok(x.compare(y)?.same()),
        (Loose::Two(x, u), Loose::Two(y, v)) => {
            let (across, along) = (x.compare(y)?.same(), u.compare(v)?.same());
            let differ = across == Some(false) || along == Some(false);
            Ok(if differ { Some(false) } else { across.and(along) })
        }
        _ => Err(Trouble::UnitMix),
    }
}

/// Whether two values have the same middle and the same slack, whatever it comes from.
pub(crate) fn alike(a: &Value, b: &Value) -> Option<bool> {
    let sides = |x: &Slack, y: &Slack| x.middle.dim == y.middle.dim && x.bounds() == y.bounds();
    match (Loose::of(a)?, Loose::of(b)?) {
        _ if !(a.has_slack() || b.has_slack()) => None,
        (Loose::One(x), Loose::One(y)) => Some(sides(&x, &y)),
        (Loose::Two(x, u), Loose::Two(y, v)) => Some(sides(&x, &y) && sides(&u, &v)),
        _ => None,
    }
}

/// `.middle`, `.slack`, `.least` and `.most` of a measure, and the sides of a size with slack.
pub(crate) fn part(value: &Value, name: &str) -> Option<Value> {
    let of = |slack: &Slack| {
        let (least, most) = slack.ends();
        Some(Value::Measure(match name {
            "middle" => slack.middle(),
            "slack" => Quantity { number: Number::Exact(slack.radius()), ..slack.middle() },
            "least" => least,
            "most" => most,
            _ => return None,
        }))
    };
    match (value, name) {
        (Value::SlackSize(size), "across") => Some(size.0.clone().value()),
        (Value::SlackSize(size), "along") => Some(size.1.clone().value()),
        (Value::Slack(slack), _) => of(slack),
        // A plain measure has them too, so that a rule takes either.
        (Value::Measure(quantity), "middle" | "least" | "most") => Some(Value::Measure(quantity.clone())),
        (Value::Measure(_), "slack") => of(&Loose::of(value).and_then(|loose| match loose {
            Loose::One(slack) => Some(slack),
            Loose::Two(..) => None,
        })?),
        (Value::SlackSize(pair), _) => {
            let sides = [&pair.0, &pair.1].map(of);
            let [Some(Value::Measure(across)), Some(Value::Measure(along))] = sides else { return None };
            Some(Value::size(across, along))
        }
        (Value::Size(_), "middle" | "least" | "most") => Some(value.clone()),
        _ => None,
    }
}

impl Machine {
    /// What slack takes of the limits, so that a stranger's sums of sources end.
    #[inline(never)]
    pub(crate) fn took(&mut self, made: Value, span: Span) -> Worked {
        let weight = match &made {
            Value::Slack(slack) => slack.weight(),
            Value::SlackSize(size) => size.0.weight().saturating_add(size.1.weight()),
            _ => return Ok(made),
        };
        self.spend(weight, span)?;
        self.spend_items(weight - 1, span)?;
        Ok(made)
    }

    /// `8 in ± 1/32 in`: worked once, it is one source.
    #[inline(never)]
    pub(crate) fn with_slack(&mut self, node: &SlackNode, span: Span) -> Worked {
        self.spend(2, span)?;
        let middle = self.eval(&node.middle)?;
        let amount = self.eval(&node.amount)?;
        let (left, right) =
            (Operand::new(&middle, node.middle.span), Operand::new(&amount, node.amount.span));
        let Value::Measure(off) = &amount else {
            return Err(
                words::wanted("how far off it may be, such as `1/32 in`,", &amount, right.span).into()
            );
        };
        if off.is_negative() {
            let message = "how far off a measure may be cannot be less than 0";
            return Err(Fault::new(FaultCode::BadRange, right.span, message).into());
        }
        let source = self.source(node.words.clone(), node.line);
        let made = match Loose::of(&middle) {
            Some(Loose::One(slack)) => slackened(&slack, off, source).map(Slack::value),
            Some(Loose::Two(across, along)) => {
                let second = self.source(node.words.clone(), node.line);
                slackened(&across, off, source)
                    .and_then(|across| Ok(size(across, slackened(&along, off, second)?)))
            }
            None => return Err(words::wanted("a measure before `±`", &middle, left.span).into()),
        };
        let made = made.map_err(|trouble| match trouble {
            Trouble::UnitMix | Trouble::MoneyMix => words::slack_of_another_kind(span, left, right),
            other => words::alone(other, span),
        })?;
        self.took(made, span)
    }

    /// A new source of error; one in the library is told by the line that is being worked.
    fn source(&mut self, words: Rc<str>, line: Option<usize>) -> Rc<Source> {
        self.sources += 1;
        Source::new(words, line.or(self.line_now))
    }

    /// `12 separate seams of …`
    #[inline(never)]
    pub(crate) fn separate(&mut self, node: &SeparateNode, span: Span) -> Worked {
        self.spend(2, span)?;
        let count_value = self.eval(&node.count)?;
        let count = whole_count(Operand::new(&count_value, node.count.span), "a count of separate things")?;
        let each = self.eval(&node.each)?;
        let Some(loose) = Loose::of(&each) else {
            return Err(words::wanted("a measure", &each, node.each.span).into());
        };
        let words: Rc<str> = format!("{count} {}", node.noun).into();
        let made = match loose {
            Loose::One(slack) => slack.separate(count, self.source(words, node.line)).map(Slack::value),
            Loose::Two(across, along) => {
                let (first, second) = (self.source(words.clone(), node.line), self.source(words, node.line));
                across
                    .separate(count, first)
                    .and_then(|across| Ok(size(across, along.separate(count, second)?)))
            }
        };
        let made = made.map_err(|trouble| words::alone(trouble, span))?;
        self.took(made, span)
    }

    /// A size of sides one of which has slack.
    pub(crate) fn slack_size(&mut self, across: &Value, along: &Value, pair: &(Node, Node)) -> Worked {
        let side = |value: &Value, span: Span| match Loose::of(value) {
            Some(Loose::One(slack)) if slack.middle.dim == Dim::LENGTH => Ok(slack),
            _ => Err(Halt::from(words::wanted("a length", value, span))),
        };
        Ok(size(side(across, pair.0.span)?, side(along, pair.1.span)?))
    }

    /// A sum of values some of which have slack.
    pub(crate) fn slack_sum(&mut self, items: &[Value], place: Span) -> Worked {
        let mut totals: Vec<Total> = Vec::new();
        for item in items {
            self.spend(item.weight(), place)?;
            let sides = match Loose::of(item) {
                Some(Loose::One(slack)) => vec![slack],
                Some(Loose::Two(across, along)) => vec![across, along],
                None => return Err(words::mixed_list(items.first(), item, place)),
            };
            if totals.is_empty() {
                totals = sides.iter().map(Total::new).collect();
                continue;
            }
            if sides.len() != totals.len() {
                return Err(words::mixed_list(items.first(), item, place));
            }
            for (total, side) in totals.iter_mut().zip(&sides) {
                total.add(side).map_err(|trouble| match trouble {
                    Trouble::UnitMix | Trouble::MoneyMix => words::mixed_list(items.first(), item, place),
                    other => words::alone(other, place),
                })?;
            }
        }
        let mut sides = totals.into_iter().map(Total::finish);
        let made = match (sides.next(), sides.next()) {
            (Some(one), None) => one.value(),
            (Some(across), Some(along)) => size(across, along),
            _ => Value::count(0),
        };
        self.took(made, place)
    }

    /// The largest or the smallest of values some of which have slack.
    pub(crate) fn slack_extreme(&mut self, items: &[Value], largest: bool, span: Span) -> Worked {
        let mut best: Option<Slack> = None;
        for item in items {
            self.spend(item.weight(), span)?;
            let Some(Loose::One(slack)) = Loose::of(item) else {
                return Err(words::wanted("a measure", item, span).into());
            };
            best = Some(match best {
                None => slack,
                Some(before) => before.extreme(&slack, largest).map_err(|trouble| {
                    let kept = before.clone().value();
                    words::comparison(trouble, span, Operand::new(&kept, span), Operand::new(item, span))
                })?,
            });
        }
        let made = best.map_or(Value::Unset, Slack::value);
        self.took(made, span)
    }

    /// `how many A from B` where one has slack: only where it leaves one count.
    #[inline(never)]
    pub(crate) fn how_many_of_slack(
        &mut self,
        a: &Value,
        b: &Value,
        pair: &(Node, Node),
        span: Span,
    ) -> Worked {
        let side = |value: &Value, node: &Node| match Loose::of(value) {
            Some(Loose::One(slack)) => Ok(slack),
            _ => Err(Halt::from(words::wanted("a measure or a number", value, node.span))),
        };
        let (piece, whole) = (side(a, &pair.0)?, side(b, &pair.1)?);
        let (left, right) = (Operand::new(a, pair.0.span), Operand::new(b, pair.1.span));
        if piece.middle.dim != whole.middle.dim {
            return Err(words::not_cut_from(span, left, right));
        }
        let low = piece.bounds().0;
        if low.signum() <= 0 {
            let message =
                format!("a piece must be more than 0 to be counted, and this is {}", words::short(a));
            return Err(Fault::new(FaultCode::DivisionByZero, pair.0.span, message).into());
        }
        let words = |trouble| words::alone(trouble, span);
        let Some(ratio) = whole.div(&piece).map_err(words)? else {
            return Err(may_be_zero(left, right.span));
        };
        let count = match ratio.to_whole(Quantity::floor).map_err(words)? {
            Whole::One(count) if !count.is_negative() => count,
            Whole::One(_) => Quantity::whole(0),
            Whole::Several(least, most) => {
                return Err(words::open_how_many(span, left, right, &least, &most));
            }
        };
        let used = piece.mul(&Slack::plain(&count)).map_err(words)?;
        let left_over = whole.sub(&used).map_err(words)?.value();
        let left_over = self.took(left_over, span)?;
        let names: Rc<[Rc<str>]> = ["count".into(), "left".into()].into();
        let record = Record::new(names, vec![Value::Measure(count), left_over], ITEMS);
        Ok(record.map_or(Value::Unset, |record| Value::Record(Rc::new(record))))
    }

    /// Rounded to a step, side by side.
    pub(crate) fn slack_round(
        &mut self,
        value: &Value,
        step: &Quantity,
        way: Way,
        span: Span,
    ) -> Result<Worked, Trouble> {
        let Some(loose) = Loose::of(value) else { return Err(Trouble::UnitMix) };
        let made = loose.each(|side| side.round_to(step, way))?;
        Ok(self.took(made.value(), span))
    }
}

impl Slack {
    /// `8 in ± 1/32 in` from outside; `None` where the two do not go together.
    pub fn literal(middle: &Quantity, off: &Quantity, source: Rc<Source>) -> Option<Slack> {
        let sound = !off.is_negative();
        slackened(&Slack::plain(middle), off, source).ok().filter(|_| sound)
    }
}

fn slackened(middle: &Slack, off: &Quantity, source: Rc<Source>) -> Result<Slack, Trouble> {
    let percent = off.reading == Reading::Percent && middle.middle.reading != Reading::Percent;
    let amount = if percent {
        off.number.upper() * &middle.mid().abs()
    } else if off.dim == middle.middle.dim {
        off.number.upper().clone()
    } else {
        return Err(Trouble::UnitMix);
    };
    middle.add(&Slack::new(&zero_like(&middle.middle), &amount, source))
}

fn zero_like(quantity: &Quantity) -> Quantity {
    Quantity { number: Number::Exact(Exact::ZERO), ..quantity.clone() }
}

/// What a built-in makes of one measure with slack.
pub(crate) fn one(builtin: Builtin, slack: &Slack, place: Span) -> Worked {
    let shown = slack.clone().value();
    let operand = Operand::new(&shown, place);
    let whole = |made: Result<Whole, Trouble>| match made {
        Ok(Whole::One(count)) => Ok(Value::Measure(count)),
        Ok(Whole::Several(low, high)) => Err(words::open_count(operand, &low, &high)),
        Err(Trouble::UnitMix) => {
            let fault = words::wanted("a number without a unit", &shown, place);
            Err(fault.hint("to round a measure write `x up 1/8 in`, `x down …` or `x nearest …`").into())
        }
        Err(other) => Err(words::alone(other, place)),
    };
    match builtin {
        Builtin::Abs => Ok(slack.abs().value()),
        Builtin::Sqrt => slack.sqrt().map(Slack::value).map_err(|trouble| match trouble {
            Trouble::TooClose => {
                let message = format!("{}, may be less than 0, which has no square root", operand.words());
                Fault::new(FaultCode::NoSuchNumber, place, message).into()
            }
            Trouble::NoSuchNumber => {
                Fault::new(FaultCode::NoSuchNumber, place, "a negative value has no square root").into()
            }
            Trouble::UnitMix => {
                let message = format!("{}, has no square root that means anything", operand.words());
                Fault::new(FaultCode::UnitMix, place, message).hint("an area has one: it is a length").into()
            }
            other => words::alone(other, place),
        }),
        Builtin::Floor => whole(slack.to_whole(Quantity::floor)),
        Builtin::Ceil => whole(slack.to_whole(Quantity::ceil)),
        Builtin::Round => whole(slack.to_whole(Quantity::round_whole)),
        _ => Err(words::wanted("an angle without slack", &shown, place).into()),
    }
}

/// Why a comparison is open, for a check and for an `if`.
pub(crate) fn doubt(left: Operand<'_>, right: Operand<'_>) -> Value {
    Value::NotSure(Rc::new(Doubt {
        words: format!("{} against {}", words::short(left.value), words::short(right.value)).into(),
        left: left.span,
        right: right.span,
    }))
}
