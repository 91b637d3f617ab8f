//! The affine form: a middle, what each source of error adds, and a remainder that only grows. Sums of it are
//! the same whether the amounts are numbers or move over the span of a search.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::measure::Trouble;
use crate::value::slack::rest::{Amount, Rest};
use crate::value::slack::source::Source;

/// What an affine form is around.
pub trait Middle<A>: Clone {
    /// The sum.
    fn plus(&self, other: &Self) -> Result<Self, Trouble>;
    /// With the other sign.
    fn opposite(&self) -> Self;
    /// That far up.
    fn shifted(&self, by: &A) -> Result<Self, Trouble>;
    /// An amount of nothing.
    fn nothing(&self) -> A;
}

/// A measure with its slack: `middle + Σ amount·e + rest`, every `e` anywhere from -1 to 1. The middle
/// is what comes out when nothing is off.
#[derive(Clone, Debug)]
pub struct Affine<M, A> {
    /// The middle.
    pub(crate) middle: M,
    /// What each source adds at most, by the order of the sources; none is 0.
    pub(crate) terms: Vec<Term<A>>,
    /// What cannot be laid to one source.
    pub(crate) rest: Rest<A>,
}

/// A source and what it adds at most.
pub(crate) type Term<A> = (Rc<Source>, A);

impl<M: Middle<A>, A: Amount> Affine<M, A> {
    /// A measure without slack.
    pub(crate) fn certain(middle: M) -> Affine<M, A> {
        let rest = Rest::even(middle.nothing());
        Affine { middle, terms: Vec::new(), rest }
    }

    /// With one more source, later than all others.
    pub(crate) fn with(mut self, source: Rc<Source>, amount: A) -> Affine<M, A> {
        if !amount.is_nothing() {
            self.terms.push((source, amount));
        }
        self
    }

    /// Whether nothing is left open.
    pub(crate) fn is_certain(&self) -> bool {
        self.terms.is_empty() && self.rest.is_nothing()
    }

    /// The sum.
    pub(crate) fn add(&self, other: &Affine<M, A>) -> Result<Affine<M, A>, Trouble> {
        let middle = self.middle.plus(&other.middle)?;
        Ok(Affine { middle, terms: self.merged(other)?, rest: self.rest.plus(&other.rest)? })
    }

    /// The difference.
    pub(crate) fn sub(&self, other: &Affine<M, A>) -> Result<Affine<M, A>, Trouble> {
        self.add(&other.neg())
    }

    /// The same with the other sign.
    #[must_use]
    pub(crate) fn neg(&self) -> Affine<M, A> {
        let terms = self.terms.iter().map(|(source, amount)| (source.clone(), amount.opposite()));
        Affine { middle: self.middle.opposite(), terms: terms.collect(), rest: self.rest.opposite() }
    }

    /// Another middle, and all amounts put through a factor of this sign; `None` where it may have either.
    pub(crate) fn scaled(
        &self,
        middle: M,
        negative: Option<bool>,
        make: impl Fn(&A) -> Result<A, Trouble>,
    ) -> Result<Affine<M, A>, Trouble> {
        let mut terms = Vec::with_capacity(self.terms.len());
        for (source, amount) in &self.terms {
            let amount = make(amount)?;
            if !amount.is_nothing() {
                terms.push((source.clone(), amount));
            }
        }
        let made = Rest { below: make(&self.rest.below)?, above: make(&self.rest.above)? };
        let rest = match negative {
            Some(false) => made,
            Some(true) => Rest { below: made.above.opposite(), above: made.below.opposite() },
            None if self.rest.is_nothing() => made,
            None => return Err(Trouble::TooClose),
        };
        Ok(Affine { middle, terms, rest })
    }

    /// The sources of both; what one source adds to both is added up.
    fn merged(&self, other: &Affine<M, A>) -> Result<Vec<Term<A>>, Trouble> {
        let mut made = Vec::with_capacity(self.terms.len().max(other.terms.len()));
        let (mut left, mut right) = (self.terms.iter().peekable(), other.terms.iter().peekable());
        loop {
            let order = match (left.peek(), right.peek()) {
                (Some((x, _)), Some((y, _))) => x.serial.cmp(&y.serial),
                (Some(_), None) => Ordering::Less,
                (None, Some(_)) => Ordering::Greater,
                (None, None) => return Ok(made),
            };
            let x = if order.is_le() { left.next() } else { None };
            let y = if order.is_ge() { right.next() } else { None };
            match (x, y) {
                (Some((source, x)), Some((_, y))) => {
                    let sum = x.plus(y)?;
                    if !sum.is_nothing() {
                        made.push((source.clone(), sum));
                    }
                }
                (one, other) => made.extend(one.or(other).cloned()),
            }
        }
    }

    /// What all sources may bring together.
    pub(crate) fn spread(&self) -> Result<A, Trouble> {
        self.terms.iter().try_fold(self.middle.nothing(), |sum, (_, amount)| sum.plus(&amount.magnitude()))
    }

    /// How far off it may be, either way.
    pub(crate) fn half_width(&self) -> Result<A, Trouble> {
        self.spread()?.plus(&self.rest.below.greater(&self.rest.above)?)
    }

    /// The least and the most that it may be.
    pub(crate) fn least_and_most(&self) -> Result<(M, M), Trouble> {
        let spread = self.spread()?;
        let least = self.middle.shifted(&spread.plus(&self.rest.below)?.opposite())?;
        Ok((least, self.middle.shifted(&spread.plus(&self.rest.above)?)?))
    }
}
