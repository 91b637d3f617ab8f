//! Faults as a person reads them: the message, the place underlined, how to correct it.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::borrow::Cow;

use annotate_snippets::renderer::{DEFAULT_TERM_WIDTH, DecorStyle};
use annotate_snippets::{Annotation, AnnotationKind, Group, Renderer, Snippet};

use super::excerpt::{Excerpt, excerpts, labels};
use super::{Code, Fault, Files, Level};

use crate::text::harmless;
use unicode_width::UnicodeWidthStr;

/// The faults without colour, for a file or a pipe.
pub fn plain(faults: &[Fault], files: &Files) -> String {
    print(faults, files, &Renderer::plain(), None)
}

/// The faults for a terminal of so many columns, in colour or without: their words go on below, the source stays as it is.
pub fn on_terminal(faults: &[Fault], files: &Files, columns: usize, colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    print(faults, files, &renderer, Some(columns))
}

/// The faults in colour; the caller's stream strips it where it is not needed.
pub fn colour(faults: &[Fault], files: &Files) -> String {
    print(faults, files, &Renderer::styled(), None)
}

fn print(faults: &[Fault], files: &Files, renderer: &Renderer, columns: Option<usize>) -> String {
    let renderer = renderer.clone().decor_style(DecorStyle::Ascii).term_width(DEFAULT_TERM_WIDTH);
    let mut out = String::new();
    for (at, fault) in faults.iter().enumerate() {
        out.push_str(if at > 0 { "\n" } else { "" });
        out.push_str(&one(fault, files, &renderer, columns));
        out.push('\n');
    }
    out
}

fn one(fault: &Fault, files: &Files, renderer: &Renderer, columns: Option<usize>) -> String {
    let labels = labels(fault, files);
    let excerpts = excerpts(&labels, files);
    let level = match fault.level {
        Level::Error => annotate_snippets::Level::ERROR,
        Level::Advice if fault.code == Code::Caution => {
            annotate_snippets::Level::WARNING.with_name("caution")
        }
        Level::Advice => annotate_snippets::Level::WARNING.with_name("advice"),
    };
    let named = matches!(fault.code, Code::Advice | Code::Caution);
    // `error[unknown-name]: `, and `   = help: ` below the numbers of lines.
    let lead = 9 + if named { 0 } else { fault.code.as_str().len() };
    let last = excerpts.iter().map(|excerpt| excerpt.first_line + excerpt.text.lines().count());
    let help = 10 + last.max().unwrap_or(0).to_string().len();
    let message = in_rows(&harmless(&cut(&fault.message)), columns, lead);
    let title = level.primary_title(message.as_str());
    let title = if named { title } else { title.id(fault.code.as_str()) };
    let hints = fault
        .hints
        .iter()
        .map(|hint| annotate_snippets::Level::HELP.message(in_rows(&harmless(&cut(hint)), columns, help)));
    let group = Group::with_title(title).elements(excerpts.iter().map(snippet)).elements(hints);
    let printed = renderer.render(&[group]);
    if excerpts.is_empty() {
        return without_bar(&printed);
    }
    true_columns(printed, message.len(), &excerpts)
}

/// Words in rows that leave room for what stands before the first.
fn in_rows(words: &str, columns: Option<usize>, lead: usize) -> String {
    const LEAST: usize = 20;
    let Some(columns) = columns else { return words.to_owned() };
    let room = columns.saturating_sub(lead).max(LEAST);
    let mut rows: Vec<String> = Vec::new();
    for word in words.split(' ') {
        match rows.last_mut() {
            // A number stays with what follows it: its fraction, its unit.
            Some(row)
                if row.ends_with(|c: char| c.is_ascii_digit()) || row.width() + 1 + word.width() <= room =>
            {
                row.push(' ');
                row.push_str(word);
            }
            _ => rows.push(word.to_owned()),
        }
    }
    rows.join("\n")
}

/// A fault without a place has no source beside which a bar could be: the row that holds nothing
/// but one is left out.
fn without_bar(printed: &str) -> String {
    // In colour the bar is between escapes, which hold no letter but `m`.
    let bar = |row: &&str| row.contains('|') && !row.contains(|c: char| c.is_alphabetic() && c != 'm');
    let mut rows = printed.lines();
    let title = rows.next().unwrap_or("");
    let rest = rows.enumerate().filter(|(at, row)| *at > 0 || !bar(row)).map(|(_, row)| row);
    std::iter::once(title).chain(rest).collect::<Vec<_>>().join("\n")
}

/// Words that hold a name or a number of monstrous length are cut; nobody reads so many.
fn cut(words: &str) -> Cow<'_, str> {
    const MOST: usize = 1_000;
    match words.char_indices().nth(MOST) {
        Some((at, _)) => format!("{}...", words.get(..at).unwrap_or("")).into(),
        None => words.into(),
    }
}

fn snippet<'a>(excerpt: &'a Excerpt<'a>) -> Snippet<'a, Annotation<'a>> {
    let annotations = excerpt.marks.iter().map(|mark| {
        let kind = if mark.primary { AnnotationKind::Primary } else { AnnotationKind::Context };
        let text = (!mark.text.is_empty()).then(|| harmless(mark.text));
        kind.span(mark.range.clone()).label(text)
    });
    Snippet::source(excerpt.text.as_str())
        .line_start(excerpt.first_line)
        .path(harmless(excerpt.name))
        .annotations(annotations)
}

/// The renderer counts columns in the text that it is given; where that was cut out of a long line
/// the true column takes the place of its own, after the first `skip` bytes.
fn true_columns(mut printed: String, skip: usize, excerpts: &[Excerpt<'_>]) -> String {
    let mut from = skip;
    for excerpt in excerpts {
        let Some((shown, column)) = excerpt.columns else { continue };
        let place = format!("{}:{}:", harmless(excerpt.name), excerpt.first_line);
        let wrong = format!("{place}{shown}");
        let Some(at) = printed.get(from..).and_then(|rest| rest.find(&wrong)) else { continue };
        let start = from + at;
        printed.replace_range(start..start + wrong.len(), &format!("{place}{column}"));
        from = start + place.len();
    }
    printed
}
