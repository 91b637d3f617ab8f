//! Beam search: states of equal progress lie in one layer, and of each layer the most promising are kept.

use super::work::Work;

/// A state that may be gone on from.
pub(super) trait Node {
    /// The less the better.
    fn rank(&self) -> i64;
    /// A number for what may still come of it, alike on every machine.
    fn hash(&self) -> u64;
    /// Whether the same may come of two nodes of one number.
    fn same(&self, other: &Self) -> bool;
}

/// States by progress.
#[derive(Clone, Debug)]
pub(super) struct Layers<N> {
    layers: Vec<Layer<N>>,
    /// So many of a layer are kept.
    width: usize,
    /// What all progress comes to.
    total: i64,
}

/// States of equal progress.
#[derive(Clone, Debug)]
struct Layer<N> {
    nodes: Vec<N>,
    /// Nothing of this rank or above is kept.
    limit: Option<i64>,
}

impl<N: Node> Layers<N> {
    /// So many layers of progress from 0 to `total`.
    pub fn new(count: usize, total: i64, width: usize) -> Layers<N> {
        let layers = (0..=count).map(|_| Layer { nodes: Vec::new(), limit: None }).collect();
        Layers { layers, width, total }
    }

    /// How many layers there are.
    pub fn count(&self) -> usize {
        self.layers.len()
    }

    /// The layer of so much progress.
    pub fn at(&self, progress: i64) -> usize {
        let last = self.layers.len() - 1;
        let at = i128::from(progress) * last as i128 / i128::from(self.total.max(1));
        usize::try_from(at).unwrap_or(last).min(last)
    }

    /// Whether a layer would keep a state of this rank.
    pub fn keeps(&self, at: usize, rank: i64) -> bool {
        self.layers.get(at).is_some_and(|layer| layer.limit.is_none_or(|limit| rank < limit))
    }

    /// Keeps a state for now.
    pub fn keep(&mut self, at: usize, node: N, work: &mut Work<'_>) {
        let width = self.width;
        let Some(layer) = self.layers.get_mut(at) else { return };
        layer.nodes.push(node);
        if layer.nodes.len() >= 4 * width.max(6) {
            layer.trim(width, work);
        }
    }

    /// Takes the states of a layer, the most promising first.
    pub fn take(&mut self, at: usize, work: &mut Work<'_>) -> Vec<N> {
        let width = self.width;
        let Some(layer) = self.layers.get_mut(at) else { return Vec::new() };
        layer.trim(width, work);
        layer.limit = None;
        std::mem::take(&mut layer.nodes)
    }
}

impl<N: Node> Layer<N> {
    /// Leaves the best, each once.
    fn trim(&mut self, width: usize, work: &mut Work<'_>) {
        work.spend(self.nodes.len() as u64);
        // What is sorted is small; nodes are moved once.
        let nodes = self.nodes.iter().enumerate();
        let mut order: Vec<(i64, u64, usize)> =
            nodes.map(|(at, node)| (node.rank(), node.hash(), at)).collect();
        order.sort_unstable();
        let mut nodes: Vec<Option<N>> = std::mem::take(&mut self.nodes).into_iter().map(Some).collect();
        for (_, hash, at) in order {
            let Some(node) = nodes.get_mut(at).and_then(Option::take) else { continue };
            if self.nodes.last().is_some_and(|last| last.hash() == hash && last.same(&node)) {
                continue;
            }
            if self.nodes.len() == width {
                self.limit = self.nodes.last().map(Node::rank);
                return;
            }
            self.nodes.push(node);
        }
    }
}

/// How states were reached, step by step.
#[derive(Clone, Debug)]
pub(super) struct Trails<T>(Vec<(u32, T)>);

/// Before the first step.
pub(super) const START: u32 = u32::MAX;

impl<T: Copy> Trails<T> {
    /// No steps.
    pub fn new() -> Trails<T> {
        Trails(Vec::new())
    }

    /// A step after those of a trail, as a trail; `None` past what is counted.
    pub fn step(&mut self, before: u32, step: T) -> Option<u32> {
        let trail = u32::try_from(self.0.len()).ok().filter(|trail| *trail != START)?;
        self.0.push((before, step));
        Some(trail)
    }

    /// The steps of a trail, the first one first.
    pub fn steps(&self, trail: u32) -> Vec<T> {
        let mut steps = Vec::new();
        let mut at = trail;
        while let Some((before, step)) = usize::try_from(at).ok().and_then(|at| self.0.get(at)) {
            steps.push(*step);
            at = *before;
        }
        steps.reverse();
        steps
    }
}

/// What states are ranked by: on each scale, how much of what was spare at first can no longer be used.
#[derive(Clone, Debug, Default)]
pub(super) struct Promise {
    first: Vec<i64>,
    factors: Vec<i128>,
}

impl Promise {
    /// The scales by what is spare at first, all of it alike on each.
    pub fn of(first: &[i64]) -> Promise {
        let whole = i128::from(first.first().copied().unwrap_or(0));
        let factors = first.iter().map(|first| (whole << 14) / i128::from((*first).max(1))).collect();
        Promise { first: first.to_vec(), factors }
    }

    /// What is lost, where so much is spare now.
    pub fn lost(&self, spare: &[i64]) -> i64 {
        let scales = spare.iter().zip(&self.first).zip(&self.factors);
        let lost = scales.fold(0i128, |sum, ((now, first), factor)| sum + i128::from(first - now) * factor);
        i64::try_from(lost >> 10).unwrap_or(i64::MAX / 4)
    }
}
