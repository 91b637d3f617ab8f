//! The whole-recipe check: what every expression, rule, given, item and part measures, found before
//! anything is worked, in branches that are never taken too.
//!
//! Rules without kinds in their headings are generic: each is looked at once, by itself, and what it
//! asks of its arguments is asked again at each call. What cannot be told is left to the check at run
//! time; a sound recipe is never refused.

mod advice;
mod asked;
mod builtin;
mod dims;
mod library;
mod lines;
mod lists;
mod needs;
mod operate;
mod rules;
mod scheme;
mod show;
mod types;
mod walk;
mod words;

use std::rc::Rc;

use crate::code::names::Names;
use crate::code::node::RuleCode;
use crate::fault::{Fault, Files, Level, Span};
use crate::recipe::build::{Act, ActKind, Given};
pub(crate) use advice::advice;
pub(crate) use library::{library_faults, library_signature};
use needs::Need;
use rules::Stage;
pub(crate) use show::signature;
use types::{Store, Type};

/// What is known of a name of the recipe.
#[derive(Clone, Debug)]
enum Known {
    Waiting,
    Busy,
    Told(Type),
}

/// The check of one recipe.
pub(crate) struct Infer<'a> {
    names: &'a Names,
    files: &'a Files,
    acts: &'a [Act],
    givens: &'a [Given],
    /// Which line gives each name.
    given_by: Vec<Option<usize>>,
    globals: Vec<Known>,
    rules: Vec<Stage>,
    store: Store,
    needs: Vec<Need>,
    /// Kinds of the frame's slots, and where each was given.
    locals: Vec<(Type, Option<Span>)>,
    depth: u32,
    /// Whether the library's formulas are looked at as a recipe's are.
    all: bool,
    /// Inside the library nothing is told: its own tests do.
    quiet: u32,
    faults: Vec<Fault>,
    notes: Vec<Fault>,
}

/// What the check found.
#[derive(Debug, Default)]
pub(crate) struct Found {
    /// Mistakes.
    pub faults: Vec<Fault>,
    /// What it could not tell.
    pub notes: Vec<Fault>,
}

impl<'a> Infer<'a> {
    /// A check that has looked at nothing yet.
    pub fn new(names: &'a Names, files: &'a Files, acts: &'a [Act], givens: &'a [Given]) -> Infer<'a> {
        let mut given_by = vec![None; names.globals.len()];
        for (at, act) in acts.iter().enumerate() {
            let slot = match &act.kind {
                ActKind::Name { slot, .. } => Some(*slot),
                ActKind::Given(index) => givens.get(*index).map(|given| given.slot),
                ActKind::Ask(ask) => ask.slot(),
                _ => None,
            };
            if let Some(place) = slot.and_then(|slot| given_by.get_mut(slot as usize)) {
                *place = Some(at);
            }
        }
        Infer {
            names,
            files,
            acts,
            givens,
            given_by,
            globals: vec![Known::Waiting; names.globals.len()],
            rules: names.rules.iter().map(|_| Stage::Waiting).collect(),
            store: Store::default(),
            needs: Vec::new(),
            locals: Vec::new(),
            depth: 0,
            all: false,
            quiet: 0,
            faults: Vec::new(),
            notes: Vec::new(),
        }
    }

    fn code(&self, rule: u32) -> Option<Rc<RuleCode>> {
        self.names.rules.get(rule as usize)?.code.clone()
    }

    fn tell(&mut self, fault: Fault) {
        if self.quiet > 0 {
            return;
        }
        match fault.level {
            Level::Advice => self.notes.push(fault),
            Level::Error => self.faults.push(fault),
        }
    }

    /// What was found.
    pub fn found(self) -> Found {
        Found { faults: self.faults, notes: self.notes }
    }
}
