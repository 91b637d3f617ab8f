//! The library as a handbook, a section an area, in Markdown or HTML.

use std::fmt::Write;

use super::escape::{html_text, markdown_text};
use crate::help::docs::{RuleDoc, area_name, area_named, areas, foreword, rule_doc, rules_of};
use crate::library;

/// What a handbook is written in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pages {
    /// Markdown
    Markdown,
    /// HTML, one page that needs nothing else
    Html,
}

const TITLE: &str = "The rules of the library";

/// The handbook of one area, or of all; `None` where no area has this name.
pub fn handbook(area: Option<&str>, pages: Pages) -> Option<String> {
    let files: Vec<usize> = match area {
        Some(name) => vec![area_named(name)?],
        None => areas().collect(),
    };
    Some(match pages {
        Pages::Markdown => markdown(&files),
        Pages::Html => html(&files),
    })
}

fn markdown(files: &[usize]) -> String {
    let mut out = format!("# {TITLE}\n");
    if files.len() > 1 {
        out.push('\n');
        for name in files.iter().map(|file| area_name(*file)) {
            let _ = writeln!(out, "- [{name}](#{name})");
        }
    }
    for file in files {
        let _ = writeln!(out, "\n## {}\n\n{}", area_name(*file), markdown_text(&foreword(*file)));
        for (name, entry) in rules_of(*file) {
            let doc = rule_doc(name, entry);
            let link = |other: &'static str| match elsewhere(other, files) {
                None => format!("[{}](#{other})", markdown_text(other)),
                Some(area) => format!("{} (in {area})", markdown_text(other)),
            };
            let links = near(name, &doc, link);
            let RuleDoc { heading, words, formula, examples, sources, .. } = doc;
            let _ = writeln!(out, "\n### {}\n", markdown_text(name));
            let _ = writeln!(out, "```\n{heading}\n```\n\n{}\n", markdown_text(&words));
            let _ = writeln!(out, "Examples:\n\n```\n{}\n```\n", examples.join("\n"));
            let _ = writeln!(out, "Formula:\n\n```\n{}\n```\n", formula.join("\n"));
            let _ = writeln!(out, "Source: {}\n\nSee also: {links}", markdown_text(&sources.join("; ")));
        }
    }
    out
}

/// The area of a rule that is on another page.
fn elsewhere(name: &str, files: &[usize]) -> Option<&'static str> {
    let file = library::index().get(name)?.file;
    (!files.contains(&file)).then(|| area_name(file))
}

/// The neighbours of a rule: those that it works with, and the two before and after it in its area.
fn near(name: &str, doc: &RuleDoc, link: impl Fn(&'static str) -> String) -> String {
    let own = library::index().get(name).map_or(0, |entry| entry.start);
    let before = |other: &&&str| library::index().get(**other).is_some_and(|entry| entry.start < own);
    let at = doc.beside.iter().filter(before).count();
    let end = at.saturating_add(2).min(doc.beside.len());
    let side = doc.beside.get(at.saturating_sub(2)..end).unwrap_or(&[]);
    let others = side.iter().filter(|other| !doc.with.contains(other));
    doc.with.iter().chain(others).map(|other| link(other)).collect::<Vec<_>>().join(", ")
}

const STYLE: &str = "body{font:1rem/1.5 serif;max-width:48rem;margin:2rem auto;padding:0 1rem;color:#222;\
background:#fff}pre{background:#f4f1ea;padding:.6rem;white-space:pre-wrap;overflow-wrap:anywhere}\
pre,code{font-family:monospace;font-size:.9rem}h2{border-bottom:1px solid #999}nav{columns:3}nav a{display:block}\
@media (prefers-color-scheme:dark){body{color:#ddd;background:#1c1c1c}pre{background:#2a2a2a}a{color:#9cf}}\
@media print{nav{display:none}section{break-before:page}h3,pre{break-inside:avoid}}";

fn html(files: &[usize]) -> String {
    let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    let _ =
        writeln!(out, "<title>{TITLE}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<h1>{TITLE}</h1>");
    if files.len() > 1 {
        let _ = writeln!(out, "<nav>");
        for name in files.iter().map(|file| html_text(area_name(*file))) {
            let _ = writeln!(out, "<a href=\"#area-{name}\">{name}</a>");
        }
        let _ = writeln!(out, "</nav>");
    }
    for file in files {
        let name = html_text(area_name(*file));
        let words = coded(&foreword(*file));
        let _ = writeln!(out, "<section id=\"area-{name}\">\n<h2>{name}</h2>\n<p>{words}</p>");
        for (name, entry) in rules_of(*file) {
            html_rule(&rule_doc(name, entry), name, files, &mut out);
        }
        let _ = writeln!(out, "</section>");
    }
    out.push_str("</body>\n</html>\n");
    out
}

fn html_rule(doc: &RuleDoc, name: &str, files: &[usize], out: &mut String) {
    let link = |other: &'static str| match elsewhere(other, files) {
        None => format!("<a href=\"#{0}\">{0}</a>", html_text(other)),
        Some(area) => format!("{} (in {area})", html_text(other)),
    };
    let links = near(name, doc, link);
    let name = html_text(name);
    let _ = writeln!(out, "<h3 id=\"{name}\">{name}</h3>\n<pre>{}</pre>", html_text(&doc.heading));
    let _ = writeln!(out, "<p>{}</p>", coded(&doc.words));
    let _ = writeln!(out, "<p>Examples</p>\n<pre>{}</pre>", html_text(&doc.examples.join("\n")));
    let _ = writeln!(out, "<p>Formula</p>\n<pre>{}</pre>", html_text(&doc.formula.join("\n")));
    let _ = writeln!(out, "<p>Source: {}</p>", html_text(&doc.sources.join("; ")));
    let _ = writeln!(out, "<p>See also: {links}</p>");
}

/// Words between backquotes become code.
fn coded(words: &str) -> String {
    let mut out = String::new();
    for (at, part) in words.split('`').enumerate() {
        let (open, close) = if at % 2 == 1 { ("<code>", "</code>") } else { ("", "") };
        let _ = write!(out, "{open}{}{close}", html_text(part));
    }
    out
}
