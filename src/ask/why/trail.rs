//! What was evaluated, in order: the lines that gave names their values and `that` its answers.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::code::node::Node;
use crate::docket::StepKind;
use crate::eval::machine::Settings;
use crate::fault::Span;
use crate::value::data::Value;

/// A line that gave a value.
#[derive(Clone, Debug)]
pub(crate) struct Origin<'a> {
    /// The slot of the name it gave, where it gave one.
    pub slot: Option<u32>,
    /// Whether it became the last answer.
    pub answers: bool,
    /// What sort of step it is.
    pub kind: StepKind,
    /// The name.
    pub name: Option<Rc<str>>,
    /// The `##` words above a given.
    pub words: Option<Rc<str>>,
    /// Its formula; nothing where the value came from outside.
    pub node: Option<&'a Node>,
    /// How many slots its frame needs.
    pub slots: u32,
    /// The whole line.
    pub span: Span,
    /// The settings in force.
    pub settings: Settings,
    /// What came out.
    pub value: Value,
}

/// All origins in order of working.
#[derive(Debug, Default)]
pub(crate) struct Trail<'a> {
    /// In order.
    pub origins: Vec<Origin<'a>>,
    by_slot: BTreeMap<u32, Vec<usize>>,
    answers: Vec<usize>,
}

impl<'a> Trail<'a> {
    /// A trail of these.
    pub fn new(origins: Vec<Origin<'a>>) -> Trail<'a> {
        let mut trail = Trail { origins, ..Trail::default() };
        for (at, origin) in trail.origins.iter().enumerate() {
            if let Some(slot) = origin.slot {
                trail.by_slot.entry(slot).or_default().push(at);
            }
            if origin.answers {
                trail.answers.push(at);
            }
        }
        trail
    }

    /// The origin of a slot's value as it stood before `context`.
    pub fn of_slot(&self, slot: u32, context: usize) -> Option<usize> {
        last_before(self.by_slot.get(&slot)?, context)
    }

    /// The origin of the last answer before `context`.
    pub fn answer(&self, context: usize) -> Option<usize> {
        last_before(&self.answers, context)
    }

    /// Slots that were given more than once: their values depend on when one asks.
    pub fn given_again(&self) -> impl Iterator<Item = u32> {
        self.by_slot.iter().filter(|(_, origins)| origins.len() > 1).map(|(slot, _)| *slot)
    }
}

fn last_before(origins: &[usize], context: usize) -> Option<usize> {
    let at = origins.partition_point(|origin| *origin < context);
    origins.get(at.checked_sub(1)?).copied()
}
