//! Lines of a width: wrapping and padding by display width.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::measure::glued;
use crate::text::harmless;

/// A page: no line is longer.
pub(crate) const COLUMNS: usize = 80;
/// A screen with fewer columns is taken for one of so many.
pub(super) const LEAST_COLUMNS: usize = 40;
/// Labels take at most so much of a line.
pub(super) const LABEL: usize = 36;

/// How many columns a text takes.
pub(crate) fn width(text: &str) -> usize {
    if text.is_ascii() { text.len() } else { text.width() }
}

/// The width of a column that holds these, those longer than `most` left aside.
pub(super) fn column<'a>(cells: impl Iterator<Item = &'a str>, most: usize) -> usize {
    cells.map(width).filter(|columns| *columns <= most).max().unwrap_or(0)
}

/// The text followed by spaces up to a width.
pub(crate) fn pad(text: &str, columns: usize) -> String {
    format!("{text}{}", " ".repeat(columns.saturating_sub(width(text))))
}

/// The text with spaces before it up to a width.
pub(crate) fn pad_left(text: &str, columns: usize) -> String {
    format!("{}{text}", " ".repeat(columns.saturating_sub(width(text))))
}

/// The text in lines of at most so many columns. A measure stays on one line: a line that ended
/// in `15` with `1/4 in` below it would be read wrong. A word longer than a line is cut.
pub(crate) fn wrap(text: &str, columns: usize) -> Vec<String> {
    let columns = columns.max(8);
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in glued(text) {
        let room = columns.saturating_sub(width(&line).saturating_add(usize::from(!line.is_empty())));
        if !line.is_empty() && width(&word) > room {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for piece in cut(&word, columns) {
            if width(&line).saturating_add(width(&piece)) > columns {
                lines.push(std::mem::take(&mut line));
            }
            line.push_str(&piece);
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// Words after a lead that is on their first line only; harmful characters spelled out.
pub(crate) fn hang(lead: &str, words: &str, columns: usize) -> Vec<String> {
    let indent = width(lead);
    let lines = wrap(&harmless(words), columns.saturating_sub(indent)).into_iter().enumerate();
    let led = |(at, line): (usize, String)| match at {
        0 => format!("{lead}{line}"),
        _ => format!("{}{line}", " ".repeat(indent)),
    };
    lines.map(led).collect()
}

/// A word in pieces of at most so many columns.
fn cut(word: &str, columns: usize) -> Vec<String> {
    if width(word) <= columns {
        return vec![word.to_owned()];
    }
    let mut pieces = vec![String::new()];
    let mut used = 0;
    for c in word.chars() {
        let wide = c.width().unwrap_or(0);
        if wide > columns.saturating_sub(used) {
            pieces.push(String::new());
            used = 0;
        }
        used = used.saturating_add(wide);
        if let Some(piece) = pieces.last_mut() {
            piece.push(c);
        }
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_measure_is_not_broken() {
        let lines = wrap("Mark five fold lines, the first scant 4 1/4 in from the edge", 38);
        assert_eq!(lines, ["Mark five fold lines, the first", "scant 4 1/4 in from the edge"]);
    }

    #[test]
    fn a_long_word_is_cut_and_wide_letters_count_two() {
        assert_eq!(wrap(&"x".repeat(20), 8), ["xxxxxxxx", "xxxxxxxx", "xxxx"]);
        assert_eq!(wrap("漢漢漢漢漢", 8), ["漢漢漢漢", "漢"]);
        assert_eq!(wrap("", 8), [""]);
    }
}
