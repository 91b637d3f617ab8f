//! Slack: measures that are known give or take, `8 in ± 1/32 in`, beside the plain ones.
//!
//! A measure with slack is a middle, an amount for each source of error that it hangs on, and a
//! remainder that only grows ([`affine`]). What hangs on one source twice cancels where it should.

mod affine;
mod curves;
mod fold;
mod rest;
mod sizes;
mod source;
mod work;

pub use affine::Slack;
pub(crate) use sizes::SlackSize;
pub use source::Source;
pub(crate) use work::{alike, doubt, holds, one, operation, part};
