//! The most valuable strips for one cloth of a fixed length.

use crate::layout::kinds::{Cell, Kinds, Strip};
use crate::layout::simple;
use crate::layout::work::Work;

/// Widths beyond this are counted in coarser steps, pieces rounded up.
const FINEST: i64 = 20_000;

/// So many part-filled cloths are kept side by side.
const BEAM: usize = 4;

/// From each of them, so many next strips are tried.
const BRANCH: usize = 4;

/// Pieces of one kind, as many as one choice of the knapsack takes.
#[derive(Clone, Copy, Debug)]
struct Lot {
    cell: Cell,
    across: i64,
    along: i64,
    value: i64,
}

/// A cloth while it is filled.
#[derive(Clone, Debug)]
struct Partly {
    strips: Vec<Strip>,
    counts: Vec<u64>,
    free: i64,
    value: i128,
}

/// Strips of `along` in all at most, whose pieces are worth the most found; a value for each kind.
pub(super) fn fill(kinds: &Kinds, along: i64, values: &[i64], work: &mut Work<'_>) -> Vec<Strip> {
    let counts = kinds.items.iter().map(|item| item.count).collect();
    let mut beam = vec![Partly { strips: Vec::new(), counts, free: along, value: 0 }];
    let mut best: Option<Partly> = None;
    while !beam.is_empty() {
        let mut next: Vec<Partly> = Vec::new();
        for partly in &beam {
            for strip in candidates(kinds, partly, values, work) {
                next.push(partly.with(kinds, strip, values));
            }
        }
        next.sort_by_key(|partly| std::cmp::Reverse(partly.promise(along)));
        next.dedup_by(|one, other| one.counts == other.counts && one.free == other.free);
        next.truncate(if work.out() { 1 } else { BEAM });
        for partly in &next {
            if best.as_ref().is_none_or(|best| partly.value > best.value) {
                best = Some(partly.clone());
            }
        }
        beam = next;
    }
    simple::joined(best.map(|best| best.strips).unwrap_or_default())
}

impl Partly {
    /// With a strip more, or several alike where there is much to fill.
    fn with(&self, kinds: &Kinds, strip: Strip, values: &[i64]) -> Partly {
        let mut next = self.clone();
        let room = u64::try_from(next.free / strip.height.max(1)).unwrap_or(0);
        let mut times = room;
        for (at, left) in self.counts.iter().enumerate() {
            let each: u64 = strip.cells.iter().filter(|cell| cell.item == at).map(|cell| cell.count).sum();
            times = times.min(left.checked_div(each).unwrap_or(u64::MAX));
        }
        let times = if times > 6 { times / 2 } else { 1 };
        for cell in &strip.cells {
            let taken = cell.count.saturating_mul(times);
            if let Some(left) = next.counts.get_mut(cell.item) {
                *left = left.saturating_sub(taken);
            }
            let value = values.get(cell.item).copied().unwrap_or(0);
            next.value = next.value.saturating_add(i128::from(value).saturating_mul(i128::from(taken)));
        }
        let long = strip.height.saturating_mul(i64::try_from(times).unwrap_or(i64::MAX));
        next.free = next.free.saturating_sub(long);
        next.strips.push(Strip { times, ..strip });
        debug_assert_eq!(kinds.items.len(), next.counts.len());
        next
    }

    /// Its value per length taken, with the length that is free counted at half of that.
    fn promise(&self, along: i64) -> i128 {
        let taken = i128::from(along.saturating_sub(self.free)).max(1);
        self.value.saturating_mul(1 << 20) / (taken + i128::from(self.free) / 64).max(1)
    }
}

/// The best strips of each height that still fit, the most valuable per height first, and the most
/// valuable of all.
fn candidates(kinds: &Kinds, partly: &Partly, values: &[i64], work: &mut Work<'_>) -> Vec<Strip> {
    let lots = lots(kinds, partly, values);
    let mut found = by_height(kinds, &lots, &partly.counts, values, work);
    found.sort_by(|(one, a), (other, b)| {
        let cross = |value: i128, height: i64| value.saturating_mul(i128::from(height));
        cross(*b, one.height).cmp(&cross(*a, other.height)).then(one.height.cmp(&other.height))
    });
    let top = found.iter().max_by_key(|(strip, value)| (*value, -strip.height)).cloned();
    found.truncate(BRANCH - 1);
    found.extend(top);
    found.into_iter().map(|(strip, _)| strip).collect()
}

