//! An outline: where its corners are, how its edges run, and what becomes of each edge.

use std::rc::Rc;

use crate::measure::Number;

/// A place, in base units of length: across to the right, along downward.
#[derive(Clone, Debug)]
pub struct Point {
    /// How far to the right.
    pub across: Number,
    /// How far down.
    pub along: Number,
}

/// How an edge runs from its first point to the next edge's.
#[derive(Clone, Debug)]
pub enum Run {
    /// Straight.
    Straight,
    /// Along a circle round this centre.
    Arc {
        /// The circle's centre; both ends are equally far from it.
        centre: Point,
        /// Whether it turns as a clock's hands do, as the outline is drawn.
        clockwise: bool,
    },
}

/// What becomes of an edge. It decides where the cut line is and how corners are made.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Finish {
    /// Nothing is said: no allowance.
    #[default]
    Raw,
    /// Sewn to another edge.
    Seamed,
    /// Turned under.
    Hemmed,
    /// Covered with a strip.
    Bound,
    /// On the fold of the cloth: the other half is its mirror.
    Fold,
    /// The selvage itself.
    Selvage,
}

/// An edge of an outline, from its point to that of the next edge.
#[derive(Clone, Debug)]
pub struct Edge {
    /// Where it begins.
    pub from: Point,
    /// How it runs.
    pub run: Run,
    /// What it is called.
    pub name: Option<Rc<str>>,
    /// What becomes of it.
    pub finish: Finish,
    /// How far the cut line is outside it, in base units of length; 0 or more.
    pub allowance: Number,
}

/// A closed outline: each edge ends where the next begins, the last where the first does. The edges
/// follow each other clockwise as drawn.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Its edges in order.
    pub edges: Vec<Edge>,
}
