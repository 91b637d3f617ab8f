//! Names in the words of a fault: "did you mean", the closest known one; several in a row.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

/// The candidate closest to `name`: a match that ignores case first, then the least edit distance
/// (with swaps of neighbours) up to a third of the name's length; `None` when nothing is close.
/// Between equally close candidates the first in order wins.
pub fn closest<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted: Vec<char> = name.chars().flat_map(char::to_lowercase).collect();
    // A long name costs a table of its square; nobody mistypes one that long.
    if wanted.is_empty() || wanted.len() > 64 {
        return None;
    }
    // Nothing is as close as a name of other letters alone.
    let mut limit = (wanted.len() / 3).max(1).min(wanted.len() - 1);
    let mut best = None;
    let mut rows = Rows::default();
    let mut letters = Vec::new();
    for candidate in candidates {
        if candidate == name {
            continue;
        }
        letters.clear();
        letters.extend(candidate.chars().flat_map(char::to_lowercase));
        if let Some(distance) = rows.distance(&wanted, &letters, limit) {
            best = Some(candidate);
            // Only a closer one is better.
            match distance.checked_sub(1) {
                Some(closer) => limit = closer,
                None => break,
            }
        }
    }
    best
}

/// `a, b and c`
pub fn listed(words: &[String]) -> String {
    match words {
        [first @ .., last] if !first.is_empty() => format!("{} and {last}", first.join(", ")),
        _ => words.concat(),
    }
}

/// Rows of the table of distances, kept for the next two words.
#[derive(Default)]
struct Rows {
    before: Vec<usize>,
    above: Vec<usize>,
    row: Vec<usize>,
}

impl Rows {
    /// Edit distance with insert, delete, replace, and swap of two neighbours; nothing where it is more than `most`.
    /// Only places near the diagonal can be on a way so short.
    fn distance(&mut self, a: &[char], b: &[char], most: usize) -> Option<usize> {
        if a.len().abs_diff(b.len()) > most {
            return None;
        }
        let far = most + 1;
        for row in [&mut self.before, &mut self.above, &mut self.row] {
            row.clear();
            row.resize(b.len() + 1, far);
        }
        self.above.iter_mut().zip(0..=most).for_each(|(place, j)| *place = j);
        for (i, x) in a.iter().enumerate() {
            let (from, to) = (i.saturating_sub(most), (i + most + 1).min(b.len()));
            let at = |row: &[usize], j: usize| row.get(j).copied().unwrap_or(far);
            self.row.fill(far);
            if i < most
                && let Some(first) = self.row.first_mut()
            {
                *first = i + 1;
            }
            let mut nearest = at(&self.row, 0);
            for j in from..to {
                let Some(y) = b.get(j) else { break };
                let replaced = at(&self.above, j) + usize::from(x != y);
                let mut least = replaced.min(at(&self.above, j + 1) + 1).min(at(&self.row, j) + 1);
                let swapped = i > 0 && j > 0 && a.get(i - 1) == Some(y) && b.get(j - 1) == Some(x);
                if swapped {
                    least = least.min(at(&self.before, j - 1) + 1);
                }
                if let Some(place) = self.row.get_mut(j + 1) {
                    *place = least.min(far);
                }
                nearest = nearest.min(least);
            }
            if nearest > most && i > 0 {
                // A swap reaches back by two rows.
                if self.above.iter().min().is_none_or(|above| *above > most) {
                    return None;
                }
            }
            std::mem::swap(&mut self.before, &mut self.above);
            std::mem::swap(&mut self.above, &mut self.row);
        }
        self.above.last().copied().filter(|distance| *distance <= most)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The whole table, as it stands in books (restricted edit distance).
    fn plainly(a: &[char], b: &[char]) -> usize {
        let mut table = vec![vec![0usize; b.len() + 1]; a.len() + 1];
        for i in 0..=a.len() {
            for j in 0..=b.len() {
                table[i][j] = match (i, j) {
                    (0, far) | (far, 0) => far,
                    _ => {
                        let replaced = table[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
                        let least = replaced.min(table[i - 1][j] + 1).min(table[i][j - 1] + 1);
                        let swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
                        if swapped { least.min(table[i - 2][j - 2] + 1) } else { least }
                    }
                };
            }
        }
        table[a.len()][b.len()]
    }

    #[test]
    fn a_distance_is_that_of_the_whole_table_or_too_far() {
        let mut seed = 7u64;
        let mut below = |most: u64| {
            seed ^= seed << 13;
            seed ^= seed >> 7;
            seed ^= seed << 17;
            seed % most
        };
        let mut rows = Rows::default();
        let mut near = 0;
        for _ in 0..4_000 {
            let a: Vec<char> = (0..below(9)).map(|_| ['a', 'b', 'c'][below(3) as usize]).collect();
            let mut b = a.clone();
            for _ in 0..below(5) {
                let at = below(b.len() as u64 + 1) as usize;
                match below(3) {
                    0 => b.insert(at, 'b'),
                    1 if at < b.len() => drop(b.remove(at)),
                    _ if at + 1 < b.len() => b.swap(at, at + 1),
                    _ => {}
                }
            }
            let most = below(6) as usize;
            let wanted = Some(plainly(&a, &b)).filter(|distance| *distance <= most);
            near += usize::from(wanted.is_some_and(|distance| distance > 0));
            assert_eq!(rows.distance(&a, &b, most), wanted, "{a:?} {b:?} {most}");
        }
        assert!(near > 500, "{near}");
    }

    #[test]
    fn the_first_of_the_closest_names_is_proposed() {
        assert_eq!(
            closest("bindng_run", ["binding_cut", "binding_run", "binding_runs"]),
            Some("binding_run")
        );
        assert_eq!(closest("hem", ["HEM", "hem2"]), Some("HEM"));
        assert_eq!(closest("hem", ["hen", "her"]), Some("hen"));
        assert_eq!(closest("sweep", ["weep", "seep"]), Some("weep"));
        assert_eq!(closest("x", ["y", "z"]), None);
        assert_eq!(closest("hem", ["tuck"]), None);
    }
}
