//! A picture of a docket as a drawing: to scale, its measures outside it, its line kinds after ISO 128.

pub(crate) mod description;
mod measures;
pub(super) mod parts;
pub(super) mod view;

use super::clear::{Area, Sheet};
use super::head::{cautions, head};
use super::letters::width;
use super::lines::wrapped;
use super::{Drawing, Mark};
use crate::docket::{Docket, Line, Part, Picture};
use measures::Outside;
use view::View;

const TITLE: f64 = 3.8;
/// Letters in the picture.
const WORDS: f64 = 2.7;
/// Letters of measures.
const SMALL: f64 = 2.4;
/// Small things are drawn so many times their size at most.
const LARGEST: f64 = 4.0;
/// A row of the legend, and the line before each of its words.
const ROW: f64 = 4.5;
const SAMPLE: f64 = 13.5;
/// What is free round the picture.
const FREE: f64 = 6.0;

/// What a docket draws, each in a room of so many mm, width and height. The recipe and its cautions stand above the first where it is
/// the first drawing.
pub fn pictures(docket: &Docket, room: (f64, f64), first: bool) -> Vec<Drawing> {
    let drawn = |(number, one): (usize, &Picture)| {
        let head = (first && number == 0).then_some(docket);
        below(head, one, room)
    };
    docket.pictures.iter().enumerate().map(drawn).collect()
}

/// The same for a document that tells the recipe and its cautions in words of its own. The first has a room of its own.
pub fn bare_pictures(docket: &Docket, (first, others): ((f64, f64), (f64, f64))) -> Vec<Drawing> {
    let rooms = std::iter::once(first).chain(std::iter::repeat(others));
    docket.pictures.iter().zip(rooms).map(|(one, room)| below(None, one, room)).collect()
}

/// A picture in a room of so many mm, width and height; the drawing is no higher than it needs.
pub fn picture(picture: &Picture, room: (f64, f64)) -> Drawing {
    below(None, picture, room)
}

/// A picture, below the head of a docket.
fn below(docket: Option<&Docket>, picture: &Picture, room: (f64, f64)) -> Drawing {
    let room = (room.0.max(60.0), room.1.max(60.0));
    let mut sheet = Sheet::new(room);
    let mut top = docket.map_or(0.0, |docket| head(docket, &mut sheet, room));
    for line in wrapped(&picture.title, TITLE, true, room.0, 2) {
        top += TITLE * 1.25;
        sheet.write((0.0, top - TITLE * 0.25), &line, TITLE, true);
    }
    top += 2.0;
    let kinds = kinds(picture);
    let last_row = places(&kinds, room.0).last().map_or(0.0, |place| place.1);
    let legend_high = if kinds.len() > 1 { last_row + 6.0 } else { 0.0 };
    // A row more for what has no room.
    let foot = legend_high + 4.0;
    let mut bottom = top;
    let mut left_out = 0;
    if let Some(bounds) = view::bounds(picture) {
        let (view, outside) = fitted(picture, &bounds, room, top, foot);
        bottom = view.on_page.bottom + outside.thick(measures::Side::Bottom) + FREE;
        sheet.within(Area { left: 0.0, top, right: room.0, bottom });
        parts::shapes(picture, &view, &mut sheet);
        measures::put(picture, &view, &outside, &mut sheet);
        left_out = outside.left_out.saturating_add(parts::words(picture, &view, &mut sheet));
    }
    if kinds.len() > 1 {
        legend(&mut sheet, &kinds, room.0, bottom + 3.0);
        bottom += legend_high;
    }
    if left_out > 0 {
        let words = "Not all measures and names have room in this drawing.";
        sheet.write((0.0, bottom + SMALL), words, SMALL, false);
        bottom += 4.0;
    }
    let (width, height) = (room.0, bottom.min(room.1));
    let title = wrapped(&picture.title, TITLE, true, room.0, 2).join(" ");
    let description =
        format!("{}{}", docket.map_or_else(String::new, cautions), description::description(picture));
    Drawing { width, height, title, description, list: None, marks: sheet.finish() }
}

/// The scale at which a picture and the measures round it fill the room.
fn fitted(picture: &Picture, bounds: &Area, room: (f64, f64), top: f64, foot: f64) -> (View, Outside) {
    let scale_in = |outside: &Outside| {
        let side = |side| outside.thick(side);
        let wide = room.0 - side(measures::Side::Left) - side(measures::Side::Right) - 2.0 * FREE;
        let high =
            room.1 - top - foot - side(measures::Side::Top) - side(measures::Side::Bottom) - 2.0 * FREE;
        let scale = (wide / bounds.wide().max(1e-6)).min(high / bounds.high().max(1e-6));
        if scale > 1e-9 { scale.min(LARGEST) } else { 1e-9 }
    };
    let mut outside = Outside::default();
    let mut scale = scale_in(&outside);
    for _ in 0..4 {
        outside = Outside::of(picture, bounds, scale, (room.0, room.1 - top - foot - 2.0 * FREE));
        scale = scale_in(&outside);
    }
    let left = outside.thick(measures::Side::Left) + FREE;
    let right = outside.thick(measures::Side::Right) + FREE;
    // In the middle of what the measures leave free.
    let spare = room.0 - left - right - bounds.wide() * scale;
    let corner = (left + spare.max(0.0) / 2.0, top + FREE + outside.thick(measures::Side::Top));
    (View::new(*bounds, corner, scale), outside)
}

/// The kinds of line in a picture, in a fixed order, each with its word.
fn kinds(picture: &Picture) -> Vec<(Line, &'static str)> {
    const ALL: [(Line, &str); 5] = [
        (Line::Cut, "edge or cut"),
        (Line::Seam, "stitches"),
        (Line::Fold, "fold"),
        (Line::Mark, "mark"),
        (Line::Hidden, "hidden"),
    ];
    let has = |kind: Line| {
        picture.parts.iter().any(|part| match part {
            Part::Shape { outline, line, .. } => {
                *line == kind || kind == Line::Fold && super::edges::on_fold(outline)
            }
            Part::Straight { line, .. } => *line == kind,
            _ => false,
        })
    };
    ALL.into_iter().filter(|(kind, _)| has(*kind)).collect()
}

/// Where each kind of line and its word stand in the legend: so far right and down, in rows that fit the width.
fn places(kinds: &[(Line, &'static str)], wide: f64) -> Vec<(f64, f64)> {
    let (mut x, mut y) = (0.0, 0.0);
    let mut places = Vec::new();
    for (_, word) in kinds {
        let long = SAMPLE + width(word, SMALL, false);
        if x > 0.0 && x + long > wide {
            (x, y) = (0.0, y + ROW);
        }
        places.push((x, y));
        x += long + 6.0;
    }
    places
}

/// Which kind of line means what.
fn legend(sheet: &mut Sheet, kinds: &[(Line, &'static str)], wide: f64, top: f64) {
    for ((kind, word), (x, y)) in kinds.iter().zip(places(kinds, wide)) {
        let y = top + y;
        sheet.under(Mark::line((x, y), (x + SAMPLE - 1.5, y), parts::pen(*kind)));
        sheet.write((x + SAMPLE, y + SMALL * 0.35), word, SMALL, false);
    }
}
