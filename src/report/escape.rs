//! What is done to texts from outside, once for all writers.

use std::borrow::Cow;
use std::io;

/// Whether a character would move the cursor, ring, colour, or turn the direction of writing.
pub(crate) fn is_harmful(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}')
}

/// The text with each harmful character spelled out, `\u{1b}`.
pub(crate) fn harmless(text: &str) -> Cow<'_, str> {
    // Nearly all texts are plain, and told as that byte by byte.
    let plain = text.bytes().all(|byte| matches!(byte, b' '..=b'~'));
    if plain || !text.contains(is_harmful) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        if is_harmful(c) { out.extend(c.escape_unicode()) } else { out.push(c) }
    }
    Cow::Owned(out)
}

/// A text as the cell of a spreadsheet: never a formula, never a control character.
pub(crate) fn csv_text(text: &str) -> Cow<'_, str> {
    let text = harmless(text);
    if text.starts_with(['=', '+', '-', '@']) { Cow::Owned(format!("'{text}")) } else { text }
}

/// A cell that is a measure stays as it is where it reads as one: `-3/4 in`.
pub(crate) fn csv_measure(text: &str) -> Cow<'_, str> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    if digits.starts_with(|c: char| c.is_ascii_digit()) { harmless(text) } else { csv_text(text) }
}

/// Appends a CSV cell, in quotes where it needs them.
pub(crate) fn push_cell(cell: &str, out: &mut String) {
    let quoted = cell.bytes().any(|byte| matches!(byte, b'"' | b',' | b'\n' | b'\r'));
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

/// Words between backquotes stay as they are; elsewhere what Markdown would read as its own is taken as it stands.
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

/// JSON with every harmful character as an escape, so that a terminal may show it.
pub(crate) struct HarmlessJson<F>(pub F);

impl<F: serde_json::ser::Formatter> serde_json::ser::Formatter for HarmlessJson<F> {
    fn write_string_fragment<W: ?Sized + io::Write>(
        &mut self,
        writer: &mut W,
        fragment: &str,
    ) -> io::Result<()> {
        let mut rest = fragment;
        while let Some(at) = rest.find(is_harmful) {
            let (before, behind) = rest.split_at(at);
            writer.write_all(before.as_bytes())?;
            let mut letters = behind.chars();
            // All harmful characters lie below U+FFFF: one escape each.
            write!(writer, "\\u{:04x}", letters.next().map_or(0, u32::from))?;
            rest = letters.as_str();
        }
        writer.write_all(rest.as_bytes())
    }

    fn begin_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_array(writer)
    }

    fn end_array<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array(writer)
    }

    fn begin_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.0.begin_array_value(writer, first)
    }

    fn end_array_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array_value(writer)
    }

    fn begin_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object(writer)
    }

    fn end_object<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object(writer)
    }

    fn begin_object_key<W: ?Sized + io::Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.0.begin_object_key(writer, first)
    }

    fn begin_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object_value(writer)
    }

    fn end_object_value<W: ?Sized + io::Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object_value(writer)
    }
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
        assert_eq!(csv_measure("-x"), "'-x");
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

    #[test]
    fn what_a_terminal_obeys_is_spelled_out() {
        assert_eq!(harmless("a\u{1b}[2Jb"), "a\\u{1b}[2Jb");
        assert_eq!(harmless("½″ 漢"), "½″ 漢");
    }
}
