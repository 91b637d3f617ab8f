//! Whether the pieces of a task can be cut edge to edge from a cloth of its length: a search that
//! fills one rectangle of the cloth after the other with blocks, the smallest rectangle first, and
//! keeps the most promising of equal progress.

use std::rc::Rc;

use super::super::beam::{self, Layers, Promise, START, Trails};
use super::super::free::room::{Amounts, Rooms};
use super::super::free::task::Task;
use super::super::work::Work;
use super::blocks::{Block, Blocks, Spot};

/// How to look.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// So many states of equal progress are kept.
    pub beam: usize,
    /// What a piece more on the cloth counts, in sixteenths of the mean piece's area.
    pub thrift: i64,
    /// What a rectangle more that is open counts.
    pub level: i64,
    /// So many first blocks are also tried with a cut farther out.
    pub padded: usize,
}

/// A rectangle of cloth that is still open.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
struct Open {
    across: i64,
    along: i64,
    x: i64,
    y: i64,
}

/// A state: what is open and what is left to lay.
#[derive(Clone, Debug, Default)]
struct State {
    area: i64,
    placed: u32,
    open: Vec<Open>,
    counts: Vec<u32>,
    /// The sum of the numbers of what is open and left.
    sum: u64,
    trail: u32,
}

/// A step from a state: a block laid, and what of the rectangle filled stays open.
#[derive(Clone, Debug)]
struct Node {
    rank: i64,
    sum: u64,
    from: Rc<State>,
    laid: Laid,
    rest: [Open; 3],
}

impl beam::Node for Node {
    fn rank(&self) -> i64 {
        self.rank
    }

    fn hash(&self) -> u64 {
        self.sum
    }

    // Two alike in their numbers are taken for the same; should they not be, one is lost.
    fn same(&self, _: &Node) -> bool {
        true
    }
}

/// A block laid at a place.
#[derive(Clone, Copy, Debug)]
struct Laid {
    block: usize,
    x: i64,
    y: i64,
}

/// So many rectangles are given up one after the other.
const DEEPEST: usize = 4;

/// Layers of progress.
const LAYERS: usize = 500;

/// A search on its way.
pub(super) struct Beam<'a, 's> {
    task: &'a Task,
    blocks: &'a Blocks,
    rooms: Rooms,
    /// What the pieces of each block weigh on each scale.
    weights: Vec<Amounts>,
    manner: Manner,
    layers: Layers<Node>,
    trails: Trails<Laid>,
    promise: Promise,
    /// Area of a piece on average.
    mean: i64,
    work: &'a mut Work<'s>,
}

/// Looks for a layout of the task; takes its steps off `work` and stops when there are no more.
pub(super) fn look(task: &Task, blocks: &Blocks, manner: Manner, work: &mut Work<'_>) -> Option<Vec<Spot>> {
    let total = task.area();
    let rooms = Rooms::of(task);
    let mut beam = Beam {
        task,
        blocks,
        weights: blocks.list.iter().map(|block| weight(block, &rooms)).collect(),
        rooms,
        manner,
        layers: Layers::new(LAYERS, total, manner.beam),
        trails: Trails::new(),
        promise: Promise::default(),
        mean: (total / task.pieces().max(1)).max(1),
        work,
    };
    beam.run()
}

/// What the pieces of a block weigh on each scale.
fn weight(block: &Block, rooms: &Rooms) -> Amounts {
    let mut sum = Amounts::default();
    for (kind, count) in &block.holds {
        for (sum, each) in sum.iter_mut().zip(rooms.each(*kind)) {
            *sum += each * i64::from(*count);
        }
    }
    sum
}

/// A state while it is gone on from.
struct Parent {
    state: Rc<State>,
    table: usize,
    /// What is spare on each scale beside the rectangle that is filled.
    spare: Amounts,
}

impl Beam<'_, '_> {
    fn run(&mut self) -> Option<Vec<Spot>> {
        if self.task.kinds.iter().any(|kind| kind.ways.is_empty()) {
            return None;
        }
        let counts: Vec<u32> = self.task.kinds.iter().map(|kind| kind.count).collect();
        let table = self.rooms.table(self.task, &counts, self.work);
        let whole = Open { across: self.task.width, along: self.task.top, x: 0, y: 0 };
        let first = self.spare(table, &counts, &[whole]);
        if first.iter().any(|spare| *spare < 0) {
            return None;
        }
        self.promise = Promise::of(&first);
        self.go_on(State { open: vec![whole], counts, trail: START, ..State::default() });
        for at in 0..self.layers.count() {
            loop {
                let nodes = self.layers.take(at, self.work);
                if nodes.is_empty() {
                    break;
                }
                for node in nodes {
                    if self.work.out() {
                        return None;
                    }
                    let state = self.stepped(node)?;
                    if state.counts.iter().all(|count| *count == 0) {
                        return Some(self.laid(state.trail));
                    }
                    self.go_on(state);
                }
            }
        }
        None
    }

