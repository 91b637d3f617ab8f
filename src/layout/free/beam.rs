//! Whether the pieces of a task go onto a cloth of its length: a search that lays one piece after
//! the other into the lowest niche, and keeps the most promising edges of equal progress.

use std::rc::Rc;

use super::super::work::Work;
use super::room::Rooms;
use super::sky::{self, Step};
use super::task::Task;

/// How to look.
#[derive(Clone, Copy, Debug)]
pub(super) struct Manner {
    /// So many edges of equal progress are kept.
    pub beam: usize,
    /// What a piece more on the cloth counts, in sixteenths of the mean piece's area: small pieces
    /// are better kept for later.
    pub thrift: i64,
    /// How uneven edges count.
    pub level: i64,
    /// Whether gaps are left that only a piece laid later closes: with a beam wide enough for all
    /// edges, every way is tried.
    pub thorough: bool,
}

/// What came of it.
#[derive(Clone, Debug)]
pub(super) enum Outcome {
    /// All pieces laid: kind, way and place.
    Laid(Vec<Spot>),
    /// Every way was tried.
    Never,
    /// None was found.
    Unknown,
}

/// A piece laid.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Spot {
    /// Index into [`Task::kinds`].
    pub kind: usize,
    /// Index into the ways it may lie.
    pub way: usize,
    /// From the left.
    pub x: i64,
    /// From the near end.
    pub y: i64,
}

/// An edge reached, and what is left to lay.
#[derive(Clone, Copy, Debug, Default)]
struct Node {
    rank: i64,
    hash: u64,
    /// Where its edge stands in the layer's pool; what is left of each kind comes after it.
    start: usize,
    steps: u32,
    /// How many pieces have been laid, and their area.
    placed: u32,
    area: i64,
    /// Nothing but pieces that span the cloth has been laid.
    full: bool,
    trail: Trail,
}

/// How an edge was reached.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Trail {
    before: u32,
    spot: Spot,
    /// It is kept as seen from the other side.
    mirrored: bool,
}

/// Edges of equal progress.
#[derive(Clone, Debug, Default)]
struct Layer {
    nodes: Vec<Node>,
    /// Steps of edges and counts of pieces.
    pool: Vec<i64>,
    /// Nothing of this rank or above is kept.
    limit: Option<i64>,
}

impl Layer {
    /// What the pool has of a node.
    fn body(&self, node: &Node, kinds: usize) -> &[i64] {
        self.pool.get(node.start..node.start + 2 * node.steps as usize + kinds).unwrap_or(&[])
    }

    /// Adds a node to which the pool has got the body.
    fn add(&mut self, mut node: Node, sky: &[Step], counts: &[u32]) {
        node.start = self.pool.len();
        node.steps = sky.len() as u32;
        self.pool.extend(sky.iter().flat_map(|step| [step.x, step.y]));
        self.pool.extend(counts.iter().map(|count| i64::from(*count)));
        self.nodes.push(node);
    }

    /// Leaves the best, each once; tells whether others are lost.
    fn trim(&mut self, most: usize, kinds: usize) -> bool {
        let mut nodes = std::mem::take(&mut self.nodes);
        nodes.sort_unstable_by_key(|node| (node.rank, node.hash, node.start));
        nodes.dedup_by(|a, b| a.hash == b.hash && self.body(a, kinds) == self.body(b, kinds));
        let lost = nodes.len() > most;
        if lost {
            nodes.truncate(most);
            self.limit = nodes.last().map(|last| last.rank);
        }
        let mut pool = Vec::with_capacity(4 * self.pool.len() / 3);
        for node in &mut nodes {
            let start = pool.len();
            pool.extend_from_slice(self.body(node, kinds));
            node.start = start;
        }
        (self.nodes, self.pool) = (nodes, pool);
        lost
    }
}

/// Numbers for edges, alike on every machine.
fn hash(sky: &[Step], counts: &[u32]) -> u64 {
    let mix = |sum: u64, part: u64| (sum.rotate_left(23) ^ part).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let sum = sky.iter().fold(0, |sum, step| mix(mix(sum, step.x as u64), step.y as u64));
    counts.iter().fold(sum, |sum, count| mix(sum, u64::from(*count)))
}

/// Before the first edge.
const NONE: u32 = u32::MAX;

/// So many niches are left empty one after the other.
const DEEPEST: usize = 8;

