//! `rule twice(x: length) = 2 * x`: compiled before the lines, so that rules may be in any order.

use super::*;
use crate::syntax::tree::Rule;

/// A rule, by its number.
#[derive(Debug)]
struct RuleAct(u32);

impl Meaning for Rc<Rule> {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, _scope: &mut Scope) -> Option<Box<dyn Act>> {
        Some(Box::new(RuleAct(builder.give_rule(self))))
    }

    fn declare(&self, builder: &mut Builder<'_>) {
        builder.declare_rule(self);
    }

    fn may_be_used(&self) -> bool {
        true
    }
}

impl Act for RuleAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.rule(self.0);
    }

    fn make(&self, _line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let entry = maker.names.rules.get(self.0 as usize);
        if let Some(before) = entry.and_then(|entry| entry.before) {
            maker.tell_outdated(Mention::Rule(before));
        }
        Ok(())
    }

    fn rule(&self) -> Option<u32> {
        Some(self.0)
    }
}
