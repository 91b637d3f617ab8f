//! Strips right across the cloth, each cut into columns of one piece: the shortest plan, and proof.

mod bound;
mod levels;

use super::bounds::Ends;
use super::cover::{Cuts, cover};
use super::found::{Found, Pieces};
use super::kinds::{Cell, Item, Kinds, Strip};
use super::simple;
use super::steps::{Few, Spans};
use super::work::Work;

/// More kinds of pieces than this are laid in simple strips.
const MOST_KINDS: usize = 400;

/// The shortest strips found, and a bound on all strips.
pub(super) fn plan(kinds: &Kinds, work: &mut Work<'_>) -> Found {
    let simple = simple::strips(kinds);
    let length = simple::length(&simple);
    let bound = bound::quick(kinds);
    if length <= bound || kinds.items.len() > MOST_KINDS {
        return Found { pieces: Pieces::Strips(simple), length, bound: bound.min(length) };
    }
    let few = Few::of(&sides(kinds, |(across, _)| across), kinds.width, work);
    let stock = levels::stock(kinds, few.as_ref());
    let heights = few.and_then(|_| Spans::of(&sides(kinds, |(_, along)| along), length, work));
    let covered = match heights {
        Some(spans) => cover(&stock, (length, bound), &Vec::new(), &|length| spans.reach(length), work),
        None => {
            let ends = Ends::of(kinds, length, work);
            cover(&stock, (length, bound), &Vec::new(), &|length| ends.reach(length), work)
        }
    };
    match covered.cuts {
        Some(cuts) => {
            let strips = strips(kinds, &cuts, &stock);
            Found { length: simple::length(&strips), pieces: Pieces::Strips(strips), bound: covered.bound }
        }
        None => Found { pieces: Pieces::Strips(simple), length, bound: covered.bound },
    }
}

/// A side of each way that each kind may lie, and how many there are of it.
fn sides(kinds: &Kinds, side: impl Fn((i64, i64)) -> i64) -> Vec<(i64, u64)> {
    let each = |item: &Item| item.ways(kinds.width).map(|way| (side(item.lies(way)), item.count)).collect();
    kinds.items.iter().flat_map::<Vec<_>, _>(each).collect()
}

/// Patterns as strips, the highest first, in each the highest pieces first.
fn strips(kinds: &Kinds, cuts: &Cuts, stock: &super::cover::Stock) -> Vec<Strip> {
    let mut out: Vec<Strip> = Vec::with_capacity(cuts.len());
    for (pattern, times) in cuts {
        let Some(level) = stock.levels.get(pattern.level) else { continue };
        let mut cells = Vec::with_capacity(pattern.holds.len());
        let mut height = 0;
        for (at, count) in &pattern.holds {
            let Some(item) = kinds.items.get(*at) else { continue };
            let turned = levels::flat(item, level.cost);
            height = height.max(item.lies(turned).1);
            cells.push(Cell { item: *at, turned, count: count.unsigned_abs() });
        }
        let along = |cell: &Cell| kinds.items.get(cell.item).map_or((0, 0), |item| item.lies(cell.turned));
        cells.sort_by_key(|cell| {
            let (across, along) = along(cell);
            (std::cmp::Reverse(along), std::cmp::Reverse(across), cell.item)
        });
        out.push(Strip { times: times.unsigned_abs(), height, cells });
    }
    out.sort_by_key(|strip| std::cmp::Reverse(strip.height));
    simple::joined(out)
}