/// A search on its way.
struct Beam<'a, 's> {
    task: &'a Task,
    rooms: Rooms,
    manner: Manner,
    layers: Vec<Layer>,
    trails: Vec<Trail>,
    /// Area of all pieces, and of one on average.
    total: i64,
    mean: i64,
    /// What is spare on each scale at first, and what of it counts as much as a unit of area.
    first_slack: Vec<i64>,
    factors: Vec<i128>,
    /// Something was not tried.
    cut: bool,
    /// Sums of sides across, where gaps are left.
    sums: Option<Rc<Vec<i64>>>,
    work: &'a mut Work<'s>,
    scratch: Scratch,
}

/// Room for results that are passed on.
#[derive(Clone, Debug, Default)]
struct Scratch {
    slack: Vec<i64>,
    open: Vec<(i64, i64)>,
    next: Vec<Step>,
    other: Vec<Step>,
    counts: Vec<u32>,
}

/// A node while its children are made.
struct Parent {
    node: Node,
    counts: Vec<u32>,
    trail: u32,
    /// The table for the kinds left, what they weigh, the narrowest and the lowest.
    table: usize,
    wanted: Vec<i64>,
    least: (i64, i64),
}

/// Looks for a layout of the task; takes its steps off `work` and stops when there are no more.
pub(super) fn look(task: &Task, manner: Manner, work: &mut Work<'_>) -> Outcome {
    Beam::new(task, manner, work).run()
}

impl<'a, 's> Beam<'a, 's> {
    fn new(task: &'a Task, manner: Manner, work: &'a mut Work<'s>) -> Beam<'a, 's> {
        let sums = if manner.thorough { task.sums(work).map(Rc::new) } else { None };
        let layers = task.pieces().clamp(1, 1000) as usize;
        let total = task.area();
        Beam {
            task,
            rooms: Rooms::of(task),
            manner,
            layers: vec![Layer::default(); layers + 1],
            trails: Vec::new(),
            total,
            mean: (total / task.pieces().max(1)).max(1),
            first_slack: Vec::new(),
            factors: Vec::new(),
            cut: false,
            sums,
            work,
            scratch: Scratch::default(),
        }
    }

    fn run(&mut self) -> Outcome {
        let task = self.task;
        if task.kinds.iter().any(|kind| kind.ways.is_empty()) {
            return Outcome::Never;
        }
        let counts: Vec<u32> = task.kinds.iter().map(|kind| kind.count).collect();
        let sky = [Step { x: 0, y: 0 }];
        let trail = Trail { before: NONE, ..Trail::default() };
        let root = Node { full: true, trail, ..Node::default() };
        let parent = self.parent(root, counts, NONE);
        if !self.slack(&sky, parent.table, &parent.wanted, None) {
            return Outcome::Never;
        }
        self.first_slack.clone_from(&self.scratch.slack);
        let whole = i128::from(self.first_slack.first().copied().unwrap_or(0));
        self.factors =
            self.first_slack.iter().map(|first| (whole << 14) / i128::from((*first).max(1))).collect();
        self.layers[0].add(root, &sky, &parent.counts);
        for at in 0..self.layers.len() {
            while !self.layers[at].nodes.is_empty() {
                if let Some(outcome) = self.layer_done(at) {
                    return outcome;
                }
            }
        }
        if self.cut { Outcome::Unknown } else { Outcome::Never }
    }

    /// Goes on from all edges of a layer.
    fn layer_done(&mut self, at: usize) -> Option<Outcome> {
        self.trim(at);
        self.layers[at].limit = None;
        let layer = std::mem::take(&mut self.layers[at]);
        let mut sky = Vec::new();
        for node in &layer.nodes {
            if self.work.out() || (self.manner.thorough && self.cut) {
                return Some(Outcome::Unknown);
            }
            self.trails.push(node.trail);
            let trail = (self.trails.len() - 1) as u32;
            if i64::from(node.placed) == self.task.pieces() {
                return Some(Outcome::Laid(self.trace(trail)));
            }
            let body = layer.body(node, self.task.kinds.len());
            let (steps, counts) = body.split_at(2 * node.steps as usize);
            sky.clear();
            sky.extend(steps.chunks_exact(2).map(|step| Step { x: step[0], y: step[1] }));
            let counts = counts.iter().map(|count| *count as u32).collect();
            let parent = self.parent(*node, counts, trail);
            self.expand(&parent, &sky, 0);
        }
        None
    }

