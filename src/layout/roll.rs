//! One length of cloth from the roll without pieces by its selvage, by each kind of plan.

use super::found::{Found, Pieces};
use super::job::{Kind, Misfit, Piece};
use super::kinds::Kinds;
use super::plan::{Lay, Part, Rect, Share};
use super::work::Work;
use super::{edge, free, strips, tree};

/// A layout of a length of cloth.
#[derive(Clone, Debug)]
pub(super) struct Laid {
    /// What lies where.
    pub lay: Lay,
    /// The length it takes.
    pub length: i64,
    /// No layout of the kind takes less.
    pub bound: i64,
    /// Whether the layout is proved best.
    pub proved: bool,
}

/// What lays pieces out on a roll of some width.
pub(super) type Planner<'a> = &'a dyn Fn(i64, &[Piece], Kind, &mut Work<'_>) -> Result<Laid, Misfit>;

/// A part with cloth left over at its far end.
pub(super) fn longer(part: Part, from: i64, to: i64) -> Part {
    if from >= to {
        return part;
    }
    let rest = Share { times: 1, size: to - from, part: Part::Left };
    match part {
        Part::Left => Part::Left,
        Part::Across(mut shares) => {
            shares.push(rest);
            Part::Across(shares)
        }
        part => Part::Across(vec![Share { times: 1, size: from, part }, rest]),
    }
}

/// The area of the pieces over the width, rounded up.
pub(super) fn area_bound(width: i64, pieces: &[Piece]) -> i64 {
    let total = pieces.iter().fold(0i128, |sum, piece| sum.saturating_add(piece.area(piece.count)));
    let width = i128::from(width.max(1));
    i64::try_from(total / width + i128::from(total % width != 0)).unwrap_or(i64::MAX)
}

/// The shortest length found of a roll of `width` that holds all the pieces, none of them by the selvage.
pub(super) fn plan(width: i64, pieces: &[Piece], kind: Kind, work: &mut Work<'_>) -> Result<Laid, Misfit> {
    let kinds = Kinds::of(width, pieces)?;
    if kinds.items.is_empty() {
        return Ok(Laid { lay: Lay::Cut(Part::Left), length: 0, bound: 0, proved: true });
    }
    let found = search(&kinds, kind, work);
    let length = kinds.length(found.length);
    let cloth = Rect { x: 0, y: 0, across: width, along: length };
    let lay = match found.pieces {
        Pieces::Strips(strips) => Lay::Cut(kinds.strips(&strips)),
        Pieces::Spots(spots) => {
            let placed = kinds.placed(&spots);
            match tree::cuts(cloth, placed.clone()) {
                Some(part) => Lay::Cut(part),
                None => Lay::Free { pieces: placed, left: Vec::new() },
            }
        }
    };
    let bound = kinds.length(found.bound).max(area_bound(width, pieces)).min(length);
    Ok(Laid { lay, length, bound, proved: bound == length })
}

/// The planner of the kind.
fn search(kinds: &Kinds, kind: Kind, work: &mut Work<'_>) -> Found {
    if kind == Kind::Strips {
        return strips::plan(kinds, work);
    }
    if kind == Kind::Any {
        return free::plan(kinds, work.part(u64::MAX));
    }
    edge::plan(kinds, work.part(u64::MAX))
}