    /// The state after a step.
    fn stepped(&mut self, node: Node) -> Option<State> {
        let block = self.blocks.list.get(node.laid.block)?;
        let trail = self.trails.step(node.from.trail, node.laid)?;
        let from = node.from;
        let mut state = State { trail, sum: node.sum, ..State::clone(&from) };
        state.area += block.area;
        for (kind, count) in &block.holds {
            if let Some(left) = state.counts.get_mut(*kind) {
                *left = left.saturating_sub(*count);
            }
            state.placed += count;
        }
        state.open.extend(node.rest.into_iter().filter(Open::real));
        self.work.spend(3);
        Some(state)
    }

    /// What is spare on each scale: what the rectangles hold, less what is left to lay.
    fn spare(&mut self, table: usize, counts: &[u32], open: &[Open]) -> Amounts {
        let mut spare = Amounts::default();
        for one in open {
            self.rooms.rectangle(table, one.across, one.along, &mut spare);
        }
        for (spare, wanted) in spare.iter_mut().zip(self.rooms.wanted(counts)) {
            *spare -= wanted;
        }
        self.work.spend(1 + open.len() as u64 / 4);
        spare
    }

    /// Fills the smallest rectangle in every way, or gives it up and fills the next.
    fn go_on(&mut self, mut state: State) {
        let table = self.rooms.table(self.task, &state.counts, self.work);
        for one in &mut state.open {
            one.across = self.rooms.usable(table, true, one.across);
            one.along = self.rooms.usable(table, false, one.along);
        }
        state.open.retain(Open::real);
        // The smallest last, where it is taken off.
        state.open.sort_by_key(|one| std::cmp::Reverse((one.across * one.along, *one)));
        let mut spare = self.spare(table, &state.counts, &state.open);
        let mut filled_some = 0;
        while filled_some < DEEPEST {
            if spare.iter().any(|spare| *spare < 0) {
                return;
            }
            let Some(filled) = state.open.pop() else { return };
            let mut held = Amounts::default();
            self.rooms.rectangle(table, filled.across, filled.along, &mut held);
            for (spare, held) in spare.iter_mut().zip(held) {
                *spare -= held;
            }
            state.sum = numbers(&state);
            let parent = Parent { state: Rc::new(state), table, spare };
            // What no block fits is simply given up.
            filled_some += usize::from(self.fill(&parent, filled));
            spare = parent.spare;
            state = Rc::try_unwrap(parent.state).unwrap_or_else(|state| State::clone(&state));
        }
    }

    /// Each block that fits, at the near left corner, and the ways of cutting it off: lengthwise
    /// first or across first, and with a cut farther out first that leaves room beside it; whether any fits.
    fn fill(&mut self, parent: &Parent, filled: Open) -> bool {
        let blocks = self.blocks;
        let mut some = false;
        for (at, block) in blocks.list.iter().enumerate() {
            // One guess is missed less often than two.
            if (block.across > filled.across) | (block.along > filled.along) {
                continue;
            }
            let enough = |(kind, count): &(usize, u32)| {
                parent.state.counts.get(*kind).is_some_and(|left| left >= count)
            };
            if !block.holds.iter().all(enough) {
                continue;
            }
            if self.work.out() {
                return some;
            }
            some = true;
            let (across, along) = (block.across, block.along);
            self.cut_off(parent, filled, at, (across, filled.along));
            if across < filled.across && along < filled.along {
                self.cut_off(parent, filled, at, (filled.across, along));
            }
            if at < self.manner.padded {
                for wide in blocks.across.iter().filter(|wide| **wide > across && **wide < filled.across) {
                    self.cut_off(parent, filled, at, (*wide, filled.along));
                }
                for long in blocks.along.iter().filter(|long| **long > along && **long < filled.along) {
                    self.cut_off(parent, filled, at, (filled.across, *long));
                }
            }
        }
        self.work.spend(blocks.list.len() as u64 / 16);
        some
    }

