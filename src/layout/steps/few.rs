//! Widths and heights of one job in few steps, for plans in strips.

use std::collections::BTreeMap;

use super::super::work::Work;
use super::near;
use super::sums::Sums;
use super::{FEW, in_steps};

/// Widths in few steps that hold the same sums.
#[derive(Clone, Debug)]
pub(in crate::layout) struct Few {
    sides: BTreeMap<i128, i64>,
    whole: i64,
}

impl Few {
    /// Few steps for sides beside each other on a width, and how many there are of each; `None` where it has
    /// few steps as it is, or none were found that tell all sums as it does.
    pub fn of(sides: &[(i64, u64)], width: i64, work: &mut Work<'_>) -> Option<Few> {
        let width = i128::from(width);
        if width <= FEW {
            return None;
        }
        let sides = distinct(sides);
        let sizes: Vec<i128> = sides.iter().map(|side| side.0).collect();
        let mut few = None;
        near::rulers(&sizes, (width, FEW), work, &mut |steps, work| {
            let sums = Sums::up_to(&in_steps(&steps, &sides), width, work);
            let whole = sums.and_then(|sums| sums.within(width)).filter(|(tight, loose)| tight == loose);
            few = whole.map(|(whole, _)| Few { sides: steps, whole });
            few.is_some()
        });
        few
    }

    /// The width in steps.
    pub fn whole(&self) -> i64 {
        self.whole
    }

    /// A side in steps.
    pub fn side(&self, side: i64) -> i64 {
        self.sides.get(&i128::from(side)).copied().unwrap_or(side)
    }
}

/// Spans that all sums of sides are in.
#[derive(Clone, Debug, Default)]
pub(in crate::layout) struct Spans(Vec<(i64, i64)>);

impl Spans {
    /// The spans of sums up to `most`; `None` where sides are near no ruler, or that is too much work.
    pub fn of(sides: &[(i64, u64)], most: i64, work: &mut Work<'_>) -> Option<Spans> {
        let sides = distinct(sides);
        let sizes: Vec<i128> = sides.iter().map(|side| side.0).collect();
        let longest = *sizes.last()?;
        let mut spans = None;
        near::rulers(&sizes, (longest, FEW), work, &mut |steps, work| {
            let sums = Sums::up_to(&in_steps(&steps, &sides), i128::from(most), work);
            spans = sums.and_then(|sums| sums.spans()).map(Spans);
            true
        });
        spans
    }

    /// No sum from `at` on is below this.
    pub fn attainable(&self, at: i64) -> i64 {
        let next = self.0.partition_point(|span| span.1 < at);
        self.0.get(next).map_or(at, |span| span.0.max(at))
    }
}

/// Sides in order, each once.
fn distinct(sides: &[(i64, u64)]) -> Vec<(i128, u64)> {
    let mut all: BTreeMap<i128, u64> = BTreeMap::new();
    for (side, count) in sides.iter().filter(|side| side.0 > 0) {
        let sum = all.entry(i128::from(*side)).or_default();
        *sum = sum.saturating_add(*count);
    }
    all.into_iter().collect()
}
