//! Cuts from edge to edge, exactly: for each choice of pieces the smallest rectangles that it can be
//! cut from. A rectangle of several pieces is two of fewer, side by side or one beyond the other.

mod states;

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

/// A rectangle and what it is made of.
#[derive(Clone, Copy, Debug)]
struct Corner {
    across: i64,
    along: i64,
    made: Made,
}

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
    /// For each choice its corners: the wider, the shorter.
    fronts: Vec<Vec<Corner>>,
    /// For each the least that is left over of one; the largest number where there is none.
    least_waste: Vec<i64>,
}

impl Fronts {
    /// The rectangles within limits; `None` where the work does not suffice.
    pub fn of(states: &States, items: &[Item], limits: Limits, work: &mut Work<'_>) -> Option<Fronts> {
        let mut all = Fronts { fronts: vec![Vec::new()], least_waste: vec![0] };
        let (mut parts, mut corners) = (Vec::new(), 0);
        let most_waste = i64::try_from(limits.waste).unwrap_or(i64::MAX).min(i64::MAX - 1);
        for state in 1..states.size() {
            let area = area(states, items, state);
            let largest = area + limits.waste;
            let mut front = Front { limits, largest, corners: Vec::new(), last: 0, looked: 0 };
            states.with_first(state, &mut parts);
            if let ([_], Some(item)) =
                (parts.as_slice(), states.first(state).and_then(|kind| items.get(kind)))
            {
                for turned in item.ways(i64::MAX) {
                    let (across, along) = item.lies(turned);
                    if across <= limits.most.0 && along <= limits.most.1 {
                        front.add(across, along, Made::One { turned });
                    }
                }
            }
            // What is left over of two is left over of what both make up, too.
            let wasted = |part: usize| all.least_waste.get(part).copied().unwrap_or(0);
            let useful = |part: usize| wasted(part).saturating_add(wasted(state - part)) <= most_waste;
            for part in parts.iter().filter(|part| **part != state && useful(**part)) {
                let (one, other) = (all.fronts.get(*part), all.fronts.get(state - part));
                if let (Some(one), Some(other), Ok(part)) = (one, other, u32::try_from(*part)) {
                    front.looked += A_PAIR;
                    front.beyond(one, other, part);
                    front.beside(one, other, part);
                }
            }
            if !work.spend((front.looked + parts.len() as u64) / A_STEP + 1) {
                return None;
            }
            corners += front.corners.len();
            if corners > MOST_CORNERS {
                return None;
            }
            all.least_waste.push(front.least_waste(area));
            all.fronts.push(front.corners);
        }
        Some(all)
    }

    fn front(&self, state: usize) -> &[Corner] {
        self.fronts.get(state).map_or(&[], Vec::as_slice)
    }

    /// The shortest cloth of a width from which a choice can be cut; the empty one from none at all.
    pub fn length(&self, state: usize, width: i64) -> Option<i64> {
        if state == 0 {
            return Some(0);
        }
        self.narrower(state, width).map(|(_, corner)| corner.along)
    }

    /// The shortest corner that is not wider.
    fn narrower(&self, state: usize, width: i64) -> Option<(usize, &Corner)> {
        let front = self.front(state);
        let upto = front.partition_point(|corner| corner.across <= width);
        let at = upto.checked_sub(1)?;
        front.get(at).map(|corner| (at, corner))
    }

