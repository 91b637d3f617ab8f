//! A line cut into words and signs, and the part of it that holds one value.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::ops::Range;

use crate::syntax::lacking::text;
use crate::syntax::words::{LINE_WORDS, first_word};

/// A word or a sign, and where it stands.
#[derive(Clone, Copy)]
pub(super) struct Token<'a> {
    pub(super) at: usize,
    pub(super) word: &'a str,
}

/// How long the text is that begins at `at`, if one does: a quote right after a figure is an inch mark.
fn text_at(source: &str, at: usize) -> Option<usize> {
    let (before, rest) = source.split_at_checked(at)?;
    let opens = rest.starts_with(['"', '\u{201C}', '\u{201E}']);
    (opens && !before.ends_with(|c: char| c.is_ascii_digit())).then(|| text(rest))
}

/// Whether the sign at `at` parts two values: `,`, `:` or a single `=`.
fn parts(source: &str, at: usize) -> bool {
    let (before, rest) = source.split_at_checked(at).unwrap_or((source, ""));
    let digit = |c: char| c.is_ascii_digit();
    match rest.chars().next() {
        Some(',') => !(before.ends_with(digit) && rest.get(1..).is_some_and(|rest| rest.starts_with(digit))),
        Some(':') => true,
        Some('=') => !before.ends_with(['<', '>', '=', '!']) && !rest.starts_with("=="),
        _ => false,
    }
}

/// The words and signs of a text. What is in brackets belongs to the word that they follow; a text in
/// quotes is one word; a comment is left out.
pub(super) fn tokens(source: &str) -> Vec<Token<'_>> {
    let mut found = Vec::new();
    let (mut start, mut at, mut depth) = (0, 0, 0usize);
    let mut push = |range: Range<usize>| {
        let word = source.get(range.clone()).unwrap_or("");
        let at = range.start + word.len() - word.trim_start().len();
        if !word.trim().is_empty() {
            found.push(Token { at, word: word.trim() });
        }
    };
    while let Some(c) = source.get(at..).and_then(|rest| rest.chars().next()) {
        let next = at + text_at(source, at).unwrap_or(c.len_utf8());
        match c {
            '(' | '[' | '{' => depth += 1,
            ')' | ']' | '}' => depth = depth.saturating_sub(1),
            '#' if depth == 0 => break,
            _ if depth > 0 => {}
            _ if next > at + c.len_utf8() || parts(source, at) => {
                push(start..at);
                push(at..next);
                start = next;
            }
            c if c.is_whitespace() => {
                push(start..at);
                start = next;
            }
            _ => {}
        }
        at = next;
    }
    push(start..at);
    found
}

/// The value around `stop`: from the bracket, the sign or the word of the line before it to the one after it.
pub(super) fn segment(source: &str, stop: usize) -> Option<Range<usize>> {
    let word = first_word(source);
    let first = if LINE_WORDS.contains(&word) { word.len() } else { 0 };
    let mut starts = vec![first];
    let (mut at, mut inner) = (first, 0usize);
    while let Some(c) = source.get(at..).and_then(|rest| rest.chars().next()) {
        let long = text_at(source, at);
        let next = at + long.unwrap_or(c.len_utf8());
        let ends =
            long.is_some() || matches!(c, ')' | ']' | '}' | '#') || parts(source, at) || bound(source, at);
        if at >= stop && ends && inner == 0 {
            break;
        }
        if at < stop && next > stop && long.is_some() || c == '#' {
            return None;
        }
        match c {
            '(' | '[' | '{' if at >= stop => inner += 1,
            ')' | ']' | '}' if at >= stop => inner = inner.saturating_sub(1),
            '(' | '[' | '{' => starts.push(next),
            ')' | ']' | '}' => drop(starts.pop()),
            _ if at >= stop => {}
            _ if ends => {
                starts.pop();
                starts.push(next);
            }
            _ => {}
        }
        at = next;
    }
    let start = starts.into_iter().rfind(|start| *start <= stop)?;
    (start < at).then_some(start..at)
}

/// The bounds of a given are no part of its value.
fn bound(source: &str, at: usize) -> bool {
    first_word(source) == "given"
        && source.get(at..).is_some_and(|rest| rest.starts_with(" from ") || rest.starts_with(" one of "))
}
