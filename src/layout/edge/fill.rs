//! The most valuable pieces that one cloth holds by cuts from edge to edge: a beam search that fills the
//! smallest rectangle first with blocks, each state ranked by what it comes to when the most valuable
//! block that fits is laid again and again.

use std::cmp::Reverse;

use super::super::free::task::Task;
use super::super::kinds::{Kinds, Spot};
use super::super::search::Weights;
use super::super::work::Work;
use super::blocks::Blocks;

/// So many blocks at most.
const MOST_BLOCKS: usize = 120;

/// From each state so many of the most valuable blocks that fit are laid, and so many that fill a side.
const VALUABLE: usize = 4;
const FLUSH: usize = 2;

/// So many blocks looked at are a step of work; so many steps are a state copied and put in order, and so many
/// counts of its pieces one more; so many steps are a kind looked at for blocks, and what comes before.
const LOOKS: u64 = 64;
const A_STATE: u64 = 4;
const COUNTS: u64 = 32;
const A_KIND: u64 = 30;
const FIRST: u64 = 300;

/// A rectangle of cloth that is still open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Open {
    across: i64,
    along: i64,
    x: i64,
    y: i64,
}

/// A cloth while it is filled.
#[derive(Clone, Debug)]
struct State {
    open: Vec<Open>,
    counts: Vec<u32>,
    laid: Vec<(usize, i64, i64)>,
    value: i64,
    /// What it comes to.
    promise: i64,
}

impl State {
    /// Becomes like another, in the room that it has.
    fn copy(&mut self, from: &State) {
        self.open.clone_from(&from.open);
        self.counts.clone_from(&from.counts);
        self.laid.clone_from(&from.laid);
        (self.value, self.promise) = (from.value, from.promise);
    }
}

/// The pieces that a cloth of this length holds, worth the most found; `width` states are kept.
pub(in super::super) fn fill(
    kinds: &Kinds,
    length: i64,
    values: &[i64],
    width: usize,
    work: &mut Work<'_>,
) -> Vec<Spot> {
    let task = Task::of(kinds, Weights::default(), length, false);
    let blocks = Blocks::of(&task, MOST_BLOCKS);
    work.spend(2 * blocks.work + A_KIND * kinds.items.len() as u64 + FIRST);
    let value = |(kind, count): &(usize, u32)| {
        values.get(*kind).map_or(0, |value| value.saturating_mul(i64::from(*count)))
    };
    let list = blocks.list.iter().enumerate();
    let mut choices: Vec<Choice> = list
        .map(|(block, one)| Choice {
            value: one.holds.iter().map(value).fold(0, i64::saturating_add),
            across: one.across,
            along: one.along,
            block,
        })
        .collect();
    choices.retain(|choice| choice.value > 0);
    choices.sort_by_key(|choice| Reverse(choice.value));
    let filling = Filling { blocks: &blocks, choices };
    let best = filling.search(&task, width, work);
    let mut spots = Vec::new();
    for (block, x, y) in best.laid {
        blocks.spots(&task, block, x, y, &mut spots);
    }
    spots.iter().map(|spot| task.placed(spot.kind, spot.way, spot.x, spot.y)).collect()
}

/// A block that may be laid.
#[derive(Clone, Copy, Debug)]
struct Choice {
    value: i64,
    across: i64,
    along: i64,
    block: usize,
}

/// Blocks, the most valuable first.
struct Filling<'a> {
    blocks: &'a Blocks,
    choices: Vec<Choice>,
}

