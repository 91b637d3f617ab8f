//! One length of cloth from the roll, by each kind of plan.

use super::job::{Budget, Kind, Misfit, Piece};
use super::kinds::{Kinds, Spot, Strip};
use super::plan::{Lay, Part, Rect, Share};
use super::selvage::Columns;
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

/// What a planner of one kind found, in steps of its [`Kinds`].
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    /// Pieces in strips, or in their places.
    pub pieces: Pieces,
    /// The length they take.
    pub length: i64,
    /// No layout of the kind takes less.
    pub bound: i64,
}

/// Pieces in strips or in their places.
#[derive(Clone, Debug)]
pub(super) enum Pieces {
    /// Strips.
    Strips(Vec<Strip>),
    /// Each in its place.
    Spots(Vec<Spot>),
}

impl Default for Pieces {
    fn default() -> Pieces {
        Pieces::Strips(Vec::new())
    }
}

/// The shortest length found of a roll of `width` that holds all the pieces.
pub(super) fn plan(width: i64, pieces: &[Piece], kind: Kind, budget: Budget) -> Result<Laid, Misfit> {
    if !pieces.iter().any(|piece| piece.by_selvage && piece.count > 0) {
        return whole(width, pieces, kind, budget);
    }
    let wide =
        pieces.iter().position(|piece| piece.by_selvage && piece.count > 0 && piece.lies(false).0 > width);
    if let Some(piece) = wide {
        return Err(Misfit::TooWide { piece });
    }
    let rest: Vec<Piece> = pieces
        .iter()
        .map(|piece| if piece.by_selvage { Piece { count: 0, ..*piece } } else { *piece })
        .collect();
    let first = pieces.iter().position(|piece| piece.by_selvage && piece.count > 0).unwrap_or(0);
    let mut best: Option<Laid> = None;
    let mut trouble = Misfit::TooMuch { piece: first };
    let mut long = Columns::longest_piece(pieces);
    let mut tries = 4u32;
    // Columns one piece long first; then longer and fewer, which leaves more width for the rest.
    while tries > 0 {
        let columns = Columns::of(pieces, long)?;
        let fits = columns.across() <= width;
        for after in [false, true] {
            let free = if after { width } else { width.saturating_sub(columns.across()) };
            match fits.then(|| whole(free, &rest, uncut(kind), budget)).transpose() {
                Ok(Some(laid)) => {
                    let laid = with_columns(columns.clone(), laid, width, after);
                    if best.as_ref().is_none_or(|best| laid.length < best.length) {
                        best = Some(laid);
                    }
                }
                Ok(None) => {}
                Err(misfit) => trouble = misfit,
            }
        }
        if fits || long > i64::MAX / 2 {
            tries -= 1;
        }
        long = long.saturating_mul(2);
    }
    let bound = area_bound(width, pieces).max(Columns::longest_piece(pieces));
    let best = best.ok_or(trouble)?;
    Ok(Laid { bound: bound.min(best.length), proved: best.length <= bound, ..best })
}

/// What lies free is not cut beside columns that are.
fn uncut(kind: Kind) -> Kind {
    if kind == Kind::Any { Kind::EdgeToEdge } else { kind }
}

/// Columns along the selvage, and the rest beside them or after them.
fn with_columns(columns: Columns, rest: Laid, width: i64, after: bool) -> Laid {
    let part = match rest.lay {
        Lay::Cut(part) => part,
        Lay::Free { .. } => Part::Left,
    };
    let long = columns.along();
    if after {
        let first = Share { times: 1, size: long, part: columns.beside(Part::Left, width, long) };
        let mut shares = vec![first];
        match part {
            Part::Across(mut others) => shares.append(&mut others),
            _ if rest.length == 0 => {}
            part => shares.push(Share { times: 1, size: rest.length, part }),
        }
        let length = long.saturating_add(rest.length);
        return Laid { lay: Lay::Cut(Part::Across(shares)), length, bound: 0, proved: false };
    }
    let length = rest.length.max(long);
    let part = longer(part, rest.length, length);
    Laid { lay: Lay::Cut(columns.beside(part, width, length)), length, bound: 0, proved: false }
}

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
fn area_bound(width: i64, pieces: &[Piece]) -> i64 {
    let total = pieces.iter().fold(0i128, |sum, piece| sum.saturating_add(piece.area(piece.count)));
    let width = i128::from(width.max(1));
    i64::try_from(total / width + i128::from(total % width != 0)).unwrap_or(i64::MAX)
}

/// The roll without pieces by the selvage.
fn whole(width: i64, pieces: &[Piece], kind: Kind, budget: Budget) -> Result<Laid, Misfit> {
    let kinds = Kinds::of(width, pieces)?;
    if kinds.items.is_empty() {
        return Ok(Laid { lay: Lay::Cut(Part::Left), length: 0, bound: 0, proved: true });
    }
    let found = search(&kinds, kind, budget);
    let length = kinds.length(found.length);
    let cloth = Rect { x: 0, y: 0, across: width, along: length };
    let lay = match found.pieces {
        Pieces::Strips(strips) => Lay::Cut(kinds.strips(&strips)),
        Pieces::Spots(spots) => {
            let placed = kinds.placed(&spots);
            match tree::cuts(cloth, placed.clone()) {
                Some(part) => Lay::Cut(part),
                None => tree::free(cloth, placed),
            }
        }
    };
    let bound = kinds.length(found.bound).max(area_bound(width, pieces)).min(length);
    Ok(Laid { lay, length, bound, proved: bound == length })
}

/// The planner of the kind.
fn search(kinds: &Kinds, kind: Kind, budget: Budget) -> Found {
    if kind == Kind::Strips {
        return strips::plan(kinds, budget);
    }
    if kind == Kind::Any {
        return free::plan(kinds, budget.0);
    }
    edge::plan(kinds, budget)
}
