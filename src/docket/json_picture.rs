//! Shapes and pictures as JSON; their places and lengths are in mm, their angles in degrees.

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::json_object::object;
use super::{Part, shape_text};
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

/// A place, in mm.
impl Serialize for Point {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        [Mm(&self.across), Mm(&self.along)].serialize(serializer)
    }
}

impl Serialize for Edge {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("from", &self.from)?;
        if let Run::Arc { centre, sweep } = &self.run {
            map.serialize_entry("centre", centre)?;
            map.serialize_entry("turns", &Plain(sweep))?;
        }
        map.serialize_entry("name", &self.name)?;
        map.serialize_entry("finish", self.finish.name())?;
        map.serialize_entry("allowance", &Mm(&self.allowance))?;
        map.end()
    }
}

impl Serialize for Notch {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        object!(serializer, "edge": self.edge.saturating_add(1), "at": Mm(&self.at))
    }
}

impl Serialize for ShapeJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let outline = self.0;
        object!(serializer,
            "text": shape_text(outline, self.1),
            "edges": outline.edges,
            "holes": outline.holes,
            "notches": outline.notches,
            "folds": outline.folds,
            "grain": outline.grain,
        )
    }
}

/// Shapes one after the other, as a field of something.
pub(super) fn shapes<S: Serializer>(outlines: &[Outline], serializer: S) -> Result<S::Ok, S::Error> {
    let manner = Manner::default();
    serializer.collect_seq(outlines.iter().map(|outline| ShapeJson(outline, &manner)))
}

impl Serialize for Part {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Part::Shape { at, outline, label, line, fill } => object!(serializer,
                "kind": "shape",
                "at": at,
                "shape": ShapeJson(outline, &Manner::default()),
                "name": label,
                "line": line,
                "fill": fill,
            ),
            Part::Straight { ends, line, label } => object!(serializer,
                "kind": "line",
                "ends": ends,
                "name": label,
                "line": line,
            ),
            Part::Spot { at, label } => object!(serializer, "kind": "spot", "at": at, "name": label),
            Part::Distance { ends, reads } => object!(serializer,
                "kind": "distance",
                "ends": ends,
                "reads": reads,
            ),
            Part::Scale { from, down, at } => object!(serializer,
                "kind": "scale",
                "from": from,
                "down": down,
                "at": at.iter().map(|(figure, _)| figure).collect::<Vec<_>>(),
                "names": at.iter().map(|(_, name)| name).collect::<Vec<_>>(),
            ),
            Part::Words { at, words } => {
                object!(serializer, "kind": "words", "at": at, "words": words)
            }
            Part::Grain { ends } => {
                object!(serializer, "kind": "grain", "ends": ends)
            }
        }
    }
}
