//! Whether the pieces of a task can be cut edge to edge from a cloth of its length: a search that
//! fills one rectangle of the cloth after the other with blocks, the smallest rectangle first, and
//! keeps the most promising of equal progress.

use super::super::free::room::Rooms;
use super::super::free::task::Task;
use super::blocks::{Blocks, Spot};

/// How to look.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// So many states of equal progress are kept.
    pub beam: usize,
    /// What a piece more on the cloth counts, in sixteenths of the mean piece's area.
    pub thrift: i64,
    /// What a rectangle more that is open counts.
    pub level: i64,
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
struct Node {
    rank: i64,
    hash: u64,
    area: i64,
    placed: u32,
    open: Vec<Open>,
    counts: Vec<u32>,
    trail: Trail,
}

/// How a state was reached: a block laid at a place.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Trail {
    before: u32,
    block: usize,
    x: i64,
    y: i64,
}

/// States of equal progress.
#[derive(Clone, Debug, Default)]
struct Layer {
    nodes: Vec<Node>,
    limit: Option<i64>,
}

/// Before the first block.
const NONE: u32 = u32::MAX;

/// So many rectangles are given up one after the other.
const DEEPEST: usize = 4;

/// Layers of progress.
const LAYERS: usize = 500;

/// A search on its way.
pub(super) struct Beam<'a> {
    task: &'a Task,
    blocks: &'a Blocks,
    rooms: Rooms,
    manner: Manner,
    layers: Vec<Layer>,
    trails: Vec<Trail>,
    total: i64,
    mean: i64,
    first: Vec<i64>,
    factors: Vec<i128>,
    work: u64,
}

/// Looks for a layout of the task; takes its steps off `work` and stops when there are no more.
pub(super) fn look(task: &Task, blocks: &Blocks, manner: Manner, work: &mut u64) -> Option<Vec<Spot>> {
    let total = task.area();
    let mut beam = Beam {
        task,
        blocks,
        rooms: Rooms::of(task),
        manner,
        layers: vec![Layer::default(); LAYERS + 1],
        trails: Vec::new(),
        total,
        mean: (total / task.pieces().max(1)).max(1),
        first: Vec::new(),
        factors: Vec::new(),
        work: *work,
    };
    let found = beam.run();
    *work = beam.work.saturating_sub(beam.rooms.work);
    found
}

/// A state while it is gone on from.
struct Parent {
    node: Node,
    trail: u32,
    table: usize,
    /// What is spare on each scale beside the rectangle that is filled.
    spare: Vec<i64>,
}

