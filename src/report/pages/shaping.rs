//! Words as glyphs. A font is parsed once, and how a script is shaped in it is found out once: both take longer than
//! the words of a line.

use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::io;
use std::rc::Rc;

use krilla::Data;
use krilla::text::{Font, GlyphId, KrillaGlyph};
use rustybuzz::{Direction, GlyphBuffer, Script, ShapePlan, UnicodeBuffer, script, shape_with_plan};

use crate::drawing::letters;

/// A font, ready to shape words with.
pub(super) struct Face {
    /// The font as pages take it.
    pub font: Font,
    face: rustybuzz::Face<'static>,
    plans: RefCell<Vec<(Direction, Option<Script>, ShapePlan)>>,
    /// The memory of the last words, for the next ones.
    buffer: Cell<Option<UnicodeBuffer>>,
    /// The words of a book stand there again in every size.
    known: RefCell<HashMap<String, Rc<[KrillaGlyph]>>>,
}

/// So many words are known, of so many bytes at most: some 8 MB.
const KNOWN: usize = 4_096;
const KNOWN_BYTES: usize = 40;

impl Face {
    /// # Errors
    /// Where the font cannot be read.
    pub fn new(bold: bool) -> io::Result<Face> {
        let bytes = letters::font(bold);
        let made = Font::new(Data::from(bytes), 0).zip(rustybuzz::Face::from_slice(bytes, 0));
        let (font, face) = made.ok_or_else(|| io::Error::other("the font of pages cannot be read"))?;
        Ok(Face { font, face, plans: RefCell::default(), buffer: Cell::default(), known: RefCell::default() })
    }

    /// The glyphs of words of one direction, from the left to the right, with advances in shares of the font's size.
    pub fn glyphs(&self, words: &str, to_left: bool) -> Vec<KrillaGlyph> {
        if to_left {
            return self.shape(words, true).to_vec();
        }
        // No blank is kerned, so that each word may be shaped by itself.
        let (mut all, mut at) = (Vec::with_capacity(words.len()), 0_usize);
        for word in words.split_inclusive(' ') {
            let glyph = |glyph: &KrillaGlyph| {
                let text = &glyph.text_range;
                let text_range = text.start.saturating_add(at)..text.end.saturating_add(at);
                KrillaGlyph { text_range, ..glyph.clone() }
            };
            all.extend(self.word(word).iter().map(glyph));
            at = at.saturating_add(word.len());
        }
        all
    }

    fn word(&self, word: &str) -> Rc<[KrillaGlyph]> {
        if let Some(glyphs) = self.known.borrow().get(word) {
            return Rc::clone(glyphs);
        }
        let glyphs = self.shape(word, false);
        let mut known = self.known.borrow_mut();
        if known.len() >= KNOWN {
            known.clear();
        }
        if word.len() <= KNOWN_BYTES {
            known.insert(word.to_owned(), Rc::clone(&glyphs));
        }
        glyphs
    }

    fn shape(&self, words: &str, to_left: bool) -> Rc<[KrillaGlyph]> {
        let mut buffer = self.buffer.take().unwrap_or_default();
        buffer.push_str(words);
        buffer.guess_segment_properties();
        // A number is shaped as the words around it.
        if buffer.script() == script::COMMON {
            buffer.set_script(script::LATIN);
        }
        let direction = if to_left { Direction::RightToLeft } else { Direction::LeftToRight };
        buffer.set_direction(direction);
        let shaped = self.shaped(buffer, direction);
        let glyphs = self.placed(&shaped, words.len());
        self.buffer.set(Some(shaped.clear()));
        glyphs
    }

    fn shaped(&self, buffer: UnicodeBuffer, direction: Direction) -> GlyphBuffer {
        let script = Some(buffer.script());
        let mut plans = self.plans.borrow_mut();
        let known = plans.iter().position(|(way, of, _)| (*way, *of) == (direction, script));
        let at = known.unwrap_or(plans.len());
        if known.is_none() {
            plans.push((direction, script, ShapePlan::new(&self.face, direction, script, None, &[])));
        }
        match plans.get(at) {
            Some((_, _, plan)) => shape_with_plan(&self.face, plan, buffer),
            None => rustybuzz::shape(&self.face, &[], buffer),
        }
    }

    fn placed(&self, shaped: &GlyphBuffer, len: usize) -> Rc<[KrillaGlyph]> {
        let share = |units: i32| units as f32 / self.face.units_per_em() as f32;
        // A glyph stands for the text up to where the next letter begins that has one.
        let mut starts: Vec<usize> = shaped.glyph_infos().iter().map(|info| info.cluster as usize).collect();
        starts.sort_unstable();
        let glyph = |(info, position): (&rustybuzz::GlyphInfo, &rustybuzz::GlyphPosition)| {
            let start = info.cluster as usize;
            let next = starts.partition_point(|other| *other <= start);
            KrillaGlyph::new(
                GlyphId::new(info.glyph_id),
                share(position.x_advance),
                share(position.x_offset),
                share(position.y_offset),
                share(position.y_advance),
                start..starts.get(next).copied().unwrap_or(len),
                None,
            )
        };
        shaped.glyph_infos().iter().zip(shaped.glyph_positions()).map(glyph).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ranges(words: &str, to_left: bool) -> Vec<&str> {
        let face = Face::new(false).ok();
        let glyphs = face.map(|face| face.glyphs(words, to_left)).unwrap_or_default();
        glyphs.into_iter().map(|glyph| words.get(glyph.text_range.clone()).unwrap_or("?")).collect()
    }

    #[test]
    fn each_glyph_stands_for_its_letters() {
        assert_eq!(ranges("2 × a", false), ["2", " ", "×", " ", "a"]);
        // One glyph for two letters, and two letters with a mark of their own.
        assert_eq!(ranges("office", false), ["o", "ffi", "c", "e"]);
        assert_eq!(ranges("\u{5d0}\u{5d1}", true), ["\u{5d1}", "\u{5d0}"]);
        assert_eq!(ranges("", false), [""; 0]);
    }

    /// The same words, alone and after others of another script and direction.
    #[test]
    fn words_before_change_nothing() {
        let Ok(face) = Face::new(true) else { return assert!(letters::font(true).is_empty()) };
        let told = |words: &str, to_left| format!("{:?}", face.glyphs(words, to_left));
        let (first, right) = (told("To wash: 3", false), told("\u{5d0}\u{5d1}", true));
        assert_eq!((told("To wash: 3", false), told("\u{5d0}\u{5d1}", true)), (first, right));
    }

    /// A line is as wide as its words, whatever letters are beside a blank.
    #[test]
    fn blanks_are_not_kerned() {
        let faces = [Face::new(false), Face::new(true)];
        for face in faces.iter().flatten() {
            let wide =
                |words: &str| face.shape(words, false).iter().map(|glyph| glyph.x_advance).sum::<f32>();
            let letters = (0x21..0x530).filter_map(char::from_u32).chain("–—“”’…½⅛×−→".chars());
            for letter in letters {
                for words in [format!("{letter} V"), format!("a {letter}"), format!("12 {letter} 1")] {
                    let parts = words.split_inclusive(' ').map(wide).sum::<f32>();
                    assert!((wide(&words) - parts).abs() < 1e-4, "{words}");
                }
            }
        }
        assert!(faces.iter().all(Result::is_ok));
    }
}
