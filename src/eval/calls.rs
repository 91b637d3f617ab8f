//! Calls of rules.

use std::rc::Rc;

use crate::code::node::{Node, ParamCode, RuleCode};
use crate::eval::halt::Halt;
use crate::eval::machine::Machine;
use crate::eval::words;
use crate::fault::Span;
use crate::limits;
use crate::value::cause::{Cause, One};
use crate::value::data::Value;
use crate::value::describe::Operand;

impl Machine {
    /// A compiled rule.
    pub(crate) fn rule_code(&self, rule: u32) -> Result<Rc<RuleCode>, Halt> {
        self.rules.get(rule as usize).and_then(Option::as_ref).map(Rc::clone).ok_or(Halt::Silent)
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

    /// A rule of the recipe gave less than nothing: that stands, and is told once.
    #[cold]
    fn advise(&mut self, rule: &RuleCode, made: &Value) {
        if self.advice.iter().all(|fault| fault.span() != Some(rule.heading)) {
            self.advice.push(words::less_than_nothing(rule, made));
        }
    }

    /// Whether a parameter takes an argument.
    #[inline]
    pub(crate) fn taken(rule: &RuleCode, slot: u32, value: &mut Value, node: &Node) -> Result<(), Halt> {
        let Some(param) = rule.params.get(slot as usize) else { return Ok(()) };
        match refusal(param, &rule.name, value) {
            None => param.kind.read(value),
            Some(one) => return Err(Cause::one(one, &Operand::new(value, node.span)).into()),
        }
        Ok(())
    }

    /// What a rule gives, where it is of the kind that its heading states.
    #[inline]
    pub(crate) fn given(&mut self, rule: &RuleCode, value: &mut Value) -> Result<(), Halt> {
        let below = (rule.unsigned || rule.doubtful) && value.is_below_zero();
        let one = if !rule.gives.takes(value) {
            One::Result(rule.name.clone(), rule.gives)
        } else if rule.unsigned && below {
            One::Negative(rule.name.clone())
        } else {
            if below {
                self.advise(rule, value);
            }
            rule.gives.read(value);
            return Ok(());
        };
        Err(Cause::one(one, &Operand::new(value, rule.body.span)).into())
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