    fn parent(&mut self, node: Node, counts: Vec<u32>, trail: u32) -> Parent {
        let table = self.rooms.table(self.task, &counts, self.work);
        self.work.spend(2 + counts.len() as u64 / 16);
        let mut wanted = Vec::new();
        self.rooms.wanted(&counts, &mut wanted);
        let least = self.task.least(&counts);
        Parent { node, counts, trail, table, wanted, least }
    }

    /// Whether enough is free beyond an edge, on each scale, for what is left, less one of a kind.
    fn slack(&mut self, sky: &[Step], table: usize, wanted: &[i64], less: Option<usize>) -> bool {
        let Scratch { slack, open, .. } = &mut self.scratch;
        self.rooms.free(self.task, table, sky, open, slack);
        for (at, (free, wanted)) in slack.iter_mut().zip(wanted).enumerate() {
            *free -= wanted - less.map_or(0, |kind| self.rooms.each(at, kind));
        }
        slack.iter().all(|slack| *slack >= 0)
    }

    /// Tries every piece at the left of the lowest niche, and leaving some of the niche empty.
    fn expand(&mut self, parent: &Parent, sky: &[Step], depth: usize) {
        let at = sky::lowest(sky);
        let (x, y) = (sky[at].x, sky[at].y);
        let right = sky::end(sky, at, self.task.width);
        if y >= self.task.top {
            return;
        }
        let fresh = parent.node.full && depth == 0 && right - x == self.task.width;
        self.pieces(parent, sky, at, 0, fresh);
        if depth > DEEPEST {
            self.cut = true;
            return;
        }
        // Nothing lies on the floor of the niche: up to its lower wall it stays empty.
        let mut next = sky.to_vec();
        next[at].y = sky::wall(sky, at, self.task.top);
        sky::settle(&mut next, self.task.width, self.task.top, parent.least.0, parent.least.1);
        self.work.spend(2);
        if self.slack(&next, parent.table, &parent.wanted, None) {
            self.expand(parent, &next, depth + 1);
        }
        if !self.manner.thorough {
            self.cut = true;
            return;
        }
        self.gaps(parent, sky, at);
    }

    /// Leaves the niche empty at its left, up to the wall there, beneath something that will lie on
    /// the wall; what lies beside the gap is higher than the wall.
    fn gaps(&mut self, parent: &Parent, sky: &[Step], at: usize) {
        let Some(wall) = at.checked_sub(1).map(|left| sky[left].y) else { return };
        let Some(sums) = &self.sums else {
            self.cut = true;
            return;
        };
        let sums = Rc::clone(sums);
        let from = sky[at].x;
        let last = sky::end(sky, at, self.task.width) - parent.least.0;
        // What lies on the gap ends where sides next to each other end, from some step on.
        let mut ends: Vec<i64> = Vec::new();
        for step in &sky[..=at] {
            let some = sums.iter().skip(sums.partition_point(|sum| step.x + sum <= from));
            ends.extend(some.map(|sum| step.x + sum).take_while(|x| *x <= last));
        }
        ends.sort_unstable();
        ends.dedup();
        self.work.spend(ends.len() as u64 / 4 + 1);
        let mut next = Vec::new();
        for x in ends {
            if self.work.out() {
                self.cut = true;
                return;
            }
            sky::lay(sky, at, x - from, wall, self.task.width, &mut next);
            self.work.spend(2);
            if !self.slack(&next, parent.table, &parent.wanted, None) {
                // A wider gap leaves no more.
                break;
            }
            let niche = sky::lowest(&next);
            self.pieces(parent, &next, niche, wall - sky[at].y, false);
        }
    }

    /// Each piece left that is higher than `over`, at the left of a niche.
    fn pieces(&mut self, parent: &Parent, sky: &[Step], at: usize, over: i64, fresh: bool) {
        let task = self.task;
        let (x, y) = (sky[at].x, sky[at].y);
        let right = sky::end(sky, at, task.width);
        for (kind, sort) in task.kinds.iter().enumerate() {
            if parent.counts[kind] == 0 {
                continue;
            }
            for (way, (across, along)) in sort.ways.iter().enumerate() {
                // What spans the cloth comes first.
                let full = *across == task.width;
                if *across <= right - x && y + along <= task.top && *along > over && (fresh || !full) {
                    self.child(parent, sky, at, Spot { kind, way, x, y }, full);
                }
            }
        }
    }

