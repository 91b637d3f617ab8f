//! Measures with slack: sums are exact, everything else is never too narrow.

use std::rc::Rc;

use crate::limits::BITS;
use crate::measure::{Dim, Exact, Manner, Number, Quantity, Trouble, write_slack, write_slack_mark};
use crate::value::slack::affine::{Affine, Middle, Term};
use crate::value::slack::rest::{Amount, Rest};
use crate::value::slack::source::Source;

/// Up to so many sources a product looks at every pair of them, for what cancels.
const PAIRS: usize = 32;

/// A measure with slack; the middle is exact.
pub type Slack = Affine<Quantity, Exact>;

pub(crate) type Made = Result<Slack, Trouble>;

/// Refused where it grows out of bounds.
fn bounded(number: Exact) -> Result<Exact, Trouble> {
    let number = number.reduced();
    if number.is_big() && number.bits() > BITS { Err(Trouble::TooBig) } else { Ok(number) }
}

impl Amount for Exact {
    fn plus(&self, other: &Exact) -> Result<Exact, Trouble> {
        bounded(self + other)
    }

    fn opposite(&self) -> Exact {
        -self
    }

    fn magnitude(&self) -> Exact {
        self.abs()
    }

    fn is_nothing(&self) -> bool {
        self.is_zero()
    }

    fn greater(&self, other: &Exact) -> Result<Exact, Trouble> {
        Ok(self.max(other).clone())
    }
}

impl Middle<Exact> for Quantity {
    fn plus(&self, other: &Quantity) -> Result<Quantity, Trouble> {
        self.add(other)
    }

    fn opposite(&self) -> Quantity {
        self.neg()
    }

    fn shifted(&self, by: &Exact) -> Result<Quantity, Trouble> {
        Ok(Quantity { number: Number::Exact((&self.number.mid() + by).reduced()), ..self.clone() })
    }

    fn nothing(&self) -> Exact {
        Exact::ZERO
    }
}

impl Slack {
    /// A measure that one source may put off by `amount` either way.
    pub fn new(middle: &Quantity, amount: &Exact, source: Rc<Source>) -> Slack {
        Slack::plain(middle).with(source, amount.abs())
    }

    /// A plain measure; an approximate one is between its bounds.
    pub fn plain(quantity: &Quantity) -> Slack {
        let number = &quantity.number;
        if number.is_exact() {
            return Slack::certain(quantity.clone());
        }
        let middle = Quantity { number: Number::Exact(number.mid()), ..quantity.clone() };
        let rest = Rest::even(half(&(number.upper() - number.lower())));
        Slack { rest, ..Slack::certain(middle) }
    }

    /// Anywhere between two bounds, read like another measure.
    pub(crate) fn between(low: &Exact, high: &Exact, like: &Quantity) -> Slack {
        let middle = Quantity { number: Number::Exact(half(&(low + high))), ..like.clone() };
        Slack { rest: Rest::even(half(&(high - low))), ..Slack::certain(middle) }
    }

    /// The middle.
    pub fn middle(&self) -> Quantity {
        self.middle.clone()
    }

    /// The middle as a number.
    pub(crate) fn mid(&self) -> Exact {
        self.middle.number.mid()
    }

    /// What it measures.
    pub fn dim(&self) -> Dim {
        self.middle.dim
    }

    /// The same, read another way.
    pub fn shown(&self, read: impl Fn(&Quantity) -> Result<Quantity, Trouble>) -> Made {
        Ok(Slack { middle: read(&self.middle)?, ..self.clone() })
    }

    /// Appends how it reads: `96 in ± 11/16 in`.
    pub fn write(&self, manner: &Manner, out: &mut String) {
        write_slack(&self.middle, &self.radius(), manner, out);
    }

    /// Appends how it reads in a text, by the ruler's marks alone.
    pub fn write_mark(&self, manner: &Manner, out: &mut String) {
        write_slack_mark(&self.middle, &self.radius(), manner, out);
    }

    /// How far off it may be, either way.
    pub fn radius(&self) -> Exact {
        &self.sources() + (&self.rest.below).max(&self.rest.above)
    }

    /// What all sources may bring together.
    fn sources(&self) -> Exact {
        self.terms.iter().fold(Exact::ZERO, |sum, (_, amount)| &sum + &amount.abs())
    }

    /// The numbers of the sources, and what each adds.
    pub fn terms(&self) -> impl Iterator<Item = (u64, &Exact)> {
        self.terms.iter().map(|(source, amount)| (source.serial, amount))
    }

    /// The least and the most that it may be, as numbers.
    pub(crate) fn bounds(&self) -> (Exact, Exact) {
        let (middle, sources) = (self.mid(), self.sources());
        (&(&middle - &sources) - &self.rest.below, &(&middle + &sources) + &self.rest.above)
    }

    /// The least and the most that it may be.
    pub fn ends(&self) -> (Quantity, Quantity) {
        let (low, high) = self.bounds();
        let end = |number: Exact| Quantity { number: Number::Exact(number), ..self.middle.clone() };
        (end(low), end(high))
    }

