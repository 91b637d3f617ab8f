//! The cutting plans as a drawing: cloth to scale, its length from left to right, in lines that print
//! well in black.
#![expect(clippy::arithmetic_side_effects, reason = "places lie on a cloth whose sides are 64-bit integers")]

use std::fmt::Write as _;
use std::io;

use super::escape::html_text;
use super::labels;
use super::ruled;
use super::view::{CutMark, Shape, View, What, breaks};
use super::wrap::{hang, width};
use crate::docket::{ClothPlan, Docket};
use crate::layout::{Rect, Spread};
use crate::text::harmless;

/// Width of the drawing, in mm: an A4 page upright, less its margins.
const PAGE: f64 = 190.0;
/// Margin left of the cloth and right of it.
const MARGIN: f64 = 8.0;
const ROOM: f64 = PAGE - 2.0 * MARGIN;
/// A cloth is drawn no higher, and no lower where it may be broken.
const HIGHEST: f64 = 150.0;
const LOWEST: f64 = 42.0;
/// So many rows of a broken cloth at most.
const MOST_ROWS: f64 = 6.0;
/// Heights of letters.
const TITLE: f64 = 4.2;
const WORDS: f64 = 3.2;
const SMALL: f64 = 2.5;
/// So many letters of words fit on a line.
const LETTERS: usize = 90;
/// Lines between the pieces of a block, each way.
const MOST_LINES: u64 = 120;

/// Writes the plans of all cloths below each other.
pub fn plan_svg(docket: &Docket, out: &mut dyn io::Write) -> io::Result<()> {
    let mut sheet = Sheet { body: String::new(), y: 6.0, clips: 0 };
    if let Some(recipe) = &docket.recipe {
        sheet.text(MARGIN, sheet.y + TITLE, TITLE * 1.2, "start", recipe, false);
        sheet.y += TITLE * 2.2;
    }
    for caution in &docket.cautions {
        for line in hang("Caution: ", caution, LETTERS) {
            sheet.text(MARGIN, sheet.y + WORDS, WORDS, "start", &line, false);
            sheet.y += WORDS * 1.4;
        }
    }
    for plan in &docket.cloths {
        let views: Vec<View> = plan.plan.spreads.iter().map(View::of).collect();
        // One scale for a cloth, so that its pieces can be compared.
        let scale = views.iter().map(scale).fold(f64::INFINITY, f64::min);
        for (spread, view) in plan.plan.spreads.iter().zip(&views) {
            sheet.spread(plan, spread, view, scale);
        }
    }
    let (width, height) = (PAGE, sheet.y + 4.0);
    writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height:.1}mm\" viewBox=\"0 0 {width} {height:.1}\" font-family=\"sans-serif\" fill=\"none\" stroke=\"#000\" stroke-linejoin=\"round\">"
    )?;
    writeln!(
        out,
        "<defs><pattern id=\"left\" width=\"1.8\" height=\"1.8\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\"><path d=\"M0 0V1.8\" stroke-width=\".22\"/></pattern></defs>"
    )?;
    writeln!(out, "<rect width=\"{width}\" height=\"{height:.1}\" fill=\"#fff\" stroke=\"none\"/>")?;
    out.write_all(sheet.body.as_bytes())?;
    writeln!(out, "</svg>")
}

/// How many mm a grid unit is drawn: to fill the page, in several rows where the cloth would be too low.
fn scale(view: &View) -> f64 {
    let (across, along) = (real(view.across.max(1)), real(view.along.max(1)));
    let fits = (ROOM / along).min(HIGHEST / across);
    fits.max((LOWEST / across).min(MOST_ROWS * 0.9 * ROOM / along))
}

struct Sheet {
    body: String,
    /// How far down the page is drawn.
    y: f64,
    clips: usize,
}

/// Where a row of cloth is on the page.
#[derive(Clone, Copy)]
struct Row {
    left: f64,
    top: f64,
    scale: f64,
    from: i128,
    to: i128,
}

impl Row {
    /// Along the cloth is from left to right.
    fn x(&self, along: i128) -> f64 {
        self.left + real(along - self.from) * self.scale
    }

    /// Across it is from top to bottom.
    fn y(&self, across: i128) -> f64 {
        self.top + real(across) * self.scale
    }

    /// Left, top, width and height of a rectangle.
    fn place(&self, at: Rect) -> [f64; 4] {
        [self.x(at.y), self.y(at.x), real(at.along) * self.scale, real(at.across) * self.scale]
    }
}

