//! "Did you mean": the closest known name.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

/// The candidate closest to `name`: a match that ignores case first, then the least edit distance
/// (with swaps of neighbours) up to a third of the name's length; `None` when nothing is close.
/// Between equally close candidates the first in order wins.
pub fn closest<'a>(name: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let wanted: Vec<char> = name.to_lowercase().chars().collect();
    // A long name costs a table of its square; nobody mistypes one that long.
    if wanted.is_empty() || wanted.len() > 64 {
        return None;
    }
    let limit = (wanted.len() / 3).max(1);
    let mut best: Option<(usize, &str)> = None;
    for candidate in candidates {
        if candidate == name {
            continue;
        }
        let letters: Vec<char> = candidate.to_lowercase().chars().collect();
        if letters.len().abs_diff(wanted.len()) > limit {
            continue;
        }
        let distance = distance(&wanted, &letters);
        if distance <= limit && distance < wanted.len() && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, candidate));
        }
    }
    best.map(|(_, candidate)| candidate)
}

/// Edit distance with insert, delete, replace, and swap of two neighbours.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, y) in b.iter().enumerate() {
            let at = |line: &[usize], k: usize| line.get(k).copied().unwrap_or(usize::MAX - 1);
            let mut least =
                (at(&above, j) + usize::from(x != y)).min(at(&above, j + 1) + 1).min(at(&row, j) + 1);
            let swapped = i > 0 && j > 0 && a.get(i - 1) == Some(y) && b.get(j - 1) == Some(x);
            if swapped {
                least = least.min(at(&before, j - 1) + 1);
            }
            row.push(least);
        }
        before = std::mem::replace(&mut above, row);
    }
    above.last().copied().unwrap_or(usize::MAX)
}
