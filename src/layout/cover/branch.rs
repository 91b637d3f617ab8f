//! Proof among a closed list of patterns: branch and bound, each bound worked in whole numbers.

use std::collections::BTreeMap;

use super::super::work::Work;
use super::costs::Attainable;
use super::generation::DualPrices;
use super::simplex::{End, MOST, ONE, Place, Simplex};
use super::stock::{Cuts, Pattern, Stock};

/// How many choices deep it goes; deeper is not proved.
const DEEPEST: u32 = 300;
/// So much is kept at most, in numbers.
const KEPT: usize = 4_000_000;
/// Nearer to a whole number than this many parts of `ONE` is taken for one.
const NEAR: i64 = ONE / 10_000;

/// Columns gone through in a step of work.
const COLUMNS_A_STEP: u64 = 2;

/// There is room for so many numbers in a pattern at first, and for so many in all patterns at last: a few dozen
/// megabytes.
const MEAN_ENTRIES: usize = 8;
const MOST_ENTRIES: usize = 6_000_000;

/// How far a number is from a whole one.
fn off(value: i64) -> i64 {
    value.rem_euclid(ONE).min(ONE - value.rem_euclid(ONE))
}

/// How often a column of the closed programme may be used.
#[derive(Clone, Copy, Debug)]
struct Between {
    low: i64,
    high: i64,
}

/// The closed programme: how many strips there are of each level, and then the patterns, each in a row of
/// its level. What patterns hold is kept by the simplex alone, as there may be many.
pub(super) struct Closed<'a> {
    stock: &'a Stock,
    columns: Vec<Between>,
    simplex: Simplex,
    /// Whether all that was added is in it as it is.
    whole: bool,
}

impl<'a> Closed<'a> {
    /// A programme without patterns, with room for so many.
    pub fn of(stock: &'a Stock, patterns: usize) -> Closed<'a> {
        let (items, levels) = (stock.wanted.len(), stock.levels.len());
        let all = stock.wanted.iter().fold(0i64, |sum, one| sum.saturating_add(*one));
        let wanted: Vec<i64> = stock.wanted.iter().copied().chain((0..levels).map(|_| 0)).collect();
        let dearest = stock.levels.iter().map(|level| level.cost).max().unwrap_or(1);
        let mut simplex = Simplex::new(&wanted, dearest);
        (items..items + levels).for_each(|row| simplex.exactly(row));
        let room = patterns.saturating_add(levels);
        simplex.reserve(room, room.saturating_mul(MEAN_ENTRIES));
        let mut closed = Closed { stock, columns: Vec::with_capacity(room), simplex, whole: true };
        for (at, level) in stock.levels.iter().enumerate() {
            closed.column(0, [(items + at, -1)].into_iter(), level.limit.unwrap_or(all));
        }
        closed
    }

    /// A pattern more; whether there was room for it.
    pub fn add(&mut self, level: usize, holds: &[(usize, i64)]) -> bool {
        if self.simplex.entries_kept() + holds.len() > MOST_ENTRIES {
            return false;
        }
        let high = holds.iter().map(|(item, count)| {
            let wanted = self.stock.wanted.get(*item).copied().unwrap_or(0);
            wanted / count + i64::from(wanted % count != 0)
        });
        let high = high.max().unwrap_or(0);
        let row = (self.stock.wanted.len() + level, 1);
        let cost = self.stock.levels.get(level).map_or(0, |level| level.cost);
        // More in a strip than the simplex can count is left out.
        if holds.iter().all(|(_, count)| *count <= MOST) {
            self.column(cost, holds.iter().copied().chain([row]), high);
        } else {
            self.whole = false;
        }
        true
    }

    fn column(&mut self, cost: i64, entries: impl Iterator<Item = (usize, i64)>, high: i64) {
        self.simplex.add(cost, entries, high);
        self.columns.push(Between { low: 0, high });
    }
}

/// A search through all covers made of listed patterns.
pub(super) struct Branch<'a, 'w, 's> {
    stock: &'a Stock,
    attainable: Attainable<'a>,
    wanted: Vec<i64>,
    columns: Vec<Between>,
    simplex: Simplex,
    one: i64,
    /// The best cover found, if any is cheaper than what was known.
    pub best: Option<Cuts>,
    /// What it costs, or what is known.
    pub cost: i64,
    /// Whether the search went through all that could be cheaper.
    pub whole: bool,
    /// Items of which none can be cut in excess, or it would cost too much.
    exact: Vec<bool>,
    /// Those of them of which one is needed.
    single: Vec<bool>,
    /// Work that may be done.
    work: &'w mut Work<'s>,
}

