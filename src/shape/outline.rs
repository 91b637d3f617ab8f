//! An outline: where its corners are, how its edges run, and what becomes of each edge.

use std::rc::Rc;

use super::point::Point;
use crate::measure::{Number, Reading, Trouble};

/// How an edge runs from its first point to the next edge's.
#[derive(Clone, Debug)]
pub enum Run {
    /// Straight.
    Straight,
    /// Along a circle.
    Arc {
        /// The circle's centre; both ends are equally far from it.
        centre: Point,
        /// The angle that it turns, in degrees: more than 0 as a clock's hands do. At most a full turn.
        sweep: Number,
    },
}

/// What becomes of an edge.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Finish {
    /// Nothing is said.
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

impl Finish {
    /// Each with its word.
    pub const NAMES: [(&'static str, Finish); 6] = [
        ("raw", Finish::Raw),
        ("seamed", Finish::Seamed),
        ("hemmed", Finish::Hemmed),
        ("bound", Finish::Bound),
        ("fold", Finish::Fold),
        ("selvage", Finish::Selvage),
    ];

    /// Its word.
    pub fn name(self) -> &'static str {
        Finish::NAMES.iter().find(|(_, finish)| *finish == self).map_or("raw", |(name, _)| name)
    }

    /// Whether there may be cloth outside the edge.
    pub fn has_allowance(self) -> bool {
        !matches!(self, Finish::Fold | Finish::Selvage)
    }
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

impl Edge {
    /// A straight edge of which nothing is said.
    pub fn straight(from: Point) -> Edge {
        Edge { from, run: Run::Straight, name: None, finish: Finish::Raw, allowance: Number::whole(0) }
    }

    /// The same with a name.
    #[must_use]
    pub fn named(mut self, name: &str) -> Edge {
        self.name = Some(name.into());
        self
    }
}

/// A mark on an edge that meets one on another piece.
#[derive(Clone, Debug)]
pub struct Notch {
    /// The edge's place among the edges.
    pub edge: usize,
    /// How far along it, from where it begins, in base units.
    pub at: Number,
}

/// A closed outline: each edge ends where the next begins, the last where the first does.
#[derive(Clone, Debug)]
pub struct Outline {
    /// Its edges in order, clockwise as drawn.
    pub edges: Vec<Edge>,
    /// What is cut away inside it, each anticlockwise as drawn.
    pub holes: Vec<Vec<Edge>>,
    /// Marks on its edges.
    pub notches: Vec<Notch>,
    /// Fold lines, each from one place to another.
    pub folds: Vec<(Point, Point)>,
    /// Which way the grain runs.
    pub grain: Option<Point>,
    /// How its measures are read.
    pub reading: Reading,
}

/// Why there is no such shape.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// A number that cannot be made.
    Number(Trouble),
    /// Fewer than three corners.
    Few,
    /// More corners than a shape may have.
    Many,
    /// Two neighbouring corners are one.
    NoEdge,
    /// It has no area.
    NoArea,
    /// It crosses itself.
    Crosses,
    /// The cut line outside this edge cannot be drawn: the allowances are larger than the edges beside it.
    Allowance(String),
    /// It has no edge of this name; those that it has.
    Unknown(String, Vec<String>),
    /// What is done with the edge of this name needs a straight one.
    Curved(String),
    /// A place beyond the end of the edge of this name.
    Beyond(String),
    /// Two edges that are joined are not of one length.
    Lengths(String, String),
}

impl From<Trouble> for Wrong {
    fn from(trouble: Trouble) -> Wrong {
        Wrong::Number(trouble)
    }
}

/// The edges of a closed row, each with where it ends.
pub(super) fn ends(edges: &[Edge]) -> impl Iterator<Item = (&Edge, &Point)> {
    edges.iter().zip(edges.iter().cycle().skip(1).map(|next| &next.from))
}

impl Outline {
    /// The outline of these edges, nothing said about it yet.
    pub(super) fn of(edges: Vec<Edge>, reading: Reading) -> Outline {
        Outline { edges, holes: Vec::new(), notches: Vec::new(), folds: Vec::new(), grain: None, reading }
    }

    /// All rows of edges: the outside first.
    pub fn rows(&self) -> impl Iterator<Item = &Vec<Edge>> {
        std::iter::once(&self.edges).chain(&self.holes)
    }

    /// What an edge is called: its name, else its number among the edges, counted from one.
    pub fn edge_name(&self, at: usize) -> String {
        let name = self.edges.get(at).and_then(|edge| edge.name.as_deref());
        name.map_or_else(|| at.saturating_add(1).to_string(), str::to_owned)
    }

    /// The edge of this name.
    pub fn find(&self, name: &str) -> Result<usize, Wrong> {
        let at = (0..self.edges.len()).find(|at| self.edge_name(*at) == name);
        at.ok_or_else(|| {
            Wrong::Unknown(name.to_owned(), (0..self.edges.len()).map(|at| self.edge_name(at)).collect())
        })
    }

    /// Whether cloth is cut outside any of its edges.
    pub fn has_allowance(&self) -> bool {
        self.rows().flatten().any(|edge| super::point::sign(&edge.allowance) > 0)
    }

    /// How much there is of it, for counting work.
    pub fn weight(&self) -> u64 {
        (self.rows().map(Vec::len).sum::<usize>() as u64).saturating_mul(4)
    }
}
