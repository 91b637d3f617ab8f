//! The rules of a session, for saving it: a rule given anew, or one that reads a name given anew, is
//! written once for each meaning that a line relied on.

use std::collections::{BTreeSet, HashMap};
use std::ops::Range;
use std::rc::Rc;

use crate::session::entry::Kept;
use crate::session::save::{Mention, Version, expression};
use crate::syntax::tree::{Expr, ExprKind, LineKind, Rule};

/// Stands for the version of the rule itself until that is known.
const OWN: usize = usize::MAX;

/// A rule as it was understood when a line called it.
pub(crate) struct Meaning {
    name: Rc<str>,
    /// The kept line that gives it.
    pub line: usize,
    version: usize,
    /// Replacements in that line's text.
    pub edits: Vec<(Range<usize>, Version)>,
}

impl Meaning {
    /// The rule's name and which of its meanings this is.
    pub fn version(&self) -> Version {
        (self.name.clone(), self.version)
    }
}

/// All meanings of all rules so far.
#[derive(Default)]
pub(crate) struct Meanings {
    given: HashMap<Rc<str>, usize>,
    /// In the order in which they were first relied on.
    pub made: Vec<Meaning>,
}

impl Meanings {
    /// From here on the rule is the one of this line.
    pub fn give(&mut self, name: &Rc<str>, line: usize) {
        self.given.insert(name.clone(), line);
    }

    /// The names of all rules.
    pub fn names(&self) -> Vec<Rc<str>> {
        self.given.keys().cloned().collect()
    }

    /// What a call of this rule means now.
    pub fn now(
        &mut self,
        name: &Rc<str>,
        kept: &[Kept],
        values: &HashMap<Rc<str>, usize>,
    ) -> Option<Version> {
        self.open(name, kept, values, &mut Vec::new())
    }

    fn open(
        &mut self,
        name: &Rc<str>,
        kept: &[Kept],
        values: &HashMap<Rc<str>, usize>,
        open: &mut Vec<Rc<str>>,
    ) -> Option<Version> {
        let line = *self.given.get(name)?;
        let kept_line = kept.get(line)?;
        let LineKind::Rule(rule) = &kept_line.line.kind else { return None };
        if open.contains(name) {
            // Rules that call each other in a ring keep their plain names.
            return None;
        }
        open.push(name.clone());
        let start = kept_line.line.span.start as usize;
        let own = rule.name.span.range();
        let mut edits = vec![(own.start - start..own.end - start, (name.clone(), OWN))];
        for (range, mention) in mentions(rule) {
            let target = match mention {
                Mention::Name(value) => values.get(&value).map(|version| (value, *version)),
                Mention::Call(other) if other == *name => Some((other, OWN)),
                Mention::Call(other) => self.open(&other, kept, values, open),
                Mention::That => None,
            };
            edits.extend(target.map(|target| (range.start - start..range.end - start, target)));
        }
        open.pop();
        let known =
            self.made.iter().find(|made| made.line == line && same(&made.edits, &edits, made.version));
        if let Some(known) = known {
            return Some(known.version());
        }
        let version = self.made.iter().filter(|made| made.name == *name).count();
        for (_, target) in &mut edits {
            if target.1 == OWN {
                target.1 = version;
            }
        }
        self.made.push(Meaning { name: name.clone(), line, version, edits });
        Some((name.clone(), version))
    }

    /// Everything that a meaning hangs on, through the rules that it calls.
    pub fn needs(&self, version: &Version, needs: &mut BTreeSet<Version>) {
        if !needs.insert(version.clone()) {
            return;
        }
        let Some(made) = self.made.iter().find(|made| made.name == version.0 && made.version == version.1)
        else {
            return;
        };
        for (_, target) in &made.edits {
            self.needs(target, needs);
        }
    }
}

/// Whether two lists of replacements are the same, the rule's own name apart.
fn same(known: &[(Range<usize>, Version)], new: &[(Range<usize>, Version)], own: usize) -> bool {
    let settled = new
        .iter()
        .map(|(range, (name, version))| (range, name, if *version == OWN { own } else { *version }));
    known.len() == new.len()
        && known.iter().zip(settled).all(|((range, target), new)| (range, &target.0, target.1) == new)
}

/// What a rule's heading and formula speak of, its own names left out.
fn mentions(rule: &Rule) -> Vec<(Range<usize>, Mention)> {
    let mut locals: BTreeSet<Rc<str>> = rule.params.iter().map(|param| param.name.name.clone()).collect();
    let mut found = Vec::new();
    let defaults = rule.params.iter().filter_map(|param| param.default.as_ref());
    for expr in defaults.chain([&rule.body]) {
        own_names(expr, &mut locals);
        expression(expr, &mut found);
    }
    found.retain(|(_, mention)| !matches!(mention, Mention::Name(name) if locals.contains(name)));
    found
}

/// Names that loops and blocks give.
fn own_names(expr: &Expr, locals: &mut BTreeSet<Rc<str>>) {
    match &expr.kind {
        ExprKind::Each(each) => {
            locals.insert(each.name.name.clone());
        }
        ExprKind::Block(block) => locals.extend(block.names.iter().map(|(name, _)| name.name.clone())),
        _ => {}
    }
    expr.children(&mut |child| own_names(child, locals));
}
