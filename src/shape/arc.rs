//! Arcs: their angles and how far they reach.

use num_traits::ToPrimitive;

use super::Made;
use super::point::{Point, sign};
use crate::measure::{Exact, Number};

/// A number near this one, for choosing between ways; what is chosen is then worked out exactly.
pub(super) fn near(number: &Number) -> f64 {
    number.mid().to_big().to_f64().unwrap_or(0.0)
}

/// The angle clockwise from one way to another in degrees, above -180 and at most 180, enclosed.
///
/// A near angle is turned back exactly; what is left is so small that its arc tangent lies between
/// t - t^3/3 and t + |t|^3/3.
pub(super) fn angle(from: &Point, to: &Point) -> Made<Number> {
    let (x, y) = (from.dot(to)?, from.cross(to)?);
    let guess = near(&y).atan2(near(&x)).to_degrees();
    // To a millionth of a degree: whole and half angles are met exactly.
    let millionths = (guess * 1e6).round().to_i64().unwrap_or(0);
    let guess = Number::Exact(Exact::ratio(millionths, 1_000_000).unwrap_or(Exact::ZERO));
    let (sin, cos) = (guess.sin_deg()?, guess.cos_deg()?);
    let left_x = x.mul(&cos)?.add(&y.mul(&sin)?)?;
    let left_y = y.mul(&cos)?.sub(&x.mul(&sin)?)?;
    if left_y.exact().is_some_and(Exact::is_zero) {
        return Ok(guess);
    }
    let t = left_y.div(&left_x)?;
    let off = t.abs().powi(3)?.div(&Number::whole(3))?;
    let (low, high) = (t.sub(&off)?, t.add(&off)?);
    let small = Number::spanning(low.lower().clone(), high.upper().clone());
    Ok(guess.add(&small.mul(&Number::whole(180))?.div(&Number::pi())?)?)
}

/// An arc's radius and the ways from its centre to its ends.
pub(super) struct Arc {
    pub radius: Number,
    pub ways: (Point, Point),
    pub sweep: Number,
    pub centre: Point,
}

impl Arc {
    pub fn new(from: &Point, to: &Point, centre: &Point, sweep: &Number) -> Made<Arc> {
        let ways = (from.minus(centre)?, to.minus(centre)?);
        Ok(Arc { radius: ways.0.length()?, ways, sweep: sweep.clone(), centre: centre.clone() })
    }

    /// How long it is.
    pub fn length(&self) -> Made<Number> {
        Ok(self.radius.mul(&self.radians()?)?.abs())
    }

    fn radians(&self) -> Made<Number> {
        Ok(self.sweep.mul(&Number::pi())?.div(&Number::whole(180))?)
    }

    /// The area between it and the straight line from end to end: more than 0 where it turns clockwise.
    pub fn area(&self) -> Made<Number> {
        let turned = self.radians()?.sub(&self.sweep.sin_deg()?)?;
        let square = self.ways.0.dot(&self.ways.0)?;
        Ok(square.mul(&turned)?.div(&Number::whole(2))?)
    }

    /// Its outermost places to the right, left, below and above that are not its ends.
    pub fn outermost(&self) -> Made<Vec<Point>> {
        let ways = [(1, 0), (-1, 0), (0, 1), (0, -1)];
        let ways = ways.map(|(x, y)| Point::new(Number::whole(x), Number::whole(y)));
        let mut out = Vec::new();
        for way in ways {
            if self.passes(&way)? {
                out.push(self.centre.plus(&way.times(&self.radius)?)?);
            }
        }
        Ok(out)
    }

    /// Whether it passes this way from the centre. Where that cannot be told the end lies there, and it
    /// makes no difference.
    pub fn passes(&self, way: &Point) -> Made<bool> {
        let clockwise = sign(&self.sweep) >= 0;
        let (first, last) =
            if clockwise { (&self.ways.0, &self.ways.1) } else { (&self.ways.1, &self.ways.0) };
        let half = sign(&self.sweep.abs().sub(&Number::whole(180))?);
        let (after, before) = (sign(&first.cross(way)?), sign(&way.cross(last)?));
        // Up to half a turn: behind the first and before the last. Beyond it: not in what is left.
        Ok(if half <= 0 { after >= 0 && before >= 0 } else { after >= 0 || before >= 0 })
    }
}
