//! Pieces in their places as cuts from edge to edge, where such cuts exist.

use super::plan::{Part, Placed, Rect, Share};

/// The cuts that free these pieces from a cloth: across wherever it can be cut across, then
/// lengthwise, and so on. `None` where some piece can only be cut around.
pub(super) fn cuts(cloth: Rect, mut placed: Vec<Placed>) -> Option<Part> {
    part(cloth, &mut placed, true)
}

/// The pieces of one rectangle, cut across first or lengthwise first.
fn part(at: Rect, placed: &mut [Placed], across_first: bool) -> Option<Part> {
    match placed {
        [] => return Some(Part::Left),
        [one] if one.at == at => return Some(Part::Piece { piece: one.piece, turned: one.turned }),
        [one] => return trim(at, *one),
        _ => {}
    }
    for across in [across_first, !across_first] {
        let groups = separate(placed, across);
        let (start, size) = if across { (at.y, at.along) } else { (at.x, at.across) };
        let fills = groups.len() == 1 && groups.first().is_some_and(|group| group.1 == (start, size));
        if groups.len() > 1 || (!groups.is_empty() && !fills) {
            return shares(at, placed, &groups, across);
        }
    }
    None
}

/// A single piece and what is cut off around it, the larger rest in one rectangle.
fn trim(at: Rect, one: Placed) -> Option<Part> {
    let (beside, beyond) = (at.across - one.at.across, at.along - one.at.along);
    // The rest that spans the whole rectangle is cut off first.
    let across = i128::from(beyond) * i128::from(at.across) >= i128::from(beside) * i128::from(at.along);
    let size = if across { beyond } else { beside };
    let across = if size == 0 { !across } else { across };
    let from = if across { (one.at.y, one.at.along) } else { (one.at.x, one.at.across) };
    shares(at, &mut [one], &[(1, from)], across)
}

/// Groups that a straight cut parts from each other, each with how many pieces it has and where it
/// starts and how far it goes; sorts the pieces by group.
fn separate(placed: &mut [Placed], across: bool) -> Vec<(usize, (i64, i64))> {
    let span = |one: &Placed| if across { (one.at.y, one.at.along) } else { (one.at.x, one.at.across) };
    placed.sort_by_key(|one| (span(one), one.at.x, one.at.y));
    let mut groups: Vec<(usize, (i64, i64))> = Vec::new();
    for one in placed.iter() {
        let (from, size) = span(one);
        match groups.last_mut() {
            Some((count, (start, long))) if from < *start + *long => {
                *count += 1;
                *long = (*long).max(from + size - *start);
            }
            _ => groups.push((1, (from, size))),
        }
    }
    groups
}

/// The rectangle cut into its groups and what lies between them.
fn shares(at: Rect, placed: &mut [Placed], groups: &[(usize, (i64, i64))], across: bool) -> Option<Part> {
    let (mut next, end) = if across { (at.y, at.y + at.along) } else { (at.x, at.x + at.across) };
    let mut out: Vec<Share> = Vec::with_capacity(groups.len() + 1);
    let mut rest = placed;
    let left = |size: i64, out: &mut Vec<Share>| {
        if size > 0 {
            push(out, Share { times: 1, size, part: Part::Left });
        }
    };
    for (count, (from, size)) in groups {
        left(from - next, &mut out);
        let (here, after) = rest.split_at_mut((*count).min(rest.len()));
        rest = after;
        let inner = if across {
            Rect { y: *from, along: *size, ..at }
        } else {
            Rect { x: *from, across: *size, ..at }
        };
        push(&mut out, Share { times: 1, size: *size, part: part(inner, here, !across)? });
        next = from + size;
    }
    left(end - next, &mut out);
    Some(if across { Part::Across(out) } else { Part::Along(out) })
}

/// Adds a share, joined to the one before where they are alike.
fn push(out: &mut Vec<Share>, share: Share) {
    match out.last_mut() {
        Some(last) if last.size == share.size && last.part == share.part => last.times += share.times,
        _ => out.push(share),
    }
}

/// The cloth between pieces: bands between the heights at which a piece starts or ends, each cut
/// where a piece is in the way, equal gaps of neighbouring bands joined.
pub(super) fn gaps(cloth: Rect, pieces: &[Rect]) -> Vec<Rect> {
    let mut order: Vec<&Rect> = pieces.iter().collect();
    order.sort_by_key(|at| (at.y, at.x));
    let mut marks: Vec<i64> = order.iter().flat_map(|at| [at.y, at.y + at.along]).collect();
    marks.extend([cloth.y, cloth.y + cloth.along]);
    marks.sort_unstable();
    marks.dedup();
    let mut done = Vec::new();
    let mut open: Vec<Rect> = Vec::new();
    let mut ahead = order.into_iter().peekable();
    let mut here: Vec<&Rect> = Vec::new();
    for band in marks.windows(2) {
        let &[from, to] = band else { continue };
        here.retain(|at| at.y + at.along > from);
        here.extend(std::iter::from_fn(|| ahead.next_if(|at| at.y < to)));
        let mut in_way: Vec<(i64, i64)> = here.iter().map(|at| (at.x, at.x + at.across)).collect();
        in_way.sort_unstable();
        in_way.push((cloth.x + cloth.across, cloth.x + cloth.across));
        let mut next = cloth.x;
        let mut band = Vec::new();
        for (start, end) in in_way {
            if start > next {
                band.push(Rect { x: next, y: from, across: start - next, along: to - from });
            }
            next = next.max(end);
        }
        for gap in &mut band {
            if let Some(at) = open.iter().position(|one| (one.x, one.across) == (gap.x, gap.across)) {
                let before = open.swap_remove(at);
                *gap = Rect { along: before.along + gap.along, ..before };
            }
        }
        done.append(&mut open);
        open = band;
    }
    done.append(&mut open);
    done
}
