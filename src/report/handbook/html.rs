//! The handbook as one HTML page that needs nothing else: no script, no outside resource, generic letters.

use std::fmt::Write;

use super::{CONTENTS, INDEX, INDEX_WORDS, TITLE, drawing_of, elsewhere, near, synonyms};
use crate::help::docs::{RuleDoc, area_name, foreword, rule_doc, rules_of};
use crate::report::escape::html_text;
use crate::report::svg::svg;

const STYLE: &str = include_str!("handbook.css");

pub(super) fn html(files: &[usize]) -> String {
    let mut out = String::from("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\" />\n");
    out.push_str("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\" />\n");
    out.push_str("<meta name=\"color-scheme\" content=\"light dark\" />\n");
    let _ = writeln!(
        out,
        "<title>{TITLE}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{TITLE}</h1>"
    );
    let all = files.len() > 1;
    if all {
        contents(files, &mut out);
    }
    let mut drawings = 0;
    for file in files {
        let name = html_text(area_name(*file));
        let words = coded(&foreword(*file));
        let _ = writeln!(out, "<section id=\"area-{name}\">\n<h2>{name}</h2>\n<p>{words}</p>");
        for (name, entry) in rules_of(*file) {
            rule(&rule_doc(name, entry), name, files, &mut drawings, &mut out);
        }
        let _ = writeln!(out, "</section>");
    }
    if all {
        index(files, &mut out);
    }
    out.push_str("</main>\n</body>\n</html>\n");
    out
}

/// Every area with its rules.
fn contents(files: &[usize], out: &mut String) {
    let _ = writeln!(out, "<nav aria-label=\"{CONTENTS}\">\n<h2>{CONTENTS}</h2>\n<ul>");
    for file in files {
        let name = html_text(area_name(*file));
        let rules: Vec<String> = rules_of(*file).map(|(rule, _)| link(rule, files)).collect();
        let _ = writeln!(out, "<li><a href=\"#area-{name}\"><b>{name}</b></a>: {}</li>", rules.join(", "));
    }
    let _ = writeln!(out, "<li><a href=\"#index\"><b>{INDEX}</b></a></li>\n</ul>\n</nav>");
}

/// Words that people use, with the rules that they may mean.
fn index(files: &[usize], out: &mut String) {
    let _ =
        writeln!(out, "<section id=\"index\">\n<h2>{INDEX}</h2>\n<p>{INDEX_WORDS}</p>\n<ul class=\"index\">");
    for (said, rules) in synonyms() {
        let links: Vec<String> = rules.into_iter().map(|rule| link(rule, files)).collect();
        let _ = writeln!(out, "<li><b>{}</b>: {}</li>", html_text(said), links.join(", "));
    }
    let _ = writeln!(out, "</ul>\n</section>");
}

fn link(name: &str, files: &[usize]) -> String {
    match elsewhere(name, files) {
        None => format!("<a href=\"#{0}\">{0}</a>", html_text(name)),
        Some(area) => format!("{} (in {area})", html_text(name)),
    }
}

fn rule(doc: &RuleDoc, name: &str, files: &[usize], drawings: &mut usize, out: &mut String) {
    let links: Vec<String> = near(name, doc).into_iter().map(|other| link(other, files)).collect();
    let shown = html_text(name);
    let _ = writeln!(out, "<h3 id=\"{shown}\">{shown}</h3>\n<pre>{}</pre>", html_text(&doc.heading));
    let _ = writeln!(out, "<p>{}</p>", coded(&doc.words));
    if let Some(drawing) = drawing_of(name) {
        *drawings = drawings.saturating_add(1);
        let _ = writeln!(out, "<figure>\n{}</figure>", svg(&drawing, *drawings));
    }
    let _ =
        writeln!(out, "<p class=\"part\">Examples</p>\n<pre>{}</pre>", html_text(&doc.examples.join("\n")));
    let _ = writeln!(out, "<p class=\"part\">Formula</p>\n<pre>{}</pre>", html_text(&doc.formula.join("\n")));
    let _ = writeln!(out, "<p>Source: {}</p>", html_text(&doc.sources.join("; ")));
    let _ = writeln!(out, "<p>See also: {}</p>", links.join(", "));
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
