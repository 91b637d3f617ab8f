//! Words from right to left within others: each such part stands as one, so that a number beside it stays on its side.

use std::borrow::Cow;

use unicode_bidi::{BidiClass, bidi_class};

/// Begins a part that is set from right to left by itself, and ends it: U+2067 and U+2069, as HTML and XML name them.
const ISOLATED: (&str, &str) = ("&#8295;", "&#8297;");

/// Letters from right to left begin here in Unicode.
const HEBREW: char = '\u{590}';

fn goes_left(letter: char) -> bool {
    letter >= HEBREW && matches!(bidi_class(letter), BidiClass::R | BidiClass::AL)
}

/// Whether it may stand between two such words of one name.
fn joins(letter: char) -> bool {
    letter.is_whitespace()
        || letter.is_numeric()
        || matches!(letter, '-' | '\'' | '"' | '.')
        || (letter >= HEBREW && bidi_class(letter) == BidiClass::NSM)
}

/// The parts of a line, and whether they are from right to left.
pub(super) fn parts(text: &str) -> Vec<(&str, bool)> {
    let mut parts = Vec::new();
    let mut rest = text;
    while let Some(begin) = rest.find(goes_left) {
        let (before, from) = rest.split_at(begin);
        let within = from.find(|letter| !goes_left(letter) && !joins(letter)).unwrap_or(from.len());
        let (within, _) = from.split_at(within);
        // A mark upon the last letter belongs to it.
        let ends =
            |letter: char| letter >= HEBREW && (goes_left(letter) || bidi_class(letter) == BidiClass::NSM);
        let name = within.trim_end_matches(|letter| !ends(letter));
        let (name, after) = from.split_at(name.len());
        if !before.is_empty() {
            parts.push((before, false));
        }
        parts.push((name, true));
        rest = after;
    }
    if !rest.is_empty() || parts.is_empty() {
        parts.push((rest, false));
    }
    parts
}

/// A line of HTML or XML with each part from right to left set by itself.
pub(super) fn isolated(text: &str) -> Cow<'_, str> {
    if !text.contains(goes_left) {
        return Cow::Borrowed(text);
    }
    let (begin, end) = ISOLATED;
    let mut out = String::with_capacity(text.len().saturating_add(16));
    for (part, left) in parts(text) {
        if left { out.extend([begin, part, end]) } else { out.push_str(part) }
    }
    Cow::Owned(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hebrew letters are written as `\u{5d0}`, so that this file reads in one direction.
    #[test]
    fn a_name_from_right_to_left_is_a_part_of_its_own() {
        assert_eq!(parts("flag, 3 cm"), [("flag, 3 cm", false)]);
        assert_eq!(parts(""), [("", false)]);
        let cloth = "From \u{5d0}\u{5d1} \u{5d2}, 142 cm";
        assert_eq!(parts(cloth), [("From ", false), ("\u{5d0}\u{5d1} \u{5d2}", true), (", 142 cm", false)]);
        assert_eq!(isolated(cloth), "From &#8295;\u{5d0}\u{5d1} \u{5d2}&#8297;, 142 cm");
        // A number within a name stays there; one after it, or behind a comma, does not belong to it.
        assert_eq!(
            parts("2 \u{5d0} 12 \u{5d1} 3 cm"),
            [("2 ", false), ("\u{5d0} 12 \u{5d1}", true), (" 3 cm", false)]
        );
        assert_eq!(isolated("\u{5d0}, 2 \u{5d1}"), "&#8295;\u{5d0}&#8297;, 2 &#8295;\u{5d1}&#8297;");
        // A mark upon the last letter.
        assert_eq!(parts("\u{5d0}\u{5b8} 1"), [("\u{5d0}\u{5b8}", true), (" 1", false)]);
    }
}
