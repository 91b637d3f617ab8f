//! The inverse of a basis from scratch.

use super::{DENSE_A_STEP, ROWS_A_STEP};

/// The inverse of a square matrix, by elimination; `None` where it has none.
pub(super) fn inverted(mut from: Vec<f64>, n: usize, work: &mut u64) -> Option<Vec<f64>> {
    let mut out = vec![0.0; n * n];
    for row in 0..n {
        *out.get_mut(row * n + row)? = 1.0;
    }
    for at in 0..n {
        let size = |row: &usize| from.get(row * n + at).map_or(0.0, |one: &f64| one.abs());
        let best = (at..n).max_by(|a, b| size(a).total_cmp(&size(b)).then(b.cmp(a)))?;
        if size(&best) < 1e-11 {
            return None;
        }
        swap(&mut from, n, at, best);
        swap(&mut out, n, at, best);
        let pivot = *from.get(at * n + at)?;
        let (line, mirror) = (scaled(&mut from, n, at, pivot)?, scaled(&mut out, n, at, pivot)?);
        *work += (n / ROWS_A_STEP) as u64 + 1;
        for row in 0..n {
            let factor = *from.get(row * n + at)?;
            if row == at || factor == 0.0 {
                continue;
            }
            *work += (2 * n / DENSE_A_STEP) as u64;
            for (matrix, line) in [(&mut from, &line), (&mut out, &mirror)] {
                for (one, part) in matrix.get_mut(row * n..(row + 1) * n)?.iter_mut().zip(line) {
                    *one -= factor * part;
                }
            }
        }
    }
    Some(out)
}

fn swap(matrix: &mut [f64], n: usize, a: usize, b: usize) {
    if a != b {
        for column in 0..n {
            matrix.swap(a * n + column, b * n + column);
        }
    }
}

/// Divides a row, and tells it.
fn scaled(matrix: &mut [f64], n: usize, row: usize, by: f64) -> Option<Vec<f64>> {
    let line = matrix.get_mut(row * n..(row + 1) * n)?;
    line.iter_mut().for_each(|one| *one /= by);
    Some(line.to_vec())
}
