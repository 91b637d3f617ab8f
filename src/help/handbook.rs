//! The library as a handbook: a page an area, in Markdown or HTML, and rules found by what they are for.

use std::collections::BTreeSet;
use std::fmt::Write;

use crate::help::rules::{RuleDoc, area_name, foreword, rule_doc, rules_of, wrap};
use crate::library;

/// What a handbook is written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pages {
    /// Markdown
    Markdown,
    /// HTML, one page that needs nothing else
    Html,
}

/// The page of one area, or of all; `None` where no area has this name.
pub fn handbook(area: Option<&str>, pages: Pages) -> Option<String> {
    let wanted = |file: &usize| area.is_none_or(|area| area_name(*file) == area);
    let files: Vec<usize> = (0..library::FILES.len()).filter(wanted).collect();
    if files.is_empty() {
        return None;
    }
    Some(match pages {
        Pages::Markdown => markdown(&files),
        Pages::Html => html(&files),
    })
}

fn markdown(files: &[usize]) -> String {
    let mut out = String::from("# The rules of the library\n");
    if files.len() > 1 {
        out.push('\n');
        for file in files {
            let name = area_name(*file);
            let _ = writeln!(out, "- [{name}](#{name})");
        }
    }
    for file in files {
        let _ = writeln!(out, "\n## {}\n\n{}", area_name(*file), plain_markdown(&foreword(*file)));
        for (name, entry) in rules_of(*file) {
            let doc = rule_doc(name, entry);
            let near = near(name, &doc);
            let RuleDoc { heading, words, formula, examples, sources, .. } = doc;
            let _ = writeln!(out, "\n### {}\n", plain_markdown(name));
            let _ = writeln!(out, "```\n{heading}\n```\n\n{}\n", plain_markdown(&words));
            let _ = writeln!(out, "Examples:\n\n```\n{}\n```\n", examples.join("\n"));
            let _ = writeln!(out, "Formula:\n\n```\n{}\n```\n", formula.join("\n"));
            let _ = writeln!(out, "Source: {}", plain_markdown(&sources.join("; ")));
            let link = |other: &&str| match elsewhere(other, files) {
                None => format!("[{}](#{other})", plain_markdown(other)),
                Some(area) => format!("{} (in {area})", plain_markdown(other)),
            };
            let links = near.iter().map(link);
            let _ = writeln!(out, "\nSee also: {}", links.collect::<Vec<_>>().join(", "));
        }
    }
    out
}

/// The area of a rule that stands on another page.
fn elsewhere(name: &str, files: &[usize]) -> Option<&'static str> {
    let file = library::index().get(name)?.file;
    (!files.contains(&file)).then(|| area_name(file))
}

/// The neighbours of a rule: those that it works with, and the two before and behind it in its area.
fn near(name: &str, doc: &RuleDoc) -> Vec<&'static str> {
    let own = library::index().get(name).map_or(0, |entry| entry.start);
    let before = |other: &&&str| library::index().get(**other).is_some_and(|entry| entry.start < own);
    let at = doc.beside.iter().filter(before).count();
    let side = doc.beside.get(at.saturating_sub(2)..(at + 2).min(doc.beside.len())).unwrap_or(&[]);
    let mut near = doc.with.clone();
    near.extend(side.iter().filter(|other| !doc.with.contains(other)));
    near
}

