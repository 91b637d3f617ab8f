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
    #[inline]
    pub(crate) fn rule_code(&self, rule: u32) -> Result<Rc<RuleCode>, Halt> {
        self.rules.get(rule as usize).and_then(Option::as_ref).map(Rc::clone).ok_or(Halt::Silent)
    }

    /// How deep a call of a rule goes.
    #[inline]
    pub(crate) fn deeper(&self, rule: &RuleCode, span: Span) -> Result<u32, Halt> {
        let deeper = self.depth.saturating_add(rule.nesting).saturating_add(1);
        if deeper > self.limits.depth { Err(self.too_deep(rule, span)) } else { Ok(deeper) }
    }

    #[cold]
    fn too_deep(&self, rule: &RuleCode, span: Span) -> Halt {
        let message = format!("`{}` is called inside itself too many times", rule.name);
        let fault = words::too_much(span, message);
        let fault = fault.hint("a rule that calls itself needs an `if` that ends it");
        fault.hint(limits::hint("depth", u64::from(self.limits.depth))).into()
    }

    /// Whether a parameter takes an argument.
    #[inline]
    pub(crate) fn taken(rule: &RuleCode, slot: u32, value: &mut Value, node: &Node) -> Result<(), Halt> {
        let Some(param) = rule.params.get(slot as usize) else { return Ok(()) };
        if !param.takes(value) || param.refused_by(value).is_some() {
            return Err(refused(param, rule, value, node));
        }
        param.kind.read(value);
        Ok(())
    }

    /// What a rule gives, where it is of the kind that its heading states.
    #[inline]
    pub(crate) fn given(&mut self, rule: &RuleCode, value: &mut Value) -> Result<(), Halt> {
        let below = (rule.unsigned || rule.doubtful) && value.is_below_zero();
        if below || !rule.gives.takes(value) {
            return self.doubted(rule, value);
        }
        rule.gives.read(value);
        Ok(())
    }

    /// A result that is less than nothing, or not of the kind that the heading states.
    #[cold]
    fn doubted(&mut self, rule: &RuleCode, value: &mut Value) -> Result<(), Halt> {
        let one = if !rule.gives.takes(value) {
            One::Result(rule.name.clone(), rule.gives)
        } else if rule.unsigned {
            One::Negative(rule.name.clone())
        } else {
            self.advise(rule, value);
            rule.gives.read(value);
            return Ok(());
        };
        Err(Cause::one(one, &Operand::new(value, rule.body.span)).into())
    }

    /// A rule of the recipe gave less than nothing: that stands, and is told once.
    fn advise(&mut self, rule: &RuleCode, made: &Value) {
        if self.advice.iter().all(|fault| fault.span() != Some(rule.heading)) {
            self.advice.push(words::less_than_nothing(rule, made));
        }
    }
}

/// Why a parameter does not take a value.
#[cold]
fn refused(param: &ParamCode, rule: &RuleCode, value: &Value, node: &Node) -> Halt {
    let one = match param.refused_by(value).filter(|_| param.takes(value)) {
        Some(bound) => param.beyond(&rule.name, bound),
        None => param.of_another_kind(&rule.name),
    };
    Cause::one(one, &Operand::new(value, node.span)).into()
}