    /// A piece laid in the lowest niche.
    fn child(&mut self, parent: &Parent, sky: &[Step], at: usize, spot: Spot, full: bool) {
        let task = self.task;
        let (across, along) = task.kinds[spot.kind].ways[spot.way];
        let mut next = std::mem::take(&mut self.scratch.next);
        let mut counts = std::mem::take(&mut self.scratch.counts);
        sky::lay(sky, at, across, spot.y + along, task.width, &mut next);
        counts.clone_from(&parent.counts);
        counts[spot.kind] -= 1;
        let (mut table, mut least) = (parent.table, parent.least);
        if counts[spot.kind] == 0 {
            self.work.spend(2 + counts.len() as u64 / 8);
            table = self.rooms.table(task, &counts, self.work);
            least = task.least(&counts);
        }
        sky::settle(&mut next, task.width, task.top, least.0, least.1);
        self.work.spend(2 + next.len() as u64 / 4);
        if self.slack(&next, table, &parent.wanted, Some(spot.kind)) {
            self.keep(parent, &next, &counts, spot, full);
        }
        self.scratch.next = next;
        self.scratch.counts = counts;
    }

    /// Keeps an edge, or its mirror image, unless it promises less than others.
    fn keep(&mut self, parent: &Parent, next: &[Step], counts: &[u32], spot: Spot, full: bool) {
        let (across, along) = self.task.kinds[spot.kind].ways[spot.way];
        let placed = parent.node.placed + 1;
        let area = parent.node.area + across * along;
        let rank = self.rank(placed, next);
        let at = self.layer(area);
        if self.layers[at].limit.is_some_and(|limit| rank >= limit) {
            self.cut = true;
            return;
        }
        let mut other = std::mem::take(&mut self.scratch.other);
        sky::mirrored(next, self.task.width, &mut other);
        let mirrored = other.as_slice() < next;
        let kept = if mirrored { &other } else { next };
        let trail = Trail { before: parent.trail, spot, mirrored };
        let hash = hash(kept, counts) ^ u64::from(full);
        self.layers[at].add(Node { rank, hash, placed, area, full, trail, ..Node::default() }, kept, counts);
        self.scratch.other = other;
        if self.layers[at].nodes.len() >= 4 * self.manner.beam.max(16) {
            self.trim(at);
        }
    }

    /// The less the better: what can no longer be used, pieces laid that might have served later,
    /// and an uneven edge.
    fn rank(&self, placed: u32, sky: &[Step]) -> i64 {
        let mut rank = 0i128;
        for ((now, first), factor) in self.scratch.slack.iter().zip(&self.first_slack).zip(&self.factors) {
            rank += i128::from(first - now) * factor;
        }
        let manner = self.manner;
        // Factors and thus this are far from the limits of 128 bits.
        (rank >> 10) as i64
            + self.mean * (manner.thrift * i64::from(placed) + manner.level * sky.len() as i64)
    }

    /// The layer for so much area laid.
    fn layer(&self, area: i64) -> usize {
        let layers = self.layers.len() - 1;
        ((i128::from(area) * layers as i128 / i128::from(self.total.max(1))) as usize).min(layers)
    }

    /// Leaves the best of a layer, each once.
    fn trim(&mut self, at: usize) {
        let layer = &mut self.layers[at];
        self.work.spend(2 * layer.nodes.len() as u64);
        self.cut |= layer.trim(self.manner.beam, self.task.kinds.len());
    }

    /// The pieces in the order in which they were laid, each in its place.
    fn trace(&self, last: u32) -> Vec<Spot> {
        let mut steps = Vec::new();
        let mut at = last;
        while let Some(trail) = self.trails.get(at as usize).filter(|trail| trail.before != NONE) {
            steps.push(*trail);
            at = trail.before;
        }
        let mut mirrored = false;
        let mut spots = Vec::new();
        for trail in steps.iter().rev() {
            let mut spot = trail.spot;
            if mirrored {
                let (across, _) = self.task.kinds[spot.kind].ways[spot.way];
                spot.x = self.task.width - spot.x - across;
            }
            spots.push(spot);
            mirrored ^= trail.mirrored;
        }
        spots
    }
}
