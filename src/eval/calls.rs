//! Calls of rules.

use std::rc::Rc;

use crate::code::node::{CallNode, Node, ParamCode, RuleCode};
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::Machine;
use crate::eval::words;
use crate::fault::Span;
use crate::limits;
use crate::value::cause::{Cause, One};
use crate::value::data::Value;
use crate::value::describe::Operand;

/// Up to this depth any stack is deep enough; asking how much is left costs a start its time.
const SHALLOW: u32 = 100;

impl Machine {
    #[inline(never)]
    pub(crate) fn call(&mut self, node: &CallNode, span: Span) -> Worked {
        self.spend(2, span)?;
        let rule = self.rule_code(node.rule)?;
        let new_base = self.stack.len();
        self.stack.resize(new_base.saturating_add(rule.slots as usize), Value::Unset);
        let made = self.call_in_frame(node, &rule, new_base, span);
        self.stack.truncate(new_base);
        made
    }

    /// A compiled rule.
    pub(crate) fn rule_code(&self, rule: u32) -> Result<Rc<RuleCode>, Halt> {
        self.rules.get(rule as usize).and_then(Option::as_ref).map(Rc::clone).ok_or(Halt::Silent)
    }

    fn call_in_frame(&mut self, node: &CallNode, rule: &Rc<RuleCode>, new_base: usize, span: Span) -> Worked {
        for (slot, arg) in &node.args {
            let value = self.eval(arg)?;
            let value = Machine::taken(rule, *slot, value, arg)?;
            if let Some(place) = self.stack.get_mut(new_base.saturating_add(*slot as usize)) {
                *place = value;
            }
        }
        let deeper = self.deeper(rule, span)?;
        let before = (self.base, self.depth);
        (self.base, self.depth) = (new_base, deeper);
        let made = if deeper <= SHALLOW {
            self.body(rule)
        } else {
            stacker::maybe_grow(256 << 10, 4 << 20, || self.body(rule))
        };
        (self.base, self.depth) = before;
        made.map_err(|halt| words::called_from(words::zero_in(halt, rule), rule, span))
    }

    /// How deep a call of a rule goes.
    pub(crate) fn deeper(&self, rule: &RuleCode, span: Span) -> Result<u32, Halt> {
        let deeper = self.depth.saturating_add(rule.nesting).saturating_add(1);
        if deeper > self.limits.depth {
            let message = format!("`{}` is called inside itself too many times", rule.name);
            let fault = words::too_much(span, message);
            let fault = fault.hint("a rule that calls itself needs an `if` that ends it");
            return Err(fault.hint(limits::hint("depth", u64::from(self.limits.depth))).into());
        }
        Ok(deeper)
    }

    fn body(&mut self, rule: &RuleCode) -> Worked {
        for (slot, param) in (0..).zip(&rule.params) {
            if let (Some(Value::Unset), Some(default)) = (self.local(slot), &param.default) {
                let of_a_line = self.depth == rule.nesting.saturating_add(1);
                let value = self.eval(default).map_err(|halt| match of_a_line {
                    true => words::or_give(halt, &param.name),
                    false => halt,
                })?;
                let value = Machine::taken(rule, slot, value, default)?;
                self.set_local(slot, value);
            }
        }
        let value = self.eval(&rule.body)?;
        let made = Machine::given(rule, value)?;
        if rule.doubtful && made.is_below_zero() {
            self.advise(rule, &made);
        }
        Ok(made)
    }

    /// A rule of the recipe gave less than nothing: that stands, and is told once.
    #[cold]
    fn advise(&mut self, rule: &RuleCode, made: &Value) {
        if self.advice.iter().all(|fault| fault.span() != Some(rule.heading)) {
            self.advice.push(words::less_than_nothing(rule, made));
        }
    }

    /// Whether a parameter takes an argument.
    #[inline]
    pub(crate) fn taken(rule: &RuleCode, slot: u32, value: Value, node: &Node) -> Worked {
        let Some(param) = rule.params.get(slot as usize) else { return Ok(value) };
        match refusal(param, &rule.name, &value) {
            None => Ok(param.kind.read(value)),
            Some(one) => Err(Cause::one(one, &Operand::new(&value, node.span)).into()),
        }
    }

    /// What a rule gives, where it is of the kind that its heading states.
    #[inline]
    pub(crate) fn given(rule: &RuleCode, value: Value) -> Worked {
        let one = if !rule.gives.takes(&value) {
            One::Result(rule.name.clone(), rule.gives)
        } else if rule.unsigned && value.is_below_zero() {
            One::Negative(rule.name.clone())
        } else {
            return Ok(rule.gives.read(value));
        };
        Err(Cause::one(one, &Operand::new(&value, rule.body.span)).into())
    }
}

/// Why a parameter does not take a value.
#[inline]
fn refusal(param: &ParamCode, rule: &Rc<str>, value: &Value) -> Option<One> {
    if !param.takes(value) {
        return Some(param.of_another_kind(rule));
    }
    param.refused_by(value).map(|bound| param.beyond(rule, bound))
}
