//! A drawing at true size, spread over sheets of paper that are put together again: each with marks that
//! meet those of its neighbours, squares to test the printer's scale with, and a map of all sheets.

use super::bounds::{crosses, shifted};
use super::clear::Area;
use super::lines;
use super::paper::Paper;
use super::scene::{Anchor, Drawing, Fill, Mark, Pen, Place, Step, Stroke, Words};

/// What printers leave white at each edge, in mm.
const MARGIN: f64 = 10.0;
/// How far neighbours overlap, in mm: what is trimmed away on one of them, or glued.
const OVERLAP: f64 = 10.0;
/// The band at the foot of a sheet: squares, names, the map.
const BAND: f64 = 58.0;
/// Sides of the test squares in mm: 2 in and 5 cm.
const INCHES: f64 = 50.8;
const CENTIMETRES: f64 = 50.0;
/// Sizes of letters in mm.
const SMALL: f64 = 2.6;
const PLAIN: f64 = 3.2;
const LARGE: f64 = 4.2;

const SCALE: &str = "Print at 100 %, not fitted to the page. Measure both squares before you use it.";
const JOIN: &str = "Trim one of two sheets at its dotted line. Lay the diamonds on each other and tape.";

const THIN: Pen = Pen { width: 0.18, stroke: Stroke::Solid };
const TRIM: Pen = Pen { width: 0.18, stroke: Stroke::Dotted };

/// What stands at the foot of each sheet.
#[derive(Clone, Debug, Default)]
pub struct Imprint {
    /// The recipe.
    pub recipe: String,
    /// What the guide shows, with its size and count: a few lines.
    pub lines: Vec<String>,
}

/// Where a sheet is: rows are lettered, columns numbered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct At {
    row: usize,
    column: usize,
}

impl At {
    fn name(self) -> String {
        format!("{}{}", letters(self.row), self.column.saturating_add(1))
    }
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
struct Tiling<'a> {
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
fn count(whole: f64, window: f64) -> usize {
    if whole <= window { 1 } else { ((whole - OVERLAP) / (window - OVERLAP)).ceil() as usize }
}

/// The sheets, row by row, at true size; those on which nothing would be drawn are left out.
pub fn tiles(drawing: &Drawing, imprint: &Imprint, paper: Paper) -> Vec<Drawing> {
    let (width, height) = paper.size();
    let window = (width - 2.0 * MARGIN, height - 2.0 * MARGIN - BAND);
    let (columns, rows) = (count(drawing.width, window.0), count(drawing.height, window.1));
    let mut tiling = Tiling { drawing, imprint, paper, window, columns, rows, kept: Vec::new() };
    let all = (0..rows).flat_map(|row| (0..columns).map(move |column| At { row, column }));
    tiling.kept = all.filter(|at| tiling.holds(*at)).collect();
    tiling.kept.iter().map(|at| tiling.sheet(*at)).collect()
}

impl Tiling<'_> {
    /// Where on the drawing a sheet begins.
    fn origin(&self, at: At) -> Place {
        let step = (self.window.0 - OVERLAP, self.window.1 - OVERLAP);
        (at.column as f64 * step.0, at.row as f64 * step.1)
    }

    fn holds(&self, at: At) -> bool {
        let (x, y) = self.origin(at);
        let window = Area::of((x, y), (x + self.window.0, y + self.window.1));
        self.drawing.marks.iter().any(|mark| crosses(mark, &window))
    }

    fn has(&self, row: Option<usize>, column: Option<usize>) -> Option<At> {
        let at = At { row: row?, column: column? };
        self.kept.contains(&at).then_some(at)
    }

