//! What is to be cut, and from what.
//!
//! At the door of the room lengths are whole grid units of 128 bits, the exact sizes; the planners
//! count in 64 bits, in steps that keep every fit (see [`super::steps`]).

/// What is wanted, and the cloth that it may come from. Lengths are whole grid units, so that an
/// exact fit is one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Job<N = i64> {
    /// Usable width of cloth that is bought by length, where it may be bought.
    pub roll: Option<N>,
    /// Cloth of a fixed size: pieces in hand, cloth sold by the piece.
    pub sheets: Vec<Sheet<N>>,
    /// The pieces.
    pub pieces: Vec<Piece<N>>,
}

/// Equal cloths of a fixed size.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Sheet<N = i64> {
    /// How many there are.
    pub count: u64,
    /// Size across.
    pub across: N,
    /// Size along.
    pub along: N,
    /// What it costs to use one; 0 for cloth in hand.
    pub cost: i64,
}

/// Equal pieces of a job; a side below one grid unit counts as one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Piece<N = i64> {
    /// How many.
    pub count: u64,
    /// Size across the cloth, as written.
    pub across: N,
    /// Size along the cloth, as written: the way its grain, nap or stripe runs.
    pub along: N,
    /// Whether it may lie turned a quarter.
    pub may_turn: bool,
    /// Whether it is cut first, lengthwise along the selvage, before the cloth is cut across.
    pub by_selvage: bool,
}

impl<N: Copy + Ord + num_traits::One> Piece<N> {
    /// Size across and along the cloth as it lies there.
    pub fn lies(&self, turned: bool) -> (N, N) {
        let (across, along) = (self.across.max(N::one()), self.along.max(N::one()));
        if turned { (along, across) } else { (across, along) }
    }
}

impl Piece {
    /// Area of so many of it.
    pub fn area(&self, count: u64) -> i128 {
        let (across, along) = self.lies(false);
        (i128::from(across) * i128::from(along)).saturating_mul(i128::from(count))
    }
}

impl Sheet {
    /// Area of one.
    pub fn area(&self) -> i128 {
        i128::from(self.across.max(0)) * i128::from(self.along.max(0))
    }
}

/// How a plan is to be cut.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// Strips right across the cloth, each cut up into pieces, a lower piece trimmed to its height.
    #[default]
    Strips,
    /// Every cut runs from edge to edge of the cloth it cuts, any number of times over.
    EdgeToEdge,
    /// Pieces lie anyhow, without overlap: for scissors.
    Any,
}

impl Kind {
    /// All kinds, the plainest first: the cuts of each are allowed to those after it.
    pub const ALL: [Kind; 3] = [Kind::Strips, Kind::EdgeToEdge, Kind::Any];

    /// The kinds up to this one, the plainest first.
    pub fn up_to(self) -> impl Iterator<Item = Kind> {
        Kind::ALL.into_iter().filter(move |kind| *kind <= self)
    }
}

/// How much work may be spent on looking for a better plan, in steps of the search; about
/// 20 million of them take a second. The same budget gives the same plan on every machine. A
/// larger one gives no longer strips from a roll, where the sizes have a common step that is not fine; else it gives
/// a longer plan only where a search that ran out of work happened on a better one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Budget(pub u64);

impl Budget {
    /// For an answer at once: a hundredth of a second.
    pub const QUICK: Budget = Budget(200_000);
    /// A tenth of a second.
    pub const USUAL: Budget = Budget(3_000_000);
    /// A few seconds.
    pub const THOROUGH: Budget = Budget(90_000_000);
}

/// Why a job has no plan, and the piece that is the reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// The piece is larger than every cloth, every way it may lie: 60 in across on cloth of 54 in
    TooWide {
        /// Index into [`Job::pieces`].
        piece: usize,
    },
    /// The length of cloth goes past what a grid can count: 10^18 pieces a yard long
    TooMuch {
        /// Index into [`Job::pieces`].
        piece: usize,
    },
    /// The cloths in hand are used up, no more can be bought, and these pieces found no place.
    NoRoom {
        /// Indices into [`Job::pieces`], and how many of each are left over.
        left: Vec<(usize, u64)>,
    },
}

impl Misfit {
    /// Index of the piece that is the reason, the first of them.
    pub fn piece(&self) -> usize {
        match self {
            Misfit::TooWide { piece } | Misfit::TooMuch { piece } => *piece,
            Misfit::NoRoom { left } => left.first().map_or(0, |(piece, _)| *piece),
        }
    }
}
