//! Sums, largest and smallest, and copies that err each on its own.

use std::rc::Rc;

use crate::measure::{Exact, Number, Quantity, Trouble};
use crate::value::slack::affine::Term;
use crate::value::slack::measured::{Made, Slack};
use crate::value::slack::rest::{Amount, Rest};
use crate::value::slack::source::Source;

/// A sum of many; what belongs to one source is added up once, at the end.
#[derive(Debug)]
pub(crate) struct Total {
    middle: Quantity,
    terms: Vec<Term<Exact>>,
    rest: Rest<Exact>,
}

impl Total {
    /// The first of them.
    pub fn new(first: Slack) -> Total {
        Total { middle: first.middle, terms: first.terms, rest: first.rest }
    }

    /// One more.
    pub fn add(&mut self, next: &Slack) -> Result<(), Trouble> {
        self.middle = self.middle.add(&next.middle)?;
        self.terms.extend_from_slice(&next.terms);
        self.rest = self.rest.plus(&next.rest)?;
        Ok(())
    }

    /// The sum.
    pub fn finish(mut self) -> Made {
        self.terms.sort_by_key(|(source, _)| source.serial);
        let mut terms: Vec<Term<Exact>> = Vec::with_capacity(self.terms.len());
        for (source, amount) in self.terms {
            match terms.last_mut().filter(|(last, _)| last.serial == source.serial) {
                Some((_, sum)) => *sum = sum.plus(&amount)?,
                None => terms.push((source, amount)),
            }
        }
        terms.retain(|(_, amount)| !amount.is_zero());
        Ok(Slack { middle: self.middle, terms, rest: self.rest })
    }
}

impl Slack {
    /// The greater of two, or the smaller; where the slack leaves that open, anything it may be.
    pub(crate) fn extreme(&self, other: &Slack, largest: bool) -> Made {
        let order = self.compare(other)?;
        let first = if largest { order.more() } else { order.less() };
        let second = if largest { order.less() } else { order.more() };
        if first == Some(true) || second == Some(false) {
            return Ok(self.clone());
        }
        if second == Some(true) || first == Some(false) {
            return Ok(other.clone());
        }
        let (mine, theirs) = (self.bounds(), other.bounds());
        let pick = |a: Exact, b: Exact| if largest { a.max(b) } else { a.min(b) };
        Ok(Slack::between(&pick(mine.0, theirs.0), &pick(mine.1, theirs.1), &self.middle))
    }

    /// So many of these, each with slack of its own: together they are one source, for they never come apart
    /// again.
    pub(crate) fn separate(&self, count: u64, source: Rc<Source>) -> Made {
        let count = i64::try_from(count).map_err(|_| Trouble::TooBig)?;
        let middle = Quantity::whole(count).mul(&self.middle)?;
        let middle = Quantity { reading: self.middle.reading, ..middle };
        let amount = &self.radius() * &Exact::whole(count);
        debug_assert!(matches!(middle.number, Number::Exact(_)));
        Ok(Slack::new(&middle, &amount.reduced(), source))
    }
}
