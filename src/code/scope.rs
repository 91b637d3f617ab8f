//! The slots of one frame while its expression is compiled.

use std::rc::Rc;

use crate::fault::Span;

/// What a line or a rule speaks of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mention {
    /// A name of the recipe, by its slot.
    Name(u32),
    /// A rule of the recipe, by its number.
    Rule(u32),
    /// The last answer.
    That,
    /// What all that is bought costs.
    Total,
}

/// Names of a rule's frame: parameters, block names, loop names.
#[derive(Debug, Default)]
pub struct Scope {
    names: Vec<(Rc<str>, u32, Span)>,
    next: u32,
    /// Where the recipe's names were read, its rules called, and `that` spoken of.
    pub mentions: Vec<(Span, Mention)>,
    /// Whether the recipe's names are hidden, as in the library.
    pub library: bool,
    /// Whether a name of a later line may be read: in rules, which run when called.
    pub deferred: bool,
    /// Whether the line may speak of `total`: it is then evaluated last.
    pub total: bool,
    depth: u32,
    /// The deepest nesting met.
    pub deepest: u32,
}

impl Scope {
    /// A frame of a recipe's line.
    pub fn line() -> Scope {
        Scope::default()
    }

    /// A frame of an example, which is evaluated when all names have their values.
    pub fn example() -> Scope {
        Scope { deferred: true, ..Scope::default() }
    }

    /// A frame of a rule.
    pub fn rule(library: bool) -> Scope {
        Scope { library, deferred: true, ..Scope::default() }
    }

    /// How many slots the frame needs.
    pub fn slots(&self) -> u32 {
        self.next
    }

    /// A slot without a name.
    pub fn fresh(&mut self) -> u32 {
        let slot = self.next;
        self.next = slot.saturating_add(1);
        slot
    }

    /// Gives a name a slot of its own; [`Scope::leave`] removes it again.
    pub fn enter(&mut self, name: &Rc<str>, span: Span) -> u32 {
        let slot = self.fresh();
        self.names.push((name.clone(), slot, span));
        slot
    }

    /// Gives a name a slot that is already taken for it.
    pub fn place(&mut self, name: &Rc<str>, slot: u32, span: Span) {
        self.names.push((name.clone(), slot, span));
    }

    /// How many names are in sight, to come back to.
    pub fn mark(&self) -> usize {
        self.names.len()
    }

    /// Hides the names given since `mark`.
    pub fn leave(&mut self, mark: usize) {
        self.names.truncate(mark);
    }

    /// The slot of a name in sight, and where it was given.
    pub fn find(&self, name: &str) -> Option<(u32, Span)> {
        self.names.iter().rev().find(|(known, ..)| &**known == name).map(|(_, slot, span)| (*slot, *span))
    }

    /// The names in sight.
    pub fn in_sight(&self) -> impl Iterator<Item = &str> {
        self.names.iter().map(|(name, ..)| &**name)
    }

    /// Goes one expression deeper.
    pub fn down(&mut self) -> u32 {
        self.depth = self.depth.saturating_add(1);
        self.deepest = self.deepest.max(self.depth);
        self.depth
    }

    /// Comes back up.
    pub fn up(&mut self) {
        self.depth = self.depth.saturating_sub(1);
    }
}
