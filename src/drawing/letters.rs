//! How wide words are in the letters of pages, DejaVu Sans, so that what is drawn leaves room for them.

use std::sync::OnceLock;

use skrifa::charmap::Charmap;
use skrifa::instance::{LocationRef, Size};
use skrifa::metrics::GlyphMetrics;
use skrifa::{FontRef, MetadataProvider};

/// How wide a letter is taken to be that the font lacks, as a share of its size.
const UNKNOWN: f64 = 1.0;

/// The bytes of the font.
pub fn font(bold: bool) -> &'static [u8] {
    if bold { dejavu::sans::bold() } else { dejavu::sans::regular() }
}

/// How wide words are, in the unit of `size`, the size of the letters.
pub fn width(words: &str, size: f64, bold: bool) -> f64 {
    shares(0.0, words, bold) * size
}

/// How wide words are behind others that are `before` wide, as shares of the letters' size.
pub(super) fn shares(before: f64, words: &str, bold: bool) -> f64 {
    match widths(bold) {
        Some(widths) => words.chars().fold(before, |sum, letter| sum + widths.of(letter)),
        None => before + words.chars().count() as f64 * UNKNOWN,
    }
}

/// The first letter that the font lacks.
pub fn missing(words: &str) -> Option<char> {
    let letters = widths(false)?;
    words.chars().find(|letter| !letter.is_control() && letters.advance(*letter).is_none())
}

/// The widths of letters up to here, Latin, Greek and Cyrillic, are read once.
const USUAL: u32 = 0x530;

struct Widths {
    usual: Vec<Option<f64>>,
    letters: Charmap<'static>,
    glyphs: GlyphMetrics<'static>,
}

impl Widths {
    fn of(&self, letter: char) -> f64 {
        self.advance(letter).unwrap_or(UNKNOWN)
    }

    /// How wide a letter is; nothing where the font lacks it.
    fn advance(&self, letter: char) -> Option<f64> {
        self.usual.get(letter as usize).copied().unwrap_or_else(|| self.read(letter))
    }

    fn read(&self, letter: char) -> Option<f64> {
        self.letters.map(letter).map(|glyph| self.glyphs.advance_width(glyph).map_or(UNKNOWN, f64::from))
    }
}

/// Widths at size 1; nothing where the font cannot be read.
fn widths(bold: bool) -> Option<&'static Widths> {
    static REGULAR: OnceLock<Option<Widths>> = OnceLock::new();
    static BOLD: OnceLock<Option<Widths>> = OnceLock::new();
    let read = || {
        let font = FontRef::new(font(bold)).ok()?;
        let glyphs = font.glyph_metrics(Size::new(1.0), LocationRef::default());
        let mut widths = Widths { usual: Vec::new(), letters: font.charmap(), glyphs };
        let read = |letter: u32| char::from_u32(letter).and_then(|letter| widths.read(letter));
        widths.usual = (0..USUAL).map(read).collect();
        Some(widths)
    };
    (if bold { &BOLD } else { &REGULAR }).get_or_init(read).as_ref()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Widths of DejaVu Sans 2.37 in 2048ths of its size, read from its `hmtx` table with another library.
    #[test]
    fn widths_are_the_fonts() {
        for (words, units) in [("i", 569.0), ("m", 1995.0), (" ", 651.0), ("½", 1985.0), ("im", 2564.0)] {
            let found = width(words, 2048.0, false);
            assert!((found - units).abs() < 0.5, "{words}: {found}");
        }
        assert!(width("m", 1.0, true) > width("m", 1.0, false));
    }

    #[test]
    fn a_letter_that_the_font_lacks_is_named() {
        assert_eq!(missing("Läufer ½ × 3 → Ωж"), None);
        assert_eq!(missing("布 cloth"), Some('布'));
    }
}
