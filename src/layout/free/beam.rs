//! Whether the pieces of a task go onto a cloth of its length: a search that lays one piece after
//! the other into the lowest niche, and keeps the most promising edges of equal progress.

use super::super::beam::{self, Layers, Promise, START, Trails};
use super::super::work::Work;
pub(super) use super::exact::Outcome;
use super::room::{Amounts, Rooms};
use super::sky::{self, Step};
use super::task::{Spot, Task};

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

/// An edge reached, and what is left to lay.
#[derive(Clone, Debug)]
struct Node {
    rank: i64,
    hash: u64,
    so_far: SoFar,
    /// The trail that it goes on from, and the piece laid.
    before: u32,
    laid: Laid,
    sky: Box<[Step]>,
    counts: Box<[u32]>,
}

/// What has been laid.
#[derive(Clone, Copy, Debug, Default)]
struct SoFar {
    /// How many pieces, and their area.
    placed: u32,
    area: i64,
    /// Nothing but pieces that span the cloth.
    full: bool,
}

/// A piece laid, and how its edge is kept.
#[derive(Clone, Copy, Debug)]
struct Laid {
    spot: Spot,
    /// As seen from the other side.
    mirrored: bool,
}

impl beam::Node for Node {
    fn rank(&self) -> i64 {
        self.rank
    }

    fn hash(&self) -> u64 {
        self.hash
    }

    fn same(&self, other: &Node) -> bool {
        self.sky == other.sky && self.counts == other.counts
    }
}

/// Numbers for edges, alike on every machine.
fn hash(sky: &[Step], counts: &[u32]) -> u64 {
    let mix = |sum: u64, part: u64| (sum.rotate_left(23) ^ part).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    let sum = sky.iter().fold(0, |sum, step| mix(mix(sum, step.x as u64), step.y as u64));
    counts.iter().fold(sum, |sum, count| mix(sum, u64::from(*count)))
}

/// So many niches are left empty one after the other.
const DEEPEST: usize = 8;

/// A search on its way.
struct Beam<'a, 's> {
    task: &'a Task,
    rooms: Rooms,
    manner: Manner,
    layers: Layers<Node>,
    trails: Trails<Laid>,
    promise: Promise,
    /// Area of a piece on average.
    mean: i64,
    work: &'a mut Work<'s>,
    scratch: Scratch,
}

/// Room for results that are passed on.
#[derive(Clone, Debug, Default)]
struct Scratch {
    slack: Amounts,
    open: Vec<(i64, i64)>,
    next: Vec<Step>,
    other: Vec<Step>,
    counts: Vec<u32>,
}

/// A node while its children are made.
struct Parent {
    so_far: SoFar,
    counts: Box<[u32]>,
    trail: u32,
    /// The table for the kinds left, what they weigh, the narrowest and the lowest.
    table: usize,
    wanted: Amounts,
    least: (i64, i64),
}

/// Looks for a layout of the task; takes its steps off `work` and stops when there are no more.
pub(super) fn look(task: &Task, manner: Manner, work: &mut Work<'_>) -> Outcome {
    Beam::new(task, manner, work).run()
}

impl<'a, 's> Beam<'a, 's> {
    fn new(task: &'a Task, manner: Manner, work: &'a mut Work<'s>) -> Beam<'a, 's> {
        let layers = task.pieces().clamp(1, 1000) as usize;
        let total = task.area();
        Beam {
            task,
            rooms: Rooms::of(task),
            manner,
            layers: Layers::new(layers, total, manner.beam),
            trails: Trails::new(),
            promise: Promise::default(),
            mean: (total / task.pieces().max(1)).max(1),
            work,
            scratch: Scratch::default(),
        }
    }

    fn run(&mut self) -> Outcome {
        let task = self.task;
        if task.kinds.iter().any(|kind| kind.ways.is_empty()) {
            return Outcome::Never;
        }
        let counts: Box<[u32]> = task.kinds.iter().map(|kind| kind.count).collect();
        let sky = [Step { x: 0, y: 0 }];
        let parent = self.parent(SoFar { full: true, ..SoFar::default() }, counts, START);
        if !self.slack(&sky, parent.table, &parent.wanted, None) {
            return Outcome::Never;
        }
        self.promise = Promise::of(&self.scratch.slack);
        self.expand(&parent, &sky, 0);
        for at in 0..self.layers.count() {
            loop {
                let nodes = self.layers.take(at, self.work);
                if nodes.is_empty() {
                    break;
                }
                for node in nodes {
                    if self.work.out() {
                        return Outcome::Open;
                    }
                    let Some(trail) = self.trails.step(node.before, node.laid) else {
                        return Outcome::Open;
                    };
                    if i64::from(node.so_far.placed) == task.pieces() {
                        return Outcome::Laid(self.laid(trail));
                    }
                    let parent = self.parent(node.so_far, node.counts, trail);
                    self.expand(&parent, &node.sky, 0);
                }
            }
        }
        Outcome::Open
    }