impl Filling<'_> {
    fn search(&self, task: &Task, width: usize, work: &mut Work<'_>) -> State {
        let whole = Open { across: task.width, along: task.top, x: 0, y: 0 };
        let counts = task.kinds.iter().map(|kind| kind.count).collect();
        let empty = State { open: vec![whole], counts, laid: Vec::new(), value: 0, promise: 0 };
        let (mut best, mut whole) = (empty.clone(), empty.clone());
        self.complete(&empty, &mut best, work);
        let mut beam = vec![empty];
        while !beam.is_empty() && !work.out() {
            let mut next: Vec<State> = Vec::new();
            for mut state in beam {
                let Some(filled) = smallest(&mut state.open) else { continue };
                for choice in self.choices(&state, filled, work) {
                    for lengthwise in [true, false] {
                        let mut child = state.clone();
                        if !self.lay(&mut child, filled, choice, lengthwise) {
                            continue;
                        }
                        self.complete(&child, &mut whole, work);
                        child.promise = whole.value;
                        if whole.value > best.value {
                            std::mem::swap(&mut best, &mut whole);
                        }
                        next.push(child);
                    }
                }
                if !state.open.is_empty() {
                    // The rectangle stays empty.
                    self.complete(&state, &mut whole, work);
                    state.promise = whole.value;
                    next.push(state);
                }
            }
            next.sort_by_key(|state| Reverse((state.promise, state.value)));
            next.dedup_by(|one, other| (one.value, &one.counts) == (other.value, &other.counts));
            next.truncate(width);
            beam = next;
        }
        best
    }

    /// Blocks to go into a rectangle: the most valuable, and those that fill a side of it.
    fn choices(&self, state: &State, filled: Open, work: &mut Work<'_>) -> Vec<Choice> {
        work.spend(self.choices.len() as u64 / LOOKS + 3);
        let mut chosen = Vec::with_capacity(VALUABLE + FLUSH);
        let mut flush = 0;
        for choice in self.choices.iter().filter(|choice| self.fits(state, filled, choice)) {
            if chosen.len() - flush < VALUABLE {
                chosen.push(*choice);
            } else if flush < FLUSH && (choice.across == filled.across || choice.along == filled.along) {
                chosen.push(*choice);
                flush += 1;
            }
        }
        chosen
    }

    fn fits(&self, state: &State, filled: Open, choice: &Choice) -> bool {
        let enough = |(kind, count): &(usize, u32)| state.counts.get(*kind).is_some_and(|left| left >= count);
        choice.across <= filled.across
            && choice.along <= filled.along
            && self.blocks.list.get(choice.block).is_some_and(|block| block.holds.iter().all(enough))
    }

    /// A block laid at the near left corner of a rectangle, the rest cut lengthwise first or across first;
    /// whether that is a way of its own.
    fn lay(&self, state: &mut State, filled: Open, choice: Choice, lengthwise: bool) -> bool {
        let Some(block) = self.blocks.list.get(choice.block) else { return false };
        let (beside, beyond) = (filled.across - block.across, filled.along - block.along);
        if !lengthwise && (beside == 0 || beyond == 0) {
            return false;
        }
        let (high, wide) =
            if lengthwise { (filled.along, block.across) } else { (block.along, filled.across) };
        let right = Open { across: beside, along: high, x: filled.x + block.across, y: filled.y };
        let far = Open { across: wide, along: beyond, x: filled.x, y: filled.y + block.along };
        state.open.extend([right, far].into_iter().filter(|one| one.across > 0 && one.along > 0));
        for (kind, count) in &block.holds {
            if let Some(left) = state.counts.get_mut(*kind) {
                *left = left.saturating_sub(*count);
            }
        }
        state.laid.push((choice.block, filled.x, filled.y));
        state.value = state.value.saturating_add(choice.value);
        true
    }

    /// A state with the most valuable block that fits laid in the smallest rectangle, until none does.
    fn complete(&self, from: &State, state: &mut State, work: &mut Work<'_>) {
        work.spend(A_STATE + state.counts.len() as u64 / COUNTS);
        state.copy(from);
        while let Some(filled) = smallest(&mut state.open) {
            let found = self.choices.iter().position(|choice| self.fits(state, filled, choice));
            let looked = found.unwrap_or(self.choices.len());
            work.spend(looked as u64 / LOOKS + 1);
            let Some(choice) = found.and_then(|place| self.choices.get(place)) else { continue };
            // The larger rest stays in one piece.
            let (beside, beyond) = (filled.across - choice.across, filled.along - choice.along);
            let lengthwise = i128::from(beside) * i128::from(filled.along)
                >= i128::from(beyond) * i128::from(filled.across);
            self.lay(state, filled, *choice, lengthwise || beside == 0 || beyond == 0);
        }
    }
}

/// Takes out the smallest of rectangles.
fn smallest(open: &mut Vec<Open>) -> Option<Open> {
    let area = |one: &Open| i128::from(one.across) * i128::from(one.along);
    let (at, _) = open.iter().enumerate().min_by_key(|(_, one)| area(one))?;
    Some(open.swap_remove(at))
}
