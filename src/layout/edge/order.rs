//! Pieces laid one after the other, each into the rectangle left over that it fills best, or at the
//! near left corner of a new level; and orders of the pieces that come out shorter and shorter.

use super::super::kinds::{Item, Kinds, Spot};
use super::super::plan::Rect;
use super::super::work::Work;

/// So many rectangles are kept open.
const MOST_OPEN: usize = 120;

/// How the rest around a piece is cut: lengthwise first, across first, or by what is left beside it.
const SPLITS: u8 = 4;

/// An order of laying, and how what is left is cut up.
#[derive(Clone, Debug, Default)]
struct Order {
    /// Items, and whether they lie turned where they begin a level.
    turns: Vec<(usize, bool)>,
    split: u8,
}

/// What an order comes to: the shorter the better, then the larger what is left in one piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Score {
    length: i64,
    scattered: i128,
}

/// A search among orders, on its way.
pub(super) struct Orders {
    best: Option<(Score, Order)>,
    seed: u64,
}

impl Orders {
    /// A search that has not begun.
    pub fn new() -> Orders {
        Orders { best: None, seed: 1 }
    }

    /// Looks for a plan shorter than `known` for so much work.
    pub fn look(&mut self, kinds: &Kinds, known: i64, mut work: Work<'_>) -> Option<(i64, Vec<Spot>)> {
        let mut shorter = known;
        let mut found = None;
        if self.best.is_none() {
            for order in starts(kinds) {
                self.attempt(kinds, order, &mut work, &mut shorter, &mut found);
            }
        }
        while !work.out() {
            let order = self.changed(kinds)?;
            self.attempt(kinds, order, &mut work, &mut shorter, &mut found);
        }
        found
    }

    /// Lays the pieces in an order and goes on from there if it is no worse.
    fn attempt(
        &mut self,
        kinds: &Kinds,
        order: Order,
        work: &mut Work<'_>,
        shorter: &mut i64,
        found: &mut Option<(i64, Vec<Spot>)>,
    ) {
        if work.out() {
            return;
        }
        let Some((score, spots)) = lay(kinds, &order, work) else {
            return;
        };
        if score.length < *shorter {
            *shorter = score.length;
            *found = Some((score.length, spots));
        }
        if self.best.as_ref().is_none_or(|(best, _)| score <= *best) {
            self.best = Some((score, order));
        }
    }

    /// The best order with a few things changed.
    fn changed(&mut self, kinds: &Kinds) -> Option<Order> {
        let mut order = self.best.as_ref()?.1.clone();
        let pieces = order.turns.len();
        for _ in 0..=self.below(3) {
            let (from, to) = (self.below(pieces), self.below(pieces));
            match self.below(8) {
                0..=3 => order.turns.swap(from, to),
                4..=5 => {
                    let turn = order.turns.remove(from);
                    order.turns.insert(to, turn);
                }
                6 => {
                    let turn = order.turns.get_mut(from)?;
                    let item = kinds.items.get(turn.0)?;
                    if item.ways(kinds.width).any(|way| way != turn.1) {
                        turn.1 = !turn.1;
                    }
                }
                _ => {
                    if self.below(8) == 0 {
                        order.split = (order.split + 1) % SPLITS;
                    }
                }
            }
        }
        Some(order)
    }

    /// A number below another, drawn alike on every machine.
    fn below(&mut self, most: usize) -> usize {
        self.seed = self.seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.seed >> 33).unwrap_or(0) % most.max(1)
    }
}

/// What pieces are sorted by.
type Key = fn(&Item, bool) -> (i64, i64);

