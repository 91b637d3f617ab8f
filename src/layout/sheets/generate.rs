//! Jobs of many pieces: column generation over the cloths. A column is a cloth and what lies on it.
//! The linear programme over the columns says what each piece is worth, its dual price; a cloth
//! filled with more worth than it costs is a new column. Branch and bound takes whole columns.

use std::collections::HashSet;

use super::cost::Cost;
use super::shelf::{self, Wish};
use super::squeezed;
use super::task::{Found, Roll, Task, Use};
use crate::layout::cover::{self, Level, Pattern, Stock};
use crate::layout::job::Kind;
use crate::layout::kinds::Item;
use crate::layout::plan::Lay;
use crate::layout::work::Work;

/// Dual prices are counted in parts of a cost, the dearest of them about this large.
const FINE: i64 = 1 << 44;

/// So many columns at most.
const MOST_COLUMNS: usize = 3_000;

/// So often all cloths are filled by dual prices.
const FILLED: i64 = 12;

/// So many rounds of dual prices at most.
const ROUNDS: usize = 200;

/// A cloth and what lies on it.
#[derive(Clone, Debug)]
struct Column {
    cloth: usize,
    held: Vec<u64>,
    lay: Lay,
}

/// Columns and how often each is taken.
type Taken = Vec<(usize, u64)>;

/// The columns found so far, and what is known of the job.
pub(super) struct Generation<'a> {
    task: &'a Task,
    roll: Option<Roll<'a>>,
    columns: Vec<Column>,
    known: HashSet<(usize, Vec<u64>)>,
    /// What each item costs that no column holds: its share of the roll, or more than any cloth.
    shares: Vec<i64>,
    /// What each cloth costs in the programme.
    costs: Vec<i64>,
    /// The best that was found, and what it takes of each item.
    best: Option<Found>,
}

