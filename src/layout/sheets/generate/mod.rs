//! Jobs of many pieces: column generation over the cloths. A column is a cloth and what lies on it.
//! The linear programme over the columns says what each piece is worth, its dual price; a cloth
//! filled with more worth than it costs is a new column. Branch and bound takes whole columns.

mod stacked;
mod values;

use std::collections::HashSet;

use super::bound::{self, Filling};
use super::cost::Cost;
use super::shelf::{self, Wish};
use super::squeezed;
use super::task::{Found, Roll, Task, Use};
use crate::layout::cover::{self, Level, Pattern, Programme, Stock};
use crate::layout::job::{Kind, Sheet};
use crate::layout::kinds::Item;
use crate::layout::plan::Lay;
use crate::layout::work::Work;

/// Dual prices are counted in parts of a cost, the dearest of them about this large.
const FINE: i64 = 1 << 44;

/// So many columns at most.
const MOST_COLUMNS: usize = 3_000;

/// So often a piece more is tried on a cloth that plainer cuts filled.
const SQUEEZED: u32 = 4;

/// So many rounds of dual prices for a bound on all kinds of cuts.
const BOUNDING: usize = 60;

/// To bound what a cloth holds takes so many steps for each item.
const AREAS: u64 = 60;

/// So many rounds of dual prices at most.
const ROUNDS: usize = 200;

/// A cloth and what lies on it.
#[derive(Clone, Debug)]
struct Column {
    cloth: usize,
    held: Vec<u64>,
    lay: Lay,
}

impl Column {
    /// Whether so many of each item are as many as it holds.
    fn within(&self, left: &[u64]) -> bool {
        self.held.iter().zip(left).all(|(held, left)| held <= left)
    }