    /// The pieces as they lie in the shortest such cloth.
    pub fn placed(&self, states: &States, items: &[Item], state: usize, width: i64) -> Vec<Placed> {
        let mut placed = Vec::new();
        let mut open = vec![(state, self.narrower(state, width).map_or(0, |(at, _)| at), 0, 0)];
        while let Some((state, at, x, y)) = open.pop() {
            let Some(corner) = self.front(state).get(at) else { continue };
            match corner.made {
                Made::One { turned } => {
                    let Some(kind) = states.first(state) else { continue };
                    let (across, along) = items.get(kind).map_or((0, 0), |item| item.lies(turned));
                    placed.push(Placed { piece: kind, turned, at: Rect { x, y, across, along } });
                }
                Made::Two { part, ends: (one, other), beside } => {
                    let (part, one, other) = (part as usize, one as usize, other as usize);
                    let Some(first) = self.front(part).get(one) else { continue };
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

/// A front while it is made.
struct Front {
    limits: Limits,
    /// No larger rectangle is of use.
    largest: i128,
    corners: Vec<Corner>,
    /// So many corners are no wider than the last one looked at.
    last: usize,
    /// Work, in ways to part a choice.
    looked: u64,
}

impl Front {
    /// One rectangle beyond the other: for each width the shortest of both.
    fn beyond(&mut self, one: &[Corner], other: &[Corner], part: u32) {
        let (Some(least), Some(other_least)) = (one.last(), other.last()) else { return };
        // What is too long with the shortest of the other side is too long with each.
        let most = self.limits.most.1;
        let too_long = |list: &[Corner], least: &Corner| {
            list.iter().take_while(|corner| corner.along > most - least.along).count()
        };
        let (mut a, mut b) = (too_long(one, other_least), too_long(other, least));
        while let (Some(first), Some(second)) = (one.get(a), other.get(b)) {
            let width = first.across.max(second.across);
            // Wider ones that are no wider than this are shorter.
            a += wider(one, a, |next| next.across <= width);
            b += wider(other, b, |next| next.across <= width);
            let (Some(first), Some(second)) = (one.get(a), other.get(b)) else { return };
            self.two(width, first.along.saturating_add(second.along), (part, (a, b), false));
            match (one.get(a + 1), other.get(b + 1)) {
                (Some(next), Some(rest)) if next.across <= rest.across => a += 1,
                (_, Some(_)) => b += 1,
                (Some(_), None) => a += 1,
                (None, None) => return,
            }
        }
    }

    /// One beside the other: for each length the narrowest of both.
    fn beside(&mut self, one: &[Corner], other: &[Corner], part: u32) {
        let before = |list: &[Corner], at: usize| at.checked_sub(1).and_then(|at| list.get(at)).copied();
        let (Some(least), Some(other_least)) = (one.first(), other.first()) else { return };
        let most = self.limits.most.0;
        let upto = |list: &[Corner], least: &Corner| {
            let too_wide = list.iter().rev().take_while(|corner| corner.across > most - least.across);
            list.len().checked_sub(too_wide.count() + 1)
        };
        let (Some(mut a), Some(mut b)) = (upto(one, other_least), upto(other, least)) else { return };
        while let (Some(first), Some(second)) = (one.get(a), other.get(b)) {
            let length = first.along.max(second.along);
            a -= narrower(one, a, |next| next.along <= length);
            b -= narrower(other, b, |next| next.along <= length);
            let (Some(first), Some(second)) = (one.get(a), other.get(b)) else { return };
            self.two(first.across.saturating_add(second.across), length, (part, (a, b), true));
            match (before(one, a), before(other, b)) {
                (Some(next), Some(rest)) if next.along <= rest.along => a -= 1,
                (_, Some(_)) => b -= 1,
                (Some(_), None) => a -= 1,
                (None, None) => return,
            }
        }
    }

    /// The least that is left over of one of its rectangles, which come to so much.
    fn least_waste(&self, area: i128) -> i64 {
        let waste = |corner: &Corner| i128::from(corner.across) * i128::from(corner.along) - area;
        let least = self.corners.iter().map(waste).min();
        least.and_then(|least| i64::try_from(least).ok()).unwrap_or(i64::MAX)
    }

    fn two(&mut self, across: i64, along: i64, (part, ends, beside): (u32, (usize, usize), bool)) {
        self.looked += A_CORNER;
        if across > self.limits.most.0 || along > self.limits.most.1 {
            return;
        }
        if let (Ok(one), Ok(other)) = (u32::try_from(ends.0), u32::try_from(ends.1)) {
            self.add(across, along, Made::Two { part, ends: (one, other), beside });
        }
    }

    /// Keeps a corner unless another is as small both ways, and drops those that it is smaller than.
    fn add(&mut self, across: i64, along: i64, made: Made) {
        // Rectangles that follow each other are near each other.
        let mut upto = self.last;
        upto += self.corners.iter().skip(upto).take_while(|corner| corner.across <= across).count();
        while let Some(before) = upto.checked_sub(1)
            && self.corners.get(before).is_some_and(|corner| corner.across > across)
        {
            upto = before;
        }
        self.last = upto;
        let before = upto.checked_sub(1).and_then(|at| self.corners.get(at));
        if before.is_some_and(|corner| corner.along <= along)
            || i128::from(across) * i128::from(along) > self.largest
        {
            return;
        }
        let from = upto - usize::from(before.is_some_and(|corner| corner.across == across));
        let worse = self.corners.iter().skip(from).take_while(|corner| corner.along >= along).count();
        let corner = Corner { across, along, made };
        match self.corners.get_mut(from).filter(|_| worse > 0) {
            Some(place) => {
                *place = corner;
                if worse > 1 {
                    self.corners.drain(from + 1..from + worse);
                }
            }
            None => self.corners.insert(from, corner),
        }
        self.last = from + 1;
    }
}

/// How many corners after one are so.
fn wider(list: &[Corner], at: usize, so: impl Fn(&Corner) -> bool) -> usize {
    list.iter().skip(at + 1).take_while(|next| so(next)).count()
}

/// How many corners before one are so.
fn narrower(list: &[Corner], at: usize, so: impl Fn(&Corner) -> bool) -> usize {
    list.iter().take(at).rev().take_while(|next| so(next)).count()
}
