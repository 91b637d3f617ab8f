//! Values, measures with slack, kinds.

pub mod data;
pub mod kind;
pub mod slack;
