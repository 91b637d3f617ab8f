//! Lengths that no layout without overlap can go below.
//!
//! Sides across and along are replaced by weights of which no slice of cloth can hold more than
//! so much: 1 for any side over half the width, say. If the weighed areas of all pieces come to
//! more than the weighed cloth, the cloth is too short. The weights are found by a relaxation
//! that cuts the cloth into slices, and each bound is proved again in exact integers.

mod knapsack;
mod refute;
mod slices;
mod sums;

use super::kinds::Kinds;
use super::work::Work;
pub(super) use refute::Sides;
pub(super) use sums::sums;

/// So many ends of layouts at most are listed.
const MOST_ENDS: usize = 200_000;

/// Where ends are not listed, about so many lengths are looked at.
const FEW_ENDS: i64 = 4096;

/// So many kinds at most are weighed; more are bounded by area alone.
const MOST_KINDS: usize = 150;

/// No layout of any kind takes less than this many steps of length. Spends `work` steps of search
/// at most; `enough` is a length that there is a plan for.
pub(super) fn any(kinds: &Kinds, enough: i64, mut work: Work<'_>) -> i64 {
    above(kinds, 0, enough, &mut work)
}

/// The same, above a bound that is known, and telling what is left of the work.
pub(super) fn above(kinds: &Kinds, known: i64, enough: i64, work: &mut Work<'_>) -> i64 {
    let easy = area(kinds).max(longest(kinds)).max(known);
    if kinds.items.len() > MOST_KINDS || work.out() || easy >= enough {
        return easy.min(enough);
    }
    let ends = Ends::of(kinds, enough, work);
    let mut sides = Sides::of(kinds, work.part(u64::MAX));
    let low = if known == 0 { sides.sliced().max(easy) } else { easy };
    let found = raise(ends.from(low, 0), enough, &ends, &mut |length| sides.too_short(length));
    work.back(sides.rest());
    found.min(enough)
}

/// Goes up from `low` over lengths that are too short: by steps that double, and when one fails,
/// by halves of what is left.
fn raise(mut low: i64, enough: i64, ends: &Ends, too_short: &mut dyn FnMut(i64) -> bool) -> i64 {
    let mut high = enough;
    let mut step = 0;
    let mut failed = false;
    while low < high {
        if failed {
            step = ends.between(low, high) / 2;
        }
        let tried = ends.from(low, step).min(high - 1);
        if too_short(tried) {
            low = ends.attainable(tried + 1);
            step = step * 2 + 1;
        } else {
            failed = true;
            high = tried;
        }
    }
    low
}

/// The pieces' area over the width, rounded up.
fn area(kinds: &Kinds) -> i64 {
    let each = |item: &super::kinds::Item| {
        (i128::from(item.across) * i128::from(item.along)).saturating_mul(i128::from(item.count))
    };
    let total = kinds.items.iter().fold(0i128, |sum, item| sum.saturating_add(each(item)));
    let width = i128::from(kinds.width.max(1));
    i64::try_from(total / width + i128::from(total % width != 0)).unwrap_or(i64::MAX)
}

/// The longest piece, each turned the better way.
fn longest(kinds: &Kinds) -> i64 {
    let least = |item: &super::kinds::Item| item.ways(kinds.width).map(|way| item.lies(way).1).min();
    kinds.items.iter().filter_map(least).max().unwrap_or(0)
}

/// Sums of sides along up to a length, in order; `None` where they are too many or that is too much work.
fn listed(kinds: &Kinds, most: i64, work: &mut Work<'_>) -> Option<Vec<i64>> {
    let mut sides = Vec::new();
    for item in &kinds.items {
        sides.extend(item.ways(kinds.width).map(|way| (item.lies(way).1, item.count)));
    }
    sums(&sides, most, MOST_ENDS, work)
}

/// The lengths at which a layout can end, in order: sums of sides along. All lengths, where there
/// are too many to list.
pub(super) struct Ends {
    list: Vec<i64>,
    /// Lengths that are not listed are looked at in steps of this.
    apart: i64,
}

impl Ends {
    /// The ends up to a length. Spends at most a tenth of the work.
    pub fn of(kinds: &Kinds, most: i64, work: &mut Work<'_>) -> Ends {
        let mut some = work.part(work.left() / 10);
        let list = listed(kinds, most, &mut some).unwrap_or_default();
        work.back(some);
        Ends { list, apart: most / FEW_ENDS + 1 }
    }

    /// The ends up to a length, if they are few enough to list, by all of the work.
    pub fn listed(kinds: &Kinds, most: i64, work: &mut Work<'_>) -> Option<Ends> {
        Some(Ends { list: listed(kinds, most, work)?, apart: 1 })
    }

    fn position(&self, at: i64) -> usize {
        self.list.partition_point(|end| *end < at)
    }

    /// The first end from `at` on.
    pub fn attainable(&self, at: i64) -> i64 {
        self.from(at, 0)
    }

    /// The first end from `at` on, or so many after it.
    pub fn from(&self, at: i64, skip: usize) -> i64 {
        let skipped = i64::try_from(skip).unwrap_or(i64::MAX).saturating_mul(self.apart);
        let plain = at.saturating_add(skipped);
        self.list.get(self.position(at).saturating_add(skip)).copied().unwrap_or(plain)
    }

    /// How many ends there are from `low` up to before `high`.
    pub fn between(&self, low: i64, high: i64) -> usize {
        if self.list.is_empty() {
            return usize::try_from((high - low) / self.apart).unwrap_or(0);
        }
        self.position(high) - self.position(low)
    }

    /// The length to look at next after one that was looked at in vain: not all ends, where they are
    /// not listed.
    pub fn after(&self, at: i64) -> i64 {
        if self.list.is_empty() { at.saturating_add(self.apart) } else { self.from(at.saturating_add(1), 0) }
    }
}
