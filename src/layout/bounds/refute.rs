//! Whether a length of cloth is too short, by weights of sides across and along at once.

use super::super::kinds::Kinds;
use super::super::work::Work;
use super::knapsack::{Knapsack, Thing};
use super::slices::{Row, Weights, count, weigh, weight_of_all};

/// Sides are told apart in at most so many steps; past it they are rounded down.
const FINEST: i64 = 8192;

/// What a slice holds, in weights for a search.
const SCALE: i64 = 1 << 13;

/// Weights of sides by how often they go into the whole, for so many parts of the whole.
const PARTS: i64 = 14;

/// The pieces' sides, one entry a kind and way.
#[derive(Clone, Debug)]
pub(in super::super) struct Sides<'s> {
    counts: Vec<u64>,
    width: i64,
    ways: Vec<Way>,
    knapsack: Knapsack<'s>,
}

#[derive(Clone, Copy, Debug)]
struct Way {
    item: usize,
    across: i64,
    along: i64,
}

/// A direction: the size of each way in it, and the size of the whole.
struct Span {
    sizes: Vec<i64>,
    whole: i64,
}

impl Span {
    /// Sizes rounded down where they are too fine to tell apart.
    fn of(sizes: Vec<i64>, whole: i64) -> Span {
        if whole <= FINEST {
            return Span { sizes, whole };
        }
        let scaled = |size: i64| {
            i64::try_from(i128::from(size) * i128::from(FINEST) / i128::from(whole)).unwrap_or(FINEST)
        };
        Span { sizes: sizes.into_iter().map(scaled).collect(), whole: FINEST }
    }

    /// Weights by the number of times that a size goes into the whole, of `parts`.
    fn parted(
        &self,
        ways: &[Way],
        counts: &[u64],
        parts: i64,
        strict: bool,
        knapsack: &mut Knapsack<'_>,
    ) -> Weights {
        // Strictly more than a whole number of parts of the whole, or at least that.
        let whole = if strict { self.whole.saturating_add(1) } else { self.whole };
        let each = self.sizes.iter().map(|size| (*size).saturating_mul(parts) / whole.max(1)).collect();
        self.exact(ways, counts, each, knapsack)
    }

    /// The sizes themselves, as weights.
    fn plain(&self, ways: &[Way], counts: &[u64], knapsack: &mut Knapsack<'_>) -> Weights {
        self.exact(ways, counts, self.sizes.clone(), knapsack)
    }

    fn exact(&self, ways: &[Way], counts: &[u64], each: Vec<i64>, knapsack: &mut Knapsack<'_>) -> Weights {
        let things: Vec<Thing> = ways
            .iter()
            .zip(&self.sizes)
            .zip(&each)
            .map(|((way, size), weight)| Thing {
                size: *size,
                count: count(counts, way.item),
                weight: *weight,
            })
            .collect();
        let (full, _) = knapsack.fill(&things, self.whole);
        Weights { each, full }
    }

    /// The best weights in this direction for given weights in the other.
    fn best(
        &self,
        ways: &[Way],
        counts: &[u64],
        other: &[i64],
        knapsack: &mut Knapsack<'_>,
    ) -> Option<Weights> {
        let rows: Vec<Row> = ways
            .iter()
            .zip(&self.sizes)
            .zip(other)
            .map(|((way, size), pay)| Row { item: way.item, size: *size, pay: *pay })
            .collect();
        weigh(&rows, counts, self.whole, knapsack)
    }
}

impl<'s> Sides<'s> {
    /// The sides of all kinds, each way it may lie on the width.
    pub fn of(kinds: &Kinds, work: Work<'s>) -> Sides<'s> {
        let mut ways = Vec::new();
        for (at, item) in kinds.items.iter().enumerate() {
            ways.extend(item.ways(kinds.width).map(|way| {
                let (across, along) = item.lies(way);
                Way { item: at, across, along }
            }));
        }
        let counts = kinds.items.iter().map(|item| item.count).collect();
        Sides { counts, width: kinds.width, ways, knapsack: Knapsack::new(work) }
    }

    /// The work that is left.
    pub fn rest(self) -> Work<'s> {
        self.knapsack.work
    }

