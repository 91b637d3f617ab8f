//! What names mean: the rules and the recipe's names, and where each was given.

use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;

use crate::code::node::RuleCode;
use crate::fault::{File, FileId, Files, Span};
use crate::library;
use crate::syntax::tree;

/// A rule, read; its formula is compiled after every heading is known, so that rules may stand in
/// any order and call themselves.
#[derive(Clone, Debug)]
pub struct RuleEntry {
    /// As read.
    pub tree: Rc<tree::Rule>,
    /// As compiled.
    pub code: Option<Rc<RuleCode>>,
    /// Whether it belongs to the embedded library, which sees none of the recipe's names.
    pub library: bool,
    /// The recipe's names that it reads, itself or through the rules it calls.
    pub reads: Rc<BTreeSet<u32>>,
    /// The rules it calls.
    pub calls: Rc<BTreeSet<u32>>,
}

/// A name of the recipe.
#[derive(Clone, Debug)]
pub struct GlobalEntry {
    /// The name.
    pub name: Rc<str>,
    /// Where it was given.
    pub span: Span,
    /// Whether its line has been passed in the order of working.
    pub passed: bool,
}

/// All rules and names of a recipe or a session.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// The rules, by number.
    pub rules: Vec<RuleEntry>,
    /// The recipe's names, by slot.
    pub globals: Vec<GlobalEntry>,
    /// The recipe's own rules.
    pub own_rules: HashMap<Rc<str>, u32>,
    /// The library's rules that were called so far.
    pub library_rules: HashMap<&'static str, u32>,
    /// The recipe's names.
    pub slots: HashMap<Rc<str>, u32>,
    /// Names spelled like a unit; a compound unit must not be read past them.
    pub unit_like: BTreeSet<Rc<str>>,
    /// Names whose lines could not be read: faults of what hangs on them stay silent.
    pub spoiled: BTreeSet<Rc<str>>,
    library_files: HashMap<usize, FileId>,
}

impl Names {
    /// Adds a name of the recipe, or gives the slot it has.
    pub fn global(&mut self, name: &Rc<str>, span: Span) -> u32 {
        if let Some(slot) = self.slots.get(name) {
            return *slot;
        }
        let slot = u32::try_from(self.globals.len()).unwrap_or(u32::MAX);
        self.globals.push(GlobalEntry { name: name.clone(), span, passed: false });
        self.slots.insert(name.clone(), slot);
        if crate::measure::is_unit(name) {
            self.unit_like.insert(name.clone());
        }
        slot
    }

    /// Adds a rule.
    pub fn add_rule(&mut self, tree: Rc<tree::Rule>, library: bool) -> u32 {
        let id = u32::try_from(self.rules.len()).unwrap_or(u32::MAX);
        self.rules.push(RuleEntry { tree, code: None, library, reads: Rc::default(), calls: Rc::default() });
        id
    }

    /// The library's rule of this name, read at its first call.
    pub fn library_rule(&mut self, name: &str, files: &mut Files) -> Option<u32> {
        let (name, entry) = library::index().get_key_value(name)?;
        if let Some(id) = self.library_rules.get(name) {
            return Some(*id);
        }
        let (file_name, text) = library::FILES.get(entry.file)?;
        let file = *self
            .library_files
            .entry(entry.file)
            .or_insert_with(|| files.add(File::library(format!("stdlib/{file_name}"), *text)));
        let read = crate::syntax::read_at(file, text, entry.rule());
        let rule = read.tree.lines.into_iter().find_map(|line| match line.kind {
            tree::LineKind::Rule(rule) => Some(rule),
            _ => None,
        })?;
        let id = self.add_rule(rule, true);
        self.library_rules.insert(name, id);
        Some(id)
    }

    /// Every name that can be called, for suggestions.
    pub fn callable(&self) -> impl Iterator<Item = &str> {
        let own = self.own_rules.keys().map(|name| &**name);
        let library = library::index().keys().map(|name| -> &str { name });
        own.chain(library).chain(crate::eval::builtins::names().map(|name| -> &str { name }))
    }
}
