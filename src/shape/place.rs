//! Outlines moved, turned, mirrored, and joined at an edge.

use super::Made;
use super::crossing::crosses;
use super::make::reverse;
use super::measures::edge_length;
use super::outline::{Edge, Finish, Notch, Outline, Run, Wrong, ends};
use super::point::{Point, sign};
use crate::measure::Number;

impl Outline {
    /// Each of its places put through `map`.
    fn mapped(&self, map: impl Fn(&Point) -> Made<Point>) -> Made<Outline> {
        let edge = |edge: &Edge| -> Made<Edge> {
            let run = match &edge.run {
                Run::Straight => Run::Straight,
                Run::Arc { centre, sweep } => Run::Arc { centre: map(centre)?, sweep: sweep.clone() },
            };
            Ok(Edge { from: map(&edge.from)?, run, ..edge.clone() })
        };
        let row = |row: &Vec<Edge>| row.iter().map(edge).collect::<Made<Vec<Edge>>>();
        let fold = |(a, b): &(Point, Point)| Ok((map(a)?, map(b)?));
        let origin = map(&Point::origin())?;
        let grain = self.grain.as_ref().map(|way| map(way)?.minus(&origin)).transpose()?;
        Ok(Outline {
            edges: row(&self.edges)?,
            holes: self.holes.iter().map(row).collect::<Made<_>>()?,
            notches: self.notches.clone(),
            folds: self.folds.iter().map(fold).collect::<Made<_>>()?,
            grain,
            reading: self.reading,
        })
    }

    /// The shape moved.
    pub fn moved(&self, by: &Point) -> Made<Outline> {
        self.mapped(|place| place.plus(by))
    }

    /// The shape moved so that it begins at 0 across and along.
    pub fn to_origin(&self) -> Made<Outline> {
        let least = self.bounds()?.0;
        self.mapped(|place| place.minus(&least))
    }

    /// The shape turned clockwise by an angle in degrees round where it begins.
    pub fn turned(&self, degrees: &Number) -> Made<Outline> {
        let (sin, cos) = (degrees.sin_deg()?, degrees.cos_deg()?);
        self.mapped(|place| place.turned((&sin, &cos)))
    }

    /// The shape mirrored, left to right.
    pub fn mirrored(&self) -> Made<Outline> {
        let mut made = self.mapped(|place| Ok(Point::new(place.across.neg(), place.along.clone())))?;
        made.turn_rows()?;
        Ok(made)
    }

    /// Mirrored edges run the other way: they are put in order again, and their angles turned about.
    fn turn_rows(&mut self) -> Made<()> {
        let count = self.edges.len();
        let lengths = self.lengths()?;
        for row in std::iter::once(&mut self.edges).chain(&mut self.holes) {
            // A mirror turns each arc about, and running through it the other way turns it back.
            reverse(row);
        }
        for notch in &mut self.notches {
            if let Some(length) = lengths.get(notch.edge) {
                notch.at = length.sub(&notch.at)?;
            }
            notch.edge = count.saturating_sub(1).saturating_sub(notch.edge);
        }
        Ok(())
    }

    /// The shape with its mirror image at a straight edge, as cloth that was cut on the fold opens.
    pub fn unfolded(&self, name: &str) -> Made<Outline> {
        let (at, from, way) = self.straight(name)?;
        let unit = way.unit()?;
        let mirror = |place: &Point| -> Made<Point> {
            let off = place.minus(&from)?;
            let along = unit.times(&off.dot(&unit)?)?;
            from.plus(&along.times(&Number::whole(2))?.minus(&off)?)
        };
        let mut other = self.mapped(mirror)?;
        other.turn_rows()?;
        let last = self.edges.len().saturating_sub(1).saturating_sub(at);
        self.with(at, &other, last)
    }

    /// The shape with another one sewn to it, edge to edge; the other is turned and moved to lie there.
    pub fn attached(&self, name: &str, other: &Outline, its: &str) -> Made<Outline> {
        let (at, from, way) = self.straight(name)?;
        let (there, its_from, its_way) = other.straight(its)?;
        let off = way.length()?.sub(&its_way.length()?)?;
        if sign(&off) != 0 {
            return Err(Wrong::Lengths(name.to_owned(), its.to_owned()));
        }
        // Its edge runs the other way along this one.
        let (unit, its_unit) = (way.unit()?, its_way.unit()?);
        let (sin, cos) = (unit.cross(&its_unit)?, unit.dot(&its_unit)?.neg());
        let end = from.plus(&way)?;
        let put = |place: &Point| place.minus(&its_from)?.turned((&sin, &cos))?.plus(&end);
        self.with(at, &other.mapped(put)?, there)
    }

