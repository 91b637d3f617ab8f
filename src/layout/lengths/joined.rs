//! Lengths that may be joined: the fewest strips, and a bound.

use num_integer::gcd;

use super::join::{Search, Strips};
use super::{Cutting, Join, Joined, Length, Lengths, cut};
use crate::layout::cover::{Level, Stock, Way, bound};
use crate::layout::job::{Budget, Misfit};
use crate::layout::work::Work;

/// Groups of up to so many strips are looked at one by one for the bound.
const GROUPS: i64 = 250;
/// More lengths or strips than this are not placed one by one.
const MOST: u64 = 600;
/// A length joined from more pieces than this is past counting.
const MOST_PIECES: i64 = 100_000;
/// Work on one number of strips before the next is tried.
const TRY: u64 = 400_000;

/// The fewest new strips found.
pub(super) fn cut(job: &Lengths, join: Join, budget: Budget) -> Result<Cutting, Misfit> {
    let longest = job.hand.iter().filter(|one| one.count > 0).map(|one| one.length).max().unwrap_or(0);
    let mut parts = Vec::with_capacity(job.wanted.len());
    for (piece, one) in job.wanted.iter().enumerate() {
        let whole = one.count == 0 || one.length <= job.strip.max(longest);
        parts.push(if whole { vec![one.length] } else { pieces(piece, one.length, job.strip, join)? });
    }
    let mut work = Work::new(budget.0, &|| false);
    let mut best = apart(job, &parts, &mut work.beside(budget.0))?;
    let least = least(job, join, best.strips, &mut work);
    best.bound = least.min(best.strips);
    let many = job.wanted.iter().fold(0u64, |sum, one| sum.saturating_add(one.count));
    let hand = job.hand.iter().fold(0u64, |sum, one| sum.saturating_add(one.count));
    if many <= MOST && best.strips <= MOST && hand <= MOST {
        for strips in best.bound..best.strips {
            let mut search = Search::new(job, join, strips, work.part(TRY));
            let found = search.run();
            work.back(search.rest());
            if let Some(found) = found {
                best = cutting(found, best.bound);
                break;
            }
        }
    }
    best.proved = best.bound == best.strips;
    Ok(best)
}

/// The pieces of a length that is longer than a strip: as few as can be, as many of them as can be full
/// strips, at most one between a full strip and the shortest that may be.
fn pieces(piece: usize, length: i64, strip: i64, join: Join) -> Result<Vec<i64>, Misfit> {
    let (gain, first) = (strip - join.loss, length - join.loss);
    if gain <= 0 || join.shortest > strip {
        return Err(Misfit::TooWide { piece });
    }
    let count = first / gain + i64::from(first % gain != 0);
    if count > MOST_PIECES {
        return Err(Misfit::TooMuch { piece });
    }
    let whole = first.saturating_add(count.saturating_mul(join.loss));
    let mut spare = whole.saturating_sub(count.saturating_mul(join.shortest));
    if spare < 0 {
        return Err(Misfit::TooWide { piece });
    }
    let next = |_| {
        let more = spare.min(strip - join.shortest);
        spare -= more;
        join.shortest + more
    };
    Ok((0..count).map(next).collect())
}

/// Each length that needs joins is cut as its pieces, each a length of its own.
fn apart(job: &Lengths, parts: &[Vec<i64>], work: &mut Work<'_>) -> Result<Cutting, Misfit> {
    let mut wanted: Vec<Length> = Vec::new();
    let mut whose = Vec::new();
    let mut joined = Vec::new();
    for (at, (one, pieces)) in job.wanted.iter().zip(parts).enumerate() {
        for (nth, length) in pieces.iter().enumerate() {
            let before = nth.checked_sub(1).and_then(|before| pieces.get(before));
            match wanted.last_mut() {
                Some(last) if before == Some(length) => {
                    last.count = last.count.checked_add(one.count).ok_or(Misfit::TooMuch { piece: at })?;
                }
                _ => {
                    wanted.push(Length { count: one.count, length: *length });
                    whose.push(at);
                }
            }
        }
        if pieces.len() > 1 && one.count > 0 {
            joined.push(Joined { item: at, times: one.count, pieces: pieces.clone() });
        }
    }
    let inner = Lengths { wanted, join: None, ..job.clone() };
    let named = |misfit: Misfit| {
        let piece = whose.get(misfit.piece()).copied().unwrap_or(0);
        match misfit {
            Misfit::TooWide { .. } => Misfit::TooWide { piece },
            Misfit::TooMuch { .. } => Misfit::TooMuch { piece },
            Misfit::NoRoom { left } => {
                let left = left.iter().fold(0, |sum: u64, (_, left)| sum.saturating_add(*left));
                Misfit::NoRoom { left: vec![(piece, left)] }
            }
        }
    };
    let mut cutting = cut::cut(&inner, work).map_err(named)?;
    for piece in cutting.cuts.iter_mut().flat_map(|strip| &mut strip.pieces) {
        piece.item = whose.get(piece.item).copied().unwrap_or(0);
    }
    cutting.joined = joined;
    Ok(cutting)
}

