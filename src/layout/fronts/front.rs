//! The smallest rectangles that one choice of pieces can be cut from.

use super::{Limits, Made};

/// A rectangle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Corner {
    pub across: i64,
    pub along: i64,
}

/// Rectangles, the wider the shorter; none is as small as another both ways.
#[derive(Debug)]
pub(super) struct Front {
    limits: Limits,
    /// No larger rectangle is of use.
    largest: i128,
    /// The rectangles between two that are none: the first is too long, the last too wide.
    corners: Vec<Corner>,
    /// What they are made of, without the first and the last.
    made: Vec<Made>,
}

impl Front {
    /// No rectangles yet.
    pub fn of(limits: Limits, largest: i128) -> Front {
        let too_long = Corner { across: -1, along: limits.most.1.saturating_add(1) };
        let too_wide = Corner { across: limits.most.0.saturating_add(1), along: -1 };
        Front { limits, largest, corners: vec![too_long, too_wide], made: Vec::new() }
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.made.len()
    }

    /// A rectangle by its place.
    pub fn corner(&self, at: usize) -> Option<Corner> {
        self.made(at).and_then(|_| self.corners.get(at)).copied()
    }

    /// What a rectangle is made of.
    pub fn made(&self, at: usize) -> Option<Made> {
        at.checked_sub(1).and_then(|at| self.made.get(at)).copied()
    }

    /// The place of the shortest that is not wider.
    pub fn narrower(&self, width: i64) -> usize {
        self.corners.partition_point(|corner| corner.across <= width).saturating_sub(1)
    }

    /// The least that is left over of one, where the pieces come to so much.
    pub fn least_waste(&self, area: i128) -> i64 {
        let corners = self.corners.iter().zip(0..=self.count()).skip(1);
        let waste =
            |(corner, _): (&Corner, usize)| i128::from(corner.across) * i128::from(corner.along) - area;
        corners.map(waste).min().and_then(|least| i64::try_from(least).ok()).unwrap_or(i64::MAX)
    }

    /// A piece as it lies.
    pub fn piece(&mut self, (across, along): (i64, i64), turned: bool) {
        if across <= self.limits.most.0 {
            let at = self.narrower(across);
            self.below(at, Corner { across, along }, Made::One { turned });
        }
    }

    /// One rectangle beyond the other: for each width the shortest of both. How many of them.
    pub fn beyond(&mut self, one: &Front, other: &Front, part: u32) -> u64 {
        let mut looked = 0;
        let (Some(mut a), Some(mut b)) = (one.short(other), other.short(one)) else { return 0 };
        let across = |front: &Front, at: usize| front.corners.get(at).map_or(i64::MAX, |one| one.across);
        let mut width = across(one, a).max(across(other, b));
        // Wider ones that are no wider than this are shorter.
        a += wider(&one.corners, a, width);
        b += wider(&other.corners, b, width);
        let mut at = self.narrower(width);
        let least = one.least().1 + other.least().1;
        let most = self.limits.most.0;
        while width <= most {
            let (Some([first, next]), Some([second, rest])) = (two(&one.corners, a), two(&other.corners, b))
            else {
                break;
            };
            looked += 1;
            // Mostly a step or two: without a branch, for what comes cannot be foretold.
            let no_wider = |corner: &Corner| usize::from(corner.across <= width);
            at += self.corners.get(at + 1).map_or(0, no_wider);
            at += self.corners.get(at + 1).map_or(0, no_wider);
            while self.corners.get(at + 1).is_some_and(|corner| corner.across <= width) {
                at += 1;
            }
            let along = first.along + second.along;
            let shortest = self.corners.get(at).map_or(0, |corner| corner.along);
            if shortest <= least {
                // What is wider is no shorter than one that is narrower.
                break;
            }
            if shortest > along {
                let made = Made::two(part, (a, b), false);
                at = self.below(at, Corner { across: width, along }, made);
            }
            width = next.across.min(rest.across);
            a += usize::from(next.across <= width);
            b += usize::from(rest.across <= width);
        }
        looked
    }

