//! Plans in steps as plans in exact sizes.

use std::cmp::Reverse;

use super::super::doors;
use super::super::plan::{Lay, Part, Placed, Plan, Rect, Share, Spread};
use super::super::tree;

/// Room that a part takes: across and along.
type Room = (i128, i128);

/// More pieces than this are moved along by the marks that they end at, not one by one.
const MOST_COMPARED: usize = 1500;

/// The plan of a job in exact sizes; `None` where steps were rounded and it does not go onto the cloth.
/// Its bound is left open.
pub(in super::super) fn back(job: &doors::Job, plan: &Plan) -> Option<doors::Plan> {
    let mut length = 0;
    let mut spreads = Vec::with_capacity(plan.spreads.len());
    for spread in &plan.spreads {
        let cloth = match spread.sheet {
            Some(at) => job.sheets.get(at).map(|sheet| (sheet.across, Some(sheet.along)))?,
            None => (job.roll?, None),
        };
        let (along, lay) = match &spread.lay {
            Lay::Cut(part) => {
                let needs = needs(job, part)?;
                let along = cloth.1.unwrap_or(needs.1);
                (along, Lay::Cut(cut(job, part, (cloth.0, along))?))
            }
            Lay::Free { pieces, .. } => free(job, pieces, cloth)?,
        };
        if spread.sheet.is_none() {
            length = along;
        }
        spreads.push(Spread { sheet: spread.sheet, count: spread.count, across: cloth.0, along, lay });
    }
    Some(Plan { kind: plan.kind, spreads, length, cost: plan.cost, bound: 0, proved: false })
}

/// A piece as it lies.
fn piece(job: &doors::Job, at: usize, turned: bool) -> Option<Room> {
    job.pieces.get(at).map(|piece| piece.lies(turned))
}

/// The room that a part takes at least.
fn needs(job: &doors::Job, part: &Part) -> Option<Room> {
    let (shares, across) = match part {
        Part::Left => return Some((0, 0)),
        Part::Piece { piece: at, turned } => return piece(job, *at, *turned),
        Part::Across(shares) => (shares, true),
        Part::Along(shares) => (shares, false),
    };
    shares.iter().try_fold((0i128, 0i128), |sum, share| {
        let one = needs(job, &share.part)?;
        let times = i128::from(share.times);
        if across {
            Some((sum.0.max(one.0), sum.1.checked_add(one.1.checked_mul(times)?)?))
        } else {
            Some((sum.0.checked_add(one.0.checked_mul(times)?)?, sum.1.max(one.1)))
        }
    })
}

/// A part in a room; what the room has more is left over at the far end, or at the right.
fn cut(job: &doors::Job, part: &Part, room: Room) -> Option<doors::Part> {
    let (shares, across) = match part {
        Part::Left => return Some(Part::Left),
        Part::Piece { piece: at, turned } => return trimmed(job, *at, *turned, room),
        Part::Across(shares) => (shares, true),
        Part::Along(shares) => (shares, false),
    };
    let all = needs(job, part)?;
    if all.0 > room.0 || all.1 > room.1 {
        return None;
    }
    let mut free = if across { room.1 - all.1 } else { room.0 - all.0 };
    let sizes = shares.iter().map(|share| {
        let needs = needs(job, &share.part)?;
        Some(if across { needs.1 } else { needs.0 })
    });
    let mut sizes: Vec<i128> = sizes.collect::<Option<_>>()?;
    // What is free goes to what is left over anyway, else to a part that is cut up further.
    let takes = |share: &Share| match &share.part {
        Part::Left => Some(2),
        Part::Piece { .. } => None,
        Part::Across(inner) | Part::Along(inner) => {
            // A piece that is only trimmed stays as wide as it is.
            let held = || inner.iter().filter(|one| one.part != Part::Left);
            let single = |one: &Share| one.times == 1 && matches!(one.part, Part::Piece { .. });
            (share.times == 1 && !(held().count() <= 1 && held().all(single))).then_some(1)
        }
    };
    let order = shares.iter().zip(&mut sizes).filter_map(|(share, size)| Some((takes(share)?, size)));
    if let Some((_, size)) = order.max_by_key(|(order, _)| *order) {
        *size = size.checked_add(free)?;
        free = 0;
    }
    let mut parts: Vec<doors::Share> = Vec::with_capacity(shares.len() + 1);
    for (share, size) in shares.iter().zip(sizes).filter(|(_, size)| *size > 0) {
        let inner = if across { (room.0, size) } else { (size, room.1) };
        let times = if share.part == Part::Left { 1 } else { share.times };
        parts.push(Share { times, size, part: cut(job, &share.part, inner)? });
    }
    if free > 0 {
        parts.push(Share { times: 1, size: free, part: Part::Left });
    }
    match parts.as_slice() {
        [] => Some(Part::Left),
        _ if across => Some(Part::Across(parts)),
        _ => Some(Part::Along(parts)),
    }
}

/// A piece in a room a little larger: trimmed off beyond it, then beside it.
fn trimmed(job: &doors::Job, at: usize, turned: bool, room: Room) -> Option<doors::Part> {
    let (across, along) = piece(job, at, turned)?;
    let left = |size: i128| (size > 0).then_some(Share { times: 1, size, part: Part::Left });
    let mut part = Part::Piece { piece: at, turned };
    if room.0 < across || room.1 < along {
        return None;
    }
    if let Some(rest) = left(room.1 - along) {
        part = Part::Across(vec![Share { times: 1, size: along, part }, rest]);
    }
    if let Some(rest) = left(room.0 - across) {
        part = Part::Along(vec![Share { times: 1, size: across, part }, rest]);
    }
    Some(part)
}