    /// The edges of both, without the two that are joined.
    fn with(&self, at: usize, other: &Outline, there: usize) -> Made<Outline> {
        let around = |edges: &[Edge], at: usize| -> Vec<Edge> {
            let (before, after) = (edges.get(..at).unwrap_or(&[]), edges.get(at.saturating_add(1)..));
            after.unwrap_or(&[]).iter().chain(before).cloned().collect()
        };
        let (mut edges, added) = (around(&self.edges, at), around(&other.edges, there));
        if edges.is_empty() || added.is_empty() {
            return Err(Wrong::NoArea);
        }
        let kept = edges.len();
        let notches = shifted(self, at, 0).chain(shifted(other, there, kept)).collect::<Vec<_>>();
        let known: Vec<_> = edges.iter().filter_map(|edge| edge.name.clone()).collect();
        // An edge of the other keeps its name where no edge of this one has it.
        edges.extend(added.into_iter().map(|edge| {
            let name = edge.name.clone().filter(|name| !known.contains(name));
            Edge { name, ..edge }
        }));
        // Where two lie in one line, the seam no longer parts them.
        if notches.is_empty() {
            edges = unparted(edges, &[kept, 0])?;
        }
        if crosses(&[edges.as_slice()]) {
            return Err(Wrong::Crosses);
        }
        let mut made = Outline::of(edges, self.reading);
        made.notches = notches;
        made.holes = self.holes.iter().chain(&other.holes).cloned().collect();
        made.folds = self.folds.iter().chain(&other.folds).cloned().collect();
        made.grain = self.grain.clone();
        made.to_origin()
    }

    /// A straight edge: its number, where it begins, the way that it runs.
    fn straight(&self, name: &str) -> Made<(usize, Point, Point)> {
        let at = self.find(name)?;
        match ends(&self.edges).nth(at) {
            Some((edge, to)) if matches!(edge.run, Run::Straight) => {
                Ok((at, edge.from.clone(), to.minus(&edge.from)?))
            }
            _ => Err(Wrong::Curved(name.to_owned())),
        }
    }

    /// Says what becomes of an edge.
    pub fn finish(&mut self, at: usize, finish: Finish, allowance: &Number) {
        if let Some(edge) = self.edges.get_mut(at) {
            edge.finish = finish;
            edge.allowance = allowance.clone();
        }
    }

    /// The place so far along an edge, from where it begins.
    pub fn on_edge(&self, at: usize, far: &Number) -> Made<Point> {
        let Some((edge, to)) = ends(&self.edges).nth(at) else { return Ok(Point::origin()) };
        let length = edge_length(edge, to)?;
        if sign(far) < 0 || sign(&length.sub(far)?) < 0 {
            return Err(Wrong::Beyond(self.edge_name(at)));
        }
        let share = far.div(&length)?;
        match &edge.run {
            Run::Straight => edge.from.plus(&to.minus(&edge.from)?.times(&share)?),
            Run::Arc { centre, sweep } => {
                let turn = sweep.mul(&share)?;
                let way = edge.from.minus(centre)?.turned((&turn.sin_deg()?, &turn.cos_deg()?))?;
                centre.plus(&way)
            }
        }
    }
}

/// The notches of a shape whose edges are counted from after one that is gone; further edges were before them.
fn shifted(of: &Outline, gone: usize, before: usize) -> impl Iterator<Item = Notch> {
    let count = of.edges.len();
    of.notches.iter().filter(move |notch| notch.edge != gone).map(move |notch| {
        let after = notch.edge.saturating_add(count).saturating_sub(gone).saturating_sub(1);
        let edge = after.checked_rem(count).unwrap_or(0).saturating_add(before);
        Notch { edge, at: notch.at.clone() }
    })
}

/// Neighbours at these places that run on in one line and are alike in what is said of them, made one.
fn unparted(mut edges: Vec<Edge>, places: &[usize]) -> Made<Vec<Edge>> {
    for at in places {
        let count = edges.len();
        let before = at.checked_sub(1).unwrap_or(count.saturating_sub(1));
        let next = at.saturating_add(1).checked_rem(count).unwrap_or(0);
        let (Some(a), Some(b), Some(to)) = (edges.get(before), edges.get(*at), edges.get(next)) else {
            continue;
        };
        let straight = matches!((&a.run, &b.run), (Run::Straight, Run::Straight));
        let (first, second) = (b.from.minus(&a.from)?, to.from.minus(&b.from)?);
        let alike = a.finish == b.finish && sign(&a.allowance.sub(&b.allowance)?) == 0;
        if straight
            && alike
            && count > 3
            && sign(&first.cross(&second)?) == 0
            && sign(&first.dot(&second)?) > 0
        {
            edges.remove(*at);
        }
    }
    Ok(edges)
}
