//! Places and directions, and the few sums that outlines need of them.

use super::Made;
use crate::measure::{Exact, Number};

/// A place, or the way from one to another, in base units of length: across to the right, along downward.
#[derive(Clone, Debug)]
pub struct Point {
    /// How far to the right.
    pub across: Number,
    /// How far down.
    pub along: Number,
}

impl Point {
    /// A place.
    pub fn new(across: Number, along: Number) -> Point {
        Point { across, along }
    }

    /// Where a shape begins.
    pub fn origin() -> Point {
        Point::new(Number::whole(0), Number::whole(0))
    }

    /// This place, moved.
    pub fn plus(&self, other: &Point) -> Made<Point> {
        Ok(Point::new(self.across.add(&other.across)?, self.along.add(&other.along)?))
    }

    /// The way here from another place.
    pub fn minus(&self, other: &Point) -> Made<Point> {
        Ok(Point::new(self.across.sub(&other.across)?, self.along.sub(&other.along)?))
    }

    /// So many times as far.
    pub fn times(&self, factor: &Number) -> Made<Point> {
        Ok(Point::new(self.across.mul(factor)?, self.along.mul(factor)?))
    }

    /// Turned by a quarter against a clock's hands: what is outside an edge that runs this way.
    pub fn outward(&self) -> Point {
        Point::new(self.along.clone(), self.across.neg())
    }

    /// The cross product: more than 0 where the other way is clockwise of this one.
    pub fn cross(&self, other: &Point) -> Made<Number> {
        Ok(self.across.mul(&other.along)?.sub(&self.along.mul(&other.across)?)?)
    }

    /// The dot product.
    pub fn dot(&self, other: &Point) -> Made<Number> {
        Ok(self.across.mul(&other.across)?.add(&self.along.mul(&other.along)?)?)
    }

    /// How long the way is.
    pub fn length(&self) -> Made<Number> {
        Ok(self.dot(self)?.sqrt()?)
    }

    /// The same way, as long as one base unit.
    pub fn unit(&self) -> Made<Point> {
        let length = self.length()?;
        Ok(Point::new(self.across.div(&length)?, self.along.div(&length)?))
    }

    /// The place turned clockwise round where the shape begins, by an angle whose sine and cosine these are.
    pub fn turned(&self, (sin, cos): (&Number, &Number)) -> Made<Point> {
        let across = self.across.mul(cos)?.sub(&self.along.mul(sin)?)?;
        Ok(Point::new(across, self.across.mul(sin)?.add(&self.along.mul(cos)?)?))
    }
}

/// Whether a number is surely more than 0, surely less, or neither.
pub(super) fn sign(number: &Number) -> i32 {
    match (number.lower().signum(), number.upper().signum()) {
        (1, _) => 1,
        (_, -1) => -1,
        _ => 0,
    }
}

/// The larger of two, as far as they are known.
pub(super) fn larger(a: &Number, b: &Number) -> Number {
    let most = |a: &Exact, b: &Exact| if a >= b { a.clone() } else { b.clone() };
    Number::spanning(most(a.lower(), b.lower()), most(a.upper(), b.upper()))
}

/// The smaller of two, as far as they are known.
pub(super) fn smaller(a: &Number, b: &Number) -> Number {
    larger(&a.neg(), &b.neg()).neg()
}
