//! The planner of pieces that lie anyhow, without overlap.

mod beam;
mod room;
mod sky;

use beam::{Manner, Outcome};

use super::bounds;
use super::kinds::{Kinds, Spot};
use super::roll::{Found, Pieces};
use super::simple;

/// More pieces than this are not laid one by one.
const MOST_PIECES: u64 = 5000;

/// So many edges are kept at most.
const WIDEST: usize = 1 << 14;

/// Larger cloths, in square steps, are not searched.
const MOST_AREA: i128 = 1 << 54;

/// A kind of piece, as the search sees it.
#[derive(Clone, Debug)]
struct Sort {
    count: u32,
    /// Across and along, each way it may lie.
    ways: Vec<(i64, i64)>,
}

/// A cloth of a certain length, and what is to go onto it.
#[derive(Clone, Debug)]
struct Task {
    width: i64,
    top: i64,
    kinds: Vec<Sort>,
    weights_across: Vec<Vec<i64>>,
    weights_along: Vec<Vec<i64>>,
}

impl Task {
    fn of(kinds: &Kinds, top: i64) -> Task {
        let sorts = kinds.items.iter().map(|item| Sort {
            count: u32::try_from(item.count).unwrap_or(u32::MAX),
            ways: item.ways(kinds.width).map(|way| item.lies(way)).collect(),
        });
        Task {
            width: kinds.width,
            top,
            kinds: sorts.collect(),
            weights_across: vec![],
            weights_along: vec![],
        }
    }

    fn area(&self) -> i64 {
        self.kinds.iter().map(|kind| i64::from(kind.count) * kind.ways[0].0 * kind.ways[0].1).sum()
    }

    fn pieces(&self) -> i64 {
        self.kinds.iter().map(|kind| i64::from(kind.count)).sum()
    }

    /// The narrowest and the lowest of the pieces left.
    fn least(&self, counts: &[u32]) -> (i64, i64) {
        let mut least = (i64::MAX / 4, i64::MAX / 4);
        for (kind, _) in self.kinds.iter().zip(counts).filter(|(_, count)| **count > 0) {
            for (across, along) in &kind.ways {
                least = (least.0.min(*across), least.1.min(*along));
            }
        }
        least
    }
}

/// The shortest layout found.
pub(super) fn plan(kinds: &Kinds, budget: u64) -> Found {
    let strips = simple::strips(kinds);
    let length = simple::length(&strips);
    let mut found = Found { length, bound: 0, pieces: Pieces::Strips(strips) };
    found.bound = bounds::any(kinds, length, budget / 4);
    if !small(kinds, length) {
        return found;
    }
    let ends = bounds::Ends::of(kinds, length);
    let mut work = budget - budget / 4;
    let mut beam = 4;
    while found.bound < found.length && work > 0 && beam <= WIDEST {
        // Between what is known and what is not, by halves; then with more edges kept.
        let mut low = found.bound;
        while low < found.length && work > 0 {
            let tried = ends.from(low, ends.between(low, found.length) / 2).min(found.length - 1);
            let task = Task::of(kinds, tried);
            match beam::look(&task, Manner { beam, thrift: 4, level: 0 }, &mut work) {
                Outcome::Laid(spots) => {
                    found.length = spots
                        .iter()
                        .map(|spot| spot.y + task.kinds[spot.kind].ways[spot.way].1)
                        .max()
                        .unwrap_or(0);
                    found.pieces = Pieces::Spots(spots.iter().map(|spot| placed(kinds, spot)).collect());
                }
                Outcome::Unknown => low = ends.from(tried + 1, 0),
            }
        }
        beam *= 2;
    }
    found.bound = found.bound.min(found.length);
    found
}

/// Whether the pieces are few enough to be laid one by one, and areas are in range.
fn small(kinds: &Kinds, length: i64) -> bool {
    let pieces = kinds.items.iter().fold(0u64, |sum, item| sum.saturating_add(item.count));
    let area = i128::from(kinds.width) * i128::from(length);
    pieces <= MOST_PIECES && area <= MOST_AREA
}

fn placed(kinds: &Kinds, spot: &beam::Spot) -> Spot {
    let item = &kinds.items[spot.kind];
    let turned = item.ways(kinds.width).nth(spot.way).unwrap_or(false);
    Spot { item: spot.kind, turned, x: spot.x, y: spot.y }
}
