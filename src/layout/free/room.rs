//! How much a partly covered cloth can still hold, at most.
//!
//! What is free is cut into slices across and into columns along. A slice holds no more than the
//! largest sum of sides that goes into it, by size and by the weights that the bounds use.

use super::super::work::Work;
use super::held::{Rows, Thing};
use super::sky::Step;
use super::task::Task;

/// Sizes are told apart in at most so many parts of the whole; past it they are rounded down.
const MOST_PARTS: u64 = 8192;

/// Kinds from this one on are left or not left together.
const SHARED: usize = 40;

/// Tables are kept at a time up to so many numbers in all.
const MOST_KEPT: usize = 3_000_000;

/// Amounts on each scale: by sides across and by their weights, then by sides along and by their weights.
/// Where no weights are known these are all 0.
pub(in super::super) type Amounts = [i64; 4];

/// The scales of a direction begin here.
const ACROSS: usize = 0;
const ALONG: usize = 2;

/// A way to weigh pieces and what is free.
#[derive(Clone, Debug, Default)]
struct Scale {
    /// The weight of a piece's side in the slice, by kind and way; the other side counts as it is.
    sides: Vec<Vec<i64>>,
}

/// What a slice of each size holds at most.
#[derive(Clone, Debug, Default)]
struct Table {
    across: Direction,
    along: Direction,
}

/// What slices in one direction hold: in sum of sides, and in weights.
#[derive(Clone, Debug, Default)]
struct Direction {
    /// In parts of two to the power of `coarse`, never too little.
    most: Vec<[i32; 2]>,
    coarse: [u32; 2],
    /// A part is two to the power of this many steps.
    grain: u32,
}

impl Direction {
    fn at(&self, size: i64) -> Option<[i64; 2]> {
        let [sum, weight] = *self.most.get((size >> self.grain) as usize)?;
        let [coarse, other] = self.coarse;
        Some([i64::from(sum) << coarse, i64::from(weight) << other])
    }

    /// Adds what so many slices of a size hold; `from` is where the scales of the direction begin.
    fn add(&self, from: usize, (size, times): (i64, i64), out: &mut Amounts) {
        let Some([sum, weight]) = self.at(size) else { return };
        if let Some([first, second]) = out.get_mut(from..from + 2) {
            // Where a number is too large, more room than there is cuts nothing off.
            *first = first.saturating_add(times.saturating_mul(sum.min(size)));
            *second = second.saturating_add(times.saturating_mul(weight));
        }
    }
}

/// The scales of one task, and the tables of what a slice can hold.
#[derive(Clone, Debug)]
pub(in super::super) struct Rooms {
    scales: [Scale; 4],
    /// What a whole piece weighs, by kind, turned the lighter way.
    each: Vec<Amounts>,
    /// Which kinds are left, for each table kept.
    known: Vec<(u64, usize)>,
    kept: Vec<Table>,
    /// How many numbers they hold.
    numbers: usize,
    rows: Rows,
}

impl Rooms {
    /// Scales by area, and by weights of sides where they are known.
    pub fn of(task: &Task) -> Rooms {
        let plain = |side: fn(&(i64, i64)) -> i64| Scale {
            sides: task.kinds.iter().map(|kind| kind.ways.iter().map(side).collect()).collect(),
        };
        let weighed = |weights: &[Vec<i64>]| {
            let none = || task.kinds.iter().map(|kind| vec![0; kind.ways.len()]).collect();
            Scale { sides: if weights.is_empty() { none() } else { weights.to_vec() } }
        };
        let scales = [
            plain(|way| way.0),
            weighed(&task.weights_across),
            plain(|way| way.1),
            weighed(&task.weights_along),
        ];
        let each = |kind: usize| {
            let weight = |(at, scale): (usize, &Scale)| {
                let ways = task.kinds.get(kind).into_iter().flat_map(|sort| &sort.ways);
                let sides = scale.sides.get(kind).into_iter().flatten();
                let other = |way: &(i64, i64)| if at < ALONG { way.1 } else { way.0 };
                ways.zip(sides).map(|(way, side)| side * other(way)).min().unwrap_or(0)
            };
            let mut each = Amounts::default();
            for (each, scale) in each.iter_mut().zip(scales.iter().enumerate()) {
                *each = weight(scale);
            }
            each
        };
        let each = (0..task.kinds.len()).map(each).collect();
        Rooms { scales, each, known: Vec::new(), kept: Vec::new(), numbers: 0, rows: Rows::default() }
    }

    /// What the pieces weigh on each scale.
    pub fn wanted(&self, counts: &[u32]) -> Amounts {
        let mut sum = Amounts::default();
        for (each, count) in self.each.iter().zip(counts) {
            for (sum, each) in sum.iter_mut().zip(each) {
                *sum += each * i64::from(*count);
            }
        }
        sum
    }

