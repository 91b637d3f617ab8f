//! A session as a recipe that runs.
//!
//! A recipe names a thing once, a session may name it again, and `that` stands for the answer before. So
//! the lines are written in the order of entering, an older value or rule that a later line still speaks of
//! is under a numbered name, and `that` becomes a name. What is around a line goes with it: comments,
//! documentation, blank rows.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::fmt::Write;
use std::rc::Rc;

use crate::code::{Mention, RuleEntry};
use crate::fault::{Files, Span};
use crate::recipe::build::Recipe;
use crate::recipe::lines::{Compiled, Save};
use crate::session::around::{Around, around, on_its_own};

/// Writes the lines of a session as a recipe.
pub(crate) fn recipe(recipe: &Recipe, files: &Files) -> String {
    let numbers = Numbers::of(recipe);
    let mut saver = Saver { recipe, files, answers: answers(&recipe.lines), needed: HashSet::new(), numbers };
    let wanted = saver.wanted();
    let mut out = String::new();
    // A file without a title may be one that others use: it stays without.
    let loaded = recipe.lines.iter().zip(&wanted).any(|(line, wanted)| line.loaded && *wanted);
    if recipe.place.title.is_none() && !loaded {
        out.push_str("recipe \"From the prompt\"\n\n");
    }
    // Comments above lines that are not written.
    let mut rest = String::new();
    let all = recipe.lines.iter().zip(around(&recipe.lines, files)).enumerate();
    for (at, (line, around)) in all {
        if line.foreign {
            // Its documentation speaks of the rule as the file gives it.
            let none = Span { end: line.span.start, ..line.span };
            let around = Around { above: none, documentation: none, ..around };
            line.act.rule().into_iter().for_each(|written| saver.rule(written, line, &around, &mut out));
            continue;
        }
        let old = at < recipe.place.begun.0;
        let apart = if old { "" } else { files.text(around.apart) };
        if wanted.get(at) == Some(&true) && saver.has_meaning(line) {
            let apart = if rest.is_empty() { apart } else { apart.trim_start_matches(['\r', '\n']) };
            out.push_str(&std::mem::take(&mut rest));
            out.push_str(apart);
            saver.write(at, line, &around, &mut out);
        } else {
            rest.push_str(&on_its_own(apart));
        }
        if let Some(below) = around.below.filter(|_| !old) {
            out.push_str(&std::mem::take(&mut rest));
            out.push_str(files.text(below));
            if !out.ends_with('\n') {
                out.push('\n');
            }
        }
    }
    out.push_str(&rest);
    out
}

/// What a line needs, or gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Need {
    Name(u32),
    Rule(u32),
    /// The answer of a line.
    Answer(usize),
}

struct Saver<'a> {
    recipe: &'a Recipe,
    files: &'a Files,
    /// For each line the line whose answer is `that` in it.
    answers: Vec<Option<usize>>,
    needed: HashSet<Need>,
    numbers: Numbers,
}

/// For each line the last one above it that gave an answer.
fn answers(lines: &[Compiled]) -> Vec<Option<usize>> {
    let mut last = None;
    let each = lines.iter().enumerate().map(|(at, line)| {
        let before = last;
        if line.act.answers() && !line.foreign {
            last = Some(at);
        }
        before
    });
    each.collect()
}

impl<'a> Saver<'a> {
    /// Which lines are written: all but older values that nothing needs, and what belongs to a recipe that
    /// another has taken the place of.
    fn wanted(&mut self) -> Vec<bool> {
        let names = &self.recipe.names;
        let own = names.own_rules.values();
        let own = own.filter(|id| names.rules.get(**id as usize).is_some_and(|entry| !entry.foreign));
        own.for_each(|rule| self.need(Need::Rule(*rule)));
        let mut last: HashSet<Rc<str>> = HashSet::new();
        let lines = self.recipe.lines.as_slice();
        let mut wanted = vec![false; lines.len()];
        for ((at, line), wanted) in lines.iter().enumerate().zip(&mut wanted).rev() {
            let old = at < self.recipe.place.begun.0;
            let answered = self.needed.contains(&Need::Answer(at));
            // A value in force, or an older one that a later line speaks of.
            let speaks = |slot: u32| {
                let entry = names.globals.get(slot as usize);
                let now = entry.and_then(|entry| names.slots.get(&entry.name));
                now == Some(&slot) || self.needed.contains(&Need::Name(slot))
            };
            let stands = match line.act.save() {
                _ if line.foreign => false,
                Save::Line => !old,
                Save::Last(key) => last.insert(key) && line.act.measures().map_or(!old, speaks),
                Save::Answer => answered || !old,
                Save::Use => lines.iter().take(at).all(|other| !self.same_use(other, line)),
                // A question in a file is one of its lines.
                Save::Never => answered || line.loaded && line.act.only_asks() && !old,
                Save::Always => line.act.gives().is_none_or(speaks),
            };
            *wanted = stands;
            if stands && (line.loaded || line.act.save() != Save::Never) {
                line.mentions.iter().for_each(|(_, mention)| {
                    let need = self.meant(*mention, at);
                    need.into_iter().for_each(|need| self.need(need));
                });
            }
        }
        wanted
    }

