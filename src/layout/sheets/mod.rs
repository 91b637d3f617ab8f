//! Cloth of a fixed size: pieces in hand that save cloth to buy, and cloth sold by the piece.
//!
//! One cloth after the other is filled with the most valuable pieces. Pieces that came out badly
//! in one round, in cloths with much left over, are worth more in the next.

mod shelf;
mod squeezed;

use std::collections::HashMap;

use super::job::{Job, Kind, Misfit, Piece, Sheet};
use super::kinds::Kinds;
use super::plan::{Lay, Part, Plan, Share, Spread};
use super::roll;
use super::work::Work;

/// So many rounds at most.
const ROUNDS: u32 = 40;

/// What pieces are worth beside their area, in 1/1024, by their sides.
type Weights = HashMap<(i64, i64), i64>;

/// One way to lay the job out on its sheets, and what is left for the roll.
#[derive(Clone, Debug)]
struct Round {
    spreads: Vec<Spread>,
    cost: i64,
    rest: Vec<u64>,
}

/// A plan that uses the sheets: with a roll, where they save cloth of it; else at the least cost found.
pub(super) fn plan(job: &Job, kind: Kind, work: Work<'_>) -> Result<Plan, Misfit> {
    let sheets = usable(job);
    match job.roll {
        Some(width) => with_roll(job, &sheets, width, kind, work),
        None => sheets_only(job, &sheets, kind, work),
    }
}

/// The sheets there are, with their indices.
fn usable(job: &Job) -> Vec<(usize, Sheet)> {
    let sheets = job.sheets.iter().copied().enumerate();
    sheets.filter(|(_, sheet)| sheet.count > 0 && sheet.across > 0 && sheet.along > 0).collect()
}

/// Sheets in hand before the roll: the rest of each round comes from the roll.
fn with_roll(
    job: &Job,
    sheets: &[(usize, Sheet)],
    width: i64,
    kind: Kind,
    mut all: Work<'_>,
) -> Result<Plan, Misfit> {
    let given = all.left();
    let share = all.part(given / 4);
    let mut best = roll_plan(job, width, None, kind, share).map(|(plan, _)| plan);
    let mut weights = Weights::new();
    let mut work = all.part(given / 2);
    for turn in 0..ROUNDS {
        let round = fill_all(job, sheets, kind, &weights, turn, &mut work)?;
        let (found, bound) = match roll_plan(job, width, Some(&round), kind, all.part(share_of(given, turn)))
        {
            Ok(found) => found,
            Err(misfit) => {
                best = best.or(Err(misfit));
                break;
            }
        };
        let floor = bound_beside(job, sheets, width, kind).min(bound);
        let shorter = best.as_ref().map_or(true, |best| found.length < best.length);
        if shorter {
            best = Ok(found);
        }
        if let Ok(best) = &mut best {
            best.bound = floor;
            best.proved = best.length <= floor;
        }
        if work.out() || best.as_ref().is_ok_and(|best| best.proved) {
            break;
        }
        learn(&mut weights, job, &round);
    }
    best
}

/// The work for the roll's part in one round: the first rounds matter most.
fn share_of(given: u64, turn: u32) -> u64 {
    given / 8 / u64::from(turn / 4 + 1).saturating_mul(4)
}

/// What a round leaves, laid out on the roll; the bound is that of the roll's part alone.
fn roll_plan(
    job: &Job,
    width: i64,
    round: Option<&Round>,
    kind: Kind,
    mut work: Work<'_>,
) -> Result<(Plan, i64), Misfit> {
    let pieces: Vec<Piece> = match round {
        None => job.pieces.clone(),
        Some(round) => {
            let counts = round.rest.iter();
            job.pieces.iter().zip(counts).map(|(piece, count)| Piece { count: *count, ..*piece }).collect()
        }
    };
    let laid = roll::plan(width, &pieces, kind, &mut work)?;
    let mut plan =
        Plan { kind, length: laid.length, bound: laid.bound, proved: laid.proved, ..Plan::default() };
    if let Some(round) = round {
        plan.spreads = round.spreads.clone();
        plan.cost = round.cost;
        plan.proved = false;
    }
    if laid.length > 0 {
        plan.spreads.push(Spread { sheet: None, count: 1, across: width, along: laid.length, lay: laid.lay });
    }
    Ok((plan, laid.bound))
}

