//! A drawing at true size, spread over sheets of paper that are put together again.

mod joins;
mod overview;
mod sheet;

use super::bounds::{crosses, extent};
use super::clear::Area;
use super::{Anchor, Drawing, Fill, Mark, Paper, Pen, Place, Stroke, Words};
pub(super) use joins::{Joins, OFF};
pub use sheet::SCALE;

/// What printers leave white at each edge, in mm.
const MARGIN: f64 = 10.0;
/// How far neighbours overlap, in mm: what is trimmed away on one of them, or glued.
const OVERLAP: f64 = 15.0;
/// The band at the foot of a sheet: squares, names, how it is put together.
const BAND: f64 = 58.0;
/// A drawing is divided into so many times as many places for sheets as there may be sheets; most of them stay empty.
const EMPTY: f64 = 50.0;

/// What stands at the foot of each sheet.
#[derive(Clone, Debug, Default)]
pub struct Imprint {
    /// The recipe.
    pub recipe: String,
    /// What the guide shows, with its size and count: a few lines.
    pub lines: Vec<String>,
    /// The kind of line of each size, where there are several.
    pub legend: Vec<(String, Stroke)>,
    /// Stands before the names of sheets, where there are several guides.
    pub number: Option<usize>,
}

/// Where a sheet is: rows are lettered, columns numbered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct At {
    row: usize,
    column: usize,
}

/// `A` to `Z`, then `AA`.
fn letters(row: usize) -> String {
    let mut name = Vec::new();
    let mut rest = row;
    loop {
        let letter = u8::try_from(rest % 26).map_or('A', |n| char::from(b'A'.saturating_add(n)));
        name.push(letter);
        if rest < 26 {
            break;
        }
        rest = (rest / 26).saturating_sub(1);
    }
    name.iter().rev().collect()
}

/// How a drawing is divided.
#[derive(Debug)]
pub struct Tiling<'a> {
    drawing: &'a Drawing,
    imprint: &'a Imprint,
    paper: Paper,
    /// Width and height of what a sheet shows of it, overlap with it.
    window: (f64, f64),
    columns: usize,
    rows: usize,
    /// Sheets on which nothing is drawn are left out.
    kept: Vec<At>,
}

/// How many sheets side by side show so much.
fn count(whole: f64, window: f64) -> f64 {
    if whole <= window { 1.0 } else { ((whole - OVERLAP) / (window - OVERLAP)).ceil() }
}

impl<'a> Tiling<'a> {
    /// Divides a drawing; nothing where it would take more than `most` sheets.
    pub fn new(drawing: &'a Drawing, imprint: &'a Imprint, paper: Paper, most: usize) -> Option<Tiling<'a>> {
        let window = Tiling::window_of(paper);
        let (columns, rows) = (count(drawing.width, window.0), count(drawing.height, window.1));
        let places = columns * rows;
        if places.is_nan() || places > most as f64 * EMPTY {
            return None;
        }
        let (columns, rows) = (columns as usize, rows as usize);
        let mut tiling = Tiling { drawing, imprint, paper, window, columns, rows, kept: Vec::new() };
        let all = || (0..rows).flat_map(|row| (0..columns).map(move |column| At { row, column }));
        let lined: Vec<bool> = all().map(|at| tiling.holds(at)).collect();
        tiling.kept = all().zip(&lined).filter(|(_, lined)| **lined).map(|(at, _)| at).collect();
        let more: Vec<At> = tiling.worded().into_iter().chain(tiling.corners()).collect();
        tiling.kept =
            all().zip(lined).filter(|(at, lined)| *lined || more.contains(at)).map(|(at, _)| at).collect();
        (tiling.kept.len() <= most).then_some(tiling)
    }

    /// The width and height of a drawing that one sheet shows whole.
    pub fn window_of(paper: Paper) -> (f64, f64) {
        let (width, height) = paper.size();
        (width - 2.0 * MARGIN, height - 2.0 * MARGIN - BAND)
    }

    /// How many sheets it takes.
    pub fn count(&self) -> usize {
        self.kept.len()
    }

    /// The names of the first and of the last sheet.
    pub fn names(&self) -> Option<(String, String)> {
        Some((self.name(*self.kept.first()?), self.name(*self.kept.last()?)))
    }

    /// The sheets, row by row, at true size; the first is this page of so many.
    pub fn sheets(&self, first: usize, pages: usize) -> Vec<Drawing> {
        let numbered = self.kept.iter().zip(first..);
        numbered.map(|(at, page)| self.sheet(*at, (page, pages))).collect()
    }

    fn name(&self, at: At) -> String {
        let name = format!("{}{}", letters(at.row), at.column.saturating_add(1));
        self.imprint.number.map_or(name.clone(), |number| format!("{number}-{name}"))
    }

    /// From one sheet to the next.
    fn step(&self) -> (f64, f64) {
        (self.window.0 - OVERLAP, self.window.1 - OVERLAP)
    }

    /// Where on the drawing a sheet begins.
    fn origin(&self, at: At) -> Place {
        let step = self.step();
        (at.column as f64 * step.0, at.row as f64 * step.1)
    }

    /// What a sheet shows of the drawing.
    fn shows(&self, at: At) -> Area {
        let (x, y) = self.origin(at);
        Area::of((x, y), (x + self.window.0, y + self.window.1))
    }

    /// Whether a line crosses a sheet.
    fn holds(&self, at: At) -> bool {
        let window = self.shows(at);
        let lines = self.drawing.marks.iter().filter(|mark| !matches!(mark, Mark::Words(_)));
        { lines }.any(|mark| crosses(mark, &window))
    }

    /// Sheets for words that none of the sheets with lines shows whole.
    fn worded(&self) -> Vec<At> {
        let words = self.drawing.marks.iter().filter_map(|mark| match mark {
            Mark::Words(words) => Some(extent(words)),
            Mark::Path { .. } | Mark::Clipped(..) => None,
        });
        let unseen = words.filter(|area| !self.kept.iter().any(|at| self.shows(*at).holds(area)));
        let step = self.step();
        let sheet = |area: Area| {
            let (x, y) = area.middle();
            let nth = |at: f64, step: f64, count: usize| {
                ((at / step).max(0.0) as usize).min(count.saturating_sub(1))
            };
            At { row: nth(y, step.1, self.rows), column: nth(x, step.0, self.columns) }
        };
        unseen.map(sheet).collect()
    }

    /// Sheets between two that would only meet at their corners: they could not be laid together.
    fn corners(&self) -> Vec<At> {
        let mut more = Vec::new();
        for at in &self.kept {
            let below = At { row: at.row.saturating_add(1), ..*at };
            for column in [at.column.checked_sub(1), at.column.checked_add(1)].into_iter().flatten() {
                let (slanted, beside) = (At { column, ..below }, At { column, ..*at });
                if self.kept.contains(&slanted) && !self.kept.contains(&below) && !self.kept.contains(&beside)
                {
                    more.push(below);
                }
            }
        }
        more
    }

    fn has(&self, row: Option<usize>, column: Option<usize>) -> Option<At> {
        let at = At { row: row?, column: column? };
        self.kept.contains(&at).then_some(at)
    }
}

