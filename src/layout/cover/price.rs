//! What the fullest strips are worth: a knapsack over the width, once for all levels of a list.

use super::super::rows::join_once;
use super::super::work::Work;
use super::stock::{Level, Pattern, Stock, Way};

/// So many cells at most in one table; beyond that widths are counted in coarser grains.
const CELLS: i64 = 1_500_000;
/// More points than this in a row take longer than they tell.
const MOST_POINTS: i64 = 1 << 14;
/// Fewer points than this do not pay.
const COARSEST: i64 = 2_000;
/// Nodes of a search for one pattern where grains are coarse.
const NODES: u64 = 3_000;

/// With so few levels, more than one pattern of each is made at a time.
const FEW: usize = 3;
/// So many more.
const MORE: usize = 16;

/// What the strips of a level can hold at most, and patterns that hold much.
#[derive(Clone, Debug)]
pub(super) struct Priced {
    /// Index of the level.
    pub level: usize,
    /// No strip of the level holds more worth than this.
    pub most: i64,
    /// Patterns worth more than a strip costs.
    pub found: Vec<Pattern>,
}

/// A table: for the first so many ways of a list and each width, the most worth that fits, or a
/// little more.
#[derive(Clone, Debug, Default)]
pub(super) struct Table {
    grain: i64,
    /// Widths in one row.
    size: usize,
    /// The rows, one after the other; worths in parts of two to the power of `coarse`, rounded up.
    cells: Vec<i32>,
    coarse: u32,
    ways: Vec<Way>,
    dual: Vec<i64>,
    most: Vec<i64>,
}

impl Table {
    /// Fills the table for the ways of a list in strips up to `width` wide.
    pub fn fill(&mut self, ways: &[Way], width: i64, dual: &[i64], left: &[i64], work: &mut Work<'_>) {
        let stages = ways.len() as i64 + 1;
        let points = (CELLS / stages).clamp(COARSEST, MOST_POINTS);
        self.grain = if width < points { 1 } else { width / points + 1 };
        self.size = usize::try_from(width / self.grain + 1).unwrap_or(1);
        self.ways = ways.to_vec();
        self.dual = ways.iter().map(|way| dual.get(way.item).copied().unwrap_or(0)).collect();
        let most = |way: &Way| left.get(way.item).copied().unwrap_or(0).min(width / way.across.max(1));
        self.most = ways.iter().map(most).collect();
        self.coarse = self.coarseness();
        self.cells.clear();
        self.cells.resize(self.size * (ways.len() + 1), 0);
        let mut cells = std::mem::take(&mut self.cells);
        for (at, way) in ways.iter().enumerate() {
            let (before, row) = cells.split_at_mut((at + 1) * self.size);
            let before = before.get(at * self.size..).unwrap_or(&[]);
            self.stage(at, way, (before, row.get_mut(..self.size).unwrap_or(&mut [])), work);
        }
        self.cells = cells;
    }

    /// How coarse worths must be for all that a strip can hold to stay below two to the power of 29.
    fn coarseness(&self) -> u32 {
        let (mut dense, mut loose, mut sum) = (0i128, 0i128, 0i128);
        for ((way, dual), most) in self.ways.iter().zip(&self.dual).zip(&self.most) {
            let all = i128::from((*dual).max(0)) * i128::from((*most).max(0));
            let step = i128::from(way.across / self.grain);
            sum += all;
            if all > 0 && step > 0 {
                dense = dense.max(i128::from(*dual) / step + 1);
            } else {
                loose += all;
            }
        }
        let most = sum.min(loose.saturating_add(dense * (self.size as i128 + 1)));
        (128 - most.leading_zeros()).saturating_sub(29)
    }

    /// The worth of so many as it is kept in the table: never less.
    fn coarsely(&self, dual: i64, count: i64) -> i32 {
        let all = i128::from(dual) * i128::from(count);
        let whole = all >> self.coarse;
        i32::try_from(whole + i128::from(whole << self.coarse < all)).unwrap_or(i32::MAX / 2)
    }

