//! The place where the grammar stopped.

use super::lacking::ends_text;
use super::words::first_word;

/// What stands where the grammar stopped.
pub(super) struct Found<'a> {
    pub(super) source: &'a str,
    pub(super) at: usize,
}

impl<'a> Found<'a> {
    /// The grammar stops at the closing quote of a text that it took: what stands behind it is wrong.
    pub(super) fn at(source: &'a str, at: usize) -> Found<'a> {
        let rest = source.get(at..).unwrap_or("");
        if !rest.starts_with('"') || !ends_text(source, at) {
            return Found { source, at };
        }
        let behind = rest.get(1..).unwrap_or("");
        Found { source, at: source.len().saturating_sub(behind.trim_start().len()) }
    }

    pub(super) fn rest(&self) -> &str {
        self.source.get(self.at..).unwrap_or("")
    }

    pub(super) fn before(&self) -> &str {
        self.source.get(..self.at).unwrap_or("").trim_end()
    }

    /// The word or sign itself.
    pub(super) fn token(&self) -> &str {
        let rest = self.rest();
        let word = first_word(rest);
        if !word.is_empty() {
            return word;
        }
        if rest.starts_with('"') {
            return "\"";
        }
        let digits = rest.find(|c: char| !c.is_ascii_digit()).unwrap_or(rest.len());
        let one = rest.chars().next().map_or(0, char::len_utf8);
        let two = ["==", "!=", "&&", "||", "+-", "=>", ":=", "**"]
            .iter()
            .find(|sign| rest.starts_with(**sign))
            .map_or(0, |s| s.len());
        rest.get(..digits.max(one).max(two)).unwrap_or("")
    }
}
