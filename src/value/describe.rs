//! What something is, for the words of a fault: one trait for values and for what the check infers.

use std::rc::Rc;

use crate::fault::Span;
use crate::measure::{Dim, Reading};
use crate::value::data::Value;

/// What an operand is, and where it is.
#[derive(Clone, Debug)]
pub struct Facts {
    /// `a length`, `a size`, `a list of 3`.
    pub name: String,
    /// `a length, 2 1/2 in`, `a length, from line 4`.
    pub words: String,
    /// What decides how it is corrected.
    pub sort: Sort,
    /// Where it is.
    pub span: Span,
}

/// The sorts of operands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sort {
    /// A measure or a number; of what dimension, where that is known.
    Measure(Option<Dim>),
    /// A measure with slack.
    Slack(Dim),
    /// Across by along.
    Size,
    /// A size with slack.
    SlackSize,
    /// Words.
    Text,
    /// A list.
    List,
    /// A record with these parts.
    Record(Vec<Rc<str>>),
    /// A shape.
    Shape,
    /// Anything else.
    Other,
}

impl Sort {
    /// The dimension of a measure.
    pub fn dim(&self) -> Option<Dim> {
        match self {
            Sort::Measure(dim) => *dim,
            Sort::Slack(dim) => Some(*dim),
            _ => None,
        }
    }

    /// Whether it is a number without a unit.
    pub fn is_bare(&self) -> bool {
        *self == Sort::Measure(Some(Dim::NONE))
    }

    /// Whether it is a size, with slack or without.
    pub fn is_size(&self) -> bool {
        matches!(self, Sort::Size | Sort::SlackSize)
    }
}

/// What can be an operand of a fault.
pub trait Describe {
    /// What it is, and where.
    fn facts(&self) -> Facts;
}

/// A value and its place.
#[derive(Clone, Copy, Debug)]
pub struct Operand<'a> {
    /// What it is.
    pub value: &'a Value,
    /// Where it is.
    pub span: Span,
}

impl<'a> Operand<'a> {
    /// An operand.
    pub fn new(value: &'a Value, span: Span) -> Operand<'a> {
        Operand { value, span }
    }

    /// `a length, 2 1/2 in`
    pub fn words(&self) -> String {
        let name = self.value.trade_name();
        match self.value {
            Value::Measure(quantity) if quantity.reading == Reading::Percent && quantity.dim == Dim::NONE => {
                format!("a percentage, {}", self.value.short())
            }
            Value::Measure(_) | Value::Size(_) | Value::Slack(_) | Value::SlackSize(_) => {
                format!("{name}, {}", self.value.short())
            }
            _ => name,
        }
    }
}

impl Describe for Operand<'_> {
    fn facts(&self) -> Facts {
        let sort = match self.value {
            Value::Measure(quantity) => Sort::Measure(Some(quantity.dim)),
            Value::Slack(slack) => Sort::Slack(slack.dim()),
            Value::Size(_) => Sort::Size,
            Value::SlackSize(_) => Sort::SlackSize,
            Value::Text(_) => Sort::Text,
            Value::List(_) => Sort::List,
            Value::Record(record) => Sort::Record(record.names.to_vec()),
            Value::Shape(_) => Sort::Shape,
            Value::NotSure(_) | Value::YesNo(_) | Value::Unset | Value::Failed => Sort::Other,
        };
        Facts { name: self.value.trade_name(), words: self.words(), sort, span: self.span }
    }
}
