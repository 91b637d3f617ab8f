//! Weights of sides from the relaxation that cuts cloth into thin slices, each holding any pieces
//! that fit side by side in it.
//!
//! It is solved by generating slices, in fixed-point numbers: their errors cost sharpness only, for
//! what weights are worth is settled by an exact knapsack.

use super::knapsack::{Knapsack, Thing};

/// One as a weight.
pub(super) const ONE: i64 = 1 << 24;

/// One in the solver's fixed-point numbers.
const POINT: u32 = 36;

/// A number this large means that the solver has lost its way.
const TOO_LARGE: i128 = 1 << 62;

/// How often the relaxation may be taken one slice further.
const ROUNDS: usize = 120;

/// A piece one way round.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    /// Which kind of piece.
    pub item: usize,
    /// Its side in the slice.
    pub size: i64,
    /// What a unit of its weight counts for each such piece.
    pub pay: i64,
}

/// Weights of rows, and the most of them that one slice can hold.
#[derive(Clone, Debug)]
pub(super) struct Weights {
    /// A weight for each row.
    pub each: Vec<i64>,
    /// The most that a slice holds.
    pub full: i64,
}

/// The weights that make the pieces count for the most, compared to what a slice can hold. A kind
/// counts by its lesser way. `counts` says how many there are of each kind.
pub(super) fn weigh(rows: &[Row], counts: &[u64], cap: i64, knapsack: &mut Knapsack<'_>) -> Option<Weights> {
    let mut solver = Solver::new(rows, counts, cap)?;
    let mut best: Option<(i128, Weights)> = None;
    for _ in 0..ROUNDS {
        if knapsack.work.out() {
            break;
        }
        let each = solver.weights();
        let things: Vec<Thing> = rows
            .iter()
            .zip(&each)
            .map(|(row, weight)| Thing { size: row.size, count: count(counts, row.item), weight: *weight })
            .collect();
        let (full, held) = knapsack.fill(&things, cap);
        if full > 0 {
            let weight = weight_of_all(rows, counts, &each) / i128::from(full);
            if best.as_ref().is_none_or(|(best, _)| weight > *best) {
                best = Some((weight, Weights { each, full }));
            }
        }
        // An exchange in the solver costs as much as some cells.
        knapsack.count(6 * rows.len() * rows.len() + 100);
        let turned = solver.turn_in();
        let sliced = full > ONE + ONE / 4096 && solver.slice_in(&held);
        if !turned && !sliced {
            break;
        }
    }
    best.map(|(_, weights)| weights)
}

/// How many there are of a kind.
pub(super) fn count(counts: &[u64], item: usize) -> u64 {
    counts.get(item).copied().unwrap_or(0)
}

/// What the pieces count for by such weights.
pub(super) fn weight_of_all(rows: &[Row], counts: &[u64], weights: &[i64]) -> i128 {
    let mut least: Vec<Option<i128>> = vec![None; counts.len()];
    for (row, weight) in rows.iter().zip(weights) {
        let paid = i128::from(row.pay) * i128::from(*weight);
        if let Some(least) = least.get_mut(row.item) {
            *least = Some(least.map_or(paid, |least| least.min(paid)));
        }
    }
    let each = least.iter().zip(counts).map(|(least, count)| least.unwrap_or(0) * i128::from(*count));
    each.fold(0i128, i128::saturating_add)
}

/// The simplex method by rows of the inverse of the basis.
struct Solver {
    /// The inverse, row by row.
    inverse: Vec<Vec<i128>>,
    /// How much of each column of the basis there is.
    level: Vec<i128>,
    /// Whether each column of the basis is a slice: turning costs nothing.
    is_slice: Vec<bool>,
    /// For kinds that may lie both ways: the two rows, and what is paid for them.
    turns: Vec<(usize, usize, i128, i128)>,
}

fn times(a: i128, b: i128) -> i128 {
    (a * b) >> POINT
}

