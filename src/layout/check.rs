//! Whether a plan is one: it shares nothing with the planners but the data.

use super::doors::{Job, Lay, Part, Placed, Plan, Rect, Share, Spread};
use super::job::Kind;

/// More pieces than this on one free spread are not compared one by one.
const MOST_COMPARED: usize = 20_000;

/// What is wrong with a plan of a job, if anything: a piece missing or too many, an overlap, a
/// piece off its cloth or turned against the grain, a cut that the kind of plan does not allow, a
/// length or a cost that is not what is taken, a bound above it.
pub fn check(job: &Job, plan: &Plan) -> Result<(), String> {
    let cost = taken(job, plan)?;
    let goal = if job.roll.is_some() { plan.length } else { i128::from(plan.cost) };
    spent(plan, cost, goal)
}

/// The same of a plan by cost, with what a length of the roll costs.
pub fn check_cost(job: &Job, price: &dyn Fn(i128) -> i64, plan: &Plan) -> Result<(), String> {
    let cost = taken(job, plan)? + i128::from(price(plan.length));
    spent(plan, cost, i128::from(plan.cost))
}

/// The cost is as told, and the bound no higher than what counts.
fn spent(plan: &Plan, cost: i128, goal: i128) -> Result<(), String> {
    if cost != i128::from(plan.cost) {
        return Err(format!("a cost of {} told, {cost} spent", plan.cost));
    }
    if plan.bound > goal {
        return Err(format!("no plan takes less than {}, and this takes {goal}", plan.bound));
    }
    Ok(())
}

/// Goes through all spreads; what the sheets cost.
fn taken(job: &Job, plan: &Plan) -> Result<i128, String> {
    let mut got = vec![0u128; job.pieces.len()];
    let mut used = vec![0u128; job.sheets.len()];
    let mut length = 0i128;
    let mut cost = 0i128;
    for spread in &plan.spreads {
        on_its_cloth(job, spread)?;
        match spread.sheet {
            None => length = length.saturating_add(spread.along),
            Some(at) => {
                let sheet = job.sheets.get(at).ok_or("a cloth that nobody has")?;
                let cloths = used.get_mut(at).ok_or("a cloth that nobody has")?;
                *cloths += u128::from(spread.count);
                cost = cost.saturating_add(i128::from(sheet.cost) * i128::from(spread.count));
            }
        }
        match &spread.lay {
            Lay::Cut(part) => {
                cut(job, part, spread.whole(), u128::from(spread.count), &mut got)?;
                if spread.sheet.is_none() {
                    selvage_first(job, part)?;
                }
                if plan.kind == Kind::Strips {
                    strips(job, part)?;
                }
            }
            Lay::Free { pieces, left } if plan.kind == Kind::Any => {
                free(job, spread, pieces, left, &mut got)?;
            }
            Lay::Free { .. } => return Err("laid out free where cuts run from edge to edge".to_owned()),
        }
    }
    for (piece, got) in job.pieces.iter().zip(&got) {
        if u128::from(piece.count) != *got {
            return Err(format!("{got} of {piece:?}"));
        }
    }
    for (sheet, used) in job.sheets.iter().zip(&used) {
        if u128::from(sheet.count) < *used {
            return Err(format!("{used} cloths of {sheet:?}"));
        }
    }
    if length != plan.length {
        return Err(format!("a length of {} told, {length} taken", plan.length));
    }
    Ok(cost)
}

/// The spread is as wide as its cloth and, on a sheet, as long.
fn on_its_cloth(job: &Job, spread: &Spread) -> Result<(), String> {
    let fits = match spread.sheet {
        None => job.roll == Some(spread.across) && spread.along >= 0,
        Some(at) => job
            .sheets
            .get(at)
            .is_some_and(|sheet| (sheet.across, sheet.along) == (spread.across, spread.along)),
    };
    let once = spread.sheet.is_some() || spread.count == 1;
    if fits && once { Ok(()) } else { Err(format!("{} by {} of no cloth", spread.across, spread.along)) }
}

/// Counts the pieces of a part; each fills its part, and the parts add up to what they are cut from.
fn cut(job: &Job, part: &Part, at: Rect, times: u128, got: &mut [u128]) -> Result<(), String> {
    let (shares, across) = match part {
        Part::Left => return Ok(()),
        Part::Piece { piece, turned } => {
            let count = got.get_mut(*piece).ok_or("a piece that nobody asked for")?;
            *count += times;
            return lies(job, *piece, *turned, at);
        }
        Part::Across(shares) => (shares, true),
        Part::Along(shares) => (shares, false),
    };
    let mut taken = 0i128;
    for Share { times: each, size, part } in shares {
        if *each == 0 || *size <= 0 {
            return Err(format!("a part of {size}, {each} times"));
        }
        taken = taken.saturating_add(size.saturating_mul(i128::from(*each)));
        let mut inner = at;
        *(if across { &mut inner.along } else { &mut inner.across }) = *size;
        let times = times.checked_mul(u128::from(*each)).ok_or("parts past counting")?;
        cut(job, part, inner, times, got)?;
    }
    let whole = if across { at.along } else { at.across };
    if taken == whole { Ok(()) } else { Err(format!("parts of {taken} cut from {whole}")) }
}

