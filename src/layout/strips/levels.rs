//! The heights that strips can have, and what lies in a strip of each.

use crate::layout::cover::{Level, Stock, Way};
use crate::layout::kinds::{Item, Kinds};
use crate::layout::steps::Few;

/// Whether a piece that turns lies flat in a strip of this height: it stands, which takes less of
/// the width, wherever the strip is high enough.
pub(super) fn flat(item: &Item, height: i64) -> bool {
    item.turns && item.along > height
}

/// Strips of each height that is the side of some piece, as a stock; widths in few steps, where there are
/// such.
pub(super) fn stock(kinds: &Kinds, few: Option<&Few>) -> Stock {
    let width = few.map_or(kinds.width, Few::whole);
    let mut heights: Vec<i64> =
        kinds.items.iter().flat_map(|item| item.ways(kinds.width).map(|way| item.lies(way).1)).collect();
    heights.sort_unstable();
    heights.dedup();
    let wanted = kinds.items.iter().map(|item| i64::try_from(item.count).unwrap_or(i64::MAX)).collect();
    let mut stock = Stock { wanted, ..Stock::default() };
    let mut list: Vec<Way> = Vec::new();
    let mut lists = 0;
    for height in heights {
        // A piece that stands from here on does not lie flat any more: a list of its own.
        let stands =
            |way: &Way| kinds.items.get(way.item).is_some_and(|item| item.turns && item.along == height);
        if list.iter().any(stands) {
            stock.lists.push(list.clone());
            lists += 1;
            list.retain(|way| !stands(way));
        }
        let from = list.len();
        list.extend(fresh(kinds, few, height));
        let upto = list.len();
        stock.levels.push(Level { cost: height, width, limit: None, list: lists, upto, from });
    }
    stock.lists.push(list);
    stock
}

/// The pieces that are as high as a strip, the narrowest first.
fn fresh(kinds: &Kinds, few: Option<&Few>, height: i64) -> Vec<Way> {
    let high = |(at, item): (usize, &Item)| {
        let mut ways = item.ways(kinds.width).filter(|way| item.lies(*way).1 == height);
        let across = |way: bool| few.map_or(item.lies(way).0, |few| few.side(item.lies(way).0));
        ways.next().map(|way| Way { item: at, across: across(way) })
    };
    let mut fresh: Vec<Way> = kinds.items.iter().enumerate().filter_map(high).collect();
    fresh.sort_by_key(|way| (way.across, way.item));
    fresh
}
