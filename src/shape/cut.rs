//! The outline at which a shape is cut: each edge moved out by its allowance, with its corners.

use super::Made;
use super::arc::{angle, near};
use super::corner::{Corner, CutLine};
use super::crossing::crosses;
use super::outline::{Edge, Notch, Outline, Run, Wrong, ends};
use super::point::{Point, larger, sign};
use crate::measure::Number;

impl Outline {
    /// Where it is cut: outside each edge by the edge's allowance. A corner is where the two cut lines meet;
    /// a long point is squared, cut straight across at twice the larger allowance from the corner. Edges of
    /// one line with different allowances are joined by a step. Names and finishes stay; no allowance is left.
    pub fn cut(&self) -> Made<Outline> {
        if !self.has_allowance() {
            return Ok(self.clone());
        }
        let (edges, began) = cut_row(self, &self.edges)?;
        let mut made = Outline::of(edges, self.reading);
        for hole in &self.holes {
            made.holes.push(cut_row(self, hole)?.0);
        }
        let rows: Vec<&[Edge]> = made.rows().map(Vec::as_slice).collect();
        if crosses(&rows) {
            let widest = (0..self.edges.len()).max_by(|a, b| {
                let allowance = |at: &usize| self.edges.get(*at).map_or(0.0, |edge| near(&edge.allowance));
                allowance(a).total_cmp(&allowance(b))
            });
            return Err(Wrong::Allowance(self.edge_name(widest.unwrap_or(0))));
        }
        made.folds = self.folds.clone();
        made.grain = self.grain.clone();
        made.notches = self.cut_notches(&made, &began)?;
        Ok(made)
    }

    /// Its notches on the cut line: opposite their places on the seam line.
    fn cut_notches(&self, cut: &Outline, began: &[usize]) -> Made<Vec<Notch>> {
        let mut notches = Vec::new();
        for notch in &self.notches {
            let place = self.on_edge(notch.edge, &notch.at)?;
            let Some(at) = began.get(notch.edge).copied() else { continue };
            let Some((edge, to)) = ends(&cut.edges).nth(at) else { continue };
            let far = match &edge.run {
                Run::Straight => place.minus(&edge.from)?.dot(&to.minus(&edge.from)?.unit()?)?,
                Run::Arc { centre, sweep } => {
                    let turned = angle(&edge.from.minus(centre)?, &place.minus(centre)?)?;
                    let lengths = cut.lengths()?;
                    let Some(length) = lengths.get(at) else { continue };
                    length.mul(&around(&turned, sweep)?)?.div(sweep)?.abs()
                }
            };
            notches.push(Notch { edge: at, at: far });
        }
        Ok(notches)
    }
}

/// The cut edges of a row, and which of them each edge became.
fn cut_row(of: &Outline, row: &[Edge]) -> Made<(Vec<Edge>, Vec<usize>)> {
    let count = row.len();
    let mut lines = Vec::with_capacity(count);
    for (at, (edge, to)) in ends(row).enumerate() {
        lines.push(cut_line(edge, to).map_err(|wrong| match wrong {
            Wrong::NoArea => Wrong::Allowance(of.edge_name(at)),
            other => other,
        })?);
    }
    let mut corners = Vec::with_capacity(count);
    for at in 0..count {
        let before = at.checked_sub(1).unwrap_or(count.saturating_sub(1));
        corners.push(corner(row, &lines, before, at)?);
    }
    let (mut edges, mut began): (Vec<Edge>, Vec<usize>) = (Vec::new(), Vec::new());
    for (at, edge) in row.iter().enumerate() {
        let next = at.saturating_add(1).checked_rem(count).unwrap_or(0);
        let (Some(from), Some(end)) = (corners.get(at), corners.get(next)) else { continue };
        let (Some(from), Some(to)) = (from.last(), end.first()) else { continue };
        let wrong = || Wrong::Allowance(of.edge_name(at));
        let run = match (&edge.run, lines.get(at)) {
            (Run::Straight, Some(CutLine::Straight(_, way))) => {
                // An edge that turned about had too little room between its neighbours.
                if sign(&to.minus(from)?.dot(way)?) <= 0 {
                    return Err(wrong());
                }
                Run::Straight
            }
            (Run::Arc { centre, sweep }, _) => {
                let turned = angle(&from.minus(centre)?, &to.minus(centre)?)?;
                let turned = around(&turned, sweep)?;
                if sign(&turned) != sign(sweep) {
                    return Err(wrong());
                }
                Run::Arc { centre: centre.clone(), sweep: turned }
            }
            _ => continue,
        };
        began.push(edges.len());
        let none = Number::whole(0);
        edges.push(Edge { from: from.clone(), run, allowance: none, ..edge.clone() });
        for place in end.iter().take(end.len().saturating_sub(1)) {
            edges.push(Edge::straight(place.clone()));
        }
    }
    Ok((edges, began))
}

/// The angle that turns as an arc did before: a full turn more or less where that is nearer.
fn around(turned: &Number, before: &Number) -> Made<Number> {
    let full = ((near(before) - near(turned)) / 360.0).round();
    Ok(turned.add(&Number::whole((full as i64).saturating_mul(360)))?)
}

/// The cut line of an edge.
fn cut_line(edge: &Edge, to: &Point) -> Made<CutLine> {
    match &edge.run {
        Run::Straight => {
            let way = to.minus(&edge.from)?.unit()?;
            let place = edge.from.plus(&way.outward().times(&edge.allowance)?)?;
            Ok(CutLine::Straight(place, way))
        }
        Run::Arc { centre, sweep } => {
            let radius = edge.from.minus(centre)?.length()?;
            let radius =
                if sign(sweep) >= 0 { radius.add(&edge.allowance)? } else { radius.sub(&edge.allowance)? };
            // The circle inside an inner edge is used up.
            if sign(&radius) <= 0 {
                return Err(Wrong::NoArea);
            }
            Ok(CutLine::Round(centre.clone(), radius))
        }
    }
}

/// The cut corner before an edge.
fn corner(row: &[Edge], lines: &[CutLine], before: usize, at: usize) -> Made<Vec<Point>> {
    let (Some(edge), Some(first), Some(one), Some(other)) =
        (row.get(at), row.get(before), lines.get(before), lines.get(at))
    else {
        return Ok(Vec::new());
    };
    let place = &edge.from;
    let leaves = match &first.run {
        Run::Straight => place.minus(&first.from)?,
        Run::Arc { centre, sweep } => round_way(&place.minus(centre)?, sweep),
    };
    let next = match &edge.run {
        Run::Straight => {
            let count = row.len();
            let to = row.get(at.saturating_add(1).checked_rem(count).unwrap_or(0));
            to.map_or_else(|| Ok(Point::origin()), |to| to.from.minus(place))?
        }
        Run::Arc { centre, sweep } => round_way(&place.minus(centre)?, sweep),
    };
    let (leaves, next) = (leaves.unit()?, next.unit()?);
    let corner = Corner {
        at: place,
        lines: (one, other),
        outside: (
            place.plus(&leaves.outward().times(&first.allowance)?)?,
            place.plus(&next.outward().times(&edge.allowance)?)?,
        ),
        allowance: larger(&first.allowance, &edge.allowance),
        outer: sign(&leaves.cross(&next)?) > 0,
    };
    corner.places()
}

/// The way that an arc runs where it is this far from its centre.
fn round_way(from_centre: &Point, sweep: &Number) -> Point {
    let against = from_centre.outward();
    if sign(sweep) >= 0 { Point::new(against.across.neg(), against.along.neg()) } else { against }
}
