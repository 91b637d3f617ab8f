//! A job of cloths of fixed sizes as its planners see it: equal pieces are one item.

use std::collections::HashMap;

use num_integer::gcd;

use super::cost::Cost;
use super::deal::Hand;
use crate::layout::job::{Job, Kind, Piece, Sheet};
use crate::layout::kinds::{Item, Strip};
use crate::layout::plan::{Lay, Part, Placed, Rect, Share, Spread};
use crate::layout::roll::Planner;
use crate::layout::tree;
use crate::layout::work::Work;

/// The roll, and what a length of it costs.
#[derive(Clone, Copy)]
pub(super) struct Roll<'a> {
    pub width: i64,
    pub cost: &'a dyn Fn(i64) -> Cost,
    /// Lays pieces out on it.
    pub plan: Planner<'a>,
}

/// Equal cloths and what lies on each, items in place of pieces.
#[derive(Clone, Debug)]
pub(super) struct Use {
    /// Which cloth of the task; the roll otherwise.
    pub cloth: Option<usize>,
    pub count: i64,
    pub along: i64,
    pub lay: Lay,
}

/// What was found by cuts of a kind.
#[derive(Clone, Debug)]
pub(super) struct Found {
    /// The cloths and what lies on each; what is on them beyond what is wanted is left over.
    pub uses: Vec<Use>,
    pub length: i64,
    pub cost: Cost,
    /// Nothing costs less.
    pub bound: i64,
    /// How many of each item find no place.
    pub left: Vec<u64>,
}

impl Found {
    /// Whether all pieces have a place, and no plan can cost less than this bound.
    pub fn is_whole_at(&self, bound: i64) -> bool {
        self.cost.main <= bound && self.left.iter().all(|left| *left == 0)
    }
}

