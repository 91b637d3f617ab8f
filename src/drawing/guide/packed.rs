//! Small drawings at true size, several on one sheet of paper, each below its name.

use crate::drawing::bounds::shifted;
use crate::drawing::letters::width;
use crate::drawing::lines::shortened;
use crate::drawing::{Drawing, Mark, Paper, Place, Stroke, Tiling, Words};

/// Letters of a name above its drawing, and the height that it takes.
const NAME: f64 = 3.2;
const HEAD: f64 = 6.0;
/// A name makes its drawing no wider than this.
const WIDEST: f64 = 70.0;

/// A drawing that may share a sheet, its name there, and the kinds of line of its sizes: these are told once a sheet.
#[derive(Clone, Copy, Debug)]
pub struct Small<'a> {
    /// What is drawn, in mm as it is.
    pub drawing: &'a Drawing,
    /// Its name.
    pub name: &'a str,
    /// Its sizes with their kinds of line, where there are several.
    pub legend: &'a [(String, Stroke)],
}

/// A sheet while it is filled: its drawings with their upper left corners, its rows.
#[derive(Debug, Default)]
struct Filled {
    holds: Vec<(usize, Place)>,
    rows: Vec<Row>,
}

/// A row of drawings: how far down it is, how high, how far it is filled.
#[derive(Debug)]
struct Row {
    top: f64,
    high: f64,
    filled: f64,
}

impl Filled {
    /// A place for a drawing of this width and height, in the first row that has one, else in a new row.
    fn place(&mut self, (wide, high): (f64, f64), room: (f64, f64)) -> Option<Place> {
        let fits = |row: &&mut Row| row.filled + wide <= room.0 && high <= row.high;
        if let Some(row) = self.rows.iter_mut().find(fits) {
            let at = (row.filled, row.top);
            row.filled += wide;
            return Some(at);
        }
        let top = self.rows.last().map_or(0.0, |row| row.top + row.high);
        (wide <= room.0 && top + high <= room.1).then(|| {
            self.rows.push(Row { top, high, filled: wide });
            (0.0, top)
        })
    }
}

impl Small<'_> {
    /// How much it takes of a sheet, with its name.
    fn takes(&self) -> (f64, f64) {
        let name = width(self.name, NAME, true).min(WIDEST) + 4.0;
        (self.drawing.width.max(name), self.drawing.height + HEAD)
    }

    fn put(&self, at: Place, marks: &mut Vec<Mark>) {
        let text = shortened(self.name, NAME, true, self.takes().0 - 2.0);
        let place = (at.0 + 2.0, at.1 + HEAD - 1.5);
        marks.push(Mark::Words(Words { at: place, text, size: NAME, bold: true, ..Words::default() }));
        marks.extend(self.drawing.marks.iter().map(|mark| shifted(mark, (at.0, at.1 + HEAD))));
    }
}

/// Which drawings share a sheet, by their indices: one that is too large, or fits no other, is alone. The sheets are
/// in the order of their first drawings.
pub fn shared(all: &[Small<'_>], paper: Paper) -> Vec<Vec<(usize, Place)>> {
    let room = Tiling::window_of(paper);
    let mut order: Vec<(usize, &Small<'_>)> = all.iter().enumerate().collect();
    order.sort_by(|a, b| b.1.takes().1.total_cmp(&a.1.takes().1));
    let mut sheets: Vec<(&[(String, Stroke)], Filled)> = Vec::new();
    for (at, small) in order {
        let takes = small.takes();
        let found = sheets
            .iter_mut()
            .filter(|(legend, _)| *legend == small.legend)
            .find_map(|(_, sheet)| Some((sheet.place(takes, room)?, sheet)));
        if let Some((place, sheet)) = found {
            sheet.holds.push((at, place));
            continue;
        }
        let mut sheet = Filled::default();
        let place = sheet.place(takes, room).unwrap_or_else(|| {
            // It needs more than a sheet, so that nothing lies beside it.
            sheet.rows.push(Row { top: 0.0, high: room.1, filled: room.0 });
            (0.0, 0.0)
        });
        sheet.holds.push((at, place));
        sheets.push((small.legend, sheet));
    }
    let mut sheets: Vec<Vec<(usize, Place)>> = sheets.into_iter().map(|(_, sheet)| sheet.holds).collect();
    sheets.iter_mut().for_each(|sheet| sheet.sort_by_key(|(at, _)| *at));
    sheets.sort_by_key(|sheet| sheet.first().map(|(at, _)| *at));
    sheets
}

/// The drawings that share a sheet as one.
pub fn as_one(all: &[Small<'_>], sheet: &[(usize, Place)]) -> Drawing {
    let mut one = Drawing::default();
    let mut names = Vec::new();
    for (small, at) in sheet.iter().filter_map(|(index, at)| Some((all.get(*index)?, *at))) {
        let (wide, high) = small.takes();
        one.width = one.width.max(at.0 + wide);
        one.height = one.height.max(at.1 + high);
        small.put(at, &mut one.marks);
        names.push(small.name);
    }
    one.title = names.join("; ");
    one.description.clone_from(&one.title);
    one
}

#[cfg(test)]
mod tests {
    use super::*;

    fn square(side: f64) -> Drawing {
        Drawing { width: side, height: side, ..Drawing::default() }
    }

    fn sheets(sides: &[f64]) -> Vec<Vec<usize>> {
        let drawings: Vec<Drawing> = sides.iter().map(|side| square(*side)).collect();
        let all: Vec<Small<'_>> =
            drawings.iter().map(|drawing| Small { drawing, name: "flag", legend: &[] }).collect();
        let shared = shared(&all, Paper::A4);
        let (wide, high) = Tiling::window_of(Paper::A4);
        for sheet in shared.iter().filter(|sheet| sheet.len() > 1) {
            let whole = as_one(&all, sheet);
            assert!(whole.width <= wide && whole.height <= high, "{sheet:?}");
            let boxes: Vec<(Place, (f64, f64))> =
                sheet.iter().map(|(at, place)| (*place, all[*at].takes())).collect();
            for (at, (a, of_a)) in boxes.iter().enumerate() {
                for (b, of_b) in boxes.iter().skip(at.saturating_add(1)) {
                    let apart = a.0 + of_a.0 <= b.0
                        || b.0 + of_b.0 <= a.0
                        || a.1 + of_a.1 <= b.1
                        || b.1 + of_b.1 <= a.1;
                    assert!(apart, "{sheet:?}");
                }
            }
        }
        shared.iter().map(|sheet| sheet.iter().map(|(at, _)| *at).collect()).collect()
    }

    #[test]
    fn small_drawings_share_a_sheet_and_lie_apart() {
        assert_eq!(sheets(&[60.0, 50.0, 40.0, 90.0]), [[0, 1, 2, 3]]);
        assert_eq!(sheets(&[60.0, 400.0, 40.0]), [vec![0, 2], vec![1]]);
        // What fits beside nothing is alone.
        assert_eq!(sheets(&[150.0, 150.0]), [[0], [1]]);
        assert!(sheets(&[]).is_empty());
        assert_eq!(sheets(&[70.0; 40]).len(), 10);
    }
}
