//! Lengths joined from the ends of strips: a search strip by strip, each filled with whole lengths
//! and then with the beginning of one that goes on in the next.

use std::collections::HashSet;

use super::{CutPiece, CutStrip, Join, Joined, Lengths};
use crate::layout::work::Work;

/// Ways of filling one strip that are looked at.
const OPTIONS: usize = 400;

/// A length that goes on in the next strip, and how much of it is to come.
type Carry = Option<(usize, i64)>;

/// Strips one by one, and joined lengths one by one.
#[derive(Clone, Debug, Default)]
pub(super) struct Strips {
    /// The strips.
    pub cuts: Vec<CutStrip>,
    /// The joined lengths.
    pub joined: Vec<Joined>,
}

/// A search for all lengths in so many strips.
pub(super) struct Search<'s> {
    join: Join,
    strip: i64,
    /// The strips in order: how long, and which of those in hand.
    strips: Vec<(i64, Option<usize>)>,
    /// The wanted lengths, the longest first: index, length.
    items: Vec<(usize, i64)>,
    left: Vec<u64>,
    failed: HashSet<(usize, Vec<u64>, Carry)>,
    done: Vec<Filled>,
    work: Work<'s>,
}

/// A filled strip: pieces by item and length, and whether the last goes on in the next strip.
#[derive(Clone, Debug)]
struct Filled {
    pieces: Vec<(usize, i64)>,
    goes_on: bool,
}

/// A way to fill a strip.
#[derive(Clone, Debug)]
struct Fill {
    whole: Vec<(usize, u64)>,
    begun: Option<(usize, i64)>,
    loss: i64,
}

impl<'s> Search<'s> {
    /// A search for so many new strips, after those in hand.
    pub fn new(job: &Lengths, join: Join, strips: u64, work: Work<'s>) -> Search<'s> {
        let mut all = Vec::new();
        for (at, one) in job.hand.iter().enumerate() {
            all.extend((0..one.count).map(|_| (one.length, Some(at))));
        }
        all.extend((0..strips).map(|_| (job.strip, None)));
        let mut items: Vec<(usize, i64)> =
            job.wanted.iter().enumerate().map(|(at, one)| (at, one.length)).collect();
        items.retain(|(at, _)| job.wanted.get(*at).is_some_and(|one| one.count > 0));
        items.sort_by_key(|(at, length)| (std::cmp::Reverse(*length), *at));
        let left = items.iter().map(|(at, _)| job.wanted.get(*at).map_or(0, |one| one.count)).collect();
        Search {
            join,
            strip: job.strip,
            strips: all,
            items,
            left,
            failed: HashSet::new(),
            done: Vec::new(),
            work,
        }
    }

    /// The work that is left.
    pub fn rest(self) -> Work<'s> {
        self.work
    }

    /// The strips, if they were found.
    pub fn run(&mut self) -> Option<Strips> {
        self.below(0, None).then(|| self.told())
    }

    /// What a length takes of strips at least, with the joins that it cannot do without.
    fn need(&self, length: i64) -> i64 {
        let gain = self.strip - self.join.loss;
        if length <= self.strip || gain <= 0 {
            return length;
        }
        length.saturating_add((length - self.join.loss - 1) / gain * self.join.loss)
    }

    fn below(&mut self, depth: usize, carry: Carry) -> bool {
        if carry.is_none() && self.left.iter().all(|left| *left == 0) {
            return true;
        }
        let Some((size, hand)) = self.strips.get(depth).copied() else { return false };
        let room: i128 = self.strips.iter().skip(depth).map(|(size, _)| i128::from(*size)).sum();
        let lengths = self.items.iter().zip(&self.left);
        let need: i128 =
            lengths.map(|((_, length), left)| i128::from(self.need(*length)) * i128::from(*left)).sum();
        let need = need + carry.map_or(0, |(_, rest)| i128::from(self.need(rest)));
        if need > room || !self.work.spend(self.items.len() as u64 / 4 + 2) {
            return false;
        }
        let key = (depth, self.left.clone(), carry);
        if self.failed.contains(&key) {
            return false;
        }
        let found = self.here(depth, size, carry)
            || (hand.is_some() && {
                self.done.push(Filled { pieces: Vec::new(), goes_on: false });
                let found = carry.is_none() && self.below(depth + 1, carry);
                if !found {
                    self.done.pop();
                }
                found
            });
        if !found {
            self.failed.insert(key);
        }
        found
    }

