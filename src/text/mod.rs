//! Texts from outside, made harmless: what a stranger wrote never moves a cursor, hides, or turns the
//! direction of writing.

mod json;

use std::borrow::Cow;

pub(crate) use json::HarmlessJson;

/// Whether a character would move the cursor, ring, colour, turn the direction of writing, or not be
/// seen at all.
///
/// Besides controls and the two separators these are the characters with the property
/// `Default_Ignorable_Code_Point` (Unicode Character Database, DerivedCoreProperties.txt), and the
/// marks of annotation.
pub(crate) fn is_harmful(c: char) -> bool {
    c.is_control()
        || matches!(c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
            | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
            | '\u{e0000}'..='\u{e0fff}')
}

/// The text with each harmful character spelled out, `\u{1b}`.
pub(crate) fn harmless(text: &str) -> Cow<'_, str> {
    without(text, None)
}

/// As [`harmless`], as a text of its own.
pub(crate) fn clean(text: &str) -> String {
    harmless(text).into_owned()
}

/// As [`harmless`], for a page of several lines: their ends stay.
pub(crate) fn harmless_page(text: &str) -> Cow<'_, str> {
    without(text, Some('\n'))
}

/// As [`harmless`], for a line of a script: its tabs stay.
pub(crate) fn harmless_line(text: &str) -> Cow<'_, str> {
    without(text, Some('\t'))
}

/// The text without harmful characters but for one that stays.
fn without(text: &str, stays: Option<char>) -> Cow<'_, str> {
    // Nearly all texts are plain, which is seen byte by byte.
    let plain = text.bytes().all(|byte| matches!(byte, b' '..=b'~') || stays == Some(char::from(byte)));
    let harmful = |c: char| stays != Some(c) && is_harmful(c);
    if plain || !text.contains(harmful) {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len().saturating_add(8));
    for c in text.chars() {
        if harmful(c) { out.extend(c.escape_unicode()) } else { out.push(c) }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_terminal_obeys_or_nobody_sees_is_spelled_out() {
        assert_eq!(harmless("a\u{1b}[2Jb"), "a\\u{1b}[2Jb");
        assert_eq!(harmless("\u{9b}2J\u{202e}\u{200b}\u{61c}\u{e0041}\n"), {
            "\\u{9b}2J\\u{202e}\\u{200b}\\u{61c}\\u{e0041}\\u{a}"
        });
        assert_eq!(harmless_page("a\n\u{1b}"), "a\n\\u{1b}");
        assert_eq!(harmless_line("a\t\u{1b}"), "a\t\\u{1b}");
        assert_eq!(harmless("½″ 漢 ñ"), "½″ 漢 ñ");
    }
}
