//! `find`: a formula run backwards. Over whole numbers and over the marks of a step every value is tried; over
//! a range without steps a straight line is solved exactly, and all else is halved until it is proved.

mod answer;
mod image;
mod interval;
mod intervals;
mod line;
mod marks;
mod point;
mod range;
mod simple;
mod tell;

use std::rc::Rc;

use crate::code::compile::Compiler;
use crate::code::node::Node;
use crate::code::scope::Scope;
use crate::docket::{Found, Outcome};
use crate::eval::machine::{Halt, Machine, Settings};
use crate::eval::words;
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Exact, Number, Quantity, Reading};
use crate::syntax::tree::{End, Find};
use crate::value::cause::{At, Cause, Pair, Want};
use crate::value::data::Value;
use crate::value::describe::Operand;
use answer::Answer;
use point::Probe;
pub(crate) use tell::unfound;

/// A `find` line, compiled.
#[derive(Debug)]
pub(crate) struct FindAct {
    /// What is looked for.
    pub name: Rc<str>,
    /// Its place.
    pub name_span: Span,
    /// Its slot.
    pub slot: u32,
    /// Whether the line gives the name its value; a name that has one already is only asked about.
    pub names: bool,
    end: Option<End>,
    low: Node,
    high: Node,
    on: Option<Node>,
    condition: Node,
    question: Rc<str>,
    line: usize,
    /// How many slots its frame needs.
    pub slots: u32,
}

/// A name that depends on what is looked for, and is evaluated again for each value that is tried.
#[derive(Clone, Debug)]
pub(crate) struct Follow<'a> {
    pub slot: u32,
    pub node: &'a Node,
    pub slots: u32,
    pub settings: Settings,
}

/// What is asked, with all that depends on it.
#[derive(Debug)]
pub(crate) struct Question<'a> {
    pub act: &'a FindAct,
    pub follows: Vec<Follow<'a>>,
}

impl FindAct {
    /// Compiles a `find` line; `names` says whether the name has no value yet.
    pub fn compile(
        find: &Find,
        span: Span,
        names: bool,
        compiler: &mut Compiler<'_>,
        scope: &mut Scope,
    ) -> FindAct {
        let low = compiler.expr(&find.low, scope);
        let high = compiler.expr(&find.high, scope);
        let on = find.on.as_ref().map(|on| compiler.expr(on, scope));
        let slot = compiler.names.global(&find.name.name, find.name.span);
        if let Some(entry) = compiler.names.globals.get_mut(slot as usize) {
            entry.passed = true;
        }
        let condition = compiler.expr(&find.condition, scope);
        let file = compiler.files.get(span.file);
        FindAct {
            name: find.name.name.clone(),
            name_span: find.name.span,
            slot,
            names,
            end: find.end,
            low,
            high,
            on,
            question: compiler.files.one_row(find.condition.span).into(),
            condition,
            line: file.map_or(0, |file| file.place(span.start as usize).line),
            slots: scope.slots(),
        }
    }

    /// The ends of the range, the step, and the condition.
    pub fn nodes(&self) -> (&Node, &Node, Option<&Node>, &Node) {
        (&self.low, &self.high, self.on.as_ref(), &self.condition)
    }

    /// The condition, for `why`.
    pub fn condition(&self) -> &Node {
        &self.condition
    }
}

/// The range that is searched.
struct Range {
    lo: Exact,
    hi: Exact,
    like: Quantity,
    step: Option<Exact>,
}

/// Looks for the answer. The machine's names are as they were when it is done.
pub(crate) fn find(machine: &mut Machine, question: &Question<'_>) -> Result<Found, Halt> {
    let slots = || question.follows.iter().map(|follow| follow.slot).chain([question.act.slot]);
    let before: Vec<_> = slots().map(|slot| machine.globals.get(slot as usize).cloned()).collect();
    let (settings, cautions) = (machine.settings.clone(), machine.cautions.clone());
    let found = search(machine, question);
    // What a value that was only tried calls for is no caution.
    (machine.settings, machine.cautions) = (settings, cautions);
    for (slot, value) in slots().zip(before) {
        if let (Some(place), Some(value)) = (machine.globals.get_mut(slot as usize), value) {
            *place = value;
        }
    }
    found
}

fn search(machine: &mut Machine, question: &Question<'_>) -> Result<Found, Halt> {
    let act = question.act;
    let range = range(machine, act)?;
    let mut probe = Probe { machine, question, like: range.like.clone(), side: None, slack: false };
    let mut answer = match &range.step {
        Some(step) => marks::search(&mut probe, &range.lo, &range.hi, step, act.end)?,
        None => range::search(&mut probe, &range.lo, &range.hi, act.end)?,
    };
    if probe.slack && matches!(answer.outcome, Outcome::One(_)) {
        answer = answer.note("for sure: true at every value within the slack");
    }
    let Answer { outcome, notes, near } = answer;
    Ok(Found { name: act.name.clone(), question: act.question.clone(), outcome, notes, near, line: act.line })
}

/// The value of the one answer.
pub(crate) fn value_of(found: &Found) -> Option<Value> {
    match &found.outcome {
        Outcome::One(figure) => match &figure.value {
            crate::docket::FigureValue::Measure(quantity) => Some(Value::Measure(quantity.clone())),
            _ => None,
        },
        _ => None,
    }
}

fn range(machine: &mut Machine, act: &FindAct) -> Result<Range, Halt> {
    let low = measure(machine, &act.low, act.slots)?;
    let high = measure(machine, &act.high, act.slots)?;
    let span = act.low.span.to(act.high.span);
    let (a, b) = (Value::Measure(low.clone()), Value::Measure(high.clone()));
    let (from, to) = (Operand::new(&a, act.low.span), Operand::new(&b, act.high.span));
    let order = low.compare(&high).map_err(|trouble| words::comparison(trouble, from, to))?;
    let (Some(lo), Some(hi)) = (low.number.exact(), high.number.exact()) else {
        let message = "the ends of the range must be known exactly";
        return Err(Fault::new(FaultCode::TooClose, span, message)
            .hint("round them, such as `… nearest 1/8 in`")
            .into());
    };
    if order == std::cmp::Ordering::Greater {
        return Err(Cause::At(At::RunsDown(a.short(), b.short()), span).into());
    }
    let percent = |quantity: &Quantity| quantity.reading == Reading::Percent;
    let counted = low.whole_count().is_some() && high.whole_count().is_some() && !percent(&low);
    let mut like = low.add(&high).unwrap_or(low.clone());
    let step = match &act.on {
        Some(node) => {
            let step = measure(machine, node, act.slots)?;
            if step.dim != low.dim {
                let step = Value::Measure(step);
                return Err(Cause::pair(Pair::Comparison, &from, &Operand::new(&step, node.span)).into());
            }
            match step.number.exact().filter(|exact| exact.signum() > 0) {
                Some(exact) => Some(exact.clone()),
                None => return Err(Cause::At(At::NoStep("a step to search on"), node.span).into()),
            }
        }
        None => counted.then_some(Exact::ONE),
    };
    like.number = Number::Exact(lo.clone());
    Ok(Range { lo: lo.clone(), hi: hi.clone(), like, step })
}

fn measure(machine: &mut Machine, node: &Node, slots: u32) -> Result<Quantity, Halt> {
    match machine.line(node, slots)? {
        Value::Measure(quantity) => Ok(quantity),
        other => Err(Cause::wanted(Want::NUMBER, &Operand::new(&other, node.span)).into()),
    }
}