impl<'a> Generation<'a> {
    pub fn of(task: &'a Task, roll: Option<Roll<'a>>) -> Generation<'a> {
        let main: Vec<i64> = task.cloths.iter().map(|(_, sheet)| task.cost(sheet).main).collect();
        // Where no cloth costs anything, fewer are better.
        let free = roll.is_none() && main.iter().all(|cost| *cost == 0);
        let costs = if free { vec![1; main.len()] } else { main };
        Generation {
            task,
            roll,
            columns: Vec::new(),
            known: HashSet::new(),
            shares: Vec::new(),
            costs,
            best: None,
        }
    }

    /// The cheapest plan found by cuts of a kind; the kinds are asked in order.
    pub fn plan(&mut self, kind: Kind, work: &mut Work<'_>) -> Option<Found> {
        let counts = self.task.counts();
        let bound = self.task.least_cost(self.roll, work.part(0));
        if self.columns.is_empty() {
            self.start(&counts, kind, work);
        } else {
            self.squeeze(&counts, kind, work);
        }
        let done = |best: &Option<Found>| best.as_ref().is_some_and(|best| best.is_whole_at(bound));
        let mut rounds = work.part(work.left() / 3);
        let bound =
            if done(&self.best) { bound } else { bound.max(self.generate(kind, &counts, &mut rounds)) };
        work.back(rounds);
        if !done(&self.best) && !work.out() {
            let mut given = work.part(work.left() / 3);
            if let Some(taken) = self.whole(&mut given) {
                self.keep(&taken, kind, work.part(work.left() / 3));
            }
            work.back(given);
            self.by_duals(&counts, kind, work);
        }
        let mut found = self.best.clone()?;
        found.bound = bound.min(found.cost.main);
        Some(found)
    }

    /// Cloths filled one after the other by the dual prices of what is left, while there is work.
    fn by_duals(&mut self, counts: &[u64], kind: Kind, work: &mut Work<'_>) {
        let Some((mut duals, _)) = self.relaxed(work) else { return };
        for turn in 0..FILLED {
            if work.out() {
                return;
            }
            let mut given = work.part(work.left() / 2);
            let taken = self.filled(counts, &duals, kind, &mut given);
            if given.out() {
                return;
            }
            work.back(given);
            self.keep(&taken, kind, work.part(work.left() / 4));
            // The larger pieces first, some more from turn to turn.
            for (dual, item) in duals.iter_mut().zip(&self.task.items) {
                let more = narrow(item_area(item)).checked_ilog2().unwrap_or(0);
                *dual = dual.saturating_add(*dual / 256 * i64::from(more) * (turn + 1) / 8);
            }
        }
    }

    /// What the roll alone takes, and cloths filled one after the other.
    fn start(&mut self, counts: &[u64], kind: Kind, work: &mut Work<'_>) {
        let dear = self.costs.iter().zip(&self.task.cloths).fold(1i64, |sum, (cost, (_, sheet))| {
            let count = i64::try_from(sheet.count).unwrap_or(i64::MAX).min(1 << 20);
            sum.saturating_add(cost.saturating_mul(count))
        });
        self.shares = vec![dear.min(FINE); counts.len()];
        if self.roll.is_some()
            && let Some(found) = self.finished(&Taken::new(), kind, work.part(work.left() / 4))
        {
            let all = self.task.area(counts).max(1);
            let share = |item: &Item| {
                let share = item_area(item).saturating_mul(i128::from(found.cost.main)) / all;
                i64::try_from(share).unwrap_or(FINE).max(1)
            };
            self.shares = self.task.items.iter().map(share).collect();
            self.best = Some(found);
        }
        let values: Vec<i64> = self.task.items.iter().map(|item| narrow(item_area(item))).collect();
        let mut given = work.part(work.left() / 4);
        let taken = self.filled(counts, &values, kind, &mut given);
        work.back(given);
        self.keep(&taken, kind, work.part(work.left() / 6));
    }

    /// Fills cloth after cloth, the one first that holds most for its cost, as long as one saves more of
    /// the roll than it costs.
    fn filled(&mut self, counts: &[u64], values: &[i64], kind: Kind, work: &mut Work<'_>) -> Taken {
        let mut left = counts.to_vec();
        let mut stock: Vec<u64> = self.task.cloths.iter().map(|(_, sheet)| sheet.count).collect();
        let mut taken = Taken::new();
        loop {
            if work.out() && self.best.is_some() {
                // There is a plan, and this one is not worth more.
                return taken;
            }
            let mut best: Option<(i128, usize)> = None;
            for cloth in 0..self.task.cloths.len() {
                // Once the work is done, the first cloth that holds anything will do.
                if stock.get(cloth).is_none_or(|left| *left == 0) || work.out() && best.is_some() {
                    continue;
                }
                let Some(column) = self.fill(cloth, &left, values, kind, work) else { continue };
                let at = self.add(column);
                let (saved, cost) = (self.saved(at), self.costs.get(cloth).copied().unwrap_or(0));
                if self.roll.is_some() && saved <= i128::from(cost) {
                    continue;
                }
                let held = self.columns.get(at).map_or(0, |column| self.task.area(&column.held));
                let per = if cost > 0 { i128::from(cost) } else { sheet_area(self.task, cloth) };
                let rate = held.saturating_mul(1 << 20) / per.max(1);
                if best.is_none_or(|best| rate > best.0) {
                    best = Some((rate, at));
                }
            }
            let Some((column, at)) = best.and_then(|(_, at)| Some((self.columns.get(at)?, at))) else {
                return taken;
            };
            let Some(stock) = stock.get_mut(column.cloth) else { return taken };
            let held = || column.held.iter().zip(&left).filter(|(held, _)| **held > 0);
            let times = held().map(|(held, left)| left / held).min().unwrap_or(1).clamp(1, *stock);
            *stock -= times;
            for (left, held) in left.iter_mut().zip(&column.held) {
                *left = left.saturating_sub(held.saturating_mul(times));
            }
            taken.push((at, times));
        }
    }

    /// A cloth filled with what is worth most; `None` where nothing fits.
    fn fill(
        &self,
        cloth: usize,
        left: &[u64],
        values: &[i64],
        kind: Kind,
        work: &mut Work<'_>,
    ) -> Option<Column> {
        let (_, sheet) = self.task.cloths.get(cloth)?;
        let by_selvage = left.iter().zip(&self.task.by_selvage);
        let left: Vec<u64> = by_selvage.map(|(left, by)| if *by { 0 } else { *left }).collect();
        let left = left.as_slice();
        let wish = Wish { items: &self.task.items, values, counts: left };
        let strips = shelf::fill(wish, (sheet.across, sheet.along), work);
        let mut held = vec![0u64; left.len()];
        for strip in &strips {
            for cell in &strip.cells {
                if let Some(held) = held.get_mut(cell.item) {
                    *held = held.saturating_add(cell.count.saturating_mul(strip.times));
                }
            }
        }
        let lay = Lay::Cut(self.task.strips(&strips, sheet));
        let column = Column { cloth, held, lay };
        let column =
            if kind == Kind::Strips { column } else { self.squeezed(&column, left, values, kind, work) };
        column.held.iter().any(|held| *held > 0).then_some(column)
    }

    /// A column with pieces added, the most valuable first.
    fn squeezed(
        &self,
        column: &Column,
        left: &[u64],
        values: &[i64],
        kind: Kind,
        work: &mut Work<'_>,
    ) -> Column {
        let Some((_, sheet)) = self.task.cloths.get(column.cloth) else { return column.clone() };
        let (lay, held) = squeezed::more(
            self.task,
            sheet,
            kind,
            (column.lay.clone(), column.held.clone()),
            (left, values),
            work,
        );
        Column { cloth: column.cloth, held, lay }
    }

    /// Which column it is, a new one or one that is known.
    fn add(&mut self, column: Column) -> usize {
        let key = (column.cloth, column.held.clone());
        if !self.known.insert(key) {
            let same = |one: &Column| one.cloth == column.cloth && one.held == column.held;
            if let Some(at) = self.columns.iter().position(same) {
                return at;
            }
        }
        self.columns.push(column);
        self.columns.len() - 1
    }

    /// What the pieces of a column cost without it.
    fn saved(&self, at: usize) -> i128 {
        let Some(column) = self.columns.get(at) else { return 0 };
        let each = |(held, share): (&u64, &i64)| i128::from(*held) * i128::from(*share);
        column.held.iter().zip(&self.shares).map(each).sum()
    }

    /// Fuller cloths by freer cuts: those of the columns at hand that are in use.
    fn squeeze(&mut self, counts: &[u64], kind: Kind, work: &mut Work<'_>) {
        let Some((duals, used)) = self.relaxed(work) else { return };
        let mut given = work.part(work.left() / 4);
        for at in used {
            if given.out() {
                break;
            }
            let Some(column) = self.columns.get(at).cloned() else { continue };
            let fuller = self.squeezed(&column, counts, &duals, kind, &mut given);
            self.add(fuller);
        }
        work.back(given);
    }

    /// The linear programme over the columns: the dual price of each item, and the columns in use.
    fn relaxed(&self, work: &mut Work<'_>) -> Option<(Vec<i64>, Vec<usize>)> {
        let prices = cover::relaxed(&self.stock(), &self.patterns(), self.one(), work)?;
        let columns = prices.used.into_iter().filter(|at| *at < self.columns.len()).collect();
        Some((prices.items, columns))
    }

    fn one(&self) -> i64 {
        let dearest = self.costs.iter().chain(&self.shares).copied().max().unwrap_or(1);
        (FINE / dearest.max(1)).max(1)
    }

    /// The programme: a level for each cloth, and one for each item that none holds.
    fn stock(&self) -> Stock {
        let count = |count: u64| i64::try_from(count).unwrap_or(i64::MAX);
        let level = |cost: i64, limit| Level { cost, width: 0, limit, list: 0, upto: 0, from: 0 };
        let cloths = self.costs.iter().zip(&self.task.cloths);
        let cloths = cloths.map(|(cost, (_, sheet))| level(*cost, Some(count(sheet.count).min(1 << 40))));
        let without = self.shares.iter().map(|share| level(*share, None));
        Stock {
            wanted: self.task.items.iter().map(|item| count(item.count)).collect(),
            lists: Vec::new(),
            levels: cloths.chain(without).collect(),
        }
    }

    fn patterns(&self) -> Vec<Pattern> {
        let holds = |held: &[u64]| {
            let held = held.iter().enumerate().filter(|(_, count)| **count > 0);
            held.map(|(item, count)| (item, i64::try_from(*count).unwrap_or(i64::MAX))).collect()
        };
        let columns =
            self.columns.iter().map(|column| Pattern { level: column.cloth, holds: holds(&column.held) });
        let without = (0..self.shares.len())
            .map(|item| Pattern { level: self.costs.len() + item, holds: vec![(item, 1)] });
        columns.chain(without).collect()
    }

    /// New columns until no cloth can hold more than it costs, or the work is out; a bound by the dual
    /// prices, where that is one.
    fn generate(&mut self, kind: Kind, counts: &[u64], work: &mut Work<'_>) -> i64 {
        let mut bound = 0;
        for _ in 0..ROUNDS {
            if work.out() || self.columns.len() > MOST_COLUMNS {
                break;
            }
            let Some((duals, _)) = self.relaxed(work) else { break };
            if kind == Kind::Strips && self.roll.is_none() {
                bound = bound.max(self.bound(&duals, counts, work));
            }
            let before = self.columns.len();
            for cloth in 0..self.task.cloths.len() {
                if let Some(column) = self.fill(cloth, counts, &duals, kind, work) {
                    self.add(column);
                }
            }
            if self.columns.len() == before {
                break;
            }
        }
        bound
    }

    /// No plan in strips costs less, by these dual prices: what a cloth can hold in worth beyond its
    /// cost is taken off for each that there is, or all worths are made smaller.
    fn bound(&self, duals: &[i64], counts: &[u64], work: &mut Work<'_>) -> i64 {
        let one = i128::from(self.one());
        let product = |(dual, count): (&i64, &u64)| i128::from(*dual) * i128::from(*count);
        let all: i128 = duals.iter().zip(counts).map(product).sum();
        let mut beyond = 0i128;
        let mut worst = (1i128, 1i128);
        let wish = Wish { items: &self.task.items, values: duals, counts };
        for (cost, (_, sheet)) in self.costs.iter().zip(&self.task.cloths) {
            let most = i128::from(shelf::most(wish, (sheet.across, sheet.along), work));
            let cost = i128::from(*cost) * one;
            beyond = beyond.saturating_add((most - cost).max(0).saturating_mul(i128::from(sheet.count)));
            if most.saturating_mul(worst.1) > worst.0.saturating_mul(cost) {
                worst = (most, cost);
            }
        }
        let free = self.task.cloths.iter().all(|(_, sheet)| self.task.cost(sheet).main == 0);
        let smaller = if worst.0 > 0 { all.saturating_mul(worst.1) / worst.0 } else { 0 };
        let sum = (all - beyond).max(smaller);
        let bound = i64::try_from((sum + one - 1) / one).unwrap_or(0);
        if free { 0 } else { self.task.possible(bound) }
    }

    /// Whole columns: branch and bound among those at hand.
    fn whole(&mut self, work: &mut Work<'_>) -> Option<Taken> {
        let stock = self.stock();
        let known = self.best.as_ref().map_or(i64::MAX >> 8, |best| best.cost.main.saturating_add(1));
        let cuts = cover::among(&stock, self.patterns(), (known, self.one()), work);
        let mut taken = Taken::new();
        for (pattern, times) in cuts? {
            let holds = |column: &&Column| {
                let held = |item: &usize| column.held.get(*item).copied().unwrap_or(0);
                column.cloth == pattern.level
                    && pattern.holds.iter().all(|(item, count)| held(item) >= count.unsigned_abs())
            };
            let least = self.columns.iter().enumerate().filter(|(_, column)| holds(column));
            if let Some((at, _)) = least.min_by_key(|(_, column)| self.task.area(&column.held)) {
                taken.push((at, times.unsigned_abs()));
            }
        }
        Some(taken)
    }

    /// Keeps what some columns and the roll come to, if that is cheaper.
    fn keep(&mut self, taken: &Taken, kind: Kind, work: Work<'_>) {
        let Some(found) = self.finished(taken, kind, work) else { return };
        let worth = |found: &Found| (self.task.area(&found.left), found.cost);
        if self.best.as_ref().is_none_or(|best| worth(&found) < worth(best)) {
            self.best = Some(found);
        }
    }

    /// Columns, and what they leave on the roll.
    fn finished(&self, taken: &Taken, kind: Kind, mut work: Work<'_>) -> Option<Found> {
        let mut left = self.task.counts();
        let mut uses: Vec<Use> = Vec::new();
        let mut cost = Cost::default();
        for (at, times) in taken {
            let column = self.columns.get(*at)?;
            let (_, sheet) = self.task.cloths.get(column.cloth)?;
            for (left, held) in left.iter_mut().zip(&column.held) {
                *left = left.saturating_sub(held.saturating_mul(*times));
            }
            let count = i64::try_from(*times).unwrap_or(i64::MAX);
            cost = cost.plus(self.task.cost(sheet).times(count));
            uses.push(Use { cloth: Some(column.cloth), count, along: sheet.along, lay: column.lay.clone() });
        }
        let mut length = 0;
        if let Some(roll) = self.roll.filter(|_| left.iter().any(|left| *left > 0)) {
            let laid = (roll.plan)(roll.width, &self.task.pieces(&left), kind, &mut work).ok()?;
            length = laid.length;
            cost = cost.plus((roll.cost)(length));
            uses.push(Use { cloth: None, count: 1, along: length, lay: laid.lay });
            left.iter_mut().for_each(|left| *left = 0);
        }
        Some(Found { uses, length, cost, bound: 0, left })
    }
}

fn sheet_area(task: &Task, cloth: usize) -> i128 {
    task.cloths.get(cloth).map_or(1, |(_, sheet)| sheet.area())
}

fn item_area(item: &Item) -> i128 {
    i128::from(item.across) * i128::from(item.along)
}

/// A value in range, and more than nothing.
fn narrow(area: i128) -> i64 {
    i64::try_from(area.min(i128::from(i64::MAX >> 30))).unwrap_or(1).max(1)
}