/// The piece is as large as its place, and turned only where it may be.
fn lies(job: &Job, piece: usize, turned: bool, at: Rect) -> Result<(), String> {
    let wanted = job.pieces.get(piece).ok_or("a piece that nobody asked for")?;
    let (mut across, mut along) = (wanted.across.max(1), wanted.along.max(1));
    if turned {
        std::mem::swap(&mut across, &mut along);
    }
    if turned && !wanted.may_turn {
        return Err(format!("{wanted:?} is turned"));
    }
    if (across, along) == (at.across, at.along) { Ok(()) } else { Err(format!("{wanted:?} in {at:?}")) }
}

/// All pieces of a part.
fn pieces_in(part: &Part, out: &mut Vec<usize>) {
    match part {
        Part::Left => {}
        Part::Piece { piece, .. } => out.push(*piece),
        Part::Across(shares) | Part::Along(shares) => {
            shares.iter().for_each(|share| pieces_in(&share.part, out));
        }
    }
}

fn by_selvage(job: &Job, part: &Part) -> (bool, bool) {
    let mut held = Vec::new();
    pieces_in(part, &mut held);
    let is = |at: &usize| job.pieces.get(*at).is_some_and(|piece| piece.by_selvage);
    (held.iter().any(is), held.iter().all(is))
}

/// Pieces along the selvage come off first: the cloth, or a first length of it, is cut lengthwise,
/// and its left parts hold them and nothing else.
fn selvage_first(job: &Job, part: &Part) -> Result<(), String> {
    if !by_selvage(job, part).0 {
        return Ok(());
    }
    let first = match part {
        Part::Across(shares) => match shares.split_first() {
            Some((first, rest)) if !rest.iter().any(|share| by_selvage(job, &share.part).0) => &first.part,
            _ => part,
        },
        _ => part,
    };
    let Part::Along(columns) = first else {
        return if by_selvage(job, first).1 {
            Ok(())
        } else {
            Err("the selvage is not cut first".to_owned())
        };
    };
    let others = columns.iter().skip_while(|column| by_selvage(job, &column.part) == (true, true));
    match others.map(|column| by_selvage(job, &column.part)).find(|found| found.0) {
        None => Ok(()),
        Some(_) => Err("a piece of the selvage lies inside".to_owned()),
    }
}

/// Strips right across the cloth, each cut into columns, each column one piece, trimmed. Columns
/// that were cut first along the selvage are set aside.
fn strips(job: &Job, part: &Part) -> Result<(), String> {
    match part {
        Part::Along(columns) if by_selvage(job, part).0 => columns
            .iter()
            .filter(|column| !by_selvage(job, &column.part).0)
            .try_for_each(|column| strips(job, &column.part)),
        Part::Across(shares) => shares.iter().try_for_each(|share| match &share.part {
            Part::Along(_) if by_selvage(job, &share.part).0 => strips(job, &share.part),
            part => strip(part),
        }),
        part => strip(part),
    }
}

fn strip(part: &Part) -> Result<(), String> {
    match part {
        Part::Along(columns) => columns.iter().try_for_each(|column| trimmed(&column.part)),
        part => trimmed(part),
    }
}

/// One piece and what is trimmed off it.
fn trimmed(part: &Part) -> Result<(), String> {
    let plain = match part {
        Part::Piece { .. } | Part::Left => true,
        Part::Across(shares) => {
            let pieces = shares.iter().filter(|share| share.part != Part::Left);
            pieces.clone().all(|share| matches!(share.part, Part::Piece { .. }) && share.times == 1)
                && pieces.count() <= 1
        }
        Part::Along(_) => false,
    };
    if plain { Ok(()) } else { Err(format!("more than a trim in a strip: {part:?}")) }
}

/// Pieces that lie free: on the cloth, each as it may lie, none over another, nor over what is left.
fn free(
    job: &Job,
    spread: &Spread,
    pieces: &[Placed],
    left: &[Rect],
    got: &mut [u128],
) -> Result<(), String> {
    for placed in pieces {
        lies(job, placed.piece, placed.turned, placed.at)?;
        let count = got.get_mut(placed.piece).ok_or("a piece that nobody asked for")?;
        *count += u128::from(spread.count);
    }
    let mut all: Vec<Rect> = pieces.iter().map(|placed| placed.at).chain(left.iter().copied()).collect();
    for at in &all {
        let far = |from: i128, size: i128| from.saturating_add(size);
        let out = at.x < 0
            || at.y < 0
            || at.across <= 0
            || at.along <= 0
            || far(at.x, at.across) > spread.across
            || far(at.y, at.along) > spread.along;
        if out {
            return Err(format!("{at:?} is off the cloth"));
        }
    }
    if all.len() > MOST_COMPARED {
        return Ok(());
    }
    all.sort_by_key(|at| at.y);
    for (n, one) in all.iter().enumerate() {
        let beside = all.iter().skip(n + 1).take_while(|other| other.y < one.y + one.along);
        for other in beside {
            if other.x < one.x + one.across && one.x < other.x + other.across {
                return Err(format!("{one:?} lies over {other:?}"));
            }
        }
    }
    Ok(())
}
