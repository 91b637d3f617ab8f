//! The frame of a rule's call, opened to look inside.

use crate::code::node::{CallNode, RuleCode};
use crate::eval::machine::{Halt, Machine};
use crate::value::data::Value;

/// What to go back to when a frame is closed.
#[derive(Debug)]
pub(crate) struct Opened {
    base: usize,
    top: usize,
}

impl Machine {
    /// Works the arguments of a call and opens the rule's frame, defaults filled in.
    pub(crate) fn open_call(&mut self, node: &CallNode, rule: &RuleCode) -> Result<Opened, Halt> {
        let opened = Opened { base: self.base, top: self.stack.len() };
        let top = opened.top;
        self.stack.resize(top + rule.slots as usize, Value::Unset);
        let filled = self.fill_call(node, rule, top);
        match filled {
            Ok(()) => Ok(opened),
            Err(halt) => {
                self.close_call(&opened);
                Err(halt)
            }
        }
    }

    fn fill_call(&mut self, node: &CallNode, rule: &RuleCode, top: usize) -> Result<(), Halt> {
        for (slot, arg) in &node.args {
            let value = self.eval(arg)?;
            if let Some(place) = self.stack.get_mut(top + *slot as usize) {
                *place = value;
            }
        }
        self.base = top;
        for (slot, param) in rule.params.iter().enumerate() {
            let slot = u32::try_from(slot).unwrap_or(u32::MAX);
            if let (Some(Value::Unset), Some(default)) = (self.local(slot), &param.default) {
                let value = self.eval(default)?;
                self.set_local(slot, value);
            }
        }
        Ok(())
    }

    /// Closes a frame.
    pub(crate) fn close_call(&mut self, opened: &Opened) {
        self.base = opened.base;
        self.stack.truncate(opened.top);
    }
}