fn real(units: i128) -> f64 {
    units as f64
}

impl Sheet {
    fn put(&mut self, text: std::fmt::Arguments<'_>) {
        // Writing to a text cannot fail.
        let _ = self.body.write_fmt(text);
    }

    fn text(&mut self, x: f64, y: f64, size: f64, anchor: &str, words: &str, halo: bool) {
        let words = escaped(words);
        if halo {
            self.put(format_args!(
                "<text x=\"{x:.2}\" y=\"{y:.2}\" font-size=\"{size}\" text-anchor=\"{anchor}\" fill=\"#fff\" stroke=\"#fff\" stroke-width=\"1.4\">{words}</text>\n"
            ));
        }
        self.put(format_args!(
            "<text x=\"{x:.2}\" y=\"{y:.2}\" font-size=\"{size}\" text-anchor=\"{anchor}\" fill=\"#000\" stroke=\"none\">{words}</text>\n"
        ));
    }

    fn line(&mut self, from: (f64, f64), to: (f64, f64), wide: f64) {
        self.put(format_args!(
            "<path d=\"M{:.2} {:.2}L{:.2} {:.2}\" stroke-width=\"{wide}\"/>\n",
            from.0, from.1, to.0, to.1
        ));
    }

    fn spread(&mut self, plan: &ClothPlan, spread: &Spread, view: &View, scale: f64) {
        if view.across <= 0 || view.along <= 0 {
            return;
        }
        let most = (ROOM / scale) as i128;
        self.y += 3.0;
        self.text(MARGIN, self.y + TITLE, TITLE, "start", &labels::title(plan, spread), false);
        self.grain(self.y + TITLE * 0.7);
        self.y += TITLE + 4.0;
        let mut keys = Vec::new();
        for (from, to) in breaks(view, most) {
            let row = Row { left: MARGIN, top: self.y + 6.0, scale, from, to };
            self.row(plan, spread, view, row, &mut keys);
            self.y = row.y(view.across) + 12.0;
        }
        self.legend(plan, &keys);
        if !view.whole {
            let words = "not all of its pieces are drawn";
            self.text(MARGIN, self.y + WORDS, WORDS, "start", words, false);
            self.y += WORDS + 2.0;
        }
    }

    /// Which way the grain runs.
    fn grain(&mut self, y: f64) {
        let (from, to) = (PAGE - MARGIN - 26.0, PAGE - MARGIN);
        self.text(from - 2.0, y + 0.9, SMALL, "end", "grain", false);
        self.put(format_args!(
            "<path d=\"M{from} {y:.2}H{to}m-2 -1l2 1l-2 1M{:.2} {:.2}l-2 1l2 1\" stroke-width=\".35\"/>\n",
            from + 2.0,
            y - 1.0
        ));
    }

    fn row(&mut self, plan: &ClothPlan, spread: &Spread, view: &View, row: Row, keys: &mut Vec<usize>) {
        let [left, right] = [row.x(row.from), row.x(row.to)];
        let [top, bottom] = [row.y(0), row.y(view.across)];
        self.clips += 1;
        let clip = self.clips;
        self.put(format_args!(
            "<clipPath id=\"row{clip}\"><rect x=\"{:.2}\" y=\"{:.2}\" width=\"{:.2}\" height=\"{:.2}\"/></clipPath>\n<g clip-path=\"url(#row{clip})\">\n",
            left - 0.3, top - 0.5, right - left + 0.6, bottom - top + 1.0
        ));
        let seen = |shape: &&Shape| labels::within(shape.at, row.from, row.to).is_some();
        for shape in view.shapes.iter().filter(seen) {
            self.shape(shape, row);
        }
        self.put(format_args!("</g>\n"));
        self.edges(plan, spread, view, row);
        self.ruler(plan, view, row);
        // The name of the upper edge is in the way of the first rings.
        let mut taken = vec![(left + 3.0, top - 2.6), (left + 7.0, top - 2.6)];
        for cut in &view.cuts {
            self.number(cut, view, row, &mut taken);
        }
        for shape in view.shapes.iter().filter(seen) {
            self.label(plan, shape, row, &taken, keys);
        }
    }

