//! Sums of sides: where a piece can end.

use super::super::rows::lots;
use super::super::work::Work;

/// Sums up to this are gone through one by one; larger ones are listed as they come.
const DENSE: i64 = 200_000;

/// Bits of a word, and words gone through in a step of search.
const BITS: usize = 64;
const WORDS_A_STEP: usize = 24;

/// Listed sums gone through in a step of search.
const SORTED_A_STEP: u64 = 6;

/// The sums of sides up to `most`, in order, with each side up to its count; `None` where they are more
/// than `limit`, or more work than there is.
pub(in super::super) fn sums(
    sides: &[(i64, u64)],
    most: i64,
    limit: usize,
    work: &mut Work<'_>,
) -> Option<Vec<i64>> {
    let most = most.max(0);
    let mut sides: Vec<(i64, u64)> =
        sides.iter().copied().filter(|side| (1..=most).contains(&side.0)).collect();
    sides.sort_unstable();
    sides.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            kept.1 = kept.1.saturating_add(next.1);
        }
        same
    });
    let found = if most <= DENSE { dense(&sides, most, work) } else { listed(&sides, most, limit, work) };
    found.filter(|sums| sums.len() <= limit)
}

/// The sums as bits: each lot of a side moves all that are known, the bits above the largest are let go.
fn dense(sides: &[(i64, u64)], most: i64, work: &mut Work<'_>) -> Option<Vec<i64>> {
    let most = usize::try_from(most).ok()?;
    let mut known = vec![0u64; most / BITS + 1];
    *known.first_mut()? = 1;
    for (side, count) in sides {
        let side = usize::try_from(*side).ok()?;
        for lot in lots((*count).min((most / side) as u64)) {
            if !work.spend((known.len() / WORDS_A_STEP) as u64 + 1) {
                return None;
            }
            with_lot(&mut known, side * usize::try_from(lot).ok()?);
        }
    }
    let bits = known.iter().flat_map(|word| (0..BITS).map(move |bit| word >> bit & 1 == 1));
    Some((0..=most as i64).zip(bits).filter_map(|(at, known)| known.then_some(at)).collect())
}

/// Sums, and the same with one lot more: from the far end down, so that it is added once.
fn with_lot(known: &mut [u64], far: usize) {
    let (words, bits) = (far / BITS, far % BITS);
    for at in (words..known.len()).rev() {
        let near = known.get(at - words).copied().unwrap_or(0) << bits;
        let before = at.checked_sub(words + 1).and_then(|at| known.get(at)).copied().unwrap_or(0);
        let carried = if bits == 0 { 0 } else { before >> (BITS - bits) };
        if let Some(here) = known.get_mut(at) {
            *here |= near | carried;
        }
    }
}

fn listed(sides: &[(i64, u64)], most: i64, limit: usize, work: &mut Work<'_>) -> Option<Vec<i64>> {
    let (mut sums, mut next) = (vec![0i64], Vec::new());
    for (side, count) in sides {
        for _ in 0..*count {
            if !work.spend(sums.len() as u64 / SORTED_A_STEP + 1) {
                return None;
            }
            let before = sums.len();
            with_one_more(&sums, *side, most, &mut next);
            std::mem::swap(&mut sums, &mut next);
            if sums.len() > limit {
                return None;
            }
            if sums.len() == before {
                break;
            }
        }
    }
    Some(sums)
}

/// Sums, and the same with one side more, no larger than `most`; all in order.
fn with_one_more(sums: &[i64], side: i64, most: i64, out: &mut Vec<i64>) {
    out.clear();
    let mut plain = sums.iter().copied().peekable();
    for more in sums.iter().map(|sum| sum + side).take_while(|more| *more <= most) {
        while let Some(sum) = plain.next_if(|sum| *sum < more) {
            out.push(sum);
        }
        plain.next_if_eq(&more);
        out.push(more);
    }
    out.extend(plain);
}
