//! Pieces cut first along the selvage: long borders and straps come off lengthwise, in columns at
//! the left, before the cloth is cut across. The rest lies beside the columns, after them, or both.

use super::columns::Columns;
use super::job::{Job, Kind, Misfit, Piece, Sheet};
use super::kinds::Kinds;
use super::plan::{Lay, Part, Share};
use super::roll::{self, Laid, area_bound, longer};
use super::work::{Shares, Work};
use super::{bounds, sheets};

/// So many lengths of columns are tried.
const TRIES: u32 = 4;

/// So many of the ways are looked into with most of the work.
const CLOSER: usize = 2;

/// Work for each way in the first round of strips.
const FIRST_ROUND: u64 = 1_000;

/// Where the rest lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Where {
    /// All of it after the columns.
    After,
    /// All of it beside them.
    Beside,
    /// Beside them, and after them what has no room there.
    Both,
}

/// The shortest length found that holds all the pieces, some of them by the selvage.
pub(super) fn plan(width: i64, pieces: &[Piece], kind: Kind, mut work: Work<'_>) -> Result<Laid, Misfit> {
    let by_selvage = |piece: &Piece| piece.by_selvage && piece.count > 0;
    if let Some(piece) = pieces.iter().position(|piece| by_selvage(piece) && piece.lies(false).0 > width) {
        return Err(Misfit::TooWide { piece });
    }
    let first = pieces.iter().position(by_selvage).unwrap_or(0);
    let rest: Vec<Piece> = pieces
        .iter()
        .map(|piece| if piece.by_selvage { Piece { count: 0, ..*piece } } else { *piece })
        .collect();
    let job = Around { width, rest: &rest, kind: uncut(kind) };
    let columns = columns(pieces, width)?;
    let glance = work.left() / 32;
    let (for_bound, mut for_rest) = (work.part(2 * glance), work.part(glance));
    let found = match kind {
        Kind::Strips => job.by_rounds(&columns, work.part(29 * glance))?,
        _ => job.closer(&columns, work, glance)?,
    };
    let best = found.into_iter().map(|way| way.laid).min_by_key(|laid| laid.length);
    let best = best.ok_or(Misfit::TooMuch { piece: first })?;
    // The rest alone takes as much wherever the columns are.
    let alone = roll::plan(width, &rest, job.kind, &mut for_rest)?.bound;
    let bound = least(width, pieces, best.length, for_bound).max(alone);
    Ok(Laid { bound: bound.min(best.length), proved: best.length <= bound, ..best })
}

/// What was found by one way of laying columns and the rest.
struct Way<'a> {
    laid: Laid,
    columns: &'a Columns,
    place: Where,
    /// Whether more work finds nothing shorter.
    done: bool,
}

impl Way<'_> {
    /// Keeps what was found with more work.
    fn keep(&mut self, again: Option<(Laid, bool)>) {
        let Some((again, done)) = again else { return };
        if again.length < self.laid.length {
            self.laid = again;
        }
        self.done = done;
    }
}

/// Columns one piece long first; then longer and fewer, which leave more width for the rest.
fn columns(pieces: &[Piece], width: i64) -> Result<Vec<Columns>, Misfit> {
    let mut all: Vec<Columns> = Vec::new();
    let mut long = Columns::longest_piece(pieces);
    let mut tries = TRIES;
    while tries > 0 {
        let columns = Columns::of(pieces, long)?;
        if columns.across() <= width {
            tries -= 1;
            if all.last() == Some(&columns) {
                break;
            }
            all.push(columns);
        }
        if long > i64::MAX / 2 {
            break;
        }
        long = long.saturating_mul(2);
    }
    Ok(all)
}

/// What lies free is not cut beside columns that are.
fn uncut(kind: Kind) -> Kind {
    if kind == Kind::Any { Kind::EdgeToEdge } else { kind }
}

/// No layout takes less, even were the pieces by the selvage only kept from turning.
fn least(width: i64, pieces: &[Piece], enough: i64, work: Work<'_>) -> i64 {
    let straight =
        |piece: &Piece| Piece { by_selvage: false, may_turn: piece.may_turn && !piece.by_selvage, ..*piece };
    let all: Vec<Piece> = pieces.iter().map(straight).collect();
    let by_area = area_bound(width, &all).max(Columns::longest_piece(pieces));
    match Kinds::of(width, &all) {
        Ok(kinds) => kinds.length(bounds::any(&kinds, kinds.steps(enough), work)).max(by_area),
        Err(_) => by_area,
    }
}

/// What lies around the columns.
struct Around<'a> {
    width: i64,
    rest: &'a [Piece],
    kind: Kind,
}

