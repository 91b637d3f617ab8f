//! A job of cloths of fixed sizes as its planners see it: equal pieces are one item.

use std::collections::HashMap;

use super::cost::Cost;
use super::deal::Hand;
use crate::layout::job::{Budget, Job, Kind, Piece, Sheet};
use crate::layout::kinds::Item;
use crate::layout::plan::{Lay, Placed, Rect, Spread};
use crate::layout::roll::{self, Laid};
use crate::layout::tree;

/// The roll, and what a length of it costs.
#[derive(Clone, Copy)]
pub(super) struct Roll<'a> {
    pub width: i64,
    pub cost: &'a dyn Fn(i64) -> Cost,
}

/// A cloth and what lies on it, items in place of pieces.
#[derive(Clone, Debug)]
pub(super) struct Use {
    /// Which cloth of the task; the roll otherwise.
    pub cloth: Option<usize>,
    pub count: i64,
    pub along: i64,
    pub placed: Vec<Placed>,
}

/// A job's cloths and items.
#[derive(Clone, Debug)]
pub(super) struct Task {
    /// Cloths that there are, with their places in the job.
    pub cloths: Vec<(usize, Sheet)>,
    pub items: Vec<Item>,
    /// For each item the job's pieces: which, how many, and whether it is written the other way round.
    members: Vec<Vec<(usize, u64, bool)>>,
    /// Whether there is a roll that has no price, so that its length counts before money.
    by_length: bool,
}

impl Task {
    /// A job whose pieces have counts that can be added up.
    pub fn of(job: &Job, by_length: bool) -> Task {
        let sheets = job.sheets.iter().copied().enumerate();
        let cloths = sheets.filter(|(_, sheet)| sheet.count > 0 && sheet.across > 0 && sheet.along > 0);
        let mut task = Task { cloths: cloths.collect(), items: Vec::new(), members: Vec::new(), by_length };
        let mut known: HashMap<(i64, i64, bool), usize> = HashMap::new();
        for (at, piece) in job.pieces.iter().enumerate().filter(|(_, piece)| piece.count > 0) {
            let (across, along) = piece.lies(false);
            let turns = piece.may_turn && across != along;
            let flipped = turns && across > along;
            let (across, along) = piece.lies(flipped);
            let next = task.items.len();
            let kind = *known.entry((across, along, turns)).or_insert(next);
            if kind == next {
                task.items.push(Item { count: 0, across, along, turns });
                task.members.push(Vec::new());
            }
            if let (Some(item), Some(members)) = (task.items.get_mut(kind), task.members.get_mut(kind)) {
                item.count = item.count.saturating_add(piece.count);
                members.push((at, piece.count, flipped));
            }
        }
        task
    }

    /// What a cloth costs.
    pub fn cost(&self, sheet: &Sheet) -> Cost {
        let (main, then) = if self.by_length { (0, sheet.cost) } else { (sheet.cost, 0) };
        Cost { main, then, cloths: 1 }
    }

    /// The area of so many of each item.
    pub fn area(&self, counts: &[usize]) -> i128 {
        let each = |(item, count): (&Item, &usize)| {
            (i128::from(item.across) * i128::from(item.along)).saturating_mul(*count as i128)
        };
        self.items.iter().zip(counts).map(each).fold(0, i128::saturating_add)
    }

    /// So many of each item laid anyhow on the roll.
    pub fn on_roll(&self, width: i64, counts: &[usize], budget: Budget) -> Option<(Laid, Vec<Placed>)> {
        let piece = |(item, count): (&Item, &usize)| Piece {
            count: *count as u64,
            across: item.across,
            along: item.along,
            may_turn: item.turns,
            by_selvage: false,
        };
        let pieces: Vec<Piece> = self.items.iter().zip(counts).map(piece).collect();
        let laid = roll::plan(width, &pieces, Kind::Any, budget).ok()?;
        let spread =
            Spread { sheet: None, count: 1, across: width, along: laid.length, lay: laid.lay.clone() };
        let placed = spread.placed(usize::MAX);
        Some((laid, placed))
    }

    /// What the cloths in use cost, without the roll.
    pub fn sheets_cost(&self, uses: &[Use]) -> i64 {
        let each = |one: &Use| {
            let sheet = one.cloth.and_then(|cloth| self.cloths.get(cloth));
            sheet.map_or(0, |(_, sheet)| sheet.cost.saturating_mul(one.count))
        };
        uses.iter().map(each).fold(0, i64::saturating_add)
    }

    /// The job's pieces, of so many of each item that are left over.
    pub fn left(&self, counts: &[usize]) -> Vec<(usize, u64)> {
        let mut left = Vec::new();
        for (members, count) in self.members.iter().zip(counts) {
            let mut rest = *count as u64;
            for (piece, most, _) in members.iter().rev() {
                let here = rest.min(*most);
                rest -= here;
                if here > 0 {
                    left.push((*piece, here));
                }
            }
        }
        left.sort_unstable();
        left
    }

    /// Cloths with the job's pieces on them.
    pub fn spreads(&self, uses: &[Use], width: i64) -> Vec<Spread> {
        let mut hand = Hand::of(&self.members);
        let mut spreads = Vec::new();
        for one in uses {
            let found = one.cloth.and_then(|cloth| self.cloths.get(cloth));
            let across = found.map_or(width, |(_, sheet)| sheet.across);
            let lay = laid_out(Rect { x: 0, y: 0, across, along: one.along }, &one.placed);
            for (count, lay) in hand.cloths(one.count.unsigned_abs(), &lay) {
                let sheet = found.map(|(at, _)| *at);
                spreads.push(Spread { sheet, count, across, along: one.along, lay });
            }
        }
        spreads
    }
}

/// Pieces in their places as cuts, or free where they cannot be cut apart.
fn laid_out(cloth: Rect, placed: &[Placed]) -> Lay {
    let free = || Lay::Free { pieces: placed.to_vec(), left: Vec::new() };
    tree::cuts(cloth, placed.to_vec()).map_or_else(free, Lay::Cut)
}
