//! Whether the pieces of a task go onto a cloth of its length: a search that lays one piece after
//! the other into the lowest niche, and keeps the most promising edges of equal progress.

use super::Task;
use super::room::Rooms;
use super::sky::{self, Step};

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
}

/// What came of it.
#[derive(Clone, Debug)]
pub(super) enum Outcome {
    /// All pieces laid: kind, way and place.
    Laid(Vec<Spot>),
    /// None was found.
    Unknown,
}

/// A piece laid.
#[derive(Clone, Copy, Debug, Default)]
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
#[derive(Clone, Debug)]
struct Node {
    rank: i64,
    hash: u64,
    sky: Box<[Step]>,
    counts: Box<[u32]>,
    area: i64,
    placed: u32,
    full: bool,
    trail: Trail,
}

/// How an edge was reached.
#[derive(Clone, Copy, Debug, Default)]
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
    /// Nothing of this rank or above is kept.
    limit: Option<i64>,
}

/// A search on its way.
struct Beam<'a> {
    task: &'a Task,
    rooms: Rooms,
    manner: Manner,
    layers: Vec<Layer>,
    trails: Vec<Trail>,
    total: i64,
    first_slack: Vec<i64>,
    work: u64,
    // Rooms for passing results.
    wanted: Vec<i64>,
    free: Vec<i64>,
    open: Vec<(i64, i64)>,
    next: Vec<Step>,
    other: Vec<Step>,
}

/// Numbers for edges, alike on every machine.
fn hash(sky: &[Step], counts: &[u32]) -> u64 {
    let parts = sky.iter().flat_map(|step| [step.x as u64, step.y as u64]);
    let mix = |sum: u64, part: u64| (sum.rotate_left(23) ^ part).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    parts.chain(counts.iter().map(|count| u64::from(*count))).fold(0, mix)
}

const NONE: u32 = u32::MAX;

/// Looks for a layout of the task; takes its steps off `work` and stops when there are no more.
pub(super) fn look(task: &Task, manner: Manner, work: &mut u64) -> Outcome {
    let mut beam = Beam::new(task, manner, *work);
    let outcome = beam.run();
    *work = beam.work.saturating_sub(beam.rooms.work);
    outcome
}

