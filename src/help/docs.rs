//! What the library's text says of its areas and rules.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

use crate::library::{self, Entry};

/// Number of areas; an area is named by its place in the library.
pub fn areas() -> std::ops::Range<usize> {
    0..library::FILES.len()
}

/// The area with this name.
pub fn area_named(name: &str) -> Option<usize> {
    areas().find(|area| area_name(*area) == name)
}

/// The rules of an area, in their order.
pub fn rules_of(file: usize) -> impl Iterator<Item = (&'static str, &'static Entry)> {
    let mut rules: Vec<_> = library::index().iter().filter(|(_, entry)| entry.file == file).collect();
    rules.sort_by_key(|(_, entry)| entry.start);
    rules.into_iter().map(|(name, entry)| (*name, entry))
}

/// The name of an area.
pub fn area_name(file: usize) -> &'static str {
    library::FILES.get(file).map_or("", |(name, _)| name.strip_suffix(".scant").unwrap_or(name))
}

/// What an area says of itself.
pub fn foreword(file: usize) -> String {
    let text = library::FILES.get(file).map_or("", |(_, text)| text);
    let rows = text.lines().take_while(|row| row.starts_with("##"));
    rows.map(|row| row.trim_start_matches('#').trim()).collect::<Vec<_>>().join(" ")
}

fn doc_rows(entry: &Entry) -> impl Iterator<Item = &'static str> {
    entry.doc_text().lines().map(|row| row.trim_start().trim_start_matches('#').trim())
}

/// What the library says of a rule.
#[derive(Debug)]
pub struct RuleDoc {
    /// Its name, arguments and kind, on one row.
    pub heading: String,
    /// Its words.
    pub words: String,
    /// The first sentence of them, without its full stop.
    pub first: String,
    /// The rows of its formula.
    pub formula: Vec<&'static str>,
    /// Its examples, each with the answer.
    pub examples: Vec<&'static str>,
    /// Where it comes from.
    pub sources: Vec<&'static str>,
    /// The other rules of its area, in order.
    pub beside: Vec<&'static str>,
    /// The rules that its formula calls and its words name, and those that call or name it, in alphabetical order.
    pub with: Vec<&'static str>,
}

/// The rules that a formula calls.
fn calls(entry: &Entry) -> impl Iterator<Item = &'static str> {
    let (_, body) = split(entry.text());
    let words = body.split_inclusive('(').filter_map(|part| part.strip_suffix('('));
    let names =
        words.map(|part| part.rsplit(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or(""));
    names.filter_map(|name| library::index().get_key_value(name)).map(|(name, _)| *name)
}

/// The rules that the words of a rule name; its own arguments may have the names of rules.
fn names(entry: &Entry) -> impl Iterator<Item = &'static str> {
    let (heading, _) = split(entry.text());
    let own = |word: &str| heading.contains(&format!("{word}:"));
    let words = doc_rows(entry).flat_map(|row| row.split('`').skip(1).step_by(2));
    let names = words.filter(move |word| !own(word));
    names.filter_map(|name| library::index().get_key_value(name)).map(|(name, _)| *name)
}

/// Which rules call or name which, both ways.
fn together() -> &'static BTreeMap<&'static str, BTreeSet<&'static str>> {
    static TOGETHER: OnceLock<BTreeMap<&'static str, BTreeSet<&'static str>>> = OnceLock::new();
    TOGETHER.get_or_init(|| {
        let mut all: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
        for (name, entry) in library::index() {
            for other in calls(entry).chain(names(entry)).filter(|other| other != name) {
                all.entry(name).or_default().insert(other);
                all.entry(other).or_default().insert(name);
            }
        }
        all
    })
}

/// What the library says of one of its rules.
pub fn rule_doc(name: &str, entry: &Entry) -> RuleDoc {
    let mut words = Vec::new();
    let (mut examples, mut sources) = (Vec::new(), Vec::new());
    for row in doc_rows(entry) {
        match (row.strip_prefix("try "), row.strip_prefix("source ")) {
            (Some(example), _) => examples.push(example),
            (_, Some(source)) => sources.push(source),
            _ => words.push(row),
        }
    }
    let words = words.join(" ");
    let first = words.split_once(". ").map_or(words.as_str(), |(first, _)| first);
    let first = first.trim_end_matches('.').to_owned();
    let heading = heading(name, entry.text());
    let beside: Vec<&str> =
        rules_of(entry.file).map(|(other, _)| other).filter(|other| *other != name).collect();
    let with = together().get(name).map_or(Vec::new(), |with| with.iter().copied().collect());
    let formula = formula(entry.text()).collect();
    RuleDoc { heading, words, first, formula, examples, sources, beside, with }
}

/// The rule's heading on one row: everything before the `=` of its formula.
fn heading(name: &str, text: &str) -> String {
    let (head, _) = split(text);
    let head = head.strip_prefix("rule ").unwrap_or(head);
    let joined = head.split_whitespace().collect::<Vec<_>>().join(" ");
    if joined.is_empty() { name.to_owned() } else { joined.replace("( ", "(").replace(" )", ")") }
}

fn formula(text: &'static str) -> impl Iterator<Item = &'static str> {
    let (_, body) = split(text);
    body.trim().lines().map(str::trim_end)
}

/// Heading and formula, split at the `=` outside the heading's brackets.
fn split(text: &str) -> (&str, &str) {
    let mut depth = 0usize;
    let mut quoted = false;
    for (at, byte) in text.bytes().enumerate() {
        match byte {
            b'"' => quoted = !quoted,
            _ if quoted => {}
            b'(' | b'[' | b'{' => depth += 1,
            b')' | b']' | b'}' => depth = depth.saturating_sub(1),
            b'=' if depth == 0 => {
                return (text.get(..at).unwrap_or(text).trim(), text.get(at + 1..).unwrap_or(""));
            }
            _ => {}
        }
    }
    (text.trim(), "")
}
