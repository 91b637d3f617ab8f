//! Pictures at true size, to be printed and laid under the cloth: one, or the same one of several sizes over each other.

mod packed;
mod ruler;
mod words;

use std::collections::BTreeSet;

pub use packed::{Small, as_one, shared};

use super::clear::{Area, Sheet, dot, thin};
use super::edges::{Drawn, edges, mm, place};
use super::tiles::Joins;
use super::{Drawing, Fill, Mark, Paper, Pen, Place, Step, Stroke};
use crate::docket::{Figure, FigureValue, Fill as Filling, Line, Part, Picture};
use crate::shape::Point;
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
    /// Where its origin lies on the drawing.
    origin: Place,
    /// Where the sheets meet.
    joins: Joins,
}

/// The pictures at true size over each other, their origins at the same place, for sheets of this paper; nothing where they
/// hold no line.
pub fn guide(layers: &[Layer<'_>], paper: Paper) -> Option<Drawing> {
    let bounds = layers.iter().filter_map(|layer| bounds(layer.picture)).reduce(|a, b| joined(&a, &b))?;
    let margins = ruler::margins(layers, &bounds);
    let bounds = joined(&bounds.grown(FREE), &margins);
    let (width, height) = (bounds.wide(), bounds.high());
    let mut sheet = Sheet::new((width, height));
    let joins = Joins::of((width, height), paper);
    let several = layers.len() > 1;
    let common = layers.iter().map(|layer| said(layer.picture)).reduce(|a, b| &a & &b).unwrap_or_default();
    let laid: Vec<Laid<'_>> = (0_u32..)
        .zip(layers)
        .zip(SIZE_LINES.iter().cycle())
        .map(|((n, layer), (stroke, _))| Laid {
            picture: layer.picture,
            nested: several.then_some((layer.size.unwrap_or_default(), *stroke)),
            is_first: n == 0,
            common: &common,
            share: f64::from(n.saturating_add(1)) / (layers.len() as f64 + 1.0),
            origin: (-bounds.left, -bounds.top),
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
    fn place(&self, (x, y): Place) -> Place {
        (x + self.origin.0, y + self.origin.1)
    }

    fn point(&self, point: &Point) -> Place {
        self.place(place(point))
    }

    /// The pen of a kind of line. Of several sizes each has its own kind, and only what is cut is thicker.
    fn pen(&self, line: Line) -> Pen {
        let width = if line == Line::Cut { THICK } else { THIN };
        let stroke = match (self.nested, line) {
            (Some((_, stroke)), _) => stroke,
            (None, Line::Cut | Line::Mark) => Stroke::Solid,
            (None, Line::Seam) => Stroke::Dashed,
            (None, Line::Fold) => Stroke::DashDot,
            (None, Line::Hidden) => Stroke::Dotted,
        };
        Pen { width, stroke }
    }

    /// All lines, in their order.
    fn lines(&self, sheet: &mut Sheet) {
        for part in &self.picture.parts {
            match part {
                Part::Shape { at, outline, line, fill, .. } => {
                    let edges = edges(at, outline);
                    let fill = if is_large(&edges) { Fill::None } else { self.filling(*fill) };
                    self.shape(&edges, *line, fill, sheet);
                }
                Part::Straight { ends, line, .. } => {
                    let ends = (self.point(&ends.0), self.point(&ends.1));
                    let steps = vec![Step::Move(ends.0), Step::Line(ends.1)];
                    sheet.under(Mark::Path { steps, pen: Some(self.pen(*line)), fill: Fill::None });
                    sheet.shy(ends);
                }
                Part::Spot { at, .. } => spot(self.point(at), sheet),
                // Of several sizes one arrow is enough.
                Part::Grain { ends } if self.is_first => {
                    let ends = (self.point(&ends.0), self.point(&ends.1));
                    sheet.line(ends, thin(THIN), super::clear::Owner::None);
                    for (from, tip) in [ends, (ends.1, ends.0)] {
                        sheet.arrow(from, tip);
                    }
                }
                // Distances are told in the picture in front; here they can be measured.
                Part::Grain { .. } | Part::Distance { .. } | Part::Scale { .. } | Part::Words { .. } => {}
            }
        }
    }

    /// What is under others shows through where there are several sizes.
    fn filling(&self, fill: Filling) -> Fill {
        match (self.nested, fill) {
            (Some(_), _) | (None, Filling::None) => Fill::None,
            (None, Filling::White) => Fill::White,
            (None, Filling::Hatched) => Fill::Hatched,
            (None, Filling::Dotted) => Fill::Dotted,
        }
    }

    fn shape(&self, edges: &[Drawn], line: Line, fill: Fill, sheet: &mut Sheet) {
        let edge_steps = |edge: &Drawn| edge.steps(|at| self.place(at), 1.0);
        let mut steps = Vec::new();
        let mut ended = None;
        for edge in edges {
            // A hole begins elsewhere.
            if ended != Some(edge.from) {
                steps.extend(ended.map(|_| Step::Close));
                steps.push(Step::Move(self.place(edge.from)));
            }
            steps.extend(edge_steps(edge));
            ended = Some(edge.to);
        }
        steps.push(Step::Close);
        let folded = edges.iter().any(|edge| edge.on_fold);
        let pen = (!folded).then(|| self.pen(line));
        sheet.under(Mark::Path { steps, pen, fill });
        if folded {
            for edge in edges {
                let mut steps = vec![Step::Move(self.place(edge.from))];
                steps.extend(edge_steps(edge));
                let pen = Some(self.pen(if edge.on_fold { Line::Fold } else { line }));
                sheet.under(Mark::Path { steps, pen, fill: Fill::None });
            }
        }
        for edge in edges {
            let places: Vec<Place> = edge.places().into_iter().map(|at| self.place(at)).collect();
            places.windows(2).for_each(|pair| {
                if let [a, b] = pair {
                    sheet.shy((*a, *b));
                }
            });
        }
    }
}

/// Whether a shape is so large that lines all over it would only cost ink.
fn is_large(edges: &[Drawn]) -> bool {
    let area = around(edges.iter().flat_map(Drawn::places));
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
fn said(picture: &Picture) -> BTreeSet<&str> {
    let words = picture.parts.iter().filter_map(|part| match part {
        Part::Words { words, .. } => Some(&**words),
        Part::Straight { label, .. } | Part::Spot { label, .. } => label.as_deref(),
        Part::Shape { .. } | Part::Distance { .. } | Part::Scale { .. } | Part::Grain { .. } => None,
    });
    words.collect()
}

fn joined(a: &Area, b: &Area) -> Area {
    Area {
        left: a.left.min(b.left),
        top: a.top.min(b.top),
        right: a.right.max(b.right),
        bottom: a.bottom.max(b.bottom),
    }
}

fn around(places: impl Iterator<Item = Place>) -> Option<Area> {
    let finite = places.filter(|(x, y)| x.is_finite() && y.is_finite());
    finite.map(|at| Area::of(at, at)).reduce(|a, b| joined(&a, &b))
}

/// A length in mm.
fn length(figure: &Figure) -> Option<f64> {
    match &figure.value {
        FigureValue::Measure(quantity) => Some(mm(&quantity.number)),
        FigureValue::Slack(slack) => Some(mm(&slack.middle.number)),
        _ => None,
    }
}

/// What the lines of a picture take in, in mm.
fn bounds(picture: &Picture) -> Option<Area> {
    let mut places: Vec<Place> = Vec::new();
    for part in &picture.parts {
        match part {
            Part::Shape { at, outline, .. } => {
                places.extend(edges(at, outline).iter().flat_map(Drawn::places));
            }
            Part::Straight { ends, .. } | Part::Grain { ends } => {
                places.extend([place(&ends.0), place(&ends.1)]);
            }
            Part::Spot { at, .. } => places.push(place(at)),
            Part::Scale { from, down, at } => {
                let far = at.iter().filter_map(|(figure, _)| length(figure));
                places.extend(far.chain([0.0]).map(|far| ruler::along(place(from), *down, far)));
            }
            Part::Distance { .. } | Part::Words { .. } => {}
        }
    }
    around(places.into_iter())
}