    /// One beside the other: for each length the narrowest of both. How many of them.
    pub fn beside(&mut self, one: &Front, other: &Front, part: u32) -> u64 {
        let mut looked = 0;
        let (Some(mut a), Some(mut b)) = (one.narrow(other), other.narrow(one)) else { return 0 };
        let along = |front: &Front, at: usize| front.corners.get(at).map_or(i64::MAX, |one| one.along);
        let mut length = along(one, a).max(along(other, b));
        // Longer ones that are no longer than this are narrower.
        a -= longer(&one.corners, a, length);
        b -= longer(&other.corners, b, length);
        let mut at = self.corners.partition_point(|corner| corner.along > length);
        let least = one.least().0 + other.least().0;
        let most = self.limits.most.1;
        while length <= most && a > 0 && b > 0 {
            let (Some([next, first]), Some([rest, second])) =
                (two(&one.corners, a - 1), two(&other.corners, b - 1))
            else {
                break;
            };
            looked += 1;
            let no_longer = |at: usize, corners: &[Corner]| {
                at.checked_sub(1).and_then(|at| corners.get(at)).is_some_and(|corner| corner.along <= length)
            };
            at -= usize::from(no_longer(at, &self.corners));
            at -= usize::from(no_longer(at, &self.corners));
            while no_longer(at, &self.corners) {
                at -= 1;
            }
            let across = first.across + second.across;
            let narrowest = self.corners.get(at).map_or(0, |corner| corner.across);
            if narrowest <= least {
                // What is longer is no narrower than one that is shorter.
                break;
            }
            if narrowest > across {
                let made = Made::two(part, (a, b), true);
                at = self.left(at, Corner { across, along: length }, made);
            }
            length = next.along.min(rest.along);
            a -= usize::from(next.along <= length);
            b -= usize::from(rest.along <= length);
        }
        looked
    }

    /// The narrowest width and the shortest length.
    fn least(&self) -> (i64, i64) {
        let sides = |at: usize| self.corner(at).map_or((0, 0), |corner| (corner.across, corner.along));
        (sides(1).0, sides(self.count()).1)
    }

    /// The first rectangle that is not too long with the shortest of another front.
    fn short(&self, other: &Front) -> Option<usize> {
        let least = other.corner(other.count())?;
        let most = self.limits.most.1.saturating_sub(least.along);
        let at = self.corners.partition_point(|corner| corner.along > most);
        (at <= self.count()).then_some(at)
    }

    /// The last rectangle that is not too wide with the narrowest of another front.
    fn narrow(&self, other: &Front) -> Option<usize> {
        let least = other.corner(1)?;
        let most = self.limits.most.0.saturating_sub(least.across);
        let at = self.narrower(most);
        (at > 0).then_some(at)
    }

    /// Keeps a corner below the last one that is no wider, unless it is too large; where it then is, or that one.
    fn below(&mut self, at: usize, corner: Corner, made: Made) -> usize {
        let known = self.corners.get(at).copied();
        if known.is_none_or(|known| known.along <= corner.along) || self.too_large(corner) {
            return at;
        }
        let from = at + usize::from(known.is_some_and(|known| known.across < corner.across));
        let worse = self.corners.iter().skip(from).take_while(|one| one.along >= corner.along).count();
        self.put(from, worse, corner, made);
        from
    }

    /// Keeps a corner left of the first one that is no longer, unless it is too large; where it then is, or that one.
    fn left(&mut self, at: usize, corner: Corner, made: Made) -> usize {
        if self.too_large(corner) {
            return at;
        }
        let to = at + usize::from(self.corners.get(at).is_some_and(|known| known.along == corner.along));
        let before = self.corners.iter().take(at).rev();
        let from = at - before.take_while(|one| one.across >= corner.across).count();
        self.put(from, to - from, corner, made);
        from
    }

    fn too_large(&self, corner: Corner) -> bool {
        i128::from(corner.across) * i128::from(corner.along) > self.largest
    }

    /// Puts a corner in the place of so many that are worse.
    fn put(&mut self, at: usize, worse: usize, corner: Corner, made: Made) {
        let Some(of_made) = at.checked_sub(1) else { return };
        match (self.corners.get_mut(at), self.made.get_mut(of_made)) {
            (Some(place), Some(kept)) if worse > 0 => {
                (*place, *kept) = (corner, made);
                if worse > 1 {
                    self.corners.drain(at + 1..at + worse);
                    self.made.drain(of_made + 1..of_made + worse);
                }
            }
            _ => {
                self.corners.insert(at, corner);
                self.made.insert(of_made, made);
            }
        }
    }
}

impl Made {
    fn two(part: u32, (one, other): (usize, usize), beside: bool) -> Made {
        // Fronts are far shorter than that.
        let end = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Made::Two { part, ends: (end(one), end(other)), beside }
    }
}

/// Two corners next to each other.
fn two(corners: &[Corner], at: usize) -> Option<[Corner; 2]> {
    let pair = corners.get(at..at + 2)?;
    <[Corner; 2]>::try_from(pair).ok()
}

/// How many corners after one are no wider.
fn wider(corners: &[Corner], at: usize, width: i64) -> usize {
    corners.iter().skip(at + 1).take_while(|next| next.across <= width).count()
}

/// How many corners before one are no longer.
fn longer(corners: &[Corner], at: usize, length: i64) -> usize {
    corners.iter().take(at).rev().take_while(|next| next.along <= length).count()
}
