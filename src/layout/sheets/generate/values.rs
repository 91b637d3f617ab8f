//! Cloths filled one after the other by what the pieces are worth, and worths that follow what the
//! pieces cost on the cloths that were taken.

use super::super::squeezed;
use super::super::task::Found;
use super::{Generation, Taken, item_area, narrow, sheet_area};
use crate::layout::job::Kind;
use crate::layout::work::Work;

/// So often all cloths are filled by what pieces are worth, and after so many times whole columns are
/// looked for among them.
const FILLED: usize = 4_000;
const WHOLE_EACH: usize = 8;

/// After so many times twice as many part-filled cloths are kept.
const WIDER_EACH: usize = 64;

/// What is left while cloths are filled one after the other.
struct Cloths {
    /// How many of each item, and of each cloth.
    left: Vec<u64>,
    stock: Vec<u64>,
    /// What each cloth was filled with last: it stays best as long as there are pieces enough.
    fillings: Vec<Option<usize>>,
}

impl Generation<'_> {
    /// Cloths filled one after the other by what pieces are worth, at first their dual prices: those on a
    /// cloth that is filled badly are worth more the next time.
    pub(super) fn by_values(&mut self, counts: &[u64], kind: Kind, work: &mut Work<'_>) {
        let Some((duals, _)) = self.relaxed(work) else { return };
        let areas: Vec<i128> = self.task.items.iter().map(item_area).collect();
        let cheap = (0..self.costs.len()).map(|cloth| self.per_area(cloth, sheet_area(self.task, cloth)));
        let cheap = cheap.min().unwrap_or(1);
        let least = |area: &i128| narrow(area.saturating_mul(cheap) >> 18);
        let mut values: Vec<i64> =
            duals.iter().zip(&areas).map(|(dual, area)| (*dual).max(least(area))).collect();
        for turn in 1..=FILLED {
            if work.out() {
                return;
            }
            self.beam = squeezed::BEAM << (turn / WIDER_EACH).min(4);
            let mut given = work.part(work.left() / 2);
            let taken = self.filled(counts, &values, kind, &mut given);
            if given.out() {
                return;
            }
            work.back(given);
            self.keep(&taken, kind, work.part(if self.roll.is_some() { work.left() / 4 } else { 0 }));
            self.correct(&mut values, &areas, &taken, turn);
            if turn % WHOLE_EACH == 0 {
                if kind == Kind::Any {
                    self.squeeze(counts, kind, work);
                }
                let mut given = work.part(work.left() / 4);
                if let Some(taken) = self.whole(&mut given) {
                    self.keep(&taken, kind, work.part(if self.roll.is_some() { work.left() / 4 } else { 0 }));
                }
                work.back(given);
            }
        }
    }

    /// What a cloth costs for so much area, in parts of 2^16 of a dual price.
    pub(super) fn per_area(&self, cloth: usize, area: i128) -> i128 {
        let cost = i128::from(self.costs.get(cloth).copied().unwrap_or(1)) * i128::from(self.one());
        (cost << 16) / area.max(1)
    }

    /// Values nearer to what pieces cost on the cloths that were taken, large pieces a little dearer from
    /// turn to turn.
    fn correct(&self, values: &mut [i64], areas: &[i128], taken: &Taken, turn: usize) {
        for (at, _) in taken {
            let Some(column) = self.columns.get(*at) else { continue };
            let rate = self.per_area(column.cloth, self.task.area(&column.held));
            let pieces = values.iter_mut().zip(areas).zip(&column.held);
            for ((value, area), _) in pieces.filter(|(_, held)| **held > 0) {
                let dearer = i128::from(area.checked_ilog2().unwrap_or(0)) * (turn % 5) as i128;
                let cost = narrow((area.saturating_mul(rate) >> 16).saturating_mul(256 + dearer) / 256);
                *value = (*value / 2).saturating_add(cost / 2).max(1);
            }
        }
    }

    /// Fills cloth after cloth, the one first that holds most for its cost, as long as one saves more of
    /// the roll than it costs.
    pub(super) fn filled(
        &mut self,
        counts: &[u64],
        values: &[i64],
        kind: Kind,
        work: &mut Work<'_>,
    ) -> Taken {
        let mut cloths = Cloths {
            left: counts.to_vec(),
            stock: self.task.cloths.iter().map(|(_, sheet)| sheet.count).collect(),
            fillings: vec![None; self.task.cloths.len()],
        };
        let mut taken = Taken::new();
        loop {
            let whole = |best: &Found| best.left.iter().all(|left| *left == 0);
            if work.out() && self.best.as_ref().is_some_and(whole) {
                // There is a plan, and this one is not worth more.
                return taken;
            }
            let best = self.next(&mut cloths, values, kind, work);
            let Some((column, at)) = best.and_then(|at| Some((self.columns.get(at)?, at))) else {
                return taken;
            };
            let Some(stock) = cloths.stock.get_mut(column.cloth) else { return taken };
            let held = || column.held.iter().zip(&cloths.left).filter(|(held, _)| **held > 0);
            let times = held().map(|(held, left)| left / held).min().unwrap_or(1).clamp(1, *stock);
            *stock -= times;
            for (left, held) in cloths.left.iter_mut().zip(&column.held) {
                *left = left.saturating_sub(held.saturating_mul(times));
            }
            taken.push((at, times));
        }
    }

    /// The filled cloth to take next, of those that are left.
    fn next(
        &mut self,
        cloths: &mut Cloths,
        values: &[i64],
        kind: Kind,
        work: &mut Work<'_>,
    ) -> Option<usize> {
        let mut best: Option<(i128, usize)> = None;
        for cloth in 0..self.task.cloths.len() {
            // Once the work is done, the first cloth that holds anything will do.
            if cloths.stock.get(cloth).is_none_or(|left| *left == 0) || work.out() && best.is_some() {
                continue;
            }
            let enough = |at: &usize| self.columns.get(*at).is_some_and(|column| column.within(&cloths.left));
            let at = match cloths.fillings.get(cloth).copied().flatten().filter(enough) {
                Some(at) => at,
                None => {
                    let Some(column) = self.fill(cloth, &cloths.left, values, kind, work) else { continue };
                    self.add(column)
                }
            };
            if let Some(filling) = cloths.fillings.get_mut(cloth) {
                *filling = Some(at);
            }
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
        best.map(|(_, at)| at)
    }
}
