//! Simple strips: the highest pieces first, each into the first strip with room for it.
//!
//! Equal strips are one entry with a count, so that a million napkins cost no more than one.

use std::cmp::Reverse;
use std::collections::HashMap;

use super::kinds::{Cell, Item, Kinds, Strip};

/// With so few pieces that may turn, every choice of turning is tried.
const TRY_ALL_TURNS: usize = 7;

/// So many kinds of strip are kept open for lower pieces; it bounds the work of very long cut lists.
const OPEN: usize = 500;

/// Simple strips, the shortest of those tried.
///
/// Pieces lie as they are unless turning them saves cloth.
pub(super) fn strips(kinds: &Kinds) -> Vec<Strip> {
    let tried = turnings(kinds).into_iter().map(|turning| pack(kinds, &turning));
    tried.min_by_key(|strips| length(strips)).unwrap_or_default()
}

/// The length that strips take.
pub(super) fn length(strips: &[Strip]) -> i64 {
    let each = |strip: &Strip| strip.height.saturating_mul(i64::try_from(strip.times).unwrap_or(i64::MAX));
    strips.iter().fold(0, |sum, strip| sum.saturating_add(each(strip)))
}

/// The ways of turning pieces that are tried, the one nearest to what is written first.
fn turnings(kinds: &Kinds) -> Vec<Vec<bool>> {
    let mut written = Vec::with_capacity(kinds.items.len());
    let mut free = Vec::new();
    for (at, item) in kinds.items.iter().enumerate() {
        let ways: Vec<bool> = item.ways(kinds.width).collect();
        if ways.len() > 1 {
            free.push(at);
        }
        written.push(ways.first().copied().unwrap_or(false));
    }
    let choose = |rule: &dyn Fn(usize, &Item) -> bool| {
        let mut turning = written.clone();
        for at in &free {
            if let (Some(turn), Some(item)) = (turning.get_mut(*at), kinds.items.get(*at)) {
                *turn = rule(*at, item);
            }
        }
        turning
    };
    if free.len() <= TRY_ALL_TURNS {
        let bit = |at: usize| free.iter().position(|one| *one == at).unwrap_or(0);
        return (0..1u32 << free.len()).map(|set| choose(&|at, _| set >> bit(at) & 1 == 1)).collect();
    }
    vec![
        written.clone(),
        choose(&|_, item| alone(kinds.width, item, true) < alone(kinds.width, item, false)),
        choose(&|_, item| item.along > item.across),
        choose(&|_, item| item.along < item.across),
    ]
}

/// How many things of this width lie side by side.
fn fit(width: i64, across: i64) -> u64 {
    u64::try_from(width / across.max(1)).unwrap_or(0)
}

/// The length of cloth that a kind of piece takes by itself.
fn alone(width: i64, item: &Item, turned: bool) -> u128 {
    let (across, along) = item.lies(turned);
    let strips = item.count.div_ceil(fit(width, across).max(1));
    u128::from(strips) * u128::from(along.unsigned_abs())
}

/// Equal strips while they are being filled.
struct Open {
    strip: Strip,
    left: i64,
}

impl Open {
    /// As many strips of this kind, with some pieces more in each.
    fn with(&self, count: u64, cell: Cell, across: i64) -> Open {
        let mut cells = self.strip.cells.clone();
        // `cell.count` was computed to fit what is left.
        let taken = across.saturating_mul(i64::try_from(cell.count).unwrap_or(i64::MAX));
        cells.push(cell);
        Open {
            strip: Strip { times: count, height: self.strip.height, cells },
            left: self.left.saturating_sub(taken),
        }
    }
}

/// First fit, highest first.
fn pack(kinds: &Kinds, turning: &[bool]) -> Vec<Strip> {
    let mut order: Vec<(usize, &Item, bool)> =
        kinds.items.iter().zip(turning).enumerate().map(|(at, (item, turned))| (at, item, *turned)).collect();
    order.sort_by_key(|(_, item, turned)| {
        let (across, along) = item.lies(*turned);
        Reverse((along, across))
    });
    let narrowest = order.iter().map(|(_, item, turned)| item.lies(*turned).0).min().unwrap_or(1);
    let mut open: Vec<Open> = Vec::new();
    let mut closed: Vec<Strip> = Vec::new();
    for (at, item, turned) in order {
        let (across, along) = item.lies(turned);
        let cell = Cell { item: at, count: 0, turned };
        let mut rest = item.count;
        open = share(open, &mut rest, cell, across);
        let fresh =
            Open { strip: Strip { times: rest, height: along, cells: Vec::new() }, left: kinds.width };
        fill(fresh, &mut rest, cell, across, &mut open);
        close(&mut open, &mut closed, narrowest);
    }
    closed.extend(open.into_iter().map(|open| open.strip));
    closed.sort_by_key(|strip| Reverse(strip.height));
    joined(closed)
}

/// Puts pieces into the strips that have room, in order.
fn share(open: Vec<Open>, rest: &mut u64, cell: Cell, across: i64) -> Vec<Open> {
    let mut next = Vec::with_capacity(open.len() + 4);
    for strip in open {
        if *rest == 0 || fit(strip.left, across) == 0 {
            next.push(strip);
        } else {
            fill(strip, rest, cell, across, &mut next);
        }
    }
    next
}

/// Fills equal strips: some to the full, one with what is over, the others untouched. Strips that
/// hold nothing yet and stay so are not cut at all.
fn fill(strip: Open, rest: &mut u64, cell: Cell, across: i64, out: &mut Vec<Open>) {
    let each = fit(strip.left, across);
    if each == 0 || *rest == 0 {
        return;
    }
    let full = (*rest / each).min(strip.strip.times);
    if full > 0 {
        out.push(strip.with(full, Cell { count: each, ..cell }, across));
        *rest -= full.saturating_mul(each);
    }
    let mut untouched = strip.strip.times - full;
    if untouched > 0 && *rest > 0 {
        out.push(strip.with(1, Cell { count: *rest, ..cell }, across));
        *rest = 0;
        untouched -= 1;
    }
    if untouched > 0 && !strip.strip.cells.is_empty() {
        out.push(Open { strip: Strip { times: untouched, ..strip.strip }, left: strip.left });
    }
}

/// Strips that can take nothing more, and the oldest of too many, are done with.
fn close(open: &mut Vec<Open>, closed: &mut Vec<Strip>, narrowest: i64) {
    let mut surplus = open.len().saturating_sub(OPEN);
    open.retain_mut(|strip| {
        let done = strip.left < narrowest || surplus > 0;
        if done {
            surplus = surplus.saturating_sub(1);
            let cells = std::mem::take(&mut strip.strip.cells);
            closed.push(Strip { cells, ..strip.strip });
        }
        !done
    });
}

/// Joins strips that came out alike.
pub(super) fn joined(strips: Vec<Strip>) -> Vec<Strip> {
    let mut out: Vec<Strip> = Vec::new();
    let mut known: HashMap<(i64, Vec<Cell>), usize> = HashMap::new();
    for strip in strips {
        let at = *known.entry((strip.height, strip.cells.clone())).or_insert(out.len());
        match out.get_mut(at) {
            Some(alike) => alike.times = alike.times.saturating_add(strip.times),
            None => out.push(strip),
        }
    }
    out
}
