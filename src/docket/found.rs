//! What a `find` line found.

use std::rc::Rc;

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::Figure;
use super::json_object::object;

/// The answer of a `find` line.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Found {
    /// What was looked for.
    pub name: Rc<str>,
    /// The question in its own words.
    pub question: Rc<str>,
    /// What was found.
    #[serde(flatten)]
    pub outcome: Outcome,
    /// What is to be known of it: that it is exact, that more may fit, where the condition fails again.
    pub notes: Vec<Rc<str>>,
    /// The answer and its neighbours put back, in order.
    pub near: Vec<Near>,
    /// Its line.
    pub line: usize,
}

/// What came out of a search.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// One value, and no other.
    One(Figure),
    /// Several values; ranges have two ends.
    Several(Vec<(Figure, Option<Figure>)>),
    /// No value at all.
    None,
    /// Nothing that can be reported for sure; what was found all the same.
    Unsure(Vec<(Figure, Option<Figure>)>),
}

/// A value put back.
#[derive(Clone, Debug, serde::Serialize)]
pub struct Near {
    /// The value.
    pub at: Figure,
    /// What comes out, where it is one measure or size.
    pub made: Option<Figure>,
    /// Whether the condition holds there; with slack, whether it holds whatever the slack does.
    pub holds: bool,
    /// Whether slack leaves it open.
    pub open: bool,
}

impl Serialize for Outcome {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        /// A value, or a range from one to another.
        #[derive(serde::Serialize)]
        struct Range<'a> {
            from: &'a Figure,
            to: Option<&'a Figure>,
        }
        fn one((from, to): &(Figure, Option<Figure>)) -> Range<'_> {
            Range { from, to: to.as_ref() }
        }
        let (name, values) = match self {
            Outcome::One(figure) => ("one", vec![Range { from: figure, to: None }]),
            Outcome::Several(ranges) => ("several", ranges.iter().map(one).collect()),
            Outcome::Unsure(ranges) => ("unsure", ranges.iter().map(one).collect()),
            Outcome::None => ("none", Vec::new()),
        };
        object!(serializer, "outcome": name, "values": values)
    }
}
