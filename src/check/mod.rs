//! The whole-recipe check: what every expression, rule, given, item and part measures, found before
//! anything is worked, in branches that are never taken too.
//!
//! Rules without kinds in their headings are generic: each is looked at once, by itself, and what it
//! asks of its arguments is asked again at each call. What cannot be told is left to the check at run
//! time; a sound recipe is never refused.

mod builtin;
pub(crate) mod dims;
mod library;
mod lines;
mod lists;
mod needs;
pub(crate) mod operate;
pub(crate) mod rules;
mod scheme;
mod show;
pub(crate) mod types;
mod walk;
pub(crate) mod words;

use std::rc::Rc;

use crate::code::names::Names;
use crate::code::node::RuleCode;
use crate::fault::{Fault, Files, Level, Span};
pub(crate) use library::{library_faults, library_signature};
pub(crate) use lines::Lines;
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
    pub names: &'a Names,
    pub files: &'a Files,
    lines: &'a dyn Lines,
    globals: Vec<Known>,
    rules: Vec<Stage>,
    pub store: Store,
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
    pub fn new(names: &'a Names, files: &'a Files, lines: &'a dyn Lines) -> Infer<'a> {
        Infer {
            names,
            files,
            lines,
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

    pub(crate) fn tell(&mut self, fault: Fault) {
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