    fn pattern(&self) -> Pattern {
        let held = self.held.iter().enumerate().filter(|(_, count)| **count > 0);
        let holds = held.map(|(item, count)| (item, i64::try_from(*count).unwrap_or(i64::MAX)));
        Pattern { level: self.cloth, holds: holds.collect() }
    }
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
    /// No plan costs less, however it is cut.
    loosest: i64,
    /// The linear programme over the columns, as far as it was solved.
    programme: Option<Programme>,
    /// So many part-filled cloths are kept side by side.
    beam: usize,
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
            loosest: 0,
            programme: None,
            beam: squeezed::BEAM,
        }
    }

    /// The cheapest plan found by cuts of a kind; the kinds are asked in order.
    pub fn plan(&mut self, kind: Kind, work: &mut Work<'_>) -> Option<Found> {
        let counts = self.task.counts();
        let mut bound = self.task.least_cost(self.roll, work.part(0));
        if self.columns.is_empty() {
            self.start(&counts, kind, work);
        } else {
            self.squeeze(&counts, kind, work);
        }
        let done = |best: &Option<Found>, bound| best.as_ref().is_some_and(|best| best.is_whole_at(bound));
        if self.roll.is_none() && !done(&self.best, bound) {
            let mut given = work.part(work.left() / 16);
            self.loosest = self.loosest.max(self.bound_of_all(&counts, &mut given));
            bound = bound.max(self.loosest);
            work.back(given);
        }
        if !done(&self.best, bound) {
            let mut given = work.part(work.left() / 3);
            bound = bound.max(self.generate(kind, &counts, &mut given));
            work.back(given);
        }
        if !done(&self.best, bound) && !work.out() {
            let mut given = work.part(work.left() / 3);
            if let Some(taken) = self.whole(&mut given) {
                self.keep(&taken, kind, work.part(work.left() / 3));
            }
            work.back(given);
            self.by_values(&counts, kind, work);
        }
        let mut found = self.best.clone()?;
        found.bound = bound.min(found.cost.main);
        Some(found)
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
        if self.roll.is_none() && self.many(counts) {
            for largest in [false, true] {
                let mut given = work.part(work.left() / 4);
                let taken = self.stacked(counts, largest, &mut given);
                work.back(given);
                self.keep(&taken, kind, work.part(0));
            }
        }
        let values: Vec<i64> = self.task.items.iter().map(|item| narrow(item_area(item))).collect();
        let mut given = work.part(work.left() / 4);
        let taken = self.filled(counts, &values, kind, &mut given);
        work.back(given);
        self.keep(&taken, kind, work.part(work.left() / 6));
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
        if kind != Kind::Strips
            && !work.out()
            && squeezed::few(self.task, sheet, left)
            && let Some((lay, held)) = squeezed::filled(self.task, sheet, (left, values), self.beam, work)
        {
            return held.iter().any(|held| *held > 0).then_some(Column { cloth, held, lay });
        }
        let wish = Wish { items: &self.task.items, values, counts: left };
        let size = (sheet.across, sheet.along);
        let mut strips = shelf::fill(wish, size, work);
        if strips.is_empty() && work.out() {
            strips = shelf::plain(wish, size);
        }
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
        column.held.iter().any(|held| *held > 0).then_some(column)
    }

    /// A column with pieces added, the most valuable first.
    fn squeezed(
        &self,
        column: &Column,
        left: &[u64],
        values: &[i64],
        kind: (Kind, u32),
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
            let fuller = self.squeezed(&column, counts, &duals, (kind, SQUEEZED), &mut given);
            self.add(fuller);
        }
        work.back(given);
    }

    /// The linear programme over the columns: the dual price of each item, and the columns in use.
    fn relaxed(&mut self, work: &mut Work<'_>) -> Option<(Vec<i64>, Vec<usize>)> {
        let first = self.shares.len();
        let mut programme = match self.programme.take() {
            Some(programme) => programme,
            None => self.without_columns(self.stock(), 1),
        };
        for column in self.columns.iter().skip(programme.patterns - first) {
            programme.add(&column.pattern());
        }
        let prices = programme.solve(self.one(), work)?;
        self.programme = Some(programme);
        let used = prices.used.into_iter().filter_map(|at| at.checked_sub(first)).collect();
        Some((prices.items, used))
    }

    /// A programme in which each piece comes without a cloth, counted in so many parts.
    fn without_columns(&self, stock: Stock, parts: i64) -> Programme {
        let mut programme = Programme::of(stock);
        self.without(parts).for_each(|pattern| programme.add(&pattern));
        programme
    }

    fn without(&self, parts: i64) -> impl Iterator<Item = Pattern> + use<> {
        let level = self.costs.len();
        (0..self.shares.len()).map(move |item| Pattern { level: level + item, holds: vec![(item, parts)] })
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
                let filled = self.fill(cloth, counts, &duals, kind, work);
                if let Some(column) = filled.filter(|_| !work.out()) {
                    self.add(column);
                }
            }
            if self.columns.len() == before {
                break;
            }
        }
        bound
    }

    /// No plan in strips costs less, by these dual prices.
    fn bound(&self, duals: &[i64], counts: &[u64], work: &mut Work<'_>) -> i64 {
        let wish = Wish { items: &self.task.items, values: duals, counts };
        let most =
            |(_, sheet): &(usize, Sheet)| i128::from(shelf::most(wish, (sheet.across, sheet.along), work));
        let mosts: Vec<i128> = self.task.cloths.iter().map(most).collect();
        bound::by_duals(self.task, &self.costs, (duals, counts), &mosts, self.one())
    }

    /// No plan costs less, however it is cut: columns of pieces in part, as many as the areas allow, are
    /// generated until no cloth holds more than it costs.
    fn bound_of_all(&self, counts: &[u64], work: &mut Work<'_>) -> i64 {
        let grained = |count: &u64| i64::try_from(*count).ok()?.checked_mul(bound::GRAIN);
        let Some(wanted) = counts.iter().map(grained).collect::<Option<Vec<i64>>>() else { return 0 };
        let stock = Stock { wanted, ..self.stock() };
        let mut programme = self.without_columns(stock, bound::GRAIN);
        let mut bound = 0;
        for _ in 0..BOUNDING {
            let Some(prices) = programme.solve(self.one(), work) else { break };
            let duals: Vec<i64> = prices.items.iter().map(|dual| dual.saturating_mul(bound::GRAIN)).collect();
            let fillings: Vec<Filling> = self
                .task
                .cloths
                .iter()
                .map(|(_, sheet)| bound::filling(self.task, sheet, &duals, counts))
                .collect();
            let mosts: Vec<i128> = fillings.iter().map(|filling| filling.most).collect();
            let found = bound::by_duals(self.task, &self.costs, (&duals, counts), &mosts, self.one());
            bound = bound.max(found);
            if !work.spend((self.task.cloths.len() * duals.len()) as u64 * AREAS + 1) {
                break;
            }
            let before = programme.patterns;
            for (level, filling) in fillings.into_iter().enumerate() {
                let cost = i128::from(self.costs.get(level).copied().unwrap_or(0)) * i128::from(self.one());
                // What gains less than a thousandth is good enough.
                if filling.most > cost + cost / 1000 {
                    let held = filling.held.into_iter().enumerate().filter(|(_, held)| *held > 0);
                    programme.add(&Pattern { level, holds: held.collect() });
                }
            }
            if programme.patterns == before {
                break;
            }
        }
        bound
    }

    /// Whole columns: branch and bound among those at hand.
    fn whole(&mut self, work: &mut Work<'_>) -> Option<Taken> {
        let stock = self.stock();
        let known = self.best.as_ref().map_or(i64::MAX >> 8, |best| best.cost.main.saturating_add(1));
        let patterns: Vec<Pattern> =
            self.columns.iter().map(Column::pattern).chain(self.without(1)).collect();
        let cuts = cover::among(&stock, &patterns, (known, self.one()), work);
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
        let rank = |found: &Found| (self.task.area(&found.left), found.cost);
        if self.best.as_ref().is_none_or(|best| rank(&found) < rank(best)) {
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
