//! Cuts from edge to edge, exactly: for each choice of pieces the smallest rectangles that it can be
//! cut from. A rectangle of several pieces is two of fewer, side by side or one beyond the other.

mod front;
mod states;

use front::Front;
pub(super) use states::States;

use super::kinds::Item;
use super::plan::{Placed, Rect};
use super::work::Work;

/// So many ways to part a choice are one step of work; to lay both parts together takes as long as so many, and
/// so many more for each corner.
const A_STEP: u64 = 8;
const A_PAIR: u64 = 5;
const A_CORNER: u64 = 2;

/// More corners are not kept.
const MOST_CORNERS: usize = 600_000;

/// What rectangles are of no use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    /// Those that are wider, or longer.
    pub most: (i64, i64),
    /// Those of which more is left over.
    pub waste: i128,
}

/// What a rectangle is made of.
#[derive(Clone, Copy, Debug)]
enum Made {
    /// One piece.
    One { turned: bool },
    /// A part of the choice by one of its corners, and the rest by one of its own, beside it or beyond.
    Two { part: u32, ends: (u32, u32), beside: bool },
}

/// The smallest rectangles of all choices, no larger than a limit.
#[derive(Debug)]
pub(super) struct Fronts {
    /// For each choice its corners.
    fronts: Vec<Front>,
    /// For each the least that is left over of one; the largest number where there is none.
    least_waste: Vec<i64>,
}

impl Fronts {
    /// The rectangles within limits; `None` where the work does not suffice.
    pub fn of(states: &States, items: &[Item], limits: Limits, work: &mut Work<'_>) -> Option<Fronts> {
        let mut all = Fronts { fronts: vec![Front::of(limits, 0)], least_waste: vec![0] };
        let (mut parts, mut corners) = (Vec::new(), 0);
        let most_waste = i64::try_from(limits.waste).unwrap_or(i64::MAX).min(i64::MAX - 1);
        for state in 1..states.size() {
            let area = area(states, items, state);
            let mut front = Front::of(limits, area.saturating_add(limits.waste));
            states.with_first(state, &mut parts);
            if let ([_], Some(item)) =
                (parts.as_slice(), states.first(state).and_then(|kind| items.get(kind)))
            {
                item.ways(i64::MAX).for_each(|turned| front.piece(item.lies(turned), turned));
            }
            // What is left over of two is left over of what both make up, too.
            let wasted = |part: usize| all.least_waste.get(part).copied().unwrap_or(0);
            let useful = |part: usize| wasted(part).saturating_add(wasted(state - part)) <= most_waste;
            let mut looked = 0;
            for part in parts.iter().filter(|part| **part != state && useful(**part)) {
                let (one, other) = (all.fronts.get(*part), all.fronts.get(state - part));
                if let (Some(one), Some(other), Ok(part)) = (one, other, u32::try_from(*part)) {
                    let corners = front.beyond(one, other, part) + front.beside(one, other, part);
                    looked += A_PAIR + A_CORNER * corners;
                }
            }
            if !work.spend((looked + parts.len() as u64) / A_STEP + 1) {
                return None;
            }
            corners += front.count();
            if corners > MOST_CORNERS {
                return None;
            }
            all.least_waste.push(front.least_waste(area));
            all.fronts.push(front);
        }
        Some(all)
    }

    /// The shortest cloth of a width from which a choice can be cut; the empty one from none at all.
    pub fn length(&self, state: usize, width: i64) -> Option<i64> {
        if state == 0 {
            return Some(0);
        }
        let front = self.fronts.get(state)?;
        front.corner(front.narrower(width)).map(|corner| corner.along)
    }

    /// The pieces as they lie in the shortest such cloth.
    pub fn placed(&self, states: &States, items: &[Item], state: usize, width: i64) -> Vec<Placed> {
        let mut placed = Vec::new();
        let first = self.fronts.get(state).map_or(0, |front| front.narrower(width));
        let mut open = vec![(state, first, 0, 0)];
        while let Some((state, at, x, y)) = open.pop() {
            let Some(made) = self.fronts.get(state).and_then(|front| front.made(at)) else { continue };
            match made {
                Made::One { turned } => {
                    let Some(kind) = states.first(state) else { continue };
                    let (across, along) = items.get(kind).map_or((0, 0), |item| item.lies(turned));
                    placed.push(Placed { piece: kind, turned, at: Rect { x, y, across, along } });
                }
                Made::Two { part, ends: (one, other), beside } => {
                    let (part, one, other) = (part as usize, one as usize, other as usize);
                    let first = self.fronts.get(part).and_then(|front| front.corner(one));
                    let Some(first) = first else { continue };
                    let (right, far) = if beside { (first.across, 0) } else { (0, first.along) };
                    open.push((state - part, other, x + right, y + far));
                    open.push((part, one, x, y));
                }
            }
        }
        placed
    }
}

/// The area of a choice of pieces.
fn area(states: &States, items: &[Item], state: usize) -> i128 {
    let each = |(kind, item): (usize, &Item)| {
        i128::from(item.across) * i128::from(item.along) * states.count(state, kind) as i128
    };
    items.iter().enumerate().map(each).sum()
}
