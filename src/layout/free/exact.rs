//! Whether the pieces of a task go onto a cloth of its length, all ways gone through.
//!
//! Pieces moved near and left as far as they go lie on each other's far edges. So the lowest niche either
//! holds a piece at its left, or stays empty up to its lower wall, or its left stays empty up to the wall
//! there, beneath a piece that will lie on the wall, and a piece beside that is higher than the wall. What
//! stays empty has no room for any piece left, for that could as well lie there.

use std::collections::HashSet;

use super::super::work::Work;
use super::room::{Amounts, Rooms};
use super::sky::{self, Step};
use super::task::{Spot, Task};

/// Tasks of more pieces are not gone through.
const MOST_PIECES: i64 = 250;

/// What came of it.
#[derive(Clone, Debug)]
pub(super) enum Outcome {
    /// All pieces laid: kind, way and place.
    Laid(Vec<Spot>),
    /// Every way was tried.
    Never,
    /// The work did not suffice.
    Open,
}

/// Edges, with what was left to lay, that led to nothing.
#[derive(Clone, Debug, Default)]
pub(super) struct Seen {
    keys: HashSet<u128>,
    most: usize,
}

impl Seen {
    /// So many at most are kept.
    pub fn new(most: usize) -> Seen {
        Seen { keys: HashSet::new(), most }
    }

    /// Keeps none of them.
    pub fn clear(&mut self) {
        self.keys.clear();
    }

    fn keep(&mut self, key: u128) {
        if self.keys.len() < self.most {
            self.keys.insert(key);
        }
    }
}

/// Looks for a layout of the task. What was seen of the same task before is not looked at again.
pub(super) fn look(task: &Task, seen: &mut Seen, work: &mut Work<'_>) -> Outcome {
    if task.kinds.iter().any(|kind| kind.ways.is_empty()) {
        return Outcome::Never;
    }
    let sums = if task.pieces() <= MOST_PIECES { task.sums(work) } else { None };
    let Some(sums) = sums else { return Outcome::Open };
    let counts: Vec<u32> = task.kinds.iter().map(|kind| kind.count).collect();
    let rooms = Rooms::of(task);
    let wanted = rooms.wanted(&counts);
    let mut order: Vec<usize> = (0..task.kinds.len()).collect();
    order.sort_by_key(|kind| std::cmp::Reverse(task.kinds.get(*kind).map(|_| task.sides(*kind, 0))));
    let (spots, open) = (Vec::new(), Vec::new());
    let mut search = Search { task, order, rooms, sums, seen, counts, wanted, spots, open, work };
    let first = [Step { x: 0, y: 0 }];
    if !search.room(&first) {
        return Outcome::Never;
    }
    match search.beyond(&first, true) {
        Some(true) => Outcome::Laid(search.spots),
        Some(false) => Outcome::Never,
        None => Outcome::Open,
    }
}

struct Search<'a, 's> {
    task: &'a Task,
    /// The kinds, the largest first.
    order: Vec<usize>,
    rooms: Rooms,
    /// Sums of sides across.
    sums: Vec<i64>,
    seen: &'a mut Seen,
    /// What is left to lay, and what that weighs.
    counts: Vec<u32>,
    wanted: Amounts,
    spots: Vec<Spot>,
    /// A room that is passed on.
    open: Vec<(i64, i64)>,
    work: &'a mut Work<'s>,
}

impl Search<'_, '_> {
    /// Whether what is left goes beyond an edge; `full` where all that lies spans the cloth. `None` once
    /// the work is used up.
    fn beyond(&mut self, sky: &[Step], full: bool) -> Option<bool> {
        if self.counts.iter().all(|count| *count == 0) {
            return Some(true);
        }
        self.work.spend(4 + sky.len() as u64 / 2).then_some(())?;
        let key = self.key(sky, full);
        if self.seen.keys.contains(&key) {
            return Some(false);
        }
        let at = sky::lowest(sky);
        let floor = sky::step(sky, at);
        let right = sky::end(sky, at, self.task.width);
        let fresh = full && right - floor.x == self.task.width;
        if self.pieces(sky, at, 0, fresh)? {
            return Some(true);
        }
        let wall = sky::wall(sky, at, self.task.top);
        if right - floor.x < self.narrowest(wall - floor.y) {
            let mut next = sky.to_vec();
            if let Some(step) = next.get_mut(at) {
                step.y = wall;
            }
            if self.settled(&mut next) && self.beyond(&next, false)? {
                return Some(true);
            }
        }
        if self.beneath(sky, at)? {
            return Some(true);
        }
        self.seen.keep(key);
        Some(false)
    }

