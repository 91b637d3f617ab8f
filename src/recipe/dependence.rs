//! Which lines depend on a name or on a rule, by themselves or through others.

use std::collections::{BTreeSet, HashMap};

use crate::code::{Mention, Names};
use crate::fault::Span;
use crate::recipe::lines::Compiled;

/// Who speaks of a name or a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Reader {
    Line(usize),
    Rule(u32),
}

/// The readers of each name and rule, in the order of compiling.
#[derive(Debug, Default)]
pub(crate) struct Dependence(HashMap<Mention, Vec<Reader>>);

impl Dependence {
    /// Takes in what a line or a rule speaks of.
    pub fn add(&mut self, reader: Reader, mentions: &[(Span, Mention)]) {
        let of_names = |mention: &Mention| !matches!(mention, Mention::That | Mention::Total);
        for (_, mention) in mentions.iter().filter(|(_, mention)| of_names(mention)) {
            let readers = self.0.entry(*mention).or_default();
            if readers.last() != Some(&reader) {
                readers.push(reader);
            }
        }
    }

    /// Takes back the last line or rule.
    pub fn remove(&mut self, reader: Reader, mentions: &[(Span, Mention)]) {
        for (_, mention) in mentions {
            if let Some(readers) = self.0.get_mut(mention) {
                readers.pop_if(|last| *last == reader);
            }
        }
    }

    /// The rules that speak of something, by themselves or through other rules.
    pub fn rules(&self, of: Mention) -> BTreeSet<u32> {
        self.readers(of, &[]).1
    }

    /// The lines that depend on something, in their order.
    pub fn lines(&self, of: Mention, lines: &[Compiled]) -> BTreeSet<usize> {
        self.readers(of, lines).0
    }

    /// The lines and the rules that depend on something, by themselves, through rules, or through the names that
    /// these lines give.
    fn readers(&self, of: Mention, lines: &[Compiled]) -> (BTreeSet<usize>, BTreeSet<u32>) {
        let mut found = BTreeSet::new();
        let mut rules = BTreeSet::new();
        let mut open = vec![of];
        while let Some(mention) = open.pop() {
            for reader in self.0.get(&mention).into_iter().flatten() {
                match reader {
                    Reader::Rule(rule) if rules.insert(*rule) => open.push(Mention::Rule(*rule)),
                    Reader::Line(at) if found.insert(*at) => {
                        let gives = lines.get(*at).and_then(|line| line.act.gives());
                        open.extend(gives.map(Mention::Name));
                    }
                    _ => {}
                }
            }
        }
        (found, rules)
    }

    /// The names in force whose values depend on something.
    pub fn names<'n>(&self, of: Mention, lines: &[Compiled], names: &'n Names) -> Vec<&'n str> {
        let slots = self.lines(of, lines).into_iter().filter_map(|at| lines.get(at)?.act.gives());
        let name = |slot: u32| {
            let entry = names.globals.get(slot as usize)?;
            (names.slots.get(&entry.name) == Some(&slot)).then_some(&*entry.name)
        };
        slots.filter_map(name).collect()
    }
}
