//! A list made of each: its first rounds and its last.

use crate::ask::why::explain::Explainer;
use crate::ask::why::text::{Hold, value_text};
use crate::code::node::{EachNode, Node};
use crate::docket::StepKind;
use crate::value::data::Value;

/// So many rounds from the start are reported, and the last.
const ROUNDS: usize = 2;

impl<'a> Explainer<'_, 'a> {
    /// The rounds of a loop become parts of its step.
    pub(crate) fn rounds(&mut self, step: usize, node: &'a Node, each: &'a EachNode) {
        let Ok(Value::List(items)) = self.machine.eval(&each.source) else { return };
        let last = items.items.len().saturating_sub(1);
        let name = self.loop_name(node);
        for (at, item) in items.items.iter().enumerate() {
            if at >= ROUNDS && at != last {
                continue;
            }
            self.machine.forget(&each.once);
            self.machine.set_local(each.slot, item.clone());
            let Ok(value) = self.machine.eval(&each.body) else { return };
            let Some(round) = self.step(StepKind::Item, &value, None) else { return };
            let label = format!("{name} = {}", value_text(item, Hold::Free));
            self.change(round, |step| step.label = Some(label.into()));
            self.formula(round, &each.body, &[]);
            self.change(step, |step| step.parts.push(round));
        }
    }

    /// The loop's name, from its own text.
    fn loop_name(&self, node: &Node) -> String {
        let text = self.files.text(node.span);
        let behind = text.split_once("each").map_or("", |(_, behind)| behind).trim_start();
        behind.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
    }
}
