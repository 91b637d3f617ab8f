//! What was really sewn in place of what was planned, and what that changed.

use std::rc::Rc;

use serde::Serialize;

use super::Figure;

/// What was really sewn, and what that changed.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Measured {
    /// What was measured, in order.
    pub made: Vec<Made>,
    /// Each number that came out otherwise than planned.
    pub changes: Vec<Change>,
    /// The steps that read otherwise than planned, counted from one.
    pub steps: Vec<usize>,
    /// The pieces that were cut to the old number.
    pub cut: Vec<AlreadyCut>,
    /// Whether the plan itself could not be evaluated, so that it is not known what changed.
    pub unplanned: bool,
}

/// A name and what was measured.
#[derive(Clone, Debug, Serialize)]
pub struct Made {
    /// The name.
    pub name: Rc<str>,
    /// What was planned.
    pub planned: Figure,
    /// What was really made.
    pub made: Figure,
    /// What a sewer would do about the difference.
    pub corrections: Vec<Rc<str>>,
}

/// A number that came out otherwise than planned.
#[derive(Clone, Debug, Serialize)]
pub struct Change {
    /// What it is the number of.
    pub what: Rc<str>,
    /// As planned.
    pub before: Figure,
    /// As it is now.
    pub after: Figure,
}

/// A piece that was cut to the old number.
#[derive(Clone, Debug, Serialize)]
pub struct AlreadyCut {
    /// What it is called.
    pub label: Rc<str>,
    /// Its size as it was cut.
    pub cut: Figure,
    /// Its size as it would be cut now.
    pub now: Figure,
    /// What a sewer would do about the difference.
    pub corrections: Vec<Rc<str>>,
}