impl Solver {
    /// Starts from slices that hold one kind each.
    fn new(rows: &[Row], counts: &[u64], cap: i64) -> Option<Solver> {
        let size = rows.len();
        let mut solver = Solver {
            inverse: vec![vec![0; size]; size],
            level: vec![0; size],
            is_slice: vec![true; size],
            turns: Vec::new(),
        };
        let dearest = i128::from(rows.iter().map(|row| row.pay).max()?.max(1));
        let most = i128::from(counts.iter().copied().max()?.max(1));
        let pay = |row: &Row| (i128::from(row.pay) << POINT) / dearest;
        for (at, row) in rows.iter().enumerate() {
            let many = count(counts, row.item);
            let held = many.min(u64::try_from(cap / row.size.max(1)).unwrap_or(0)).max(1);
            if let Some(entry) = solver.inverse.get_mut(at).and_then(|row| row.get_mut(at)) {
                *entry = (1i128 << POINT) / i128::from(held);
            }
            let earlier = rows.iter().take(at).enumerate().find(|(_, other)| other.item == row.item);
            match (earlier, solver.level.get_mut(at)) {
                (Some((first, other)), _) => solver.turns.push((first, at, pay(other), pay(row))),
                // Counts are told relative to the largest.
                (None, Some(level)) => {
                    *level = ((i128::from(many) << 16) / most * pay(row)) / i128::from(held);
                }
                (None, None) => {}
            }
        }
        Some(solver)
    }

    /// What a unit of each row is worth.
    fn duals(&self) -> Vec<i128> {
        let size = self.level.len();
        let mut duals = vec![0i128; size];
        for (row, _) in self.inverse.iter().zip(&self.is_slice).filter(|(_, is_slice)| **is_slice) {
            for (dual, entry) in duals.iter_mut().zip(row) {
                *dual += entry;
            }
        }
        duals
    }

    fn weights(&self) -> Vec<i64> {
        let scaled = |dual: &i128| i64::try_from(*dual >> (POINT - 24)).unwrap_or(0).clamp(0, 4 * ONE);
        self.duals().iter().map(scaled).collect()
    }

    /// Brings a slice into the basis.
    fn slice_in(&mut self, held: &[u64]) -> bool {
        let column = |row: &Vec<i128>| {
            row.iter().zip(held).filter(|(_, held)| **held > 0).map(|(e, held)| e * i128::from(*held)).sum()
        };
        let column: Vec<i128> = self.inverse.iter().map(column).collect();
        self.pivot(&column, true)
    }

    /// Brings the turning of the kind that gains most by it into the basis.
    fn turn_in(&mut self) -> bool {
        let duals = self.duals();
        let dual = |row: usize| duals.get(row).copied().unwrap_or(0);
        let gain =
            |turn: &(usize, usize, i128, i128)| times(dual(turn.0), turn.2) - times(dual(turn.1), turn.3);
        let Some(best) = self.turns.iter().max_by_key(|turn| gain(turn)) else { return false };
        if gain(best) <= 1 << (POINT - 16) {
            return false;
        }
        let (first, second, plus, minus) = *best;
        let entry = |row: &[i128], at: usize| row.get(at).copied().unwrap_or(0);
        let column = |row: &Vec<i128>| times(entry(row, first), plus) - times(entry(row, second), minus);
        let column: Vec<i128> = self.inverse.iter().map(column).collect();
        self.pivot(&column, false)
    }

    /// Exchanges a column of the basis for this one, given in terms of the basis.
    fn pivot(&mut self, column: &[i128], is_slice: bool) -> bool {
        let least = 1i128 << (POINT - 20);
        // The row that leaves, its ratio and its entry.
        let mut out: Option<(usize, i128, i128)> = None;
        for (at, (entry, level)) in column.iter().zip(&self.level).enumerate() {
            if *entry > least {
                let ratio = ((*level).max(0) << 20) / *entry;
                let better = out.is_none_or(|(_, low, was)| ratio < low || (ratio == low && *entry > was));
                if better {
                    out = Some((at, ratio, *entry));
                }
            }
        }
        let Some((out, _, divisor)) = out else { return false };
        let divided = |value: i128| (value << POINT) / divisor;
        let (Some(row), Some(level)) = (self.inverse.get(out), self.level.get(out)) else { return false };
        let pivot: Vec<i128> = row.iter().map(|entry| divided(*entry)).collect();
        let level = divided(*level);
        if pivot.iter().chain(column).chain([&level]).any(|entry| entry.abs() > TOO_LARGE) {
            return false;
        }
        let rows = self.inverse.iter_mut().zip(&mut self.level).zip(&mut self.is_slice).zip(column);
        for (at, (((row, own), slice), entry)) in rows.enumerate() {
            if at == out {
                row.clone_from(&pivot);
                (*own, *slice) = (level, is_slice);
            } else if *entry != 0 {
                for (value, by) in row.iter_mut().zip(&pivot) {
                    *value -= times(*entry, *by);
                }
                *own -= times(*entry, level);
            }
        }
        true
    }
}
