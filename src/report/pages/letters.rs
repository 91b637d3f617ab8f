//! Words on the surface of a page: each run of one direction is drawn by itself, in the order in which they are seen.

use std::io;

use krilla::geom::Point;
use krilla::surface::Surface;
use unicode_bidi::{BidiInfo, Level};

use super::shaping::Face;
use crate::drawing::letters::width;
use crate::report::direction::parts;

/// The two fonts of a page.
pub(super) struct Fonts {
    plain: Face,
    bold: Face,
}

impl Fonts {
    /// # Errors
    /// Where a font cannot be read.
    pub fn new() -> io::Result<Fonts> {
        Ok(Fonts { plain: Face::new(false)?, bold: Face::new(true)? })
    }

    fn of(&self, bold: bool) -> &Face {
        if bold { &self.bold } else { &self.plain }
    }
}

/// Draws words with their base line's left end at a place, filled or as outlines only.
pub(super) fn words(
    surface: &mut Surface<'_>,
    (x, y): (f64, f64),
    text: &str,
    (size, bold): (f64, bool),
    (fonts, outlined): (&Fonts, bool),
) {
    let face = fonts.of(bold);
    let mut left = x;
    for (run, to_left) in runs(text) {
        let at = Point::from_xy(left as f32, y as f32);
        let glyphs = face.glyphs(run, to_left);
        surface.draw_glyphs(at, &glyphs, face.font.clone(), run, size as f32, outlined);
        left += width(run, size, bold);
    }
}

/// The runs of a line that begins at the left, from the left to the right, and whether they go to the left.
fn runs(text: &str) -> Vec<(&str, bool)> {
    let mut all = Vec::new();
    for (part, left) in parts(text) {
        if !left {
            all.push((part, false));
            continue;
        }
        let info = BidiInfo::new(part, Some(Level::rtl()));
        for paragraph in &info.paragraphs {
            let (levels, ranges) = info.visual_runs(paragraph, paragraph.range.clone());
            for range in ranges {
                let to_left = levels.get(range.start).is_some_and(|level| level.is_rtl());
                all.extend(part.get(range).map(|run| (run, to_left)));
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hebrew letters are written as `\u{5d0}`, so that this file reads in one direction.
    #[test]
    fn words_from_right_to_left_are_runs_of_their_own() {
        assert_eq!(runs("2 × flag"), [("2 × flag", false)]);
        assert_eq!(runs("flag \u{5d0}\u{5d1}"), [("flag ", false), ("\u{5d0}\u{5d1}", true)]);
        assert_eq!(runs("\u{5d0}\u{5d1} </svg>"), [("\u{5d0}\u{5d1}", true), (" </svg>", false)]);
        // A number between such words keeps its own direction; the words change places.
        let mixed = runs("\u{5d0} 12 \u{5d1}");
        assert_eq!(mixed, [(" \u{5d1}", true), ("12", false), ("\u{5d0} ", true)]);
        assert_eq!(runs(""), [("", false)]);
        // A number after a name is not drawn before it.
        assert_eq!(runs("\u{5d0}\u{5d1}, 142 cm"), [("\u{5d0}\u{5d1}", true), (", 142 cm", false)]);
    }
}
