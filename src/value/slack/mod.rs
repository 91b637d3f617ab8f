//! Slack: measures that are known give or take, `8 in ± 1/32 in`, beside the plain ones.
//!
//! A measure with slack is a middle, an amount for each source of error that it depends on, and a
//! remainder that only grows ([`affine`]). What depends on one source twice cancels where it should.

pub(crate) mod affine;
mod curves;
mod fold;
mod measured;
pub(crate) mod rest;
mod shares;
mod source;

pub(crate) use curves::Whole;
pub(crate) use fold::Total;
pub use measured::Slack;
pub use source::Source;

/// Across and along.
pub type SlackSize = (Slack, Slack);