    /// Fills this strip one way after the other.
    fn here(&mut self, depth: usize, size: i64, carry: Carry) -> bool {
        let mut pieces = Vec::new();
        let mut free = size;
        if let Some((item, rest)) = carry {
            if rest > size {
                let now = size.min(rest + self.join.loss - self.join.shortest);
                if now < self.join.shortest {
                    return false;
                }
                let next = Some((item, rest + self.join.loss - now));
                return self.go(depth, Filled { pieces: vec![(item, now)], goes_on: true }, next);
            }
            pieces.push((item, rest));
            free -= rest;
        }
        let mut fills = Vec::new();
        self.fills(0, free, &mut Vec::new(), &mut fills);
        fills.sort_by_key(|fill| fill.loss);
        for fill in fills {
            let mut pieces = pieces.clone();
            for (item, count) in &fill.whole {
                let length = self.items.get(*item).map_or(0, |(_, length)| *length);
                pieces.extend((0..*count).map(|_| (*item, length)));
                self.take(*item, *count);
            }
            let mut next = None;
            if let Some((item, now)) = fill.begun {
                pieces.push((item, now));
                self.take(item, 1);
                next = self.items.get(item).map(|(_, length)| (item, length + self.join.loss - now));
            }
            if self.go(depth, Filled { pieces, goes_on: next.is_some() }, next) {
                return true;
            }
            for (item, count) in fill.whole.iter().copied().chain(fill.begun.map(|(item, _)| (item, 1))) {
                if let Some(left) = self.left.get_mut(item) {
                    *left += count;
                }
            }
        }
        false
    }

    fn take(&mut self, item: usize, count: u64) {
        if let Some(left) = self.left.get_mut(item) {
            *left = left.saturating_sub(count);
        }
    }

    fn go(&mut self, depth: usize, filled: Filled, next: Carry) -> bool {
        self.done.push(filled);
        let found = self.below(depth + 1, next);
        if !found {
            self.done.pop();
        }
        found
    }

    /// All ways to fill what is free with lengths from this one on.
    fn fills(&mut self, at: usize, free: i64, whole: &mut Vec<(usize, u64)>, out: &mut Vec<Fill>) {
        if out.len() >= OPTIONS || !self.work.spend(1) {
            return;
        }
        let (Some((_, length)), Some(left)) = (self.items.get(at).copied(), self.left.get(at).copied())
        else {
            return self.ends(free, whole, out);
        };
        let most = left.min(u64::try_from(free / length.max(1)).unwrap_or(0));
        for count in (0..=most).rev() {
            if count > 0 {
                whole.push((at, count));
            }
            let taken = length * i64::try_from(count).unwrap_or(0);
            self.fills(at + 1, free - taken, whole, out);
            if count > 0 {
                whole.pop();
            }
        }
    }

    /// The ways to end a strip with so much free: leave it, or begin a length that does not fit.
    fn ends(&self, free: i64, whole: &[(usize, u64)], out: &mut Vec<Fill>) {
        let join = self.join;
        let mut fits = false;
        for (item, (_, length)) in self.items.iter().enumerate() {
            let held = whole.iter().find(|(at, _)| *at == item).map_or(0, |(_, count)| *count);
            if self.left.get(item).is_none_or(|left| *left <= held) {
                continue;
            }
            fits |= *length <= free;
            let now = free.min(length + join.loss - join.shortest);
            if *length > free && now >= join.shortest {
                let loss = free - now + if *length > self.strip { 0 } else { join.loss };
                out.push(Fill { whole: whole.to_vec(), begun: Some((item, now)), loss });
            }
        }
        if !fits {
            out.push(Fill { whole: whole.to_vec(), begun: None, loss: free });
        }
    }

    /// What was found, strip by strip.
    fn told(&self) -> Strips {
        let mut out = Strips::default();
        let mut open: Vec<i64> = Vec::new();
        let mut carried = false;
        for (filled, (size, hand)) in self.done.iter().zip(&self.strips) {
            let mut pieces: Vec<CutPiece> = Vec::new();
            let mut left = *size;
            let last = filled.pieces.len().saturating_sub(1);
            for (at, (item, length)) in filled.pieces.iter().enumerate() {
                let item = self.items.get(*item).map_or(0, |(item, _)| *item);
                left -= length;
                let (from, on) = (carried && at == 0, filled.goes_on && at == last);
                if from || on {
                    open.push(*length);
                }
                if from && !on {
                    out.joined.push(Joined { item, times: 1, pieces: std::mem::take(&mut open) });
                }
                match pieces.last_mut() {
                    Some(one) if (one.item, one.length) == (item, *length) => one.count += 1,
                    _ => pieces.push(CutPiece { item, length: *length, count: 1 }),
                }
            }
            carried = filled.goes_on;
            if !pieces.is_empty() {
                out.cuts.push(CutStrip { times: 1, hand: *hand, pieces, left });
            }
        }
        out
    }
}
