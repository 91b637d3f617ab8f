//! More than strips hold: pieces added to a cloth as long as they can all be laid on it by cuts from
//! edge to edge, or anyhow.

use super::task::Task;
use crate::layout::job::{Kind, Piece, Sheet};
use crate::layout::plan::Lay;
use crate::layout::roll;
use crate::layout::work::Work;

/// So often a piece more is tried on one cloth.
const TRIES: u32 = 24;

/// Work for one try.
const WORK: u64 = 20_000;

/// More pieces than this are left as the strips hold them.
const MOST_PIECES: u64 = 500;

/// A layout with pieces added, the most valuable first, to one that holds `held`; what it holds then.
pub(super) fn more(
    task: &Task,
    sheet: &Sheet,
    kind: Kind,
    (mut lay, mut held): (Lay, Vec<u64>),
    (left, values): (&[u64], &[i64]),
    work: &mut Work<'_>,
) -> (Lay, Vec<u64>) {
    if work.out() || held.iter().fold(0u64, |sum, count| sum.saturating_add(*count)) > MOST_PIECES {
        return (lay, held);
    }
    if left.iter().fold(0u64, |sum, count| sum.saturating_add(*count)) <= MOST_PIECES
        && let Some(all) = laid(task, left, sheet, kind, work)
    {
        return (all, left.to_vec());
    }
    let mut order: Vec<usize> = (0..values.len()).collect();
    let rate = |at: &usize| values.get(*at).copied().unwrap_or(0);
    order.retain(|at| rate(at) > 0);
    order.sort_by_key(|at| std::cmp::Reverse(rate(at)));
    let mut tries = TRIES;
    for at in order {
        while tries > 0 && !work.out() {
            let mut next = held.clone();
            let Some(count) = next.get_mut(at) else { break };
            if left.get(at).is_none_or(|left| *count >= *left) {
                break;
            }
            *count += 1;
            tries -= 1;
            let Some(found) = laid(task, &next, sheet, kind, work) else { break };
            (lay, held) = (found, next);
        }
    }
    (lay, held)
}

/// So many of each item on one cloth, if a plan of the kind was found.
fn laid(task: &Task, counts: &[u64], sheet: &Sheet, kind: Kind, work: &mut Work<'_>) -> Option<Lay> {
    if task.area(counts) > sheet.area() {
        return None;
    }
    let pieces: Vec<Piece> = task.pieces(counts);
    if pieces.iter().any(|piece| piece.count > 0 && piece.by_selvage) {
        return None;
    }
    let found = roll::plan(sheet.across, &pieces, kind, &mut work.part(WORK)).ok()?;
    if found.length > sheet.along {
        return None;
    }
    Some(match found.lay {
        Lay::Cut(part) => Lay::Cut(roll::longer(part, found.length, sheet.along)),
        lay => lay,
    })
}
