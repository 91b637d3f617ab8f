//! What names mean: the rules and the recipe's names, and where each was given.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::code::node::RuleCode;
use crate::code::scope::Mention;
use crate::fault::{File, FileId, Files, Span};
use crate::library;
use crate::syntax::tree;

/// A rule, read; its formula is compiled after every heading is known, so that rules may be in
/// any order and call themselves.
#[derive(Clone, Debug)]
pub struct RuleEntry {
    /// As read.
    pub tree: Rc<tree::Rule>,
    /// As compiled.
    pub code: Option<Rc<RuleCode>>,
    /// Whether it belongs to the embedded library, which sees none of the recipe's names.
    pub library: bool,
    /// Where it speaks of the recipe's names and rules.
    pub mentions: Vec<(Span, Mention)>,
    /// The version whose line in the recipe this one shares: its own number, unless it was compiled again
    /// because something that it speaks of was given again.
    pub written: u32,
    /// The rule of this name before it.
    pub before: Option<u32>,
    /// Whether it is in a file that is used.
    pub foreign: bool,
}

impl RuleEntry {
    /// Whether it is as a used file gives it: not compiled again for something that it speaks of.
    pub fn is_in_used_file(&self, id: u32) -> bool {
        self.foreign && self.written == id
    }
}

fn number(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
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
    /// The slot of this name's value before it was given again.
    pub before: Option<u32>,
    /// Whether it is in a file that is used.
    pub foreign: bool,
}

/// All rules and names of a recipe or a session.
#[derive(Clone, Debug, Default)]
pub struct Names {
    /// The rules, by number.
    pub rules: Vec<RuleEntry>,
    /// The recipe's names, by slot.
    pub globals: Vec<GlobalEntry>,
    /// The recipe's own rules.
    pub own_rules: BTreeMap<Rc<str>, u32>,
    /// The library's rules that were called so far.
    pub library_rules: BTreeMap<&'static str, u32>,
    /// The recipe's names.
    pub slots: BTreeMap<Rc<str>, u32>,
    /// Names spelled like a unit; a compound unit must not be read past them.
    pub unit_like: BTreeSet<Rc<str>>,
    /// Names whose lines could not be read: faults of what depends on them stay silent.
    pub spoiled: BTreeSet<Rc<str>>,
    /// Names that blocks and loops give, and units below a stroke, each where it was met first: a name of
    /// the recipe must not be one of them.
    pub inner: BTreeMap<Rc<str>, Span>,
    /// As `inner`, for `60 in/m`.
    pub below: BTreeMap<Rc<str>, Span>,
    library_files: BTreeMap<usize, FileId>,
    changes: Vec<Change>,
}

/// What a name meant before, for taking a line back.
#[derive(Clone, Debug)]
enum Change {
    Slot(Rc<str>, Option<u32>),
    Rule(Rc<str>, Option<u32>),
    Inner(Rc<str>),
    Below(Rc<str>),
}

/// How much names meant at some time.
#[derive(Clone, Copy, Debug)]
pub struct Mark {
    /// How many rules there were.
    pub rules: usize,
    /// How many slots.
    pub globals: usize,
    changes: usize,
}

impl Names {
    /// Adds a name of the recipe, or gives the slot it has.
    pub fn global(&mut self, name: &Rc<str>, span: Span) -> u32 {
        match self.slots.get(name) {
            Some(slot) => *slot,
            None => self.again(name, span),
        }
    }

    /// A slot of its own for a name, whatever it meant before.
    pub fn again(&mut self, name: &Rc<str>, span: Span) -> u32 {
        let slot = number(self.globals.len());
        let before = self.slots.insert(name.clone(), slot);
        self.changes.push(Change::Slot(name.clone(), before));
        self.globals.push(GlobalEntry { name: name.clone(), span, passed: false, before, foreign: false });
        if crate::measure::is_unit(name) {
            self.unit_like.insert(name.clone());
        }
        slot
    }

