//! Shapes, lines, places and words of a picture.

use super::view::View;
use super::{SMALL, WORDS};
use crate::docket::{Fill as Filling, Line, Part, Picture};
use crate::drawing::clear::{Area, Block, Sheet, dot, thin};
use crate::drawing::edges::{Drawn, edges};
use crate::drawing::lines::wrapped;
use crate::drawing::{Fill, Mark, Pen, Place, Step, Stroke};

/// The pen of a kind of line: ISO 128-2, thick where it is cut.
pub(super) fn pen(line: Line) -> Pen {
    Pen { width: if line == Line::Cut { 0.5 } else { 0.25 }, stroke: stroke(line) }
}

/// A kind of line: ISO 128-2, continuous, dashed, dotted, long dash and dot.
pub(in crate::drawing) fn stroke(line: Line) -> Stroke {
    match line {
        Line::Cut | Line::Mark => Stroke::Solid,
        Line::Seam => Stroke::Dashed,
        Line::Fold => Stroke::DashDot,
        Line::Hidden => Stroke::Dotted,
    }
}

pub(in crate::drawing) fn filling(fill: Filling) -> Fill {
    match fill {
        Filling::None => Fill::None,
        Filling::White => Fill::White,
        Filling::Hatched => Fill::Hatched,
        Filling::Dotted => Fill::Dotted,
    }
}

/// All that is drawn to scale, in its order; words will keep off its lines.
pub(super) fn shapes(picture: &Picture, view: &View, sheet: &mut Sheet) {
    for part in &picture.parts {
        match part {
            Part::Shape { at, outline, line, fill, .. } => {
                shape(&edges(at, outline), *line, filling(*fill), (view, pen), sheet);
            }
            Part::Straight { ends, line, .. } => {
                let ends = view.line(ends);
                sheet.under(Mark::line(ends.0, ends.1, pen(*line)));
                sheet.shy(ends);
            }
            Part::Spot { at, .. } => {
                let at = view.point(at);
                sheet.under(Mark::Path { steps: dot(at, 0.8), pen: Some(thin(0.25)), fill: Fill::White });
                sheet.under(Mark::Path { steps: dot(at, 0.25), pen: None, fill: Fill::Black });
                sheet.keep(Area::around(at, (1.7, 1.7)));
            }
            Part::Grain { ends } => grain(view.line(ends), 0.25, sheet),
            Part::Distance { .. } | Part::Scale { .. } | Part::Words { .. } => {}
        }
    }
}

/// An arrow both ways.
pub(in crate::drawing) fn grain(ends: (Place, Place), width: f64, sheet: &mut Sheet) {
    sheet.line(ends, thin(width));
    sheet.arrow(ends.0, ends.1);
    sheet.arrow(ends.1, ends.0);
}

/// A shape: its edges, which words keep off, and what fills it. An edge on the fold has the line of a fold.
pub(in crate::drawing) fn shape(
    edges: &[Drawn],
    line: Line,
    fill: Fill,
    (view, pen): (&View, impl Fn(Line) -> Pen),
    sheet: &mut Sheet,
) {
    let edge_steps = |edge: &Drawn| edge.steps(|at| view.place(at), view.scale);
    let mut steps = Vec::new();
    let mut ended = None;
    for edge in edges {
        // A hole begins elsewhere.
        if ended != Some(edge.from) {
            steps.extend(ended.map(|_| Step::Close));
            steps.push(Step::Move(view.place(edge.from)));
        }
        steps.extend(edge_steps(edge));
        ended = Some(edge.to);
    }
    steps.push(Step::Close);
    let folded = edges.iter().any(|edge| edge.on_fold);
    sheet.under(Mark::Path { steps, pen: (!folded).then(|| pen(line)), fill });
    for edge in edges.iter().filter(|_| folded) {
        let steps = std::iter::once(Step::Move(view.place(edge.from))).chain(edge_steps(edge)).collect();
        let pen = Some(pen(if edge.on_fold { Line::Fold } else { line }));
        sheet.under(Mark::Path { steps, pen, fill: Fill::None });
    }
    for edge in edges {
        edge.lines(|at| view.place(at)).into_iter().for_each(|ends| sheet.shy(ends));
    }
}

/// The names of all parts; how many have no room. A name that may be anywhere in a shape comes last.
pub(super) fn words(picture: &Picture, view: &View, sheet: &mut Sheet) -> usize {
    let in_shape = |part: &&Part| matches!(part, Part::Shape { .. });
    let placed = picture.parts.iter().filter(|part| !in_shape(part));
    let all = placed.chain(picture.parts.iter().filter(in_shape));
    all.filter(|part| !words_of(part, view, sheet)).count()
}

