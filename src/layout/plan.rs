//! How it is cut: plain data, for whoever draws or reads out a plan.

use num_traits::{FromPrimitive, SaturatingAdd, SaturatingMul, Zero};

use super::job::{Kind, Sheet};

/// Whole units that lengths are counted in.
pub trait Units: Copy + Ord + Zero + SaturatingAdd + SaturatingMul + FromPrimitive {}

impl<N: Copy + Ord + Zero + SaturatingAdd + SaturatingMul + FromPrimitive> Units for N {}

/// A plan that holds all pieces of a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan<N = i64> {
    /// How it is cut.
    pub kind: Kind,
    /// The cloths and how each is laid out; the roll, where it is used, comes last.
    pub spreads: Vec<Spread<N>>,
    /// The length taken from the roll.
    pub length: N,
    /// What the sheets used cost; where the roll has a price, what all cloth costs.
    pub cost: i64,
    /// No plan of this kind takes less: of a roll that has no price, else of cost.
    pub bound: N,
    /// Whether the plan is proved best, or takes what the bound says.
    pub proved: bool,
}

impl<N: Copy> Plan<N> {
    /// What the sheets used cost.
    pub(super) fn sheets_cost(&self, sheets: &[Sheet<N>]) -> i64 {
        let cost = |spread: &Spread<N>| {
            let sheet = spread.sheet.and_then(|at| sheets.get(at));
            let count = i64::try_from(spread.count).unwrap_or(i64::MAX);
            sheet.map_or(0, |sheet| sheet.cost.saturating_mul(count))
        };
        self.spreads.iter().map(cost).fold(0, i64::saturating_add)
    }
}

/// One cloth laid out, or several alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spread<N = i64> {
    /// Which cloth: an index into [`super::Job::sheets`], or the roll.
    pub sheet: Option<usize>,
    /// How many cloths are laid out like this.
    pub count: u64,
    /// Width of the cloth.
    pub across: N,
    /// Its length; of the roll, the length taken.
    pub along: N,
    /// What lies where.
    pub lay: Lay<N>,
}

/// What lies where on a cloth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lay<N = i64> {
    /// Cut edge to edge, part by part.
    Cut(Part<N>),
    /// Laid out free, from the near end of the cloth to the far one.
    Free {
        /// The pieces.
        pieces: Vec<Placed<N>>,
        /// What is left over, as rectangles that do not overlap, the largest first.
        left: Vec<Rect<N>>,
    },
}

/// A rectangle of cloth, and what becomes of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part<N = i64> {
    /// It is a piece, exactly.
    Piece {
        /// Index into [`super::Job::pieces`].
        piece: usize,
        /// Whether it lies turned a quarter.
        turned: bool,
    },
    /// It is left over.
    Left,
    /// It is cut across, from side to side, into parts that follow each other along the cloth.
    Across(Vec<Share<N>>),
    /// It is cut lengthwise into parts that lie side by side.
    Along(Vec<Share<N>>),
}

/// Equal parts next to each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share<N = i64> {
    /// How many.
    pub times: u64,
    /// The size of each, in the direction in which they follow each other.
    pub size: N,
    /// What each becomes.
    pub part: Part<N>,
}

/// A piece in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed<N = i64> {
    /// Index into [`super::Job::pieces`].
    pub piece: usize,
    /// Whether it lies turned a quarter.
    pub turned: bool,
    /// Where it lies and how large it is.
    pub at: Rect<N>,
}

/// A rectangle on a cloth: from the left selvage and from the near end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Rect<N = i64> {
    /// From the left selvage.
    pub x: N,
    /// From the near end.
    pub y: N,
    /// Across.
    pub across: N,
    /// Along.
    pub along: N,
}

impl<N: Units> Spread<N> {
    /// The whole cloth as a rectangle.
    pub fn whole(&self) -> Rect<N> {
        Rect { x: N::zero(), y: N::zero(), across: self.across, along: self.along }
    }

    /// The pieces in their places, at most so many; the picture of a million napkins shows the first.
    pub fn placed(&self, most: usize) -> Vec<Placed<N>> {
        match &self.lay {
            Lay::Free { pieces, .. } => pieces.iter().take(most).copied().collect(),
            Lay::Cut(part) => {
                let mut out = Vec::new();
                part.walk(self.whole(), &mut |part, at| {
                    if let Part::Piece { piece, turned } = part {
                        out.push(Placed { piece: *piece, turned: *turned, at });
                    }
                    out.len() < most
                });
                out
            }
        }
    }

    /// The rectangles left over, at most so many.
    pub fn left(&self, most: usize) -> Vec<Rect<N>> {
        match &self.lay {
            Lay::Free { left, .. } => left.iter().take(most).copied().collect(),
            Lay::Cut(part) => {
                let mut out = Vec::new();
                part.walk(self.whole(), &mut |part, at| {
                    if matches!(part, Part::Left) {
                        out.push(at);
                    }
                    out.len() < most
                });
                out
            }
        }
    }
}

impl<N: Units> Share<N> {
    /// What all of them measure together, in the direction in which they follow each other.
    pub fn total(&self) -> N {
        let times = N::from_u64(self.times).or_else(|| N::from_i64(i64::MAX));
        times.map_or(self.size, |times| self.size.saturating_mul(&times))
    }
}

impl<N: Units> Part<N> {
    /// Visits this part and all within it, each before what it is cut into and in the order of
    /// cutting, until `visit` says no; tells whether it went through.
    pub fn walk(&self, at: Rect<N>, visit: &mut dyn FnMut(&Part<N>, Rect<N>) -> bool) -> bool {
        if !visit(self, at) {
            return false;
        }
        let (shares, across) = match self {
            Part::Across(shares) => (shares, true),
            Part::Along(shares) => (shares, false),
            Part::Piece { .. } | Part::Left => return true,
        };
        let mut next = at;
        for share in shares {
            for _ in 0..share.times {
                if across {
                    next.along = share.size
                } else {
                    next.across = share.size
                }
                if !share.part.walk(next, visit) {
                    return false;
                }
                let far = if across { &mut next.y } else { &mut next.x };
                *far = far.saturating_add(&share.size);
            }
        }
        true
    }
}
