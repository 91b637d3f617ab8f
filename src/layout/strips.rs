//! Simple strips: the highest pieces first, each into the first strip with room for it.
//!
//! Equal strips are one entry with a count, so that a million napkins cost no more than one.

use std::cmp::Reverse;
use std::collections::HashMap;

use super::job::{Held, Job, Misfit, Piece, Plan, Strip};

/// With so few pieces that may turn, every choice of turning is tried.
const TRY_ALL_TURNS: usize = 7;

/// So many kinds of strip are kept open for lower pieces; it bounds the work of very long cut lists.
const OPEN: usize = 500;

/// A plan in simple strips, the shortest of those tried; the first piece that has no place
/// otherwise.
///
/// Pieces lie as written unless turning them saves cloth.
pub fn plan(job: &Job) -> Result<Plan, Misfit> {
    let mut best: Result<Plan, Misfit> = Ok(Plan::default());
    for (at, turning) in turnings(job)?.iter().enumerate() {
        let next = pack(job, turning);
        let better = match (&next, &best) {
            (Ok(next), Ok(best)) => at == 0 || next.length < best.length,
            (Ok(_), Err(_)) => true,
            (Err(_), _) => at == 0,
        };
        if better {
            best = next;
        }
    }
    best
}

/// The ways of turning pieces that are tried, the one nearest to what is written first.
fn turnings(job: &Job) -> Result<Vec<Vec<bool>>, Misfit> {
    let mut written = Vec::with_capacity(job.pieces.len());
    let mut free = Vec::new();
    for (at, piece) in job.pieces.iter().enumerate() {
        let upright = sides(piece, false).0 <= job.width;
        let turned = piece.may_turn && sides(piece, true).0 <= job.width;
        if !upright && !turned && piece.count > 0 {
            return Err(Misfit::TooWide { piece: at });
        }
        if upright && turned && piece.across != piece.along && piece.count > 0 {
            free.push(at);
        }
        written.push(!upright);
    }
    let choose = |rule: &dyn Fn(usize, &Piece) -> bool| {
        let mut turning = written.clone();
        for at in &free {
            if let (Some(turn), Some(piece)) = (turning.get_mut(*at), job.pieces.get(*at)) {
                *turn = rule(*at, piece);
            }
        }
        turning
    };
    if free.len() <= TRY_ALL_TURNS {
        let bit = |at: usize| free.iter().position(|one| *one == at).unwrap_or(0);
        return Ok((0..1u32 << free.len()).map(|set| choose(&|at, _| set >> bit(at) & 1 == 1)).collect());
    }
    Ok(vec![
        written.clone(),
        choose(&|_, piece| alone(job.width, piece, true) < alone(job.width, piece, false)),
        choose(&|_, piece| piece.along > piece.across),
        choose(&|_, piece| piece.along < piece.across),
    ])
}

/// Across and along of a piece as it lies.
fn sides(piece: &Piece, turned: bool) -> (i64, i64) {
    let (across, along) = (piece.across.max(1), piece.along.max(1));
    if turned { (along, across) } else { (across, along) }
}

/// How many things of this width lie side by side.
fn fit(width: i64, across: i64) -> u64 {
    u64::try_from(width / across.max(1)).unwrap_or(0)
}

/// The length of cloth that a kind of piece takes by itself.
fn alone(width: i64, piece: &Piece, turned: bool) -> u128 {
    let (across, along) = sides(piece, turned);
    let strips = piece.count.div_ceil(fit(width, across).max(1));
    u128::from(strips) * u128::from(along.unsigned_abs())
}

/// Equal strips while they are being filled.
struct Open {
    strip: Strip,
    left: i64,
}

impl Open {
    /// As many strips of this kind, with some pieces more in each.
    fn with(&self, count: u64, held: Held, across: i64) -> Open {
        let mut holds = self.strip.holds.clone();
        // `held.count` was computed to fit what is left.
        let taken = across.saturating_mul(i64::try_from(held.count).unwrap_or(i64::MAX));
        holds.push(held);
        Open {
            strip: Strip { count, height: self.strip.height, holds },
            left: self.left.saturating_sub(taken),
        }
    }
}

