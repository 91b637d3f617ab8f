//! Jobs and pieces in few words, for the tests of plans.
#![allow(dead_code)] // not every test needs all

use scant::layout::{Job, Piece};

/// A job on a roll.
pub fn roll(width: i128, pieces: Vec<Piece>) -> Job {
    Job { roll: Some(width), sheets: Vec::new(), pieces }
}

/// So many pieces that lie as written.
pub fn fixed(count: u64, across: i128, along: i128) -> Piece {
    Piece { count, across, along, ..Piece::default() }
}

/// So many pieces that may lie turned.
pub fn turnable(count: u64, across: i128, along: i128) -> Piece {
    Piece { may_turn: true, ..fixed(count, across, along) }
}