    /// One way more.
    fn stage(&self, at: usize, way: &Way, (before, row): (&[i32], &mut [i32]), work: &mut Work<'_>) {
        let (dual, most) = (self.dual.get(at).copied().unwrap_or(0), self.most.get(at).copied().unwrap_or(0));
        work.spend(row.len() as u64 / 120 + 1);
        let step = usize::try_from(way.across / self.grain).unwrap_or(usize::MAX);
        if dual <= 0 || most <= 0 || step >= row.len() {
            row.copy_from_slice(before);
            return;
        }
        let first = self.coarsely(dual, 1);
        let (near, rest) = row.split_at_mut(step);
        near.copy_from_slice(before.get(..step).unwrap_or(&[]));
        let without = before.get(step..).unwrap_or(&[]);
        for ((one, without), with) in rest.iter_mut().zip(without).zip(before) {
            // Far below the largest number; see `coarseness`.
            *one = (*without).max(with.wrapping_add(first));
        }
        let mut rest = most - 1;
        let mut part = 2;
        while rest > 0 {
            let now = part.min(rest);
            let far = step.saturating_mul(usize::try_from(now).unwrap_or(usize::MAX));
            if far >= row.len() {
                break;
            }
            add(row, far, self.coarsely(dual, now));
            work.spend(row.len() as u64 / 100 + 1);
            rest -= now;
            part *= 2;
        }
    }

    /// The most worth in strips of a level, or a little more; the largest number where that is past
    /// counting.
    pub fn most(&self, level: &Level) -> i64 {
        self.at(level.upto, level.width)
    }

    /// How much more than there is [`Table::most`] says at most.
    pub fn blur(&self, level: &Level) -> i64 {
        let narrow = self.ways.iter().map(|way| way.across).min().unwrap_or(1).max(1);
        let all = self.most.iter().fold(0i64, |sum, most| sum.saturating_add(*most));
        let parts = i128::from((level.width / narrow).min(all)) << self.coarse;
        if self.coarse == 0 { 0 } else { i64::try_from(parts).unwrap_or(i64::MAX) }
    }

    fn at(&self, upto: usize, width: i64) -> i64 {
        let point = usize::try_from(width / self.grain.max(1)).unwrap_or(usize::MAX);
        let cell = self.cells.get((upto * self.size).saturating_add(point));
        let dual = cell.filter(|_| point < self.size).copied().unwrap_or(0);
        match self.coarse {
            ..=32 => i64::from(dual) << self.coarse,
            coarse => i64::try_from(i128::from(dual) << coarse).unwrap_or(i64::MAX),
        }
    }

    /// A fullest pattern of a level, worth more than `above`, if there is one; where grains are
    /// coarse, the fullest of those looked at.
    pub fn fullest(&self, level: &Level, above: i64, work: &mut Work<'_>) -> Vec<Vec<(usize, i64)>> {
        self.dug(vec![0; level.upto], level.upto, level.width, (0, above), work).into_iter().collect()
    }

    /// Whether no pattern of a level is worth more than this, however much the table says; not told
    /// where that is much work.
    fn none(&self, level: &Level, above: i64, work: &mut Work<'_>) -> bool {
        let mut dig = Dig::new(self, vec![0; level.upto], above, NODES);
        dig.best_below(level.upto, level.width, 0);
        work.spend((NODES - dig.nodes) / 4 + 1);
        dig.best.is_none() && dig.nodes > 0
    }

    /// The best pattern below a stage, above what is held.
    fn dug(
        &self,
        held: Vec<i64>,
        stage: usize,
        free: i64,
        (value, above): (i64, i64),
        work: &mut Work<'_>,
    ) -> Option<Vec<(usize, i64)>> {
        let nodes = if value == 0 { NODES } else { NODES / 10 };
        let mut dig = Dig::new(self, held, above, nodes);
        dig.best_below(stage, free, value);
        work.spend((nodes - dig.nodes) / 4 + 1);
        dig.best.map(|held| self.named(&held).collect())
    }

