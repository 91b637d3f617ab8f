//! The handbook as Markdown.

use std::fmt::Write;

use super::{CONTENTS, INDEX, INDEX_WORDS, TITLE, drawing_of, elsewhere, near, synonyms};
use crate::help::docs::{RuleDoc, area_name, foreword, rule_doc, rules_of};
use crate::report::escape::markdown_text;

pub(super) fn markdown(files: &[usize]) -> String {
    let mut out = format!("# {TITLE}\n");
    let all = files.len() > 1;
    if all {
        let _ = writeln!(out, "\n## {CONTENTS}\n");
        for name in files.iter().map(|file| area_name(*file)) {
            let _ = writeln!(out, "- [{name}](#{name})");
        }
        let _ = writeln!(out, "- [{INDEX}](#{})", INDEX.to_lowercase().replace(' ', "-"));
    }
    for file in files {
        let _ = writeln!(out, "\n## {}\n\n{}", area_name(*file), markdown_text(&foreword(*file)));
        for (name, entry) in rules_of(*file) {
            rule(&rule_doc(name, entry), name, files, &mut out);
        }
    }
    if all {
        let _ = writeln!(out, "\n## {INDEX}\n\n{INDEX_WORDS}\n");
        for (said, rules) in synonyms() {
            let links: Vec<String> = rules.into_iter().map(|rule| link(rule, files)).collect();
            let _ = writeln!(out, "- {}: {}", markdown_text(said), links.join(", "));
        }
    }
    out
}

fn link(name: &str, files: &[usize]) -> String {
    match elsewhere(name, files) {
        None => format!("[{}](#{name})", markdown_text(name)),
        Some(area) => format!("{} (in {area})", markdown_text(name)),
    }
}

fn rule(doc: &RuleDoc, name: &str, files: &[usize], out: &mut String) {
    let links: Vec<String> = near(name, doc).into_iter().map(|other| link(other, files)).collect();
    let RuleDoc { heading, words, formula, examples, sources, .. } = doc;
    let _ = writeln!(out, "\n### {}\n", markdown_text(name));
    let _ = writeln!(out, "```\n{heading}\n```\n\n{}\n", markdown_text(words));
    if let Some(drawing) = drawing_of(name) {
        let _ =
            writeln!(out, "*{}*\n\n{}\n", markdown_text(&drawing.title), markdown_text(&drawing.description));
    }
    let _ = writeln!(out, "Examples:\n\n```\n{}\n```\n", examples.join("\n"));
    let _ = writeln!(out, "Formula:\n\n```\n{}\n```\n", formula.join("\n"));
    let _ = writeln!(out, "Source: {}\n\nSee also: {}", markdown_text(&sources.join("; ")), links.join(", "));
}