/// First fit, highest first.
fn pack(job: &Job, turning: &[bool]) -> Result<Plan, Misfit> {
    let mut order: Vec<(usize, &Piece, bool)> = job
        .pieces
        .iter()
        .zip(turning)
        .enumerate()
        .map(|(at, (piece, turned))| (at, piece, *turned))
        .collect();
    order.retain(|(_, piece, _)| piece.count > 0);
    order.sort_by_key(|(_, piece, turned)| {
        let (across, along) = sides(piece, *turned);
        Reverse((along, across))
    });
    let narrowest = order.iter().map(|(_, piece, turned)| sides(piece, *turned).0).min().unwrap_or(1);
    let mut open: Vec<Open> = Vec::new();
    let mut closed: Vec<Strip> = Vec::new();
    for (at, piece, turned) in order {
        let (across, along) = sides(piece, turned);
        let held = Held { piece: at, count: 0, turned };
        let mut rest = piece.count;
        open = share(open, &mut rest, held, across);
        let fresh = Open { strip: Strip { count: rest, height: along, holds: Vec::new() }, left: job.width };
        fill(fresh, &mut rest, held, across, &mut open);
        close(&mut open, &mut closed, narrowest);
    }
    closed.extend(open.into_iter().map(|open| open.strip));
    closed.sort_by_key(|strip| Reverse(strip.height));
    finish(closed)
}

/// Puts pieces into the strips that have room, in order.
fn share(open: Vec<Open>, rest: &mut u64, held: Held, across: i64) -> Vec<Open> {
    let mut next = Vec::with_capacity(open.len() + 4);
    for strip in open {
        if *rest == 0 || fit(strip.left, across) == 0 {
            next.push(strip);
        } else {
            fill(strip, rest, held, across, &mut next);
        }
    }
    next
}

/// Fills equal strips: some to the full, one with what is over, the others untouched. Strips that
/// hold nothing yet and stay so are not cut at all.
fn fill(strip: Open, rest: &mut u64, held: Held, across: i64, out: &mut Vec<Open>) {
    let each = fit(strip.left, across);
    if each == 0 || *rest == 0 {
        return;
    }
    let full = (*rest / each).min(strip.strip.count);
    if full > 0 {
        out.push(strip.with(full, Held { count: each, ..held }, across));
        *rest -= full.saturating_mul(each);
    }
    let mut untouched = strip.strip.count - full;
    if untouched > 0 && *rest > 0 {
        out.push(strip.with(1, Held { count: *rest, ..held }, across));
        *rest = 0;
        untouched -= 1;
    }
    if untouched > 0 && !strip.strip.holds.is_empty() {
        out.push(Open { strip: Strip { count: untouched, ..strip.strip }, left: strip.left });
    }
}

/// Strips that can take nothing more, and the oldest of too many, are done with.
fn close(open: &mut Vec<Open>, closed: &mut Vec<Strip>, narrowest: i64) {
    let mut surplus = open.len().saturating_sub(OPEN);
    open.retain_mut(|strip| {
        let done = strip.left < narrowest || surplus > 0;
        if done {
            surplus = surplus.saturating_sub(1);
            let holds = std::mem::take(&mut strip.strip.holds);
            closed.push(Strip { holds, ..strip.strip });
        }
        !done
    });
}

/// Joins strips that came out alike, and adds up the length.
fn finish(strips: Vec<Strip>) -> Result<Plan, Misfit> {
    let mut plan = Plan::default();
    let mut known: HashMap<(i64, Vec<Held>), usize> = HashMap::new();
    for strip in strips {
        let too_much = Misfit::TooMuch { piece: strip.holds.first().map_or(0, |held| held.piece) };
        let length = i64::try_from(strip.count).ok().and_then(|count| count.checked_mul(strip.height));
        plan.length = length.and_then(|length| plan.length.checked_add(length)).ok_or(too_much)?;
        let at = *known.entry((strip.height, strip.holds.clone())).or_insert(plan.strips.len());
        match plan.strips.get_mut(at) {
            Some(alike) => alike.count = alike.count.saturating_add(strip.count),
            None => plan.strips.push(strip),
        }
    }
    Ok(plan)
}