impl<'a> Beam<'a> {
    fn new(task: &'a Task, manner: Manner, work: u64) -> Beam<'a> {
        let count: u64 = task.kinds.iter().map(|kind| u64::from(kind.count)).sum();
        let layers = count.clamp(1, 1000) as usize;
        Beam {
            task,
            rooms: Rooms::of(task),
            manner,
            layers: vec![Layer::default(); layers + 1],
            trails: Vec::new(),
            total: task.area(),
            first_slack: Vec::new(),
            work,
            wanted: Vec::new(),
            free: Vec::new(),
            open: Vec::new(),
            next: Vec::new(),
            other: Vec::new(),
        }
    }

    fn run(&mut self) -> Outcome {
        let counts: Vec<u32> = self.task.kinds.iter().map(|kind| kind.count).collect();
        let root = vec![Step { x: 0, y: 0 }];
        let Some(slack) = self.slack(&root, &counts) else { return Outcome::Unknown };
        self.first_slack = slack;
        let node = Node {
            rank: 0,
            hash: 0,
            sky: root.into(),
            counts: counts.into(),
            area: 0,
            placed: 0,
            full: true,
            trail: Trail { before: NONE, ..Trail::default() },
        };
        self.layers[0].nodes.push(node);
        for at in 0..self.layers.len() {
            while !self.layers[at].nodes.is_empty() {
                self.trim(at, self.manner.beam);
                self.layers[at].limit = None;
                let nodes = std::mem::take(&mut self.layers[at].nodes);
                for node in nodes {
                    if self.work < self.rooms.work {
                        return Outcome::Unknown;
                    }
                    self.trails.push(node.trail);
                    let trail = (self.trails.len() - 1) as u32;
                    if node.counts.iter().all(|count| *count == 0) {
                        return Outcome::Laid(self.trace(trail));
                    }
                    self.expand(&node, &node.sky, trail, 0);
                }
            }
        }
        Outcome::Unknown
    }

    /// What is free beyond what is needed, on each scale; `None` where it is too little.
    fn slack(&mut self, sky: &[Step], counts: &[u32]) -> Option<Vec<i64>> {
        let table = self.rooms.table(self.task, counts);
        let mut free = std::mem::take(&mut self.free);
        self.rooms.free(self.task, table, sky, &mut self.open, &mut free);
        self.rooms.wanted(counts, &mut self.wanted);
        let enough = free.iter().zip(&self.wanted).all(|(free, wanted)| free >= wanted);
        let slack = free.iter().zip(&self.wanted).map(|(free, wanted)| free - wanted).collect();
        self.free = free;
        enough.then_some(slack)
    }

    /// Tries every piece at the left of the lowest niche, and leaving some of the niche empty.
    fn expand(&mut self, node: &Node, sky: &[Step], trail: u32, depth: usize) {
        let at = sky::lowest(sky);
        let (x, y) = (sky[at].x, sky[at].y);
        let right = sky::end(sky, at, self.task.width);
        let task = self.task;
        if y >= task.top {
            return;
        }
        let all_across = x == 0 && right == task.width;
        for (kind, sort) in task.kinds.iter().enumerate() {
            if node.counts[kind] == 0 {
                continue;
            }
            for (way, (across, along)) in sort.ways.iter().enumerate() {
                if *across > right - x || y + along > task.top {
                    continue;
                }
                // What spans the cloth comes first.
                let full = *across == task.width;
                if full && !(node.full && all_across && depth == 0) {
                    continue;
                }
                let spot = Spot { kind, way, x, y };
                self.child(node, sky, at, spot, trail, full);
            }
        }
        if depth > 6 {
            return;
        }
        self.leave(node, sky, at, trail, depth);
    }

    /// Leaves the niche empty up to its lower wall.
    fn leave(&mut self, node: &Node, sky: &[Step], at: usize, trail: u32, depth: usize) {
        let wall = sky::wall(sky, at, self.task.top);
        let mut next = sky.to_vec();
        next[at].y = wall;
        next.dedup_by(|next, before| next.y == before.y);
        self.work = self.work.saturating_sub(3);
        if self.slack(&next, &node.counts).is_some() {
            let mut next_node = node.clone();
            next_node.full = false;
            self.expand(&next_node, &next, trail, depth + 1);
        }
    }

    fn child(&mut self, node: &Node, sky: &[Step], at: usize, spot: Spot, trail: u32, full: bool) {
        let task = self.task;
        let sort = &task.kinds[spot.kind];
        let (across, along) = sort.ways[spot.way];
        let mut next = std::mem::take(&mut self.next);
        sky::lay(sky, at, across, spot.y + along, task.width, &mut next);
        let mut counts = node.counts.clone();
        counts[spot.kind] -= 1;
        let (narrowest, lowest) = task.least(&counts);
        sky::settle(&mut next, task.width, task.top, narrowest, lowest);
        self.work = self.work.saturating_sub(3 + next.len() as u64 / 2);
        if let Some(slack) = self.slack(&next, &counts) {
            let mut other = std::mem::take(&mut self.other);
            sky::mirrored(&next, task.width, &mut other);
            let mirrored = other < next;
            let kept = if mirrored { &other } else { &next };
            let placed = node.placed + 1;
            let area = node.area + across * along;
            let rank = self.rank(&slack, placed, kept);
            let trail = Trail { before: trail, spot, mirrored };
            let full = full && counts[spot.kind] < node.counts[spot.kind];
            let sky = kept.as_slice().into();
            let child = Node { rank, hash: hash(kept, &counts), sky, counts, area, placed, full, trail };
            self.keep(child);
            self.other = other;
        }
        self.next = next;
    }

    /// The less the better.
    fn rank(&self, slack: &[i64], placed: u32, sky: &[Step]) -> i64 {
        let mean = (self.total / self.task.pieces().max(1)).max(1);
        let mut rank = 0i64;
        for (now, first) in slack.iter().zip(&self.first_slack).take(2) {
            rank += (first - now) * 16;
        }
        for (now, first) in slack.iter().zip(&self.first_slack).skip(2) {
            let part =
                i128::from(first - now) * i128::from(self.first_slack[0]) * 16 / i128::from((*first).max(1));
            rank += part as i64;
        }
        rank + mean * self.manner.thrift * i64::from(placed) + self.manner.level * sky.len() as i64 * mean
    }

    fn keep(&mut self, node: Node) {
        let layers = self.layers.len() - 1;
        let at = (i128::from(node.area) * layers as i128 / i128::from(self.total.max(1))) as usize;
        let layer = &mut self.layers[at.min(layers)];
        if layer.limit.is_some_and(|limit| node.rank >= limit) {
            return;
        }
        layer.nodes.push(node);
        if layer.nodes.len() >= 4 * self.manner.beam.max(16) {
            self.trim(at.min(layers), self.manner.beam);
        }
    }

    /// Leaves the best of a layer, each once.
    fn trim(&mut self, at: usize, most: usize) {
        let layer = &mut self.layers[at];
        layer.nodes.sort_by_key(|node| (node.rank, node.hash));
        layer.nodes.dedup_by(|a, b| a.hash == b.hash && a.sky == b.sky && a.counts == b.counts);
        if layer.nodes.len() > most {
            layer.nodes.truncate(most);
            layer.limit = layer.nodes.last().map(|last| last.rank);
        }
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
