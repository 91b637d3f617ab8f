//! The simplex method in floating point: which patterns to use, and how often, in the linear relaxation
//! over the patterns at hand.
//!
//! Nothing here is believed: what it says is rounded to whole numbers and proved again by whoever
//! asked. It uses no more than sums, products and quotients, so it says the same on every machine.
#![allow(clippy::float_arithmetic)] // hints only; see above

mod inverse;
mod pivots;

use super::super::work::Work;
use inverse::inverted;

/// Values are told in parts of this.
pub(super) const ONE: i64 = 1 << 20;
/// No more than this of a row is counted in a column.
pub(super) const MOST: i64 = i16::MAX as i64;
/// Below this a number is taken for zero.
const TINY: f64 = 1e-9;
/// A pivot smaller than this is not trusted.
const PIVOT: f64 = 1e-7;
/// After so many pivots the inverse is calculated again.
const FRESH: u32 = 120;

/// Numbers of a dense matrix gone through in a step of work, side by side and one after the other, entries
/// of columns, and rows.
const DENSE_A_STEP: usize = 96;
const SUMMED_A_STEP: usize = 28;
const ENTRIES_A_STEP: usize = 32;
const ROWS_A_STEP: usize = 5;

/// A column gone through takes as long as so many entries.
const A_COLUMN: usize = 4;

/// Where a column stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Stand {
    /// In the basis, in this row.
    Basic(u16),
    /// At its lower end.
    Low,
    /// At its upper end.
    High,
}

/// How it ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum End {
    /// The relaxation is solved.
    Done,
    /// No solution can be as cheap as the limit.
    Past,
    /// It came to nothing.
    Stuck,
}

/// A row, and how much of it a column gives: rows are far fewer than 16 bits count, as the inverse holds their
/// square.
type Entry = (u16, i16);

/// A linear programme: columns between bounds, rows that must come to at least so much.
#[derive(Clone, Debug)]
pub(super) struct Simplex {
    rows: usize,
    /// Costs are kept in this unit.
    unit: f64,
    wanted: Vec<f64>,
    cost: Vec<f64>,
    /// Where the entries of each column start.
    starts: Vec<u32>,
    /// Row and count; few bits, as there may be millions.
    entries: Vec<Entry>,
    low: Vec<f64>,
    high: Vec<f64>,
    stand: Vec<Stand>,
    basis: Vec<usize>,
    inverse: Vec<f64>,
    level: Vec<f64>,
    duals: Vec<f64>,
    slope: Vec<f64>,
    slack: f64,
    pivots: u32,
    row: Vec<f64>,
    column: Vec<f64>,
    /// Work done and not paid for yet.
    work: u64,
}

/// Where a programme stood.
#[derive(Clone, Debug)]
pub(super) struct Place(Vec<Stand>, Vec<usize>, Vec<f64>, u32);

impl Simplex {
    /// Where it stands.
    pub fn place(&self) -> Place {
        Place(self.stand.clone(), self.basis.clone(), self.inverse.clone(), self.pivots)
    }

    /// Goes back to where it stood when it had these columns.
    pub fn back(&mut self, place: Place) {
        Place(self.stand, self.basis, self.inverse, self.pivots) = place;
    }

    /// A programme without columns: each row must come to at least what is wanted; costs are about
    /// as large as `unit`.
    pub fn new(wanted: &[i64], unit: i64) -> Simplex {
        let rows = wanted.len();
        let wanted: Vec<f64> = wanted.iter().map(|one| *one as f64).collect();
        let mut simplex = Simplex {
            rows,
            wanted: Vec::new(),
            unit: unit.max(1) as f64,
            cost: vec![0.0; rows],
            starts: (0..=rows as u32).collect(),
            entries: (0..rows).map(|row| (row as u16, -1)).collect(),
            low: vec![0.0; rows],
            high: vec![f64::INFINITY; rows],
            stand: (0..rows).map(|row| Stand::Basic(row as u16)).collect(),
            basis: (0..rows).collect(),
            inverse: vec![0.0; rows * rows],
            level: vec![0.0; rows],
            duals: vec![0.0; rows],
            slope: vec![0.0; rows],
            slack: 1e-7,
            pivots: 0,
            row: vec![0.0; rows],
            column: vec![0.0; rows],
            work: 0,
        };
        for row in 0..rows {
            if let Some(one) = simplex.inverse.get_mut(row * rows + row) {
                *one = -1.0;
            }
        }
        let most = wanted.iter().fold(1.0, |most: f64, one| most.max(one.abs()));
        simplex.slack = 1e-7 * (most / 1e5).max(1.0);
        simplex.wanted = wanted;
        simplex
    }

    /// Pays for the work done; whether there was as much.
    fn paid(&mut self, work: &mut Work<'_>) -> bool {
        work.spend(std::mem::take(&mut self.work)) && !work.out()
    }