/// Pieces that lie free, moved together as far as their sizes ask for, and the length that they take.
fn free(job: &doors::Job, pieces: &[Placed], cloth: (i128, Option<i128>)) -> Option<(i128, doors::Lay)> {
    let sides: Vec<Room> =
        pieces.iter().map(|one| piece(job, one.piece, one.turned)).collect::<Option<_>>()?;
    let spans = |across: bool| -> Vec<(i64, i64, i128)> {
        let one = |(placed, side): (&Placed, &Room)| match across {
            true => (placed.at.x, placed.at.across, side.0),
            false => (placed.at.y, placed.at.along, side.1),
        };
        pieces.iter().zip(&sides).map(one).collect()
    };
    let beside = |_: usize, _: usize| true;
    let in_way = |one: usize, other: usize| match (pieces.get(one), pieces.get(other)) {
        (Some(one), Some(other)) => {
            one.at.x < other.at.x + other.at.across && other.at.x < one.at.x + one.at.across
        }
        _ => true,
    };
    let across = moved(&spans(true), &beside)?;
    let along = if pieces.len() > MOST_COMPARED {
        moved(&spans(false), &beside)?
    } else {
        moved(&spans(false), &in_way)?
    };
    let ends = |starts: &[i128], side: &dyn Fn(&Room) -> i128| {
        starts.iter().zip(&sides).map(|(start, sides)| start + side(sides)).max().unwrap_or(0)
    };
    let far = ends(&along, &|side| side.1);
    let length = cloth.1.unwrap_or(far);
    if ends(&across, &|side| side.0) > cloth.0 || far > length {
        return None;
    }
    let placed: Vec<doors::Placed> = pieces
        .iter()
        .zip(&sides)
        .zip(across.iter().zip(&along))
        .map(|((one, side), (x, y))| Placed {
            piece: one.piece,
            turned: one.turned,
            at: Rect { x: *x, y: *y, across: side.0, along: side.1 },
        })
        .collect();
    Some((length, around((cloth.0, length), placed)))
}

/// Where spans start, each after those that ended before it in steps and are in its way.
fn moved(spans: &[(i64, i64, i128)], in_way: &dyn Fn(usize, usize) -> bool) -> Option<Vec<i128>> {
    let mut order: Vec<usize> = (0..spans.len()).collect();
    order.sort_by_key(|at| spans.get(*at).map(|span| span.0));
    let every = spans.len() > MOST_COMPARED;
    let mut by_end: Vec<usize> = order.clone();
    by_end.sort_by_key(|at| spans.get(*at).map(|span| span.0.saturating_add(span.1)));
    let mut starts = vec![0i128; spans.len()];
    // All that end before the next start, and how far the farthest of them goes.
    let (mut ended, mut far) = (0, 0i128);
    for at in order {
        let start = spans.get(at)?.0;
        let mut from = 0i128;
        if every {
            while let Some(other) = by_end.get(ended).copied()
                && let Some(span) = spans.get(other)
                && span.0.saturating_add(span.1) <= start
            {
                far = far.max(starts.get(other)?.checked_add(span.2)?);
                ended += 1;
            }
            from = far;
        } else {
            for other in &by_end {
                let span = spans.get(*other)?;
                if span.0.saturating_add(span.1) > start {
                    break;
                }
                if in_way(at, *other) {
                    from = from.max(starts.get(*other)?.checked_add(span.2)?);
                }
            }
        }
        *starts.get_mut(at)? = from;
    }
    Some(starts)
}

/// The pieces, and what is left around them, worked out in the order of the marks that they touch.
fn around(cloth: Room, placed: Vec<doors::Placed>) -> doors::Lay {
    let marks = |whole: i128, ends: &dyn Fn(&doors::Placed) -> [i128; 2]| {
        let mut marks: Vec<i128> = placed.iter().flat_map(ends).chain([0, whole]).collect();
        marks.sort_unstable();
        marks.dedup();
        marks
    };
    let wide = marks(cloth.0, &|one| [one.at.x, one.at.x + one.at.across]);
    let long = marks(cloth.1, &|one| [one.at.y, one.at.y + one.at.along]);
    let rank = |marks: &[i128], at: i128| marks.partition_point(|mark| *mark < at) as i64;
    let ranked = |at: &doors::Rect| {
        let (x, y) = (rank(&wide, at.x), rank(&long, at.y));
        let (right, far) = (rank(&wide, at.x + at.across), rank(&long, at.y + at.along));
        Rect { x, y, across: right - x, along: far - y }
    };
    let mark =
        |marks: &[i128], at: i64| usize::try_from(at).ok().and_then(|at| marks.get(at)).copied().unwrap_or(0);
    let gaps = tree::gaps(
        ranked(&Rect { x: 0, y: 0, across: cloth.0, along: cloth.1 }),
        &placed.iter().map(|one| ranked(&one.at)).collect::<Vec<_>>(),
    );
    let exact = |gap: Rect| {
        let (x, y) = (mark(&wide, gap.x), mark(&long, gap.y));
        let (right, far) = (mark(&wide, gap.x + gap.across), mark(&long, gap.y + gap.along));
        Rect { x, y, across: right - x, along: far - y }
    };
    let mut left: Vec<doors::Rect> = gaps.into_iter().map(exact).collect();
    let area = |at: &doors::Rect| at.across.checked_mul(at.along).unwrap_or(i128::MAX);
    left.sort_by_key(|at| (Reverse(area(at)), at.y, at.x));
    let mut pieces = placed;
    pieces.sort_by_key(|one| (one.at.y, one.at.x));
    Lay::Free { pieces, left }
}
