//! A cloth laid out, as the shapes that a picture of it is drawn from: equal pieces beside each other
//! are one block, and of many equal strips the first are drawn.
#![expect(clippy::arithmetic_side_effects, reason = "places lie on a cloth whose sides are 64-bit integers")]

use std::collections::HashMap;

use super::cuts::{self, Row, by_strip};
use crate::docket::ClothPlan;
use crate::layout::{Lay, Part, Placed, Rect, Share, Spread};

/// So many shapes at most.
const MOST_SHAPES: usize = 3_000;
/// A cloth longer than so many times its width is drawn with gaps, where strips repeat.
const LONG: i128 = 12;
/// So many of equal strips are drawn before a gap.
const BEFORE_GAP: u64 = 2;

/// What is drawn of a cloth.
#[derive(Debug, Default)]
pub(crate) struct View {
    /// Width of the cloth.
    pub across: i128,
    /// Its length as drawn, gaps shortened.
    pub along: i128,
    /// Blocks of pieces, what is left over, gaps.
    pub shapes: Vec<Shape>,
    /// The first of each group of equal cuts.
    pub cuts: Vec<CutMark>,
    /// Whether all of it is drawn, gaps apart.
    pub whole: bool,
}

/// Something drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Shape {
    /// Where.
    pub at: Rect,
    /// What.
    pub what: What,
}

/// What a shape is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum What {
    /// Equal pieces in columns and rows.
    Pieces {
        /// Index into the cut list.
        piece: usize,
        /// Whether they are turned a quarter.
        turned: bool,
        /// How many side by side, from selvage to selvage.
        columns: u64,
        /// How many one after the other along the cloth.
        rows: u64,
    },
    /// Left over, in so many equal pieces.
    Left {
        /// How many side by side.
        columns: u64,
        /// How many one after the other.
        rows: u64,
    },
    /// So many more strips alike are not drawn.
    Gap(u64),
}

/// A cut and its number.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CutMark {
    /// Its number in the list of cuts.
    pub number: usize,
    /// Whether it runs from selvage to selvage.
    pub across: bool,
    /// The part that it cuts off.
    pub off: Rect,
}

impl View {
    /// What is drawn of a spread, its cuts numbered after so many before them.
    pub fn of(plan: &ClothPlan, spread: &Spread, before: usize) -> View {
        let mut view = View { across: spread.across, along: spread.along, whole: true, ..View::default() };
        match &spread.lay {
            Lay::Free { pieces, left } => {
                view.whole = pieces.len() <= MOST_SHAPES;
                let shown = pieces.get(..MOST_SHAPES).unwrap_or(pieces);
                view.shapes = merged(shown);
                let left = left.iter().take(MOST_SHAPES);
                view.shapes.extend(left.map(|at| Shape { at: *at, what: LEFT }));
            }
            Lay::Cut(part) => {
                let (part, along, gaps) = abridged(part, spread);
                view.along = along;
                let drawn = Spread { along, lay: Lay::Cut(part), ..spread.clone() };
                view.marks(plan, &drawn, before);
                if let Lay::Cut(part) = &drawn.lay {
                    view.part(part, drawn.whole());
                }
                for (y, more) in gaps {
                    let gap = view
                        .shapes
                        .iter_mut()
                        .find(|shape| shape.at.y == y && matches!(shape.what, What::Left { .. }));
                    if let Some(gap) = gap {
                        gap.what = What::Gap(more);
                    }
                }
            }
        }
        view
    }

