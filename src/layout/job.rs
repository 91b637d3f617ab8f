//! What is to be cut, and how it is cut.

/// A cloth's width and the pieces wanted from it, in grid units.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Job {
    /// Usable width of the cloth.
    pub width: i64,
    /// The pieces.
    pub pieces: Vec<Piece>,
}

/// Equal pieces of a job; a side below one grid unit counts as one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// How many.
    pub count: u64,
    /// Size across the cloth, as written.
    pub across: i64,
    /// Size along the cloth, as written.
    pub along: i64,
    /// Whether it may lie turned a quarter.
    pub may_turn: bool,
}

/// Strips straight across the cloth that hold all pieces of a job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Plan {
    /// The strips, the highest first.
    pub strips: Vec<Strip>,
    /// The length of cloth that all strips take.
    pub length: i64,
}

/// Equal strips.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Strip {
    /// How many such strips.
    pub count: u64,
    /// How high each is, along the cloth: as high as the highest piece in it.
    pub height: i64,
    /// What each of them holds.
    pub holds: Vec<Held>,
}

/// Pieces of one kind in one strip.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Held {
    /// Index into [`Job::pieces`].
    pub piece: usize,
    /// How many of them lie in one strip.
    pub count: u64,
    /// Whether they lie turned a quarter.
    pub turned: bool,
}

/// Why a job has no plan, and the piece that is the reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Misfit {
    /// The piece is wider than the cloth, every way it may lie: 60 in across on cloth of 54 in
    TooWide {
        /// Index into [`Job::pieces`].
        piece: usize,
    },
    /// The length of cloth goes past what a grid can count: 10^18 pieces a yard long
    TooMuch {
        /// Index into [`Job::pieces`].
        piece: usize,
    },
}

impl Misfit {
    /// Index of the piece that is the reason.
    pub fn piece(self) -> usize {
        match self {
            Misfit::TooWide { piece } | Misfit::TooMuch { piece } => piece,
        }
    }
}
