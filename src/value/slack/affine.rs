//! The affine form: sums are exact, everything else is never too narrow.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::limits::BITS;
use crate::measure::{Dim, Exact, Manner, Number, Quantity, Trouble, write_slack, write_slack_mark};
use crate::value::data::Value;
use crate::value::slack::Source;
use crate::value::slack::rest::Rest;

/// Up to so many sources a product looks at every pair of them, for what cancels.
const PAIRS: usize = 32;

/// A measure with its slack: `middle + Σ amount·e + rest`, every `e` anywhere from -1 to 1. The middle
/// is what comes out when nothing is off.
#[derive(Clone, Debug)]
pub struct Slack {
    /// The middle, exact.
    pub(crate) middle: Quantity,
    /// What each source brings at most, by the order of the sources; none is 0.
    pub(crate) terms: Vec<Term>,
    /// What cannot be laid to one source.
    pub(crate) rest: Rest,
}

pub(crate) type Made = Result<Slack, Trouble>;

/// A source and what it brings at most.
pub(crate) type Term = (Rc<Source>, Exact);

impl Slack {
    /// A measure that one source may put off by `amount` either way.
    pub fn new(middle: &Quantity, amount: &Exact, source: Rc<Source>) -> Slack {
        let mut made = Slack::plain(middle);
        if !amount.is_zero() {
            made.terms.push((source, amount.abs()));
        }
        made
    }

    /// A plain measure; an approximate one lies between its bounds.
    pub fn plain(quantity: &Quantity) -> Slack {
        let number = &quantity.number;
        let rest = match number.exact() {
            Some(_) => Rest::ZERO,
            None => Rest::even(half(&(number.upper() - number.lower()))),
        };
        let middle = Quantity { number: Number::Exact(number.mid()), ..quantity.clone() };
        Slack { middle, terms: Vec::new(), rest }
    }

    /// Anywhere between two bounds, read like another measure.
    pub(crate) fn between(low: &Exact, high: &Exact, like: &Quantity) -> Slack {
        let middle = Quantity { number: Number::Exact(half(&(low + high))), ..like.clone() };
        Slack { middle, terms: Vec::new(), rest: Rest::even(half(&(high - low))) }
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
        &self.sources() + &self.rest.most()
    }

    /// What all sources may bring together.
    fn sources(&self) -> Exact {
        self.terms.iter().fold(Exact::ZERO, |sum, (_, amount)| &sum + &amount.abs())
    }

    /// The numbers of the sources, and what each brings.
    pub fn terms(&self) -> impl Iterator<Item = (u64, &Exact)> {
        self.terms.iter().map(|(source, amount)| (source.serial, amount))
    }

    /// How far below and how far above what cannot be laid to one source may put it.
    pub fn rest(&self) -> (&Exact, &Exact) {
        (&self.rest.below, &self.rest.above)
    }

    /// The least and the most that it may be, as numbers.
    pub(crate) fn bounds(&self) -> (Exact, Exact) {
        let (middle, sources) = (self.mid(), self.sources());
        (&(&middle - &sources) - &self.rest.below, &(&middle + &sources) + &self.rest.above)
    }

    /// How many values it takes in memory, about.
    pub fn weight(&self) -> u64 {
        self.terms.len() as u64 / 2 + 1
    }

    /// The value: a plain measure where nothing is left open.
    pub fn value(mut self) -> Value {
        if self.terms.is_empty() && self.rest.is_zero() {
            return Value::Measure(self.middle);
        }
        self.terms.shrink_to_fit();
        Value::Slack(Rc::new(self))
    }

    /// Refused where its numbers grow out of bounds.
    fn bounded(self) -> Made {
        let long = |number: &Exact| number.is_big() && number.bits() > BITS;
        if long(&self.rest.below)
            || long(&self.rest.above)
            || self.terms.iter().any(|(_, amount)| long(amount))
        {
            return Err(Trouble::TooBig);
        }
        Ok(self)
    }

    /// `a·self + b·other` of the sources alone.
    fn merged(&self, a: &Exact, other: &Slack, b: &Exact) -> Vec<Term> {
        let mut made = Vec::with_capacity(self.terms.len().max(other.terms.len()));
        let mut push = |source: &Rc<Source>, amount: Exact| {
            if !amount.is_zero() {
                made.push((source.clone(), amount.reduced()));
            }
        };
        let (mut left, mut right) = (self.terms.iter().peekable(), other.terms.iter().peekable());
        loop {
            let order = match (left.peek(), right.peek()) {
                (Some((x, _)), Some((y, _))) => x.serial.cmp(&y.serial),
                (Some(_), None) => Ordering::Less,
                (None, Some(_)) => Ordering::Greater,
                (None, None) => break,
            };
            let x = if order.is_le() { left.next() } else { None };
            let y = if order.is_ge() { right.next() } else { None };
            match (x, y) {
                (Some((source, x)), Some((_, y))) => push(source, &(x * a) + &(y * b)),
                (Some((source, x)), None) => push(source, x * a),
                (None, Some((source, y))) => push(source, y * b),
                (None, None) => {}
            }
        }
        made
    }

