//! Bounds that cost nothing, and the lengths that strips can add up to at all.

use crate::layout::cover::Work;
use crate::layout::kinds::{Item, Kinds};

/// Longer plans than this, in steps, are not gone through length by length.
const LONGEST: i64 = 1 << 20;

/// No strips are shorter than the pieces' area over the width, nor than what the pieces wider than
/// half the cloth take one above the other.
pub(super) fn quick(kinds: &Kinds) -> i64 {
    let width = i128::from(kinds.width.max(1));
    let (mut area, mut stacked, mut alone) = (0i128, 0i128, 0i128);
    for item in &kinds.items {
        let count = i128::from(item.count);
        area = area.saturating_add((i128::from(item.across) * i128::from(item.along)).saturating_mul(count));
        let lies = || item.ways(kinds.width).map(|way| item.lies(way));
        let low = i128::from(lies().map(|(_, along)| along).min().unwrap_or(0));
        let narrow = lies().map(|(across, _)| across).min().unwrap_or(1).max(1);
        let beside = i128::from(kinds.width / narrow).max(1);
        alone = alone.max(low * (count / beside + i128::from(count % beside != 0)));
        if beside == 1 {
            stacked += low * count;
        }
    }
    let area = area / width + i128::from(area % width != 0);
    i64::try_from(area.max(stacked).max(alone)).unwrap_or(0)
}

/// Lengths that strips can add up to.
pub(super) struct Sums {
    /// For each length, whether it can be; empty where that was too long to find out.
    can: Vec<bool>,
}

impl Sums {
    /// The lengths up to a limit that strips of the pieces' sides can add up to, no more strips of a
    /// height than pieces have that side.
    pub fn of(kinds: &Kinds, limit: i64, work: &mut Work) -> Sums {
        let heights = heights(kinds);
        let steps = u64::try_from(limit).unwrap_or(u64::MAX).saturating_mul(heights.len() as u64) / 20;
        if limit > LONGEST || !work.spend(steps) {
            return Sums { can: Vec::new() };
        }
        let size = usize::try_from(limit).unwrap_or(0) + 1;
        // How many strips of the height at hand a length takes at least.
        let mut can = vec![false; size];
        if let Some(none) = can.first_mut() {
            *none = true;
        }
        for (height, most) in heights {
            let step = usize::try_from(height).unwrap_or(size);
            let mut taken = vec![0u64; size];
            for at in step..size {
                let Some(before) = at.checked_sub(step) else { continue };
                let (Some(true), Some(count)) = (can.get(before), taken.get(before).copied()) else {
                    continue;
                };
                if count < most
                    && can.get(at) == Some(&false)
                    && let (Some(can), Some(taken)) = (can.get_mut(at), taken.get_mut(at))
                {
                    (*can, *taken) = (true, count + 1);
                }
            }
        }
        Sums { can }
    }

    /// The smallest length from this one on that can be.
    pub fn reach(&self, length: i64) -> i64 {
        let from = usize::try_from(length).unwrap_or(0);
        let found = self.can.get(from..).and_then(|rest| rest.iter().position(|can| *can));
        match found {
            Some(more) => length.saturating_add(i64::try_from(more).unwrap_or(0)),
            None if self.can.is_empty() => length,
            None => length.max(i64::try_from(self.can.len()).unwrap_or(length)),
        }
    }
}

/// The heights of strips, each with how many strips of it can be of use.
fn heights(kinds: &Kinds) -> Vec<(i64, u64)> {
    let ways = |item: &Item| item.ways(kinds.width).map(|way| item.lies(way).1).collect::<Vec<_>>();
    let mut all: Vec<(i64, u64)> =
        kinds.items.iter().flat_map(|item| ways(item).into_iter().map(|high| (high, item.count))).collect();
    all.sort_unstable();
    all.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 = kept.1.saturating_add(next.1);
        }
        same
    });
    all
}
