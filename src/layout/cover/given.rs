//! A linear programme over patterns that are given to it, some at first and others as they are found.

use super::simplex::{End, Simplex};
use super::stock::{Pattern, Stock};
use crate::layout::work::Work;

/// What a linear programme over given patterns says.
#[derive(Clone, Debug, Default)]
pub(in crate::layout) struct Prices {
    /// The dual price of each item, in parts of a cost.
    pub items: Vec<i64>,
    /// The patterns in use, in the order in which they were given.
    pub used: Vec<usize>,
}

/// A programme that goes on from its last solution when patterns are added.
pub(in crate::layout) struct Programme {
    stock: Stock,
    /// Levels of which there are only so many, each a row.
    limited: Vec<usize>,
    simplex: Simplex,
    /// How many patterns it has.
    pub patterns: usize,
}

impl Programme {
    /// A programme without patterns.
    pub fn of(stock: Stock) -> Programme {
        let levels = stock.levels.iter().enumerate();
        let (limited, limits): (Vec<usize>, Vec<i64>) =
            levels.filter_map(|(at, level)| Some((at, -level.limit?))).unzip();
        let wanted: Vec<i64> = stock.wanted.iter().copied().chain(limits).collect();
        let dearest = stock.levels.iter().map(|level| level.cost).max().unwrap_or(1);
        let mut simplex = Simplex::new(&wanted, dearest);
        simplex.unsettle();
        Programme { stock, limited, simplex, patterns: 0 }
    }

    /// A pattern more.
    pub fn add(&mut self, pattern: &Pattern) {
        let row = self.limited.iter().position(|level| *level == pattern.level);
        let scarce = row.map(|at| (self.stock.wanted.len() + at, -1));
        let most =
            |(item, count): &(usize, i64)| self.stock.wanted.get(*item).map(|wanted| wanted / count + 1);
        let high = pattern.holds.iter().filter_map(most).max().unwrap_or(0);
        self.simplex.add(self.stock.cost(pattern), pattern.holds.iter().copied().chain(scarce), high);
        self.patterns += 1;
    }

    /// Its solution, prices in `one` parts of a cost; `None` where it comes to nothing.
    pub fn solve(&mut self, one: i64, work: &mut Work<'_>) -> Option<Prices> {
        let end = self.simplex.solve(i64::MAX, work);
        work.spend(self.patterns as u64 / 10 + 1);
        if end != End::Done {
            return None;
        }
        let mut items = self.simplex.duals(one);
        items.truncate(self.stock.wanted.len());
        items.iter_mut().for_each(|price| *price = (*price).max(0));
        Some(Prices { items, used: self.simplex.used().into_iter().map(|(at, _)| at).collect() })
    }
}