    /// Adds a rule.
    pub fn add_rule(&mut self, tree: Rc<tree::Rule>, library: bool) -> u32 {
        let id = number(self.rules.len());
        self.rules.push(RuleEntry {
            tree,
            code: None,
            library,
            mentions: Vec::new(),
            written: id,
            before: None,
            foreign: false,
        });
        id
    }

    /// Adds a rule of the recipe's own; from here on its name means this one.
    pub fn add_own(&mut self, tree: Rc<tree::Rule>) -> u32 {
        let name = tree.name.name.clone();
        let id = self.add_rule(tree, false);
        let before = self.own_rules.insert(name.clone(), id);
        self.changes.push(Change::Rule(name, before));
        if let Some(entry) = self.rules.get_mut(id as usize) {
            entry.before = before;
        }
        id
    }

    /// Whether something that a used file gives means something else now, or nothing.
    pub fn hides_used(&self) -> bool {
        let value = |entry: &GlobalEntry| {
            let now = self.slots.get(&entry.name).and_then(|slot| self.globals.get(*slot as usize));
            entry.foreign && now.is_none_or(|now| !now.foreign)
        };
        let used = |id: u32| self.rules.get(id as usize).is_some_and(|entry| entry.is_in_used_file(id));
        let rule = |(id, entry): (u32, &RuleEntry)| {
            let now = self.own_rules.get(&entry.tree.name.name).copied();
            entry.is_in_used_file(id) && !now.is_some_and(used)
        };
        self.globals.iter().any(value) || (0..).zip(&self.rules).any(rule)
    }

    /// Removes a name or a rule; says whether there was one.
    pub fn forget(&mut self, name: &str) -> bool {
        let (slot, rule) = (self.slots.remove_entry(name), self.own_rules.remove_entry(name));
        let found = slot.is_some() || rule.is_some();
        self.changes.extend(slot.map(|(name, slot)| Change::Slot(name, Some(slot))));
        self.changes.extend(rule.map(|(name, rule)| Change::Rule(name, Some(rule))));
        self.unit_like.remove(name);
        found
    }

    /// Keeps in mind that a block or a loop gives this name.
    pub(crate) fn note_inner(&mut self, name: &Rc<str>, span: Span) {
        if !self.inner.contains_key(name) {
            self.inner.insert(name.clone(), span);
            self.changes.push(Change::Inner(name.clone()));
        }
    }

    /// Keeps in mind that this word is below a stroke in a measure.
    pub(crate) fn note_below(&mut self, word: &str, span: Span) {
        if !self.below.contains_key(word) {
            let word: Rc<str> = word.into();
            self.below.insert(word.clone(), span);
            self.changes.push(Change::Below(word));
        }
    }

    /// What names mean now.
    pub fn mark(&self) -> Mark {
        Mark { rules: self.rules.len(), globals: self.globals.len(), changes: self.changes.len() }
    }

    /// Names mean what they meant at a mark.
    pub fn back(&mut self, mark: Mark) {
        while self.changes.len() > mark.changes {
            match self.changes.pop() {
                Some(Change::Slot(name, before)) => {
                    match before {
                        Some(slot) if crate::measure::is_unit(&name) => {
                            self.unit_like.insert(name.clone());
                            self.slots.insert(name, slot)
                        }
                        Some(slot) => self.slots.insert(name, slot),
                        None => {
                            self.unit_like.remove(&name);
                            self.slots.remove(&name)
                        }
                    };
                }
                Some(Change::Rule(name, Some(rule))) => drop(self.own_rules.insert(name, rule)),
                Some(Change::Rule(name, None)) => drop(self.own_rules.remove(&name)),
                Some(Change::Inner(name)) => drop(self.inner.remove(&name)),
                Some(Change::Below(word)) => drop(self.below.remove(&word)),
                None => {}
            }
        }
        self.rules.truncate(mark.rules);
        self.globals.truncate(mark.globals);
        self.library_rules.retain(|_, id| (*id as usize) < mark.rules);
        self.spoiled.clear();
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
        own.chain(library).chain(crate::value::builtin::names().map(|name| -> &str { name }))
    }
}
