//! A session as a recipe that runs.
//!
//! A recipe names a thing once, a session may name it anew, and `that` stands for the answer before. So
//! the lines are written in the order of entering, an older value that was still used is kept under
//! a numbered name, and `that` becomes a name.

use std::collections::{BTreeSet, HashMap};
use std::fmt::Write;
use std::ops::Range;
use std::rc::Rc;

use crate::fault::Span;
use crate::session::entry::Kept;
use crate::session::save_rules::{Meaning, Meanings};
use crate::syntax::said::of_kind;
use crate::syntax::tree::{Expr, ExprKind, LineKind, Name, Text, TextPart, WordsKind};

/// Where a line speaks of a name or of `that`.
pub(crate) enum Mention {
    Name(Rc<str>),
    Call(Rc<str>),
    That,
}

/// A name, and which of its values: the first is 0.
pub(crate) type Version = (Rc<str>, usize);

/// A line as it will be written.
struct Written {
    /// Which names it needs, as (name, version).
    needs: BTreeSet<Version>,
    /// The name it gives, as (name, version).
    gives: Option<Version>,
    /// Replacements in its text.
    edits: Vec<(Range<usize>, Version)>,
    /// Whether a later line speaks of its answer as `that`.
    answered: bool,
}

/// The name under which an unnamed answer is kept.
const ANSWER: &str = "answer";

/// Writes the lines as a recipe.
pub(crate) fn recipe(kept: &[Kept]) -> String {
    let mut versions: HashMap<Rc<str>, usize> = HashMap::new();
    let mut written: Vec<Written> = Vec::with_capacity(kept.len());
    let mut last_answer: Option<usize> = None;
    let mut rules = Meanings::default();
    for (at, line) in kept.iter().enumerate() {
        let mut one = Written { needs: BTreeSet::new(), gives: None, edits: Vec::new(), answered: false };
        let start = line.line.span.start as usize;
        for (range, mention) in mentions(&line.line.kind) {
            let target = match mention {
                Mention::Name(name) => versions.get(&name).map(|version| (name, *version)),
                Mention::Call(rule) => rules.now(&rule, kept, &versions),
                Mention::That => last_answer.and_then(|at| {
                    let answer = written.get_mut(at)?;
                    answer.answered |= answer.gives.is_none();
                    Some(answer.gives.clone().unwrap_or_else(|| (ANSWER.into(), at)))
                }),
            };
            if let Some(target) = target {
                rules.needs(&target, &mut one.needs);
                one.edits.push((range.start - start..range.end - start, target));
            }
        }
        match &line.line.kind {
            LineKind::Name(Name { name, .. }) => {
                let version =
                    versions.entry(name.name.clone()).and_modify(|version| *version += 1).or_insert(0);
                one.gives = Some((name.name.clone(), *version));
                last_answer = Some(at);
            }
            LineKind::Given(given) => {
                let version =
                    versions.entry(given.name.name.clone()).and_modify(|version| *version += 1).or_insert(0);
                one.gives = Some((given.name.name.clone(), *version));
                last_answer = Some(at);
            }
            LineKind::Work(_) | LineKind::Show(_) => last_answer = Some(at),
            LineKind::Measured(measured) => {
                let name = &measured.name.name;
                if let Some(version) = versions.get(name) {
                    last_answer = written.iter().rposition(|one| one.gives == Some((name.clone(), *version)));
                }
            }
            LineKind::Rule(rule) => rules.give(&rule.name.name, at),
            _ => {}
        }
        written.push(one);
    }
    let mut needed = BTreeSet::new();
    for name in rules.names() {
        if let Some(last) = rules.now(&name, kept, &versions) {
            rules.needs(&last, &mut needed);
            versions.insert(name, last.1);
        }
    }
    let names = Naming { last: versions };
    let wanted = wanted(kept, &written, &names, &mut needed);
    let made: Vec<&Meaning> = rules.made.iter().filter(|made| needed.contains(&made.version())).collect();
    lines(kept, &written, &names, &wanted, &made)
}

/// Which name each version is written under.
struct Naming {
    last: HashMap<Rc<str>, usize>,
}

impl Naming {
    fn name(&self, target: &Version) -> String {
        let (name, version) = target;
        match self.last.get(name) {
            Some(last) if last == version => name.to_string(),
            _ => {
                let mut numbered = format!("{name}_{}", version + 1);
                while self.last.contains_key(numbered.as_str()) {
                    numbered.push('_');
                }
                numbered
            }
        }
    }
}

