//! The cuts of a cloth in their order, equal ones under one number.
#![expect(clippy::arithmetic_side_effects, reason = "cuts are counted up to a limit")]

use crate::docket::ClothPlan;
use crate::layout::{Lay, Part, Rect, Share, Spread};

/// Cuts beyond this are not listed.
pub(crate) const MOST: usize = 400;

/// A row of the list of cuts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Row<'a> {
    /// Equal cuts next to each other.
    Cut(Cut<'a>),
    /// Cloth that is left over at this point.
    Left {
        /// How deep it is in the list.
        depth: usize,
        /// The piece of cloth.
        at: Rect,
    },
}

/// Equal cuts next to each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Cut<'a> {
    /// Their number.
    pub number: usize,
    /// How deep they are in the list.
    pub depth: usize,
    /// Whether they run from selvage to selvage, not lengthwise.
    pub across: bool,
    /// How many parts they make.
    pub times: u64,
    /// How far apart they are.
    pub size: i128,
    /// What each part becomes.
    pub part: &'a Part,
    /// The first of the parts.
    pub at: Rect,
}

/// Whether the cuts are told strip by strip: straight strips that no `plan` line asks to see in full.
pub(crate) fn by_strip(plan: &ClothPlan) -> bool {
    plan.planned.is_none() && !plan.strips.is_empty()
}

/// The list of cuts of a cloth after so many that were numbered before, and whether it is whole; nothing where
/// pieces are free.
pub(crate) fn rows(spread: &Spread, before: usize) -> (Vec<Row<'_>>, bool) {
    let Lay::Cut(part) = &spread.lay else { return (Vec::new(), true) };
    let mut list = List { rows: Vec::new(), number: before, whole: true };
    // The far end of what is taken of a bolt is a cut too.
    list.part(part, spread.whole(), 0, spread.sheet.is_none());
    (list.rows, list.whole)
}

/// The piece of a part that is one, or one with something trimmed off.
pub(crate) fn single(part: &Part) -> Option<(usize, bool, bool)> {
    match part {
        Part::Piece { piece, turned } => Some((*piece, *turned, false)),
        Part::Across(shares) | Part::Along(shares) => {
            let [Share { times: 1, part: Part::Piece { piece, turned }, .. }, rest] = shares.as_slice()
            else {
                return None;
            };
            (rest.part == Part::Left).then_some((*piece, *turned, true))
        }
        Part::Left => None,
    }
}

struct List<'a> {
    rows: Vec<Row<'a>>,
    number: usize,
    whole: bool,
}

impl<'a> List<'a> {
    fn part(&mut self, part: &'a Part, at: Rect, depth: usize, open: bool) {
        let (shares, across) = match part {
            Part::Across(shares) => (shares, true),
            Part::Along(shares) => (shares, false),
            Part::Piece { .. } => return,
            Part::Left => return self.rows.push(Row::Left { depth, at }),
        };
        let mut next = at;
        for (n, share) in shares.iter().enumerate() {
            if self.rows.len() >= MOST {
                self.whole = false;
                return;
            }
            *(if across { &mut next.along } else { &mut next.across }) = share.size;
            let last = n + 1 == shares.len() && share.times == 1 && !(open && across);
            self.share(share, next, depth, across, last);
            let step = i128::from(share.times).saturating_mul(share.size);
            let far = if across { &mut next.y } else { &mut next.x };
            *far = far.saturating_add(step);
        }
    }

    fn share(&mut self, share: &'a Share, at: Rect, depth: usize, across: bool, last: bool) {
        if share.part == Part::Left {
            let mut at = at;
            let all = i128::from(share.times).saturating_mul(share.size);
            *(if across { &mut at.along } else { &mut at.across }) = all;
            return self.rows.push(Row::Left { depth, at });
        }
        // What is left after the last cut is cut off already; it is listed for what it becomes.
        if !last || single(&share.part).is_some() {
            self.number += usize::from(!last);
            let number = if last { 0 } else { self.number };
            let (times, size, part) = (share.times, share.size, &share.part);
            self.rows.push(Row::Cut(Cut { number, depth, across, times, size, part, at }));
        }
        if single(&share.part).is_none() {
            self.part(&share.part, at, depth + usize::from(!last), false);
        }
    }
}
