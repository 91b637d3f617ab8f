//! Plans by an order of the kinds: into the lowest niche goes what fits it best, the first in order
//! of equals. The order is changed a little again and again, and kept where that does no harm.

use std::cmp::Reverse;

use super::super::work::Work;
use super::sky::{self, Step};
use super::task::{Sort, Spot};

/// Orders that are begun with.
const STARTS: usize = 6;

/// What an order gives.
#[derive(Clone, Debug, Default)]
pub(super) struct Given {
    /// The length it takes.
    pub length: i64,
    /// What lies beneath the far edge, in square steps.
    under: i128,
    /// Each piece in its place.
    pub spots: Vec<Spot>,
}

/// An order of the kinds, and what it gave.
#[derive(Clone, Debug)]
struct Order {
    kinds: Vec<usize>,
    length: i64,
    under: i128,
    /// How often it was changed since that got better.
    since: u64,
}

/// A search over orders, which goes on where it stopped.
#[derive(Clone, Debug)]
pub(super) struct Orders {
    width: i64,
    kinds: Vec<Sort>,
    orders: Vec<Order>,
    turn: usize,
    chance: u64,
    // Rooms for passing results.
    sky: Vec<Step>,
    next: Vec<Step>,
}

impl Orders {
    /// Orders by area, by sides and by girth.
    pub fn of(width: i64, kinds: &[Sort]) -> Orders {
        let key = |kind: &Sort, rule: usize| {
            let (across, along) = kind.ways.first().copied().unwrap_or((1, 1));
            match rule {
                0 => i128::from(across) * i128::from(along),
                1 => i128::from(across),
                2 => i128::from(along),
                3 => i128::from(across) + i128::from(along),
                4 => i128::from(across.max(along)),
                _ => i128::from(across.min(along)),
            }
        };
        let order = |rule: usize| {
            let mut order: Vec<usize> = (0..kinds.len()).collect();
            order.sort_by_key(|at| Reverse(kinds.get(*at).map(|kind| key(kind, rule))));
            Order { kinds: order, length: i64::MAX, under: i128::MAX, since: 0 }
        };
        Orders {
            width,
            kinds: kinds.to_vec(),
            orders: (0..STARTS).map(order).collect(),
            turn: 0,
            chance: 0x5eed_c107,
            sky: Vec::new(),
            next: Vec::new(),
        }
    }

    /// A number below `below`, alike on every machine.
    fn chance(&mut self, below: usize) -> usize {
        self.chance = self.chance.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.chance;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((mixed ^ (mixed >> 31)) % below.max(1) as u64) as usize
    }

    /// Looks for something shorter than `length`, with so much work; what is left of it is lost.
    pub fn look(&mut self, length: i64, mut work: Work<'_>) -> Option<Given> {
        let mut best: Option<Given> = None;
        while !work.out() {
            let turn = self.turn % self.orders.len();
            let old = self.orders.get(turn)?.clone();
            let first = old.length == i64::MAX;
            let mut kinds = old.kinds.clone();
            if !first {
                self.change(&mut kinds);
            }
            let given = self.give(&kinds, old.length, &mut work);
            let kept = self.orders.get_mut(turn)?;
            kept.since += 1;
            if let Some(new) = given.filter(|new| (new.length, new.under) <= (old.length, old.under)) {
                let better = (new.length, new.under) < (old.length, old.under);
                let since = if better { 0 } else { kept.since };
                *kept = Order { kinds, length: new.length, under: new.under, since };
                if new.length < best.as_ref().map_or(length, |best| best.length) {
                    best = Some(new);
                }
            }
            // Each order has its turn, a longer one while it gets better.
            if first || kept.since % 50 == 49 {
                self.turn += 1;
            }
        }
        best
    }

    /// Swaps two kinds, or moves one.
    fn change(&mut self, order: &mut Vec<usize>) {
        let (one, other) = (self.chance(order.len()), self.chance(order.len()));
        if self.chance(3) == 0 {
            let kind = order.remove(one);
            order.insert(other.min(order.len()), kind);
        } else {
            order.swap(one, other);
        }
    }

