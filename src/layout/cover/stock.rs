//! What patterns are made of: levels of strips, each as wide as it is, and what may lie in them.

/// A strip of one level filled with items: how many of each.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub(in crate::layout) struct Pattern {
    /// Index into [`Stock::levels`].
    pub level: usize,
    /// Items and how many of each, at least one.
    pub holds: Vec<(usize, i64)>,
}

/// An item as it lies in a strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(in crate::layout) struct Way {
    /// Index into [`Stock::wanted`].
    pub item: usize,
    /// What it takes of the width.
    pub across: i64,
}

/// Strips of one height, or of one length.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::layout) struct Level {
    /// What each costs.
    pub cost: i64,
    /// How wide each is.
    pub width: i64,
    /// How many there are, at most.
    pub limit: Option<i64>,
    /// What may lie in it: so many first ways of this one of the [`Stock::lists`].
    pub list: usize,
    /// See `list`.
    pub upto: usize,
    /// Some way from here on must be in it, or a cheaper level would do.
    pub from: usize,
}

/// All that a plan may be made of.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::layout) struct Stock {
    /// How many of each item are wanted.
    pub wanted: Vec<i64>,
    /// Ways in which items lie, each item once in a list.
    pub lists: Vec<Vec<Way>>,
    /// The levels, those of one list next to each other and in the order of how much they take in.
    pub levels: Vec<Level>,
}

/// Patterns and how often each is cut.
pub(in crate::layout) type Cuts = Vec<(Pattern, i64)>;

impl Stock {
    /// What may lie in a strip of a level.
    pub fn ways(&self, level: &Level) -> &[Way] {
        self.lists.get(level.list).and_then(|list| list.get(..level.upto)).unwrap_or(&[])
    }

    /// What a pattern costs.
    pub fn cost(&self, pattern: &Pattern) -> i64 {
        self.levels.get(pattern.level).map_or(0, |level| level.cost)
    }

    /// What all patterns cost.
    pub fn total(&self, cuts: &Cuts) -> i64 {
        cuts.iter()
            .fold(0i64, |sum, (pattern, times)| sum.saturating_add(self.cost(pattern).saturating_mul(*times)))
    }

    /// For each item the cheapest level that takes it by itself, and how many one strip of it takes.
    pub fn alone(&self, left: &[i64]) -> Vec<Option<(usize, i64)>> {
        let mut best: Vec<Option<(usize, i64)>> = vec![None; self.wanted.len()];
        for (at, level) in self.levels.iter().enumerate().filter(|(_, level)| level.limit.is_none()) {
            for way in self.ways(level).iter().filter(|way| way.across <= level.width) {
                let most = left.get(way.item).copied().unwrap_or(0);
                let fit = (level.width / way.across.max(1)).min(most).max(1);
                let Some(best) = best.get_mut(way.item) else { continue };
                let better = best.is_none_or(|(other, fits)| {
                    let cost = self.levels.get(other).map_or(0, |level| level.cost);
                    i128::from(level.cost) * i128::from(fits) < i128::from(cost) * i128::from(fit)
                });
                if better {
                    *best = Some((at, fit));
                }
            }
        }
        best
    }

    /// Fills a pattern up with whatever still fits, no more of an item than are left.
    pub fn fill(&self, pattern: &mut Pattern, left: &[i64]) {
        let Some(level) = self.levels.get(pattern.level) else { return };
        let ways = self.ways(level);
        let mut held = vec![0i64; self.wanted.len()];
        for (item, count) in &pattern.holds {
            if let Some(one) = held.get_mut(*item) {
                *one += count;
            }
        }
        let taken: i64 = ways.iter().map(|way| way.across * held.get(way.item).copied().unwrap_or(0)).sum();
        let mut free = level.width - taken;
        for way in ways.iter().rev() {
            let (Some(held), Some(left)) = (held.get_mut(way.item), left.get(way.item)) else { continue };
            let more = (free / way.across.max(1)).min(left - *held).max(0);
            *held += more;
            free -= more * way.across;
        }
        pattern.holds = held.into_iter().enumerate().filter(|(_, count)| *count > 0).collect();
    }

    /// Takes away what there is too much of, last patterns first, and then patterns that hold nothing; what then
    /// goes into a cheaper strip does.
    pub fn trimmed(&self, cuts: Cuts) -> Cuts {
        let mut left = self.wanted.clone();
        let mut out: Cuts = Vec::new();
        for (pattern, times) in cuts {
            self.deal(pattern, times, &mut left, &mut out);
        }
        for (pattern, _) in &mut out {
            pattern.level = self.cheapest(pattern).unwrap_or(pattern.level);
        }
        out
    }

    /// The cheapest level for a pattern that has nothing in it which only its own level takes.
    fn cheapest(&self, pattern: &Pattern) -> Option<usize> {
        let own = self.levels.get(pattern.level).filter(|own| own.limit.is_none())?;
        let held = |ways: &[Way]| {
            let each = pattern.holds.iter().map(|(item, count)| {
                let way = ways.iter().find(|way| way.item == *item)?;
                way.across.checked_mul(*count)
            });
            each.sum::<Option<i64>>()
        };
        let high = self.ways(own).get(own.from..).unwrap_or(&[]);
        if high.iter().any(|way| pattern.holds.iter().any(|(item, _)| *item == way.item)) {
            return None;
        }
        let takes = |level: &Level| {
            level.limit.is_none() && held(self.ways(level)).is_some_and(|held| held <= level.width)
        };
        let levels =
            self.levels.iter().enumerate().filter(|(_, level)| level.cost < own.cost && takes(level));
        levels.min_by_key(|(at, level)| (level.cost, *at)).map(|(at, _)| at)
    }

    /// Cuts a pattern so many times, with no more of an item than are left.
    fn deal(&self, pattern: Pattern, times: i64, left: &mut [i64], out: &mut Cuts) {
        let have = |item: &usize, left: &[i64]| left.get(*item).copied().unwrap_or(0);
        let mut times = times;
        while times > 0 {
            let holds: Vec<(usize, i64)> = pattern
                .holds
                .iter()
                .map(|(item, count)| (*item, (*count).min(have(item, left))))
                .filter(|(_, count)| *count > 0)
                .collect();
            let Some(alike) = holds.iter().map(|(item, count)| have(item, left) / count).min() else {
                return;
            };
            let alike = alike.clamp(1, times);
            for (item, count) in &holds {
                if let Some(left) = left.get_mut(*item) {
                    *left -= count * alike;
                }
            }
            times -= alike;
            out.push((Pattern { holds, ..pattern }, alike));
        }
    }
}
