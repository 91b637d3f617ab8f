//! Sums of sides: where a piece can end.

use super::super::work::Work;

/// Sums up to this are gone through one by one; larger ones are listed as they come.
const DENSE: i64 = 200_000;

/// Sums gone through in a step of search.
const A_STEP: u64 = 20;

/// The same where they are put in order again.
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

fn dense(sides: &[(i64, u64)], most: i64, work: &mut Work<'_>) -> Option<Vec<i64>> {
    let most = usize::try_from(most).ok()?;
    // How many of the side at hand each sum that can be has used.
    let mut used: Vec<Option<u64>> = vec![None; most + 1];
    *used.first_mut()? = Some(0);
    for (side, count) in sides {
        let side = usize::try_from(*side).ok()?;
        if !work.spend(most as u64 / A_STEP + 1) {
            return None;
        }
        used.iter_mut().flatten().for_each(|used| *used = 0);
        for at in side..=most {
            let before = used.get(at - side).copied().flatten();
            if let (Some(before), Some(here @ None)) = (before, used.get_mut(at))
                && before < *count
            {
                *here = Some(before + 1);
            }
        }
    }
    Some((0..).zip(used).filter_map(|(at, used)| used.map(|_| at)).collect())
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
