//! Rows with a number for each size, to which a thing of a size is added; and lots of equal things.

/// Blocks of fewer numbers are not worth being cut out of a row.
pub(super) const SHORT: usize = 8;

/// Joins to each number the one that is `step` before it, from the far end down, so that the thing is added once: to
/// what was there before it. Where the step is 0 each is joined to itself.
#[inline]
pub(super) fn join_once<N: Copy>(row: &mut [N], step: usize, join: impl Fn(N, N) -> N) {
    if step == 0 {
        return row.iter_mut().for_each(|here| *here = join(*here, *here));
    }
    if step < SHORT {
        for at in (step..row.len()).rev() {
            if let (Some(before), Some(here)) = (row.get(at - step).copied(), row.get_mut(at)) {
                *here = join(*here, before);
            }
        }
        return;
    }
    let mut end = row.len();
    while end > step {
        // Blocks no longer than the step read nothing that they write.
        let start = end.saturating_sub(step).max(step);
        let (from, to) = row.split_at_mut(start);
        let from = from.get(start - step..).unwrap_or(&[]);
        for (here, before) in to.iter_mut().take(end - start).zip(from) {
            *here = join(*here, *before);
        }
        end = start;
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
