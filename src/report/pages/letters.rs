//! Words on the surface of a page: each run of one direction is drawn by itself, in the order in which they are seen.

use krilla::geom::Point;
use krilla::surface::Surface;
use krilla::text::{Font, TextDirection};
use unicode_bidi::{BidiInfo, Level};

use crate::drawing::letters::width;

/// The two fonts of a page.
pub(super) struct Fonts {
    pub plain: Font,
    pub bold: Font,
}

impl Fonts {
    pub fn of(&self, bold: bool) -> Font {
        if bold { self.bold.clone() } else { self.plain.clone() }
    }
}

/// Letters from right to left begin here in Unicode.
const HEBREW: char = '\u{590}';

/// Draws words with their base line's left end at a place, filled or as outlines only.
pub(super) fn words(
    surface: &mut Surface<'_>,
    (x, y): (f64, f64),
    text: &str,
    (size, bold): (f64, bool),
    (fonts, outlined): (&Fonts, bool),
) {
    let font: Font = fonts.of(bold);
    let mut left = x;
    for (run, direction) in runs(text) {
        let at = Point::from_xy(left as f32, y as f32);
        surface.draw_text(at, font.clone(), size as f32, run, outlined, direction);
        left += width(run, size, bold);
    }
}

/// The runs of a line that begins at the left, from the left to the right, with their directions.
fn runs(text: &str) -> Vec<(&str, TextDirection)> {
    if text.chars().all(|letter| letter < HEBREW) {
        return vec![(text, TextDirection::LeftToRight)];
    }
    let info = BidiInfo::new(text, Some(Level::ltr()));
    let mut all = Vec::new();
    for paragraph in &info.paragraphs {
        let (levels, ranges) = info.visual_runs(paragraph, paragraph.range.clone());
        for range in ranges {
            let to_left = levels.get(range.start).is_some_and(|level| level.is_rtl());
            let direction = if to_left { TextDirection::RightToLeft } else { TextDirection::LeftToRight };
            all.extend(text.get(range).map(|run| (run, direction)));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(text: &str) -> Vec<(&str, bool)> {
        runs(text).into_iter().map(|(run, way)| (run, matches!(way, TextDirection::RightToLeft))).collect()
    }

    /// Hebrew letters are written as `\u{5d0}`, so that this file reads in one direction.
    #[test]
    fn words_from_right_to_left_are_runs_of_their_own() {
        assert_eq!(told("2 × flag"), [("2 × flag", false)]);
        assert_eq!(told("flag \u{5d0}\u{5d1}"), [("flag ", false), ("\u{5d0}\u{5d1}", true)]);
        assert_eq!(told("\u{5d0}\u{5d1} </svg>"), [("\u{5d0}\u{5d1}", true), (" </svg>", false)]);
        // A number between such words keeps its own direction; the words change places.
        let mixed = told("\u{5d0} 12 \u{5d1}");
        assert_eq!(mixed, [(" \u{5d1}", true), ("12", false), ("\u{5d0} ", true)]);
        assert_eq!(told(""), [("", false)]);
    }
}
