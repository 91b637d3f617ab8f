//! Help for a terminal: rows as wide as it is, of at most 80 columns.

use std::fmt::Write;

use super::screen::Screen;
use super::wrap::{width, wrap};
use crate::check::library_signature;
use crate::fault::closest;
use crate::help;
use crate::help::docs::{area_name, area_named, areas, foreword, rule_doc, rules_of};
use crate::help::search::{Found, meant_by, rules_about, search};
use crate::help::topics::{Topic, groups};
use crate::library::{self, Entry};
use crate::value::{KINDS, builtin};

/// The widest row.
const COLUMNS: usize = 78;

/// Words beside a lead have at least so many columns.
const LEAST_BESIDE: usize = 16;

/// The columns of rows on a screen.
fn columns_of(screen: Screen) -> usize {
    screen.prose().min(COLUMNS)
}

/// What is known of a name; `None` where nothing is. A rule, an area and a word may share a name.
pub fn about(name: &str, screen: Screen) -> Option<String> {
    let columns = columns_of(screen);
    let mut parts = Vec::new();
    if let Some(entry) = library::index().get(name) {
        parts.push(rule(name, entry, columns));
    }
    parts.extend(builtin::find(name).map(|about| builtin(about, columns)));
    let topics = groups().iter().flat_map(|group| &group.topics);
    parts.extend(topics.filter(|topic| topic.names.contains(&name)).map(|one| topic(one, columns)));
    if let Some(file) = area_named(name) {
        parts.push(if parts.is_empty() {
            area(file, columns)
        } else {
            format!("the area\n\n{}", area(file, columns))
        });
    }
    if parts.is_empty() { None } else { Some(parts.join("\n")) }
}

/// What is known of a name, or what is found by words; where nothing is, names that may be meant.
pub fn told(words: &str, screen: Screen) -> Result<String, Vec<String>> {
    let close = closest(words, help::names());
    match about(words, screen) {
        Some(text) => Ok(text),
        // One word that is spelled nearly like a name is no question, unless the library knows the word: `hexagons`.
        None if close.is_some()
            && !words.contains(' ')
            && (words.contains('_') || search(words, 1).is_empty()) =>
        {
            let rules = rules_about(words);
            let rules: Vec<&str> = rules.into_iter().filter(|rule| Some(*rule) != close).collect();
            let mut hints: Vec<String> = close.iter().map(|name| format!("did you mean `{name}`?")).collect();
            hints.extend((!rules.is_empty()).then(|| meant_by(&rules)));
            Err(hints)
        }
        None => found(&words.replace('_', " "), screen).ok_or_else(Vec::new),
    }
}

/// What these words are about, the likeliest first; `None` where nothing is.
pub fn found(words: &str, screen: Screen) -> Option<String> {
    let columns = columns_of(screen);
    let found = search(words, 8);
    let mut out = String::new();
    for one in &found {
        let (heading, words) = match one {
            Found::Rule(name, entry) => {
                let doc = rule_doc(name, entry);
                (doc.heading, format!("{} (in {})", doc.first, area_name(entry.file)))
            }
            Found::Topic(topic) => {
                let name = topic.names.first().copied().unwrap_or("");
                (
                    topic.forms.first().copied().unwrap_or("").into(),
                    format!("{} (`help {name}`)", first_words(topic)),
                )
            }
            Found::Builtin(about) => (about.heading.into(), about.words.into()),
        };
        heading_rows(&heading, 8, columns, &mut out);
        rows(&words, 4, columns, &mut out);
    }
    let _ = writeln!(out, "\n`help NAME` shows more about one");
    (!found.is_empty()).then_some(out)
}

/// The areas of the library, a line each, and what else help knows.
pub fn overview(screen: Screen) -> String {
    let columns = columns_of(screen);
    let mut out = String::from("areas of the library\n\n");
    for file in areas() {
        let foreword = foreword(file);
        let first = foreword.split_once(". ").map_or(foreword.as_str(), |(first, _)| first);
        // A foreword that begins with the area's own name says it once.
        let said = first.split_once(": ").filter(|(name, _)| name.eq_ignore_ascii_case(area_name(file)));
        let first = said.map_or(first, |(_, rest)| rest);
        let mut letters = first.trim_end_matches('.').chars();
        let begins = letters.next().map(|letter| letter.to_lowercase().to_string()).unwrap_or_default();
        let lines = wrap(&format!("{begins}{}", letters.as_str()), columns.saturating_sub(12));
        for (at, line) in lines.iter().enumerate() {
            let _ = writeln!(out, "{:11} {line}", if at == 0 { area_name(file) } else { "" });
        }
    }
    out.push('\n');
    // Broken here where both rows fit.
    for words in [
        "`help AREA` lists the rules of an area, `help RULE` shows one rule,",
        "`help \"words like these\"` finds one, `help library` lists all",
    ] {
        rows(words, 0, columns, &mut out);
    }
    out
}

/// The areas of the library with their rules, and all built-ins, kinds, words and commands.
pub fn all_names(screen: Screen) -> String {
    let columns = columns_of(screen);
    let mut out = String::new();
    rows("areas of the library; `help AREA` shows one, `help RULE` shows a rule", 0, columns, &mut out);
    out.push('\n');
    let mut group = |title: &str, names: Vec<&str>| {
        let _ = writeln!(out, "{title}");
        rows(&names.join(", "), 2, columns, &mut out);
    };
    for file in areas() {
        group(area_name(file), rules_of(file).map(|(name, _)| name).collect());
    }
    group("built in", builtin::names().collect());
    group("kinds of value", KINDS.iter().map(|(name, _)| *name).collect());
    for topics in groups() {
        group(topics.title, topics.topics.iter().filter_map(|topic| topic.names.first().copied()).collect());
    }
    out
}

