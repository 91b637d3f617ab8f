//! The most valuable strips for one cloth, and a bound on what any strips are worth.

use std::cmp::Reverse;

use super::knapsack::Knapsack;
use crate::layout::kinds::{Cell, Item, Strip};
use crate::layout::rows::lots;
use crate::layout::simple;
use crate::layout::work::Work;

/// So many part-filled cloths are kept side by side.
const BEAM: usize = 4;

/// From each of them, so many next strips are tried.
const BRANCH: usize = 4;

/// What a cloth can be filled with.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wish<'a> {
    pub items: &'a [Item],
    /// What one of each item is worth.
    pub values: &'a [i64],
    /// How many of each there are.
    pub counts: &'a [u64],
}

/// A cloth while it is filled.
#[derive(Clone, Debug)]
struct Partly {
    strips: Vec<Strip>,
    counts: Vec<u64>,
    free: i64,
    value: i128,
}

/// Strips within a cloth, across and along, whose pieces are worth the most found.
pub(super) fn fill(wish: Wish<'_>, (width, along): (i64, i64), work: &mut Work<'_>) -> Vec<Strip> {
    let counts = wish.counts.to_vec();
    let mut beam = vec![Partly { strips: Vec::new(), counts, free: along, value: 0 }];
    let mut best: Option<Partly> = None;
    while !beam.is_empty() && !work.out() {
        let mut next: Vec<Partly> = Vec::new();
        for partly in &beam {
            for strip in candidates(wish, partly, width, work) {
                next.push(partly.with(wish, strip));
            }
        }
        work.spend((next.len() * (wish.items.len() / 16 + 8)) as u64);
        next.sort_by_cached_key(|partly| Reverse(partly.promise(along)));
        next.dedup_by(|one, other| one.counts == other.counts && one.free == other.free);
        next.truncate(BEAM);
        for partly in &next {
            if best.as_ref().is_none_or(|best| partly.value > best.value) {
                best = Some(partly.clone());
            }
        }
        beam = next;
    }
    simple::joined(best.map(|best| best.strips).unwrap_or_default())
}

/// Strips within a cloth, filled with the highest pieces that fit: for when there is no work left.
pub(super) fn plain(wish: Wish<'_>, (width, along): (i64, i64)) -> Vec<Strip> {
    let mut ways: Vec<(i64, i64, usize, bool)> = Vec::with_capacity(wish.items.len());
    for (at, item) in wish.items.iter().enumerate() {
        let lies = item.ways(width).map(|turned| (item.lies(turned), turned));
        let lies = lies.filter(|((_, high), _)| *high <= along);
        ways.extend(lies.map(|((across, high), turned)| (high, across, at, turned)));
    }
    ways.sort_unstable_by_key(|(high, across, at, _)| (Reverse((*high, *across)), *at));
    let mut left = wish.counts.to_vec();
    let mut strips = Vec::new();
    let (mut free, mut first) = (along, 0);
    while let Some((height, ..)) = ways.get(first).copied() {
        let (mut room, mut cells) = (width, Vec::new());
        for (_, across, item, turned) in ways.iter().skip(first).filter(|_| height <= free).copied() {
            let Some(rest) = left.get_mut(item) else { continue };
            let count = (*rest).min(u64::try_from(room / across.max(1)).unwrap_or(0));
            if count > 0 {
                *rest -= count;
                room -= across.saturating_mul(i64::try_from(count).unwrap_or(i64::MAX));
                cells.push(Cell { item, turned, count });
            }
        }
        // What does not begin a strip here begins none later.
        let begins = cells.first().is_some_and(|cell| ways.get(first).is_some_and(|way| way.2 == cell.item));
        if begins {
            free -= height;
            strips.push(Strip { times: 1, height, cells });
        } else {
            for Cell { item, count, .. } in cells {
                left.get_mut(item).into_iter().for_each(|rest| *rest += count);
            }
            first += 1;
        }
    }
    simple::joined(strips)
}

/// No strips within a cloth are worth more.
pub(super) fn most(wish: Wish<'_>, (width, along): (i64, i64), work: &mut Work<'_>) -> i64 {
    let mut lengths = Knapsack::new(along, true);
    for (height, value, _) in by_height(wish, wish.counts, (width, along), true, work) {
        let strips = u64::try_from(along / height.max(1)).unwrap_or(0);
        for (lot, times) in lots(strips).enumerate() {
            let times = i64::try_from(times).unwrap_or(i64::MAX);
            lengths.add(height.saturating_mul(times), value.saturating_mul(times), lot, work);
        }
    }
    lengths.best()
}

