//! A roll and the kinds of pieces on it, as the planners see them: equal pieces are one kind, and
//! lengths are counted in the largest step that measures all of them.

use std::collections::HashMap;

use num_integer::gcd;

use super::job::{Misfit, Piece};
use super::plan::{Part, Placed, Rect, Share};

/// The kinds of pieces wanted from one width of cloth.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Kinds {
    /// Width, in steps across.
    pub width: i64,
    /// The kinds; each fits the width one way or the other, and counts at least one piece.
    pub items: Vec<Item>,
    /// Grid units in a step across, and along.
    scale: (i64, i64),
    /// Width in grid units.
    whole: i64,
    /// The job's pieces that make up each kind.
    members: Vec<Vec<Member>>,
}

/// Equal pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Item {
    /// How many.
    pub count: u64,
    /// Across, in steps, when not turned.
    pub across: i64,
    /// Along, in steps, when not turned.
    pub along: i64,
    /// Whether it may lie turned; a square does not.
    pub turns: bool,
}

/// A piece of the job that is of a kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Member {
    piece: usize,
    count: u64,
    /// The job writes it the other way round.
    flipped: bool,
}

/// Pieces of one kind next to each other in a strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) struct Cell {
    /// Index into [`Kinds::items`].
    pub item: usize,
    /// Whether they lie turned.
    pub turned: bool,
    /// How many of them.
    pub count: u64,
}

/// Equal strips.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Strip {
    /// How many.
    pub times: u64,
    /// How high each is, in steps.
    pub height: i64,
    /// What each holds, from the left selvage.
    pub cells: Vec<Cell>,
}

/// A piece in its place, in steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    /// Index into [`Kinds::items`].
    pub item: usize,
    /// Whether it lies turned.
    pub turned: bool,
    /// From the left.
    pub x: i64,
    /// From the near end.
    pub y: i64,
}

impl Item {
    /// Across and along as it lies.
    pub fn lies(&self, turned: bool) -> (i64, i64) {
        if turned { (self.along, self.across) } else { (self.across, self.along) }
    }

    /// The ways it may lie on a width: `false` as it is, `true` turned.
    pub fn ways(&self, width: i64) -> impl Iterator<Item = bool> + use<> {
        let (upright, turned) = (self.across <= width, self.turns && self.along <= width);
        [false, true].into_iter().filter(move |way| if *way { turned } else { upright })
    }
}

impl Kinds {
    /// The kinds of the pieces that are wanted at all. The first piece too wide for the cloth, or
    /// past what can be counted, is the misfit.
    pub fn of(width: i64, pieces: &[Piece]) -> Result<Kinds, Misfit> {
        let mut kinds = Kinds { whole: width, ..Kinds::default() };
        let mut known: HashMap<(i64, i64, bool), usize> = HashMap::new();
        let mut stacked = 0i128;
        for (at, piece) in pieces.iter().enumerate().filter(|(_, piece)| piece.count > 0) {
            let (across, along) = piece.lies(false);
            let turns = piece.may_turn && across != along;
            if across > width && !(turns && along <= width) {
                return Err(Misfit::TooWide { piece: at });
            }
            stacked += i128::from(across.max(along)) * i128::from(piece.count);
            if stacked > i128::from(i64::MAX / 4) {
                return Err(Misfit::TooMuch { piece: at });
            }
            let flipped = turns && across > along;
            let (low, high) = if flipped { (along, across) } else { (across, along) };
            let kind = *known.entry((low, high, turns)).or_insert_with(|| {
                kinds.items.push(Item { count: 0, across: low, along: high, turns });
                kinds.members.push(Vec::new());
                kinds.items.len() - 1
            });
            if let (Some(item), Some(members)) = (kinds.items.get_mut(kind), kinds.members.get_mut(kind)) {
                item.count += piece.count;
                members.push(Member { piece: at, count: piece.count, flipped });
            }
        }
        kinds.measure();
        Ok(kinds)
    }

    /// Counts lengths in the largest steps that serve.
    fn measure(&mut self) {
        let turning = self.items.iter().any(|item| item.turns);
        let mut across = self.items.iter().fold(0, |step, item| gcd(step, item.across)).max(1);
        let mut along = self.items.iter().fold(0, |step, item| gcd(step, item.along)).max(1);
        if turning {
            (across, along) = (gcd(across, along), gcd(across, along));
        }
        for item in &mut self.items {
            item.across /= across;
            item.along /= along;
        }
        self.scale = (across, along);
        self.width = self.whole.max(0) / across;
    }

    /// Some of the kinds alone, to be looked at and not to be cut.
    pub fn some(&self, which: &[usize]) -> Kinds {
        let items = which.iter().filter_map(|at| self.items.get(*at)).copied().collect();
        Kinds { items, members: Vec::new(), ..*self }
    }