/// What may go into a strip, the lowest first; the count of each kind in powers of two.
fn lots(kinds: &Kinds, partly: &Partly, values: &[i64]) -> Vec<Lot> {
    let mut lots = Vec::new();
    for (at, item) in kinds.items.iter().enumerate() {
        let left = partly.counts.get(at).copied().unwrap_or(0);
        let each = values.get(at).copied().unwrap_or(0);
        for turned in item.ways(kinds.width) {
            let (across, along) = item.lies(turned);
            if along > partly.free || each <= 0 {
                continue;
            }
            let most = left.min(u64::try_from(kinds.width / across.max(1)).unwrap_or(0));
            let mut rest = most;
            let mut lot = 1;
            while rest > 0 {
                let count = lot.min(rest);
                let n = i64::try_from(count).unwrap_or(i64::MAX);
                lots.push(Lot {
                    cell: Cell { item: at, turned, count },
                    across: across.saturating_mul(n),
                    along,
                    value: each.saturating_mul(n),
                });
                rest -= count;
                lot *= 2;
            }
        }
    }
    lots.sort_by_key(|lot| lot.along);
    lots
}

/// The most valuable strip of each height: one knapsack over the width, gone through from the
/// lowest pieces up.
fn by_height(
    kinds: &Kinds,
    lots: &[Lot],
    counts: &[u64],
    values: &[i64],
    work: &mut Work<'_>,
) -> Vec<(Strip, i128)> {
    let coarse = kinds.width / FINEST + 1;
    let width = usize::try_from(kinds.width / coarse).unwrap_or(0);
    let mut best = vec![0i64; width + 1];
    let mut taken: Vec<Vec<bool>> = Vec::with_capacity(lots.len());
    let mut found: Vec<(Strip, i128)> = Vec::new();
    for (at, lot) in lots.iter().enumerate() {
        let across =
            usize::try_from(lot.across / coarse + i64::from(lot.across % coarse != 0)).unwrap_or(usize::MAX);
        let mut takes = vec![false; width + 1];
        for free in (across.min(width + 1)..=width).rev() {
            let with = best.get(free - across).copied().unwrap_or(0).saturating_add(lot.value);
            if let (Some(value), Some(take)) = (best.get_mut(free), takes.get_mut(free))
                && with > *value
            {
                *value = with;
                *take = true;
            }
        }
        taken.push(takes);
        work.spend(u64::try_from(width / 8).unwrap_or(u64::MAX));
        let last_of_height = lots.get(at + 1).is_none_or(|next| next.along > lot.along);
        if last_of_height {
            let cells = chosen(lots, &taken, width, coarse, counts);
            found.extend(strip(kinds, cells, values));
        }
    }
    found
}

/// The cells that a knapsack chose, no kind more often than there are pieces of it.
fn chosen(lots: &[Lot], taken: &[Vec<bool>], width: usize, coarse: i64, counts: &[u64]) -> Vec<Cell> {
    let mut free = width;
    let mut left = counts.to_vec();
    let mut cells: Vec<Cell> = Vec::new();
    for (lot, takes) in lots.iter().zip(taken).rev() {
        if !takes.get(free).copied().unwrap_or(false) {
            continue;
        }
        let across = usize::try_from(lot.across / coarse + i64::from(lot.across % coarse != 0)).unwrap_or(0);
        free = free.saturating_sub(across);
        let Some(rest) = left.get_mut(lot.cell.item) else { continue };
        let count = lot.cell.count.min(*rest);
        *rest -= count;
        match cells.iter_mut().find(|cell| (cell.item, cell.turned) == (lot.cell.item, lot.cell.turned)) {
            _ if count == 0 => {}
            Some(cell) => cell.count += count,
            None => cells.push(Cell { count, ..lot.cell }),
        }
    }
    cells
}

/// The strip that holds the cells, and what they are worth; the highest stand first.
fn strip(kinds: &Kinds, mut cells: Vec<Cell>, values: &[i64]) -> Option<(Strip, i128)> {
    let along = |cell: &Cell| kinds.items.get(cell.item).map_or(0, |item| item.lies(cell.turned).1);
    let worth = |cell: &Cell| {
        i128::from(values.get(cell.item).copied().unwrap_or(0)).saturating_mul(i128::from(cell.count))
    };
    cells.sort_by_key(|cell| (std::cmp::Reverse(along(cell)), cell.item, cell.turned));
    let height = along(cells.first()?);
    let value = cells.iter().map(worth).sum();
    Some((Strip { times: 1, height, cells }, value))
}
