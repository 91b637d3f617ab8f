//! Pieces that lie anyhow on one cloth, all ways gone through: whether they fit.
//!
//! Pieces moved near and left as far as they go lie on each other's far edges. So the nearest gap of
//! the far edge, the skyline, either holds a piece at its left end, or is left over up to the lower
//! of its neighbours, or its left end is left over up to the left one, beneath a piece that lies there
//! later and that the piece beside it is higher than. What is left over has no room for a piece that is left:
//! that could as well lie there.

use std::collections::HashSet;

use crate::layout::bounds;
use crate::layout::kinds::Item;
use crate::layout::plan::{Placed, Rect};
use crate::layout::work::Work;

/// So many weighed areas are one step of work.
const A_STEP: u64 = 40;

/// Steps for one skyline.
const A_STATE: u64 = 4;

/// More places where a piece may end are not gone through.
const MOST_SUMS: usize = 5000;

/// What a search found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Answer {
    /// The pieces, each in its place.
    Fits(Vec<Placed>),
    /// They do not fit, however they lie.
    Never,
    /// The search was not gone through.
    Open,
}

/// A level stretch of the skyline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Level {
    across: i64,
    y: i64,
}

/// Whether so many of each item fit on a cloth; spends all of the work at most.
pub(super) fn look(items: &[Item], counts: &[u64], cloth: (i64, i64), work: &mut Work<'_>) -> Answer {
    let sum: i128 = items.iter().zip(counts).map(|(item, count)| area(item) * i128::from(*count)).sum();
    let spare = i128::from(cloth.0) * i128::from(cloth.1) - sum;
    if spare < 0 {
        return Answer::Never;
    }
    let sides = 2 * items.len() as u64 + 1;
    if !work.spend(sides * sides * sides / A_STEP + 1) {
        return Answer::Open;
    }
    if refuted(items, counts, cloth) {
        return Answer::Never;
    }
    let side = |(item, count): (&Item, &u64)| {
        let count = *count;
        item.ways(cloth.0).map(|turned| (item.lies(turned).0, count)).collect::<Vec<_>>()
    };
    let sides: Vec<(i64, u64)> = items.iter().zip(counts).flat_map(side).filter(|side| side.1 > 0).collect();
    let Some(sums) = bounds::sums(&sides, cloth.0, MOST_SUMS, work) else { return Answer::Open };
    let mut order: Vec<usize> = (0..items.len()).collect();
    order.sort_by_key(|kind| std::cmp::Reverse(items.get(*kind).map(area)));
    let (left, placed, seen) = (counts.to_vec(), Vec::new(), HashSet::new());
    let mut search = Search { items, order, cloth, sums, left, placed, seen, work };
    let found = search.below(&[Level { across: cloth.0, y: 0 }], spare);
    match found {
        Some(true) => Answer::Fits(search.placed),
        Some(false) => Answer::Never,
        None => Answer::Open,
    }
}

fn area(item: &Item) -> i128 {
    i128::from(item.across) * i128::from(item.along)
}

/// Weighed areas: a side longer than the cloth less `short` counts as all of it, one shorter than
/// `short` as nothing. Of sides weighed so no slice of cloth holds more than the cloth's own.
fn refuted(items: &[Item], counts: &[u64], (across, along): (i64, i64)) -> bool {
    let sides = |most: i64| {
        let mut sides: Vec<i64> = items.iter().flat_map(|item| [item.across, item.along]).collect();
        sides.retain(|side| *side <= most / 2);
        sides.push(0);
        sides.sort_unstable();
        sides.dedup();
        sides
    };
    let weighed = |side: i64, all: i64, short: i64| {
        if side > all - short {
            all
        } else if side < short {
            0
        } else {
            side
        }
    };
    let cloth = i128::from(across) * i128::from(along);
    let narrow = sides(across);
    sides(along).iter().any(|low| {
        narrow.iter().any(|thin| {
            let each = |item: &Item| {
                let ways =
                    item.ways(across).map(|turned| item.lies(turned)).filter(|(_, high)| *high <= along);
                let weights = ways.map(|(wide, high)| {
                    i128::from(weighed(wide, across, *thin)) * i128::from(weighed(high, along, *low))
                });
                weights.min().unwrap_or(cloth + 1)
            };
            let sum: i128 =
                items.iter().zip(counts).map(|(item, count)| each(item) * i128::from(*count)).sum();
            sum > cloth
        })
    })
}

struct Search<'a, 'w> {
    items: &'a [Item],
    /// The kinds, the largest first.
    order: Vec<usize>,
    cloth: (i64, i64),
    /// Sums of sides across, in order.
    sums: Vec<i64>,
    left: Vec<u64>,
    placed: Vec<Placed>,
    /// Skylines with what was left, that led to nothing.
    seen: HashSet<(Vec<Level>, Vec<u64>)>,
    work: &'a mut Work<'w>,
}

impl Search<'_, '_> {
    /// Whether what is left fits beyond a skyline, with so much area left over at most; `None` where
    /// the steps are spent.
    fn below(&mut self, skyline: &[Level], spare: i128) -> Option<bool> {
        if self.left.iter().all(|left| *left == 0) {
            return Some(true);
        }
        if !self.work.spend(A_STATE) {
            return None;
        }
        let low = skyline.iter().enumerate().min_by_key(|(at, level)| (level.y, *at));
        let Some((at, gap)) = low.map(|(at, level)| (at, *level)) else { return Some(false) };
        // The mirror image holds as much.
        let mirrored: Vec<Level> = skyline.iter().rev().copied().collect();
        let kept = if mirrored.as_slice() < skyline { mirrored } else { skyline.to_vec() };
        let key = (kept, self.left.clone());
        if self.seen.contains(&key) {
            return Some(false);
        }
        if self.each(skyline, at, 0, spare)? {
            return Some(true);
        }
        if self.left_over(skyline, at, gap, spare)? {
            return Some(true);
        }
        if self.beneath(skyline, at, gap, spare)? {
            return Some(true);
        }
        self.seen.insert(key);
        Some(false)
    }

