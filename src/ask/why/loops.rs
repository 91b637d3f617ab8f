//! A list made of each: its first rounds and its last.

use crate::ask::why::explain::Explainer;
use crate::ask::why::text::{Hold, value_text};
use crate::docket::StepKind;
use crate::eval::trace::{Trace, is_traced};
use crate::value::data::Value;

impl Explainer<'_, '_> {
    /// The rounds of a loop become parts of its step.
    pub(crate) fn rounds(&mut self, step: usize, each: &Trace) {
        let Some((source, rounds)) = each.parts.split_first() else { return };
        let Value::List(items) = &source.value else { return };
        let items = &items.items;
        let name = self.loop_name(each);
        let traced = (0..).zip(items).filter(|(at, _)| is_traced(*at, items.len()));
        for ((_, item), trace) in traced.zip(rounds) {
            let Some(round) = self.step(StepKind::Item, &trace.value, None) else { return };
            let label = format!("{name} = {}", value_text(item, Hold::Free));
            self.change(round, |step| step.label = Some(label.into()));
            self.formula(round, trace, &[]);
            self.change(step, |step| step.parts.push(round));
        }
    }

    /// The loop's name, from its own text.
    fn loop_name(&self, each: &Trace) -> String {
        let text = self.files.text(each.span);
        let behind = text.split_once("each").map_or("", |(_, behind)| behind).trim_start();
        behind.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect()
    }
}
