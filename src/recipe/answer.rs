//! What the prompt answers to a line.

use std::rc::Rc;

use crate::docket::{Change, Docket, Figure, Found, Working};

/// One answer.
#[derive(Clone, Debug)]
pub enum Answer {
    /// A value.
    Value(Figure),
    /// A number that was evaluated again.
    Changed(Change),
    /// The working of a value.
    Working(Working),
    /// What `find` found.
    Found(Found),
    /// A cutting plan: the parts of a docket that belong to it.
    Docket(Box<Docket>),
    /// Words, such as a check that holds, or names that still stand for an old value.
    Words(String),
    /// What a rule cautions of.
    Caution(Rc<str>),
}