    fn shape(&mut self, shape: &Shape, row: Row) {
        let [x, y, wide, high] = row.place(shape.at);
        let fill = if matches!(shape.what, What::Left { .. }) { "url(#left)" } else { "#fff" };
        if let What::Gap(_) = shape.what {
            for side in [x, x + wide] {
                self.put(format_args!("<path d=\"M{side:.2} {y:.2}"));
                let steps = 8.0;
                let mut way = 1.2;
                for _ in 0..8 {
                    self.put(format_args!("l{way} {:.2}", high / steps));
                    way = -way;
                }
                self.put(format_args!("\" stroke-width=\".3\"/>\n"));
            }
            return;
        }
        self.put(format_args!(
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{wide:.2}\" height=\"{high:.2}\" fill=\"{fill}\" stroke-width=\".35\"/>\n"
        ));
        if let What::Pieces { columns, rows, .. } | What::Left { columns, rows } = shape.what {
            if (2..=MOST_LINES).contains(&rows) {
                for n in 1..rows {
                    let at = x + wide * n as f64 / rows as f64;
                    self.line((at, y), (at, y + high), 0.2);
                }
            }
            if (2..=MOST_LINES).contains(&columns) {
                for n in 1..columns {
                    let at = y + high * n as f64 / columns as f64;
                    self.line((x, at), (x + wide, at), 0.2);
                }
            }
        }
    }

    /// The fullest words that fit beside the rings, upright or turned.
    fn label(
        &mut self,
        plan: &ClothPlan,
        shape: &Shape,
        row: Row,
        rings: &[(f64, f64)],
        keys: &mut Vec<usize>,
    ) {
        let Some(seen) = labels::within(shape.at, row.from, row.to) else { return };
        // A piece that a break cuts through has its words where much of it is.
        if seen.along < (shape.at.along / 3).min((row.to - row.from) / 3) {
            return;
        }
        let place = row.place(seen);
        let size = if matches!(shape.what, What::Left { .. }) { SMALL } else { WORDS };
        for lines in labels::of(plan, shape) {
            let Some((middle, centre, turned)) = fitted(&lines, size, place, rings) else { continue };
            if let Some(piece) = labels::is_key(&lines, shape)
                && !keys.contains(&piece)
            {
                keys.push(piece);
            }
            if turned {
                self.put(format_args!("<g transform=\"rotate(-90 {middle:.2} {centre:.2})\">\n"));
            }
            let first = centre - (lines.len() as f64 - 1.0) * size * 0.62 + size * 0.36;
            for (n, line) in lines.iter().enumerate() {
                self.text(middle, first + n as f64 * size * 1.25, size, "middle", line, true);
            }
            if turned {
                self.put(format_args!("</g>\n"));
            }
            return;
        }
    }

    /// Selvages, or the fold, or the plain edges of a piece in hand.
    fn edges(&mut self, plan: &ClothPlan, spread: &Spread, view: &View, row: Row) {
        let (left, right) = (row.x(row.from), row.x(row.to));
        let (top, bottom) = (row.y(0), row.y(view.across));
        let (first, second) = match (spread.sheet, plan.folded) {
            (None, false) => ("selvage", "selvage"),
            (None, true) => ("both selvages", "fold"),
            (Some(_), true) => ("edges", "fold"),
            (Some(_), false) => ("", ""),
        };
        for (y, words, out) in [(top, first, -1.0), (bottom, second, 1.0)] {
            match words {
                "selvage" | "both selvages" => {
                    self.line((left, y), (right, y), 0.5);
                    self.line((left, y + out * 0.9), (right, y + out * 0.9), 0.2);
                }
                "fold" => self.put(format_args!(
                    "<path d=\"M{left:.2} {y:.2}H{right:.2}\" stroke-width=\".6\" stroke-dasharray=\"3 1 .6 1\"/>\n"
                )),
                _ => self.line((left, y), (right, y), 0.5),
            }
            let below = if out > 0.0 { 4.4 + 2.0 * SMALL } else { -1.6 };
            self.text(left, y + below, SMALL, "start", words, false);
        }
        for (at, end) in [(row.from, 0), (row.to, view.along)] {
            let x = row.x(at);
            if at == end {
                self.line((x, top), (x, bottom), 0.5);
            } else {
                // A break: the cloth goes on in the row below.
                self.put(format_args!(
                    "<path d=\"M{x:.2} {top:.2}V{bottom:.2}\" stroke-width=\".4\" stroke-dasharray=\"1 1\"/>\n"
                ));
            }
        }
    }