    fn marks(&mut self, plan: &ClothPlan, drawn: &Spread, before: usize) {
        let (rows, whole) = cuts::rows(drawn, before);
        self.whole &= whole;
        let cut = |row: &Row<'_>| match row {
            Row::Cut(cut) if cut.number > 0 => {
                Some((cut.depth, CutMark { number: cut.number, across: cut.across, off: cut.at }))
            }
            _ => None,
        };
        let cuts = rows.iter().filter_map(cut);
        self.cuts = if by_strip(plan) {
            // Only the strips have numbers: the outermost cuts.
            let strips = cuts.filter(|(depth, mark)| *depth == 0 && mark.across).enumerate();
            strips.map(|(at, (_, mark))| CutMark { number: before + at + 1, ..mark }).collect()
        } else {
            cuts.map(|(_, mark)| mark).collect()
        };
    }

    fn push(&mut self, at: Rect, what: What) {
        if self.shapes.len() < MOST_SHAPES {
            self.shapes.push(Shape { at, what });
        } else {
            self.whole = false;
        }
    }

    fn part(&mut self, part: &Part, at: Rect) {
        match part {
            Part::Piece { piece, turned } => {
                self.push(at, What::Pieces { piece: *piece, turned: *turned, columns: 1, rows: 1 });
            }
            Part::Left => self.push(at, LEFT),
            Part::Across(shares) => self.shares(shares, at, true),
            Part::Along(shares) => self.shares(shares, at, false),
        }
    }

    fn shares(&mut self, shares: &[Share], at: Rect, across: bool) {
        let mut next = at;
        for share in shares {
            let all = share.total();
            *side(&mut next, across) = all;
            self.share(share, next, across);
            *start(&mut next, across) += all;
        }
    }

    /// Equal parts, as blocks where their pieces line up.
    fn share(&mut self, share: &Share, at: Rect, across: bool) {
        if share.part == Part::Left {
            return self.push(at, times(LEFT, share.times, across));
        }
        if let Some(block) = block(&share.part, share.times, across) {
            return self.push(at, block);
        }
        let inner = match (&share.part, across) {
            (Part::Along(inner), true) | (Part::Across(inner), false) => inner.as_slice(),
            _ => &[],
        };
        let lines_up = |inner: &Share| inner.part == Part::Left || block(&inner.part, 1, across).is_some();
        if !inner.is_empty() && inner.iter().all(lines_up) {
            let mut next = at;
            for one in inner {
                let all = one.total();
                *side(&mut next, !across) = all;
                match block(&one.part, one.times, !across) {
                    Some(found) => self.push(next, times(found, share.times, across)),
                    None => self.push(next, times(times(LEFT, one.times, !across), share.times, across)),
                }
                *start(&mut next, !across) += all;
            }
            return;
        }
        let mut next = at;
        *side(&mut next, across) = share.size;
        for _ in 0..share.times {
            if self.shapes.len() >= MOST_SHAPES {
                self.whole = false;
                return;
            }
            self.part(&share.part, next);
            *start(&mut next, across) += share.size;
        }
    }
}

fn signed(count: u64) -> i128 {
    i128::from(count)
}

fn side(at: &mut Rect, across: bool) -> &mut i128 {
    if across { &mut at.along } else { &mut at.across }
}

fn start(at: &mut Rect, across: bool) -> &mut i128 {
    if across { &mut at.y } else { &mut at.x }
}

/// Pieces of one kind that fill a part, so many such parts next to each other.
fn block(part: &Part, count: u64, across: bool) -> Option<What> {
    let one = match part {
        Part::Piece { piece, turned } => What::Pieces { piece: *piece, turned: *turned, columns: 1, rows: 1 },
        Part::Across(shares) => match shares.as_slice() {
            [share] => block(&share.part, share.times, true)?,
            _ => return None,
        },
        Part::Along(shares) => match shares.as_slice() {
            [share] => block(&share.part, share.times, false)?,
            _ => return None,
        },
        Part::Left => return None,
    };
    Some(times(one, count, across))
}

/// A block so many times over.
fn times(block: What, count: u64, across: bool) -> What {
    let mut block = block;
    if let What::Pieces { columns, rows, .. } | What::Left { columns, rows } = &mut block {
        let side = if across { rows } else { columns };
        *side = side.saturating_mul(count);
    }
    block
}

/// One piece left over.
const LEFT: What = What::Left { columns: 1, rows: 1 };

