//! How much a partly covered cloth can still hold, at most.
//!
//! What is free is cut into slices across and into columns along. A slice holds no more than the
//! largest sum of sides that goes into it, by size and by the weights that the bounds use.

use super::super::work::Work;
use super::sky::Step;
use super::task::Task;

/// Sizes are told apart in at most so many parts of the whole; past it they are rounded down.
const MOST_PARTS: i64 = 8192;

/// Kinds from this one on are left or not left together.
const SHARED: usize = 40;

/// Tables are kept at a time up to so many numbers in all.
const MOST_KEPT: usize = 3_000_000;

/// A way to weigh pieces and what is free.
#[derive(Clone, Debug)]
struct Scale {
    /// Slices lie across, or along.
    across: bool,
    /// The weight of a piece's side in the slice, by kind and way; the other side counts as it is.
    sides: Vec<Vec<i64>>,
    /// What a whole piece weighs, by kind, turned the lighter way.
    each: Vec<i64>,
}

/// What a slice of each size holds at most.
#[derive(Clone, Debug, Default)]
struct Table {
    across: Direction,
    along: Direction,
}

/// Tables of the scales of one direction, side by side.
#[derive(Clone, Debug, Default)]
struct Direction {
    /// For each scale: where it is in the list of scales.
    scales: Vec<usize>,
    most: Vec<i64>,
    /// Steps in a part.
    grain: i64,
}

impl Direction {
    /// Adds what so many slices of a size hold.
    fn add(&self, size: i64, times: i64, out: &mut [i64]) {
        let from = (size / self.grain) as usize * self.scales.len();
        let Some(most) = self.most.get(from..from + self.scales.len()) else { return };
        for (place, (at, most)) in self.scales.iter().zip(most).enumerate() {
            // The first scale of each direction is that of the sides themselves.
            let most = if place == 0 { (*most).min(size) } else { *most };
            if let Some(out) = out.get_mut(*at) {
                *out += times * most;
            }
        }
    }
}

/// The scales of one task, and the tables of what a slice can hold.
#[derive(Clone, Debug)]
pub(in super::super) struct Rooms {
    scales: Vec<Scale>,
    /// Which kinds are left, for each table kept.
    known: Vec<(u64, usize)>,
    kept: Vec<Table>,
    /// How many numbers they hold.
    numbers: usize,
}

impl Rooms {
    /// Scales by area, and by weights of sides where they are known.
    pub fn of(task: &Task) -> Rooms {
        let mut scales = Vec::new();
        for across in [true, false] {
            let side = |way: &(i64, i64)| if across { way.0 } else { way.1 };
            let sides = task.kinds.iter().map(|kind| kind.ways.iter().map(side).collect()).collect();
            scales.push(Scale { across, sides, each: Vec::new() });
        }
        for (across, weights) in [(true, &task.weights_across), (false, &task.weights_along)] {
            if !weights.is_empty() {
                scales.push(Scale { across, sides: weights.clone(), each: Vec::new() });
            }
        }
        for scale in &mut scales {
            let each = |(kind, sides): (&super::task::Sort, &Vec<i64>)| {
                let ways = kind.ways.iter().zip(sides);
                ways.map(|(way, side)| side * if scale.across { way.1 } else { way.0 }).min().unwrap_or(0)
            };
            scale.each = task.kinds.iter().zip(&scale.sides).map(each).collect();
        }
        Rooms { scales, known: Vec::new(), kept: Vec::new(), numbers: 0 }
    }

    /// What the pieces weigh on each scale.
    pub fn wanted(&self, counts: &[u32], out: &mut Vec<i64>) {
        out.clear();
        for scale in &self.scales {
            out.push(scale.each.iter().zip(counts).map(|(each, count)| each * i64::from(*count)).sum());
        }
    }

    /// What one piece of a kind weighs on a scale.
    pub fn each(&self, scale: usize, kind: usize) -> i64 {
        self.scales.get(scale).and_then(|scale| scale.each.get(kind)).copied().unwrap_or(0)
    }

