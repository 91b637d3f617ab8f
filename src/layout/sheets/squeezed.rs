//! More than strips hold: pieces added to a sheet as long as they can all be laid on it by cuts from
//! edge to edge, or anyhow.

use crate::layout::job::{Kind, Piece, Sheet};
use crate::layout::plan::{Lay, Rect};
use crate::layout::roll;
use crate::layout::work::Work;

/// So often a piece more is tried on one sheet.
const TRIES: u32 = 24;

/// Work for one try.
const WORK: u64 = 20_000;

/// More pieces than this are left as the strips hold them.
const MOST_PIECES: u64 = 500;

/// A layout with pieces added, the largest first, to one that holds `counts`; the counts then.
pub(super) fn more(
    pieces: &[Piece],
    sheet: &Sheet,
    kind: Kind,
    mut lay: Lay,
    mut counts: Vec<u64>,
    work: &mut Work<'_>,
) -> (Lay, Vec<u64>) {
    let wanted: Vec<u64> = pieces.iter().map(|piece| piece.count).collect();
    if wanted.iter().fold(0u64, |sum, count| sum.saturating_add(*count)) > MOST_PIECES {
        return (lay, counts);
    }
    if counts != wanted
        && let Some(all) = laid(pieces, &wanted, sheet, kind, work)
    {
        return (all, wanted);
    }
    let mut order: Vec<usize> = (0..pieces.len()).collect();
    let area = |at: &usize| pieces.get(*at).map_or(0, |piece| piece.area(1));
    order.sort_by_key(|at| std::cmp::Reverse(area(at)));
    let mut tries = TRIES;
    for at in order {
        while tries > 0 && !work.out() {
            let mut next = counts.clone();
            let Some(count) = next.get_mut(at) else { break };
            if wanted.get(at).is_none_or(|wanted| *count >= *wanted) {
                break;
            }
            *count += 1;
            tries -= 1;
            let Some(found) = laid(pieces, &next, sheet, kind, work) else { break };
            (lay, counts) = (found, next);
        }
    }
    (lay, counts)
}

/// So many of each piece on one sheet, if a plan of the kind was found.
fn laid(pieces: &[Piece], counts: &[u64], sheet: &Sheet, kind: Kind, work: &mut Work<'_>) -> Option<Lay> {
    let chosen: Vec<Piece> =
        pieces.iter().zip(counts).map(|(piece, count)| Piece { count: *count, ..*piece }).collect();
    let area = chosen.iter().map(|piece| piece.area(piece.count)).fold(0, i128::saturating_add);
    if area > sheet.area() {
        return None;
    }
    let found = roll::plan(sheet.across, &chosen, kind, &mut work.part(WORK)).ok()?;
    if found.length > sheet.along {
        return None;
    }
    Some(match found.lay {
        Lay::Cut(part) => Lay::Cut(roll::longer(part, found.length, sheet.along)),
        Lay::Free { pieces, mut left } => {
            let rest = sheet.along - found.length;
            if rest > 0 {
                left.push(Rect { x: 0, y: found.length, across: sheet.across, along: rest });
            }
            Lay::Free { pieces, left }
        }
    })
}