    fn sheet(&self, at: At) -> Drawing {
        let (width, height) = self.paper.size();
        let (x, y) = self.origin(at);
        let window = [MARGIN, MARGIN, self.window.0, self.window.1];
        let shown = self.drawing.marks.iter().map(|mark| shifted(mark, (MARGIN - x, MARGIN - y)));
        let mut marks = vec![Mark::Clipped(window, shown.collect())];
        self.joins(at, &mut marks);
        self.band(at, &mut marks);
        let title = format!("{}: sheet {}", self.drawing.title, at.name());
        let description = format!(
            "{} Sheet {} of {}: row {}, column {}. {}",
            self.drawing.description,
            self.number(at),
            self.kept.len(),
            letters(at.row),
            at.column.saturating_add(1),
            "Print it at 100 %."
        );
        Drawing { width, height, title, description, marks }
    }

    fn number(&self, at: At) -> usize {
        self.kept.iter().position(|kept| *kept == at).map_or(0, |n| n.saturating_add(1))
    }

    /// Where neighbours go on: the line that their edge is laid on, and marks that meet theirs.
    fn joins(&self, at: At, marks: &mut Vec<Mark>) {
        let [left, top, wide, high] = [MARGIN, MARGIN, self.window.0, self.window.1];
        marks.push(rectangle([left, top, wide, high], Fill::None));
        let (before, after) = (|n: usize| n.checked_sub(1), |n: usize| n.checked_add(1));
        let here = (Some(at.row), Some(at.column));
        // The sum of a place on this sheet and of the same place on its neighbour is the overlap.
        let half = OVERLAP / 2.0;
        let sides = [
            (self.has(here.0, before(at.column)), true, left + half, left + OVERLAP),
            (self.has(here.0, after(at.column)), true, left + wide - half, left + wide - OVERLAP),
            (self.has(before(at.row), here.1), false, top + half, top + OVERLAP),
            (self.has(after(at.row), here.1), false, top + high - half, top + high - OVERLAP),
        ];
        for (neighbour, down, middle, edge) in sides {
            let Some(neighbour) = neighbour else { continue };
            // A place beside the edge, so far along it.
            let place = |off: f64, share: f64| match down {
                true => (off, top + share * high),
                false => (left + share * wide, off),
            };
            marks.push(line(place(edge, 0.0), place(edge, 1.0), TRIM));
            marks.extend([0.2, 0.5, 0.8].map(|share| diamond(place(middle, share))));
            let (x, y) = place(middle, 0.35);
            let lower = SMALL * 0.35;
            marks.push(Mark::Words(Words {
                at: if down { (x + lower, y) } else { (x, y + lower) },
                text: format!("joins {}", neighbour.name()),
                size: SMALL,
                anchor: Anchor::Middle,
                turned: if down { -90.0 } else { 0.0 },
                halo: true,
                bold: false,
            }));
        }
    }

    /// The foot: test squares, what it is, how it is put together.
    fn band(&self, at: At, marks: &mut Vec<Mark>) {
        let (width, height) = self.paper.size();
        let top = height - MARGIN - BAND + 4.0;
        let mut left = MARGIN;
        for (side, words) in [(INCHES, "2 in"), (CENTIMETRES, "5 cm")] {
            marks.push(rectangle([left, top, side, side], Fill::None));
            for (n, line) in ["test square", words, "measure each side"].iter().enumerate() {
                let size = if n == 1 { LARGE } else { SMALL };
                let y = top + side / 2.0 + (n as f64 - 0.8) * 5.0;
                marks.push(words_at((left + side / 2.0, y), line, size, (Anchor::Middle, n == 1)));
            }
            left += side + 3.0;
        }
        left += 2.0;
        let room = width - MARGIN - left;
        let sheet = format!("sheet {} ({} of {})", at.name(), self.number(at), self.kept.len());
        marks.push(words_at((left, top + LARGE), &sheet, LARGE, (Anchor::Start, true)));
        let names = std::iter::once(&self.imprint.recipe).chain(&self.imprint.lines);
        let names = names.flat_map(|line| lines::broken(line, SMALL, room, false)).take(5);
        let how = lines::broken(SCALE, SMALL, room, true);
        let join = if self.kept.len() > 1 { JOIN } else { "" };
        let join = lines::broken(join, SMALL, room, false);
        let lines = names.map(|line| (line, false));
        let lines = lines.chain(how.into_iter().map(|line| (line, true)));
        let mut y = top + LARGE + PLAIN * 1.4;
        for (line, bold) in lines.chain(join.into_iter().map(|line| (line, false))) {
            marks.push(words_at((left, y), &line, SMALL, (Anchor::Start, bold)));
            y += SMALL * 1.35;
        }
        if self.kept.len() > 1 {
            self.map(at, [left, y - SMALL * 0.6, room, height - MARGIN - y + SMALL * 0.6], marks);
        }
    }

