//! Lengths in one piece each.

use num_integer::gcd;

use super::{CutPiece, CutStrip, Cutting, Lengths};
use crate::layout::cover::{Covered, Cuts, Level, Pattern, Stock, Way, cover};
use crate::layout::job::Misfit;
use crate::layout::work::Work;

/// So many kinds of strip are kept open for shorter lengths.
const OPEN: usize = 500;

/// The fewest new strips found.
pub(super) fn cut(job: &Lengths, work: &mut Work<'_>) -> Result<Cutting, Misfit> {
    let longest = job.hand.iter().filter(|one| one.count > 0).map(|one| one.length).max().unwrap_or(0);
    let wanted = || job.wanted.iter().enumerate().filter(|(_, one)| one.count > 0);
    if let Some((piece, _)) = wanted().find(|(_, one)| one.length > job.strip.max(longest)) {
        return Err(Misfit::TooWide { piece });
    }
    let task = Task::of(job);
    let (first, without) = task.first_fit();
    if let Some((piece, left)) = without {
        return Err(Misfit::NoRoom { left: vec![(piece, left)] });
    }
    let known = task.stock.total(&first);
    let bound = task.area_bound();
    // Lengths that only strips in hand give have no price that a relaxation could start from.
    let covered = if known <= bound || wanted().any(|(_, one)| one.length > job.strip) {
        Covered::default()
    } else {
        cover(&task.stock, (known, bound), &first, &mut (), work)
    };
    let bound = bound.max(covered.bound).min(known);
    let cuts = covered.cuts.unwrap_or(first);
    Ok(task.cutting(job, &cuts, bound))
}

/// A job as patterns: equal lengths are one item, sizes are in the largest common step.
struct Task {
    stock: Stock,
    /// For each item its length in grid units, and which wanted lengths it is made of.
    items: Vec<(i64, Vec<usize>)>,
    /// For each level the strips in hand that it stands for; new strips otherwise.
    hand: Vec<Option<usize>>,
}

impl Task {
    fn of(job: &Lengths) -> Task {
        let mut items: Vec<(i64, Vec<usize>)> = Vec::new();
        let mut order: Vec<usize> = (0..job.wanted.len()).collect();
        order.retain(|at| job.wanted.get(*at).is_some_and(|one| one.count > 0));
        order.sort_by_key(|at| job.wanted.get(*at).map(|one| one.length));
        let mut wanted: Vec<i64> = Vec::new();
        for at in order {
            let Some(one) = job.wanted.get(at) else { continue };
            let count = i64::try_from(one.count).unwrap_or(i64::MAX);
            match (items.last_mut(), wanted.last_mut()) {
                (Some(last), Some(sum)) if last.0 == one.length => {
                    last.1.push(at);
                    *sum = sum.saturating_add(count);
                }
                _ => {
                    items.push((one.length, vec![at]));
                    wanted.push(count);
                }
            }
        }
        let step = items.iter().fold(0, |step, (length, _)| gcd(step, *length)).max(1);
        let ways: Vec<Way> =
            items.iter().enumerate().map(|(item, (length, _))| Way { item, across: length / step }).collect();
        let level = |cost, length: i64, limit| {
            let width = length / step;
            let upto = ways.iter().take_while(|way| way.across <= width).count();
            Level { cost, width, limit, list: 0, upto, from: 0 }
        };
        let mut levels = vec![level(1, job.strip, None)];
        let mut hand = vec![None];
        for (at, one) in job.hand.iter().enumerate().filter(|(_, one)| one.count > 0) {
            levels.push(level(0, one.length, Some(i64::try_from(one.count).unwrap_or(i64::MAX))));
            hand.push(Some(at));
        }
        Task { stock: Stock { wanted, lists: vec![ways], levels }, items, hand }
    }

    /// All lengths over the length of a strip, after what is in hand.
    fn area_bound(&self) -> i64 {
        let stock = &self.stock;
        let ways = stock.lists.first().map(Vec::as_slice).unwrap_or(&[]);
        let wanted: i128 = ways
            .iter()
            .zip(&stock.wanted)
            .map(|(way, count)| i128::from(way.across) * i128::from(*count))
            .sum();
        let hand =
            stock.levels.iter().map(|level| i128::from(level.width) * i128::from(level.limit.unwrap_or(0)));
        let rest = (wanted - hand.fold(0i128, i128::saturating_add)).max(0);
        let width = i128::from(stock.levels.first().map_or(1, |level| level.width).max(1));
        i64::try_from(rest / width + i128::from(rest % width != 0)).unwrap_or(0)
    }