impl Partly {
    /// With a strip more, or several alike where there is much to fill.
    fn with(&self, wish: Wish<'_>, strip: Strip) -> Partly {
        let mut next = self.clone();
        let mut times = u64::try_from(next.free / strip.height.max(1)).unwrap_or(0);
        for Cell { item, .. } in &strip.cells {
            let each: u64 = strip.cells.iter().filter(|cell| cell.item == *item).map(|cell| cell.count).sum();
            let left = self.counts.get(*item).copied().unwrap_or(0);
            times = times.min(left.checked_div(each).unwrap_or(u64::MAX));
        }
        let times = if times > 6 { times / 2 } else { 1 };
        for cell in &strip.cells {
            let taken = cell.count.saturating_mul(times);
            if let Some(left) = next.counts.get_mut(cell.item) {
                *left = left.saturating_sub(taken);
            }
            let value = wish.values.get(cell.item).copied().unwrap_or(0);
            next.value = next.value.saturating_add(i128::from(value).saturating_mul(i128::from(taken)));
        }
        let long = strip.height.saturating_mul(i64::try_from(times).unwrap_or(i64::MAX));
        next.free = next.free.saturating_sub(long);
        next.strips.push(Strip { times, ..strip });
        next
    }

    /// Its value per length taken, with a little of the length that is free.
    fn promise(&self, along: i64) -> i128 {
        let taken = i128::from(along.saturating_sub(self.free)).max(1);
        self.value.saturating_mul(1 << 20) / (taken + i128::from(self.free) / 64).max(1)
    }
}

/// The best strips of each height that still fit, the most valuable per height first, and the most
/// valuable of all.
fn candidates(wish: Wish<'_>, partly: &Partly, width: i64, work: &mut Work<'_>) -> Vec<Strip> {
    let mut found = by_height(wish, &partly.counts, (width, partly.free), false, work);
    found.sort_by(|(high, a, _), (low, b, _)| {
        let cross = |value: i64, height: i64| i128::from(value) * i128::from(height);
        cross(*b, *high).cmp(&cross(*a, *low)).then(high.cmp(low))
    });
    let top = found.iter().max_by_key(|(height, value, _)| (*value, -height)).cloned();
    found.truncate(BRANCH - 1);
    found.extend(top);
    found.into_iter().map(|(height, _, cells)| Strip { times: 1, height, cells }).collect()
}

/// The most valuable strip of each height, with what it is worth: one knapsack over the width, gone
/// through from the lowest pieces up.
fn by_height(
    wish: Wish<'_>,
    counts: &[u64],
    (width, along): (i64, i64),
    hoping: bool,
    work: &mut Work<'_>,
) -> Vec<(i64, i64, Vec<Cell>)> {
    let mut all: Vec<(i64, i64, i64, Cell)> = Vec::new();
    for (at, item) in wish.items.iter().enumerate() {
        let left = counts.get(at).copied().unwrap_or(0);
        let value = wish.values.get(at).copied().unwrap_or(0);
        for turned in item.ways(width) {
            let (across, high) = item.lies(turned);
            let most = left.min(u64::try_from(width / across.max(1)).unwrap_or(0));
            for count in lots(if high > along || value <= 0 { 0 } else { most }) {
                let n = i64::try_from(count).unwrap_or(i64::MAX);
                let cell = Cell { item: at, turned, count };
                all.push((high, across.saturating_mul(n), value.saturating_mul(n), cell));
            }
        }
    }
    all.sort_by_key(|lot| lot.0);
    work.spend(2 * all.len() as u64 + 1);
    let mut rows = Knapsack::new(width, hoping);
    let mut found: Vec<(i64, i64, Vec<Cell>)> = Vec::new();
    for (at, (high, across, value, _)) in all.iter().enumerate() {
        rows.add(*across, *value, at, work);
        let last = all.get(at + 1).is_none_or(|next| next.0 > *high);
        if last && found.last().is_none_or(|found| found.1 < rows.best()) {
            let cells = if hoping { Vec::new() } else { cells(&all, &rows, counts) };
            found.push((*high, rows.best(), cells));
        }
    }
    found
}

/// The cells of the best filling, no kind more often than there are pieces of it; the highest first.
fn cells(all: &[(i64, i64, i64, Cell)], rows: &Knapsack, counts: &[u64]) -> Vec<Cell> {
    let mut left = counts.to_vec();
    let mut cells: Vec<(i64, Cell)> = Vec::new();
    for (high, _, _, cell) in rows.lots().into_iter().filter_map(|lot| all.get(lot)) {
        let Some(rest) = left.get_mut(cell.item) else { continue };
        let count = cell.count.min(*rest);
        *rest -= count;
        let same = |one: &&mut (i64, Cell)| (one.1.item, one.1.turned) == (cell.item, cell.turned);
        match cells.iter_mut().find(same) {
            _ if count == 0 => {}
            Some(one) => one.1.count += count,
            None => cells.push((*high, Cell { count, ..*cell })),
        }
    }
    cells.sort_by_key(|(high, cell)| (Reverse(*high), cell.item, cell.turned));
    cells.into_iter().map(|(_, cell)| cell).collect()
}