    /// The sum.
    pub fn add(&self, other: &Slack) -> Made {
        let middle = self.middle.add(&other.middle)?;
        let terms = self.merged(&Exact::ONE, other, &Exact::ONE);
        Slack { middle, terms, rest: self.rest.plus(&other.rest) }.bounded()
    }

    /// The difference.
    pub fn sub(&self, other: &Slack) -> Made {
        let middle = self.middle.sub(&other.middle)?;
        let terms = self.merged(&Exact::ONE, other, &-Exact::ONE);
        Slack { middle, terms, rest: self.rest.plus(&other.rest.times(&-Exact::ONE)) }.bounded()
    }

    /// The same with the other sign.
    #[must_use]
    pub fn neg(&self) -> Slack {
        Slack { middle: self.middle.neg(), ..self.times(&-Exact::ONE) }
    }

    /// The sources and the remainder times a number; the middle stays as it is.
    #[must_use]
    pub(crate) fn times(&self, factor: &Exact) -> Slack {
        if factor.is_zero() {
            return Slack { middle: self.middle.clone(), terms: Vec::new(), rest: Rest::ZERO };
        }
        let terms = self.terms.iter().map(|(source, amount)| (source.clone(), (amount * factor).reduced()));
        let rest = self.rest.times(factor);
        Slack { middle: self.middle.clone(), terms: terms.collect(), rest }
    }

    /// The product. What two slacks make of each other cannot be laid to one source.
    pub fn mul(&self, other: &Slack) -> Made {
        let middle = self.middle.mul(&other.middle)?;
        let (m, n) = (self.mid(), other.mid());
        let terms = self.merged(&n, other, &m);
        let linear = other.rest.times(&m).plus(&self.rest.times(&n));
        let rest = linear.plus(&self.square(other));
        Slack { middle, terms, rest }.bounded()
    }

    /// How far off 0 the product of the two slacks alone may be.
    fn square(&self, other: &Slack) -> Rest {
        let mut spread = &self.radius() * &other.radius();
        if self.terms.len() > PAIRS || other.terms.len() > PAIRS {
            return Rest::even(spread);
        }
        let mut own = Rest::ZERO;
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
            for (second, u) in self.terms.iter().skip(at + 1) {
                let Some(v) = amount(other, second.serial) else { continue };
                let (one, two) = (x * &v, u * &y);
                spread = &(&spread - &(&one.abs() + &two.abs())) + &(&one + &two).abs();
            }
        }
        own.plus(&Rest::even(spread))
    }

    /// The quotient; `None` where the divisor may be 0.
    pub fn div(&self, other: &Slack) -> Result<Option<Slack>, Trouble> {
        let middle = |made: Quantity| Slack { middle: made, terms: Vec::new(), rest: Rest::ZERO };
        if other.terms.is_empty() && other.rest.is_zero() {
            let quotient = self.middle.div(&other.middle)?;
            let over = Exact::ONE.checked_div(&other.mid()).ok_or(Trouble::DivisionByZero)?;
            return Slack { middle: quotient, ..self.times(&over) }.bounded().map(Some);
        }
        let (low, high) = other.bounds();
        if low.signum() * high.signum() <= 0 {
            return Ok(None);
        }
        let quotient = self.middle.div(&other.middle)?;
        if self.proportional(other) {
            return Ok(Some(middle(quotient)));
        }
        let inverse = other.reciprocal(&low, &high);
        let made = self.mul(&inverse)?;
        // The units are those of the quotient.
        let (number, dim, reading) = (made.middle.number, quotient.dim, quotient.reading);
        Slack { middle: Quantity { number, dim, reading }, ..made }.bounded().map(Some)
    }

    /// Whether it is `other` times a plain number.
    fn proportional(&self, other: &Slack) -> bool {
        let (m, n) = (self.mid(), other.mid());
        let same = |(x, y): (&Term, &Term)| x.0.serial == y.0.serial && &x.1 * &n == &y.1 * &m;
        self.rest.is_zero()
            && other.rest.is_zero()
            && self.terms.len() == other.terms.len()
            && self.terms.iter().zip(&other.terms).all(same)
    }

    /// Whether it is less than, the same as or more than another; `None` where the slack leaves it open.
    pub fn compare(&self, other: &Slack) -> Result<Bounds, Trouble> {
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
        Bounds { low: -self.high, high: -self.low }.less()
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
