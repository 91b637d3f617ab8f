//! Items dealt out to the pieces of a job: a layout of items as one of pieces, equal cloths and parts
//! kept together as far as the pieces go. What lies there beyond them is left over.

use crate::layout::plan::{Lay, Part, Placed, Share};

/// The pieces of each item that are not dealt out yet: which, how many, whether written the other way.
#[derive(Clone, Debug)]
pub(super) struct Hand(Vec<Vec<(usize, u64, bool)>>);

impl Hand {
    /// All pieces of each item, dealt out in their order.
    pub fn of(members: &[Vec<(usize, u64, bool)>]) -> Hand {
        Hand(members.iter().map(|members| members.iter().rev().copied().collect()).collect())
    }

    /// So many cloths laid out alike, those whose pieces are the same together.
    pub fn cloths(&mut self, count: u64, lay: &Lay) -> Vec<(u64, Lay)> {
        match lay {
            Lay::Cut(part) => {
                let parts = self.parts(count, part).into_iter();
                parts.map(|(count, part)| (count, Lay::Cut(part))).collect()
            }
            Lay::Free { pieces, left } => {
                let mut out = Vec::new();
                let mut rest = count;
                while rest > 0 {
                    let mut held = vec![0; self.0.len()];
                    pieces.iter().for_each(|placed| add(&mut held, placed.piece, 1));
                    let times = self.alike(&held).clamp(1, rest);
                    let pieces = pieces.iter().filter_map(|placed| {
                        let (piece, turned) = self.give(placed.piece, placed.turned, times)?;
                        Some(Placed { piece, turned, ..*placed })
                    });
                    out.push((times, Lay::Free { pieces: pieces.collect(), left: left.clone() }));
                    rest -= times;
                }
                out
            }
        }
    }

    /// So many equal parts.
    fn parts(&mut self, count: u64, part: &Part) -> Vec<(u64, Part)> {
        let mut held = vec![0; self.0.len()];
        tally(part, 1, &mut held);
        let mut out: Vec<(u64, Part)> = Vec::new();
        let mut rest = count;
        while rest > 0 {
            let alike = self.alike(&held).min(rest);
            let (times, part) = match alike {
                0 if self.none(&held) => (rest, Part::Left),
                0 => (1, self.within(part, 1)),
                _ => (alike, self.within(part, alike)),
            };
            rest -= times;
            match out.last_mut() {
                Some(last) if last.1 == part => last.0 += times,
                _ => out.push((times, part)),
            }
        }
        out
    }

    /// A part, of which there are `times`, with pieces for items.
    fn within(&mut self, part: &Part, times: u64) -> Part {
        match part {
            Part::Left => Part::Left,
            Part::Piece { piece, turned } => {
                let given = self.give(*piece, *turned, times);
                given.map_or(Part::Left, |(piece, turned)| Part::Piece { piece, turned })
            }
            Part::Across(shares) => Part::Across(self.shares(shares, times)),
            Part::Along(shares) => Part::Along(self.shares(shares, times)),
        }
    }

    fn shares(&mut self, shares: &[Share], times: u64) -> Vec<Share> {
        let mut out = Vec::with_capacity(shares.len());
        for share in shares {
            // What is dealt out in several equal parts is all the same; one alone may be mixed.
            let parts = if times > 1 {
                let all = share.times.saturating_mul(times);
                vec![(share.times, self.within(&share.part, all))]
            } else {
                self.parts(share.times, &share.part)
            };
            out.extend(parts.into_iter().map(|(times, part)| Share { times, size: share.size, part }));
        }
        out
    }

    /// How many times so many of each item can be the same pieces.
    fn alike(&self, held: &[u64]) -> u64 {
        let each = |(members, held): (&Vec<(usize, u64, bool)>, &u64)| {
            members.last().map_or(0, |member| member.1).checked_div(*held)
        };
        self.0.iter().zip(held).filter_map(each).min().unwrap_or(u64::MAX)
    }

    /// Whether nothing of what is held is left to deal out.
    fn none(&self, held: &[u64]) -> bool {
        self.0.iter().zip(held).all(|(members, held)| *held == 0 || members.is_empty())
    }

    /// A piece for an item, so many times; `None` where all are dealt out.
    fn give(&mut self, item: usize, turned: bool, times: u64) -> Option<(usize, bool)> {
        let members = self.0.get_mut(item)?;
        let member = members.last_mut()?;
        let given = (member.0, turned != member.2);
        member.1 = member.1.saturating_sub(times);
        if member.1 == 0 {
            members.pop();
        }
        Some(given)
    }
}

/// Counts the items of a part.
fn tally(part: &Part, times: u64, held: &mut [u64]) {
    match part {
        Part::Left => {}
        Part::Piece { piece, .. } => add(held, *piece, times),
        Part::Across(shares) | Part::Along(shares) => {
            shares.iter().for_each(|share| tally(&share.part, times.saturating_mul(share.times), held));
        }
    }
}

fn add(held: &mut [u64], item: usize, count: u64) {
    if let Some(held) = held.get_mut(item) {
        *held = held.saturating_add(count);
    }
}