    /// Good patterns of a level, each with another last way.
    fn others(&self, level: &Level, above: i64, work: &mut Work<'_>) -> Vec<Vec<(usize, i64)>> {
        let last = |stage: usize| {
            let at = stage.checked_sub(1)?;
            let (way, dual, most) = (self.ways.get(at)?, *self.dual.get(at)?, *self.most.get(at)?);
            let most = most.min(level.width / way.across.max(1));
            let bound =
                |count: i64| (count * dual).saturating_add(self.at(at, level.width - count * way.across));
            let best = (1..=most).map(|count| (bound(count), count)).max()?;
            (dual > 0 && best.0 > above).then_some((best.0, at, best.1))
        };
        let mut all: Vec<(i64, usize, i64)> = (1..=level.upto).filter_map(last).collect();
        work.spend(level.upto as u64 / 10 + 1);
        all.sort_unstable_by(|a, b| b.cmp(a));
        all.truncate(MORE);
        let dig = |(_, at, count): (i64, usize, i64)| {
            let (way, dual) = (self.ways.get(at)?, *self.dual.get(at)?);
            let mut held = vec![0; level.upto];
            *held.get_mut(at)? = count;
            self.dug(held, at, level.width - count * way.across, (count * dual, above), work)
        };
        all.into_iter().filter_map(dig).collect()
    }

    fn named(&self, held: &[i64]) -> impl Iterator<Item = (usize, i64)> {
        let all = self.ways.iter().zip(held).filter(|(_, count)| **count > 0);
        all.map(|(way, count)| (way.item, *count))
    }

    /// Tells all full patterns of a level worth at least `least`, takes them off `limit`; `false` where
    /// there are more, or nobody wants to be told more, or the work is out.
    pub fn list(
        &self,
        level: &Level,
        least: i64,
        limit: &mut usize,
        work: &mut Work<'_>,
        tell: Told<'_>,
    ) -> bool {
        let held = vec![0; level.upto];
        let mut walk =
            Walk { table: self, level, least, limit, work, tell, held, named: vec![], whole: true };
        walk.below(level.upto, level.width, 0, i64::MAX);
        walk.whole
    }
}

/// One part more of a way at each width, where that is worth more; from the wide end down, so that
/// the part is added once.
fn add(row: &mut [i32], far: usize, dual: i32) {
    join_once(row, far, |one, other| one.max(other.wrapping_add(dual)));
}

/// A search for one pattern.
struct Dig<'a> {
    table: &'a Table,
    held: Vec<i64>,
    goal: i64,
    best: Option<Vec<i64>>,
    nodes: u64,
    /// Counts to be tried, with what each can come to; those of the node at hand last.
    counts: Vec<(i64, i64)>,
}