    /// How many values it takes in memory, about.
    pub fn weight(&self) -> u64 {
        (self.terms.len() as u64 / 2).saturating_add(1)
    }

    /// The sources and the remainder times a number, around another middle.
    pub(crate) fn times(&self, factor: &Exact, middle: Quantity) -> Made {
        self.scaled(middle, Some(factor.is_negative()), |amount| bounded(amount * factor))
    }

    /// The product. What two slacks make of each other cannot be laid to one source.
    pub(crate) fn mul(&self, other: &Slack) -> Made {
        let middle = self.middle.mul(&other.middle)?;
        // Both parts count from nothing, so that they add up around the middle of the product.
        let none = Quantity { number: Number::Exact(Exact::ZERO), ..middle.clone() };
        let linear = self.times(&other.mid(), none.clone())?.add(&other.times(&self.mid(), none)?)?;
        let rest = linear.rest.plus(&self.square(other))?;
        Ok(Slack { middle, rest, ..linear })
    }

    /// How far off 0 the product of the two slacks alone may be.
    fn square(&self, other: &Slack) -> Rest<Exact> {
        let mut spread = &self.radius() * &other.radius();
        if self.terms.len() > PAIRS || other.terms.len() > PAIRS {
            return Rest::even(spread);
        }
        let mut own = Rest::even(Exact::ZERO);
        let amount = |of: &Slack, serial: u64| {
            let found = of.terms.iter().find(|(source, _)| source.serial == serial);
            found.map(|(_, amount)| amount.clone())
        };
        for (at, (source, x)) in self.terms.iter().enumerate() {
            let Some(y) = amount(other, source.serial) else { continue };
            // A source times itself is never on the other side of 0.
            let both = x * &y;
            spread = &spread - &both.abs();
            if both.is_negative() {
                own.below = &own.below - &both;
            } else {
                own.above = &own.above + &both;
            }
            // `x·v + u·y` of two shared sources may cancel in part.
            for (second, u) in self.terms.iter().skip(at.saturating_add(1)) {
                let Some(v) = amount(other, second.serial) else { continue };
                let (one, two) = (x * &v, u * &y);
                spread = &(&spread - &(&one.abs() + &two.abs())) + &(&one + &two).abs();
            }
        }
        Rest { below: &own.below + &spread, above: &own.above + &spread }
    }

    /// The quotient; `None` where the divisor may be 0.
    pub(crate) fn div(&self, other: &Slack) -> Result<Option<Slack>, Trouble> {
        if other.is_certain() {
            let quotient = self.middle.div(&other.middle)?;
            let over = Exact::ONE.checked_div(&other.mid()).ok_or(Trouble::DivisionByZero)?;
            return self.times(&over, quotient).map(Some);
        }
        let (low, high) = other.bounds();
        if low.signum().saturating_mul(high.signum()) <= 0 {
            return Ok(None);
        }
        let quotient = self.middle.div(&other.middle)?;
        if self.proportional(other) {
            return Ok(Some(Slack::certain(quotient)));
        }
        let made = self.mul(&other.reciprocal(&low, &high)?)?;
        // The units are those of the quotient.
        Ok(Some(Slack { middle: Quantity { number: made.middle.number, ..quotient }, ..made }))
    }

    /// Whether it is `other` times a plain number.
    fn proportional(&self, other: &Slack) -> bool {
        let (m, n) = (self.mid(), other.mid());
        let same = |(x, y): (&Term<Exact>, &Term<Exact>)| x.0.serial == y.0.serial && &x.1 * &n == &y.1 * &m;
        self.rest.is_nothing()
            && other.rest.is_nothing()
            && self.terms.len() == other.terms.len()
            && self.terms.iter().zip(&other.terms).all(same)
    }

    /// Whether it is less than, the same as or more than another; `None` where the slack leaves it open.
    pub(crate) fn compare(&self, other: &Slack) -> Result<Bounds, Trouble> {
        let (low, high) = self.sub(other)?.bounds();
        Ok(Bounds { low: low.signum(), high: high.signum() })
    }
}

/// The signs of the least and of the most that a difference may be.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    low: i32,
    high: i32,
}

impl Bounds {
    /// Whether the first is the smaller one.
    pub fn less(self) -> Option<bool> {
        if self.high < 0 { Some(true) } else { (self.low >= 0).then_some(false) }
    }

    /// Whether the first is the greater one.
    pub fn more(self) -> Option<bool> {
        Bounds { low: self.high.saturating_neg(), high: self.low.saturating_neg() }.less()
    }

    /// Whether they are the same.
    pub fn same(self) -> Option<bool> {
        if self.low == 0 && self.high == 0 {
            Some(true)
        } else {
            (self.low > 0 || self.high < 0).then_some(false)
        }
    }
}

pub(crate) fn half(number: &Exact) -> Exact {
    let two = Exact::whole(2);
    number.checked_div(&two).unwrap_or(Exact::ZERO).reduced()
}
