//! The lines that ask: for the working of a value, and for the input that makes a result come out.

use super::{Expr, Ident};

/// `why FLAT`, `why FLAT briefly`
#[derive(Clone, Debug)]
pub struct Why {
    /// Of what; nothing asks for the last answer.
    pub asked: Option<Expr>,
    /// Whether one line is enough.
    pub briefly: bool,
}

/// `find NAME from LOW to HIGH so that CONDITION`
#[derive(Clone, Debug)]
pub struct Find {
    /// What is looked for.
    pub name: Ident,
    /// `least` or `most`, where one of several is wanted.
    pub end: Option<End>,
    /// The least that it may be.
    pub low: Expr,
    /// The most that it may be.
    pub high: Expr,
    /// The step whose marks alone count: `on 1/8 in`
    pub on: Option<Expr>,
    /// What must come out.
    pub condition: Expr,
}

/// Which of several is wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum End {
    /// The least of them.
    Least,
    /// The most of them.
    Most,
}