/// A job's cloths and items.
#[derive(Clone, Debug, Default)]
pub(super) struct Task {
    /// Cloths that there are, with their places in the job.
    pub cloths: Vec<(usize, Sheet)>,
    pub items: Vec<Item>,
    /// Which items come off the roll along its selvage, and lie on no other cloth.
    pub by_selvage: Vec<bool>,
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
        let mut task = Task { cloths: cloths.collect(), items: Vec::new(), ..Task::default() };
        task.by_length = by_length;
        let mut known: HashMap<(i64, i64, bool, bool), usize> = HashMap::new();
        for (at, piece) in job.pieces.iter().enumerate().filter(|(_, piece)| piece.count > 0) {
            let (across, along) = piece.lies(false);
            let turns = piece.may_turn && across != along && !piece.by_selvage;
            let flipped = turns && across > along;
            let (across, along) = piece.lies(flipped);
            let next = task.items.len();
            let kind = *known.entry((across, along, turns, piece.by_selvage)).or_insert(next);
            if kind == next {
                task.items.push(Item { count: 0, across, along, turns });
                task.by_selvage.push(piece.by_selvage);
                task.members.push(Vec::new());
            }
            if let (Some(item), Some(members)) = (task.items.get_mut(kind), task.members.get_mut(kind)) {
                item.count = item.count.saturating_add(piece.count);
                members.push((at, piece.count, flipped));
            }
        }
        task
    }

    /// Whether the length of the roll counts before money.
    pub fn by_length(&self) -> bool {
        self.by_length
    }

    /// What a cloth costs.
    pub fn cost(&self, sheet: &Sheet) -> Cost {
        let (main, then) = if self.by_length { (0, sheet.cost) } else { (sheet.cost, 0) };
        Cost { main, then, cloths: 1 }
    }

    /// The area of so many of each item.
    pub fn area(&self, counts: &[u64]) -> i128 {
        let each = |(item, count): (&Item, &u64)| {
            (i128::from(item.across) * i128::from(item.along)).saturating_mul(i128::from(*count))
        };
        self.items.iter().zip(counts).map(each).fold(0, i128::saturating_add)
    }

    /// How many there are of each item.
    pub fn counts(&self) -> Vec<u64> {
        self.items.iter().map(|item| item.count).collect()
    }

    /// So many of each item as pieces.
    pub fn pieces(&self, counts: &[u64]) -> Vec<Piece> {
        let piece = |((item, by_selvage), count): ((&Item, &bool), &u64)| Piece {
            count: *count,
            across: item.across,
            along: item.along,
            may_turn: item.turns,
            by_selvage: *by_selvage,
        };
        self.items.iter().zip(&self.by_selvage).zip(counts).map(piece).collect()
    }

    /// Strips as cuts of a cloth.
    pub fn strips(&self, strips: &[Strip], sheet: &Sheet) -> Part {
        let mut shares: Vec<Share> = strips.iter().map(|strip| self.strip(strip, sheet.across)).collect();
        let free = shares.iter().fold(sheet.along, |free, share| free.saturating_sub(share.total()));
        if free > 0 {
            shares.push(Share { times: 1, size: free, part: Part::Left });
        }
        Part::Across(shares)
    }

    fn strip(&self, strip: &Strip, width: i64) -> Share {
        let mut columns = Vec::with_capacity(strip.cells.len() + 1);
        let mut free = width;
        for cell in &strip.cells {
            let (across, along) = self.items.get(cell.item).map_or((0, 0), |item| item.lies(cell.turned));
            let piece = Part::Piece { piece: cell.item, turned: cell.turned };
            let trim = Share { times: 1, size: strip.height - along, part: Part::Left };
            let part = match trim.size {
                0 => piece,
                _ => Part::Across(vec![Share { times: 1, size: along, part: piece }, trim]),
            };
            let column = Share { times: cell.count, size: across, part };
            free = free.saturating_sub(column.total());
            columns.push(column);
        }
        if free > 0 {
            columns.push(Share { times: 1, size: free, part: Part::Left });
        }
        Share { times: strip.times, size: strip.height, part: Part::Along(columns) }
    }

    /// No plan costs less: the cheapest cloths by area, in whole steps of their costs; with a roll, what
    /// must come from it, by a look that takes `none` of the work.
    pub fn least_cost(&self, roll: Option<Roll<'_>>, mut none: Work<'_>) -> i64 {
        let all = self.area(&self.counts());
        let Some(roll) = roll else { return self.least_by_area(all) };
        let held = |(_, sheet): &(usize, Sheet)| sheet.area().saturating_mul(i128::from(sheet.count));
        let rest = all.saturating_sub(self.cloths.iter().map(held).fold(0, i128::saturating_add)).max(0);
        let width = i128::from(roll.width.max(1));
        let by_area = i64::try_from(rest / width + i128::from(rest % width != 0)).unwrap_or(i64::MAX);
        let homeless = |(item, by_selvage): (&Item, &bool)| {
            let fits = |(_, sheet): &(usize, Sheet)| {
                item.ways(sheet.across).any(|turned| item.lies(turned).1 <= sheet.along)
            };
            if !by_selvage && self.cloths.iter().any(fits) { 0 } else { item.count }
        };
        let counts: Vec<u64> = self.items.iter().zip(&self.by_selvage).map(homeless).collect();
        let laid = (roll.plan)(roll.width, &self.pieces(&counts), Kind::Any, &mut none);
        let least = laid.map_or(0, |laid| laid.bound).max(by_area);
        // What sheets cost comes on top, and more of the roll never costs less.
        (roll.cost)(least).main
    }

    fn least_by_area(&self, mut wanted: i128) -> i64 {
        let mut order: Vec<&Sheet> = self.cloths.iter().map(|(_, sheet)| sheet).collect();
        order.sort_by(|one, other| {
            let rate = |cost: i64, by: i128| i128::from(cost).saturating_mul(by);
            rate(one.cost, other.area()).cmp(&rate(other.cost, one.area()))
        });
        let mut cost = 0i128;
        for sheet in order {
            let here = sheet.area().saturating_mul(i128::from(sheet.count)).min(wanted);
            let part = here.saturating_mul(i128::from(sheet.cost));
            cost = cost.saturating_add(part / sheet.area() + i128::from(part % sheet.area() > 0));
            wanted -= here;
        }
        i64::try_from(cost).map_or(i64::MAX, |cost| self.possible(cost))
    }

    /// The least cost from this one on that cloths can add up to.
    pub fn possible(&self, cost: i64) -> i64 {
        let step = self.cloths.iter().fold(0i64, |step, (_, sheet)| gcd(step, sheet.cost)).max(1);
        cost.checked_add(step - 1).map_or(cost, |cost| cost / step * step)
    }

    /// The job's pieces, of so many of each item that are left over.
    pub fn left(&self, counts: &[u64]) -> Vec<(usize, u64)> {
        let mut left = Vec::new();
        for (members, count) in self.members.iter().zip(counts) {
            let mut rest = *count;
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
            for (count, lay) in hand.cloths(one.count.unsigned_abs(), &one.lay) {
                let sheet = found.map(|(at, _)| *at);
                spreads.push(Spread { sheet, count, across, along: one.along, lay });
            }
        }
        spreads
    }
}

/// Pieces in their places as cuts, or free where they cannot be cut apart.
pub(super) fn laid_out(cloth: Rect, placed: &[Placed]) -> Lay {
    let free = || Lay::Free { pieces: placed.to_vec(), left: Vec::new() };
    tree::cuts(cloth, placed.to_vec()).map_or_else(free, Lay::Cut)
}
