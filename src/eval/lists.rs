//! Lists, ranges, loops, parts, and `how many`.

use std::rc::Rc;

use crate::code::node::{Code, EachNode, Node, Op};
use crate::code::walk::by_kind;
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::Machine;
use crate::eval::operate::measure;
use crate::eval::{shapes, slack, words};
use crate::fault::Span;
use crate::measure::{Dim, Quantity, Trouble};
use crate::value::cause::{At, Cause, One, Pair, Want};
use crate::value::data::Value;
use crate::value::describe::Operand;

/// A range: where it begins, its step, and how many there are.
struct Steps {
    from: Quantity,
    step: Quantity,
    count: u64,
}

impl Steps {
    /// The next one, and where the one after it is.
    #[inline]
    fn next(&mut self, span: Span) -> Worked {
        self.count = self.count.saturating_sub(1);
        let next = if self.count == 0 { Ok(self.from.clone()) } else { self.from.add(&self.step) };
        let next = next.map_err(|trouble| words::alone(trouble, span))?;
        Ok(Value::Measure(std::mem::replace(&mut self.from, next)))
    }

    /// What one step takes beyond the everyday case.
    fn work(&self) -> u64 {
        self.from.number.work().saturating_add(self.step.number.work())
    }

    /// Room for so many.
    fn room<T>(&self) -> Vec<T> {
        Vec::with_capacity(usize::try_from(self.count).unwrap_or(0))
    }
}

impl Machine {
    /// A loop; one over a range does not make its list first.
    #[inline(never)]
    pub(crate) fn each(&mut self, each: &EachNode, node: &Node) -> Worked {
        match &each.source.code {
            Code::Apply(Op::Range { .. }, ends) => self.each_step(each, ends, node.span),
            _ => by_kind(self, node),
        }
    }

    /// Empties slots that are filled once for a loop.
    pub(crate) fn forget(&mut self, slots: &[u32]) {
        slots.iter().for_each(|slot| self.set_local(*slot, Value::Unset));
    }

    fn each_step(&mut self, each: &EachNode, ends: &[Node], span: Span) -> Worked {
        self.forget(&each.once);
        let values = ends.iter().map(|end| self.eval(end)).collect::<Result<Vec<_>, _>>()?;
        let mut operands = values.iter().zip(ends).map(|(value, end)| Operand::new(value, end.span));
        let (Some(from), Some(to)) = (operands.next(), operands.next()) else { return Err(Halt::Silent) };
        let mut steps = steps((from, to), operands.next(), true)?;
        self.spend_items(steps.count, span)?;
        let mut made = steps.room();
        let work = steps.work();
        while steps.count > 0 {
            self.spend(work.saturating_add(1), span)?;
            let item = steps.next(span)?;
            self.set_local(each.slot, item);
            let before = self.sources;
            made.push(self.eval(&each.body)?);
            // What made sources of error is evaluated again at the next turn, for there it makes others.
            if self.sources != before {
                self.forget(&each.once);
            }
        }
        self.made_list(made, span)
    }

    pub(crate) fn range_list(
        &mut self,
        ends: (Operand<'_>, Operand<'_>),
        every: Option<Operand<'_>>,
        in_loop: bool,
        span: Span,
    ) -> Worked {
        let mut steps = steps(ends, every, in_loop)?;
        self.spend_items(steps.count, span)?;
        self.spend(steps.count.saturating_mul(steps.work().saturating_add(1)), span)?;
        let mut items = steps.room();
        while steps.count > 0 {
            items.push(steps.next(span)?);
        }
        self.made_list(items, span)
    }

    /// A part of a size, of a record, or of what has slack.
    pub(crate) fn part(of: Operand<'_>, name: &Rc<str>, span: Span) -> Worked {
        let found = match (of.value, &**name) {
            (Value::Size(size), "across") => return Ok(Value::Measure(size.0.clone())),
            (Value::Size(size), "along") => return Ok(Value::Measure(size.1.clone())),
            (Value::Record(record), _) => record.part(name).cloned(),
            (Value::Shape(outline), _) => {
                shapes::part(outline, name).map_err(|wrong| Cause::At(At::Shape(wrong), of.span))?
            }
            _ => slack::part(of.value, name),
        };
        found.ok_or_else(|| Cause::one(One::NoPart(name.clone(), span), &of).into())
    }

    pub(crate) fn how_many(&mut self, piece: Operand<'_>, whole: Operand<'_>, span: Span) -> Worked {
        self.spend(2, span)?;
        let (Value::Measure(a), Value::Measure(b)) = (piece.value, whole.value) else {
            return self.how_many_of_slack(piece, whole, span);
        };
        self.spend(piece.value.work().saturating_add(whole.value.work()), span)?;
        if a.is_zero() || a.is_negative() {
            return Err(Cause::At(At::NoPiece(None), piece.span).into());
        }
        let cut = || -> Result<(Quantity, Quantity), Trouble> {
            if b.is_negative() {
                return Ok((Quantity::whole(0), b.clone()));
            }
            if a.dim != b.dim {
                return Err(Trouble::UnitMix);
            }
            let count = b.div(a)?.floor()?;
            let left = b.sub(&a.mul(&count)?)?;
            Ok((count, left))
        };
        let (count, left) =
            cut().map_err(|trouble| Cause::of_two(trouble, Pair::NotCutFrom(span), &piece, &whole))?;
        Ok(Value::how_many(count, Value::Measure(left)))
    }
}

/// How a range steps. One that runs down is empty in a loop and refused elsewhere.
fn steps(ends: (Operand<'_>, Operand<'_>), every: Option<Operand<'_>>, in_loop: bool) -> Result<Steps, Halt> {
    let (from, to) = (measure(ends.0, Want::NUMBER)?, measure(ends.1, Want::NUMBER)?);
    let span = ends.0.span.to(ends.1.span);
    let step = match every {
        Some(every) => {
            let step = measure(every, Want::NUMBER)?;
            if step.is_zero() || step.is_negative() {
                return Err(Cause::At(At::NoStep("the step of a range"), every.span).into());
            }
            step.clone()
        }
        None if from.dim != to.dim || from.dim == Dim::NONE && from.whole_count().is_some() => {
            Quantity::whole(1)
        }
        None => return Err(Cause::At(At::NoEvery, span).into()),
    };
    if from.dim != to.dim {
        return Err(Cause::pair(Pair::Ends, &ends.0, &ends.1).into());
    }
    let order = from.compare(to).map_err(|trouble| words::comparison(trouble, ends.0, ends.1))?;
    if order.is_gt() {
        if in_loop {
            return Ok(Steps { from: from.clone(), step, count: 0 });
        }
        let (from, to) = (ends.0.value.short(), ends.1.value.short());
        return Err(Cause::At(At::RunsDown(from, to), span).into());
    }
    let count = steps_between(from, to, &step).map_err(|trouble| {
        let step = Value::Measure(step.clone());
        words::comparison(trouble, ends.0, Operand::new(&step, every.map_or(span, |every| every.span)))
    })?;
    Ok(Steps { from: from.clone(), step, count })
}

/// How many steps are from `from` to `to`, both ends counted.
fn steps_between(from: &Quantity, to: &Quantity, step: &Quantity) -> Result<u64, Trouble> {
    if step.dim != from.dim {
        return Err(Trouble::UnitMix);
    }
    let whole = to.sub(from)?.div(step)?.floor()?;
    let count = whole.whole_count().and_then(|n| u64::try_from(n).ok());
    Ok(count.unwrap_or(u64::MAX).saturating_add(1))
}
