//! Measures with slack that move with what is looked for: a middle, what each source brings, and what
//! cannot be laid to one source, each over the whole span.

use crate::ask::find::moving::{Moving, Sym};
use crate::measure::{Exact, Number, Quantity, Trouble};
use crate::value::data::Value;
use crate::value::slack::Slack;

/// A measure with slack over a span.
#[derive(Clone, Debug)]
pub(crate) struct Loose {
    middle: Moving,
    /// By the sources' numbers; a source that is made over the span has none of these.
    terms: Vec<(Option<u64>, Moving)>,
    /// How far below and above else.
    rest: (Moving, Moving),
}

type Made = Result<Loose, Trouble>;

impl Loose {
    /// A measure with slack that stays the same.
    pub fn still(slack: &Slack) -> Loose {
        let like = |amount: &Exact| {
            Moving::still(Quantity { number: Number::Exact(amount.clone()), ..slack.middle() })
        };
        let terms = slack.terms().map(|(source, amount)| (Some(source), like(amount)));
        let (below, above) = slack.rest();
        Loose {
            middle: Moving::still(slack.middle()),
            terms: terms.collect(),
            rest: (like(below), like(above)),
        }
    }

    /// A plain measure.
    pub fn plain(middle: Moving) -> Loose {
        let none = Moving::still(Quantity { number: Number::Exact(Exact::ZERO), ..middle.at.clone() });
        Loose { middle, terms: Vec::new(), rest: (none.clone(), none) }
    }

    /// The same with one more source.
    pub fn with(mut self, amount: Moving) -> Loose {
        self.terms.push((None, amount));
        self
    }

    pub fn add(&self, other: &Loose) -> Made {
        let mut terms = self.terms.clone();
        for (source, amount) in &other.terms {
            let known = terms.iter_mut().find(|(known, _)| known.is_some() && known == source);
            match known {
                Some((_, sum)) => *sum = sum.add(amount)?,
                None => terms.push((*source, amount.clone())),
            }
        }
        let rest = (self.rest.0.add(&other.rest.0)?, self.rest.1.add(&other.rest.1)?);
        Ok(Loose { middle: self.middle.add(&other.middle)?, terms, rest })
    }

    pub fn sub(&self, other: &Loose) -> Made {
        self.add(&other.neg())
    }

    pub fn neg(&self) -> Loose {
        let terms = self.terms.iter().map(|(source, amount)| (*source, amount.neg())).collect();
        Loose { middle: self.middle.neg(), terms, rest: (self.rest.1.clone(), self.rest.0.clone()) }
    }

    /// Times a measure without slack.
    pub fn times(&self, factor: &Moving) -> Made {
        self.each(factor, |amount| amount.mul(factor))
    }

    /// Divided by a measure without slack.
    pub fn over(&self, factor: &Moving) -> Made {
        self.each(factor, |amount| amount.div(factor))
    }

    fn each(&self, factor: &Moving, make: impl Fn(&Moving) -> Result<Moving, Trouble>) -> Made {
        let terms = self.terms.iter().map(|(source, amount)| Ok((*source, make(amount)?)));
        let terms = terms.collect::<Result<Vec<_>, Trouble>>()?;
        let (below, above) = (make(&self.rest.0)?, make(&self.rest.1)?);
        let flat = |amount: &Moving| amount.at.is_zero();
        let rest = match (factor.at.number.lower().signum(), factor.at.number.upper().signum()) {
            (0 | 1, _) => (below, above),
            (_, 0 | -1) => (above.neg(), below.neg()),
            _ if flat(&self.rest.0) && flat(&self.rest.1) => (below, above),
            _ => return Err(Trouble::TooClose),
        };
        Ok(Loose { middle: make(&self.middle)?, terms, rest })
    }

    /// What all sources bring together.
    fn spread(&self) -> Result<Moving, Trouble> {
        let none = self.middle.sub(&self.middle)?;
        let none = Moving::still(Quantity { number: Number::Exact(Exact::ZERO), ..none.at });
        self.terms.iter().try_fold(none, |sum, (_, amount)| sum.add(&amount.abs()))
    }

    /// The least and the most that it may be.
    pub fn ends(&self) -> Result<(Moving, Moving), Trouble> {
        let spread = self.spread()?;
        let least = self.middle.sub(&spread)?.sub(&self.rest.0)?;
        Ok((least, self.middle.add(&spread)?.add(&self.rest.1)?))
    }

    /// So many, each with slack of its own.
    pub fn separate(&self, count: &Moving) -> Made {
        let one = self.spread()?.add(&self.rest.0)?;
        Ok(Loose::plain(self.middle.mul(count)?).with(one.mul(count)?))
    }

    /// `.middle`, `.least`, `.most`.
    pub fn part(&self, name: &str) -> Option<Moving> {
        match name {
            "middle" => Some(self.middle.clone()),
            "least" => self.ends().ok().map(|ends| ends.0),
            "most" => self.ends().ok().map(|ends| ends.1),
            _ => None,
        }
    }
}

impl Sym {
    /// A measure with slack or without.
    pub fn loose(&self) -> Option<Loose> {
        match self {
            Sym::Plain(Value::Slack(slack)) => Some(Loose::still(slack)),
            Sym::Loose(loose) => Some((**loose).clone()),
            _ => self.measure().map(Loose::plain),
        }
    }

    /// Whether it has slack.
    pub fn is_loose(&self) -> bool {
        matches!(self, Sym::Loose(_) | Sym::Plain(Value::Slack(_)))
    }
}