/// Whatever the sheets take, this much of the roll is needed: the area that they cannot hold, and the
/// pieces that fit none of them.
fn bound_beside(job: &Job, sheets: &[(usize, Sheet)], width: i64, kind: Kind) -> i64 {
    let wanted: Vec<u64> = job.pieces.iter().map(|piece| piece.count).collect();
    let area = |sheet: &Sheet| sheet.area().saturating_mul(i128::from(sheet.count));
    let held = sheets.iter().map(|(_, sheet)| area(sheet)).fold(0, i128::saturating_add);
    let rest = area_of(job, &wanted).saturating_sub(held).max(0);
    let wide = i128::from(width.max(1));
    let by_area = i64::try_from(rest / wide + i128::from(rest % wide != 0)).unwrap_or(i64::MAX);
    // Where the sheets cannot hold all, the roll holds at least the shortest.
    let shortest = job.pieces.iter().filter(|piece| piece.count > 0).map(|piece| {
        let (across, along) = piece.lies(false);
        if piece.may_turn { along.min(across) } else { along }
    });
    let by_piece = if rest > 0 { shortest.min().unwrap_or(0) } else { 0 };
    let homeless: Vec<Piece> = job
        .pieces
        .iter()
        .map(|piece| {
            let fits = sheets.iter().any(|(_, sheet)| fits(piece, sheet));
            if fits { Piece { count: 0, ..*piece } } else { *piece }
        })
        .collect();
    let by_need =
        roll::plan(width, &homeless, kind, &mut Work::new(0, &|| false)).map_or(0, |laid| laid.bound);
    by_area.max(by_piece).max(by_need)
}

/// Whether a piece fits a sheet. What is cut along the selvage comes from the roll, which has one.
fn fits(piece: &Piece, sheet: &Sheet) -> bool {
    let within = |turned: bool| {
        let (across, along) = piece.lies(turned);
        across <= sheet.across && along <= sheet.along
    };
    !piece.by_selvage && (within(false) || piece.may_turn && within(true))
}

/// All sheets at the least cost found.
fn sheets_only(job: &Job, sheets: &[(usize, Sheet)], kind: Kind, mut work: Work<'_>) -> Result<Plan, Misfit> {
    let job = &without_selvage(job);
    for (at, piece) in job.pieces.iter().enumerate().filter(|(_, piece)| piece.count > 0) {
        if !sheets.iter().any(|(_, sheet)| fits(piece, sheet)) {
            return Err(Misfit::TooWide { piece: at });
        }
    }
    let floor = least_cost(job, sheets);
    let mut weights = Weights::new();
    let mut best: Option<Round> = None;
    for turn in 0..ROUNDS {
        let round = fill_all(job, sheets, kind, &weights, turn, &mut work)?;
        let worth = |round: &Round| (area_of(job, &round.rest), round.cost, taken(round));
        if best.as_ref().is_none_or(|best| worth(&round) < worth(best)) {
            best = Some(round.clone());
        }
        let done = best.as_ref().is_some_and(|best| area_of(job, &best.rest) == 0 && best.cost <= floor);
        if work.out() || done {
            break;
        }
        learn(&mut weights, job, &round);
    }
    let Some(best) = best else { return Ok(Plan { kind, proved: true, ..Plan::default() }) };
    let left: Vec<(usize, u64)> =
        best.rest.iter().copied().enumerate().filter(|(_, left)| *left > 0).collect();
    if !left.is_empty() {
        return Err(Misfit::NoRoom { left });
    }
    let bound = floor.min(best.cost);
    Ok(Plan { kind, spreads: best.spreads, length: 0, cost: best.cost, bound, proved: best.cost <= bound })
}

/// A piece in hand has no selvage to speak of; what would lie along it is not turned.
fn without_selvage(job: &Job) -> Job {
    let straight =
        |piece: &Piece| Piece { by_selvage: false, may_turn: piece.may_turn && !piece.by_selvage, ..*piece };
    Job { pieces: job.pieces.iter().map(straight).collect(), ..job.clone() }
}

/// Area of so many of each piece.
fn area_of(job: &Job, counts: &[u64]) -> i128 {
    job.pieces.iter().zip(counts).map(|(piece, count)| piece.area(*count)).fold(0, i128::saturating_add)
}

