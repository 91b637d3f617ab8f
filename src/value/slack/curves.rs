//! Reciprocals, roots, powers and roundings: what is no straight line. Each is laid along a line of
//! its least slope, so that a part of the sources stays. The middle is what comes out when nothing
//! is off.

use crate::measure::{Dim, Exact, Number, Quantity, Trouble, Way};
use crate::value::slack::measured::{Made, Slack};
use crate::value::slack::rest::Rest;

/// How many bits the slope of such a line may have; any slope below the least one serves.
const SLOPE_BITS: u64 = 40;

impl Slack {
    /// What a curve that keeps its direction makes of it, between the least and the most: the curve less
    /// a line of `slope` must keep its direction too. `ends` are the curve's bounds at either end, and
    /// `like` is what it makes of the middle.
    fn along(&self, slope: &Exact, ends: [(Exact, Exact); 2], like: &Quantity) -> Made {
        let (low, high) = self.bounds();
        let off = |x: &Exact, (least, most): &(Exact, Exact)| (least - &(x * slope), most - &(x * slope));
        let [first, last] = [off(&low, &ends[0]), off(&high, &ends[1])];
        let (least, most) = (first.0.min(last.0), first.1.max(last.1));
        let middle = like.number.mid();
        let centre = &middle - &(&self.mid() * slope);
        let off = Rest { below: &centre - &least, above: &most - &centre };
        let middle = Quantity { number: Number::Exact(middle.reduced()), ..like.clone() };
        let line = self.times(slope, middle)?;
        Ok(Slack { rest: line.rest.plus(&off)?, ..line })
    }

    /// `1 / x`, where 0 is outside; the dimension is settled by the caller.
    pub(crate) fn reciprocal(&self, low: &Exact, high: &Exact) -> Made {
        let over = |x: &Exact| Exact::ONE.checked_div(x).unwrap_or(Exact::ZERO);
        let far = if low.is_negative() { low } else { high };
        let slope = -simpler(&over(&(far * far)));
        let ends = [low, high].map(|end| (over(end), over(end)));
        let like = Quantity::number(over(&self.mid()));
        self.along(&slope, ends, &like)
    }

    /// The square root.
    pub(crate) fn sqrt(&self) -> Made {
        let like = self.middle.abs().sqrt()?;
        let (low, high) = self.bounds();
        if low.is_negative() {
            return Err(if high.is_negative() { Trouble::NoSuchNumber } else { Trouble::TooClose });
        }
        let root =
            |of: &Exact| Number::Exact(of.clone()).sqrt().map(|n| (n.lower().clone(), n.upper().clone()));
        let ends = [root(&low)?, root(&high)?];
        let steepest = &ends[1].1 + &ends[1].1;
        let slope = Exact::ONE.checked_div(&steepest).map_or(Exact::ZERO, |slope| simpler(&slope));
        self.along(&slope, ends, &like)
    }

    /// A whole power; `None` where that divides by what may be 0.
    pub(crate) fn powi(&self, exponent: i32) -> Result<Option<Slack>, Trouble> {
        if exponent < 0 {
            let one = Slack::plain(&Quantity::whole(1));
            return match self.powi(exponent.saturating_neg())? {
                Some(below) => one.div(&below),
                None => Ok(None),
            };
        }
        let like = self.middle.pow(&Quantity::whole(exponent.into()))?;
        if exponent < 2 {
            let made = if exponent == 0 { Slack::plain(&like) } else { self.clone() };
            return Ok(Some(made));
        }
        let (low, high) = self.bounds();
        let raise = |of: &Exact| of.powi(exponent).ok_or(Trouble::TooBig);
        let even = exponent % 2 == 0;
        if low.is_negative() && high.signum() > 0 {
            let (least, most) = (raise(&low)?, raise(&high)?);
            let (least, most) = if even { (Exact::ZERO, least.max(most)) } else { (least, most) };
            return Ok(Some(Slack::between(&least, &most, &like)));
        }
        let near = if low.is_negative() { &high } else { &low };
        let slope = near.powi(exponent.saturating_sub(1)).ok_or(Trouble::TooBig)?;
        let slope = simpler(&(&slope * &Exact::whole(exponent.into())));
        let end = |of: &Exact| raise(of).map(|end| (end.clone(), end));
        let ends = [end(&low)?, end(&high)?];
        self.along(&slope, ends, &like).map(Some)
    }

    /// Without its sign.
    pub(crate) fn abs(&self) -> Slack {
        let (low, high) = self.bounds();
        if !low.is_negative() {
            return self.clone();
        }
        if high.signum() <= 0 {
            return self.neg();
        }
        Slack::between(&Exact::ZERO, &(-&low).max(high), &self.middle)
    }

    /// Rounded to a step: from where the least goes to where the most goes.
    pub(crate) fn round_to(&self, step: &Quantity, way: Way) -> Made {
        let (low, high) = self.ends();
        let (low, high) = (low.round_to(step, way)?, high.round_to(step, way)?);
        // Between two steps it is read by the ruler in force, not by the step.
        let reading = if low.number.mid() == high.number.mid() { low.reading } else { low.reading.worked() };
        let like = Quantity { reading, ..low.clone() };
        Ok(Slack::between(&low.number.mid(), &high.number.mid(), &like))
    }

    /// The whole number that it goes to, where the slack leaves only one.
    pub(crate) fn to_whole(
        &self,
        round: impl Fn(&Quantity) -> Result<Quantity, Trouble>,
    ) -> Result<Whole, Trouble> {
        let (low, high) = self.ends();
        if self.middle.dim != Dim::NONE {
            return Err(Trouble::UnitMix);
        }
        let (low, high) = (round(&low)?, round(&high)?);
        Ok(if low.number.mid() == high.number.mid() { Whole::One(low) } else { Whole::Several(low, high) })
    }
}

/// What rounding to a whole number makes of a slack.
pub(crate) enum Whole {
    /// All of it goes to one number.
    One(Quantity),
    /// From the first to the second.
    Several(Quantity, Quantity),
}

/// A number of few bits that is between 0 and this one, or on it.
fn simpler(number: &Exact) -> Exact {
    if number.bits() <= SLOPE_BITS {
        return number.clone();
    }
    let size = |n: u64| i32::try_from(n).unwrap_or(i32::MAX);
    let longer = size(number.numer().bits()).saturating_sub(size(number.denom().bits()));
    let shift = 24i32.saturating_sub(longer);
    let Some(two) = Exact::whole(2).powi(shift) else { return Exact::ZERO };
    let whole = (&number.abs() * &two).floor();
    let made = whole.checked_div(&two).unwrap_or(Exact::ZERO).reduced();
    if number.is_negative() { -made } else { made }
}
