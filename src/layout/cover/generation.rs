//! Column generation: patterns in fractions of a strip, made one by one by pricing, and the bound that
//! follows from the dual prices of the items, worked in whole numbers.

use std::cell::RefCell;
use std::collections::HashMap;
use std::rc::Rc;

use super::super::work::Work;
use super::price::{Table, price};
use super::simplex::{End, Simplex};
use super::stock::{Pattern, Stock};

/// Costs past this are not relaxed.
const DEAREST: i64 = 1 << 44;
/// Worths are counted in parts of a cost, the dearest of them about this large.
const FINE: i64 = 1 << 50;
/// With so few levels, worths are kept from jumping.
const CALM: usize = 3;
/// So many times.
const CALMER: i64 = 6;
/// By how many thousandths more than its share of a strip an item costs by itself at first.
const SHARE: i64 = 10;
/// And at which it costs a whole strip.
const DEAR: i64 = 1_000_000;
/// More items than this are not relaxed.
const MOST_ITEMS: usize = 400;

/// What each item is worth, so that no strip holds more than it costs: a proof of a bound.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::layout) struct DualPrices {
    /// Parts of one unit of cost.
    pub one: i64,
    /// The worth of each item, in those parts.
    pub items: Vec<i64>,
    /// What is taken off for one strip of a level that there are not enough of.
    pub scarce: Vec<i64>,
    /// What all that is needed is worth, in those parts.
    pub sum: i128,
}

impl DualPrices {
    /// No plan costs less than this.
    pub fn bound(&self) -> i64 {
        let one = i128::from(self.one.max(1));
        i64::try_from(self.sum.max(0) / one + i128::from(self.sum.max(0) % one != 0)).unwrap_or(0)
    }
}

/// Who is told of patterns, each with its level; whether more can be told.
pub(super) type Told<'a> = &'a mut dyn FnMut(usize, &[(usize, i64)]) -> bool;

/// The relaxation of a stock, with the patterns known so far.
#[derive(Clone, Debug)]
pub(super) struct Relaxed<'a> {
    stock: &'a Stock,
    /// What is needed now.
    pub left: Vec<i64>,
    simplex: Simplex,
    /// The patterns, as the simplex numbers them.
    pub patterns: Vec<Pattern>,
    known: HashMap<Pattern, usize>,
    /// The levels of which there are only so many, in the order of their rows.
    limited: Vec<usize>,
    /// How many of each are left.
    spare: Vec<i64>,
    one: i64,
    /// The patterns of one item each.
    alone: Vec<usize>,
    /// How much more than its share of a strip an item may cost by itself, in thousandths; `None`
    /// where a whole strip.
    share: Option<i64>,
    /// Room for a table, filled before each use; one for all that came of one relaxation.
    table: Rc<RefCell<Table>>,
}

