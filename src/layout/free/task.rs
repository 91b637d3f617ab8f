//! What a search is to do.

use super::super::bounds;
use super::super::kinds::{self, Kinds};
use super::super::search::Weights;
use super::super::work::Work;

/// More sums of sides than this are not told apart.
const MOST_SUMS: usize = 20_000;

/// A kind of piece, as the search sees it.
#[derive(Clone, Debug)]
pub(in super::super) struct Sort {
    /// How many.
    pub count: u32,
    /// Across and along, each way it may lie.
    pub ways: Vec<(i64, i64)>,
    /// Whether it lies turned so.
    turned: Vec<bool>,
}

/// A piece laid.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    /// Index into [`Task::kinds`].
    pub kind: usize,
    /// Index into the ways it may lie.
    pub way: usize,
    /// From the left.
    pub x: i64,
    /// From the near end.
    pub y: i64,
}

/// A cloth of a certain length, and what is to go onto it.
#[derive(Clone, Debug, Default)]
pub(in super::super) struct Task {
    /// Across.
    pub width: i64,
    /// How far it goes along.
    pub top: i64,
    /// What goes onto it.
    pub kinds: Vec<Sort>,
    /// Weights of sides across, by kind and way; none where they are not known.
    pub weights_across: Vec<Vec<i64>>,
    /// Weights of sides along.
    pub weights_along: Vec<Vec<i64>>,
    /// What is across the cloth is along the task, and the other way round.
    aside: bool,
}

impl Task {
    /// The pieces as they lie, without end to the cloth.
    pub fn plain(kinds: &Kinds) -> Task {
        let top = i64::MAX / 4;
        Task { width: kinds.width, top, kinds: sorts(kinds, top, false), ..Task::default() }
    }

    /// The pieces on a cloth of this length; `aside` takes what is across for what is along.
    pub fn of(kinds: &Kinds, weights: Weights, length: i64, aside: bool) -> Task {
        let sorts = sorts(kinds, length, aside);
        let (mut weights_across, mut weights_along) = weights;
        for weights in [&mut weights_across, &mut weights_along] {
            for (item, weights) in kinds.items.iter().zip(weights) {
                let mut ways = item.ways(kinds.width);
                weights.retain(|_| ways.next().is_some_and(|way| item.lies(way).1 <= length));
            }
        }
        let (mut width, mut top) = (kinds.width, length);
        if aside {
            (width, top) = (top, width);
            (weights_across, weights_along) = (weights_along, weights_across);
        }
        Task { width, top, kinds: sorts, weights_across, weights_along, aside }
    }

    /// Across and along of a piece of a kind laid some way.
    pub(super) fn sides(&self, kind: usize, way: usize) -> (i64, i64) {
        let sort = self.kinds.get(kind);
        sort.and_then(|sort| sort.ways.get(way)).copied().unwrap_or_default()
    }

    /// A piece of a kind laid some way at a place, as it lies on the cloth.
    pub fn placed(&self, kind: usize, way: usize, x: i64, y: i64) -> kinds::Spot {
        self.spot(&Spot { kind, way, x, y })
    }

    /// A piece laid by the search, as it lies on the cloth.
    pub(super) fn spot(&self, spot: &Spot) -> kinds::Spot {
        let sort = self.kinds.get(spot.kind);
        let turned = sort.and_then(|sort| sort.turned.get(spot.way)).copied().unwrap_or(false);
        let (x, y) = if self.aside { (spot.y, spot.x) } else { (spot.x, spot.y) };
        kinds::Spot { item: spot.kind, turned, x, y }
    }

    /// The area of all pieces.
    pub fn area(&self) -> i64 {
        let each = |kind: &Sort| kind.ways.first().map_or(0, |way| way.0 * way.1);
        self.kinds.iter().map(|kind| i64::from(kind.count) * each(kind)).sum()
    }

    /// Sums of sides across, in order; `None` where they are too many.
    pub(super) fn sums(&self, work: &mut Work<'_>) -> Option<Vec<i64>> {
        let each =
            |sort: &Sort| sort.ways.iter().map(|way| (way.0, u64::from(sort.count))).collect::<Vec<_>>();
        let sides: Vec<(i64, u64)> = self.kinds.iter().flat_map(each).collect();
        bounds::sums(&sides, self.width, MOST_SUMS, work)
    }

    /// How many pieces there are.
    pub fn pieces(&self) -> i64 {
        self.kinds.iter().map(|kind| i64::from(kind.count)).sum()
    }

    /// The narrowest and the lowest of the pieces left.
    pub fn least(&self, counts: &[u32]) -> (i64, i64) {
        let mut least = (i64::MAX / 4, i64::MAX / 4);
        for (kind, _) in self.kinds.iter().zip(counts).filter(|(_, count)| **count > 0) {
            for (across, along) in &kind.ways {
                least = (least.0.min(*across), least.1.min(*along));
            }
        }
        least
    }
}

/// The kinds of pieces, in the ways that go onto cloth of this length.
fn sorts(kinds: &Kinds, length: i64, aside: bool) -> Vec<Sort> {
    let mut sorts = Vec::with_capacity(kinds.items.len());
    for item in &kinds.items {
        let mut sort =
            Sort { count: u32::try_from(item.count).unwrap_or(u32::MAX), ways: vec![], turned: vec![] };
        for way in item.ways(kinds.width) {
            let (across, along) = item.lies(way);
            if along <= length {
                sort.ways.push(if aside { (along, across) } else { (across, along) });
                sort.turned.push(way);
            }
        }
        sorts.push(sort);
    }
    sorts
}
