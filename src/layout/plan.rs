//! How it is cut: plain data, for whoever draws or reads out a plan.

use super::job::Kind;

/// A plan that holds all pieces of a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// How it is cut.
    pub kind: Kind,
    /// The cloths and how each is laid out; the roll, where it is used, comes last.
    pub spreads: Vec<Spread>,
    /// The length taken from the roll.
    pub length: i64,
    /// What the sheets used cost; where the roll has a price, what all cloth costs.
    pub cost: i64,
    /// No plan of this kind takes less: of a roll that has no price, else of cost.
    pub bound: i64,
    /// Whether the plan is proved best, or takes what the bound says.
    pub proved: bool,
}

/// One cloth laid out, or several alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spread {
    /// Which cloth: an index into [`super::Job::sheets`], or the roll.
    pub sheet: Option<usize>,
    /// How many cloths are laid out like this.
    pub count: u64,
    /// Width of the cloth.
    pub across: i64,
    /// Its length; of the roll, the length taken.
    pub along: i64,
    /// What lies where.
    pub lay: Lay,
}

/// What lies where on a cloth.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Lay {
    /// Cut edge to edge, part by part.
    Cut(Part),
    /// Laid out free, from the near end of the cloth to the far one.
    Free {
        /// The pieces.
        pieces: Vec<Placed>,
        /// What is left over, as rectangles that do not overlap, the largest first.
        left: Vec<Rect>,
    },
}

/// A rectangle of cloth, and what becomes of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Part {
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
    Across(Vec<Share>),
    /// It is cut lengthwise into parts that lie side by side.
    Along(Vec<Share>),
}

/// Equal parts next to each other.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Share {
    /// How many.
    pub times: u64,
    /// The size of each, in the direction in which they follow each other.
    pub size: i64,
    /// What each becomes.
    pub part: Part,
}

/// A piece in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Placed {
    /// Index into [`super::Job::pieces`].
    pub piece: usize,
    /// Whether it lies turned a quarter.
    pub turned: bool,
    /// Where it lies and how large it is.
    pub at: Rect,
}

/// A rectangle on a cloth: from the left selvage and from the near end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Rect {
    /// From the left selvage.
    pub x: i64,
    /// From the near end.
    pub y: i64,
    /// Across.
    pub across: i64,
    /// Along.
    pub along: i64,
}

impl Spread {
    /// The whole cloth as a rectangle.
    pub fn whole(&self) -> Rect {
        Rect { x: 0, y: 0, across: self.across, along: self.along }
    }

    /// The pieces in their places, at most so many; the picture of a million napkins shows the first.
    pub fn placed(&self, most: usize) -> Vec<Placed> {
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
    pub fn left(&self, most: usize) -> Vec<Rect> {
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

impl Share {
    /// What all of them measure together, in the direction in which they follow each other.
    pub fn total(&self) -> i64 {
        self.size.saturating_mul(i64::try_from(self.times).unwrap_or(i64::MAX))
    }
}

impl Part {
    /// Visits this part and all within it, each before what it is cut into and in the order of
    /// cutting, until `visit` says no; tells whether it went through.
    pub fn walk(&self, at: Rect, visit: &mut dyn FnMut(&Part, Rect) -> bool) -> bool {
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
                *far = far.saturating_add(share.size);
            }
        }
        true
    }
}
