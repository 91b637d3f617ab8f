//! What an outline measures: its area, its edges, how far it reaches.

use super::Made;
use super::arc::Arc;
use super::outline::{Edge, Outline, Run, ends};
use super::point::{Point, larger, smaller};
use crate::measure::Number;

/// The length of an edge.
pub(super) fn edge_length(edge: &Edge, to: &Point) -> Made<Number> {
    match &edge.run {
        Run::Straight => to.minus(&edge.from)?.length(),
        Run::Arc { centre, sweep } => Arc::new(&edge.from, to, centre, sweep)?.length(),
    }
}

/// The area inside a row of edges: more than 0 where they run clockwise.
pub(super) fn signed_area(edges: &[Edge]) -> Made<Number> {
    let mut twice = Number::whole(0);
    let mut curved = Number::whole(0);
    for (edge, to) in ends(edges) {
        twice = twice.add(&edge.from.cross(to)?)?;
        if let Run::Arc { centre, sweep } = &edge.run {
            curved = curved.add(&Arc::new(&edge.from, to, centre, sweep)?.area()?)?;
        }
    }
    Ok(twice.div(&Number::whole(2))?.add(&curved)?)
}

impl Outline {
    /// Its area in square base units, holes taken off.
    pub fn area(&self) -> Made<Number> {
        // Holes run the other way, so that theirs is less than 0.
        self.rows().try_fold(Number::whole(0), |sum, row| Ok(sum.add(&signed_area(row)?)?))
    }

    /// How long its edges are together, those of holes too.
    pub fn perimeter(&self) -> Made<Number> {
        let mut edges = self.rows().flat_map(|row| ends(row));
        edges.try_fold(Number::whole(0), |sum, (edge, to)| Ok(sum.add(&edge_length(edge, to)?)?))
    }

    /// How long each edge is.
    pub fn lengths(&self) -> Made<Vec<Number>> {
        ends(&self.edges).map(|(edge, to)| edge_length(edge, to)).collect()
    }

    /// The nearest and the farthest place of the rectangle that it fits in.
    pub fn bounds(&self) -> Made<(Point, Point)> {
        let mut places: Vec<Point> = Vec::new();
        for (edge, to) in ends(&self.edges) {
            places.push(edge.from.clone());
            if let Run::Arc { centre, sweep } = &edge.run {
                places.extend(Arc::new(&edge.from, to, centre, sweep)?.outermost()?);
            }
        }
        let fold = |of: fn(&Point) -> &Number, choose: fn(&Number, &Number) -> Number| {
            let mut numbers = places.iter().map(of);
            let first = numbers.next().cloned().unwrap_or(Number::whole(0));
            numbers.fold(first, |best, next| choose(&best, next))
        };
        let corner = |choose: fn(&Number, &Number) -> Number| {
            Point::new(fold(|place| &place.across, choose), fold(|place| &place.along, choose))
        };
        Ok((corner(smaller), corner(larger)))
    }

    /// How far it reaches across and along.
    pub fn size(&self) -> Made<Point> {
        let (least, most) = self.bounds()?;
        most.minus(&least)
    }
}
