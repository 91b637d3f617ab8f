//! The most weight that a slice can hold, exactly, and what then lies in it.

use super::super::work::Work;

/// Something that may lie in a slice.
#[derive(Clone, Copy, Debug)]
pub(super) struct Thing {
    /// Its size.
    pub size: i64,
    /// How many there are.
    pub count: u64,
    /// What each weighs; not negative.
    pub weight: i64,
}

/// A room for knapsacks, used again and again.
#[derive(Clone, Debug)]
pub(super) struct Knapsack<'s> {
    most: Vec<i64>,
    before: Vec<i64>,
    taken: Vec<bool>,
    /// Work that may still be done.
    pub work: Work<'s>,
    /// Cells gone through that do not make up a step yet.
    cells: u64,
}

/// Cells gone through in a step of search.
const CELLS_A_STEP: u64 = 64;

impl<'s> Knapsack<'s> {
    /// A room in which so much work may be done.
    pub fn new(work: Work<'s>) -> Knapsack<'s> {
        Knapsack { most: Vec::new(), before: Vec::new(), taken: Vec::new(), work, cells: 0 }
    }

    /// Counts cells as work.
    pub fn count(&mut self, cells: usize) {
        self.cells += cells as u64;
        self.work.spend(self.cells / CELLS_A_STEP);
        self.cells %= CELLS_A_STEP;
    }

    /// The most weight that goes into `cap`, and how many of each thing that takes. Things of size
    /// 0 are not taken, nor those that weigh nothing.
    pub fn fill(&mut self, things: &[Thing], cap: i64) -> (i64, Vec<u64>) {
        let cap = usize::try_from(cap.max(0)).unwrap_or(0);
        self.most.clear();
        self.most.resize(cap + 1, 0);
        let lots = lots(things, cap);
        // What is not written below is not read either.
        if self.taken.len() < lots.len() * (cap + 1) {
            self.taken.resize(lots.len() * (cap + 1), false);
        }
        self.count(lots.iter().map(|lot| cap + 50 - lot.size).sum());
        for (lot, taken) in lots.iter().zip(self.taken.chunks_mut(cap + 1)) {
            self.before.clone_from(&self.most);
            let (most, taken) = (self.most.get_mut(lot.size..), taken.get_mut(lot.size..));
            let ends = most.unwrap_or(&mut []).iter_mut().zip(taken.unwrap_or(&mut []));
            for ((most, taken), before) in ends.zip(&self.before) {
                // A slice weighs far less than 2^62.
                let with = before.wrapping_add(lot.weight);
                let here = *most;
                (*most, *taken) = (with.max(here), with > here);
            }
        }
        let mut held = vec![0; things.len()];
        let mut at = cap;
        self.count(lots.iter().map(|lot| cap + 50 - lot.size).sum());
        for (lot, taken) in lots.iter().zip(self.taken.chunks(cap + 1).take(lots.len())).rev() {
            if at < lot.size {
                continue;
            }
            if let (Some(true), Some(held)) = (taken.get(at), held.get_mut(lot.thing)) {
                *held += lot.count;
                at -= lot.size;
            }
        }
        (self.most.last().copied().unwrap_or(0), held)
    }
}

/// Some of one thing, taken together or not at all.
struct Lot {
    thing: usize,
    count: u64,
    size: usize,
    weight: i64,
}

/// Lots of 1, 2, 4 ... of each thing, which make up every count.
fn lots(things: &[Thing], cap: usize) -> Vec<Lot> {
    let mut lots = Vec::new();
    for (thing, one) in things.iter().enumerate() {
        let Some(size) = usize::try_from(one.size).ok().filter(|size| (1..=cap).contains(size)) else {
            continue;
        };
        if one.weight <= 0 {
            continue;
        }
        let mut left = one.count.min((cap / size) as u64);
        let mut next = 1;
        while left > 0 {
            let count = next.min(left);
            left -= count;
            next *= 2;
            // Fits the cap, as all of them together do.
            lots.push(Lot { thing, count, size: size * count as usize, weight: one.weight * count as i64 });
        }
    }
    lots
}