    /// What the order gives, where that is no longer than `most`.
    fn give(&mut self, order: &[usize], most: i64, work: &mut Work<'_>) -> Option<Given> {
        let mut given = Given::default();
        let mut counts: Vec<u32> = self.kinds.iter().map(|kind| kind.count).collect();
        let ways = |kind: &usize| self.kinds.get(*kind).map_or([NONE; 2], ways);
        let mut left: Vec<(usize, [(i64, i64); 2])> = order.iter().map(|kind| (*kind, ways(kind))).collect();
        given.spots.reserve(self.kinds.iter().map(|kind| kind.count as usize).sum());
        self.sky.clear();
        self.sky.push(Step { x: 0, y: 0 });
        while !left.is_empty() {
            work.spend(1 + left.len() as u64 / 20);
            let at = sky::lowest(&self.sky);
            let niche = Niche::of(&self.sky, at, self.width);
            let Some((place, way, right)) = niche.best(&left) else {
                let wall = sky::wall(&self.sky, at, i64::MAX);
                self.sky.get_mut(at)?.y = wall;
                self.sky.dedup_by(|next, before| next.y == before.y);
                continue;
            };
            let (kind, ways) = *left.get(place)?;
            let (across, along) = ways.get(way).copied()?;
            let y = niche.y + along;
            if y > most {
                return None;
            }
            given.length = given.length.max(y);
            let x = if right { niche.x + niche.across - across } else { niche.x };
            given.spots.push(Spot { kind, way, x, y: niche.y });
            sky::lay_at(&self.sky, at, (x, across), y, self.width, &mut self.next);
            std::mem::swap(&mut self.sky, &mut self.next);
            let rest = counts.get_mut(kind)?;
            *rest = rest.saturating_sub(1);
            if *rest == 0 {
                left.remove(place);
            }
        }
        for (at, step) in self.sky.iter().enumerate() {
            given.under += i128::from(step.y) * i128::from(sky::end(&self.sky, at, self.width) - step.x);
        }
        Some(given)
    }
}

/// A niche in the edge.
struct Niche {
    x: i64,
    y: i64,
    across: i64,
    /// How high the walls are, from its floor.
    left: i64,
    right: i64,
}

impl Niche {
    fn of(sky: &[Step], at: usize, width: i64) -> Niche {
        let Step { x, y } = sky::step(sky, at);
        let left = at.checked_sub(1).map_or(i64::MAX, |left| sky::step(sky, left).y - y);
        let right = sky.get(at + 1).map_or(i64::MAX, |step| step.y - y);
        Niche { x, y, across: sky::end(sky, at, width) - x, left, right }
    }

    /// What fits best: place in the order, way, and whether it goes to the right.
    fn best(&self, order: &[(usize, [(i64, i64); 2])]) -> Option<(usize, usize, bool)> {
        let mut best: Option<(usize, usize, bool)> = None;
        let mut most = -1;
        let higher_right = self.right > self.left;
        for (place, (_, ways)) in order.iter().enumerate() {
            for (way, (across, along)) in ways.iter().enumerate() {
                if *across > self.across {
                    continue;
                }
                let (left, right) = (*along == self.left, *along == self.right);
                // A floor that is filled counts two, a wall that is met one, the other wall one more where the floor is filled.
                let full = i32::from(*across == self.across);
                let score = 2 * full + i32::from(left || right) + (full & i32::from(left && right));
                if score > most {
                    let to_right = if left == right { higher_right } else { right };
                    best = Some((place, way, to_right));
                    most = score;
                }
            }
            if most >= 4 {
                break;
            }
        }
        best
    }
}

/// No way to lie.
const NONE: (i64, i64) = (i64::MAX, i64::MAX);

/// The ways that a kind may lie, at most two.
fn ways(kind: &Sort) -> [(i64, i64); 2] {
    let way = |at: usize| kind.ways.get(at).copied().unwrap_or(NONE);
    [way(0), way(1)]
}
