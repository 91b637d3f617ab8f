//! Strips right across the cloth, each cut into columns of one piece: the shortest plan, and proof.

mod bound;
mod heights;
mod levels;

use super::cover::{Cuts, cover};
use super::found::{Found, Pieces};
use super::kinds::{Cell, Kinds, Strip};
use super::simple;
use super::steps::Few;
use super::work::Work;
use heights::{Heights, sides};

/// More kinds of pieces than this are laid in simple strips.
const MOST_KINDS: usize = 400;

/// Work for finding few steps of width.
const FEW_WIDTHS: u64 = 100_000;

/// The shortest strips found, and a bound on all strips.
pub(super) fn plan(kinds: &Kinds, work: &mut Work<'_>) -> Found {
    let simple = simple::strips(kinds);
    let length = simple::length(&simple);
    let bound = bound::quick(kinds);
    if length <= bound || kinds.items.len() > MOST_KINDS {
        return Found { pieces: Pieces::Strips(simple), length, bound: bound.min(length) };
    }
    let few = work.whole(FEW_WIDTHS, |some| Few::of(&sides(kinds, |(across, _)| across), kinds.width, some));
    let stock = levels::stock(kinds, few.as_ref());
    let mut heights = Heights::up_to(length, kinds, few.is_some());
    let covered = cover(&stock, (length, bound), &Vec::new(), &mut heights, work);
    match covered.cuts {
        Some(cuts) => {
            let strips = strips(kinds, &cuts, &stock);
            debug_assert_eq!(simple::length(&strips), covered.cost);
            Found { length: covered.cost, pieces: Pieces::Strips(strips), bound: covered.bound }
        }
        None => Found { pieces: Pieces::Strips(simple), length, bound: covered.bound },
    }
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
