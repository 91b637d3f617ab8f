//! The condition put to the test with one value in place of what is looked for.

use crate::ask::find::Follow;
use crate::ask::find::Question;
use crate::code::node::{Code, Link, Node};
use crate::eval;
use crate::eval::machine::{Halt, Machine};
use crate::eval::words;
use crate::fault::{Code as FaultCode, Fault};
use crate::measure::{Exact, Number, Quantity};
use crate::syntax::tree::{BinaryOp, CompareOp};
use crate::value::cause::Want;
use crate::value::data::Value;

/// What came out at one value.
#[derive(Clone, Debug, Default)]
pub(crate) struct Tried {
    /// Whether the condition holds; nothing where a rule refuses the value.
    pub holds: Option<bool>,
    /// Both sides of the comparison, where there is one of measures; of what has slack the one end that
    /// must hold, against nothing.
    pub sides: Option<(Quantity, Quantity)>,
    /// What is left of the comparison.
    pub made: Option<Value>,
    /// Whether slack leaves it open; then it does not hold for sure.
    pub open: bool,
    /// Whether two sizes are compared.
    pub sizes: bool,
}

/// A side of a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Across,
    Along,
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
pub(crate) struct Probe<'p, 'q> {
    pub machine: &'p mut Machine,
    pub question: &'p Question<'q>,
    /// How what is looked for is read and measured.
    pub like: Quantity,
    /// Which side of two sizes is compared.
    pub side: Option<Side>,
    /// Whether slack comes in.
    pub slack: bool,
}

impl<'p> Probe<'p, '_> {
    /// The comparison, where the condition is one of two sides.
    pub fn comparison(&self) -> Option<(&'p Node, &'p Link)> {
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

    /// Gives a name a value, and evaluates again what depends on it.
    pub fn assign(&mut self, value: Value) -> Result<(), Halt> {
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
        match self.assign(value).and_then(|()| self.test()) {
            Ok(tried) => Ok(tried),
            Err(Halt::Fault(fault)) if refuses(fault.code) => Ok(Tried::default()),
            Err(halt) => Err(halt),
        }
    }

    fn test(&mut self) -> Result<Tried, Halt> {
        let (act, slots) = (self.question.act, self.question.act.slots);
        let mut tried = Tried::default();
        if let Code::Compare(first, links) = &act.condition.code
            && let [link] = &links[..]
        {
            let left = self.machine.line(first, slots)?;
            let right = self.machine.line(&link.operand, slots)?;
            self.sides(&mut tried, left, right)?;
        }
        tried.holds = match self.machine.line(&act.condition, slots) {
            Ok(Value::YesNo(yes)) => Some(yes),
            Ok(Value::NotSure(_)) => {
                self.slack = true;
                tried.open = true;
                Some(false)
            }
            Ok(other) => return Err(words::wanted(Want::YES_NO, &other, act.condition.span).into()),
            // Two sides too close to distinguish: the signs say what can be said.
            Err(Halt::Fault(fault)) if fault.code == FaultCode::TooClose && tried.sides.is_some() => None,
            Err(halt) => return Err(halt),
        };
        Ok(tried)
    }

    /// What is compared, as far as it is measures.
    fn sides(&mut self, tried: &mut Tried, left: Value, right: Value) -> Result<(), Halt> {
        if left.has_slack() || right.has_slack() {
            self.slack = true;
            tried.sides = self.slack_sides(&left, &right)?;
            tried.made = Some(left);
            return Ok(());
        }
        match (&left, &right) {
            (Value::Measure(x), Value::Measure(y)) if x.dim == y.dim => {
                tried.sides = Some((x.clone(), y.clone()));
            }
            (Value::Size(x), Value::Size(y)) => {
                tried.sizes = true;
                tried.sides = self.side.map(|side| match side {
                    Side::Across => (x.0.clone(), y.0.clone()),
                    Side::Along => (x.1.clone(), y.1.clone()),
                });
            }
            _ => return Ok(()),
        }
        tried.made = Some(left);
        Ok(())
    }

    /// By how much the left side is more than the right, at the end that must hold.
    fn slack_sides(&self, left: &Value, right: &Value) -> Result<Option<(Quantity, Quantity)>, Halt> {
        let Some((first, link)) = self.comparison() else { return Ok(None) };
        let (a, b) = (words::Operand::new(left, first.span), words::Operand::new(right, link.operand.span));
        if link.op == CompareOp::Is {
            let message = "the result has slack: no value makes this true for sure";
            let fault = Fault::new(FaultCode::TooClose, self.question.act.condition.span, message);
            return Err(fault
                .other(if left.has_slack() { a.span } else { b.span }, "this has slack")
                .hint("for the middle write `so that (…).middle is …`")
                .hint("for what is true at every value within the slack: `find most … so that … <= …`")
                .into());
        }
        let Some(gap) = eval::slack_operation(BinaryOp::Subtract, a, b) else { return Ok(None) };
        let end = match link.op {
            CompareOp::Less | CompareOp::AtMost => "most",
            _ => "least",
        };
        Ok(match eval::slack_part(&gap?, end) {
            Some(Value::Measure(gap)) => {
                let none = Quantity { number: Number::Exact(Exact::ZERO), ..gap.clone() };
                Some((gap, none))
            }
            _ => None,
        })
    }
}

/// Faults that say no more than that this value does not serve.
pub(crate) fn refuses(code: FaultCode) -> bool {
    matches!(
        code,
        FaultCode::Refused | FaultCode::OutOfBounds | FaultCode::NoSuchNumber | FaultCode::DivisionByZero
    )
}