/// Words between backquotes stay as they are; elsewhere what Markdown would read as its own is taken as it stands.
fn plain_markdown(words: &str) -> String {
    let mut code = false;
    let mut out = String::with_capacity(words.len());
    for c in words.chars() {
        code ^= c == '`';
        if !code && matches!(c, '*' | '_' | '<' | '>' | '[' | ']' | '#' | '|' | '\\') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

const STYLE: &str = "body{font:1rem/1.5 Georgia,serif;max-width:48rem;margin:2rem auto;padding:0 1rem;color:#222;\
background:#fff}pre{background:#f4f1ea;padding:.6rem;overflow-x:auto}pre,code{font-family:Consolas,monospace;\
font-size:.9rem}h2{border-bottom:1px solid #999}nav{columns:3}nav a{display:block}@media print{nav{display:none}\
section{break-before:page}}";

fn html(files: &[usize]) -> String {
    let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    let _ = writeln!(out, "<title>The rules of the library</title>\n<style>{STYLE}</style>\n</head>\n<body>");
    let _ = writeln!(out, "<h1>The rules of the library</h1>");
    if files.len() > 1 {
        let _ = writeln!(out, "<nav>");
        for file in files {
            let name = escaped(area_name(*file));
            let _ = writeln!(out, "<a href=\"#area-{name}\">{name}</a>");
        }
        let _ = writeln!(out, "</nav>");
    }
    for file in files {
        let name = escaped(area_name(*file));
        let _ = writeln!(
            out,
            "<section id=\"area-{name}\">\n<h2>{name}</h2>\n<p>{}</p>",
            coded(&foreword(*file))
        );
        for (name, entry) in rules_of(*file) {
            html_rule(&rule_doc(name, entry), name, files, &mut out);
        }
        let _ = writeln!(out, "</section>");
    }
    out.push_str("</body>\n</html>\n");
    out
}

fn html_rule(doc: &RuleDoc, name: &str, files: &[usize], out: &mut String) {
    let near = near(name, doc);
    let name = escaped(name);
    let _ = writeln!(out, "<h3 id=\"{name}\">{name}</h3>\n<pre>{}</pre>", escaped(&doc.heading));
    let _ = writeln!(out, "<p>{}</p>", coded(&doc.words));
    let _ = writeln!(out, "<p>Examples</p>\n<pre>{}</pre>", escaped(&doc.examples.join("\n")));
    let _ = writeln!(out, "<p>Formula</p>\n<pre>{}</pre>", escaped(&doc.formula.join("\n")));
    let _ = writeln!(out, "<p>Source: {}</p>", escaped(&doc.sources.join("; ")));
    let link = |other: &&str| match elsewhere(other, files) {
        None => format!("<a href=\"#{0}\">{0}</a>", escaped(other)),
        Some(area) => format!("{} (in {area})", escaped(other)),
    };
    let links = near.iter().map(link);
    let _ = writeln!(out, "<p>See also: {}</p>", links.collect::<Vec<_>>().join(", "));
}

fn escaped(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// Words between backquotes become code.
fn coded(words: &str) -> String {
    let mut out = String::new();
    for (at, part) in words.split('`').enumerate() {
        let (open, close) = if at % 2 == 1 { ("<code>", "</code>") } else { ("", "") };
        let _ = write!(out, "{open}{}{close}", escaped(part));
    }
    out
}

/// The rules that are for what these words say, the likeliest first; `None` where no rule is.
pub fn found(words: &str) -> Option<String> {
    let asked: BTreeSet<String> = tokens(words).collect();
    let mut rules = Vec::new();
    for file in 0..library::FILES.len() {
        rules.extend(rules_of(file).map(|(name, entry)| (name, rule_doc(name, entry), file)));
    }
    let weights: Vec<Vec<usize>> =
        rules.iter().map(|(name, doc, file)| weights(&asked, name, doc, *file)).collect();
    // a word that few rules have says more than one that many have
    let held = |at: usize| weights.iter().filter(|row| row.get(at).is_some_and(|weight| *weight > 0)).count();
    let worth: Vec<usize> = (0..asked.len()).map(|at| 1000 / (5 + held(at))).collect();
    let mut scored: Vec<(usize, usize)> = Vec::new();
    for (at, row) in weights.iter().enumerate() {
        let met = row.iter().filter(|weight| **weight > 0).count();
        if met > 0 && 2 * met >= asked.len() {
            scored.push((row.iter().zip(&worth).map(|(weight, worth)| weight * worth).sum(), at));
        }
    }
    scored.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    let best = scored.first()?.0;
    let mut out = String::new();
    for (_, at) in scored.iter().filter(|(score, _)| 3 * score >= best).take(8) {
        if let Some((_, doc, file)) = rules.get(*at) {
            wrap(&doc.heading, 0, &mut out);
            wrap(&format!("{} (in {})", doc.first, area_name(*file)), 4, &mut out);
        }
    }
    let _ = writeln!(out, "\n`help RULE` tells of one");
    Some(out)
}

/// How strongly a rule speaks of each word: most in its name, then in its first sentence, its words, its area.
fn weights(asked: &BTreeSet<String>, name: &str, doc: &RuleDoc, file: usize) -> Vec<usize> {
    let held = |text: &str| tokens(&text.replace('_', " ")).collect::<BTreeSet<_>>();
    let (in_name, in_first, in_words) = (held(name), held(&doc.first), held(&doc.words));
    let in_area = held(&format!("{} {}", area_name(file), foreword(file)));
    let weigh = |word: &String| match () {
        () if in_name.contains(word) => 6,
        () if in_first.contains(word) => 4,
        () if in_words.contains(word) => 2,
        () if in_area.contains(word) => 1,
        () => 0,
    };
    asked.iter().map(weigh).collect()
}

/// The words of a text that say something, without their endings.
fn tokens(text: &str) -> impl Iterator<Item = String> + '_ {
    let words = text.split(|c: char| !(c.is_alphanumeric() || c == '_'));
    words
        .map(str::to_lowercase)
        .filter(|word| word.len() > 1 && !SMALL.contains(&word.as_str()))
        .map(|word| stem(&word))
        .map(|word| SAME.iter().find(|(other, _)| *other == word).map_or(word, |(_, own)| (*own).to_owned()))
}

fn stem(word: &str) -> String {
    let ended = ["ings", "ing", "ness", "age", "ed", "es", "s"].iter().find_map(|end| word.strip_suffix(end));
    let stem = ended.filter(|stem| stem.len() > 2).unwrap_or(word);
    stem.strip_suffix('e').filter(|stem| stem.len() > 2).unwrap_or(stem).to_owned()
}

/// Words that every sentence has.
const SMALL: &[&str] = &[
    "an", "and", "are", "as", "at", "be", "by", "can", "do", "does", "for", "from", "has", "have", "how",
    "in", "into", "is", "it", "its", "like", "many", "me", "much", "my", "need", "no", "not", "of", "on",
    "or", "out", "so", "such", "than", "that", "the", "their", "them", "there", "these", "they", "this",
    "to", "two", "up", "we", "what", "when", "where", "which", "with", "you", "your", "each", "one", "take",
    "make", "get", "work", "calculat", "should", "will", "if", "am", "did", "came", "come", "want", "go",
    "put",
];

/// Words that people say for what the library calls otherwise, both without their endings.
const SAME: &[(&str, &str)] = &[
    ("around", "round"),
    ("drap", "curtain"),
    ("fabric", "cloth"),
    ("flammability", "flam"),
    ("flammabl", "flam"),
    ("frill", "gather"),
    ("handkerchief", "napkin"),
    ("material", "cloth"),
    ("miter", "mitr"),
    ("nightdress", "sleepwear"),
    ("nightdres", "sleepwear"),
    ("nightgown", "sleepwear"),
    ("pajama", "sleepwear"),
    ("pyjama", "sleepwear"),
    ("quilt", "top"),
    ("ruffl", "gather"),
    ("stuff", "fill"),
    ("tot", "bag"),
    ("wadd", "batt"),
];