/// How many sheets a round takes.
fn taken(round: &Round) -> u64 {
    round.spreads.iter().fold(0, |sum, spread| sum.saturating_add(spread.count))
}

/// No choice of sheets costs less: the cheapest cloth by area, and whole steps of the costs.
fn least_cost(job: &Job, sheets: &[(usize, Sheet)]) -> i64 {
    let all: Vec<u64> = job.pieces.iter().map(|piece| piece.count).collect();
    let mut wanted = area_of(job, &all);
    let mut order: Vec<&Sheet> = sheets.iter().map(|(_, sheet)| sheet).collect();
    order.sort_by(|one, other| {
        let rate = |cost: i64, by: i128| i128::from(cost).saturating_mul(by);
        rate(one.cost, other.area()).cmp(&rate(other.cost, one.area()))
    });
    let mut cost = 0i128;
    for sheet in order {
        if wanted <= 0 {
            break;
        }
        let here = sheet.area().saturating_mul(i128::from(sheet.count)).min(wanted);
        let part = here.saturating_mul(i128::from(sheet.cost));
        cost = cost.saturating_add(part / sheet.area() + i128::from(part % sheet.area() > 0));
        wanted -= here;
    }
    let step = sheets.iter().fold(0i64, |step, (_, sheet)| num_integer::gcd(step, sheet.cost));
    let step = i128::from(step.max(1));
    i64::try_from((cost + step - 1) / step * step).unwrap_or(i64::MAX)
}

/// Fills sheet after sheet until nothing more fits or nothing is left.
fn fill_all(
    job: &Job,
    sheets: &[(usize, Sheet)],
    kind: Kind,
    weights: &Weights,
    turn: u32,
    work: &mut Work<'_>,
) -> Result<Round, Misfit> {
    let rest = job.pieces.iter().map(|piece| piece.count).collect();
    let mut round = Round { spreads: Vec::new(), cost: 0, rest };
    let mut stock: Vec<u64> = sheets.iter().map(|(_, sheet)| sheet.count).collect();
    loop {
        let mut best: Option<(i128, usize, Lay, Vec<u64>)> = None;
        for (n, (_, sheet)) in sheets.iter().enumerate() {
            if stock.get(n).is_none_or(|left| *left == 0) {
                continue;
            }
            let Some((lay, counts)) = fill_one(job, sheet, &round.rest, kind, weights, work)? else {
                continue;
            };
            let rate = rate(job, sheet, &counts, turn);
            if best.as_ref().is_none_or(|(other, ..)| rate > *other) {
                best = Some((rate, n, lay, counts));
            }
        }
        let Some((_, n, lay, counts)) = best else { return Ok(round) };
        let (Some((at, sheet)), Some(left)) = (sheets.get(n), stock.get_mut(n)) else { return Ok(round) };
        let used = counts.iter().zip(&round.rest).filter(|(used, _)| **used > 0);
        let times = used.map(|(used, rest)| rest / used).min().unwrap_or(1).clamp(1, *left);
        *left -= times;
        for (rest, used) in round.rest.iter_mut().zip(&counts) {
            *rest = rest.saturating_sub(used.saturating_mul(times));
        }
        let cost = sheet.cost.saturating_mul(i64::try_from(times).unwrap_or(i64::MAX));
        round.cost = round.cost.saturating_add(cost);
        round.spreads.push(Spread {
            sheet: Some(*at),
            count: times,
            across: sheet.across,
            along: sheet.along,
            lay,
        });
    }
}

/// How well a filled sheet does: area of its pieces per cost, or per area where it costs nothing; in
/// some rounds the larger sheets go first.
fn rate(job: &Job, sheet: &Sheet, counts: &[u64], turn: u32) -> i128 {
    let held = area_of(job, counts);
    let area = sheet.area();
    let per = if sheet.cost > 0 { i128::from(sheet.cost) } else { area };
    if turn % 4 == 3 { held } else { held.saturating_mul(1 << 20) / per.max(1) }
}