fn builtin(about: &builtin::About, columns: usize) -> String {
    let mut out = String::new();
    rows(about.heading, 0, columns, &mut out);
    out.push('\n');
    rows(about.words, 0, columns, &mut out);
    let (example, answer) = about.example;
    out.push_str("\nexample\n");
    let row = format!("  {example}   is {answer}");
    let _ = writeln!(out, "{}\n\nbuilt in", listed(&row, columns));
    out
}

/// The first sentence of a topic.
fn first_words(topic: &Topic) -> &'static str {
    let words = topic.words.split("\n\n").next().unwrap_or("");
    words.split_once(". ").map_or(words, |(first, _)| first).trim_end_matches('.')
}

fn topic(topic: &Topic, columns: usize) -> String {
    let forms: Vec<String> = topic.forms.iter().map(|form| listed(form, columns)).collect();
    let mut out = forms.join("\n");
    for paragraph in topic.words.split("\n\n") {
        out.push_str("\n\n");
        if paragraph.starts_with("  ") {
            let rows = paragraph.trim_end().lines().map(|row| listed(row, columns));
            out.push_str(&rows.collect::<Vec<_>>().join("\n"));
        } else {
            out.push_str(&wrap(paragraph, columns).join("\n"));
        }
    }
    out.push('\n');
    out
}

/// A row of a list: its words go on below where they begin, after two spaces or more.
fn listed(row: &str, columns: usize) -> String {
    if width(row) <= columns {
        return row.to_owned();
    }
    let words = row.trim_start().split_once("  ").map_or("", |(_, words)| words.trim_start());
    let lead = row.strip_suffix(words).filter(|lead| !words.is_empty() && lead.is_ascii());
    let Some(lead) = lead else {
        let mut out = String::new();
        code_row(row, 0, 4, columns, &mut out);
        return out.trim_end().to_owned();
    };
    // Beside a long lead on a narrow screen there is no room: the words are below.
    let is_beside = lead.len().saturating_add(LEAST_BESIDE) <= columns;
    let indent = if is_beside { lead.len() } else { 6 };
    let rows = wrap(words, columns.saturating_sub(indent)).join(&format!("\n{}", " ".repeat(indent)));
    if is_beside {
        return format!("{lead}{rows}");
    }
    let mut out = String::new();
    code_row(lead.trim_end(), 0, 4, columns, &mut out);
    format!("{out}{}{rows}", " ".repeat(indent))
}

fn area(file: usize, columns: usize) -> String {
    let mut out = format!("{}\n\n", area_name(file));
    rows(&foreword(file), 0, columns, &mut out);
    out.push('\n');
    for (name, entry) in rules_of(file) {
        let doc = rule_doc(name, entry);
        heading_rows(&doc.heading, 8, columns, &mut out);
        rows(&doc.first, 4, columns, &mut out);
    }
    out
}

fn rule(name: &str, entry: &Entry, columns: usize) -> String {
    let mut out = String::new();
    let doc = rule_doc(name, entry);
    heading_rows(&doc.heading, 4, columns, &mut out);
    out.push('\n');
    rows(&doc.words, 0, columns, &mut out);
    let _ = writeln!(out, "\nformula");
    doc.formula.iter().for_each(|row| code_row(row, 2, 4, columns, &mut out));
    if let Some(worked_out) = library_signature(name) {
        out.push('\n');
        for row in worked_out.trim_end().lines() {
            let indent = row.len().saturating_sub(row.trim_start().len());
            rows(row, indent, columns, &mut out);
        }
    }
    let _ = writeln!(out, "\nexample{}", if doc.examples.len() == 1 { "" } else { "s" });
    doc.examples.iter().for_each(|row| code_row(row, 2, 4, columns, &mut out));
    let _ = writeln!(out, "\nsource");
    doc.sources.iter().for_each(|source| rows(source, 2, columns, &mut out));
    let mut names = |title: &str, names: &[&str]| {
        if !names.is_empty() {
            let _ = writeln!(out, "\n{title}");
            rows(&names.join(", "), 2, columns, &mut out);
        }
    };
    names("related", &doc.with);
    names(&format!("same area: {}", area_name(entry.file)), &doc.beside);
    out
}

/// A row of the library's own text; one too long for a terminal goes on below, further in.
fn code_row(row: &str, indent: usize, further: usize, columns: usize, out: &mut String) {
    let first = row.len().saturating_sub(row.trim_start().len()).saturating_add(indent);
    let next = first.saturating_add(further);
    for (at, line) in wrap(row, columns.saturating_sub(next)).iter().enumerate() {
        let _ = writeln!(out, "{}{line}", " ".repeat(if at == 0 { first } else { next }));
    }
}

/// A heading; one too long for a terminal is broken between two arguments.
fn heading_rows(heading: &str, further: usize, columns: usize, out: &mut String) {
    // A sign of one column that no heading has stands for a space that is not to be broken.
    const TOGETHER: &str = "\u{a4}";
    let arguments: Vec<String> =
        heading.split(", ").map(|argument| argument.replace(' ', TOGETHER)).collect();
    let mut rows = String::new();
    code_row(&arguments.join(", "), 0, further, columns, &mut rows);
    out.push_str(&rows.replace(TOGETHER, " "));
}

/// Appends words in rows, each set in.
fn rows(words: &str, indent: usize, columns: usize, out: &mut String) {
    for line in wrap(words, columns.saturating_sub(indent)) {
        let _ = writeln!(out, "{}{line}", " ".repeat(indent));
    }
}