impl Around<'_> {
    /// The ways that there are, each with so much work, the shortest first.
    fn ways<'c>(
        &self,
        columns: &'c [Columns],
        each: u64,
        work: &mut Work<'_>,
    ) -> Result<Vec<Way<'c>>, Misfit> {
        let mut ways = Vec::new();
        for columns in columns {
            for place in [Where::After, Where::Beside, Where::Both] {
                let laid = self.lay(columns, place, &mut work.part(each))?;
                ways.extend(laid.map(|(laid, done)| Way { laid, columns, place, done }));
            }
        }
        ways.sort_by_key(|way| way.laid.length);
        Ok(ways)
    }

    /// All ways with a glance each, and the shortest with most of the work.
    fn closer<'c>(
        &self,
        columns: &'c [Columns],
        mut work: Work<'_>,
        glance: u64,
    ) -> Result<Vec<Way<'c>>, Misfit> {
        let mut ways = self.ways(columns, glance, &mut work)?;
        let closer = work.left() / CLOSER as u64;
        for way in ways.iter_mut().take(CLOSER) {
            way.keep(self.lay(way.columns, way.place, &mut work.part(closer))?);
        }
        Ok(ways)
    }

    /// All ways in rounds, in each with twice the work, the shortest first. What comes first depends on the rounds
    /// before and not on the work there is, so that more work finds all that less does.
    fn by_rounds<'c>(&self, columns: &'c [Columns], mut work: Work<'_>) -> Result<Vec<Way<'c>>, Misfit> {
        let mut ways = self.ways(columns, 0, &mut work)?;
        let mut each = FIRST_ROUND;
        while !work.out() && ways.iter().any(|way| !way.done) {
            for way in ways.iter_mut().filter(|way| !way.done) {
                // Two cloths take half of their share at most, and come out in another way where it is less.
                let share = if way.place == Where::Both { each.saturating_mul(2) } else { each };
                let mut some = work.part(share);
                if way.place == Where::Both && some.left() < share {
                    return Ok(ways);
                }
                way.keep(self.lay(way.columns, way.place, &mut some)?);
                work.back(some);
            }
            ways.sort_by_key(|way| way.laid.length);
            each = each.saturating_mul(2);
        }
        Ok(ways)
    }

    /// The rest laid out there, and whether more work finds nothing shorter; `None` where it cannot lie so.
    fn lay(
        &self,
        columns: &Columns,
        place: Where,
        work: &mut Work<'_>,
    ) -> Result<Option<(Laid, bool)>, Misfit> {
        let free = self.width.saturating_sub(columns.across());
        if place == Where::After {
            let rest = roll::plan(self.width, self.rest, self.kind, work)?;
            let done = rest.proved || !work.out();
            return Ok(Some((after(columns, Part::Left, rest.lay, rest.length, self.width), done)));
        }
        if free == 0 {
            return Ok(None);
        }
        if place == Where::Beside {
            let rest = roll::plan(free, self.rest, self.kind, work).ok();
            let laid = |rest: Laid| {
                let done = rest.proved || !work.out();
                (beside(columns.clone(), rest, self.width), done)
            };
            return Ok(rest.map(laid));
        }
        // The cloth beside the columns is a piece in hand for the rest.
        let sheet = Sheet { count: 1, across: free, along: columns.along(), cost: 0 };
        let job = Job { roll: Some(self.width), sheets: vec![sheet], pieces: self.rest.to_vec() };
        let mut shares = Shares::of(work.part(u64::MAX));
        let mut plans = sheets::plans(&job, None, self.kind, (&roll::plan, &mut shares));
        work.back(shares.rest());
        let Some(Ok(plan)) = plans.pop() else { return Ok(None) };
        let (mut side, mut rest) = (Part::Left, Lay::Cut(Part::Left));
        for spread in plan.spreads {
            match (spread.sheet, spread.lay) {
                (Some(_), Lay::Cut(part)) => side = part,
                (Some(_), Lay::Free { .. }) => return Ok(None),
                (None, lay) => rest = lay,
            }
        }
        Ok(Some((after(columns, side, rest, plan.length, self.width), plan.proved)))
    }
}

/// Columns with something beside them, and the rest after them.
fn after(columns: &Columns, side: Part, rest: Lay, length: i64, width: i64) -> Laid {
    let long = columns.along();
    let first = Share { times: 1, size: long, part: columns.clone().beside(side, width, long) };
    let mut shares = vec![first];
    match cut(rest) {
        Part::Across(mut others) => shares.append(&mut others),
        _ if length == 0 => {}
        part => shares.push(Share { times: 1, size: length, part }),
    }
    let length = long.saturating_add(length);
    Laid { lay: Lay::Cut(Part::Across(shares)), length, bound: 0, proved: false }
}

/// Columns and all the rest beside them.
fn beside(columns: Columns, rest: Laid, width: i64) -> Laid {
    let length = rest.length.max(columns.along());
    let part = longer(cut(rest.lay), rest.length, length);
    Laid { lay: Lay::Cut(columns.beside(part, width, length)), length, bound: 0, proved: false }
}

fn cut(lay: Lay) -> Part {
    match lay {
        Lay::Cut(part) => part,
        Lay::Free { .. } => Part::Left,
    }
}
