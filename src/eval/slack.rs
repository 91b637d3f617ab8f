//! Operators, comparisons, folds and parts where slack comes in.

use std::rc::Rc;

use crate::code::node::SlackName;
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::Machine;
use crate::eval::words::{self, mixed_list, no_number, whole_count};
use crate::fault::Span;
use crate::measure::{Dim, Exact, Number, Quantity, Reading, Trouble, Way};
use crate::syntax::tree::{BinaryOp, CompareOp};
use crate::value::builtin::Builtin;
use crate::value::cause::{At, Cause, One, Pair, Want};
use crate::value::data::{Doubt, Value};
use crate::value::describe::Operand;
use crate::value::sides::{Sides, size};
use crate::value::slack::{Slack, Source, Total, Whole};

/// An operation; `None` where neither operand has slack.
pub(crate) fn operation(op: BinaryOp, left: Operand<'_>, right: Operand<'_>) -> Option<Worked> {
    if !(left.value.has_slack() || right.value.has_slack()) {
        return None;
    }
    let made = match (Sides::of(left.value), Sides::of(right.value)) {
        (Some(a), Some(b)) => two(op, a, b),
        _ => Err(Trouble::UnitMix),
    };
    Some(match made {
        Ok(Some(made)) => Ok(made.into()),
        Ok(None) => Err(Cause::one(One::MayBeZero(left.span), &right).into()),
        Err(Trouble::NoSuchNumber) if op == BinaryOp::Power => {
            Err(Cause::At(At::SlackExponent, right.span).into())
        }
        Err(trouble) => Err(Cause::operation(trouble, op, &left, &right).into()),
    })
}

/// What two come to; `None` where one is divided by what may be 0.
fn two(op: BinaryOp, a: Sides<Slack>, b: Sides<Slack>) -> Result<Option<Sides<Slack>>, Trouble> {
    match (op, a, b) {
        (BinaryOp::Add, a, b) => a.both(b, Slack::add).map(Some),
        (BinaryOp::Subtract, a, b) => a.both(b, Slack::sub).map(Some),
        (BinaryOp::Multiply | BinaryOp::Of, Sides::One(x), Sides::One(y)) => {
            x.mul(&y).map(|made| Some(Sides::One(made)))
        }
        (BinaryOp::Divide, Sides::One(x), Sides::One(y)) => Ok(x.div(&y)?.map(Sides::One)),
        (BinaryOp::Power, Sides::One(x), Sides::One(y)) => Ok(power(&x, &y)?.map(Sides::One)),
        (BinaryOp::Multiply | BinaryOp::Of, Sides::One(n), sides)
        | (BinaryOp::Multiply | BinaryOp::Of, sides, Sides::One(n))
            if n.middle.dim == Dim::NONE =>
        {
            sides.each(|side| side.mul(&n)).map(Some)
        }
        (BinaryOp::Divide, Sides::Two(x, u), Sides::One(n)) if n.middle.dim == Dim::NONE => {
            Ok(x.div(&n)?.zip(u.div(&n)?).map(|(across, along)| Sides::Two(across, along)))
        }
        _ => Err(Trouble::UnitMix),
    }
}