impl<'a> Dig<'a> {
    fn new(table: &'a Table, held: Vec<i64>, goal: i64, nodes: u64) -> Dig<'a> {
        Dig { table, held, goal, best: None, nodes, counts: Vec::new() }
    }

    fn best_below(&mut self, stage: usize, free: i64, value: i64) {
        if self.nodes == 0 {
            return;
        }
        self.nodes -= 1;
        let Some(at) = stage.checked_sub(1) else {
            if value > self.goal {
                self.goal = value;
                self.best = Some(self.held.clone());
            }
            return;
        };
        let table = self.table;
        let (Some(way), Some(dual), Some(most)) =
            (table.ways.get(at), table.dual.get(at), table.most.get(at))
        else {
            return;
        };
        let most = if *dual > 0 { (*most).min(free / way.across.max(1)) } else { 0 };
        if most == 0 {
            if value.saturating_add(table.at(at, free)) > self.goal {
                self.best_below(at, free, value);
            }
            return;
        }
        let bound =
            |count: i64| (value + count * dual).saturating_add(table.at(at, free - count * way.across));
        if most == 1 {
            let (without, with) = (bound(0), bound(1));
            let first = i64::from(with >= without);
            for (count, bound) in [(first, with.max(without)), (1 - first, with.min(without))] {
                self.take(at, count, (free, value, bound), way.across, *dual);
            }
            return;
        }
        let first = self.counts.len();
        let goal = self.goal;
        let each = (0..=most).map(|count| (bound(count), count));
        self.counts.extend(each.filter(|(bound, _)| *bound > goal));
        if let Some(counts) = self.counts.get_mut(first..) {
            counts.sort_unstable_by(|a, b| b.cmp(a));
        }
        for nth in first..self.counts.len() {
            let Some((bound, count)) = self.counts.get(nth).copied() else { break };
            self.take(at, count, (free, value, bound), way.across, *dual);
        }
        self.counts.truncate(first);
    }

    fn take(&mut self, at: usize, count: i64, (free, value, bound): (i64, i64, i64), across: i64, dual: i64) {
        if bound > self.goal {
            self.set(at, count);
            self.best_below(at, free - count * across, value + count * dual);
            self.set(at, 0);
        }
    }

    fn set(&mut self, at: usize, count: i64) {
        if let Some(held) = self.held.get_mut(at) {
            *held = count;
        }
    }
}

/// Who is told of patterns one by one, as there may be too many to keep as they are; whether more can be told.
pub(super) type Told<'a> = &'a mut dyn FnMut(&[(usize, i64)]) -> bool;

/// A walk over all patterns that are worth enough.
struct Walk<'a, 's> {
    table: &'a Table,
    level: &'a Level,
    least: i64,
    limit: &'a mut usize,
    work: &'a mut Work<'s>,
    tell: Told<'a>,
    held: Vec<i64>,
    /// Room for a pattern that is told.
    named: Vec<(usize, i64)>,
    whole: bool,
}

impl Walk<'_, '_> {
    /// `need`: the narrowest item of which more could lie there.
    fn below(&mut self, stage: usize, free: i64, value: i64, need: i64) {
        if !self.whole {
            return;
        }
        if *self.limit == 0 || !self.work.spend(1) {
            self.whole = false;
            return;
        }
        let Some(at) = stage.checked_sub(1) else {
            if free < need {
                *self.limit -= 1;
                self.named.clear();
                self.named.extend(self.table.named(&self.held));
                self.whole = (self.tell)(&self.named);
            }
            return;
        };
        let untall = stage == self.level.from && self.held.iter().all(|held| *held == 0);
        let table = self.table;
        let (Some(way), Some(dual), Some(limit)) =
            (table.ways.get(at), table.dual.get(at), table.most.get(at))
        else {
            return;
        };
        if untall && self.level.from > 0 {
            return;
        }
        let most = (*limit).min(free / way.across.max(1));
        for count in (0..=most).rev() {
            let (rest, sum) = (free - count * way.across, value + count * dual);
            if sum.saturating_add(table.at(at, rest)) >= self.least {
                let need = if count < *limit { need.min(way.across) } else { need };
                if let Some(held) = self.held.get_mut(at) {
                    *held = count;
                }
                self.below(at, rest, sum, need);
            }
        }
        if let Some(held) = self.held.get_mut(at) {
            *held = 0;
        }
    }
}

/// Prices all levels: for each the most worth, and a full pattern where that is more than it costs.
pub(super) fn price(
    stock: &Stock,
    dual: &[i64],
    left: &[i64],
    costs: &[i64],
    table: &mut Table,
    work: &mut Work<'_>,
) -> Vec<Priced> {
    let few = stock.levels.len() <= FEW;
    let mut out = Vec::with_capacity(stock.levels.len());
    for (at, list) in stock.lists.iter().enumerate() {
        let levels = || stock.levels.iter().zip(costs).enumerate().filter(|(_, (level, _))| level.list == at);
        let width = levels().map(|(_, (level, _))| level.width).max().unwrap_or(0);
        if work.out() {
            // What was not priced may hold any worth.
            let unknown = |(level, _)| Priced { level, most: i64::MAX, found: Vec::new() };
            out.extend(levels().map(unknown));
            continue;
        }
        table.fill(list, width, dual, left, work);
        for (index, (level, cost)) in levels() {
            let mut most = table.most(level);
            let saves = most.saturating_sub(table.blur(level)) > *cost;
            let mut found = if saves { table.fullest(level, *cost, work) } else { Vec::new() };
            if !saves && most > *cost && table.none(level, *cost, work) {
                most = *cost;
            }
            if saves && few {
                found.extend(table.others(level, *cost, work));
            }
            let filled = |holds| {
                let mut pattern = Pattern { level: index, holds };
                stock.fill(&mut pattern, left);
                pattern
            };
            let found = found.into_iter().map(filled).collect();
            out.push(Priced { level: index, most, found });
        }
    }
    out
}