    /// A length along the cloth, in grid units.
    pub fn length(&self, steps: i64) -> i64 {
        steps.saturating_mul(self.scale.1)
    }

    /// A length along the cloth in whole steps, rounded down.
    pub fn steps(&self, length: i64) -> i64 {
        length.max(0) / self.scale.1.max(1)
    }

    /// Strips as a part of the roll, each kind dealt out to the job's pieces.
    pub fn strips(&self, strips: &[Strip]) -> Part {
        let mut hand = Hand::of(self);
        let mut shares = Vec::new();
        for strip in strips {
            let height = self.length(strip.height);
            let mut left = strip.times;
            while left > 0 {
                let times = hand.alike(&strip.cells).clamp(1, left);
                left -= times;
                let part = self.strip(height, strip, times, &mut hand);
                shares.push(Share { times, size: height, part });
            }
        }
        Part::Across(shares)
    }

    /// One of `times` equal strips; the hand gives the pieces for all of them.
    fn strip(&self, height: i64, strip: &Strip, times: u64, hand: &mut Hand) -> Part {
        let mut columns = Vec::new();
        let mut free = self.whole;
        for cell in &strip.cells {
            let Some(item) = self.items.get(cell.item) else { continue };
            let (across, along) = item.lies(cell.turned);
            let (across, along) = self.in_grid(across, along);
            for (member, count) in hand.give(cell, times) {
                let piece = Part::Piece { piece: member.piece, turned: cell.turned != member.flipped };
                let part = if along == height {
                    piece
                } else {
                    Part::Across(vec![
                        Share { times: 1, size: along, part: piece },
                        Share { times: 1, size: height.saturating_sub(along), part: Part::Left },
                    ])
                };
                free = free.saturating_sub(across.saturating_mul(i64::try_from(count).unwrap_or(i64::MAX)));
                columns.push(Share { times: count, size: across, part });
            }
        }
        if free > 0 {
            columns.push(Share { times: 1, size: free, part: Part::Left });
        }
        Part::Along(columns)
    }

    fn in_grid(&self, across: i64, along: i64) -> (i64, i64) {
        // Sides of the job's own pieces, which are in range.
        (across.saturating_mul(self.scale.0), along.saturating_mul(self.scale.1))
    }

    /// Spots as pieces of the job in their places on the cloth.
    pub fn placed(&self, spots: &[Spot]) -> Vec<Placed> {
        let mut hand = Hand::of(self);
        let mut placed = Vec::with_capacity(spots.len());
        for spot in spots {
            let Some(item) = self.items.get(spot.item) else { continue };
            let (across, along) = item.lies(spot.turned);
            let (across, along) = self.in_grid(across, along);
            let (x, y) = self.in_grid(spot.x, spot.y);
            let cell = Cell { item: spot.item, turned: spot.turned, count: 1 };
            for (member, _) in hand.give(&cell, 1) {
                placed.push(Placed {
                    piece: member.piece,
                    turned: spot.turned != member.flipped,
                    at: Rect { x, y, across, along },
                });
            }
        }
        placed
    }
}

/// Deals the pieces of each kind out to the job's own pieces, in their order.
struct Hand {
    rest: Vec<Vec<Member>>,
}

impl Hand {
    fn of(kinds: &Kinds) -> Hand {
        let rest = kinds.members.iter().map(|members| members.iter().rev().copied().collect()).collect();
        Hand { rest }
    }

    /// How many strips of such cells can be alike down to the job's pieces.
    fn alike(&self, cells: &[Cell]) -> u64 {
        let mut times = u64::MAX;
        for (at, cell) in cells.iter().enumerate() {
            let same = |other: &&Cell| other.item == cell.item;
            if cells.iter().take(at).any(|other| other.item == cell.item) {
                continue;
            }
            let each: u64 = cells.iter().filter(same).map(|cell| cell.count).sum();
            let next = self.rest.get(cell.item).and_then(|members| members.last());
            times = times.min(next.map_or(1, |member| member.count / each.max(1)));
        }
        times
    }

    /// The pieces for a cell of each of `times` strips, as counts for one of them.
    fn give(&mut self, cell: &Cell, times: u64) -> Vec<(Member, u64)> {
        let mut given = Vec::new();
        let mut wanted = cell.count;
        let Some(members) = self.rest.get_mut(cell.item) else { return given };
        while wanted > 0 {
            let Some(member) = members.last_mut() else { break };
            let count = wanted.min(member.count / times.max(1)).max(1);
            given.push((*member, count));
            member.count = member.count.saturating_sub(count.saturating_mul(times));
            wanted -= count;
            if member.count == 0 {
                members.pop();
            }
        }
        given
    }
}