fn power(base: &Slack, exponent: &Slack) -> Result<Option<Slack>, Trouble> {
    if !exponent.is_certain() {
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
    let (Some(a), Some(b)) = (Sides::of(left), Sides::of(right)) else {
        let none = |value: &Value| matches!(value, Value::YesNo(false));
        // `no` stands for "none", as it does beside a plain measure.
        let other = (none(left) || none(right)) && matches!(op, CompareOp::Is | CompareOp::IsNot);
        return Some(if other { Ok(Some(op == CompareOp::IsNot)) } else { Err(Trouble::UnitMix) });
    };
    let not = |answer: Option<bool>| answer.map(|yes| !yes);
    Some(match (op, a, b) {
        (CompareOp::Is, a, b) => same(a, b),
        (CompareOp::IsNot, a, b) => same(a, b).map(not),
        (_, Sides::One(x), Sides::One(y)) => x.compare(&y).map(|order| match op {
            CompareOp::Less => order.less(),
            CompareOp::AtMost => not(order.more()),
            CompareOp::More => order.more(),
            _ => not(order.less()),
        }),
        _ => Err(Trouble::UnitMix),
    })
}

fn same(a: Sides<Slack>, b: Sides<Slack>) -> Result<Option<bool>, Trouble> {
    let sides = a.both(b, |x, y| Ok(x.compare(y)?.same()))?.list();
    let differ = sides.contains(&Some(false));
    Ok(if differ { Some(false) } else { sides.into_iter().collect::<Option<Vec<bool>>>().map(|_| true) })
}

/// Whether two values have the same middle and the same slack, whatever it comes from.
pub(crate) fn alike(a: &Value, b: &Value) -> Option<bool> {
    if !(a.has_slack() || b.has_slack()) {
        return None;
    }
    let alike = |x: &Slack, y: &Slack| Ok(x.middle.dim == y.middle.dim && x.bounds() == y.bounds());
    let sides = Sides::of(a)?.both(Sides::of(b)?, alike).ok()?;
    Some(!sides.list().contains(&false))
}

/// `.middle`, `.slack`, `.least` and `.most` of a measure, and the sides of a size with slack.
pub(crate) fn part(value: &Value, name: &str) -> Option<Value> {
    let of = |slack: Slack| {
        let (least, most) = slack.ends();
        Some(match name {
            "middle" => slack.middle,
            "slack" => Quantity { number: Number::Exact(slack.radius()), ..slack.middle },
            "least" => least,
            "most" => most,
            _ => return None,
        })
    };
    match (value, name) {
        (Value::SlackSize(size), "across") => Some(size.0.clone().into()),
        (Value::SlackSize(size), "along") => Some(size.1.clone().into()),
        // What is plain has them too, so that a rule takes either.
        (Value::Measure(_) | Value::Size(_), "middle" | "least" | "most") => Some(value.clone()),
        (Value::Size(_), _) => None,
        _ => Sides::of(value)?.each(|side| of(side).ok_or(())).ok().map(Value::from),
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
        self.spend_items(weight.saturating_sub(1), span)?;
        Ok(made)
    }

    /// `8 in ± 1/32 in`: evaluated once, it is one source.
    pub(crate) fn with_slack(
        &mut self,
        name: &SlackName,
        middle: Operand<'_>,
        amount: Operand<'_>,
        span: Span,
    ) -> Worked {
        self.spend(2, span)?;
        let Value::Measure(off) = amount.value else {
            return Err(Cause::wanted("a slack such as `1/32 in`", &amount).into());
        };
        if off.is_negative() {
            return Err(Cause::At(At::OffBelow, amount.span).into());
        }
        let Some(sides) = Sides::of(middle.value) else {
            return Err(Cause::wanted("a measure before `±`", &middle).into());
        };
        let made = sides.each(|side| slackened(&side, off, self.source(&name.words, name.line)));
        let made = made.map_err(|trouble| Cause::of_two(trouble, Pair::OffBy, &middle, &amount))?;
        self.took(made.into(), span)
    }

    /// A new source of error; one in the library is given by the line that is being evaluated.
    pub(crate) fn source(&mut self, words: &Rc<str>, line: Option<usize>) -> Rc<Source> {
        self.sources = self.sources.saturating_add(1);
        Source::new(words.clone(), line.or(self.line_now))
    }

    /// `12 separate seams of …`
    pub(crate) fn separate(
        &mut self,
        name: &SlackName,
        count: Operand<'_>,
        each: Operand<'_>,
        span: Span,
    ) -> Worked {
        self.spend(2, span)?;
        let count = whole_count(count, "a count of separate things")?;
        let Some(sides) = Sides::of(each.value) else {
            return Err(Cause::wanted(Want::MEASURE, &each).into());
        };
        let words: Rc<str> = format!("{count} {}", name.words).into();
        let made = sides.each(|side| side.separate(count, self.source(&words, name.line)));
        self.took(made.map_err(|trouble| words::alone(trouble, span))?.into(), span)
    }

    /// A sum of values some of which have slack.
    pub(crate) fn slack_sum(&mut self, items: &[Value], place: Span) -> Worked {
        let Some(first) = items.first() else { return Ok(Value::count(0)) };
        let mixed = |trouble, item| mixed_list(trouble, first, item, place);
        let mut total: Option<Sides<Total>> = None;
        for item in items {
            self.spend(item.weight(), place)?;
            let sides = Sides::of(item).ok_or_else(|| mixed(Trouble::UnitMix, item))?;
            total = Some(match (total, sides) {
                (None, sides) => sides.each(|side| Ok::<_, Halt>(Total::new(side)))?,
                (Some(Sides::One(mut sum)), Sides::One(side)) => {
                    sum.add(&side).map_err(|trouble| mixed(trouble, item))?;
                    Sides::One(sum)
                }
                (Some(Sides::Two(mut across, mut along)), Sides::Two(x, y)) => {
                    across.add(&x).and_then(|()| along.add(&y)).map_err(|trouble| mixed(trouble, item))?;
                    Sides::Two(across, along)
                }
                _ => return Err(mixed(Trouble::UnitMix, item)),
            });
        }
        let Some(total) = total else { return Ok(Value::count(0)) };
        let made = total.each(Total::finish).map_err(|trouble| words::alone(trouble, place))?;
        self.took(made.into(), place)
    }

    /// The largest or the smallest of values some of which have slack.
    pub(crate) fn slack_extreme(&mut self, items: &[Value], largest: bool, span: Span) -> Worked {
        let mut best: Option<Slack> = None;
        for item in items {
            self.spend(item.weight(), span)?;
            let operand = Operand::new(item, span);
            let Some(Sides::One(slack)) = Sides::of(item) else {
                return Err(Cause::wanted(Want::MEASURE, &operand).into());
            };
            best = Some(match best {
                None => slack,
                Some(before) => before.extreme(&slack, largest).map_err(|trouble| {
                    words::comparison(trouble, Operand::new(&before.into(), span), operand)
                })?,
            });
        }
        let made = best.map_or(Value::Unset, Value::from);
        self.took(made, span)
    }

    /// `how many A from B` where one has slack: only where it leaves one count.
    pub(crate) fn how_many_of_slack(&mut self, piece: Operand<'_>, whole: Operand<'_>, span: Span) -> Worked {
        let side = |operand: Operand<'_>| match Sides::of(operand.value) {
            Some(Sides::One(slack)) => Ok(slack),
            _ => Err(Halt::from(Cause::wanted(Want::NUMBER, &operand))),
        };
        let (a, b) = (side(piece)?, side(whole)?);
        if a.middle.dim != b.middle.dim {
            return Err(Cause::pair(Pair::NotCutFrom(span), &piece, &whole).into());
        }
        if a.bounds().0.signum() <= 0 {
            return Err(Cause::At(At::NoPiece(Some(piece.value.short())), piece.span).into());
        }
        let words = |trouble| words::alone(trouble, span);
        let Some(ratio) = b.div(&a).map_err(words)? else {
            return Err(Cause::one(One::MayBeZero(whole.span), &piece).into());
        };
        let count = match ratio.to_whole(Quantity::floor).map_err(words)? {
            Whole::One(count) if !count.is_negative() => count,
            Whole::One(_) => Quantity::whole(0),
            Whole::Several(least, most) => {
                return Err(Cause::pair(Pair::OpenHowMany(least, most, span), &piece, &whole).into());
            }
        };
        let used = a.mul(&Slack::plain(&count)).map_err(words)?;
        let left = self.took(b.sub(&used).map_err(words)?.into(), span)?;
        Ok(Value::how_many(count, left))
    }
}