impl<'a, 'w, 's> Branch<'a, 'w, 's> {
    /// A search for something cheaper than `cost` made of these patterns; they must be all that
    /// can be part of it.
    pub fn new(
        stock: &'a Stock,
        closed: Closed<'a>,
        dual: &DualPrices,
        cost: i64,
        attainable: Attainable<'a>,
        work: &'w mut Work<'s>,
    ) -> Branch<'a, 'w, 's> {
        let Closed { columns, mut simplex, whole, .. } = closed;
        let gap = (i128::from(cost) - 1) * i128::from(dual.one) - dual.sum;
        let dear = |item: usize| i128::from(dual.items.get(item).copied().unwrap_or(0)) > gap;
        let exact: Vec<bool> = (0..stock.wanted.len()).map(dear).collect();
        let single = exact.iter().zip(&stock.wanted).map(|(exact, wanted)| *exact && *wanted == 1).collect();
        for (row, _) in exact.iter().enumerate().filter(|(_, exact)| **exact) {
            simplex.exactly(row);
        }
        let wanted = stock.wanted.iter().copied().chain(stock.levels.iter().map(|_| 0)).collect();
        let one = dual.one;
        Branch {
            exact,
            single,
            stock,
            attainable,
            wanted,
            columns,
            simplex,
            one,
            best: None,
            cost,
            whole,
            work,
        }
    }

    /// The level of a pattern; `None` for how many strips there are.
    fn level(&self, column: usize) -> Option<usize> {
        let levels = self.stock.levels.len();
        let (row, _) = self.simplex.column(column).next_back().filter(|_| column >= levels)?;
        row.checked_sub(self.stock.wanted.len())
    }

    /// What a pattern holds.
    fn holds(&self, column: usize) -> impl Iterator<Item = (usize, i64)> {
        self.simplex.column(column).filter(|(row, _)| *row < self.stock.wanted.len())
    }

    fn cost(&self, column: usize) -> i64 {
        self.level(column).and_then(|level| self.stock.levels.get(level)).map_or(0, |level| level.cost)
    }

    /// Goes through it.
    pub fn run(&mut self) {
        self.node(0);
    }

    fn node(&mut self, depth: u32) {
        if self.work.out() || depth > DEEPEST {
            self.whole = false;
            return;
        }
        let end = self.simplex.solve(self.cost, self.work);
        // Its bound is worked out twice in whole numbers.
        self.work.spend(self.columns.len() as u64 / COLUMNS_A_STEP + 1);
        if self.bound() >= self.cost {
            return;
        }
        let used = self.simplex.used();
        let Some((column, value)) = self.broken(&used) else {
            self.keep(&used);
            if self.bound() < self.cost {
                self.whole = false;
            }
            return;
        };
        if end != End::Done {
            // The simplex lost its way, or says that nothing is to be had and cannot prove it.
            self.whole = false;
            return;
        }
        if column >= self.stock.levels.len()
            && let Some(pair) = self.pair(&used)
        {
            return self.split(pair, depth);
        }
        let Some((low, high)) = self.columns.get(column).map(|column| (column.low, column.high)) else {
            return;
        };
        if low >= high {
            // What is decided already came out broken: past what the simplex can tell apart.
            self.whole = false;
            return;
        }
        let floor = value.div_euclid(ONE).clamp(low, high - 1);
        let place = self.place(depth);
        self.between(column, floor + 1, high);
        self.node(depth + 1);
        self.back(place);
        self.between(column, low, floor);
        self.node(depth + 1);
        self.between(column, low, high);
    }

    /// Where the simplex stands, to go on from there; `None` where that is much to keep.
    fn place(&self, depth: u32) -> Option<Place> {
        let size = self.wanted.len() * self.wanted.len() + 2 * self.columns.len();
        (size * depth as usize <= KEPT).then(|| self.simplex.place())
    }

    fn back(&mut self, place: Option<Place>) {
        if let Some(place) = place {
            self.simplex.back(place);
        }
    }

    /// Two items that lie side by side in part only, nearest to half: once together, once apart.
    fn pair(&self, used: &[(usize, i64)]) -> Option<(usize, usize)> {
        let mut beside: BTreeMap<(usize, usize), i64> = BTreeMap::new();
        for (at, value) in used.iter().filter(|(_, value)| off(*value) > NEAR) {
            let single = |item: &usize| self.single.get(*item) == Some(&true);
            let items: Vec<usize> = self.holds(*at).map(|(item, _)| item).filter(single).collect();
            for (nth, one) in items.iter().enumerate() {
                for other in items.iter().skip(nth + 1) {
                    *beside.entry((*one, *other)).or_default() += value;
                }
            }
        }
        let broken = beside.into_iter().filter(|(_, value)| off(*value) > NEAR);
        let best = broken.max_by_key(|(pair, value)| (off(*value) / (ONE / 64), std::cmp::Reverse(*pair)));
        best.map(|(pair, _)| pair)
    }

    /// Goes through all covers that hold two items together, then through those that do not.
    fn split(&mut self, (one, other): (usize, usize), depth: u32) {
        let mut place = self.place(depth);
        for together in [true, false] {
            let against = |(at, column): &(usize, &Between)| {
                let held = |item: usize| self.holds(*at).any(|(held, _)| held == item);
                *at >= self.stock.levels.len()
                    && column.high > 0
                    && if together { held(one) != held(other) } else { held(one) && held(other) }
            };
            let shut: Vec<(usize, i64, i64)> = self
                .columns
                .iter()
                .enumerate()
                .filter(against)
                .map(|(at, column)| (at, column.low, column.high))
                .collect();
            if shut.iter().all(|(_, low, _)| *low == 0) {
                for (at, _, _) in &shut {
                    self.between(*at, 0, 0);
                }
                self.node(depth + 1);
                for (at, low, high) in shut {
                    self.between(at, low, high);
                }
            }
            self.back(place.take());
        }
    }

    fn between(&mut self, at: usize, low: i64, high: i64) {
        if let Some(column) = self.columns.get_mut(at) {
            (column.low, column.high) = (low, high);
        }
        self.simplex.bound(at, low, high);
    }

    /// The column to decide on next: first how many strips of a level, then how often a pattern;
    /// the one furthest from a whole number.
    fn broken(&self, used: &[(usize, i64)]) -> Option<(usize, i64)> {
        let levels = self.stock.levels.len();
        let far = |wanted: bool| {
            let all = used.iter().filter(move |(at, value)| (*at < levels) == wanted && off(*value) > NEAR);
            all.max_by_key(|(at, value)| (off(*value) / (ONE / 64), self.cost(*at), std::cmp::Reverse(*at)))
        };
        far(true).or_else(|| far(false)).copied()
    }

    /// No cover within the bounds of the columns costs less, whatever the simplex says.
    fn bound(&self) -> i64 {
        let mut duals = self.simplex.duals(self.one);
        let cap = i64::MAX >> 5;
        for (row, dual) in duals.iter_mut().enumerate() {
            let from = self.exact.get(row) == Some(&false);
            *dual = (*dual).clamp(if from { 0 } else { -cap }, cap);
        }
        let product = |a: i64, b: i64| i128::from(a) * i128::from(b);
        let mut sum: i128 =
            duals.iter().zip(&self.wanted).map(|(dual, wanted)| product(*dual, *wanted)).sum();
        for (at, column) in self.columns.iter().enumerate() {
            let entries = self.simplex.column(at);
            let paid = entries.map(|(row, count)| product(duals.get(row).copied().unwrap_or(0), count));
            let slope = product(self.cost(at), self.one) - paid.sum::<i128>();
            let at = if slope > 0 { column.low } else { column.high };
            sum = sum.saturating_add(slope.saturating_mul(i128::from(at)));
        }
        let one = i128::from(self.one);
        let bound = sum.max(0) / one + i128::from(sum.max(0) % one != 0);
        (self.attainable)(i64::try_from(bound).unwrap_or(i64::MAX))
    }

    /// Keeps a whole cover, if it is one and cheaper; not where the simplex was stopped on its way to it.
    fn keep(&mut self, used: &[(usize, i64)]) {
        if self.work.out() {
            return;
        }
        let mut left = self.stock.wanted.clone();
        let mut spare: Vec<Option<i64>> = self.stock.levels.iter().map(|level| level.limit).collect();
        let mut cuts: Cuts = Vec::new();
        for (at, value) in used {
            let Some(level) = self.level(*at) else { continue };
            let pattern = Pattern { level, holds: self.holds(*at).collect() };
            let times = (value + ONE / 2) / ONE;
            for (item, count) in &pattern.holds {
                if let Some(left) = left.get_mut(*item) {
                    *left -= count * times;
                }
            }
            if let Some(spare) = spare.get_mut(level).and_then(Option::as_mut) {
                *spare -= times;
            }
            cuts.push((pattern, times));
        }
        // A simplex that was stopped on its way may take more strips than there are.
        if left.iter().any(|left| *left > 0) || spare.iter().flatten().any(|spare| *spare < 0) {
            return;
        }
        let cuts = self.stock.trimmed(cuts);
        let cost = self.stock.total(&cuts);
        if cost < self.cost {
            (self.cost, self.best) = (cost, Some(cuts));
        }
    }
}