    /// Steps of work to go through all columns.
    fn all_columns(&self) -> usize {
        (self.entries.len() + A_COLUMN * self.cost.len()) / ENTRIES_A_STEP + 1
    }

    /// Makes room for so many columns more, so that no others have to move as they come.
    pub fn reserve(&mut self, columns: usize, entries: usize) {
        self.entries.reserve(entries);
        self.starts.reserve(columns);
        self.stand.reserve(columns);
        for each in [&mut self.cost, &mut self.low, &mut self.high, &mut self.slope] {
            each.reserve(columns);
        }
    }

    /// How many entries all columns have.
    pub fn entries_kept(&self) -> usize {
        self.entries.len()
    }

    /// Adds a column between 0 and `high`; counts past [`MOST`] are cut off there.
    pub fn add(&mut self, cost: i64, entries: impl Iterator<Item = (usize, i64)>, high: i64) -> usize {
        self.cost.push(cost as f64 / self.unit);
        self.entries.extend(entries.map(|(row, count)| (row as u16, count.clamp(-MOST, MOST) as i16)));
        self.starts.push(self.entries.len() as u32);
        self.low.push(0.0);
        self.high.push(high as f64);
        self.stand.push(Stand::Low);
        self.slope.push(0.0);
        self.cost.len() - 1 - self.rows
    }

    /// The entries of a column as it was added.
    pub fn column(&self, column: usize) -> impl DoubleEndedIterator<Item = (usize, i64)> + Clone {
        self.entries(column + self.rows).iter().map(|(row, count)| (usize::from(*row), i64::from(*count)))
    }

    /// What a column costs, in parts of `one`.
    pub fn charge(&mut self, column: usize, cost: i64, one: i64) {
        if let Some(slot) = self.cost.get_mut(column + self.rows) {
            *slot = cost as f64 / one as f64 / self.unit;
        }
    }

    /// Whether the columns in use cost no more than this, but for a hair.
    pub fn within(&self, cost: i64) -> bool {
        self.total() * self.unit <= cost as f64 + 1e-6 * self.unit
    }

    /// Lets a column lie between these only.
    pub fn bound(&mut self, column: usize, low: i64, high: i64) {
        let at = column + self.rows;
        if let (Some(l), Some(h)) = (self.low.get_mut(at), self.high.get_mut(at)) {
            (*l, *h) = (low as f64, high as f64);
        }
    }

    /// A row that may not come to more than what is wanted either.
    pub fn exactly(&mut self, row: usize) {
        if let Some(high) = self.high.get_mut(row) {
            *high = 0.0;
        }
    }

    /// Wants a hair more or less in each row, so that no two columns come out at the same time and
    /// the method does not turn on the spot.
    pub fn unsettle(&mut self) {
        for (row, wanted) in self.wanted.iter_mut().enumerate() {
            *wanted -= if *wanted > 0.0 { hair(row) } else { 0.0 };
        }
    }

    /// What a row must come to.
    pub fn want(&mut self, row: usize, wanted: i64) {
        if let Some(one) = self.wanted.get_mut(row) {
            *one = wanted as f64 - if wanted > 0 { hair(row) } else { 0.0 };
        }
    }

    fn set_stand(&mut self, at: usize, stand: Stand) {
        if let Some(one) = self.stand.get_mut(at) {
            *one = stand;
        }
    }

    fn at(&self, at: usize) -> f64 {
        match self.stand.get(at) {
            Some(Stand::Basic(row)) => self.level.get(usize::from(*row)).copied().unwrap_or(0.0),
            Some(Stand::Low) => self.low.get(at).copied().unwrap_or(0.0),
            Some(Stand::High) => self.high.get(at).copied().unwrap_or(0.0),
            None => 0.0,
        }
    }

    /// The columns that are used at all, and how much in parts of [`ONE`].
    pub fn used(&self) -> Vec<(usize, i64)> {
        let all = (self.rows..self.cost.len()).map(|at| (at - self.rows, self.at(at)));
        all.filter(|(_, value)| *value > 1e-6)
            .map(|(at, value)| (at, (value * ONE as f64 + 0.5) as i64))
            .collect()
    }

    /// What one more of each row's wants would cost, in parts of `one`.
    pub fn duals(&self, one: i64) -> Vec<i64> {
        self.duals.iter().map(|dual| (dual * self.unit * one as f64) as i64).collect()
    }

    /// What the columns in use cost.
    fn total(&self) -> f64 {
        (self.rows..self.cost.len()).map(|at| self.at(at) * self.cost.get(at).copied().unwrap_or(0.0)).sum()
    }

    fn entries(&self, at: usize) -> &[Entry] {
        match (self.starts.get(at), self.starts.get(at + 1)) {
            (Some(from), Some(to)) => self.entries.get(*from as usize..*to as usize).unwrap_or(&[]),
            _ => &[],
        }
    }

    fn inverse_row(&self, row: usize) -> &[f64] {
        self.inverse.get(row * self.rows..(row + 1) * self.rows).unwrap_or(&[])
    }