/// A pen for continuous thin lines.
const THIN: Pen = Pen { width: 0.18, stroke: Stroke::Solid };

fn rectangle([x, y, wide, high]: [f64; 4], fill: Fill) -> Mark {
    Mark::Path { steps: Area::of((x, y), (x + wide, y + high)).steps(), pen: Some(THIN), fill }
}

fn words_at(at: Place, text: &str, size: f64, (anchor, bold): (Anchor, bool)) -> Mark {
    Mark::Words(Words { at, text: text.to_owned(), size, anchor, bold, ..Words::default() })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::bounds::segments;
    use super::*;

    fn guide(width: f64, height: f64, marks: Vec<Mark>) -> Drawing {
        Drawing { width, height, title: "flag".into(), description: "A flag.".into(), list: None, marks }
    }

    fn imprint() -> Imprint {
        let lines = vec!["flag, 12 pieces".into()];
        Imprint { recipe: "Signal flags".into(), lines, ..Imprint::default() }
    }

    fn tiles(drawing: &Drawing, imprint: &Imprint, paper: Paper) -> Vec<Drawing> {
        Tiling::new(drawing, imprint, paper, 200).unwrap().sheets(2, 201)
    }

    /// What a sheet shows of the drawing, back in its places.
    fn shown(sheet: &Drawing) -> Vec<(Place, Place)> {
        let Some(Mark::Clipped(_, marks)) = sheet.marks.first() else { return Vec::new() };
        let paths = marks.iter().filter_map(|mark| match mark {
            Mark::Path { steps, .. } => Some(segments(steps)),
            _ => None,
        });
        paths.flatten().collect()
    }

    #[test]
    fn rows_are_lettered() {
        assert_eq!([0, 25, 26, 701, 702].map(letters), ["A", "Z", "AA", "ZZ", "AAA"]);
    }

    #[test]
    fn what_fits_is_one_sheet_without_joins() {
        let mark = rectangle([5.0, 5.0, 100.0, 100.0], Fill::None);
        let sheets = tiles(&guide(110.0, 110.0, vec![mark]), &imprint(), Paper::A4);
        assert_eq!(sheets.len(), 1);
        let joins = |mark: &Mark| matches!(mark, Mark::Words(words) if words.text.starts_with("cut here"));
        assert!(!sheets.iter().flat_map(|sheet| &sheet.marks).any(joins));
    }

    #[test]
    fn both_test_squares_are_true_on_each_sheet() {
        let mark = Mark::line((0.0, 0.0), (500.0, 700.0), THIN);
        let sheets = tiles(&guide(500.0, 700.0, vec![mark]), &imprint(), Paper::Letter);
        assert!(sheets.len() > 3);
        for sheet in &sheets {
            for side in [50.8, 50.0] {
                let is_square = |mark: &Mark| {
                    let Mark::Path { steps, .. } = mark else { return false };
                    let sides = segments(steps);
                    sides.len() == 4
                        && sides.iter().all(|((a, b), (c, d))| {
                            (((c - a).hypot(d - b)) - side).abs() < 1e-9 && (a == c || b == d)
                        })
                };
                assert!(sheet.marks.iter().any(is_square), "{side}");
            }
        }
    }

    #[test]
    fn sheets_on_which_nothing_is_drawn_are_left_out() {
        let marks =
            vec![Mark::line((5.0, 5.0), (20.0, 5.0), THIN), Mark::line((980.0, 980.0), (990.0, 990.0), THIN)];
        let sheets = tiles(&guide(1000.0, 1000.0, marks), &imprint(), Paper::A4);
        assert_eq!(sheets.len(), 2);
    }

    #[test]
    fn two_sheets_that_meet_at_a_corner_have_one_between_them() {
        let window = (190.0, 219.0);
        // From the first sheet into the last, through the corner that both of them show.
        let corner = (window.0 - OVERLAP / 2.0, window.1 - OVERLAP / 2.0);
        let marks =
            vec![Mark::line((corner.0 - 20.0, corner.1 - 20.0), (corner.0 + 20.0, corner.1 + 20.0), THIN)];
        let drawing = guide(300.0, 400.0, marks);
        let imprint = imprint();
        let tiling = Tiling::new(&drawing, &imprint, Paper::A4, 200).unwrap();
        assert_eq!(tiling.count(), 4);
        // Only the sheets at two corners hold a line: one that joins them is added.
        let marks = vec![
            Mark::line((5.0, 5.0), (20.0, 20.0), THIN),
            Mark::line((200.0, 230.0), (250.0, 300.0), THIN),
        ];
        let drawing = guide(300.0, 400.0, marks);
        let tiling = Tiling::new(&drawing, &imprint, Paper::A4, 200).unwrap();
        assert_eq!(
            tiling.kept,
            [At { row: 0, column: 0 }, At { row: 1, column: 0 }, At { row: 1, column: 1 }]
        );
    }

    /// Each sheet once had all lines of the drawing: a top of many pieces took minutes to print.
    #[test]
    fn a_sheet_holds_no_line_that_it_does_not_show() {
        let all = (0..400).map(|n| {
            let (x, y) = (f64::from(n % 20) * 60.0, f64::from(n / 20) * 60.0);
            rectangle([x, y, 50.0, 50.0], Fill::Hatched)
        });
        let sheets = tiles(&guide(1200.0, 1200.0, all.collect()), &imprint(), Paper::A4);
        assert!(sheets.len() > 30);
        for sheet in &sheets {
            let Some(Mark::Clipped(_, marks)) = sheet.marks.first() else { panic!("{sheet:?}") };
            assert!(!marks.is_empty() && marks.len() <= 5 * 6, "{}", marks.len());
        }
    }

    #[test]
    fn words_that_no_sheet_shows_get_one() {
        let words = words_at((500.0, 500.0), "right side", 3.0, (Anchor::Middle, false));
        let drawing = guide(1000.0, 1000.0, vec![Mark::line((5.0, 5.0), (20.0, 5.0), THIN), words]);
        assert_eq!(tiles(&drawing, &imprint(), Paper::A4).len(), 2);
        let near = words_at((50.0, 50.0), "right side", 3.0, (Anchor::Middle, false));
        let drawing = guide(1000.0, 1000.0, vec![Mark::line((5.0, 5.0), (20.0, 5.0), THIN), near]);
        assert_eq!(tiles(&drawing, &imprint(), Paper::A4).len(), 1);
    }

    proptest! {
        #[test]
        fn each_place_of_a_line_is_on_a_sheet_at_true_size(
            from in (0.0..900.0_f64, 0.0..900.0_f64), to in (0.0..900.0_f64, 0.0..900.0_f64),
            share in 0.0..1.0_f64, letter in any::<bool>(),
        ) {
            let paper = if letter { Paper::Letter } else { Paper::A4 };
            let sheets = tiles(&guide(900.0, 900.0, vec![Mark::line(from, to, THIN)]), &imprint(), paper);
            let (width, height) = paper.size();
            let window = [MARGIN, MARGIN, width - 2.0 * MARGIN, height - 2.0 * MARGIN - BAND];
            let true_length = (to.0 - from.0).hypot(to.1 - from.1);
            let mut seen = false;
            for sheet in &sheets {
                for (a, b) in shown(sheet) {
                    prop_assert!(((b.0 - a.0).hypot(b.1 - a.1) - true_length).abs() < 1e-9);
                    let (x, y) = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
                    let [left, top, wide, high] = window;
                    let within = |at: f64, from: f64, long: f64| at >= from - 1e-9 && at <= from + long + 1e-9;
                    seen |= within(x, left, wide) && within(y, top, high);
                }
            }
            prop_assert!(seen);
        }
    }
}
