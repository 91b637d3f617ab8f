//! Where the cut lines of two neighbouring edges meet.

use super::Made;
use super::arc::near;
use super::point::{Point, sign};
use crate::measure::Number;

/// The line on which an edge is cut.
#[derive(Clone, Debug)]
pub(super) enum CutLine {
    /// Through a place, that way (one base unit long).
    Straight(Point, Point),
    /// Round a centre, at this distance.
    Round(Point, Number),
}

/// The end of one cut line and the beginning of the next, at a corner.
pub(super) struct Corner<'a> {
    /// The corner itself.
    pub at: &'a Point,
    /// The cut lines of the edges before and after it.
    pub lines: (&'a CutLine, &'a CutLine),
    /// The corner moved outside each edge by its allowance.
    pub outside: (Point, Point),
    /// The larger of the two allowances.
    pub allowance: Number,
    /// Whether the outline turns clockwise here.
    pub outer: bool,
}

impl Corner<'_> {
    /// The places of the cut corner: one where the lines meet, two where it is squared, or where one line goes
    /// on beside the other.
    pub fn places(&self) -> Made<Vec<Point>> {
        let (a, b) = (&self.outside.0, &self.outside.1);
        if same(a, b)? {
            return Ok(vec![a.clone()]);
        }
        let beside = || vec![a.clone(), b.clone()];
        let Some(tip) = self.meeting()? else { return Ok(beside()) };
        if self.outer && self.shortens(&tip)? {
            return Ok(beside());
        }
        let way = tip.minus(self.at)?;
        let far = way.length()?;
        let most = self.allowance.mul(&Number::whole(2))?;
        if !self.outer || sign(&far.sub(&most)?) <= 0 {
            return Ok(vec![tip]);
        }
        match self.lines {
            (CutLine::Straight(from, along), CutLine::Straight(to, out)) => {
                squared(self.at, &way.unit()?, &most, (from, along), (to, out))
            }
            _ => Ok(beside()),
        }
    }

    /// Whether the lines meet before the end of one edge: it would lose a part of its allowance.
    fn shortens(&self, tip: &Point) -> Made<bool> {
        let (CutLine::Straight(_, along), CutLine::Straight(_, out)) = self.lines else { return Ok(false) };
        let before = tip.minus(&self.outside.0)?.dot(along)?;
        let behind = self.outside.1.minus(tip)?.dot(out)?;
        Ok(sign(&before) < 0 || sign(&behind) < 0)
    }

    /// Where the two lines meet, nearest to the corner.
    fn meeting(&self) -> Made<Option<Point>> {
        match self.lines {
            (CutLine::Straight(p, d), CutLine::Straight(q, e)) => straight_meeting(p, d, q, e),
            (CutLine::Straight(p, d), CutLine::Round(c, r))
            | (CutLine::Round(c, r), CutLine::Straight(p, d)) => {
                let to_centre = c.minus(p)?;
                let along = to_centre.dot(d)?;
                let foot = p.plus(&d.times(&along)?)?;
                let off = foot.minus(c)?;
                let left = r.mul(r)?.sub(&off.dot(&off)?)?;
                self.nearest(&foot, d, &left)
            }
            (CutLine::Round(c, r), CutLine::Round(k, s)) => {
                let way = k.minus(c)?;
                let square = way.dot(&way)?;
                if sign(&square) <= 0 {
                    return Ok(None);
                }
                let part = r.mul(r)?.sub(&s.mul(s)?)?.add(&square)?.div(&square.mul(&Number::whole(2))?)?;
                let foot = c.plus(&way.times(&part)?)?;
                let left = r.mul(r)?.sub(&square.mul(&part)?.mul(&part)?)?;
                self.nearest(&foot, &way.unit()?.outward(), &left)
            }
        }
    }

    /// The nearer of the two places that are the root of `square` from a foot, either way.
    fn nearest(&self, foot: &Point, way: &Point, square: &Number) -> Made<Option<Point>> {
        if sign(square) < 0 {
            return Ok(None);
        }
        // Where they touch, the square may be known to be 0 only nearly.
        let square = if square.lower().is_negative() {
            Number::spanning(crate::measure::Exact::ZERO, square.upper().clone())
        } else {
            square.clone()
        };
        let off = way.times(&square.sqrt()?)?;
        let (one, other) = (foot.plus(&off)?, foot.minus(&off)?);
        let distance = |place: &Point| -> Made<f64> { Ok(near(&place.minus(self.at)?.length()?)) };
        Ok(Some(if distance(&one)? <= distance(&other)? { one } else { other }))
    }
}

/// Whether two places are one, as far as is known.
fn same(a: &Point, b: &Point) -> Made<bool> {
    let way = a.minus(b)?;
    Ok(sign(&way.across) == 0 && sign(&way.along) == 0)
}

/// Where two straight lines meet.
fn straight_meeting(p: &Point, d: &Point, q: &Point, e: &Point) -> Made<Option<Point>> {
    let slant = d.cross(e)?;
    if sign(&slant) == 0 {
        return Ok(None);
    }
    let far = q.minus(p)?.cross(e)?.div(&slant)?;
    Ok(Some(p.plus(&d.times(&far)?)?))
}

/// A long point is cut straight across, so far from the corner, at right angles to the way to the tip.
fn squared(
    at: &Point,
    way: &Point,
    far: &Number,
    first: (&Point, &Point),
    second: (&Point, &Point),
) -> Made<Vec<Point>> {
    let (through, across) = (at.plus(&way.times(far)?)?, way.outward());
    let one = straight_meeting(first.0, first.1, &through, &across)?;
    let other = straight_meeting(second.0, second.1, &through, &across)?;
    Ok([one, other].into_iter().flatten().collect())
}
