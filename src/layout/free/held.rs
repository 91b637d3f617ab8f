//! The most weight of things that slices of each size hold.

use num_traits::{FromPrimitive, PrimInt, WrappingAdd};

use super::super::rows::{SHORT, join_once};
use super::super::work::Work;

/// Cells of a row that are gone through in a step of search, of 64 bits and of half as many.
const CELLS_A_STEP: u64 = 32;
const SMALL_CELLS_A_STEP: u64 = 96;

/// Weights past counting are told in parts of two to the power of this.
const UNKNOWN: u32 = 30;

/// Sides of one size.
#[derive(Clone, Copy, Debug)]
pub(super) struct Thing {
    pub size: usize,
    pub weight: i64,
    pub count: u32,
}

/// Rows with a number for each size, used again and again.
#[derive(Clone, Debug, Default)]
pub(super) struct Rows {
    small: Vec<i32>,
    large: Vec<i64>,
}

impl Rows {
    /// Tells the most weight that goes into each size up to the whole, in parts of two to the power of what it
    /// gives. A size is so many times two to the power of `grain`; where the weights are the sizes themselves
    /// (`by_size`), a slice that is full holds no more.
    pub fn held(
        &mut self,
        mut things: Vec<Thing>,
        (whole, grain): (usize, u32),
        by_size: bool,
        told: &mut dyn Iterator<Item = &mut i32>,
        work: &mut Work<'_>,
    ) -> u32 {
        if things.is_empty() {
            return 0;
        }
        let full = by_size.then_some(grain);
        things.sort_unstable_by_key(|thing| thing.size);
        if by_size {
            // Small things fill small slices first, large ones large slices.
            things = from_both_ends(&things);
        }
        let weight = most_weight(&things, whole);
        // Half as many bits where they suffice take a quarter of the time.
        if weight <= i64::from(i32::MAX / 2)
            && fill(&things, whole, full, &mut self.small, (SMALL_CELLS_A_STEP, work))
        {
            told.zip(&self.small).for_each(|(told, most)| *told = *most);
            return 0;
        }
        if weight <= i64::MAX / 4 && fill(&things, whole, full, &mut self.large, (CELLS_A_STEP, work)) {
            let coarse = (i64::BITS - weight.leading_zeros()).saturating_sub(i32::BITS - 2);
            let up = |most: i64| i32::try_from((most >> coarse) + 1).unwrap_or(i32::MAX);
            told.zip(&self.large).for_each(|(told, most)| *told = up(*most));
            return coarse;
        }
        // More than there is cuts nothing off.
        told.for_each(|told| *told = i32::MAX);
        UNKNOWN
    }
}

/// The first, the last, the second, the last but one and so on.
fn from_both_ends(things: &[Thing]) -> Vec<Thing> {
    let pairs = things.iter().zip(things.iter().rev());
    pairs.flat_map(|(near, far)| [*near, *far]).take(things.len()).collect()
}

/// No size up to the whole holds more than this, nor twice that size.
fn most_weight(things: &[Thing], whole: usize) -> i64 {
    let (mut dense, mut loose) = (0i64, 0i64);
    for thing in things {
        match thing.size as i64 {
            0 => loose = loose.saturating_add(thing.weight.saturating_mul(i64::from(thing.count))),
            size => dense = dense.max(thing.weight / size + 1),
        }
    }
    dense.saturating_mul(2 * whole as i64 + 2).saturating_add(loose)
}

/// The most weight of things in each size, or at least what is `full`; whether the work sufficed.
fn fill<N: PrimInt + WrappingAdd + FromPrimitive>(
    things: &[Thing],
    whole: usize,
    full: Option<u32>,
    most: &mut Vec<N>,
    (a_step, work): (u64, &mut Work<'_>),
) -> bool {
    // To clear the row, to read it and to put the things in order.
    if !work.spend(2 * whole as u64 / a_step + things.len() as u64 / 4) {
        return false;
    }
    most.clear();
    most.resize(whole + 1, N::zero());
    let number = |weight: i64| N::from_i64(weight).unwrap_or(N::zero());
    let mut row = most.as_mut_slice();
    for Thing { size, weight, count } in things.iter().copied() {
        // The same sum any number of times over: a few more than there are do no harm.
        let many = u64::from(count) * size as u64 >= whole as u64;
        let mut rest = count;
        if many {
            if !work.spend(row.len() as u64 / a_step + 1) {
                return false;
            }
            add_often(row, size, number(weight));
            rest = 0;
        }
        let mut lot = 1;
        while rest > 0 {
            let count = rest.min(lot);
            rest -= count;
            lot *= 2;
            if !work.spend(row.len() as u64 / a_step + 1) {
                return false;
            }
            add_once(row, size * count as usize, number(weight * i64::from(count)));
        }
        if let Some(grain) = full {
            row = open(row, grain);
        }
    }
    true
}

/// The sizes up to the largest that is not full: each that it stands for holds less than itself.
fn open<N: PrimInt + FromPrimitive>(row: &mut [N], grain: u32) -> &mut [N] {
    let full = |size: usize| N::from_i64((((size as i64) + 1) << grain) - 1).unwrap_or(N::max_value());
    let last = row.iter().enumerate().rposition(|(size, most)| *most < full(size));
    row.get_mut(..last.map_or(0, |last| last + 1)).unwrap_or(&mut [])
}

/// Adds a weight of a size once, where that is more: from the far end down.
fn add_once<N: PrimInt + WrappingAdd>(most: &mut [N], size: usize, weight: N) {
    join_once(most, size, |here, before| here.max(before.wrapping_add(&weight)));
}

/// Adds a weight of a size any number of times, where that is more: what lies a size nearer is done before.
fn add_often<N: PrimInt + WrappingAdd>(most: &mut [N], size: usize, weight: N) {
    let step = size.max(1);
    if step < SHORT {
        for at in step..most.len() {
            let before = most.get(at - step).map_or(weight, |before| before.wrapping_add(&weight));
            if let Some(here) = most.get_mut(at) {
                *here = before.max(*here);
            }
        }
        return;
    }
    let mut start = step;
    while start < most.len() {
        let end = (start + step).min(most.len());
        let (from, to) = most.split_at_mut(start);
        add(to.get_mut(..end - start), from.get(start - step..), weight);
        start = end;
    }
}

/// The more of what is there and what is there before, with a weight.
fn add<N: PrimInt + WrappingAdd>(here: Option<&mut [N]>, before: Option<&[N]>, weight: N) {
    for (here, before) in here.unwrap_or(&mut []).iter_mut().zip(before.unwrap_or(&[])) {
        // The most weight that there can be is far below the largest number.
        *here = (*here).max(before.wrapping_add(&weight));
    }
}
