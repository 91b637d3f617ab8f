//! The heights that strips add up to.

use crate::layout::bounds::Ends;
use crate::layout::cover::Sums;
use crate::layout::kinds::{Item, Kinds};
use crate::layout::steps::Spans;
use crate::layout::work::Work;

/// The sums of heights up to a length, as far as they are known.
pub(super) struct Heights<'a> {
    kinds: &'a Kinds,
    most: i64,
    /// Whether sides are near a ruler, so that their sums are in spans.
    near: bool,
    known: Known,
}

enum Known {
    Nothing,
    Spans(Spans),
    Ends(Ends),
}

impl<'a> Heights<'a> {
    /// Nothing is known at first.
    pub fn up_to(most: i64, kinds: &'a Kinds, near: bool) -> Heights<'a> {
        Heights { kinds, most, near, known: Known::Nothing }
    }
}

impl Sums for Heights<'_> {
    fn attainable(&self, cost: i64) -> i64 {
        match &self.known {
            Known::Nothing => cost,
            Known::Spans(spans) => spans.attainable(cost),
            Known::Ends(ends) => ends.attainable(cost),
        }
    }

    fn look(&mut self, work: &mut Work<'_>) -> bool {
        let along = sides(self.kinds, |(_, along)| along);
        let spans = if self.near { Spans::of(&along, self.most, work) } else { None };
        self.known = match spans {
            Some(spans) => Known::Spans(spans),
            None => Ends::listed(self.kinds, self.most, work).map_or(Known::Nothing, Known::Ends),
        };
        !matches!(self.known, Known::Nothing)
    }
}

/// A side of each way that each kind may lie, and how many there are of it.
pub(super) fn sides(kinds: &Kinds, side: impl Fn((i64, i64)) -> i64) -> Vec<(i64, u64)> {
    let each = |item: &Item| item.ways(kinds.width).map(|way| (side(item.lies(way)), item.count)).collect();
    kinds.items.iter().flat_map::<Vec<_>, _>(each).collect()
}
