//! Pictures at true size, to be printed and laid under the cloth: one, or the same one of several sizes over each other.

mod packed;
mod ruler;
mod words;

use std::collections::BTreeSet;

pub use packed::{Small, as_one, shared};

use super::clear::{Area, Sheet, dot, thin};
use super::edges::{Drawn, edges};
use super::picture::parts::{filling, grain, shape, stroke};
use super::picture::view::{View, places};
use super::tiles::Joins;
use super::{Drawing, Fill, Mark, Paper, Pen, Place, Step, Stroke};
use crate::docket::{Line, Part, Picture};
use crate::text::harmless;

/// What is free round the lines.
const FREE: f64 = 6.0;
/// A shape so large has its name near its edge, and is not filled.
const LARGE: f64 = 140.0;
/// The width of what is cut, and of all else; ISO 128-2.
const THICK: f64 = 0.35;
const THIN: f64 = 0.18;

/// The kinds of line of sizes over each other, the most different first, with their names after ISO 128-2.
pub const SIZE_LINES: &[(Stroke, &str)] = &[
    (Stroke::Solid, "continuous"),
    (Stroke::Iso02, "dashed"),
    (Stroke::Iso04, "long dash, dot"),
    (Stroke::Iso07, "dotted"),
    (Stroke::Iso05, "long dash, two dots"),
    (Stroke::Iso08, "long dash, short dash"),
    (Stroke::Iso03, "dashed, wide gaps"),
    (Stroke::Iso10, "dash, dot"),
    (Stroke::Iso06, "long dash, three dots"),
    (Stroke::Iso09, "long dash, two short dashes"),
    (Stroke::Iso12, "dash, two dots"),
    (Stroke::Iso11, "two dashes, dot"),
    (Stroke::Iso14, "dash, three dots"),
    (Stroke::Iso13, "two dashes, two dots"),
    (Stroke::Iso15, "two dashes, three dots"),
];

/// A picture of a guide, and the size that it is made in, where it has one.
#[derive(Clone, Copy, Debug)]
pub struct Layer<'a> {
    /// The size.
    pub size: Option<&'a str>,
    /// What is drawn.
    pub picture: &'a Picture,
}

/// A layer while it is drawn.
struct Laid<'a> {
    picture: &'a Picture,
    /// Its size and the kind of all its lines, where there are several layers.
    nested: Option<(&'a str, Stroke)>,
    is_first: bool,
    /// The words that every size has.
    common: &'a BTreeSet<&'a str>,
    /// How far along an edge its size stands, as a share.
    share: f64,
    /// Where it lies on the drawing.
    view: View,
    /// Where the sheets meet.
    joins: Joins,
}

/// The pictures at true size over each other, their origins at the same place, for sheets of this paper; nothing where they
/// hold no line.
pub fn guide(layers: &[Layer<'_>], paper: Paper) -> Option<Drawing> {
    let bounds = layers.iter().filter_map(|layer| bounds(layer.picture)).reduce(|a, b| a.joined(&b))?;
    let margins = ruler::margins(layers, &bounds);
    let bounds = bounds.grown(FREE).joined(&margins);
    let (width, height) = (bounds.wide(), bounds.high());
    let mut sheet = Sheet::new((width, height));
    let joins = Joins::of((width, height), paper);
    let several = layers.len() > 1;
    let common =
        layers.iter().map(|layer| words_of(layer.picture)).reduce(|a, b| &a & &b).unwrap_or_default();
    let laid: Vec<Laid<'_>> = (0_u32..)
        .zip(layers)
        .zip(SIZE_LINES.iter().cycle())
        .map(|((n, layer), (stroke, _))| Laid {
            picture: layer.picture,
            nested: several.then_some((layer.size.unwrap_or_default(), *stroke)),
            is_first: n == 0,
            common: &common,
            share: f64::from(n.saturating_add(1)) / (layers.len() as f64 + 1.0),
            view: View::new(bounds, (0.0, 0.0), 1.0),
            joins,
        })
        .collect();
    laid.iter().for_each(|layer| layer.lines(&mut sheet));
    laid.iter().for_each(|layer| layer.rulers(&mut sheet));
    laid.iter().for_each(|layer| layer.words(&mut sheet));
    let title = layers.first().map_or_else(String::new, |layer| harmless(&layer.picture.title).into_owned());
    Some(Drawing { width, height, description: title.clone(), title, list: None, marks: sheet.finish() })
}

impl Laid<'_> {
    /// The pen of a kind of line. Of several sizes each has its own kind, and only what is cut is thicker.
    fn pen(&self, line: Line) -> Pen {
        let width = if line == Line::Cut { THICK } else { THIN };
        Pen { width, stroke: self.nested.map_or_else(|| stroke(line), |(_, stroke)| stroke) }
    }

    /// All lines, in their order.
    fn lines(&self, sheet: &mut Sheet) {
        for part in &self.picture.parts {
            match part {
                Part::Shape { at, outline, line, fill, .. } => {
                    let edges = edges(at, outline);
                    // What is under others shows through where there are several sizes.
                    let clear = is_large(&edges) || self.nested.is_some();
                    let fill = if clear { Fill::None } else { filling(*fill) };
                    shape(&edges, *line, fill, (&self.view, |line| self.pen(line)), sheet);
                }
                Part::Straight { ends, line, .. } => {
                    let ends = self.view.line(ends);
                    sheet.under(Mark::line(ends.0, ends.1, self.pen(*line)));
                    sheet.shy(ends);
                }
                Part::Spot { at, .. } => spot(self.view.point(at), sheet),
                // Of several sizes one arrow is enough.
                Part::Grain { ends } if self.is_first => grain(self.view.line(ends), THIN, sheet),
                // Distances are told in the picture in front; here they can be measured.
                Part::Grain { .. } | Part::Distance { .. } | Part::Scale { .. } | Part::Words { .. } => {}
            }
        }
    }
}

/// Whether a shape is so large that lines all over it would only cost ink.
fn is_large(edges: &[Drawn]) -> bool {
    let area = Area::of_all(edges.iter().flat_map(Drawn::places));
    area.is_some_and(|area| area.wide().max(area.high()) > LARGE)
}

/// A place: a cross in a circle.
fn spot(at: Place, sheet: &mut Sheet) {
    const REACH: f64 = 3.0;
    const ROUND: f64 = 1.5;
    let steps = vec![
        Step::Move((at.0 - REACH, at.1)),
        Step::Line((at.0 + REACH, at.1)),
        Step::Move((at.0, at.1 - REACH)),
        Step::Line((at.0, at.1 + REACH)),
    ];
    sheet.under(Mark::Path { steps, pen: Some(thin(THIN)), fill: Fill::None });
    sheet.under(Mark::Path { steps: dot(at, ROUND), pen: Some(thin(THIN)), fill: Fill::None });
    sheet.keep(Area::around(at, (2.0 * REACH, 2.0 * REACH)));
}

/// What a picture says of lines and places.
fn words_of(picture: &Picture) -> BTreeSet<&str> {
    let words = picture.parts.iter().filter_map(|part| match part {
        Part::Words { words, .. } => Some(&**words),
        Part::Straight { label, .. } | Part::Spot { label, .. } => label.as_deref(),
        Part::Shape { .. } | Part::Distance { .. } | Part::Scale { .. } | Part::Grain { .. } => None,
    });
    words.collect()
}

/// What the lines of a picture take in, in mm.
fn bounds(picture: &Picture) -> Option<Area> {
    let lines =
        picture.parts.iter().filter(|part| !matches!(part, Part::Distance { .. } | Part::Words { .. }));
    Area::of_all(lines.flat_map(places))
}