/// Orders to begin with: the highest first, the widest, the largest, the one with the longest side.
fn starts(kinds: &Kinds) -> Vec<Order> {
    let mut starts = Vec::new();
    let keys: [Key; 4] = [
        |item, way| (item.lies(way).1, item.lies(way).0),
        |item, way| item.lies(way),
        |item, _| (item.across.saturating_mul(item.along), item.along),
        |item, _| (item.across.max(item.along), item.across.min(item.along)),
    ];
    for upright in [true, false] {
        let mut order: Vec<(usize, &Item, bool)> = Vec::with_capacity(kinds.items.len());
        for (at, item) in kinds.items.iter().enumerate() {
            let lowest =
                item.ways(kinds.width).min_by_key(|way| item.lies(*way).1 * if upright { 1 } else { -1 });
            order.push((at, item, lowest.unwrap_or(false)));
        }
        for key in keys {
            order.sort_by_key(|(_, item, way)| std::cmp::Reverse(key(item, *way)));
            let turns = order.iter().flat_map(|(at, item, way)| (0..item.count).map(move |_| (*at, *way)));
            let turns: Vec<(usize, bool)> = turns.collect();
            starts.extend((0..SPLITS).map(|split| Order { turns: turns.clone(), split }));
        }
    }
    starts
}

/// Lays all pieces; `None` where the work is used up before.
fn lay(kinds: &Kinds, order: &Order, work: &mut Work<'_>) -> Option<(Score, Vec<Spot>)> {
    work.spend(1).then_some(())?;
    let mut open: Vec<Rect> = Vec::new();
    let mut spots = Vec::with_capacity(order.turns.len());
    let mut length = 0i64;
    for (item, first) in &order.turns {
        let sides = kinds.items.get(*item)?;
        work.spend(1 + open.len() as u64 / 8).then_some(())?;
        let (at, turned) = match best(kinds, sides, &open) {
            Some((index, turned)) => (open.swap_remove(index), turned),
            None => {
                let along = sides.lies(*first).1;
                let level = Rect { x: 0, y: length, across: kinds.width, along };
                length = length.checked_add(along)?;
                (level, *first)
            }
        };
        spots.push(Spot { item: *item, turned, x: at.x, y: at.y });
        rest(at, sides.lies(turned), order.split, &mut open);
        if open.len() > MOST_OPEN {
            let smallest = open.iter().enumerate().min_by_key(|(_, at)| area(at))?.0;
            open.swap_remove(smallest);
        }
    }
    let squares = open.iter().map(|at| area(at) * area(at) / 16);
    Some((Score { length, scattered: -squares.fold(0i128, i128::saturating_add) }, spots))
}

/// The rectangle that a piece fills best, and how it lies in it: least left over along one side.
fn best(kinds: &Kinds, sides: &Item, open: &[Rect]) -> Option<(usize, bool)> {
    let mut best: Option<((i64, i128), usize, bool)> = None;
    for turned in sides.ways(kinds.width) {
        let (across, along) = sides.lies(turned);
        for (index, at) in open.iter().enumerate() {
            if across > at.across || along > at.along {
                continue;
            }
            let over = ((at.across - across).min(at.along - along), area(at));
            if best.is_none_or(|(known, ..)| over < known) {
                best = Some((over, index, turned));
            }
        }
    }
    best.map(|(_, index, turned)| (index, turned))
}

/// What is left of a rectangle around a piece in its corner, as two rectangles.
fn rest(at: Rect, (across, along): (i64, i64), split: u8, open: &mut Vec<Rect>) {
    let (beside, beyond) = (at.across - across, at.along - along);
    let lengthwise = match split {
        0 => true,
        1 => i128::from(beside) * i128::from(at.along) > i128::from(beyond) * i128::from(at.across),
        2 => beside > beyond,
        _ => beside < beyond,
    };
    let (high, wide) = if lengthwise { (at.along, across) } else { (along, at.across) };
    let right = Rect { x: at.x + across, y: at.y, across: beside, along: high };
    let far = Rect { x: at.x, y: at.y + along, across: wide, along: beyond };
    open.extend([right, far].into_iter().filter(|one| one.across > 0 && one.along > 0));
}

fn area(at: &Rect) -> i128 {
    i128::from(at.across) * i128::from(at.along)
}