    /// What one piece of a kind weighs on each scale.
    pub fn each(&self, kind: usize) -> Amounts {
        self.each.get(kind).copied().unwrap_or_default()
    }

    /// What is free beyond an edge, on each scale.
    pub(super) fn free(
        &self,
        task: &Task,
        table: usize,
        sky: &[Step],
        open: &mut Vec<(i64, i64)>,
    ) -> Amounts {
        let mut out = Amounts::default();
        let Some(table) = self.kept.get(table) else { return out };
        // Niches from the inside out: each is a run of slices of one width.
        open.clear();
        let ends = sky.iter().map(|step| (step.x, step.y)).chain([(task.width, task.top)]);
        for (x, y) in ends {
            let mut start = x;
            while let Some((from, low)) = open.pop_if(|one| one.1 < y) {
                let up = open.last().map_or(y, |left| left.1.min(y));
                table.across.add(ACROSS, (x - from, up - low), &mut out);
                start = from;
            }
            if open.last().is_none_or(|one| one.1 != y) {
                open.push((start, y));
            }
        }
        for (at, step) in sky.iter().enumerate() {
            let right = sky.get(at + 1).map_or(task.width, |next| next.x);
            table.along.add(ALONG, (task.top - step.y, right - step.x), &mut out);
        }
        out
    }

    /// Adds what a rectangle can hold, on each scale.
    pub fn rectangle(&self, table: usize, across: i64, along: i64, out: &mut Amounts) {
        if let Some(table) = self.kept.get(table).filter(|_| across > 0 && along > 0) {
            table.across.add(ACROSS, (across, along), out);
            table.along.add(ALONG, (along, across), out);
        }
    }

    /// The longest sum of sides that goes into a size, across or along.
    pub fn usable(&self, table: usize, across: bool, size: i64) -> i64 {
        let Some(table) = self.kept.get(table) else { return size };
        let direction = if across { &table.across } else { &table.along };
        direction.at(size).map_or(size, |most| {
            let [sum, _] = most;
            sum.min(size)
        })
    }

    /// The table for the kinds that are left.
    pub fn table(&mut self, task: &Task, counts: &[u32], work: &mut Work<'_>) -> usize {
        let mut left = 0u64;
        for (at, count) in counts.iter().enumerate() {
            // Kinds past these share what is told of them.
            if *count > 0 || at >= SHARED {
                left |= 1 << at.min(SHARED);
            }
        }
        let place = self.known.partition_point(|known| known.0 < left);
        match self.known.get(place) {
            Some((known, table)) if *known == left => return *table,
            // The first table is that of all kinds.
            _ if !self.kept.is_empty() && (self.numbers >= MOST_KEPT || work.out()) => return 0,
            _ => {}
        }
        let (across, along) =
            (self.direction(task, left, true, work), self.direction(task, left, false, work));
        self.numbers += 2 * (across.most.len() + along.most.len());
        self.kept.push(Table { across, along });
        self.known.insert(place, (left, self.kept.len() - 1));
        self.kept.len() - 1
    }

    fn direction(&mut self, task: &Task, left: u64, across: bool, work: &mut Work<'_>) -> Direction {
        let whole = if across { task.width } else { task.top };
        let grain = u64::BITS - (whole.unsigned_abs().saturating_sub(1) / MOST_PARTS).leading_zeros();
        let size = (whole >> grain) as usize;
        let [sides, weights, ..] = &self.scales;
        let [.., sides_along, weights_along] = &self.scales;
        let (sides, weights) = if across { (sides, weights) } else { (sides_along, weights_along) };
        let mut most = vec![[0, 0]; size + 1];
        let mut coarse = [0, 0];
        for (which, (scale, coarse)) in [sides, weights].into_iter().zip(&mut coarse).enumerate() {
            let mut told = most.iter_mut().filter_map(|most| most.get_mut(which));
            let things = things(task, (scale, across), left, grain);
            // By size a slice holds no more than itself.
            let by_size = which == 0;
            *coarse = self.rows.held(things, (size, grain), by_size, &mut told, work);
        }
        Direction { most, coarse, grain }
    }
}

/// Sides of kinds that are left, with their weights, where they weigh anything.
fn things(task: &Task, (scale, across): (&Scale, bool), left: u64, grain: u32) -> Vec<Thing> {
    let kinds = task.kinds.iter().zip(&scale.sides).enumerate();
    let kinds = kinds.filter(|(at, _)| left >> at.min(&SHARED) & 1 == 1);
    let ways = kinds.flat_map(|(_, (kind, weights))| {
        kind.ways.iter().zip(weights).map(|(way, weight)| Thing {
            size: (if across { way.0 } else { way.1 } >> grain) as usize,
            weight: *weight,
            count: kind.count,
        })
    });
    ways.filter(|thing| thing.weight > 0).collect()
}
