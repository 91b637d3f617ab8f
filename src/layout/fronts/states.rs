//! All choices of a job's pieces: how many of each kind, numbered in mixed radix.

/// The numbering. A choice that is part of another has a number that can be taken from its number.
#[derive(Clone, Debug)]
pub(in crate::layout) struct States {
    /// For each kind how many there are.
    counts: Vec<usize>,
    /// What one of each kind adds to a number.
    places: Vec<usize>,
    all: usize,
}

impl States {
    /// The choices among so many of each kind; `None` where they are more than `most`.
    pub fn of(counts: &[u64], most: usize) -> Option<States> {
        let mut places = Vec::with_capacity(counts.len());
        let mut size = 1usize;
        for count in counts {
            places.push(size);
            let ways = usize::try_from(*count).ok()?.checked_add(1)?;
            size = size.checked_mul(ways).filter(|size| *size <= most)?;
        }
        let counts = counts.iter().filter_map(|count| usize::try_from(*count).ok()).collect();
        Some(States { counts, places, all: size - 1 })
    }

    /// All pieces.
    pub fn all(&self) -> usize {
        self.all
    }

    /// How many choices there are, the empty one among them.
    pub fn size(&self) -> usize {
        self.all + 1
    }

    /// How many pairs there are of a choice and a part of it.
    pub fn pairs(&self) -> u64 {
        let each = |count: &usize| (*count as u64 + 1).saturating_mul(*count as u64 + 2) / 2;
        self.counts.iter().map(each).fold(1, u64::saturating_mul)
    }

    /// The number of one piece of a kind.
    pub fn one(&self, kind: usize) -> usize {
        self.places.get(kind).copied().unwrap_or(0)
    }

    /// How many of a kind are in a choice.
    pub fn count(&self, state: usize, kind: usize) -> usize {
        let (Some(place), Some(count)) = (self.places.get(kind), self.counts.get(kind)) else { return 0 };
        state / place % (count + 1)
    }

    /// How many of each kind are in a choice, none left out.
    pub fn counts(&self, state: usize) -> Vec<u64> {
        (0..self.counts.len()).map(|kind| self.count(state, kind) as u64).collect()
    }

    /// The first kind of which there is one.
    pub fn first(&self, state: usize) -> Option<usize> {
        (0..self.counts.len()).find(|kind| self.count(state, *kind) > 0)
    }

    /// The parts of a choice, itself and the empty one among them, in the order of their numbers.
    pub fn parts(&self, state: usize, out: &mut Vec<usize>) {
        out.clear();
        out.push(0);
        for (kind, place) in self.places.iter().enumerate() {
            let known = out.len();
            for times in 1..=self.count(state, kind) {
                for at in 0..known {
                    let part = out.get(at).copied().unwrap_or(0);
                    out.push(part + times * place);
                }
            }
        }
    }

    /// The parts that hold the first kind of a choice: each way to part it in two, once.
    pub fn with_first(&self, state: usize, out: &mut Vec<usize>) {
        out.clear();
        if let Some(kind) = self.first(state) {
            let one = self.one(kind);
            self.parts(state - one, out);
            out.iter_mut().for_each(|part| *part += one);
        }
    }

    /// The choices with one piece less.
    pub fn fewer(&self, state: usize) -> impl Iterator<Item = usize> + '_ {
        let kinds = 0..self.counts.len();
        kinds.filter(move |kind| self.count(state, *kind) > 0).map(move |kind| state - self.one(kind))
    }
}