impl<'a> Relaxed<'a> {
    /// The relaxation of all that is wanted; `None` where the numbers are too large for it.
    pub fn of(stock: &'a Stock) -> Option<Relaxed<'a>> {
        let dearest = stock.levels.iter().map(|level| level.cost).max()?;
        if dearest > DEAREST || stock.wanted.len() > MOST_ITEMS {
            return None;
        }
        let limited: Vec<usize> = stock
            .levels
            .iter()
            .enumerate()
            .filter(|(_, level)| level.limit.is_some())
            .map(|(at, _)| at)
            .collect();
        let spare: Vec<i64> = limited.iter().filter_map(|at| stock.levels.get(*at)?.limit).collect();
        let limits = spare.iter().map(|limit| -limit);
        let wanted: Vec<i64> = stock.wanted.iter().copied().chain(limits).collect();
        let mut relaxed = Relaxed {
            stock,
            left: stock.wanted.clone(),
            simplex: Simplex::new(&wanted, dearest),
            patterns: Vec::new(),
            known: HashMap::new(),
            limited,
            spare,
            one: (FINE / dearest.max(1)).max(1),
            alone: Vec::new(),
            share: Some(SHARE),
            table: Rc::default(),
        };
        relaxed.simplex.unsettle();
        relaxed.singles();
        Some(relaxed)
    }

    /// A pattern for each item by itself.
    fn singles(&mut self) {
        self.alone.clear();
        for (item, alone) in self.stock.alone(&self.left).into_iter().enumerate() {
            if let (Some((level, fit)), Some(1..)) = (alone, self.left.get(item)) {
                let at = self.add(Pattern { level, holds: vec![(item, fit)] }).0;
                self.alone.push(at);
            }
        }
    }

    /// How often a pattern can be of use, and one more; 0 where it holds more than is left.
    fn high(&self, pattern: &Pattern) -> i64 {
        let mut high = 0;
        for (item, count) in &pattern.holds {
            let left = self.left.get(*item).copied().unwrap_or(0);
            if *count > left {
                return 0;
            }
            high = high.max(left / count + 2);
        }
        high
    }

    /// Adds a pattern: which one it is, and whether it is new.
    pub fn add(&mut self, pattern: Pattern) -> (usize, bool) {
        let high = self.high(&pattern);
        if let Some(at) = self.known.get(&pattern) {
            self.simplex.bound(*at, 0, high);
            return (*at, false);
        }
        let row = self.limited.iter().position(|level| *level == pattern.level);
        let scarce = row.map(|at| (self.stock.wanted.len() + at, -1));
        let entries = pattern.holds.iter().copied().chain(scarce);
        let at = self.simplex.add(self.stock.cost(&pattern), entries, high);
        self.known.insert(pattern.clone(), at);
        self.patterns.push(pattern);
        (at, true)
    }

    /// The patterns in use, and how often in parts of [`super::simplex::ONE`].
    pub fn used(&self) -> Vec<(usize, i64)> {
        self.simplex.used()
    }

    /// Cuts a pattern so many times for good: less is left to relax.
    pub fn cut(&mut self, pattern: &Pattern, times: i64) {
        for (item, count) in &pattern.holds {
            if let Some(left) = self.left.get_mut(*item) {
                *left = (*left - count * times).max(0);
                self.simplex.want(*item, *left);
            }
        }
        let row = self.limited.iter().position(|level| *level == pattern.level);
        if let Some((row, spare)) = row.and_then(|row| Some((row, self.spare.get_mut(row)?))) {
            *spare = (*spare - times).max(0);
            self.simplex.want(self.stock.wanted.len() + row, -*spare);
        }
    }

    /// Sets aside the patterns that hold more than is left.
    pub fn refit(&mut self) {
        for (at, pattern) in self.patterns.iter().enumerate() {
            self.simplex.bound(at, 0, self.high(pattern));
        }
        self.singles();
    }

    /// Makes patterns until none saves any more, the bound comes to `goal`, the patterns at hand cost no
    /// more than `enough`, or the work is out.
    pub fn solve(&mut self, goal: i64, enough: Option<i64>, work: &mut Work<'_>) -> DualPrices {
        let mut best = DualPrices { one: self.one, ..DualPrices::default() };
        if enough.is_none() {
            self.shares(&mut best, work);
        }
        while !work.out() {
            let end = self.simplex.solve(i64::MAX, work);
            let looked = self.stock.levels.len() * self.stock.wanted.len();
            work.spend(looked as u64 / 16);
            if end == End::Done && enough.is_some_and(|enough| self.simplex.within(enough)) {
                break;
            }
            let (items, costs) = self.dual_prices();
            // Worths near the best ones known so far jump less from round to round.
            let calm = self.calm(&items, &best);
            let fresh = calm.is_some_and(|calm| self.round(&calm, &costs, &mut best, work))
                || (best.bound() < goal && self.round(&items, &costs, &mut best, work));
            if best.bound() >= goal || end == End::Stuck || !(fresh || self.dearer()) {
                break;
            }
        }
        if self.share.take().is_some() {
            self.charge();
        }
        best
    }

    /// Starts from worths in proportion to the width.
    fn shares(&mut self, best: &mut DualPrices, work: &mut Work<'_>) {
        let items: Vec<i64> = self.fair().into_iter().map(|share| share.unwrap_or(0)).collect();
        let costs: Vec<i64> = self.stock.levels.iter().map(|level| level.cost * self.one).collect();
        self.round(&items, &costs, best, work);
        self.charge();
    }

    /// Each item's share of the cost of a strip that takes it.
    fn fair(&self) -> Vec<Option<i64>> {
        let alone = self.stock.alone(&self.left);
        let of = |(item, alone): (usize, &Option<(usize, i64)>)| {
            let level = self.stock.levels.get(alone.as_ref()?.0)?;
            let way = self.stock.ways(level).iter().find(|way| way.item == item)?;
            let share =
                i128::from(level.cost * self.one) * i128::from(way.across) / i128::from(level.width.max(1));
            i64::try_from(share).ok()
        };
        alone.iter().enumerate().map(of).collect()
    }

    /// What items by themselves cost now.
    fn charge(&mut self) {
        let shares = self.fair();
        for at in &self.alone {
            let Some(pattern) = self.patterns.get(*at) else { continue };
            let mut cost = self.stock.cost(pattern) * self.one;
            if let (Some(more), Some((item, count))) = (self.share, pattern.holds.first()) {
                let share = shares.get(*item).copied().flatten().unwrap_or(cost);
                let share = i128::from(share) * i128::from(*count) * i128::from(1000 + more) / 1000;
                cost = cost.min(i64::try_from(share).unwrap_or(cost));
            }
            self.simplex.charge(*at, cost, self.one);
        }
    }

    /// Makes items by themselves dearer, where some are still in use below what they cost.
    fn dearer(&mut self) -> bool {
        let Some(more) = self.share else { return false };
        let any = self.used().iter().any(|(at, _)| self.alone.contains(at));
        self.share = (any && more < DEAR).then_some(more * 4);
        self.charge();
        any
    }

    /// Worths between those of the simplex method and the best; `None` where they are the same anyway, or
    /// levels are many, so that a round costs more than it saves.
    fn calm(&self, items: &[i64], best: &DualPrices) -> Option<Vec<i64>> {
        if self.stock.levels.len() > CALM || best.items.is_empty() {
            return None;
        }
        let between = |(new, old): (&i64, &i64)| old + (new - old) / CALMER;
        Some(items.iter().zip(&best.items).map(between).collect())
    }

    /// Prices all levels at these worths; whether there are new patterns.
    fn round(&mut self, items: &[i64], costs: &[i64], best: &mut DualPrices, work: &mut Work<'_>) -> bool {
        let mut table = self.table.take();
        let priced = price(self.stock, items, &self.left, costs, &mut table, work);
        self.table.replace(table);
        let most: Vec<i64> = self.most(&priced);
        let dual = self.proof(items, &most);
        if dual.sum > best.sum || best.items.is_empty() {
            *best = dual;
        }
        let mut fresh = false;
        for pattern in priced.into_iter().flat_map(|one| one.found) {
            fresh |= self.add(pattern).1;
        }
        fresh
    }

    /// Tells all full patterns that can be part of a cover cheaper than `goal`, by what the items are
    /// worth, each with its level; `false` where there are more than `limit`, or nobody wants to be told
    /// more, or the work is out.
    pub fn list(
        &self,
        (dual, goal): (&DualPrices, i64),
        mut limit: usize,
        work: &mut Work<'_>,
        tell: Told<'_>,
    ) -> bool {
        let gap = (i128::from(goal) - 1) * i128::from(dual.one) - dual.sum;
        let mut table = self.table.take();
        for (list, ways) in self.stock.lists.iter().enumerate() {
            let levels = || self.stock.levels.iter().enumerate().filter(|(_, level)| level.list == list);
            let width = levels().map(|(_, level)| level.width).max().unwrap_or(0);
            table.fill(ways, width, &dual.items, &self.left, work);
            for (at, level) in levels() {
                let scarce = dual.scarce.get(at).copied().unwrap_or(0);
                let cost = i128::from(level.cost) * i128::from(dual.one) + i128::from(scarce);
                let least = i64::try_from((cost - gap).max(0));
                let tell = &mut |holds: &[(usize, i64)]| tell(at, holds);
                if !least.is_ok_and(|least| table.list(level, least, &mut limit, work, tell)) {
                    return false;
                }
            }
        }
        true
    }

    fn most(&self, priced: &[super::price::Priced]) -> Vec<i64> {
        let mut most = vec![0; self.stock.levels.len()];
        for one in priced {
            if let Some(slot) = most.get_mut(one.level) {
                *slot = one.most;
            }
        }
        most
    }

    /// The worth of the items and the price of a strip of each level, by the simplex method, kept in range.
    fn dual_prices(&self) -> (Vec<i64>, Vec<i64>) {
        let duals = self.simplex.duals(self.one);
        let alone = self.stock.alone(&self.left);
        let items = self.stock.wanted.iter().enumerate().map(|(item, _)| {
            let Some(Some((level, fit))) = alone.get(item) else { return 0 };
            let cost = self.stock.levels.get(*level).map_or(0, |level| level.cost);
            duals.get(item).copied().unwrap_or(0).clamp(0, cost * self.one / fit)
        });
        let scarce = |at: usize| {
            let row = self.limited.iter().position(|level| *level == at);
            let dual = row.and_then(|row| duals.get(self.stock.wanted.len() + row)).copied().unwrap_or(0);
            dual.clamp(0, FINE)
        };
        let costs =
            self.stock.levels.iter().enumerate().map(|(at, level)| level.cost * self.one + scarce(at));
        (items.collect(), costs.collect())
    }

    /// The worths made so small that no strip holds more than it costs.
    fn proof(&self, items: &[i64], most: &[i64]) -> DualPrices {
        if most.contains(&i64::MAX) {
            return DualPrices { one: self.one, ..DualPrices::default() };
        }
        let mut worst = (1i128, 1i128);
        let levels = || self.stock.levels.iter().zip(most);
        for (level, most) in levels().filter(|(level, _)| level.limit.is_none()) {
            let (most, cost) = (i128::from(*most), i128::from(level.cost) * i128::from(self.one));
            if most * worst.1 > worst.0 * cost {
                worst = (most, cost);
            }
        }
        let small = |dual: &i64| i64::try_from(i128::from(*dual) * worst.1 / worst.0).unwrap_or(0);
        let items: Vec<i64> = items.iter().map(small).collect();
        let scarce: Vec<i64> = levels()
            .map(|(level, most)| level.limit.map_or(0, |_| (most - level.cost * self.one).max(0)))
            .collect();
        let product = |a: &i64, b: &i64| i128::from(*a) * i128::from(*b);
        let gain: i128 = items.iter().zip(&self.left).map(|(dual, left)| product(dual, left)).sum();
        let scarce_of = |level: &usize| scarce.get(*level).copied().unwrap_or(0);
        let loss: i128 = self
            .limited
            .iter()
            .zip(&self.spare)
            .map(|(level, spare)| product(&scarce_of(level), spare))
            .sum();
        DualPrices { one: self.one, items, scarce, sum: gain - loss }
    }
}
