//! Texts as cells of a spreadsheet, once for all writers.

use std::borrow::Cow;

use crate::measure::{literal, size};
use crate::text::harmless;

/// A text as the cell of a spreadsheet: never a formula, never a control character.
pub(crate) fn csv_text(text: &str) -> Cow<'_, str> {
    let text = harmless(text);
    if begins_a_formula(&text) { Cow::Owned(format!("'{text}")) } else { text }
}

/// Whether a spreadsheet may take a text for a formula; some read the wide signs too.
fn begins_a_formula(text: &str) -> bool {
    text.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠'])
}

/// A cell that somebody else wrote stays as it is where all of it reads as a measure: `-3/4 in`.
pub(crate) fn csv_measure(text: &str) -> Cow<'_, str> {
    let reads = |text: &str| literal(text).is_ok() || size(text).is_ok();
    if begins_a_formula(text) && text.split('±').all(reads) { harmless(text) } else { csv_text(text) }
}

/// Appends a CSV cell, in quotes where it needs them.
pub(crate) fn push_cell(cell: &str, out: &mut String) {
    // All bytes are looked at, many at a time: cells are short.
    let quoted = cell.bytes().fold(false, |found, byte| found | matches!(byte, b'"' | b',' | b'\n' | b'\r'));
    if !quoted && !cell.starts_with(' ') && !cell.ends_with(' ') {
        out.push_str(cell);
        return;
    }
    out.push('"');
    for part in cell.split_inclusive('"') {
        out.push_str(part);
        out.push_str(if part.ends_with('"') { "\"" } else { "" });
    }
    out.push('"');
}

/// Words between backquotes stay as they are; elsewhere what Markdown would read as its own is taken as it is.
pub(crate) fn markdown_text(words: &str) -> String {
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

/// A text as HTML shows it, in an attribute too.
pub(crate) fn html_text(words: &str) -> String {
    words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// A text as XML shows it, in an attribute too: harmful characters spelled out, and without the two that XML has no
/// place for.
pub(crate) fn xml_text(words: &str) -> String {
    html_text(&harmless(words)).replace('\'', "&#39;").replace(['\u{fffe}', '\u{ffff}'], "")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_never_a_formula_and_a_number_never_harmed() {
        assert_eq!(csv_text("=1+1"), "'=1+1");
        assert_eq!(csv_text("@x"), "'@x");
        assert_eq!(csv_text("panel"), "panel");
        assert_eq!(csv_measure("-3/4 in"), "-3/4 in");
        assert_eq!(csv_measure("-3 in ± 1/8 in"), "-3 in ± 1/8 in");
        assert_eq!(csv_measure("-x"), "'-x");
        let formula = "-2+3+cmd|' /C calc'!D2";
        assert_eq!(csv_measure(formula), format!("'{formula}"));
        assert_eq!(csv_measure(" =1+1"), "' =1+1");
        assert_eq!(csv_measure("＝1+1"), "'＝1+1");
    }

    #[test]
    fn cells_are_quoted_where_they_need_it() {
        let cell = |text: &str| {
            let mut out = String::new();
            push_cell(text, &mut out);
            out
        };
        assert_eq!(cell("plain"), "plain");
        assert_eq!(cell("a, b"), "\"a, b\"");
        assert_eq!(cell("2 1/2\" wide"), "\"2 1/2\"\" wide\"");
    }
}