    /// With each piece that is higher than `over` at the left end of a gap.
    fn each(&mut self, skyline: &[Level], at: usize, over: i64, spare: i128) -> Option<bool> {
        let Some(gap) = skyline.get(at).copied() else { return Some(false) };
        let x: i64 = skyline.iter().take(at).map(|level| level.across).sum();
        for nth in 0..self.order.len() {
            let Some(kind) = self.order.get(nth).copied() else { continue };
            let Some(item) =
                self.items.get(kind).filter(|_| self.left.get(kind).is_some_and(|left| *left > 0))
            else {
                continue;
            };
            for turned in item.ways(gap.across) {
                let (across, along) = item.lies(turned);
                if along <= over || gap.y.saturating_add(along) > self.cloth.1 {
                    continue;
                }
                let piece = Placed { piece: kind, turned, at: Rect { x, y: gap.y, across, along } };
                if self.laid(skyline, at, piece, spare)? {
                    return Some(true);
                }
            }
        }
        Some(false)
    }

    /// With nothing in the left end of the gap, up to its left neighbour, and a higher piece beside it. What
    /// will lie above ends where pieces next to each other end, from some level on.
    fn beneath(&mut self, skyline: &[Level], at: usize, gap: Level, spare: i128) -> Option<bool> {
        let Some(wall) = at.checked_sub(1).and_then(|left| skyline.get(left)).map(|level| level.y) else {
            return Some(false);
        };
        let from: i64 = skyline.iter().take(at).map(|level| level.across).sum();
        let (mut ends, mut start) = (Vec::new(), 0);
        for level in skyline.iter().take(at) {
            let within = |end: &i64| *end > from && *end < from + gap.across;
            ends.extend(self.sums.iter().map(|sum| start + sum).filter(within));
            start += level.across;
        }
        ends.sort_unstable();
        ends.dedup();
        self.work.spend(self.sums.len() as u64 * at as u64 / A_STEP);
        let room = gap.across.min(self.narrowest(wall - gap.y));
        for end in ends.into_iter().take_while(|end| *end < from.saturating_add(room)) {
            let rest = spare - i128::from(wall - gap.y) * i128::from(end - from);
            if rest < 0 {
                break;
            }
            let mut next: Vec<Level> = skyline.get(..at).unwrap_or(&[]).to_vec();
            push(&mut next, Level { across: end - from, y: wall });
            next.push(Level { across: from + gap.across - end, y: gap.y });
            let place = next.len() - 1;
            next.extend(skyline.iter().skip(at + 1));
            if self.each(&next, place, wall - gap.y, rest)? {
                return Some(true);
            }
        }
        Some(false)
    }

    /// With a piece at the left end of the gap.
    fn laid(&mut self, skyline: &[Level], at: usize, piece: Placed, spare: i128) -> Option<bool> {
        let Rect { across, along, y, .. } = piece.at;
        let mut next: Vec<Level> = skyline.get(..at).unwrap_or(&[]).to_vec();
        push(&mut next, Level { across, y: y + along });
        for (n, level) in skyline.iter().skip(at).enumerate() {
            let across = if n == 0 { level.across - across } else { level.across };
            push(&mut next, Level { across, y: level.y });
        }
        self.take(piece.piece, false);
        self.placed.push(piece);
        let found = self.below(&next, spare)?;
        if !found {
            self.placed.pop();
            self.take(piece.piece, true);
        }
        Some(found)
    }

    /// With nothing in the gap, up to the lower of its neighbours.
    fn left_over(&mut self, skyline: &[Level], at: usize, gap: Level, spare: i128) -> Option<bool> {
        let beside = [at.checked_sub(1), Some(at + 1)];
        let beside = beside.into_iter().flatten().filter_map(|at| skyline.get(at)).map(|level| level.y);
        let Some(y) = beside.min() else { return Some(false) };
        if gap.across >= self.narrowest(y - gap.y) {
            return Some(false);
        }
        let rest = spare - i128::from(y - gap.y) * i128::from(gap.across);
        if rest < 0 {
            return Some(false);
        }
        let mut next: Vec<Level> = Vec::with_capacity(skyline.len());
        for (n, level) in skyline.iter().enumerate() {
            push(&mut next, if n == at { Level { y, ..gap } } else { *level });
        }
        self.below(&next, rest)
    }

    /// The narrowest of the pieces left that are no higher than this.
    fn narrowest(&self, most: i64) -> i64 {
        let left = self.items.iter().zip(&self.left).filter(|(_, left)| **left > 0);
        let lies = |(item, _): (&Item, &u64)| {
            let lies = item.ways(self.cloth.0).map(|turned| item.lies(turned));
            lies.filter(|lies| lies.1 <= most).map(|lies| lies.0).min()
        };
        left.filter_map(lies).min().unwrap_or(i64::MAX)
    }

    fn take(&mut self, kind: usize, back: bool) {
        if let Some(left) = self.left.get_mut(kind) {
            *left = if back { *left + 1 } else { left.saturating_sub(1) };
        }
    }
}

/// Adds a stretch, joined to the one before where they are level.
fn push(skyline: &mut Vec<Level>, level: Level) {
    match skyline.last_mut() {
        _ if level.across <= 0 => {}
        Some(last) if last.y == level.y => last.across += level.across,
        _ => skyline.push(level),
    }
}
