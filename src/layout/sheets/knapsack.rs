//! The most value that fits into a room, by sums of sizes, however fine the sizes are.

use crate::layout::work::Work;

/// More fillings than this, of different sizes, are not told apart.
const MOST: usize = 1_000;

/// So many fillings gone through are one step of work.
const A_STEP: usize = 4;

/// A filling: its size and value, and its place among all that were made.
#[derive(Clone, Copy, Debug)]
struct Filling {
    size: i64,
    value: i64,
    made: u32,
}

/// No lot, and the empty filling.
const NONE: u32 = u32::MAX;

/// Fillings of a room, the larger the more valuable.
#[derive(Debug)]
pub(super) struct Knapsack {
    room: i64,
    /// For each filling made the lot added last, and the filling before it.
    made: Vec<(u32, u32)>,
    /// Those that are best for their size.
    front: Vec<Filling>,
    /// Room for the next front.
    next: Vec<Filling>,
    /// Where fillings are too many, values are rounded up and sizes down, so that the best value is
    /// a bound; else some are forgotten.
    hoping: bool,
    /// Some lots were left out, for the work was out.
    partly: bool,
}

impl Knapsack {
    pub fn new(room: i64, hoping: bool) -> Knapsack {
        let empty = Filling { size: 0, value: 0, made: NONE };
        Knapsack { room, made: Vec::new(), front: vec![empty], next: Vec::new(), hoping, partly: false }
    }

    /// A lot that may be put in once more; left out once the work is out.
    pub fn add(&mut self, size: i64, value: i64, lot: usize, work: &mut Work<'_>) {
        if size > self.room || value <= 0 {
            return;
        }
        if self.partly || !work.spend((self.front.len() / A_STEP) as u64 + 1) {
            self.partly = true;
            return;
        }
        let mut front = std::mem::take(&mut self.next);
        front.clear();
        let keep = |front: &mut Vec<Filling>, one: Filling| {
            if front.last().is_none_or(|last| last.value < one.value) {
                front.push(one);
            }
        };
        let lot = u32::try_from(lot).unwrap_or(NONE);
        let mut without = self.front.iter().peekable();
        for before in &self.front {
            let size = before.size.saturating_add(size);
            if size > self.room {
                break;
            }
            let value = before.value.saturating_add(value);
            // Those without it that are smaller come first, and of the same size the more valuable.
            while let Some(other) =
                without.next_if(|other| other.size < size || (other.size == size && other.value >= value))
            {
                keep(&mut front, *other);
            }
            if front.last().is_none_or(|last| last.value < value) {
                let made = u32::try_from(self.made.len()).unwrap_or(NONE);
                self.made.push((lot, before.made));
                front.push(Filling { size, value, made });
            }
        }
        without.for_each(|other| keep(&mut front, *other));
        self.next = std::mem::replace(&mut self.front, front);
        self.thin();
    }

    /// Keeps every second filling while they are too many.
    fn thin(&mut self) {
        while self.front.len() > MOST {
            let mut kept = Vec::with_capacity(MOST);
            for pair in self.front.chunks(2) {
                let (Some(small), Some(large)) = (pair.first(), pair.last()) else { continue };
                kept.push(if self.hoping { Filling { size: small.size, ..*large } } else { *large });
            }
            if !self.hoping {
                // The empty filling stays.
                kept.insert(0, Filling { size: 0, value: 0, made: NONE });
            }
            self.front = kept;
        }
    }

    /// The most value that fits; for a bound the largest number, where not all lots were looked at.
    pub fn best(&self) -> i64 {
        if self.hoping && self.partly {
            return i64::MAX;
        }
        self.front.last().map_or(0, |filling| filling.value)
    }

    /// The lots of the most valuable filling.
    pub fn lots(&self) -> Vec<usize> {
        let mut lots = Vec::new();
        let mut at = self.front.last().map_or(NONE, |filling| filling.made);
        while let Some((lot, before)) = usize::try_from(at).ok().and_then(|at| self.made.get(at)) {
            lots.push(*lot as usize);
            at = *before;
        }
        lots
    }
}
