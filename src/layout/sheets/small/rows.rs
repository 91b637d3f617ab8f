//! Strips, exactly: for each choice of pieces the shortest strips on cloth of one width.

use std::cmp::Reverse;

use crate::layout::fronts::States;
use crate::layout::kinds::Item;
use crate::layout::plan::{Placed, Rect};
use crate::layout::work::Work;

/// So many choices gone through are one step of work.
const A_STEP: usize = 16;

/// A way to lay pieces side by side.
#[derive(Clone, Copy, Debug)]
struct End {
    across: i64,
    height: i64,
    /// The kind laid last, and whether turned.
    last: (usize, bool),
    /// Which way the pieces before it lie.
    before: usize,
}

/// Strips on cloth of one width.
#[derive(Debug)]
pub(super) struct Rows {
    /// For each choice the ways to lay it in one strip: the wider, the lower.
    ends: Vec<Vec<End>>,
    /// For each choice the length of the shortest strips, and which part of it is one of them.
    shortest: Vec<Option<(i64, usize)>>,
}

impl Rows {
    /// The strips of all choices; `None` where the work does not suffice.
    pub fn of(states: &States, items: &[Item], width: i64, work: &mut Work<'_>) -> Option<Rows> {
        let none = End { across: 0, height: 0, last: (0, false), before: 0 };
        let mut rows = Rows { ends: vec![vec![none]], shortest: vec![Some((0, 0))] };
        let mut parts = Vec::new();
        for state in 1..states.size() {
            let ends = rows.side_by_side(states, items, width, state);
            rows.ends.push(ends);
            states.with_first(state, &mut parts);
            if !work.spend((parts.len() / A_STEP) as u64 + 1) {
                return None;
            }
            let strips = parts.iter().filter_map(|part| {
                let height = rows.ends.get(*part)?.last()?.height;
                let rest = rows.length(state - part)?;
                Some((rest.saturating_add(height), *part))
            });
            let shortest = strips.min();
            rows.shortest.push(shortest);
        }
        Some(rows)
    }

    /// A piece more beside each way to lay the others.
    fn side_by_side(&self, states: &States, items: &[Item], width: i64, state: usize) -> Vec<End> {
        let Some(kind) = states.first(state) else { return Vec::new() };
        let (Some(item), Some(before)) = (items.get(kind), self.ends.get(state - states.one(kind))) else {
            return Vec::new();
        };
        let mut ends = Vec::with_capacity(before.len() * 2);
        for (at, end) in before.iter().enumerate() {
            for turned in item.ways(width) {
                let (across, along) = item.lies(turned);
                let taken = end.across.saturating_add(across);
                if taken <= width {
                    let height = end.height.max(along);
                    ends.push(End { across: taken, height, last: (kind, turned), before: at });
                }
            }
        }
        ends.sort_by_key(|end| (end.across, end.height));
        let mut low = i64::MAX;
        ends.retain(|end| {
            let lower = end.height < low;
            low = low.min(end.height);
            lower
        });
        ends
    }

    /// The length of the shortest strips that hold a choice.
    pub fn length(&self, state: usize) -> Option<i64> {
        self.shortest.get(state).copied().flatten().map(|(length, _)| length)
    }

    /// The pieces in these strips, the highest strip first and in each the highest piece.
    pub fn placed(&self, states: &States, items: &[Item], state: usize) -> Vec<Placed> {
        let mut strips: Vec<(i64, Vec<(usize, bool)>)> = Vec::new();
        let mut rest = state;
        while rest > 0 {
            let Some((_, part)) = self.shortest.get(rest).copied().flatten() else { break };
            let Some(end) = self.ends.get(part).and_then(|ends| ends.last()) else { break };
            strips.push((end.height, self.strip(states, part)));
            rest -= part;
        }
        let lies = |(kind, turned): (usize, bool)| items.get(kind).map_or((0, 0), |item| item.lies(turned));
        strips.sort_by_key(|(height, _)| Reverse(*height));
        let mut placed = Vec::new();
        let mut y = 0;
        for (height, mut strip) in strips {
            strip.sort_by_key(|one| (Reverse((lies(*one).1, lies(*one).0)), *one));
            let mut x = 0;
            for one in strip {
                let (across, along) = lies(one);
                placed.push(Placed { piece: one.0, turned: one.1, at: Rect { x, y, across, along } });
                x += across;
            }
            y += height;
        }
        placed
    }

    /// The pieces of the lowest strip of a choice.
    fn strip(&self, states: &States, state: usize) -> Vec<(usize, bool)> {
        let mut out = Vec::new();
        let mut rest = state;
        let mut at = self.ends.get(state).map_or(0, |ends| ends.len().saturating_sub(1));
        while rest > 0 {
            let Some(end) = self.ends.get(rest).and_then(|ends| ends.get(at)) else { break };
            out.push(end.last);
            rest -= states.one(end.last.0);
            at = end.before;
        }
        out
    }
}
