//! A first plan for very many pieces: the shortest strips of a cloth's width, as if from a roll, and these cut
//! from as few cloths as their heights ask for.

use std::cmp::Reverse;

use super::{Column, Generation, Taken, sheet_area};
use crate::layout::job::{Kind, Piece, Sheet};
use crate::layout::lengths::{Length, Lengths, fewest};
use crate::layout::plan::{Lay, Part, Share};
use crate::layout::roll;
use crate::layout::work::Work;

/// So many pieces times kinds are very many.
const MANY: u64 = 20_000;

/// A strip of a cloth, and how many pieces of each item it holds.
struct Stacked {
    times: u64,
    height: i64,
    part: Part,
    held: Vec<u64>,
}

impl Generation<'_> {
    /// Whether cloths filled one after the other would take long.
    pub(super) fn many(&self, counts: &[u64]) -> bool {
        let pieces = counts.iter().fold(0u64, |sum, count| sum.saturating_add(*count));
        pieces.saturating_mul(counts.len() as u64) > MANY
    }

    /// Cloth after cloth, as many of each as there are: those first that cost least for their area, or the
    /// `largest`.
    pub(super) fn stacked(&mut self, counts: &[u64], largest: bool, work: &mut Work<'_>) -> Taken {
        let mut order: Vec<usize> = (0..self.task.cloths.len()).collect();
        order.sort_by_cached_key(|cloth| {
            let area = sheet_area(self.task, *cloth);
            (if largest { 0 } else { self.per_area(*cloth, area) }, Reverse(area))
        });
        let mut left = counts.to_vec();
        let mut taken = Taken::new();
        for cloth in order {
            let mut given = work.part(work.left() / 2);
            for (column, times) in self.stacks(cloth, &left, &mut given).unwrap_or_default() {
                for (left, held) in left.iter_mut().zip(&column.held) {
                    *left = left.saturating_sub(held.saturating_mul(times));
                }
                taken.push((self.add(column), times));
            }
            work.back(given);
        }
        taken
    }

    /// What is left in strips on cloths of one size, the fullest first where they are not enough.
    fn stacks(&self, cloth: usize, left: &[u64], work: &mut Work<'_>) -> Option<Vec<(Column, u64)>> {
        let (_, sheet) = self.task.cloths.get(cloth)?;
        let strips = self.strips(sheet, left, work)?;
        let wanted = strips.iter().map(|strip| Length { count: strip.times, length: strip.height });
        let job = Lengths { strip: sheet.along, hand: Vec::new(), wanted: wanted.collect(), join: None };
        let cutting = fewest(&job, work)?;
        let mut columns = Vec::with_capacity(cutting.cuts.len());
        for cut in cutting.cuts {
            let (mut held, mut shares) = (vec![0u64; left.len()], Vec::new());
            for piece in cut.pieces {
                let strip = strips.get(piece.item)?;
                for (held, each) in held.iter_mut().zip(&strip.held) {
                    *held = held.saturating_add(each.saturating_mul(piece.count));
                }
                shares.push(Share { times: piece.count, size: strip.height, part: strip.part.clone() });
            }
            if cut.left > 0 {
                shares.push(Share { times: 1, size: cut.left, part: Part::Left });
            }
            columns.push((Column { cloth, held, lay: Lay::Cut(Part::Across(shares)) }, cut.times));
        }
        columns.sort_by_cached_key(|(column, _)| Reverse(self.task.area(&column.held)));
        let mut stock = sheet.count;
        for (_, times) in &mut columns {
            *times = (*times).min(stock);
            stock -= *times;
        }
        columns.retain(|(_, times)| *times > 0);
        Some(columns)
    }

    /// The shortest strips found of the pieces left that go onto a cloth.
    fn strips(&self, sheet: &Sheet, left: &[u64], work: &mut Work<'_>) -> Option<Vec<Stacked>> {
        let mut pieces = self.task.pieces(left);
        let mut flipped = vec![false; pieces.len()];
        for (piece, flipped) in pieces.iter_mut().zip(&mut flipped) {
            let fits = |turned: bool| {
                let (across, along) = piece.lies(turned);
                across <= sheet.across && along <= sheet.along
            };
            match (fits(false), piece.may_turn && fits(true)) {
                _ if piece.by_selvage => piece.count = 0,
                (true, true) => {}
                (true, false) => piece.may_turn = false,
                (false, true) => {
                    let (across, along) = piece.lies(true);
                    (*piece, *flipped) = (Piece { across, along, may_turn: false, ..*piece }, true);
                }
                (false, false) => piece.count = 0,
            }
        }
        let laid = roll::plan(sheet.across, &pieces, Kind::Strips, work).ok()?;
        let Lay::Cut(Part::Across(shares)) = laid.lay else { return None };
        let strip = |Share { times, size, mut part }: Share| {
            let mut held = vec![0u64; left.len()];
            settled(&mut part, 1, &flipped, &mut held);
            (part != Part::Left).then_some(Stacked { times, height: size, part, held })
        };
        Some(shares.into_iter().filter_map(strip).collect())
    }
}

/// Turns pieces that were written the other way round, and counts all.
fn settled(part: &mut Part, times: u64, flipped: &[bool], held: &mut [u64]) {
    match part {
        Part::Left => {}
        Part::Piece { piece, turned } => {
            *turned ^= flipped.get(*piece).copied().unwrap_or(false);
            held.get_mut(*piece).into_iter().for_each(|held| *held = held.saturating_add(times));
        }
        Part::Across(shares) | Part::Along(shares) => {
            for share in shares {
                settled(&mut share.part, times.saturating_mul(share.times), flipped, held);
            }
        }
    }
}