    fn parent(&mut self, so_far: SoFar, counts: Box<[u32]>, trail: u32) -> Parent {
        let table = self.rooms.table(self.task, &counts, self.work);
        self.work.spend(2 + counts.len() as u64 / 16);
        let wanted = self.rooms.wanted(&counts);
        let least = self.task.least(&counts);
        Parent { so_far, counts, trail, table, wanted, least }
    }

    /// Whether enough is free beyond an edge, on each scale, for what is left, less one of a kind.
    fn slack(&mut self, sky: &[Step], table: usize, wanted: &Amounts, less: Option<usize>) -> bool {
        let mut slack = self.rooms.free(self.task, table, sky, &mut self.scratch.open);
        let less = less.map_or(Amounts::default(), |kind| self.rooms.each(kind));
        for (free, (wanted, less)) in slack.iter_mut().zip(wanted.iter().zip(less)) {
            *free -= wanted - less;
        }
        self.scratch.slack = slack;
        slack.iter().all(|slack| *slack >= 0)
    }

    /// Tries every piece at the left of the lowest niche, and leaving some of the niche empty.
    fn expand(&mut self, parent: &Parent, sky: &[Step], depth: usize) {
        let at = sky::lowest(sky);
        let Step { x, y } = sky::step(sky, at);
        let right = sky::end(sky, at, self.task.width);
        if y >= self.task.top {
            return;
        }
        let fresh = parent.so_far.full && depth == 0 && right - x == self.task.width;
        self.pieces(parent, sky, at, fresh);
        if depth > DEEPEST {
            return;
        }
        // Nothing lies on the floor of the niche: up to its lower wall it stays empty.
        let mut next = sky.to_vec();
        if let Some(floor) = next.get_mut(at) {
            floor.y = sky::wall(sky, at, self.task.top);
        }
        sky::settle(&mut next, self.task.width, self.task.top, parent.least.0, parent.least.1);
        self.work.spend(2);
        if self.slack(&next, parent.table, &parent.wanted, None) {
            self.expand(parent, &next, depth + 1);
        }
    }

    /// Each piece left, at the left of a niche.
    fn pieces(&mut self, parent: &Parent, sky: &[Step], at: usize, fresh: bool) {
        let task = self.task;
        let Step { x, y } = sky::step(sky, at);
        let right = sky::end(sky, at, task.width);
        let kinds = task.kinds.iter().zip(&parent.counts).enumerate();
        for (kind, (sort, _)) in kinds.filter(|(_, (_, left))| **left > 0) {
            if self.work.out() {
                return;
            }
            for (way, (across, along)) in sort.ways.iter().enumerate() {
                // What spans the cloth comes first.
                let full = *across == task.width;
                if *across <= right - x && y + along <= task.top && (fresh || !full) {
                    self.child(parent, sky, at, Spot { kind, way, x, y }, full);
                }
            }
        }
    }

    /// A piece laid in the lowest niche.
    fn child(&mut self, parent: &Parent, sky: &[Step], at: usize, spot: Spot, full: bool) {
        let task = self.task;
        let (across, along) = task.sides(spot.kind, spot.way);
        let mut next = std::mem::take(&mut self.scratch.next);
        let mut counts = std::mem::take(&mut self.scratch.counts);
        sky::lay(sky, at, across, spot.y + along, task.width, &mut next);
        counts.clear();
        counts.extend_from_slice(&parent.counts);
        let left = counts.get_mut(spot.kind).map_or(0, |left| {
            *left = left.saturating_sub(1);
            *left
        });
        let (mut table, mut least) = (parent.table, parent.least);
        if left == 0 {
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
        let (across, along) = self.task.sides(spot.kind, spot.way);
        let placed = parent.so_far.placed + 1;
        let area = parent.so_far.area + across * along;
        let rank = self.rank(placed, next);
        let at = self.layers.at(area);
        if !self.layers.keeps(at, rank) {
            return;
        }
        let mut other = std::mem::take(&mut self.scratch.other);
        sky::mirrored(next, self.task.width, &mut other);
        let mirrored = other.as_slice() < next;
        let kept = if mirrored { &other } else { next };
        let node = Node {
            rank,
            hash: hash(kept, counts) ^ u64::from(full),
            so_far: SoFar { placed, area, full },
            before: parent.trail,
            laid: Laid { spot, mirrored },
            sky: kept.into(),
            counts: counts.into(),
        };
        self.layers.keep(at, node, self.work);
        self.scratch.other = other;
    }

    /// The less the better: what can no longer be used, pieces laid that might have served later,
    /// and an uneven edge.
    fn rank(&self, placed: u32, sky: &[Step]) -> i64 {
        let manner = self.manner;
        self.promise.lost(&self.scratch.slack)
            + self.mean * (manner.thrift * i64::from(placed) + manner.level * sky.len() as i64)
    }

    /// The pieces in the order in which they were laid, each in its place.
    fn laid(&self, trail: u32) -> Vec<Spot> {
        let mut mirrored = false;
        let mut spots = Vec::new();
        for laid in self.trails.steps(trail) {
            let mut spot = laid.spot;
            if mirrored {
                let (across, _) = self.task.sides(spot.kind, spot.way);
                spot.x = self.task.width - spot.x - across;
            }
            spots.push(spot);
            mirrored ^= laid.mirrored;
        }
        spots
    }
}