/// A long cloth with only the first of many equal strips, its length then, and where strips are left
/// out and how many.
fn abridged(part: &Part, spread: &Spread) -> (Part, i128, Vec<(i128, u64)>) {
    let whole = || (part.clone(), spread.along, Vec::new());
    let Part::Across(shares) = part else { return whole() };
    if spread.along <= spread.across.saturating_mul(LONG) {
        return whole();
    }
    let shown = shares.iter().map(|share| share.size.saturating_mul(signed(share.times.min(BEFORE_GAP))));
    let shown = shown.fold(0i128, i128::saturating_add);
    let gap = (spread.across / 3).max(shown / 10).max(1);
    let mut out = Vec::new();
    let mut gaps = Vec::new();
    let mut y = 0i128;
    for share in shares {
        let shown = Share { times: share.times.min(BEFORE_GAP), ..share.clone() };
        let left_out = share.times - shown.times;
        let saves = left_out > 2 && signed(left_out).saturating_mul(share.size) > 2 * gap;
        if !saves || share.part == Part::Left {
            y = y.saturating_add(share.total());
            out.push(share.clone());
            continue;
        }
        y = y.saturating_add(shown.total());
        out.push(shown);
        gaps.push((y, left_out));
        out.push(Share { times: 1, size: gap, part: Part::Left });
        y = y.saturating_add(gap);
    }
    (Part::Across(out), y, gaps)
}

/// Pieces that are free; equal ones side by side are one block.
fn merged(pieces: &[Placed]) -> Vec<Shape> {
    let mut order: Vec<&Placed> = pieces.iter().collect();
    order.sort_by_key(|placed| (placed.at.y, placed.at.x));
    let mut side_by_side: Vec<Shape> = Vec::new();
    for placed in order {
        if let Some(Shape { at, what: What::Pieces { piece, turned, columns, .. } }) = side_by_side.last_mut()
            && (*piece, *turned) == (placed.piece, placed.turned)
            && (at.y, at.along, at.x + at.across) == (placed.at.y, placed.at.along, placed.at.x)
        {
            at.across += placed.at.across;
            *columns += 1;
            continue;
        }
        let what = What::Pieces { piece: placed.piece, turned: placed.turned, columns: 1, rows: 1 };
        side_by_side.push(Shape { at: placed.at, what });
    }
    // Blocks of the same width one after the other.
    let mut ends: HashMap<(usize, bool, i128, i128, i128), usize> = HashMap::new();
    let mut out: Vec<Shape> = Vec::new();
    for shape in side_by_side {
        let What::Pieces { piece, turned, .. } = shape.what else { continue };
        let Rect { x, y, across, along } = shape.at;
        let end = y + along;
        let before = ends.remove(&(piece, turned, x, across, y));
        let at = match before.and_then(|at| Some((at, out.get_mut(at)?))) {
            Some((at, Shape { at: whole, what: What::Pieces { rows, .. } })) => {
                whole.along += along;
                *rows += 1;
                at
            }
            _ => {
                out.push(shape);
                out.len() - 1
            }
        };
        ends.insert((piece, turned, x, across, end), at);
    }
    out
}

/// Where a cloth too long for one row is broken: between `from` and the end, at a cut right across
/// where one is near enough to `most`.
pub(crate) fn breaks(view: &View, most: i128) -> Vec<(i128, i128)> {
    let mut out = Vec::new();
    let mut from = 0;
    let ends: Vec<i128> = full_width_ends(view);
    while from < view.along {
        let far = from.saturating_add(most.max(1));
        if far >= view.along {
            out.push((from, view.along));
            break;
        }
        let near = ends.iter().filter(|end| **end > from + most / 2 && **end <= far).max();
        let to = near.copied().unwrap_or(far);
        out.push((from, to));
        from = to;
    }
    out
}

/// Places that no shape crosses: one ends there and none goes on.
fn full_width_ends(view: &View) -> Vec<i128> {
    let mut spans: Vec<(i128, i128)> = view.shapes.iter().flat_map(rows_of).collect();
    spans.sort_unstable();
    let mut ends = Vec::new();
    let mut furthest = 0;
    for (from, to) in spans {
        if from >= furthest && furthest > 0 {
            ends.push(furthest);
        }
        furthest = furthest.max(to);
    }
    ends
}

/// The rows of a block, each from where to where along the cloth.
fn rows_of(shape: &Shape) -> Vec<(i128, i128)> {
    let rows = match shape.what {
        What::Pieces { rows: rows @ 1..=500, .. } => i128::from(rows),
        _ => 1,
    };
    let size = shape.at.along / rows;
    (0..rows).map(|n| (shape.at.y + n * size, shape.at.y + (n + 1) * size)).collect()
}