    /// What is free beyond an edge, on each scale.
    pub(super) fn free(
        &self,
        task: &Task,
        table: usize,
        sky: &[Step],
        open: &mut Vec<(i64, i64)>,
        out: &mut Vec<i64>,
    ) {
        out.clear();
        out.resize(self.scales.len(), 0);
        let Some(table) = self.kept.get(table) else { return };
        // Niches from the inside out: each is a run of slices of one width.
        open.clear();
        let ends = sky.iter().map(|step| (step.x, step.y)).chain([(task.width, task.top)]);
        for (x, y) in ends {
            let mut start = x;
            while let Some((from, low)) = open.pop_if(|one| one.1 < y) {
                let up = open.last().map_or(y, |left| left.1.min(y));
                table.across.add(x - from, up - low, out);
                start = from;
            }
            if open.last().is_none_or(|one| one.1 != y) {
                open.push((start, y));
            }
        }
        for (at, step) in sky.iter().enumerate() {
            let right = sky.get(at + 1).map_or(task.width, |next| next.x);
            table.along.add(task.top - step.y, right - step.x, out);
        }
    }

    /// Adds what a rectangle can hold, on each scale.
    pub fn rectangle(&self, table: usize, across: i64, along: i64, out: &mut [i64]) {
        if let Some(table) = self.kept.get(table).filter(|_| across > 0 && along > 0) {
            table.across.add(across, along, out);
            table.along.add(along, across, out);
        }
    }

    /// The longest sum of sides that goes into a size, across or along.
    pub fn usable(&self, table: usize, across: bool, size: i64) -> i64 {
        let Some(table) = self.kept.get(table) else { return size };
        let direction = if across { &table.across } else { &table.along };
        let at = usize::try_from(size / direction.grain).unwrap_or(0) * direction.scales.len();
        direction.most.get(at).copied().unwrap_or(size).min(size)
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
        self.numbers += across.most.len() + along.most.len();
        self.kept.push(Table { across, along });
        self.known.insert(place, (left, self.kept.len() - 1));
        self.kept.len() - 1
    }

    fn direction(&self, task: &Task, left: u64, across: bool, work: &mut Work<'_>) -> Direction {
        let whole = if across { task.width } else { task.top };
        let among = |scale: &(usize, &Scale)| scale.1.across == across;
        let scales: Vec<usize> = self.scales.iter().enumerate().filter(among).map(|(at, _)| at).collect();
        let grain = if whole <= MOST_PARTS { 1 } else { whole / (MOST_PARTS / 2) + 1 };
        let whole = (whole / grain) as usize;
        let mut most = vec![0; (whole + 1) * scales.len()];
        let chosen = scales.iter().filter_map(|at| self.scales.get(*at)).enumerate();
        for (place, scale) in chosen {
            let held = held(task, scale, left, (whole, grain), work);
            for (most, held) in most.iter_mut().skip(place).step_by(scales.len()).zip(held) {
                *most = held;
            }
        }
        Direction { scales, most, grain }
    }
}

/// The most weight of sides that goes into each size, of kinds that are left.
fn held(
    task: &Task,
    scale: &Scale,
    left: u64,
    (whole, grain): (usize, i64),
    work: &mut Work<'_>,
) -> Vec<i64> {
    let mut most = vec![0i64; whole + 1];
    let kinds = task.kinds.iter().zip(&scale.sides).enumerate();
    for (_, (kind, weights)) in kinds.filter(|(at, _)| left >> at.min(&SHARED) & 1 == 1) {
        for (way, weight) in kind.ways.iter().zip(weights) {
            let size = (if scale.across { way.0 } else { way.1 } / grain) as usize;
            // The same sum any number of times over: a few more than there are do no harm.
            let many = u64::from(kind.count) * size as u64 >= whole as u64;
            let mut rest = kind.count;
            if many {
                work.spend(whole as u64 / 32 + 1);
                add(&mut most, size, *weight, size..=whole);
                rest = 0;
            }
            let mut lot = 1;
            while rest > 0 {
                let count = rest.min(lot);
                rest -= count;
                lot *= 2;
                work.spend(whole as u64 / 32 + 1);
                let size = size * count as usize;
                add(&mut most, size, weight * i64::from(count), (size..=whole).rev());
            }
        }
    }
    most
}

/// Adds a weight of a size at each of these ends, where that is more: once in all from the far end on, and
/// any number of times from the near one.
fn add(most: &mut [i64], size: usize, weight: i64, ends: impl Iterator<Item = usize>) {
    for end in ends {
        if let (Some(before), Some(here)) = (most.get(end.wrapping_sub(size)).copied(), most.get_mut(end)) {
            *here = (*here).max(before + weight);
        }
    }
}
