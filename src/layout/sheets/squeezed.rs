//! More than strips hold: a cloth filled by cuts from edge to edge, and pieces added as long as they can
//! all be laid on it.

use super::task::Task;
use crate::layout::job::{Kind, Piece, Sheet};
use crate::layout::kinds::Kinds;
use crate::layout::plan::{Lay, Rect};
use crate::layout::work::Work;
use crate::layout::{edge, roll, tree};

/// Work for one try of a piece more, and for filling a cloth with the most valuable pieces.
const WORK: u64 = 20_000;
const FILLING: u64 = 15_000;

/// So many part-filled cloths are kept side by side at first.
pub(super) const BEAM: usize = 2;

/// More pieces than this are left as the strips hold them.
const MOST_PIECES: u64 = 500;

/// The most valuable layout found of pieces that are left, no less so than one that holds `held`; what it
/// holds then. A piece more is tried so many times.
pub(super) fn more(
    task: &Task,
    sheet: &Sheet,
    (kind, mut tries): (Kind, u32),
    (mut lay, mut held): (Lay, Vec<u64>),
    (left, values): (&[u64], &[i64]),
    work: &mut Work<'_>,
) -> (Lay, Vec<u64>) {
    let many = |counts: &[u64]| counts.iter().fold(0u64, |sum, count| sum.saturating_add(*count));
    if work.out() || many(&held) > MOST_PIECES {
        return (lay, held);
    }
    if many(left) <= MOST_PIECES
        && let Some(all) = laid(task, left, sheet, kind, work)
    {
        return (all, left.to_vec());
    }
    if let Some(filled) = filled(task, sheet, (left, values), BEAM, work)
        && value_of(&filled.1, values) > value_of(&held, values)
    {
        (lay, held) = filled;
    }
    let mut order: Vec<usize> = (0..values.len()).collect();
    let rate = |at: &usize| values.get(*at).copied().unwrap_or(0);
    order.retain(|at| rate(at) > 0);
    order.sort_by_key(|at| std::cmp::Reverse(rate(at)));
    for at in order {
        while tries > 0 && !work.out() {
            let mut next = held.clone();
            let Some(count) = next.get_mut(at) else { break };
            if left.get(at).is_none_or(|left| *count >= *left) {
                break;
            }
            *count += 1;
            if task.area(&next) > sheet.area() {
                break;
            }
            tries -= 1;
            let Some(found) = laid(task, &next, sheet, kind, work) else { break };
            (lay, held) = (found, next);
        }
    }
    (lay, held)
}

fn value_of(held: &[u64], values: &[i64]) -> i128 {
    let each = |(held, value): (&u64, &i64)| i128::from(*value).saturating_mul(i128::from(*held));
    held.iter().zip(values).map(each).fold(0, i128::saturating_add)
}

/// Whether no more pieces that are left fit onto a cloth than are laid one by one.
pub(super) fn few(task: &Task, sheet: &Sheet, left: &[u64]) -> bool {
    let mut sizes: Vec<(i128, u64)> = Vec::with_capacity(left.len());
    for (item, count) in task.items.iter().zip(left) {
        sizes.push((i128::from(item.across) * i128::from(item.along), *count));
    }
    sizes.sort_unstable();
    let (mut free, mut most) = (sheet.area(), 0i128);
    for (area, count) in sizes {
        let more = (free / area.max(1)).min(i128::from(count));
        free -= more * area;
        most += more;
    }
    most <= i128::from(MOST_PIECES)
}

/// A cloth filled by cuts from edge to edge.
pub(super) fn filled(
    task: &Task,
    sheet: &Sheet,
    (left, values): (&[u64], &[i64]),
    beam: usize,
    work: &mut Work<'_>,
) -> Option<(Lay, Vec<u64>)> {
    let mut given = work.part(FILLING.saturating_mul(beam as u64));
    let mut pieces = task.pieces(left);
    for (piece, value) in pieces.iter_mut().zip(values) {
        let fits = |turned: bool| {
            let (across, along) = piece.lies(turned);
            across <= sheet.across && along <= sheet.along
        };
        if *value <= 0 || piece.by_selvage || !(fits(false) || piece.may_turn && fits(true)) {
            piece.count = 0;
        }
        piece.count = piece.count.min(MOST_PIECES);
    }
    let kinds = Kinds::of(sheet.across, &pieces).ok()?;
    let wanted = pieces.iter().zip(values).filter(|(piece, _)| piece.count > 0);
    let values: Vec<i64> = wanted.map(|(_, value)| *value).collect();
    let spots = edge::fill(&kinds, kinds.steps(sheet.along), &values, beam, &mut given);
    work.back(given);
    let placed = kinds.placed(&spots);
    let mut held = vec![0; left.len()];
    for one in &placed {
        if let Some(held) = held.get_mut(one.piece) {
            *held += 1;
        }
    }
    let whole = Rect { x: 0, y: 0, across: sheet.across, along: sheet.along };
    Some((Lay::Cut(tree::cuts(whole, placed)?), held))
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