    /// A block at the corner of what is first cut off the rectangle, `first` across and along: as long
    /// as the rectangle, or as wide.
    fn cut_off(&mut self, parent: &Parent, filled: Open, at: usize, first: (i64, i64)) {
        let Some(block) = self.blocks.list.get(at) else {
            return;
        };
        let lengthwise = first.1 == filled.along;
        let Open { x, y, .. } = filled;
        // The rest of the rectangle, then the rest of what was cut off.
        let rest = if lengthwise {
            let right = Open { across: filled.across - first.0, along: filled.along, x: x + first.0, y };
            let beside = Open { across: first.0 - block.across, along: block.along, x: x + block.across, y };
            let beyond = Open { across: first.0, along: filled.along - block.along, x, y: y + block.along };
            [right, beside, beyond]
        } else {
            let far = Open { across: filled.across, along: filled.along - first.1, x, y: y + first.1 };
            let beyond = Open { across: block.across, along: first.1 - block.along, x, y: y + block.along };
            let beside =
                Open { across: filled.across - block.across, along: first.1, x: x + block.across, y };
            [far, beyond, beside]
        };
        let mut spare = parent.spare;
        for one in &rest {
            self.rooms.rectangle(parent.table, one.across, one.along, &mut spare);
        }
        for (spare, laid) in spare.iter_mut().zip(self.weights.get(at).copied().unwrap_or_default()) {
            *spare = spare.saturating_add(laid);
        }
        self.work.spend(1);
        if spare.iter().all(|spare| *spare >= 0) {
            self.keep(parent, filled, at, rest, &spare);
        }
    }

    /// Keeps a step unless it promises less than others.
    fn keep(&mut self, parent: &Parent, filled: Open, at: usize, rest: [Open; 3], spare: &Amounts) {
        let Some(block) = self.blocks.list.get(at) else {
            return;
        };
        let placed = parent.state.placed + block.holds.iter().map(|held| held.1).sum::<u32>();
        let open = parent.state.open.len() + rest.iter().filter(|one| one.real()).count();
        let rank = self.rank(placed, open, spare);
        let layer = self.layers.at(parent.state.area + block.area);
        if !self.layers.keeps(layer, rank) {
            return;
        }
        let mut sum = parent.state.sum;
        for (kind, count) in &block.holds {
            let left = parent.state.counts.get(*kind).copied().unwrap_or(0);
            sum = sum
                .wrapping_sub(of_count(*kind, left))
                .wrapping_add(of_count(*kind, left.saturating_sub(*count)));
        }
        sum = rest.iter().filter(|one| one.real()).fold(sum, |sum, one| sum.wrapping_add(of_open(one)));
        let laid = Laid { block: at, x: filled.x, y: filled.y };
        self.layers.keep(layer, Node { rank, sum, from: Rc::clone(&parent.state), laid, rest }, self.work);
        self.work.spend(1);
    }

    /// The less the better: what can no longer be used, pieces laid that might have served later,
    /// and rectangles that are open.
    fn rank(&self, placed: u32, open: usize, spare: &Amounts) -> i64 {
        let manner = self.manner;
        self.promise.lost(spare)
            + self.mean * (manner.thrift * i64::from(placed) + manner.level * open as i64)
    }

    /// The pieces of all blocks laid.
    fn laid(&self, trail: u32) -> Vec<Spot> {
        let mut spots = Vec::new();
        for laid in self.trails.steps(trail) {
            self.blocks.spots(self.task, laid.block, laid.x, laid.y, &mut spots);
        }
        spots
    }
}

impl Open {
    fn real(&self) -> bool {
        self.across > 0 && self.along > 0
    }
}

/// A number for what is open and left, alike on every machine; where a rectangle lies does not matter.
fn numbers(state: &State) -> u64 {
    let open = state.open.iter().fold(0u64, |sum, one| sum.wrapping_add(of_open(one)));
    let counts = state.counts.iter().enumerate();
    counts.fold(open, |sum, (kind, left)| sum.wrapping_add(of_count(kind, *left)))
}

fn of_open(one: &Open) -> u64 {
    mixed(mixed(one.across.unsigned_abs()) ^ one.along.unsigned_abs())
}

fn of_count(kind: usize, left: u32) -> u64 {
    mixed(mixed(kind as u64 + (1 << 40)) ^ u64::from(left))
}

fn mixed(number: u64) -> u64 {
    let mixed = (number ^ (number >> 31)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    (mixed ^ (mixed >> 29)).wrapping_mul(0xbf58_476d_1ce4_e5b9).rotate_left(23)
}