    /// Whether both use one file.
    fn same_use(&self, other: &Compiled, line: &Compiled) -> bool {
        let path = |line: &Compiled| self.files.text(line.span);
        !other.foreign && other.act.save() == Save::Use && path(other) == path(line)
    }

    /// What a mention in a line means.
    fn meant(&self, mention: Mention, at: usize) -> Option<Need> {
        Some(match mention {
            Mention::Name(slot) => Need::Name(slot),
            Mention::Rule(rule) => Need::Rule(rule),
            Mention::Total => return None,
            Mention::That => {
                let at = self.answers.get(at).copied().flatten()?;
                let act = &self.recipe.lines.get(at)?.act;
                act.gives().or(act.measures()).map_or(Need::Answer(at), Need::Name)
            }
        })
    }

    /// Something is needed, and so is all that its rule speaks of.
    fn need(&mut self, need: Need) {
        let mut open = vec![need];
        while let Some(need) = open.pop() {
            if !self.needed.insert(need) {
                continue;
            }
            if let Need::Rule(rule) = need {
                let entry = self.recipe.names.rules.get(rule as usize);
                let mentions = entry.into_iter().flat_map(|entry| &entry.mentions);
                open.extend(mentions.filter_map(|(_, mention)| self.meant(*mention, 0)));
            }
        }
    }

    /// Writes a line, and what is around it.
    fn write(&self, at: usize, line: &Compiled, around: &Around, out: &mut String) {
        if let Some(written) = line.act.rule() {
            return self.rule(written, line, around, out);
        }
        out.push_str(&self.above(around.above, line, None));
        let text = self.line(at, line);
        let named = self.needed.contains(&Need::Answer(at)).then(|| answer(at));
        let (indent, after) = self.beside(line, around);
        out.push_str(indent);
        let _ = match (line.act.save(), named) {
            (Save::Use, _) if !line.loaded => write!(out, "use {text}"),
            // A name cannot hold the total of the recipe: its value of that time is written.
            (Save::Answer, Some(name)) if line.last => {
                let shown = if text.starts_with("show") { "" } else { "show " };
                write!(out, "{shown}{text}\n{name} = {}", self.value_of(at))
            }
            (Save::Answer, Some(name)) => {
                let value =
                    text.strip_prefix("show").map_or(text.as_str(), |shown| match shown.trim_start() {
                        labelled if labelled.starts_with('"') => {
                            labelled.split_once(':').map_or("", |(_, value)| value)
                        }
                        shown => shown,
                    });
                write!(out, "{name} = {}\nshow {name}", value.trim())
            }
            (Save::Answer, None) if !text.starts_with("show") => write!(out, "show {text}"),
            (Save::Never, Some(name)) => {
                let question = if line.loaded { format!("{text}\n") } else { String::new() };
                write!(out, "{question}{name} = {}", self.value_of(at))
            }
            _ if !line.loaded && line.act.has_rows() && text.starts_with('"') => write!(out, "  {text}"),
            _ => write!(out, "{text}"),
        };
        let _ = writeln!(out, "{after}");
    }

    /// What is in the row of a line before it and after it; an entry is written without its blanks.
    fn beside(&self, line: &Compiled, around: &Around) -> (&'a str, &'a str) {
        let after = self.files.text(around.after);
        if line.loaded { (self.files.text(around.indent), after) } else { ("", after.trim_end()) }
    }

    /// Rows above a line. Where the line is a rule of several meanings, examples speak of `rule`.
    fn above(&self, rows: Span, line: &Compiled, rule: Option<u32>) -> String {
        let written = |rule: u32| self.recipe.names.rules.get(rule as usize).map(|entry| entry.written);
        let own = |mention: Mention| match (mention, rule) {
            (Mention::Rule(of), Some(rule)) if written(of) == written(rule) => Mention::Rule(rule),
            (mention, _) => mention,
        };
        let edits = line.examples.iter().filter_map(|(place, mention)| {
            let need = self.meant(own(*mention), 0).filter(|need| self.needed.contains(need))?;
            Some((*place, self.name(need)?))
        });
        self.edited(rows, edits.collect())
    }

    /// The meanings of a rule that are needed, but for that which a used file gives it.
    fn meanings(&self, written: u32) -> impl Iterator<Item = (u32, &'a RuleEntry)> {
        let rules = (0u32..).zip(&self.recipe.names.rules).skip(written as usize);
        let ours = move |id: u32, entry: &RuleEntry| entry.written == written && !entry.is_in_used_file(id);
        rules.filter(move |(id, entry)| ours(*id, entry) && self.needed.contains(&Need::Rule(*id)))
    }

    /// Whether it is no rule that is forgotten.
    fn has_meaning(&self, line: &Compiled) -> bool {
        line.act.rule().is_none_or(|written| self.meanings(written).next().is_some())
    }

