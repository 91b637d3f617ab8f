//! Sums of sides in steps, and the least and the most that they are in exact units.

use num_traits::PrimInt;

use super::super::rows::join_once;
use super::super::work::Work;

/// A side in steps and in units, and how many there are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Side {
    pub steps: i64,
    pub size: i128,
    pub count: u64,
}

/// For each sum in steps the least and the most units that it can be; nothing where there is no such sum.
#[derive(Clone, Debug, Default)]
pub(super) struct Sums(Vec<Option<(i128, i128)>>);

/// Cells gone through in a step of search.
const CELLS_A_STEP: u64 = 48;

impl Sums {
    /// The sums that decide what lies within cloth of this many units; `None` where that is too much work.
    pub fn up_to(sides: &[Side], units: i128, work: &mut Work<'_>) -> Option<Sums> {
        let within: Vec<Side> = sides.iter().copied().filter(|side| side.size <= units).collect();
        let Some(long) = within.iter().max_by_key(|side| side.size) else {
            return Some(Sums(vec![Some((0, 0))]));
        };
        // About as many steps as the cloth has, and some more, for sides are a little off their marks.
        let cloth = units.checked_mul(6 * i128::from(long.steps) + 1)? / long.size.checked_mul(6)?;
        let cloth = i64::try_from(cloth + cloth / 32 + 2).ok()?;
        // A sum past the cloth has one within the longest side of it, from which its last side is gone.
        let longest = within.iter().map(|side| side.steps).max().unwrap_or(0);
        let sums = Sums::of(&within, cloth.checked_add(longest)?, work)?;
        let last = sums.0.iter().rposition(|sum| sum.is_some_and(|sum| sum.0 <= units))?;
        (last as i64 + longest < sums.0.len() as i64).then_some(sums)
    }

    /// All sums up to so many steps.
    fn of(sides: &[Side], top: i64, work: &mut Work<'_>) -> Option<Sums> {
        let lots = counted(sides, top, work)?;
        Some(Sums(match lots.narrow() {
            Some(narrow) => spans(&narrow, lots.top),
            None => spans(&lots.wide, lots.top),
        }))
    }

    /// The least and the most units of each sum, joined where they meet, in order.
    pub fn spans(&self) -> Option<Vec<(i64, i64)>> {
        let mut all: Vec<(i128, i128)> = self.0.iter().flatten().copied().collect();
        all.sort_unstable();
        all.dedup_by(|next, kept| {
            let meet = next.0 <= kept.1;
            if meet {
                kept.1 = kept.1.max(next.1);
            }
            meet
        });
        all.into_iter().map(|(low, high)| Some((low.try_into().ok()?, high.try_into().ok()?))).collect()
    }

    /// Steps that hold no sums but those that so many units hold, and steps that hold all of these: the
    /// same where steps tell sums apart as units do.
    pub fn within(&self, units: i128) -> Option<(i64, i64)> {
        let last = self.0.iter().rposition(|sum| sum.is_some_and(|sum| sum.0 <= units))?;
        let first = self.0.iter().position(|sum| sum.is_some_and(|sum| sum.1 > units));
        let tight = first.map_or(last, |first| first.saturating_sub(1).min(last));
        Some((i64::try_from(tight).ok()?, i64::try_from(last).ok()?))
    }
}

/// Lots of sides that sums up to so many steps are made of, in steps and units.
struct Lots {
    wide: Vec<(usize, i128)>,
    top: usize,
}

/// The lots of sides, where there is work enough to go through their sums.
fn counted(sides: &[Side], top: i64, work: &mut Work<'_>) -> Option<Lots> {
    let top = usize::try_from(top).ok()?;
    let wide = lots(sides, top);
    let cells = (top as u64 + 1).saturating_mul(wide.len() as u64 + 1) / CELLS_A_STEP;
    (cells <= work.left() && work.spend(cells)).then_some(Lots { wide, top })
}

impl Lots {
    /// The same in half as many bits, where they suffice: that takes half the time.
    fn narrow(&self) -> Option<Vec<(usize, i64)>> {
        let all = self.wide.iter().fold(0i128, |sum, lot| sum.saturating_add(lot.1));
        if all >= i128::from(i64::MAX / 4) {
            return None;
        }
        self.wide.iter().map(|(steps, size)| Some((*steps, i64::try_from(*size).ok()?))).collect()
    }
}