/// One sheet filled with the most valuable pieces; `None` where nothing fits.
fn fill_one(
    job: &Job,
    sheet: &Sheet,
    rest: &[u64],
    kind: Kind,
    weights: &Weights,
    work: &mut Work<'_>,
) -> Result<Option<(Lay, Vec<u64>)>, Misfit> {
    let pieces: Vec<Piece> = job
        .pieces
        .iter()
        .zip(rest)
        .map(|(piece, left)| {
            let count = if fits(piece, sheet) { most(piece, sheet).min(*left) } else { 0 };
            Piece { count, ..*piece }
        })
        .collect();
    if pieces.iter().all(|piece| piece.count == 0) {
        return Ok(None);
    }
    let kinds = Kinds::of(sheet.across, &pieces)?;
    let values: Vec<i64> = kinds
        .items
        .iter()
        .map(|item| {
            let area = item.across.saturating_mul(item.along).min(i64::MAX >> 30);
            let sides = (kinds.length(item.across), kinds.length(item.along));
            (area.saturating_mul(weights.get(&sides).copied().unwrap_or(1024)) >> 4).max(1)
        })
        .collect();
    let lay = lay_out(&kinds, sheet, &values, work);
    let counts = held(&lay, job.pieces.len());
    let (lay, counts) = match kind {
        Kind::Strips => (lay, counts),
        _ => squeezed::more(&pieces, sheet, kind, lay, counts, work),
    };
    Ok(counts.iter().any(|count| *count > 0).then_some((lay, counts)))
}

/// More than this of a piece cannot lie on a sheet.
fn most(piece: &Piece, sheet: &Sheet) -> u64 {
    u64::try_from(sheet.area() / piece.area(1).max(1)).unwrap_or(u64::MAX)
}

/// Strips on one sheet.
fn lay_out(kinds: &Kinds, sheet: &Sheet, values: &[i64], work: &mut Work<'_>) -> Lay {
    let strips = shelf::fill(kinds, kinds.steps(sheet.along), values, work);
    let part = kinds.strips(&strips);
    let Part::Across(mut shares) = part else { return Lay::Cut(part) };
    let free = shares.iter().fold(sheet.along, |free, share| free.saturating_sub(share.total()));
    if free > 0 {
        shares.push(Share { times: 1, size: free, part: Part::Left });
    }
    Lay::Cut(Part::Across(shares))
}

/// How many of each piece lie on a cloth.
fn held(lay: &Lay, pieces: usize) -> Vec<u64> {
    let mut counts = vec![0u64; pieces];
    match lay {
        Lay::Cut(part) => tally(part, 1, &mut counts),
        Lay::Free { pieces, .. } => {
            for placed in pieces {
                if let Some(count) = counts.get_mut(placed.piece) {
                    *count += 1;
                }
            }
        }
    }
    counts
}

/// Counts the pieces of a part.
fn tally(part: &Part, times: u64, counts: &mut [u64]) {
    match part {
        Part::Left => {}
        Part::Piece { piece, .. } => {
            if let Some(count) = counts.get_mut(*piece) {
                *count = count.saturating_add(times);
            }
        }
        Part::Across(shares) | Part::Along(shares) => {
            shares.iter().for_each(|share| tally(&share.part, times.saturating_mul(share.times), counts));
        }
    }
}

/// Pieces in badly used cloths, and pieces that found no place, are worth more from now on.
fn learn(weights: &mut Weights, job: &Job, round: &Round) {
    let sides = |piece: &Piece| {
        let (across, along) = piece.lies(false);
        if piece.may_turn { (across.min(along), across.max(along)) } else { (across, along) }
    };
    for spread in &round.spreads {
        let counts = held(&spread.lay, job.pieces.len());
        let used = area_of(job, &counts);
        let area = (i128::from(spread.across) * i128::from(spread.along)).max(1);
        let waste = i64::try_from((area - used).max(0).saturating_mul(1024) / area).unwrap_or(0);
        for (piece, _) in job.pieces.iter().zip(&counts).filter(|(_, count)| **count > 0) {
            let weight = weights.entry(sides(piece)).or_insert(1024);
            // Half of what it was, half of what this round says.
            *weight = (*weight + 1024 + waste) / 2;
        }
    }
    for (piece, _) in job.pieces.iter().zip(&round.rest).filter(|(_, left)| **left > 0) {
        let weight = weights.entry(sides(piece)).or_insert(1024);
        *weight = (*weight + 64).min(4096);
    }
}