    /// A length that slices across the cloth need in sum, however they follow each other.
    pub fn sliced(&mut self) -> i64 {
        let span = Span::of(self.ways.iter().map(|way| way.across).collect(), self.width);
        let along: Vec<i64> = self.ways.iter().map(|way| way.along).collect();
        let Some(found) = span.best(&self.ways, &self.counts, &along, &mut self.knapsack) else { return 0 };
        let weight = weight_of_ways(&self.ways, &self.counts, &found.each, &along);
        let full = i128::from(found.full.max(1));
        i64::try_from(weight / full + i128::from(weight % full != 0)).unwrap_or(0)
    }

    /// Weights of sides across and along, by kind and way, for a search on cloth of this length: a
    /// way that is too long weighs nothing.
    pub fn weights(&mut self, length: i64) -> (Vec<Vec<i64>>, Vec<Vec<i64>>) {
        let across: Vec<i64> = self.ways.iter().map(|way| way.across).collect();
        let along: Vec<i64> = self.ways.iter().map(|way| way.along).collect();
        let best = |sizes: &[i64], whole: i64, pays: &[i64], knapsack: &mut Knapsack<'_>| {
            let found = Span::of(sizes.to_vec(), whole).best(&self.ways, &self.counts, pays, knapsack);
            let Some(found) = found else { return Vec::new() };
            let mut weights = vec![Vec::new(); self.counts.len()];
            for (way, weight) in self.ways.iter().zip(found.each) {
                if let Some(weights) = weights.get_mut(way.item) {
                    weights.push(weight / (found.full / SCALE).max(1));
                }
            }
            weights
        };
        let first = best(&across, self.width, &along, &mut self.knapsack);
        (first, best(&along, length, &across, &mut self.knapsack))
    }

    /// Whether no layout has this length. `false` means that none of the weights tried says so.
    pub fn too_short(&mut self, length: i64) -> bool {
        let ways: Vec<Way> = self.ways.iter().copied().filter(|way| way.along <= length).collect();
        if (0..self.counts.len()).any(|item| !ways.iter().any(|way| way.item == item)) {
            return true;
        }
        let spans = Spans {
            counts: &self.counts,
            across: Span::of(ways.iter().map(|way| way.across).collect(), self.width),
            along: Span::of(ways.iter().map(|way| way.along).collect(), length),
            ways: &ways,
        };
        (0..4 * PARTS).any(|start| !self.knapsack.work.out() && spans.refuted(start, &mut self.knapsack))
    }
}

/// Both directions of a cloth of some length.
struct Spans<'a> {
    ways: &'a [Way],
    counts: &'a [u64],
    across: Span,
    along: Span,
}

impl Spans<'_> {
    /// From one of several weights to start with, the best in the other direction, and back, while
    /// that gains: whether the pieces come to more than the cloth.
    fn refuted(&self, start: i64, knapsack: &mut Knapsack<'_>) -> bool {
        let mut along = start % 2 == 0;
        let span = if along { &self.along } else { &self.across };
        let (parts, strict) = (start / 4 + 1, start / 2 % 2 == 1);
        let mut partner = if parts == 1 {
            if strict {
                return false;
            }
            span.plain(self.ways, self.counts, knapsack)
        } else {
            span.parted(self.ways, self.counts, parts, strict, knapsack)
        };
        let mut was = 0i128;
        loop {
            along = !along;
            let span = if along { &self.along } else { &self.across };
            let Some(found) = span.best(self.ways, self.counts, &partner.each, knapsack) else {
                return false;
            };
            let weight = weight_of_ways(self.ways, self.counts, &found.each, &partner.each);
            let whole = i128::from(found.full) * i128::from(partner.full);
            if weight > whole {
                return true;
            }
            let now = weight / (whole >> 16).max(1);
            if now <= was {
                return false;
            }
            was = now;
            partner = found;
        }
    }
}

/// What all pieces count for, by weights in both directions.
fn weight_of_ways(ways: &[Way], counts: &[u64], some: &[i64], others: &[i64]) -> i128 {
    let row = |(way, pay): (&Way, &i64)| Row { item: way.item, size: 0, pay: *pay };
    let rows: Vec<Row> = ways.iter().zip(others).map(row).collect();
    weight_of_all(&rows, counts, some)
}