    /// All sheets, small; this one is black.
    fn map(&self, this: At, [left, top, wide, high]: [f64; 4], marks: &mut Vec<Mark>) {
        let cell = (wide / self.columns as f64).min(high / self.rows as f64).min(5.0);
        if cell < 0.6 {
            return;
        }
        for at in &self.kept {
            let place = [left + at.column as f64 * cell, top + at.row as f64 * cell, cell, cell];
            let fill = if *at == this { Fill::Black } else { Fill::None };
            marks.push(rectangle(place, fill));
        }
    }
}

fn line(from: Place, to: Place, pen: Pen) -> Mark {
    Mark::Path { steps: vec![Step::Move(from), Step::Line(to)], pen: Some(pen), fill: Fill::None }
}

fn closed(corners: [Place; 4], fill: Fill) -> Mark {
    let [first, rest @ ..] = corners;
    let mut steps = vec![Step::Move(first)];
    steps.extend(rest.map(Step::Line));
    steps.push(Step::Close);
    Mark::Path { steps, pen: Some(THIN), fill }
}

fn rectangle([x, y, wide, high]: [f64; 4], fill: Fill) -> Mark {
    closed([(x, y), (x + wide, y), (x + wide, y + high), (x, y + high)], fill)
}

/// A mark that meets the same mark of the neighbour.
fn diamond((x, y): Place) -> Mark {
    let half = OVERLAP * 0.3;
    closed([(x, y - half), (x + half, y), (x, y + half), (x - half, y)], Fill::None)
}

fn words_at(at: Place, text: &str, size: f64, (anchor, bold): (Anchor, bool)) -> Mark {
    Mark::Words(Words { at, text: text.to_owned(), size, anchor, turned: 0.0, halo: false, bold })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::bounds::segments;
    use super::*;

    fn guide(width: f64, height: f64, marks: Vec<Mark>) -> Drawing {
        Drawing { width, height, title: "flag".into(), description: "A flag.".into(), marks }
    }

    fn imprint() -> Imprint {
        Imprint { recipe: "Signal flags".into(), lines: vec!["flag, 12 pieces".into()] }
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
        let joins = |mark: &Mark| matches!(mark, Mark::Words(words) if words.text.starts_with("joins"));
        assert!(!sheets.iter().flat_map(|sheet| &sheet.marks).any(joins));
    }

    #[test]
    fn both_test_squares_are_true_on_each_sheet() {
        let mark = line((0.0, 0.0), (500.0, 700.0), THIN);
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
        let marks = vec![line((5.0, 5.0), (20.0, 5.0), THIN), line((980.0, 980.0), (990.0, 990.0), THIN)];
        let sheets = tiles(&guide(1000.0, 1000.0, marks), &imprint(), Paper::A4);
        assert_eq!(sheets.len(), 2);
    }

    proptest! {
        #[test]
        fn each_place_of_a_line_is_on_a_sheet_at_true_size(
            from in (0.0..900.0_f64, 0.0..900.0_f64), to in (0.0..900.0_f64, 0.0..900.0_f64),
            share in 0.0..1.0_f64, letter in any::<bool>(),
        ) {
            let paper = if letter { Paper::Letter } else { Paper::A4 };
            let sheets = tiles(&guide(900.0, 900.0, vec![line(from, to, THIN)]), &imprint(), paper);
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
