//! Measures that change with what is looked for: between which bounds they are over a whole span of it,
//! and how steeply they run. Bounds and slopes are never too narrow; an exact slope proves a straight line.

use std::cmp::Ordering;

use crate::measure::{Dim, Exact, Number, Quantity, Trouble, Way};
use crate::value::slack::affine::Middle;
use crate::value::slack::rest::Amount;

/// A measure over a span.
#[derive(Clone, Debug)]
pub(crate) struct Interval {
    /// Between which bounds it is.
    pub at: Quantity,
    /// How much it grows with each base unit of what is looked for; nothing where that is not known.
    pub slope: Option<Number>,
    /// Whether it may jump: a rounding or a choice changes within the span.
    pub jumps: bool,
    /// Whether a rule may refuse a part of the span.
    pub holes: bool,
    /// Whether it is whole all over, as a count is.
    pub whole: bool,
}

type Made = Result<Interval, Trouble>;

fn flat() -> Number {
    Number::Exact(Exact::ZERO)
}

fn is_flat(slope: &Number) -> bool {
    slope.exact().is_some_and(Exact::is_zero)
}

/// A slope made of others; one that grows out of bounds is not known.
fn slope(made: Result<Number, Trouble>) -> Option<Number> {
    made.ok()
}

impl Interval {
    /// A measure that stays the same.
    pub fn still(at: Quantity) -> Interval {
        let whole = at.whole_count().is_some();
        Interval { at, slope: Some(flat()), jumps: false, holes: false, whole }
    }

    /// What is looked for, from one number to another.
    pub fn sought(like: &Quantity, lo: &Exact, hi: &Exact) -> Interval {
        let number = Number::spanning(lo.clone(), hi.clone());
        let at = Quantity { number, ..like.clone() };
        Interval { at, slope: Some(Number::whole(1)), jumps: false, holes: false, whole: false }
    }

    fn with(at: Quantity, slope: Option<Number>, of: &[&Interval]) -> Interval {
        let jumps = of.iter().any(|one| one.jumps);
        Interval { at, slope, jumps, holes: of.iter().any(|one| one.holes), whole: false }
    }

    /// Whole where all of these are.
    fn whole_of(self, of: &[&Interval]) -> Interval {
        Interval { whole: of.iter().all(|one| one.whole), ..self }
    }

    /// Whether a rule takes it for a count wherever it is.
    pub fn is_count(&self) -> bool {
        self.whole && !self.at.number.lower().is_negative()
    }

    pub fn add(&self, other: &Interval) -> Made {
        let rise = self.slope.as_ref().zip(other.slope.as_ref()).and_then(|(a, b)| slope(a.add(b)));
        Ok(Interval::with(self.at.add(&other.at)?, rise, &[self, other]).whole_of(&[self, other]))
    }

    pub fn sub(&self, other: &Interval) -> Made {
        self.add(&other.neg())
    }

    pub fn neg(&self) -> Interval {
        let slope = self.slope.as_ref().map(Number::neg);
        Interval { at: self.at.neg(), slope, ..self.clone() }
    }

    pub fn mul(&self, other: &Interval) -> Made {
        let rise = self.slope.as_ref().zip(other.slope.as_ref()).and_then(|(a, b)| {
            // What stands still on one side keeps the other side's slope exact.
            match (is_flat(a), is_flat(b)) {
                (true, true) => Some(flat()),
                (true, false) => slope(b.mul(&self.at.number)),
                (false, true) => slope(a.mul(&other.at.number)),
                _ => slope(a.mul(&other.at.number).and_then(|left| left.add(&b.mul(&self.at.number)?))),
            }
        });
        Ok(Interval::with(self.at.mul(&other.at)?, rise, &[self, other]).whole_of(&[self, other]))
    }

    pub fn div(&self, other: &Interval) -> Made {
        let at = self.at.div(&other.at)?;
        let rise = self.slope.as_ref().zip(other.slope.as_ref()).and_then(|(a, b)| {
            if is_flat(b) {
                return slope(a.div(&other.at.number));
            }
            let below = other.at.number.powi(2).ok()?;
            let above = a.mul(&other.at.number).ok()?.sub(&b.mul(&self.at.number).ok()?).ok()?;
            slope(above.div(&below))
        });
        Ok(Interval::with(at, rise, &[self, other]))
    }

    /// A power by an exponent that stays the same.
    pub fn pow(&self, exponent: &Quantity) -> Made {
        let half = exponent.number.exact().is_some_and(|exact| exact + exact == Exact::ONE);
        if half {
            return self.sqrt();
        }
        let at = self.at.pow(exponent)?;
        let times = exponent.whole_count().and_then(|n| i32::try_from(n).ok());
        let rise = self.slope.as_ref().zip(times).and_then(|(a, n)| match n {
            0 => Some(flat()),
            1 => Some(a.clone()),
            n => slope(
                self.at.number.powi(n.checked_sub(1)?).and_then(|p| p.mul(a)?.mul(&Number::whole(n.into()))),
            ),
        });
        Ok(Interval::with(at, rise, &[self]))
    }