    /// Marks along the far selvage, from the near end of the cloth up to the first gap.
    fn ruler(&mut self, plan: &ClothPlan, view: &View, row: Row) {
        let gap = |shape: &&Shape| matches!(shape.what, What::Gap(_));
        let true_to = view.shapes.iter().filter(gap).map(|gap| gap.at.y).min().unwrap_or(view.along);
        let Some(marks) = ruled::marks(plan, 13.0 / row.scale, row.to.min(true_to)) else { return };
        let y = row.y(view.across) + 1.3;
        let to = row.x(row.to.min(true_to));
        if row.from >= true_to {
            return;
        }
        self.line((row.left, y), (to, y), 0.2);
        for (at, words) in marks {
            let x = row.left + (at - real(row.from)) * row.scale;
            if x < row.left - 0.01 || x > to + 0.01 {
                continue;
            }
            self.line((x, y), (x, y + 1.4), 0.25);
            self.text(x, y + 1.8 + SMALL, SMALL, "middle", &words, false);
        }
    }

    /// The number of a cut in a ring at its beginning, moved along the cut where another is there.
    fn number(&mut self, cut: &CutMark, view: &View, row: Row, taken: &mut Vec<(f64, f64)>) {
        let off = cut.off;
        let radius = if cut.number > 99 { 2.4 } else { 1.9 };
        let (mut x, mut y, down, end);
        if cut.across {
            let at = off.y + off.along;
            if at <= row.from || at > row.to {
                return;
            }
            (x, y) = (row.x(at), row.y(off.x) + if off.x == 0 { -2.6 } else { radius + 0.4 });
            (down, end) = (true, row.y(off.x + off.across));
        } else {
            let at = off.x + off.across;
            if at >= view.across || off.y < row.from || off.y >= row.to {
                return;
            }
            (x, y) = (row.x(off.y) + radius + 0.4, row.y(at));
            (down, end) = (false, row.x((off.y + off.along).min(row.to)));
        }
        let near = |x: f64, y: f64, taken: &[(f64, f64)]| {
            taken.iter().any(|(a, b)| (a - x).hypot(b - y) < 2.0 * radius + 0.3)
        };
        while near(x, y, taken) {
            *(if down { &mut y } else { &mut x }) += 2.0 * radius + 0.4;
            if (if down { y } else { x }) > end {
                return;
            }
        }
        taken.push((x, y));
        self.put(format_args!(
            "<circle cx=\"{x:.2}\" cy=\"{y:.2}\" r=\"{radius}\" fill=\"#fff\" stroke-width=\".3\"/>\n"
        ));
        self.text(x, y + 0.85, 2.4, "middle", &cut.number.to_string(), false);
    }

    fn legend(&mut self, plan: &ClothPlan, keys: &[usize]) {
        let mut keys = keys.to_vec();
        keys.sort_unstable();
        for piece in keys {
            self.text(MARGIN, self.y + WORDS, WORDS, "start", &labels::explained(plan, piece), false);
            self.y += WORDS * 1.4;
        }
        self.y += 2.0;
    }
}

/// Where lines of words are within a place, clear of the rings: their middle, and whether they
/// are turned; none where they do not fit.
fn fitted(lines: &[String], size: f64, place: [f64; 4], rings: &[(f64, f64)]) -> Option<(f64, f64, bool)> {
    let [x, y, wide, high] = place;
    let longest = lines.iter().map(|line| width(line)).max().unwrap_or(0);
    let long = longest as f64 * size * 0.58 + 1.6;
    let tall = lines.len() as f64 * size * 1.25 + 0.8;
    for turned in [false, true] {
        let (w, h) = if turned { (tall, long) } else { (long, tall) };
        if w > wide || h > high {
            continue;
        }
        let (spare_x, spare_y) = ((wide - w) / 2.0, (high - h) / 2.0);
        for (dx, dy) in [(0.0, 0.0), (1.0, 0.0), (0.0, 1.0), (0.0, -1.0), (-1.0, 0.0), (1.0, 1.0)] {
            let middle = x + wide / 2.0 + dx * spare_x.min(6.0);
            let centre = y + high / 2.0 + dy * spare_y.min(6.0);
            let hit = |(a, b): &(f64, f64)| {
                (a - middle).abs() < w / 2.0 + 1.5 && (b - centre).abs() < h / 2.0 + 1.5
            };
            if !rings.iter().any(hit) {
                return Some((middle, centre, turned));
            }
        }
    }
    None
}

/// A text for XML, in which two characters cannot be at all.
fn escaped(text: &str) -> String {
    html_text(&harmless(text)).replace('\'', "&#39;").replace(['\u{fffe}', '\u{ffff}'], "")
}