    /// Solves it, from where it stands; stops where the cost passes `limit`, and is stuck where the work is out.
    pub fn solve(&mut self, limit: i64, work: &mut Work<'_>) -> End {
        let end = self.solved(limit, work);
        self.paid(work);
        end
    }

    fn solved(&mut self, limit: i64, work: &mut Work<'_>) -> End {
        let limit = limit as f64 / self.unit;
        if self.pivots >= FRESH && !self.invert() {
            return End::Stuck;
        }
        self.measure();
        self.price();
        let most = 20 * self.rows + 2_000;
        if !self.fits() {
            if self.turn() {
                self.measure();
            }
            match self.dual(limit, most, work) {
                End::Done => {}
                other => return other,
            }
        }
        self.primal(most, work)
    }

    /// The levels of the basis, from scratch.
    fn measure(&mut self) {
        let mut rest = self.wanted.clone();
        for at in 0..self.cost.len() {
            if matches!(self.stand.get(at), Some(Stand::Basic(_))) {
                continue;
            }
            let value = self.at(at);
            if value != 0.0 {
                for (row, entry) in self.entries(at) {
                    if let Some(one) = rest.get_mut(usize::from(*row)) {
                        *one -= f64::from(*entry) * value;
                    }
                }
            }
        }
        let level: Vec<f64> = (0..self.rows).map(|row| dot(self.inverse_row(row), &rest)).collect();
        self.level = level;
        self.work += (self.rows * self.rows / SUMMED_A_STEP + self.all_columns()) as u64;
    }

    /// The duals and what each column would change, from scratch.
    fn price(&mut self) {
        let mut duals = vec![0.0; self.rows];
        for row in 0..self.rows {
            let cost = self.basis.get(row).and_then(|at| self.cost.get(*at)).copied().unwrap_or(0.0);
            if cost != 0.0 {
                for (dual, one) in duals.iter_mut().zip(self.inverse_row(row)) {
                    *dual += cost * one;
                }
            }
        }
        self.duals = duals;
        self.slopes();
        self.work += (self.rows * self.rows / DENSE_A_STEP) as u64;
    }

    fn slopes(&mut self) {
        let mut slope = std::mem::take(&mut self.slope);
        for (at, slope) in slope.iter_mut().enumerate() {
            let priced = sparse(self.entries(at), &self.duals);
            *slope = self.cost.get(at).copied().unwrap_or(0.0) - priced;
        }
        self.slope = slope;
        self.work += self.all_columns() as u64;
    }

    /// Whether all levels lie between their bounds.
    fn fits(&self) -> bool {
        (0..self.rows).all(|row| self.off(row).abs() <= self.slack)
    }

    /// How far the level of a row is below (negative) or above its bounds.
    fn off(&self, row: usize) -> f64 {
        let at = self.basis.get(row).copied().unwrap_or(0);
        let (low, high) =
            (self.low.get(at).copied().unwrap_or(0.0), self.high.get(at).copied().unwrap_or(0.0));
        let level = self.level.get(row).copied().unwrap_or(0.0);
        if level < low {
            level - low
        } else if level > high {
            level - high
        } else {
            0.0
        }
    }

    /// Puts each column outside the basis to the end where it costs least; whether any moved.
    fn turn(&mut self) -> bool {
        let mut moved = false;
        for at in 0..self.cost.len() {
            let (slope, high) = (self.slope.get(at).copied().unwrap_or(0.0), self.high.get(at).copied());
            let to = match self.stand.get(at) {
                Some(Stand::Low) if slope < -TINY && high.is_some_and(f64::is_finite) => Stand::High,
                Some(Stand::High) if slope > TINY => Stand::Low,
                _ => continue,
            };
            self.set_stand(at, to);
            moved = true;
        }
        moved
    }

    /// The inverse of the basis from scratch; `false` where it has none.
    fn invert(&mut self) -> bool {
        let n = self.rows;
        self.pivots = 0;
        let mut basis = vec![0.0; n * n];
        for (place, at) in self.basis.iter().enumerate() {
            for (row, entry) in self.entries(*at) {
                if let Some(one) = basis.get_mut(usize::from(*row) * n + place) {
                    *one = f64::from(*entry);
                }
            }
        }
        let inverse = inverted(basis, n, &mut self.work);
        let found = inverse.is_some();
        self.inverse = inverse.unwrap_or_else(|| std::mem::take(&mut self.inverse));
        found
    }
}

/// Some ten thousandth, another one for each row.
fn hair(row: usize) -> f64 {
    (1 + row * 7919 % 1009) as f64 * 1e-7
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn sparse(entries: &[Entry], line: &[f64]) -> f64 {
    let each = |(row, count): &Entry| f64::from(*count) * line.get(usize::from(*row)).copied().unwrap_or(0.0);
    entries.iter().map(each).sum()
}