    /// The value that a line answered with, exactly.
    fn value_of(&self, at: usize) -> String {
        let value = self.recipe.noted.iter().rfind(|noted| noted.by == at && noted.slot.is_none());
        value.map(|noted| noted.value.exact_text()).unwrap_or_default()
    }

    /// Each meaning of a rule that is needed, in the place of its line.
    fn rule(&self, written: u32, line: &Compiled, around: &Around, out: &mut String) {
        // Its documentation goes with each, the comments with the first.
        let mut above = around.above;
        for (id, entry) in self.meanings(written) {
            out.push_str(&self.above(std::mem::replace(&mut above, around.documentation), line, Some(id)));
            let own = (entry.tree.name.span, Mention::Rule(id));
            let edits = entry.mentions.iter().copied().chain([own]);
            let edits =
                edits.filter_map(|(place, mention)| Some((place, self.name(self.meant(mention, 0)?)?)));
            let text = self.edited(line.span, edits.collect());
            let (indent, after) = self.beside(line, around);
            let _ = writeln!(out, "{indent}{text}{after}");
        }
    }

    /// The text of a line with the names of its time.
    fn line(&self, at: usize, line: &Compiled) -> String {
        let named = line.act.gives();
        let named = named
            .and_then(|slot| Some((self.recipe.names.globals.get(slot as usize)?.span, Need::Name(slot))));
        let mentions = line.mentions.iter();
        let mentions = mentions.filter_map(|(place, mention)| Some((*place, self.meant(*mention, at)?)));
        let edits = mentions.chain(named).filter_map(|(place, need)| Some((place, self.name(need)?)));
        self.edited(line.span, edits.collect())
    }

    /// What something is called in the recipe.
    fn name(&self, need: Need) -> Option<String> {
        match need {
            Need::Name(slot) => self.numbers.names.get(&slot).cloned(),
            Need::Rule(rule) => self.numbers.rules.get(&rule).cloned(),
            Need::Answer(at) => Some(answer(at)),
        }
    }

    /// A text with names put in their places.
    fn edited(&self, span: Span, mut edits: Vec<(Span, String)>) -> String {
        edits.retain(|(place, _)| {
            place.file == span.file && place.start >= span.start && place.end <= span.end
        });
        edits.sort_by_key(|(place, _)| std::cmp::Reverse(place.start));
        edits.dedup();
        let mut text = self.files.text(span).to_owned();
        for (place, name) in edits {
            let range = place.start.saturating_sub(span.start) as usize
                ..place.end.saturating_sub(span.start) as usize;
            if text.get(range.clone()).is_some() {
                text.replace_range(range, &name);
            }
        }
        text
    }
}

/// The name under which the answer of a line is kept.
fn answer(at: usize) -> String {
    format!("answer_{}", at.saturating_add(1))
}

/// Names for older values and rules.
struct Numbers {
    names: HashMap<u32, String>,
    rules: HashMap<u32, String>,
}

impl Numbers {
    /// The value or rule of a name that is in force keeps it, unless a used file gives the name too.
    fn of(recipe: &Recipe) -> Numbers {
        let names = &recipe.names;
        let slots = names.globals.iter().map(|entry| (&entry.name, entry.foreign));
        let rules = (0u32..).zip(&names.rules);
        let rules = rules.map(|(id, entry)| (&entry.tree.name.name, entry.is_in_used_file(id)));
        let own = |id: u32| names.rules.get(id as usize).is_some_and(|entry| !entry.library);
        let taken: HashSet<&str> = names.globals.iter().map(|entry| &*entry.name).collect();
        Numbers {
            names: numbered(slots, &names.slots, &taken, |_| true),
            rules: numbered(rules, &names.own_rules, &taken, own),
        }
    }
}

fn numbered<'a>(
    all: impl Iterator<Item = (&'a Rc<str>, bool)> + Clone,
    now: &BTreeMap<Rc<str>, u32>,
    taken: &HashSet<&str>,
    counts: impl Fn(u32) -> bool,
) -> HashMap<u32, String> {
    let ids = || (0u32..).zip(all.clone()).filter(|(id, _)| counts(*id));
    let foreign: HashSet<&Rc<str>> =
        ids().filter(|(_, (_, foreign))| *foreign).map(|(_, (name, _))| name).collect();
    let last: HashMap<&Rc<str>, u32> = ids().map(|(id, (name, _))| (name, id)).collect();
    let mut versions: HashMap<&Rc<str>, usize> = HashMap::new();
    let mut named = HashMap::new();
    for (id, (name, is_foreign)) in ids() {
        let version = versions.entry(name).or_default();
        *version = version.saturating_add(1);
        // A file that is used again gives the same again.
        let plain = match foreign.contains(name) {
            true => is_foreign,
            false => now.get(name).or_else(|| last.get(name)) == Some(&id),
        };
        let mut text = name.to_string();
        if !plain {
            text = format!("{name}_{version}");
            while taken.contains(text.as_str()) {
                text.push('_');
            }
        }
        named.insert(id, text);
    }
    named
}
