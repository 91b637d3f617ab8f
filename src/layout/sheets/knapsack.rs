//! The most value that fits into a room, by sums of sizes, however fine the sizes are.

use crate::layout::work::Work;

/// More fillings than this, of different sizes, are not told apart.
const MOST: usize = 1_000;

/// The same once the work is done.
const FEW: usize = 32;

/// So many fillings gone through are one step of work.
const A_STEP: usize = 4;

/// A filling: the lot added last, and the filling before it.
#[derive(Clone, Copy, Debug)]
struct Filling {
    size: i64,
    value: i64,
    lot: u32,
    before: u32,
}

/// No lot.
const NONE: u32 = u32::MAX;

/// Fillings of a room, the larger the more valuable.
#[derive(Debug)]
pub(super) struct Knapsack {
    room: i64,
    /// All fillings made, the empty one first.
    made: Vec<Filling>,
    /// Those that are best for their size.
    front: Vec<usize>,
    /// Where fillings are too many, values are rounded up and sizes down, so that the best value is
    /// a bound; else some are forgotten.
    hoping: bool,
}

impl Knapsack {
    pub fn new(room: i64, hoping: bool) -> Knapsack {
        let empty = Filling { size: 0, value: 0, lot: NONE, before: 0 };
        Knapsack { room, made: vec![empty], front: vec![0], hoping }
    }

    /// A lot that may be put in once more.
    pub fn add(&mut self, size: i64, value: i64, lot: usize, work: &mut Work<'_>) {
        if size > self.room || value <= 0 {
            return;
        }
        work.spend((self.front.len() / A_STEP) as u64 + 1);
        let without = std::mem::take(&mut self.front);
        let mut front: Vec<usize> = Vec::with_capacity(without.len() * 2);
        let mut keep = |made: &[Filling], at: usize| {
            let value = |at: &usize| made.get(*at).map_or(0, |one| one.value);
            if front.last().is_none_or(|last| value(last) < value(&at)) {
                front.push(at);
            }
        };
        let mut next = 0;
        for before in &without {
            let Some(with) = self.made.get(*before).copied().map(|one| Filling {
                size: one.size.saturating_add(size),
                value: one.value.saturating_add(value),
                lot: u32::try_from(lot).unwrap_or(NONE),
                before: u32::try_from(*before).unwrap_or(0),
            }) else {
                continue;
            };
            if with.size > self.room {
                break;
            }
            // Those without it that are smaller come first, and of the same size the more valuable.
            while let Some(other) = without.get(next).and_then(|at| self.made.get(*at)) {
                if (other.size, -other.value) > (with.size, -with.value) {
                    break;
                }
                keep(&self.made, without.get(next).copied().unwrap_or(0));
                next += 1;
            }
            self.made.push(with);
            keep(&self.made, self.made.len() - 1);
        }
        for at in without.get(next..).unwrap_or(&[]) {
            keep(&self.made, *at);
        }
        self.front = front;
        self.thin(if work.out() { FEW } else { MOST });
    }

    /// Keeps every second filling while they are too many.
    fn thin(&mut self, most: usize) {
        while self.front.len() > most {
            let mut kept = Vec::with_capacity(most);
            for pair in self.front.chunks(2) {
                let (Some(small), Some(large)) = (pair.first(), pair.last()) else { continue };
                if !self.hoping {
                    kept.push(*large);
                    continue;
                }
                if let (Some(small), Some(large)) = (self.made.get(*small), self.made.get(*large)) {
                    let both = Filling { size: small.size, ..*large };
                    kept.push(self.made.len());
                    self.made.push(both);
                }
            }
            if !self.hoping {
                // The empty filling stays.
                kept.insert(0, 0);
            }
            self.front = kept;
        }
    }

    /// The most value that fits.
    pub fn best(&self) -> i64 {
        self.last().map_or(0, |filling| filling.value)
    }

    fn last(&self) -> Option<&Filling> {
        self.front.last().and_then(|at| self.made.get(*at))
    }

    /// The lots of the most valuable filling.
    pub fn lots(&self) -> Vec<usize> {
        let mut lots = Vec::new();
        let mut filling = self.last();
        while let Some(one) = filling.filter(|one| one.lot != NONE) {
            lots.push(one.lot as usize);
            filling = self.made.get(one.before as usize);
        }
        lots
    }
}

/// How many of `most` are in each lot, so that some of the lots make up every count.
pub(super) fn lots(most: u64) -> impl Iterator<Item = u64> {
    let mut left = most;
    let mut next = 1;
    std::iter::from_fn(move || {
        let lot = next.min(left);
        left -= lot;
        next *= 2;
        (lot > 0).then_some(lot)
    })
}
