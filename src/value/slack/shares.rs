//! Which source adds how much slack.

use std::collections::HashMap;

use super::{Slack, Source};
use crate::docket;
use crate::measure::{Exact, Number, Quantity};

impl Slack {
    /// Which source adds how much, the most first; the sources of one line are reported together.
    fn shares(&self) -> Vec<docket::Share> {
        let mut shares: Vec<(&Source, Exact)> = Vec::new();
        let mut known: HashMap<(&str, Option<usize>), usize> = Default::default();
        for (source, amount) in &self.terms {
            let at = *known.entry((&*source.words, source.line)).or_insert(shares.len());
            match shares.get_mut(at) {
                Some((_, sum)) => *sum = &*sum + &amount.abs(),
                None => shares.push((source, amount.abs())),
            }
        }
        shares.sort_by(|a, b| b.1.cmp(&a.1));
        let mut shares: Vec<docket::Share> = shares
            .into_iter()
            .map(|(source, amount)| docket::Share {
                words: source.words.clone(),
                line: source.line,
                amount: self.like(amount),
            })
            .collect();
        if !self.rest.is_nothing() && !shares.is_empty() {
            let words = "rounding, and slack combined with slack".into();
            shares.push(docket::Share {
                words,
                line: None,
                amount: self.like(self.rest.below.clone().max(self.rest.above.clone())),
            });
        }
        shares
    }

    /// What a source is called, and its line.
    pub fn source(&self, serial: u64) -> Option<String> {
        let (source, _) = self.terms.iter().find(|(source, _)| source.serial == serial)?;
        let words = &source.words;
        Some(source.line.map_or_else(|| words.to_string(), |line| format!("{words}, line {line},")))
    }

    /// An amount that is read as the slack is.
    fn like(&self, amount: Exact) -> Quantity {
        Quantity { number: Number::Exact(amount), dim: self.middle.dim, reading: self.middle.reading }
    }

    /// The slack as the docket holds it.
    pub fn to_docket(&self) -> docket::Slack {
        docket::Slack { middle: self.middle(), slack: self.like(self.radius()), shares: self.shares() }
    }
}