/// There is no way with fewer new strips. Lengths that are joined to each other's strips are a group:
/// one of n strips has n - 1 joins at least, so it gives n strips less as many joins; how much worth
/// of lengths a group can hold bounds them all.
fn least(job: &Lengths, join: Join, known: u64, work: &mut Work<'_>) -> u64 {
    let gain = job.strip - join.loss;
    let known = i64::try_from(known).unwrap_or(i64::MAX);
    let (mut full, mut total) = (0i128, 0i128);
    let mut rests: Vec<(i64, i64)> = Vec::new();
    for one in job.wanted.iter().filter(|one| one.count > 0) {
        let strips = if gain > 0 && one.length > job.strip { (one.length - join.loss - 1) / gain } else { 0 };
        full += i128::from(strips) * i128::from(one.count);
        let rest = one.length - strips * gain;
        total += i128::from(rest) * i128::from(one.count);
        rests.push((rest, i64::try_from(one.count).unwrap_or(i64::MAX)));
    }
    let hand: i128 = job.hand.iter().map(|one| i128::from(one.length) * i128::from(one.count)).sum();
    if hand > 0 {
        let all = (total + full * i128::from(gain) - hand).max(0);
        let width = i128::from(job.strip.max(1));
        return u64::try_from(all / width + i128::from(all % width != 0)).unwrap_or(0);
    }
    let width = i128::from(job.strip.max(1));
    let area = total / width + i128::from(total % width != 0);
    let one = (total - i128::from(join.loss)).max(1);
    let groups = one / i128::from(gain.max(1)) + 1;
    let mut bounded = i64::try_from(area + full).unwrap_or(0);
    if gain > 0 && groups <= i128::from(GROUPS) && bounded < known {
        let stock = groups_of(rests, job.strip, join.loss, i64::try_from(groups).unwrap_or(1));
        let full = i64::try_from(full).unwrap_or(0);
        bounded = bounded.max(full.saturating_add(bound(&stock, known - full, work)));
    }
    u64::try_from(bounded).unwrap_or(0)
}

/// Groups of 1, 2, 3 … strips as levels that lengths lie in.
fn groups_of(mut rests: Vec<(i64, i64)>, strip: i64, loss: i64, most: i64) -> Stock {
    rests.sort_unstable();
    let step = rests.iter().fold(0, |step, (rest, _)| gcd(step, *rest)).max(1);
    let ways: Vec<Way> =
        rests.iter().enumerate().map(|(item, (rest, _))| Way { item, across: rest / step }).collect();
    let level = |strips: i64| {
        let width = (strips * (strip - loss) + loss) / step;
        let upto = ways.iter().take_while(|way| way.across <= width).count();
        Level { cost: strips, width, limit: None, list: 0, upto, from: 0 }
    };
    let levels = (1..=most).map(level).collect();
    Stock { wanted: rests.iter().map(|(_, count)| *count).collect(), lists: vec![ways], levels }
}

/// Strips cut one by one, equal ones put together.
fn cutting(found: Strips, bound: u64) -> Cutting {
    let mut cuts = found.cuts;
    cuts.sort();
    cuts.dedup_by(|next, kept| {
        let same = (next.hand, &next.pieces, next.left) == (kept.hand, &kept.pieces, kept.left);
        if same {
            kept.times += next.times;
        }
        same
    });
    let mut joined = found.joined;
    joined.sort();
    joined.dedup_by(|next, kept| {
        let same = (next.item, &next.pieces) == (kept.item, &kept.pieces);
        if same {
            kept.times += next.times;
        }
        same
    });
    // The search may have got by with fewer than it was given.
    let fresh = cuts.iter().filter(|cut| cut.hand.is_none());
    let strips = fresh.fold(0u64, |sum, cut| sum.saturating_add(cut.times));
    Cutting { strips, bound: bound.min(strips), proved: false, cuts, joined }
}
