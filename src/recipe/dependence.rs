//! Which lines depend on a name or on a rule, by themselves or through others.

use std::collections::{BTreeSet, HashMap};

use crate::code::names::Names;
use crate::code::scope::Mention;
use crate::fault::Span;
use crate::recipe::lines::Compiled;

/// Who speaks of a name or a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Reader {
    Line(usize),
    Rule(u32),
}

/// The readers of each name and rule, in the order of compiling.
#[derive(Debug, Default)]
pub(crate) struct Dependence(HashMap<Mention, Vec<Reader>>);

impl Dependence {
    /// Takes in what a line speaks of.
    pub fn line(&mut self, at: usize, mentions: &[(Span, Mention)]) {
        self.add(Reader::Line(at), mentions);
    }

    /// Takes in what a rule speaks of.
    pub fn rule(&mut self, rule: u32, mentions: &[(Span, Mention)]) {
        self.add(Reader::Rule(rule), mentions);
    }

    /// Takes the last line back.
    pub fn without_line(&mut self, at: usize, mentions: &[(Span, Mention)]) {
        self.remove(Reader::Line(at), mentions);
    }

    /// Takes the last rule back.
    pub fn without_rule(&mut self, rule: u32, mentions: &[(Span, Mention)]) {
        self.remove(Reader::Rule(rule), mentions);
    }

    fn add(&mut self, reader: Reader, mentions: &[(Span, Mention)]) {
        for (_, mention) in
            mentions.iter().filter(|(_, mention)| !matches!(mention, Mention::That | Mention::Total))
        {
            let readers = self.0.entry(*mention).or_default();
            if readers.last() != Some(&reader) {
                readers.push(reader);
            }
        }
    }

    fn remove(&mut self, reader: Reader, mentions: &[(Span, Mention)]) {
        for (_, mention) in mentions {
            if let Some(readers) = self.0.get_mut(mention) {
                readers.pop_if(|last| *last == reader);
            }
        }
    }

    /// The rules that speak of something, by themselves or through other rules.
    pub fn rules(&self, of: Mention) -> BTreeSet<u32> {
        let mut found = BTreeSet::new();
        let mut open = vec![of];
        while let Some(mention) = open.pop() {
            for reader in self.0.get(&mention).into_iter().flatten() {
                if let Reader::Rule(rule) = reader
                    && found.insert(*rule)
                {
                    open.push(Mention::Rule(*rule));
                }
            }
        }
        found
    }

    /// The lines that depend on something, in their order.
    pub fn lines(&self, of: Mention, lines: &[Compiled]) -> BTreeSet<usize> {
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
        found
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
