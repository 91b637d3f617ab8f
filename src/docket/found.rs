//! What a `find` line found.

use std::rc::Rc;

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::Figure;

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

impl Outcome {
    /// Its printed name; it is in the JSON form.
    fn name(&self) -> &'static str {
        match self {
            Outcome::One(_) => "one",
            Outcome::Several(_) => "several",
            Outcome::None => "none",
            Outcome::Unsure(_) => "unsure",
        }
    }
}

impl Serialize for Outcome {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        /// A value, or a range from one to another.
        #[derive(serde::Serialize)]
        struct Range<'a> {
            from: &'a Figure,
            to: Option<&'a Figure>,
        }
        let values: Vec<Range<'_>> = match self {
            Outcome::One(figure) => vec![Range { from: figure, to: None }],
            Outcome::Several(ranges) | Outcome::Unsure(ranges) => {
                ranges.iter().map(|(from, to)| Range { from, to: to.as_ref() }).collect()
            }
            Outcome::None => Vec::new(),
        };
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("outcome", self.name())?;
        map.serialize_entry("values", &values)?;
        map.end()
    }
}
