//! The condition put to the test with one value in place of what is looked for.

use super::{Follow, Question};
use crate::engine::code::{Code, Link, Node};
use crate::engine::machine::{Halt, Machine};
use crate::engine::value::Value;
use crate::engine::words;
use crate::fault::Code as FaultCode;
use crate::measure::{Exact, Number, Quantity};

/// What came out at one value.
#[derive(Clone, Debug)]
pub(super) struct Tried {
    /// Whether the condition holds; nothing where a rule refuses the value.
    pub holds: Option<bool>,
    /// Both sides of the comparison, where there is one of measures.
    pub sides: Option<(Quantity, Quantity)>,
}

impl Tried {
    /// Whether the left side is less than the right (-1), the same (0) or more (1); nothing where the
    /// bounds leave that open.
    pub fn sign(&self) -> Option<i32> {
        let (left, right) = self.sides.as_ref()?;
        left.compare(right).ok().map(|order| order as i32)
    }

    /// By how much the left side is more than the right.
    pub fn gap(&self) -> Option<Number> {
        let (left, right) = self.sides.as_ref()?;
        left.sub(right).ok().map(|gap| gap.number)
    }
}

/// Puts values in place of what is looked for.
pub(super) struct Probe<'p, 'q> {
    pub machine: &'p mut Machine,
    pub question: &'p Question<'q>,
    /// How what is looked for is read and measured.
    pub like: Quantity,
}

impl Probe<'_, '_> {
    /// The comparison, where the condition is one of two sides.
    pub fn comparison(&self) -> Option<(&Node, &Link)> {
        match &self.question.act.condition.code {
            Code::Compare(first, links) => match &links[..] {
                [link] => Some((first, link)),
                _ => None,
            },
            _ => None,
        }
    }

    /// What is looked for as a measure.
    pub fn value(&self, number: Number) -> Quantity {
        Quantity { number, ..self.like.clone() }
    }

    /// Gives a name a value, and works anew what hangs on it.
    pub fn put(&mut self, value: Value) -> Result<(), Halt> {
        if let Some(place) = self.machine.globals.get_mut(self.question.act.slot as usize) {
            *place = value;
        }
        let kept = self.machine.settings.clone();
        for Follow { slot, node, slots, settings } in &self.question.follows {
            self.machine.settings = settings.clone();
            let worked = self.machine.line(node, *slots);
            self.machine.settings = kept.clone();
            let worked = worked?;
            if let Some(place) = self.machine.globals.get_mut(*slot as usize) {
                *place = worked;
            }
        }
        Ok(())
    }

    /// Tries an exact value.
    pub fn at(&mut self, exact: &Exact) -> Result<Tried, Halt> {
        self.with(Number::Exact(exact.reduced()))
    }

    /// Tries a value; a rule that refuses it is no fault.
    pub fn with(&mut self, number: Number) -> Result<Tried, Halt> {
        let value = Value::Measure(self.value(number));
        match self.put(value).and_then(|()| self.test()) {
            Ok(tried) => Ok(tried),
            Err(Halt::Fault(fault)) if refuses(fault.code) => Ok(Tried { holds: None, sides: None }),
            Err(halt) => Err(halt),
        }
    }

    fn test(&mut self) -> Result<Tried, Halt> {
        let (act, slots) = (self.question.act, self.question.act.slots);
        let sides = match &act.condition.code {
            Code::Compare(first, links) if links.len() == 1 => {
                let left = self.machine.line(first, slots)?;
                let right = match links.first() {
                    Some(link) => self.machine.line(&link.operand, slots)?,
                    None => Value::Unset,
                };
                match (left, right) {
                    (Value::Measure(left), Value::Measure(right)) if left.dim == right.dim => {
                        Some((left, right))
                    }
                    _ => None,
                }
            }
            _ => None,
        };
        let holds = match self.machine.line(&act.condition, slots) {
            Ok(Value::YesNo(yes)) => Some(yes),
            Ok(other) => return Err(words::wanted("a yes or no", &other, act.condition.span).into()),
            // Two sides too close to tell apart: the signs say what can be said.
            Err(Halt::Fault(fault)) if fault.code == FaultCode::TooClose && sides.is_some() => None,
            Err(halt) => return Err(halt),
        };
        Ok(Tried { holds, sides })
    }
}

/// Faults that say no more than that this value does not serve.
pub(super) fn refuses(code: FaultCode) -> bool {
    matches!(code, FaultCode::Refused | FaultCode::NoSuchNumber | FaultCode::DivisionByZero)
}