/// The name of one part; whether it has room.
fn words_of(part: &Part, view: &View, sheet: &mut Sheet) -> bool {
    match part {
        Part::Words { at, words } => named(sheet, words, view.point(at), None, false),
        Part::Shape { at, outline, label: Some(label), .. } => {
            let places = edges(at, outline);
            let Some(area) = Area::of_all(places.iter().flat_map(Drawn::places)) else { return true };
            let (a, b) = (view.place((area.left, area.top)), view.place((area.right, area.bottom)));
            let area = Area::of(a, b);
            named(sheet, label, area.middle(), Some(area), false)
        }
        Part::Straight { ends, label: Some(label), .. } => {
            let (a, b) = view.line(ends);
            named(sheet, label, middle(a, b), None, true)
        }
        Part::Spot { at, label: Some(label) } => named(sheet, label, view.point(at), None, true),
        Part::Grain { ends } => {
            let (a, b) = view.line(ends);
            named(sheet, "grain", middle(a, b), None, true)
        }
        _ => true,
    }
}

/// Words at a place or within an area, else beside it with a leader; whether there is room.
fn named(sheet: &mut Sheet, words: &str, target: Place, within: Option<Area>, beside: bool) -> bool {
    for size in [WORDS, SMALL] {
        let room = within.map_or(50.0, |area| area.wide() - 1.6).max(8.0);
        for (turned, room) in [(false, room), (true, within.map_or(0.0, |area| area.high() - 1.6))] {
            let lines = wrapped(words, size, false, room, 3);
            if room < 8.0 || lines.iter().any(|line| line.ends_with('…')) && !words.ends_with('…') {
                continue;
            }
            let block = Block { lines, size, turned, ..Block::default() };
            let extent = block.extent();
            let tries: Vec<Place> = match within {
                Some(area) if extent.0 <= area.wide() && extent.1 <= area.high() => spread(&area, extent),
                Some(_) => Vec::new(),
                None if turned => Vec::new(),
                None if beside => near(target, extent, 1.4).into(),
                None => std::iter::once(target).chain(near(target, extent, 0.0)).collect(),
            };
            for middle in tries {
                if sheet.try_put(&block, middle) {
                    sheet.ground(&block, middle);
                    return true;
                }
            }
        }
    }
    let lines = wrapped(words, SMALL, false, 45.0, 2);
    let block = Block { lines, size: SMALL, ..Block::default() };
    led(sheet, &block, target)
}

/// Places in an area for words of an extent, from its middle outward.
fn spread(area: &Area, (wide, high): (f64, f64)) -> Vec<Place> {
    let (x, y) = area.middle();
    let (spare_x, spare_y) = ((area.wide() - wide) / 2.0, (area.high() - high) / 2.0);
    let mut shares: Vec<(f64, f64)> = Vec::new();
    for down in -6..=6_i32 {
        shares.extend((-6..=6_i32).map(|right| (f64::from(right) * 0.16, f64::from(down) * 0.16)));
    }
    shares.sort_by(|one, other| one.0.hypot(one.1).total_cmp(&other.0.hypot(other.1)));
    shares.into_iter().map(|(dx, dy)| (x + dx * spare_x, y + dy * spare_y)).collect()
}

/// Places round a target: right, left, above, below, and between.
pub(in crate::drawing) fn near((x, y): Place, (wide, high): (f64, f64), free: f64) -> [Place; 8] {
    let (dx, dy) = (wide / 2.0 + free, high / 2.0 + free);
    [(1.0, 0.0), (0.0, -1.0), (0.0, 1.0), (-1.0, 0.0), (1.0, -1.0), (1.0, 1.0), (-1.0, -1.0), (-1.0, 1.0)]
        .map(|(right, down)| (x + right * dx, y + down * dy))
}

pub(in crate::drawing) fn middle(a: Place, b: Place) -> Place {
    ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0)
}

/// Words somewhere near with a leader to what they name; left out where there is no room at all.
pub(super) fn led(sheet: &mut Sheet, block: &Block, target: Place) -> bool {
    let (wide, high) = block.extent();
    for far in 2..24 {
        for turn in 0..16 {
            let angle = f64::from(turn) * std::f64::consts::PI / 8.0 + 0.2;
            let way = (angle.cos(), angle.sin());
            let reach = (wide / 2.0 / way.0.abs().max(1e-6)).min(high / 2.0 / way.1.abs().max(1e-6)) + 0.6;
            let far = reach + f64::from(far) * 2.5;
            let middle = (target.0 + way.0 * far, target.1 + way.1 * far);
            if !sheet.free(&Area::around(middle, block.extent()), |_, _| false) {
                continue;
            }
            let from = (middle.0 - way.0 * reach, middle.1 - way.1 * reach);
            if sheet.passes(from, target) {
                sheet.ground(block, middle);
                sheet.put(block, middle);
                sheet.leader(from, target);
                return true;
            }
        }
    }
    false
}
