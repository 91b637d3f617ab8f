//! How the sheets of a true-size drawing join: all of it, small, with the name of each sheet.

use super::{OVERLAP, Tiling};
use crate::drawing::clear::Area;
use crate::drawing::scene::{Anchor, Drawing, Fill, Mark, Pen, Place, Stroke, Words};

/// It is never larger than so much of its true size.
const LARGEST: f64 = 0.5;
/// Lines of the sheets are thin, those of the drawing thicker.
const SHEET: Pen = Pen { width: 0.1, stroke: Stroke::Solid };
const DRAWN: f64 = 0.25;

impl Tiling<'_> {
    /// The whole drawing in a room of so many mm, width and height, under the sheets with their names.
    pub fn overview(&self, room: (f64, f64)) -> Drawing {
        let step = self.step();
        let whole = (self.columns as f64 * step.0 + OVERLAP, self.rows as f64 * step.1 + OVERLAP);
        let scale = (room.0 / whole.0).min(room.1 / whole.1).min(LARGEST);
        let mut marks: Vec<Mark> = self.drawing.marks.iter().filter_map(|mark| scaled(mark, scale)).collect();
        for at in &self.kept {
            let (x, y) = self.origin(*at);
            let (wide, high) = (self.window.0 * scale, self.window.1 * scale);
            let (left, top) = (x * scale, y * scale);
            let steps = Area::of((left, top), (left + wide, top + high)).steps();
            marks.push(Mark::Path { steps, pen: Some(SHEET), fill: Fill::None });
        }
        for at in &self.kept {
            let (x, y) = self.origin(*at);
            let size = (step.0.min(step.1) * scale * 0.25).clamp(1.6, 5.0);
            let middle = ((x + self.window.0 / 2.0) * scale, (y + self.window.1 / 2.0) * scale + size * 0.36);
            let (text, anchor, turned) = (self.name(*at), Anchor::Middle, 0.0);
            marks.push(Mark::Words(Words { at: middle, text, size, anchor, turned, halo: true, bold: true }));
        }
        let (width, height) = (whole.0 * scale, whole.1 * scale);
        let title = format!("{}: how the sheets join", self.drawing.title);
        let names: Vec<String> = self.kept.iter().map(|at| self.name(*at)).collect();
        let description = format!(
            "{title}. {} rows and {} columns of sheets, each overlapping the next by {OVERLAP} mm: {}.",
            self.rows,
            self.columns,
            names.join(", ")
        );
        Drawing { width, height, title, description, list: None, marks }
    }
}

/// A mark made smaller; words have no room.
fn scaled(mark: &Mark, by: f64) -> Option<Mark> {
    let moved = |(x, y): Place| (x * by, y * by);
    match mark {
        Mark::Path { steps, pen, fill } => {
            let steps = steps.iter().map(|step| step.moved(moved, by)).collect();
            // Dashes of true size would be longer than what they draw.
            let pen = pen.map(|pen| Pen { width: pen.width.min(DRAWN), stroke: Stroke::Solid });
            Some(Mark::Path { steps, pen, fill: *fill })
        }
        Mark::Words(_) => None,
        Mark::Clipped([x, y, wide, high], inner) => {
            let inner = inner.iter().filter_map(|mark| scaled(mark, by)).collect();
            Some(Mark::Clipped([x * by, y * by, wide * by, high * by], inner))
        }
    }
}