    /// Leaves the niche empty at its left, up to the wall there, beneath something that will lie on it.
    fn beneath(&mut self, sky: &[Step], at: usize) -> Option<bool> {
        let Some(wall) = at.checked_sub(1).map(|left| sky::step(sky, left).y) else { return Some(false) };
        let Step { x: from, y: floor } = sky::step(sky, at);
        let narrow = self.narrowest(wall - floor);
        let last = (sky::end(sky, at, self.task.width) - self.narrowest(i64::MAX)).min(from + narrow - 1);
        // What lies on the gap ends where sides next to each other end, from some step on.
        let mut ends: Vec<i64> = Vec::new();
        for step in sky.iter().take(at + 1) {
            let some = self.sums.iter().skip(self.sums.partition_point(|sum| step.x + sum <= from));
            ends.extend(some.map(|sum| step.x + sum).take_while(|x| *x <= last));
        }
        ends.sort_unstable();
        ends.dedup();
        self.work.spend(ends.len() as u64 / 4 + 1);
        let mut next = Vec::new();
        for x in ends {
            sky::lay(sky, at, x - from, wall, self.task.width, &mut next);
            self.work.spend(2).then_some(())?;
            if !self.room(&next) {
                // A wider gap leaves no more.
                break;
            }
            let niche = sky::lowest(&next);
            if self.pieces(&next, niche, wall - floor, false)? {
                return Some(true);
            }
        }
        Some(false)
    }

    /// Each piece left that is higher than `over`, at the left of a niche.
    fn pieces(&mut self, sky: &[Step], at: usize, over: i64, fresh: bool) -> Option<bool> {
        let task = self.task;
        let Step { x, y } = sky::step(sky, at);
        let room = sky::end(sky, at, task.width) - x;
        let mut next = Vec::with_capacity(sky.len() + 2);
        for nth in 0..self.order.len() {
            let Some(kind) = self.order.get(nth).copied().filter(|kind| self.left(*kind) > 0) else {
                continue;
            };
            let Some(sort) = task.kinds.get(kind) else { continue };
            for (way, (across, along)) in sort.ways.iter().enumerate() {
                // What spans the cloth comes first.
                let full = *across == task.width;
                let fits = *across <= room && y + along <= task.top && *along > over;
                if !fits || full && !fresh {
                    continue;
                }
                sky::lay(sky, at, *across, y + along, task.width, &mut next);
                self.take(kind, true);
                self.spots.push(Spot { kind, way, x, y });
                if self.settled(&mut next) && self.beyond(&next, full)? {
                    return Some(true);
                }
                self.spots.pop();
                self.take(kind, false);
            }
        }
        Some(false)
    }

    fn left(&self, kind: usize) -> u32 {
        self.counts.get(kind).copied().unwrap_or(0)
    }

    /// Takes a piece of a kind from what is left, or puts it back.
    fn take(&mut self, kind: usize, away: bool) {
        if let Some(left) = self.counts.get_mut(kind) {
            *left = if away { left.saturating_sub(1) } else { *left + 1 };
        }
        for (wanted, each) in self.wanted.iter_mut().zip(self.rooms.each(kind)) {
            *wanted += if away { -each } else { each };
        }
    }

    /// The narrowest of the pieces left that are no higher than this.
    fn narrowest(&self, most: i64) -> i64 {
        let mut least = i64::MAX / 4;
        for (kind, _) in self.task.kinds.iter().zip(&self.counts).filter(|(_, count)| **count > 0) {
            for (across, _) in kind.ways.iter().filter(|way| way.1 <= most) {
                least = least.min(*across);
            }
        }
        least
    }

    /// Fills what no piece left goes into; whether there is room for them.
    fn settled(&mut self, sky: &mut Vec<Step>) -> bool {
        let (narrowest, lowest) = self.task.least(&self.counts);
        sky::settle(sky, self.task.width, self.task.top, narrowest, lowest);
        self.work.spend(1 + sky.len() as u64 / 4);
        self.room(sky)
    }

    /// Whether enough is free beyond an edge, on each scale, for what is left.
    fn room(&mut self, sky: &[Step]) -> bool {
        let table = self.rooms.table(self.task, &self.counts, self.work);
        let free = self.rooms.free(self.task, table, sky, &mut self.open);
        free.iter().zip(&self.wanted).all(|(free, wanted)| free >= wanted)
    }

    /// A number for an edge, the same for its mirror image, and what is left: alike on every machine, and so
    /// long that two are never the same.
    fn key(&self, sky: &[Step], full: bool) -> u128 {
        let mut other = Vec::new();
        sky::mirrored(sky, self.task.width, &mut other);
        let kept = if other.as_slice() < sky { &other } else { sky };
        let mut key = Key(u64::from(full), 0x9e37_79b9_7f4a_7c15);
        for step in kept {
            key.add(step.x.unsigned_abs());
            key.add(step.y.unsigned_abs());
        }
        for count in &self.counts {
            key.add(u64::from(*count));
        }
        u128::from(key.0) << 64 | u128::from(key.1)
    }
}

/// Two sums by different factors.
struct Key(u64, u64);

impl Key {
    fn add(&mut self, part: u64) {
        let mixed = |sum: u64, factor: u64| {
            let sum = (sum.rotate_left(29) ^ part).wrapping_mul(factor);
            sum ^ (sum >> 32)
        };
        self.0 = mixed(self.0, 0xbf58_476d_1ce4_e5b9);
        self.1 = mixed(self.1, 0x94d0_49bb_1331_11eb);
    }
}