    pub fn sqrt(&self) -> Made {
        let at = self.at.sqrt()?;
        let rise = self
            .slope
            .as_ref()
            .and_then(|a| slope(at.number.mul(&Number::whole(2)).and_then(|twice| a.div(&twice))));
        Ok(Interval::with(at, rise, &[self]))
    }

    pub fn abs(&self) -> Interval {
        if !self.at.number.lower().is_negative() {
            return self.clone();
        }
        if self.at.is_negative() {
            return self.neg();
        }
        let both = self.slope.as_ref().map(|slope| hull(slope, &slope.neg()));
        Interval { at: self.at.abs(), slope: both, ..self.clone() }
    }

    /// A sine, a cosine or a tangent; `steep` is its slope by the degree.
    pub fn curve(
        &self,
        at: Result<Quantity, Trouble>,
        steep: impl Fn(&Quantity) -> Result<Number, Trouble>,
    ) -> Made {
        let at = at?;
        let rise = self.slope.as_ref().and_then(|a| {
            let degree = Number::pi().div(&Number::whole(180)).ok()?;
            slope(steep(&self.at).and_then(|steep| steep.mul(&degree)?.mul(a)))
        });
        Ok(Interval::with(at, rise, &[self]))
    }

    /// Rounded to whole steps: one of those that the bounds are rounded to.
    pub fn rounded(&self, step: &Quantity, way: Way) -> Made {
        let end = |number: &Exact| {
            Quantity { number: Number::Exact(number.clone()), ..self.at.clone() }.round_to(step, way)
        };
        let (low, high) = (end(self.at.number.lower())?, end(self.at.number.upper())?);
        let (lo, hi) = (low.number.lower().clone(), high.number.upper().clone());
        if lo == hi {
            return Ok(Interval { jumps: self.jumps, holes: self.holes, ..Interval::still(low) });
        }
        let whole = step.whole_count().is_some();
        let at = Quantity { number: Number::spanning(lo, hi), ..low };
        Ok(Interval { at, slope: None, jumps: true, holes: self.holes, whole })
    }

    /// Either of two measures: that of a choice which changes within the span.
    pub fn either(&self, other: &Interval) -> Made {
        if self.at.dim != other.at.dim {
            return Err(Trouble::UnitMix);
        }
        let at = Quantity { number: hull(&self.at.number, &other.at.number), ..self.at.clone() };
        let made = Interval { jumps: true, ..Interval::with(at, None, &[self, other]) };
        Ok(made.whole_of(&[self, other]))
    }

    /// The larger (or smaller) of two, which does not jump where they cross.
    pub fn extreme(&self, other: &Interval, wanted: Ordering) -> Made {
        match self.at.compare(&other.at) {
            Ok(order) => {
                Ok(if order == wanted || order == Ordering::Equal { self.clone() } else { other.clone() })
            }
            Err(Trouble::TooClose) => {
                let pick = |a: &Exact, b: &Exact| {
                    if (a > b) == (wanted == Ordering::Greater) { a.clone() } else { b.clone() }
                };
                let (a, b) = (&self.at.number, &other.at.number);
                let number = Number::spanning(pick(a.lower(), b.lower()), pick(a.upper(), b.upper()));
                let rise = self.slope.as_ref().zip(other.slope.as_ref()).map(|(a, b)| hull(a, b));
                let made = Interval::with(Quantity { number, ..self.at.clone() }, rise, &[self, other]);
                Ok(made.whole_of(&[self, other]))
            }
            Err(other) => Err(other),
        }
    }

    /// Whether it is a bare number.
    pub fn is_bare(&self) -> bool {
        self.at.dim == Dim::NONE
    }
}

/// All from the lower to the upper of two.
pub(crate) fn hull(a: &Number, b: &Number) -> Number {
    Number::spanning(a.lower().clone().min(b.lower().clone()), a.upper().clone().max(b.upper().clone()))
}

impl Amount for Interval {
    fn plus(&self, other: &Interval) -> Made {
        self.add(other)
    }

    fn opposite(&self) -> Interval {
        self.neg()
    }

    fn magnitude(&self) -> Interval {
        self.abs()
    }

    fn is_nothing(&self) -> bool {
        self.at.is_zero()
    }

    fn greater(&self, other: &Interval) -> Made {
        self.extreme(other, Ordering::Greater)
    }
}

impl Middle<Interval> for Interval {
    fn plus(&self, other: &Interval) -> Made {
        self.add(other)
    }

    fn opposite(&self) -> Interval {
        self.neg()
    }

    fn shifted(&self, by: &Interval) -> Made {
        self.add(by)
    }

    fn nothing(&self) -> Interval {
        Interval::still(Quantity { number: Number::Exact(Exact::ZERO), ..self.at.clone() })
    }
}
