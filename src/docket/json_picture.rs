//! Shapes and pictures as JSON; their places and lengths are in mm, their angles in degrees.

use serde::ser::{Serialize, SerializeMap, SerializeSeq, Serializer};

use super::json_object::object;
use super::reading::shape_text;
use super::{Fill, Line, Part, Picture};
use crate::measure::{Exact, Manner, Number};
use crate::shape::{Edge, Notch, Outline, Point, Run};

/// The JSON form of a shape under a manner.
pub(super) struct ShapeJson<'a>(pub &'a Outline, pub &'a Manner);

/// Base units of length in a mm.
const UNITS: i64 = 5;

/// A number, as a fraction in lowest terms or the two that it is between.
struct Plain<'a>(&'a Number);

/// A length, in mm.
struct Mm<'a>(&'a Number);

struct Place<'a>(&'a Point);

struct EdgeJson<'a>(&'a Edge);

struct NotchJson<'a>(&'a Notch);

struct PartJson<'a>(&'a Part);

impl Serialize for Plain<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0.exact() {
            Some(number) => serializer.serialize_str(&number.to_string()),
            None => object!(serializer, "about": [self.0.lower().to_string(), self.0.upper().to_string()]),
        }
    }
}

impl Serialize for Mm<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mm = |bound: &Exact| bound.checked_div(&Exact::whole(UNITS)).unwrap_or(Exact::ZERO);
        Plain(&Number::spanning(mm(self.0.lower()), mm(self.0.upper()))).serialize(serializer)
    }
}

impl Serialize for Place<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut pair = serializer.serialize_seq(Some(2))?;
        pair.serialize_element(&Mm(&self.0.across))?;
        pair.serialize_element(&Mm(&self.0.along))?;
        pair.end()
    }
}

impl Serialize for EdgeJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let edge = self.0;
        let arc = match &edge.run {
            Run::Straight => None,
            Run::Arc { centre, sweep } => Some((Place(centre), Plain(sweep))),
        };
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("from", &Place(&edge.from))?;
        if let Some((centre, sweep)) = &arc {
            map.serialize_entry("centre", centre)?;
            map.serialize_entry("turns", sweep)?;
        }
        map.serialize_entry("name", &edge.name)?;
        map.serialize_entry("finish", edge.finish.name())?;
        map.serialize_entry("allowance", &Mm(&edge.allowance))?;
        map.end()
    }
}

impl Serialize for NotchJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        object!(serializer, "edge": self.0.edge.saturating_add(1), "at": Mm(&self.0.at))
    }
}

impl Serialize for ShapeJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let outline = self.0;
        object!(serializer,
            "text": shape_text(outline, self.1),
            "edges": outline.edges.iter().map(EdgeJson).collect::<Vec<_>>(),
            "holes": outline.holes.iter().map(|hole| hole.iter().map(EdgeJson).collect()).collect::<Vec<Vec<_>>>(),
            "notches": outline.notches.iter().map(NotchJson).collect::<Vec<_>>(),
            "folds": outline.folds.iter().map(|(a, b)| [Place(a), Place(b)]).collect::<Vec<_>>(),
            "grain": outline.grain.as_ref().map(Place),
        )
    }
}

/// Shapes one after the other, as a field of something.
pub(super) fn shapes<S: Serializer>(outlines: &[Outline], serializer: S) -> Result<S::Ok, S::Error> {
    let manner = Manner::default();
    serializer.collect_seq(outlines.iter().map(|outline| ShapeJson(outline, &manner)))
}

fn line_name(line: Line) -> &'static str {
    match line {
        Line::Cut => "cut",
        Line::Seam => "seam",
        Line::Fold => "fold",
        Line::Mark => "mark",
        Line::Hidden => "hidden",
    }
}

fn fill_name(fill: Fill) -> &'static str {
    match fill {
        Fill::None => "none",
        Fill::White => "white",
        Fill::Hatched => "hatched",
        Fill::Dotted => "dotted",
    }
}

impl Serialize for PartJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self.0 {
            Part::Shape { at, outline, label, line, fill } => object!(serializer,
                "kind": "shape",
                "at": Place(at),
                "shape": ShapeJson(outline, &Manner::default()),
                "name": label,
                "line": line_name(*line),
                "fill": fill_name(*fill),
            ),
            Part::Straight { ends, line, label } => object!(serializer,
                "kind": "line",
                "ends": [Place(&ends.0), Place(&ends.1)],
                "name": label,
                "line": line_name(*line),
            ),
            Part::Spot { at, label } => object!(serializer, "kind": "spot", "at": Place(at), "name": label),
            Part::Distance { ends, reads } => object!(serializer,
                "kind": "distance",
                "ends": [Place(&ends.0), Place(&ends.1)],
                "reads": reads,
            ),
            Part::Scale { from, down, at } => object!(serializer,
                "kind": "scale",
                "from": Place(from),
                "down": down,
                "at": at.iter().map(|(figure, _)| figure).collect::<Vec<_>>(),
                "names": at.iter().map(|(_, name)| name).collect::<Vec<_>>(),
            ),
            Part::Words { at, words } => {
                object!(serializer, "kind": "words", "at": Place(at), "words": words)
            }
            Part::Grain { ends } => {
                object!(serializer, "kind": "grain", "ends": [Place(&ends.0), Place(&ends.1)])
            }
        }
    }
}

impl Serialize for Picture {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        object!(serializer,
            "title": self.title,
            "parts": self.parts.iter().map(PartJson).collect::<Vec<_>>(),
            "line": self.line,
        )
    }
}
