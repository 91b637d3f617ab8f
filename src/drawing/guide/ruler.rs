//! Distances from one edge as a ruler: a mark at each place, and its reading outside.

use super::{Laid, Layer, THIN};
use crate::docket::{Figure, Part, figure_text};
use crate::drawing::Place;
use crate::drawing::clear::{Area, Block, Sheet, thin};
use crate::drawing::edges::place;
use crate::drawing::lines::shortened;
use crate::drawing::picture::view::{along, length};

/// Letters of readings.
const WORDS: f64 = 2.8;
/// How long a mark is, and how far outside it a reading begins.
const TICK: f64 = 6.0;
const APART: f64 = 1.0;
/// A reading, with what is there, is no longer.
const LONGEST: f64 = 45.0;
/// Where readings are denser than their letters, they stand so many deep.
const ROWS: u32 = 4;

/// What a ruler says at a mark.
fn reading(size: Option<&str>, figure: &Figure, label: Option<&str>) -> Block {
    let parts = [size, Some(&figure_text(figure)), label].map(|part| part.map(str::to_owned));
    let words = parts.into_iter().flatten().collect::<Vec<_>>().join(" ");
    Block::line(shortened(&words, WORDS, false, LONGEST), WORDS)
}

/// What all rulers take in with their readings: those outside the lines need room beside them.
pub(super) fn margins(layers: &[Layer<'_>], lines: &Area) -> Area {
    let mut places = vec![(lines.left, lines.top), (lines.right, lines.bottom)];
    for layer in layers {
        let size = layer.size.filter(|_| layers.len() > 1);
        for part in &layer.picture.parts {
            let Part::Scale { from, down, at } = part else { continue };
            let longest = at.iter().map(|(figure, label)| reading(size, figure, label.as_deref()).extent().0);
            let out = TICK + 2.0 * (longest.fold(0.0, f64::max) + APART) + 2.0 * WORDS;
            let (x, y) = place(from);
            places.push(if *down { (x - out, y) } else { (x, y - out) });
        }
    }
    Area::of_all(places).unwrap_or(*lines)
}

impl Laid<'_> {
    pub(super) fn rulers(&self, sheet: &mut Sheet) {
        for part in &self.picture.parts {
            if let Part::Scale { from, down, at } = part {
                self.ruler(place(from), *down, at, sheet);
            }
        }
    }

    fn ruler(&self, from: Place, down: bool, at: &[(Figure, Option<std::rc::Rc<str>>)], sheet: &mut Sheet) {
        let mut marks: Vec<(f64, Option<Block>)> = vec![(0.0, None)];
        marks.extend(at.iter().filter_map(|(figure, label)| {
            let size = self.nested.map(|(size, _)| size);
            Some((length(figure)?, Some(reading(size, figure, label.as_deref()).turned(!down))))
        }));
        let far = marks.iter().fold(0.0_f64, |far, mark| far.max(mark.0));
        let pen = thin(THIN);
        let place = |far: f64| self.view.place(along(from, down, far));
        sheet.line((place(0.0), place(far)), pen);
        // A place so far outside the ruler.
        let out = |(x, y): Place, out: f64| if down { (x - out, y) } else { (x, y - out) };
        for (far, block) in marks {
            let mark = place(far);
            let mut reach = TICK;
            if let Some(block) = block {
                let (wide, high) = block.extent();
                let long = if down { wide } else { high };
                for row in 0..ROWS {
                    let begins = TICK + APART + f64::from(row) * (long + 2.0 * APART).min(LONGEST / 3.0);
                    let middle = out(mark, begins + long / 2.0);
                    if sheet.try_put(&block, middle) {
                        reach = begins - APART;
                        break;
                    }
                }
            }
            sheet.line((mark, out(mark, reach)), pen);
        }
    }
}