/// Which lines are written: all but older values that nothing needs.
fn wanted(kept: &[Kept], written: &[Written], names: &Naming, needed: &mut BTreeSet<Version>) -> Vec<bool> {
    let mut titled = false;
    let mut last: BTreeSet<Rc<str>> = BTreeSet::new();
    let mut planned: BTreeSet<String> = BTreeSet::new();
    let mut wanted = vec![false; kept.len()];
    for ((line, one), wanted) in kept.iter().zip(written).zip(&mut wanted).rev() {
        if let Some((name, _)) = &one.gives {
            last.remove(name);
        }
        *wanted = match (&line.line.kind, &one.gives) {
            // Of several measurings of one thing the last one counts.
            (LineKind::Measured(measured), _) => last.insert(measured.name.name.clone()),
            // So does the last plan of a cloth.
            (LineKind::Plan(plan), _) => planned.insert(part(line, plan.cloth.span).to_owned()),
            (LineKind::Words(words), _) if words.what == WordsKind::Recipe => {
                !std::mem::replace(&mut titled, true)
            }
            (_, Some(given)) => needed.contains(given) || names.last.get(&given.0) == Some(&given.1),
            _ => true,
        };
        if *wanted {
            needed.extend(one.needs.iter().cloned());
        }
    }
    wanted
}

fn lines(kept: &[Kept], written: &[Written], names: &Naming, wanted: &[bool], rules: &[&Meaning]) -> String {
    let titled = kept
        .iter()
        .any(|kept| matches!(&kept.line.kind, LineKind::Words(words) if words.what == WordsKind::Recipe));
    let mut out = String::new();
    if !titled {
        out.push_str("recipe \"From the prompt\"\n\n");
    }
    for (at, ((line, one), wanted)) in kept.iter().zip(written).zip(wanted).enumerate() {
        if !wanted {
            continue;
        }
        let text = edited(line, one, names);
        match &line.line.kind {
            LineKind::Rule(_) => {
                for made in rules.iter().filter(|made| made.line == at) {
                    let _ = writeln!(out, "{}", replaced(&line.text, &made.edits, names));
                }
            }
            LineKind::Work(_) if one.answered => {
                let name = names.name(&(ANSWER.into(), at));
                let _ = writeln!(out, "{name} = {text}\nshow {name}");
            }
            LineKind::Show(_) if one.answered => {
                let name = names.name(&(ANSWER.into(), at));
                let value = text.strip_prefix("show").unwrap_or(&text).trim_start();
                let value = if value.starts_with('"') {
                    value.split_once(':').map_or(value, |(_, rest)| rest)
                } else {
                    value
                };
                let _ = writeln!(out, "{name} = {}\nshow {name}", value.trim());
            }
            LineKind::Work(_) => {
                let _ = writeln!(out, "show {text}");
            }
            _ => {
                let _ = writeln!(out, "{text}");
            }
        }
    }
    out
}

/// The line's text with the names of its time.
fn edited(line: &Kept, one: &Written, names: &Naming) -> String {
    let mut edits = one.edits.clone();
    if let Some(given) = &one.gives {
        let name = match &line.line.kind {
            LineKind::Name(Name { name, .. }) => name,
            LineKind::Given(given) => &given.name,
            _ => return line.text.to_string(),
        };
        let start = (name.span.start - line.line.span.start) as usize;
        edits.push((start..start + name.name.len(), given.clone()));
    }
    replaced(&line.text, &edits, names)
}

/// The part of a line's text that a span of its tree stands for.
fn part(line: &Kept, span: Span) -> &str {
    let from = line.line.span.start;
    let range = span.start.saturating_sub(from) as usize..span.end.saturating_sub(from) as usize;
    line.text.get(range).unwrap_or(&line.text)
}

/// A text with other names in these places.
fn replaced(text: &str, edits: &[(Range<usize>, Version)], names: &Naming) -> String {
    let mut edits: Vec<&(Range<usize>, Version)> = edits.iter().collect();
    edits.sort_by_key(|(range, _)| std::cmp::Reverse(range.start));
    let mut text = text.to_owned();
    for (range, target) in edits {
        if text.get(range.clone()).is_some() {
            text.replace_range(range.clone(), &names.name(target));
        }
    }
    text
}

/// All places of a line that speak of a name or call a rule; what a rule speaks of stands in its
/// meanings.
fn mentions(kind: &LineKind) -> Vec<(Range<usize>, Mention)> {
    let mut found = Vec::new();
    match kind {
        // A question is not kept; what a rule speaks of stands in its meanings.
        LineKind::Why(_) | LineKind::Rule(_) | LineKind::Sizes(_) => {}
        LineKind::Measured(measured) => {
            found.push((measured.name.span.range(), Mention::Name(measured.name.name.clone())));
            of_kind(kind, &mut |expr| expression(expr, &mut found));
        }
        kind => of_kind(kind, &mut |expr| expression(expr, &mut found)),
    }
    found
}

fn words(text: &Text, found: &mut Vec<(Range<usize>, Mention)>) {
    for part in &text.parts {
        if let TextPart::Filled(expr) = part {
            expression(expr, found);
        }
    }
}

pub(crate) fn expression(expr: &Expr, found: &mut Vec<(Range<usize>, Mention)>) {
    match &expr.kind {
        ExprKind::Name(name) => found.push((expr.span.range(), Mention::Name(name.clone()))),
        ExprKind::That => found.push((expr.span.range(), Mention::That)),
        ExprKind::Text(text) => words(text, found),
        kind => {
            if let ExprKind::Call(call) = kind {
                found.push((call.rule.span.range(), Mention::Call(call.rule.name.clone())));
            }
            expr.children(&mut |child| expression(child, found));
        }
    }
}
