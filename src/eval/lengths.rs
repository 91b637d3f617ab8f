//! The built-in that cuts lengths from strips, and joins them where one strip is too short.

use std::rc::Rc;

use crate::code::node::Node;
use crate::eval::grid::Grid;
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::Machine;
use crate::eval::words::{self, whole_count};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::layout::{self, Budget, CutStrip, Join, Joined, Length, Lengths, Misfit};
use crate::limits::ITEMS;
use crate::measure::{Dim, Quantity};
use crate::value::cause::{Cause, Want};
use crate::value::data::{List, Record, Value};
use crate::value::describe::Operand;

impl Machine {
    /// `cut_lengths(strip, lengths)`, `cut_lengths(strip, lengths, loss, shortest)`
    pub(crate) fn cut_lengths(&mut self, args: &[Value], nodes: &[Node], span: Span) -> Worked {
        self.spend(Budget::QUICK.0, span)?;
        let place = |at: usize| nodes.get(at).map_or(span, |node| node.span);
        let strip = length(args.first(), place(0), Want::length("the length of a strip"))?;
        let wanted = wanted(args.get(1), place(1))?;
        let loss = args
            .get(2)
            .map(|loss| length(Some(loss), place(2), Want::length("what a join uses up")))
            .transpose()?;
        let shortest = args
            .get(3)
            .map(|least| length(Some(least), place(3), Want::length("the shortest piece")))
            .transpose()?;
        let sides = wanted.iter().map(|(_, length)| length);
        let sizes = [&strip].into_iter().chain(&loss).chain(&shortest).chain(sides);
        let grid = Grid::of(sizes, Grid::NARROW);
        let too_much = || Fault::new(FaultCode::TooMuch, place(1), "these lengths are too many or too long");
        // What is cut at its largest and the strip at its smallest, or the other way round.
        let job = |tight: bool| {
            let narrow = |units: Option<i128>| i64::try_from(units?).ok();
            let up = |length: &Quantity| narrow(if tight { grid.up(length) } else { grid.down(length) });
            let one = |(count, length): &(u64, Quantity)| Some(Length { count: *count, length: up(length)? });
            let up_or_none = |length: &Option<Quantity>| length.as_ref().map_or(Some(0), up);
            Some(Lengths {
                strip: narrow(if tight { grid.down(&strip) } else { grid.up(&strip) })?,
                hand: Vec::new(),
                wanted: wanted.iter().map(one).collect::<Option<Vec<_>>>()?,
                join: match &loss {
                    Some(_) => Some(Join { loss: up_or_none(&loss)?, shortest: up_or_none(&shortest)? }),
                    None => None,
                },
            })
        };
        let (job, loosest) = job(true).zip(job(false)).ok_or_else(too_much)?;
        let mut found = layout::lengths(&job, Budget::QUICK).map_err(|misfit| match misfit {
            Misfit::TooWide { piece } => {
                let long = wanted.get(piece).map_or(String::new(), |(_, length)| shown(length));
                let message = format!("a length of {long} cannot be cut from strips of {}", shown(&strip));
                let fault = Fault::new(FaultCode::DoesNotFit, place(1), message);
                match loss {
                    None => fault.hint("allow joins: say what a join uses up, such as `lengths_joined(…)`"),
                    Some(_) => fault.hint("allow shorter joined pieces, or use longer strips"),
                }
            }
            _ => too_much(),
        })?;
        if loosest != job {
            found.bound =
                layout::lengths(&loosest, Budget::QUICK).map_or(0, |loose| loose.bound).min(found.bound);
            found.proved = found.bound == found.strips;
        }
        let made = found.cuts.len().saturating_add(found.joined.len());
        self.spend_items((made as u64).saturating_mul(8), span)?;
        let back = |units: i64| Value::Measure(grid.back(units.into(), &strip));
        let cuts = found.cuts.iter().map(|cut| strip_cut(cut, &back)).collect::<Option<Vec<_>>>();
        let joined =
            found.joined.iter().map(|one| joined_length(one, &job, &back)).collect::<Option<Vec<_>>>();
        let made = || {
            let parts = vec![
                ("strips", count(found.strips)),
                ("at_least", count(found.bound)),
                ("proved", Value::YesNo(found.proved)),
                ("cuts", list(cuts?)?),
                ("joined", list(joined?)?),
            ];
            record(parts)
        };
        made().ok_or_else(|| too_much().into())
    }
}

fn shown(length: &Quantity) -> String {
    Value::Measure(length.clone()).short()
}

fn length(value: Option<&Value>, span: Span, what: Want<'_>) -> Result<Quantity, Halt> {
    match value {
        Some(Value::Measure(quantity)) if quantity.dim == Dim::LENGTH && !quantity.is_negative() => {
            Ok(quantity.clone())
        }
        Some(other) => Err(Cause::wanted(what, &Operand::new(other, span)).into()),
        None => Err(Halt::Silent),
    }
}

/// A list of lengths, each one piece, or of records that say how many.
fn wanted(value: Option<&Value>, span: Span) -> Result<Vec<(u64, Quantity)>, Halt> {
    let what = Want::length("a list of lengths, or of records such as `{length: 68 1/2 in, count: 2}`,");
    let Some(Value::List(items)) = value else {
        return match value {
            Some(other) => Err(words::wanted(what, other, span).into()),
            None => Err(Halt::Silent),
        };
    };
    let one = |item: &Value| match item {
        Value::Record(record) => {
            let (Some(long), Some(count)) = (record.part("length"), record.part("count")) else {
                return Err(Halt::from(words::wanted(what, item, span)));
            };
            let count = whole_count(Operand::new(count, span), "a count of lengths")?;
            Ok((count, length(Some(long), span, Want::length("a length"))?))
        }
        other => Ok((1, length(Some(other), span, what)?)),
    };
    items.items.iter().map(one).collect()
}

fn count(n: u64) -> Value {
    Value::count(i64::try_from(n).unwrap_or(i64::MAX))
}

fn list(items: Vec<Value>) -> Option<Value> {
    Some(Value::List(Rc::new(List::new(items, ITEMS)?)))
}

fn record(parts: Vec<(&str, Value)>) -> Option<Value> {
    let (names, values): (Vec<Rc<str>>, Vec<Value>) =
        parts.into_iter().map(|(name, value)| (name.into(), value)).unzip();
    Some(Value::Record(Rc::new(Record::new(names.into(), values, ITEMS)?)))
}

fn strip_cut(cut: &CutStrip, back: &dyn Fn(i64) -> Value) -> Option<Value> {
    let piece = |piece: &layout::CutPiece| {
        record(vec![("count", count(piece.count)), ("length", back(piece.length))])
    };
    let pieces = cut.pieces.iter().map(piece).collect::<Option<Vec<_>>>()?;
    record(vec![("times", count(cut.times)), ("pieces", list(pieces)?), ("left", back(cut.left))])
}

fn joined_length(joined: &Joined, job: &Lengths, back: &dyn Fn(i64) -> Value) -> Option<Value> {
    let whole = job.wanted.get(joined.item).map_or(0, |wanted| wanted.length);
    let pieces = joined.pieces.iter().map(|piece| back(*piece)).collect();
    record(vec![("times", count(joined.times)), ("length", back(whole)), ("pieces", list(pieces)?)])
}
