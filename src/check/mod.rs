//! The whole-recipe check: what every expression, rule, given, item and part measures, found before
//! anything is evaluated, in branches that are never taken too.
//!
//! Rules without kinds in their headings are generic: each is looked at once, by itself, and what it
//! asks of its arguments is asked again at each call. What cannot be known is left to the check at run
//! time; a sound recipe is never refused.

mod bindings;
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

use crate::code::{Names, RuleCode};
use crate::fault::{Fault, Files, Level, Span};
pub(crate) use dims::Dims;
pub(crate) use library::{library_faults, library_signature};
pub(crate) use lines::Lines;
use needs::Need;
pub(crate) use operate::{Quant, Step};
use rules::Stage;
pub(crate) use show::signature;
use types::Store;
pub(crate) use types::{Shape, Type};

/// What is known of a name of the recipe.
#[derive(Clone, Debug)]
enum Known {
    Waiting,
    Busy,
    Inferred(Type),
}

/// What the check knows of the lines and rules that it has looked at.
#[derive(Debug, Default)]
pub(crate) struct Checked {
    globals: Vec<Known>,
    rules: Vec<Stage>,
    store: Store,
}

/// How much was known at some time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mark {
    globals: usize,
    rules: usize,
    store: types::Mark,
}

impl Checked {
    /// What is known now.
    pub fn mark(&self) -> Mark {
        Mark { globals: self.globals.len(), rules: self.rules.len(), store: self.store.mark() }
    }

    /// No more is known than was at a mark.
    pub fn back(&mut self, mark: Mark) {
        self.globals.truncate(mark.globals);
        self.rules.truncate(mark.rules);
        self.store.undo(mark.store);
    }
}

/// The check of a recipe, or of the lines that are added to one.
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
    /// Whether the library's formulas are looked at as a recipe's are.
    all: bool,
    /// Inside the library nothing is reported: its own tests do.
    quiet: u32,
    /// How deep in formulas it is.
    depth: u32,
    faults: Vec<Fault>,
    notes: Vec<Fault>,
}

/// What the check found.
#[derive(Debug, Default)]
pub(crate) struct Found {
    /// Mistakes.
    pub faults: Vec<Fault>,
    /// What it could not say.
    pub notes: Vec<Fault>,
}

impl<'a> Infer<'a> {
    /// A check that has looked at nothing yet.
    pub fn new(names: &'a Names, files: &'a Files, lines: &'a dyn Lines) -> Infer<'a> {
        Infer::on(Checked::default(), names, files, lines)
    }

    /// A check that goes on where one before has stopped.
    pub fn on(known: Checked, names: &'a Names, files: &'a Files, lines: &'a dyn Lines) -> Infer<'a> {
        let Checked { mut globals, mut rules, store } = known;
        globals.resize(names.globals.len(), Known::Waiting);
        rules.resize(names.rules.len(), Stage::Waiting);
        Infer {
            names,
            files,
            lines,
            globals,
            rules,
            store,
            needs: Vec::new(),
            locals: Vec::new(),
            all: false,
            quiet: 0,
            depth: 0,
            faults: Vec::new(),
            notes: Vec::new(),
        }
    }

    fn code(&self, rule: u32) -> Option<Rc<RuleCode>> {
        self.names.rules.get(rule as usize)?.code.clone()
    }

    pub(crate) fn tell(&mut self, fault: impl Into<Fault>) {
        if self.quiet > 0 {
            return;
        }
        let fault = fault.into();
        match fault.level {
            Level::Advice => self.notes.push(fault),
            Level::Error => self.faults.push(fault),
        }
    }

    /// What was found.
    pub fn found(self) -> Found {
        self.parts().0
    }

    /// What was found, and what is known now.
    pub fn parts(self) -> (Found, Checked) {
        let Infer { globals, rules, store, faults, notes, .. } = self;
        (Found { faults, notes }, Checked { globals, rules, store })
    }
}
