//! What the planners of one length of cloth find.

use super::kinds::{Spot, Strip};

/// What a planner of one kind found, in steps of its [`Kinds`].
#[derive(Clone, Debug, Default)]
pub(super) struct Found {
    /// Pieces in strips, or in their places.
    pub pieces: Pieces,
    /// The length they take.
    pub length: i64,
    /// No layout of the kind takes less.
    pub bound: i64,
}

/// Pieces in strips or in their places.
#[derive(Clone, Debug)]
pub(super) enum Pieces {
    /// Strips.
    Strips(Vec<Strip>),
    /// Each in its place.
    Spots(Vec<Spot>),
}

impl Default for Pieces {
    fn default() -> Pieces {
        Pieces::Strips(Vec::new())
    }
}
