//! What a `draw` line draws, in true measures; how it is placed on a page is the drawing's business.

use std::rc::Rc;

use serde::Serialize;

use super::Figure;
use crate::shape::{Outline, Point};

/// A picture of the docket.
#[derive(Clone, Debug, Serialize)]
pub struct Picture {
    /// What it shows.
    pub title: Rc<str>,
    /// What is drawn, in order; what comes later is on top.
    pub parts: Vec<Part>,
    /// The line of the recipe that draws it.
    pub line: usize,
}

/// A part of a picture. Places are in base units of length.
#[derive(Clone, Debug)]
pub enum Part {
    /// An outline.
    Shape {
        /// Where it is, its own places added.
        at: Point,
        /// Its edges.
        outline: Box<Outline>,
        /// Words in its middle: a name, a size.
        label: Option<Rc<str>>,
        /// What its outline means.
        line: Line,
        /// How it is filled.
        fill: Fill,
    },
    /// A straight line: a fold, a line of stitches, a mark.
    Straight {
        /// Its ends.
        ends: (Point, Point),
        /// What it means.
        line: Line,
        /// What it is called.
        label: Option<Rc<str>>,
    },
    /// A place: a button, a hook, a notch, a mark on a round.
    Spot {
        /// Where.
        at: Point,
        /// What it is called.
        label: Option<Rc<str>>,
    },
    /// How far it is from one place to another: a dimension line beside the picture.
    Distance {
        /// From and to.
        ends: (Point, Point),
        /// The distance, as it reads.
        reads: Figure,
    },
    /// Distances from one edge, as on a tape: each with its reading, from the same place.
    Scale {
        /// Where all of them begin.
        from: Point,
        /// Whether they run down, not to the right.
        down: bool,
        /// How far each is, as it reads, and what is there.
        at: Vec<(Figure, Option<Rc<str>>)>,
    },
    /// Words alone.
    Words {
        /// The middle of the words.
        at: Point,
        /// The words.
        words: Rc<str>,
    },
    /// Which way the grain runs.
    Grain {
        /// From and to.
        ends: (Point, Point),
    },
}

/// What a line means; a picture shows each by its own kind of line, after ISO 128.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Line {
    /// The edge of something: where it is cut, or a visible edge.
    #[default]
    Cut,
    /// A line of stitches.
    Seam,
    /// A fold.
    Fold,
    /// A mark drawn on the cloth.
    Mark,
    /// Hidden under something.
    Hidden,
}

/// How a shape is filled; black and white says everything.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Fill {
    /// Not at all: what is below shows.
    None,
    /// White.
    #[default]
    White,
    /// Hatched: the wrong side, waste, what is cut away.
    Hatched,
    /// Dotted: a second cloth.
    Dotted,
}