/// The least units of each sum of lots up to so many steps; far above all of them where there is no such sum.
fn lows<N: PrimInt>(lots: &[(usize, N)], top: usize) -> Vec<N> {
    let mut low = vec![N::max_value() >> 1; top + 1];
    if let Some(low) = low.first_mut() {
        *low = N::zero();
    }
    for (steps, size) in lots {
        join_once(&mut low, *steps, |here, before| here.min(before + *size));
    }
    low
}

/// The least and the most units of each sum of lots up to so many steps.
fn spans<N: PrimInt + Into<i128>>(lots: &[(usize, N)], top: usize) -> Vec<Option<(i128, i128)>> {
    let low = lows(lots, top);
    // No sum comes near these.
    let (none, nothing) = (N::max_value() >> 1, N::min_value() >> 1);
    let mut high = vec![nothing; top + 1];
    if let Some(high) = high.first_mut() {
        *high = N::zero();
    }
    for (steps, size) in lots {
        join_once(&mut high, *steps, |here, before| here.max(before + *size));
    }
    let known = |(low, high): (N, N)| (low < none).then(|| (low.into(), high.into()));
    low.into_iter().zip(high).map(known).collect()
}

/// The least units of sums of at least so many steps, by the number of steps; none where that is too much work.
fn sums_from(sides: &[Side], top: i64, work: &mut Work<'_>) -> Vec<i128> {
    let Some(lots) = counted(sides, top, work) else { return Vec::new() };
    match lots.narrow() {
        Some(narrow) => from_on(lows(&narrow, lots.top)),
        None => from_on(lows(&lots.wide, lots.top)),
    }
}

/// The least of the numbers from each place on.
fn from_on<N: PrimInt + Into<i128>>(low: Vec<N>) -> Vec<i128> {
    let none = N::max_value() >> 1;
    let mut least = i128::MAX;
    let mut from: Vec<i128> = low
        .into_iter()
        .rev()
        .map(|low| {
            if low < none {
                least = least.min(low.into());
            }
            least
        })
        .collect();
    from.reverse();
    from
}

/// For each number of steps the least units of a sum of at least as many.
pub(super) fn least_from(sides: &[Side], steps: &[i64], work: &mut Work<'_>) -> Vec<i128> {
    let longest = sides.iter().map(|side| side.steps).max().unwrap_or(0);
    let most = steps.iter().max().copied().unwrap_or(0);
    let least = sums_from(sides, most.saturating_add(longest), work);
    let each = |steps: &i64| {
        let known = usize::try_from(*steps).ok().and_then(|steps| least.get(steps));
        known.copied().unwrap_or_else(|| by_rate(sides, *steps))
    };
    steps.iter().map(each).collect()
}

/// Each step of a side is at least so much.
fn by_rate(sides: &[Side], steps: i64) -> i128 {
    let rate = |side: &Side| side.size.saturating_mul(i128::from(steps)) / i128::from(side.steps.max(1));
    sides.iter().map(rate).min().unwrap_or(0)
}

/// The least units of sums of at least so many steps, for all of them.
#[derive(Debug)]
pub(in crate::layout) struct Least {
    sides: Vec<Side>,
    /// By the number of steps; empty where that was too much to find out.
    least: Vec<i128>,
}

impl Least {
    pub(super) fn of(sides: Vec<Side>, work: &mut Work<'_>) -> Least {
        let all = |side: &Side| side.steps.saturating_mul(i64::try_from(side.count).unwrap_or(i64::MAX));
        let stacked = sides.iter().map(all).fold(0, i64::saturating_add);
        let least = sums_from(&sides, stacked, work);
        Least { sides, least }
    }

    /// The least units of a sum of at least so many steps.
    pub fn from(&self, steps: i64) -> i128 {
        let known = usize::try_from(steps).ok().and_then(|steps| self.least.get(steps));
        known.copied().unwrap_or_else(|| by_rate(&self.sides, steps))
    }
}

/// Lots of 1, 2, 4 ... of each side, which make up every count, in steps and units.
fn lots(sides: &[Side], top: usize) -> Vec<(usize, i128)> {
    let mut lots = Vec::new();
    for side in sides {
        let Some(steps) = usize::try_from(side.steps).ok().filter(|steps| (1..=top).contains(steps)) else {
            continue;
        };
        let mut left = side.count.min((top / steps) as u64);
        let mut next = 1;
        while left > 0 {
            let count = next.min(left);
            left -= count;
            next *= 2;
            lots.push((steps * count as usize, side.size.saturating_mul(i128::from(count))));
        }
    }
    lots
}