/// A size of sides one of which has slack.
pub(crate) fn slack_size(across: Operand<'_>, along: Operand<'_>) -> Worked {
    let side = |operand: Operand<'_>| match Sides::of(operand.value) {
        Some(Sides::One(slack)) if slack.middle.dim == Dim::LENGTH => Ok(slack),
        _ => Err(Halt::from(Cause::wanted(Want::LENGTH, &operand))),
    };
    Ok(size((side(across)?, side(along)?)))
}

/// Rounded to a step, side by side; `None` where it has no slack.
pub(crate) fn rounded(value: &Value, step: &Quantity, way: Way) -> Option<Result<Value, Trouble>> {
    let sides = if value.has_slack() { Sides::of(value)? } else { return None };
    Some(sides.each(|side| side.round_to(step, way)).map(Value::from))
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
    Ok(middle.clone().with(source, amount.abs()))
}

/// What a built-in makes of one measure with slack.
pub(crate) fn one(builtin: Builtin, slack: &Slack, operand: Operand<'_>) -> Worked {
    let whole = |made: Result<Whole, Trouble>| match made {
        Ok(Whole::One(count)) => Ok(Value::Measure(count)),
        Ok(Whole::Several(low, high)) => Err(Cause::one(One::OpenCount(low, high), &operand).into()),
        Err(Trouble::UnitMix) => Err(Cause::wanted(Want::PLAIN_NUMBER, &operand).into()),
        Err(other) => Err(words::alone(other, operand.span)),
    };
    match builtin {
        Builtin::Abs => Ok(slack.abs().into()),
        Builtin::Sqrt => slack.sqrt().map(Value::from).map_err(|trouble| match trouble {
            Trouble::TooClose => Cause::one(One::MaybeNoRoot, &operand).into(),
            other => no_number(other, builtin, operand).into(),
        }),
        Builtin::Floor => whole(slack.to_whole(Quantity::floor)),
        Builtin::Ceil => whole(slack.to_whole(Quantity::ceil)),
        Builtin::Round => whole(slack.to_whole(Quantity::round_whole)),
        _ => Err(Cause::wanted("an angle without slack", &operand).into()),
    }
}

/// Why a comparison is open, for a check and for an `if`.
pub(crate) fn doubt(left: Operand<'_>, right: Operand<'_>) -> Value {
    Value::NotSure(Rc::new(Doubt {
        words: format!("{} against {}", left.value.short(), right.value.short()).into(),
        left: left.span,
        right: right.span,
    }))
}