    /// The longest first, each into the first strip with room for it, those in hand before new ones;
    /// and the first that found no strip, with how many of it.
    fn first_fit(&self) -> (Cuts, Option<(usize, u64)>) {
        let mut open: Vec<Open> = Vec::new();
        for (level, one) in self.stock.levels.iter().enumerate().skip(1) {
            open.push(Open { level, free: one.width, times: one.limit.unwrap_or(0), holds: Vec::new() });
        }
        let ways = self.stock.lists.first().map(Vec::as_slice).unwrap_or(&[]);
        let fresh = self.stock.levels.first().map_or(0, |level| level.width);
        let mut done: Vec<Open> = Vec::new();
        for (item, way) in ways.iter().enumerate().rev() {
            let mut rest = self.stock.wanted.get(item).copied().unwrap_or(0);
            let mut next = Vec::with_capacity(open.len() + 4);
            for strip in open {
                strip.take(item, way.across, &mut rest, &mut next);
            }
            let new = Open { level: 0, free: fresh, times: rest, holds: Vec::new() };
            new.take(item, way.across, &mut rest, &mut next);
            if rest > 0 {
                let piece = self.items.get(item).and_then(|(_, members)| members.first());
                return (Vec::new(), piece.map(|piece| (*piece, rest.unsigned_abs())));
            }
            let surplus = next.len().saturating_sub(OPEN);
            done.extend(next.drain(..surplus));
            open = next;
        }
        done.extend(open);
        done.retain(|strip| !strip.holds.is_empty());
        let cut = |strip: Open| (Pattern { level: strip.level, holds: strip.holds }, strip.times);
        (done.into_iter().map(cut).collect(), None)
    }

    /// Patterns as strips of the job.
    fn cutting(&self, job: &Lengths, cuts: &Cuts, bound: i64) -> Cutting {
        let mut rest: Vec<u64> = job.wanted.iter().map(|one| one.count).collect();
        let mut out = Cutting::default();
        for (pattern, times) in cuts {
            let hand = self.hand.get(pattern.level).copied().flatten();
            let long = hand.and_then(|at| job.hand.get(at)).map_or(job.strip, |one| one.length);
            let mut left = times.unsigned_abs();
            while left > 0 {
                let (pieces, times) = self.deal(pattern, left, &mut rest);
                let taken: i64 = pieces.iter().map(|piece| piece.length * piece.count as i64).sum();
                left -= times;
                out.strips += if hand.is_none() { times } else { 0 };
                out.cuts.push(CutStrip { times, hand, pieces, left: long - taken });
            }
        }
        out.bound = u64::try_from(bound).unwrap_or(0);
        out.proved = out.bound == out.strips;
        out
    }

    /// As many equal strips as the wanted lengths allow, with their pieces, the longest first.
    fn deal(&self, pattern: &Pattern, most: u64, rest: &mut [u64]) -> (Vec<CutPiece>, u64) {
        let mut times = most;
        let mut pieces: Vec<CutPiece> = Vec::new();
        for (item, count) in pattern.holds.iter().rev() {
            let Some((length, members)) = self.items.get(*item) else { continue };
            let mut need = count.unsigned_abs();
            for at in members {
                let have = rest.get(*at).copied().unwrap_or(0);
                let now = need.min(have);
                if let Some(alike) = have.checked_div(now) {
                    times = times.min(alike);
                    pieces.push(CutPiece { item: *at, length: *length, count: now });
                    need -= now;
                }
            }
        }
        let times = times.max(1);
        for piece in &pieces {
            if let Some(rest) = rest.get_mut(piece.item) {
                *rest = rest.saturating_sub(piece.count.saturating_mul(times));
            }
        }
        (pieces, times)
    }
}

/// Equal strips while they are being filled.
struct Open {
    level: usize,
    free: i64,
    times: i64,
    holds: Vec<(usize, i64)>,
}

impl Open {
    /// Takes in as many of an item as fit: some strips to the full, one with what is over.
    fn take(self, item: usize, across: i64, rest: &mut i64, out: &mut Vec<Open>) {
        let each = self.free / across.max(1);
        if each == 0 || *rest == 0 {
            if self.times > 0 {
                out.push(self);
            }
            return;
        }
        let full = (*rest / each).min(self.times);
        let with = |times: i64, count: i64| {
            let mut holds = self.holds.clone();
            holds.push((item, count));
            Open { level: self.level, free: self.free - count * across, times, holds }
        };
        if full > 0 {
            out.push(with(full, each));
            *rest -= full * each;
        }
        let mut untouched = self.times - full;
        if untouched > 0 && *rest > 0 {
            out.push(with(1, *rest));
            *rest = 0;
            untouched -= 1;
        }
        if untouched > 0 && (self.level > 0 || !self.holds.is_empty()) {
            out.push(Open { times: untouched, ..self });
        }
    }
}