impl Beam<'_> {
    fn run(&mut self) -> Option<Vec<Spot>> {
        if self.task.kinds.iter().any(|kind| kind.ways.is_empty()) {
            return None;
        }
        let counts: Vec<u32> = self.task.kinds.iter().map(|kind| kind.count).collect();
        let table = self.rooms.table(self.task, &counts);
        let whole = Open { across: self.task.width, along: self.task.top, x: 0, y: 0 };
        self.first = self.spare(table, &counts, &[whole]);
        if self.first.iter().any(|spare| *spare < 0) {
            return None;
        }
        let plain = i128::from(self.first.first().copied().unwrap_or(0));
        self.factors = self.first.iter().map(|first| (plain << 14) / i128::from((*first).max(1))).collect();
        let trail = Trail { before: NONE, ..Trail::default() };
        let root = Node { open: vec![whole], counts, trail, ..Node::default() };
        self.layers.first_mut()?.nodes.push(root);
        for at in 0..self.layers.len() {
            self.trim(at);
            let nodes = std::mem::take(&mut self.layers.get_mut(at)?.nodes);
            for node in nodes {
                if self.work <= self.rooms.work {
                    return None;
                }
                self.trails.push(node.trail);
                let trail = u32::try_from(self.trails.len() - 1).ok()?;
                if node.counts.iter().all(|count| *count == 0) {
                    return Some(self.trace(trail));
                }
                self.go_on(node, trail);
            }
        }
        None
    }

    /// What is spare on each scale: what the rectangles hold, less what is left to lay.
    fn spare(&mut self, table: usize, counts: &[u32], open: &[Open]) -> Vec<i64> {
        let mut wanted = Vec::new();
        self.rooms.wanted(counts, &mut wanted);
        let mut spare = vec![0; wanted.len()];
        for one in open {
            self.rooms.rectangle(table, one.across, one.along, &mut spare);
        }
        for (spare, wanted) in spare.iter_mut().zip(wanted) {
            *spare -= wanted;
        }
        self.work = self.work.saturating_sub(1 + open.len() as u64 / 4);
        spare
    }

    /// Fills the smallest rectangle in every way, or gives it up and fills the next.
    fn go_on(&mut self, mut node: Node, trail: u32) {
        let table = self.rooms.table(self.task, &node.counts);
        for one in &mut node.open {
            one.across = self.rooms.usable(table, true, one.across);
            one.along = self.rooms.usable(table, false, one.along);
        }
        node.open.retain(|one| one.across > 0 && one.along > 0);
        node.open.sort_by_key(|one| (one.across * one.along, *one));
        let spare = self.spare(table, &node.counts, &node.open);
        let mut parent = Parent { node, trail, table, spare };
        for _ in 0..DEEPEST {
            if parent.node.open.is_empty() || parent.spare.iter().any(|spare| *spare < 0) {
                return;
            }
            let filled = parent.node.open.remove(0);
            let mut held = vec![0; parent.spare.len()];
            self.rooms.rectangle(parent.table, filled.across, filled.along, &mut held);
            for (spare, held) in parent.spare.iter_mut().zip(held) {
                *spare -= held;
            }
            self.fill(&parent, filled);
        }
    }

    /// Each block that fits, at the near left corner, and both ways of cutting it off.
    fn fill(&mut self, parent: &Parent, filled: Open) {
        let blocks = self.blocks;
        let mut spare = Vec::with_capacity(parent.spare.len());
        for (at, block) in blocks.list.iter().enumerate() {
            if block.across > filled.across || block.along > filled.along {
                continue;
            }
            let enough = |(kind, count): &(usize, u32)| {
                parent.node.counts.get(*kind).is_some_and(|left| left >= count)
            };
            if !block.holds.iter().all(enough) {
                continue;
            }
            let (beside, beyond) = (filled.across - block.across, filled.along - block.along);
            for lengthwise_first in [true, false] {
                if !lengthwise_first && (beside == 0 || beyond == 0) {
                    continue;
                }
                let (right, far) = if lengthwise_first {
                    ((beside, filled.along), (block.across, beyond))
                } else {
                    ((beside, block.along), (filled.across, beyond))
                };
                spare.clone_from(&parent.spare);
                for (across, along) in [right, far] {
                    self.rooms.rectangle(parent.table, across, along, &mut spare);
                }
                for (kind, count) in &block.holds {
                    for (scale, spare) in spare.iter_mut().enumerate() {
                        *spare += self.rooms.each(scale, *kind) * i64::from(*count);
                    }
                }
                self.work = self.work.saturating_sub(u64::from(lengthwise_first));
                if spare.iter().all(|spare| *spare >= 0) {
                    self.keep(parent, filled, at, [right, far], &spare);
                }
            }
        }
        self.work = self.work.saturating_sub(blocks.list.len() as u64 / 16);
    }

    /// Keeps a state unless it promises less than others.
    fn keep(&mut self, parent: &Parent, filled: Open, block: usize, rest: [(i64, i64); 2], spare: &[i64]) {
        let Some(laid) = self.blocks.list.get(block) else { return };
        let area = parent.node.area + laid.area;
        let placed = parent.node.placed + laid.holds.iter().map(|held| held.1).sum::<u32>();
        let open = parent.node.open.len() + rest.iter().filter(|rest| rest.0 > 0 && rest.1 > 0).count();
        let rank = self.rank(placed, open, spare);
        let at = self.layer(area);
        let beam = self.manner.beam;
        let Some(layer) = self.layers.get_mut(at) else { return };
        if layer.limit.is_some_and(|limit| rank >= limit) {
            return;
        }
        let mut node = Node { rank, area, placed, ..parent.node.clone() };
        for (kind, count) in &laid.holds {
            if let Some(left) = node.counts.get_mut(*kind) {
                *left -= count;
            }
        }
        let [right, far] = rest;
        let places = [(right, filled.x + laid.across, filled.y), (far, filled.x, filled.y + laid.along)];
        for ((across, along), x, y) in places {
            if across > 0 && along > 0 {
                node.open.push(Open { across, along, x, y });
            }
        }
        node.trail = Trail { before: parent.trail, block, x: filled.x, y: filled.y };
        node.hash = hash(&node);
        layer.nodes.push(node);
        self.work = self.work.saturating_sub(3);
        if self.layers.get(at).is_some_and(|layer| layer.nodes.len() >= 4 * beam.max(16)) {
            self.trim(at);
        }
    }

    /// The less the better: what can no longer be used, pieces laid that might have served later,
    /// and rectangles that are open.
    fn rank(&self, placed: u32, open: usize, spare: &[i64]) -> i64 {
        let mut rank = 0i128;
        for ((now, first), factor) in spare.iter().zip(&self.first).zip(&self.factors) {
            rank += i128::from(first - now) * factor;
        }
        let manner = self.manner;
        i64::try_from(rank >> 10).unwrap_or(i64::MAX / 4)
            + self.mean * (manner.thrift * i64::from(placed) + manner.level * open as i64)
    }

    fn layer(&self, area: i64) -> usize {
        let at = i128::from(area) * LAYERS as i128 / i128::from(self.total.max(1));
        usize::try_from(at).unwrap_or(LAYERS).min(LAYERS)
    }

    /// Leaves the best of a layer, each once.
    fn trim(&mut self, at: usize) {
        let most = self.manner.beam;
        let Some(layer) = self.layers.get_mut(at) else { return };
        self.work = self.work.saturating_sub(layer.nodes.len() as u64);
        layer.nodes.sort_by(|a, b| (a.rank, a.hash, a.trail).cmp(&(b.rank, b.hash, b.trail)));
        layer.nodes.dedup_by(|a, b| a.hash == b.hash && a.counts == b.counts);
        if layer.nodes.len() > most {
            layer.nodes.truncate(most);
            layer.limit = layer.nodes.last().map(|last| last.rank);
        }
    }

    /// The pieces of all blocks laid.
    fn trace(&self, last: u32) -> Vec<Spot> {
        let mut spots = Vec::new();
        let mut at = last;
        while let Some(trail) = usize::try_from(at).ok().and_then(|at| self.trails.get(at)) {
            if trail.before == NONE {
                break;
            }
            self.blocks.spots(self.task, trail.block, trail.x, trail.y, &mut spots);
            at = trail.before;
        }
        spots
    }
}

/// A number for what is open and left, alike on every machine; where a rectangle lies does not matter.
fn hash(node: &Node) -> u64 {
    let mix = |sum: u64, part: u64| (sum.rotate_left(23) ^ part).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let mut sides: Vec<(i64, i64)> = node.open.iter().map(|one| (one.across, one.along)).collect();
    sides.sort_unstable();
    let sum = sides.iter().fold(0, |sum, side| mix(mix(sum, side.0.unsigned_abs()), side.1.unsigned_abs()));
    node.counts.iter().fold(sum, |sum, count| mix(sum, u64::from(*count)))
}
