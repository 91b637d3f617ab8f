//! Sizes whose sides have slack, and values taken apart into sides.

use std::rc::Rc;

use crate::measure::Trouble;
use crate::value::data::Value;
use crate::value::slack::Slack;

/// Across and along.
pub type SlackSize = (Slack, Slack);

/// A value that slack can be reckoned with.
pub(crate) enum Loose {
    /// One measure.
    One(Slack),
    /// Across and along.
    Two(Slack, Slack),
}

impl Loose {
    /// A measure or a size, with slack or without.
    pub fn of(value: &Value) -> Option<Loose> {
        Some(match value {
            Value::Measure(quantity) => Loose::One(Slack::plain(quantity)),
            Value::Slack(slack) => Loose::One((**slack).clone()),
            Value::Size(size) => Loose::Two(Slack::plain(&size.0), Slack::plain(&size.1)),
            Value::SlackSize(size) => Loose::Two(size.0.clone(), size.1.clone()),
            _ => return None,
        })
    }

    /// The value; plain where nothing is left open.
    pub fn value(self) -> Value {
        match self {
            Loose::One(slack) => slack.value(),
            Loose::Two(across, along) => size(across, along),
        }
    }

    /// The same made of each side.
    pub fn each(self, make: impl Fn(Slack) -> Result<Slack, Trouble>) -> Result<Loose, Trouble> {
        Ok(match self {
            Loose::One(slack) => Loose::One(make(slack)?),
            Loose::Two(across, along) => Loose::Two(make(across)?, make(along)?),
        })
    }
}

/// A size; a plain one where neither side has slack.
pub(crate) fn size(across: Slack, along: Slack) -> Value {
    match (across.value(), along.value()) {
        (Value::Measure(across), Value::Measure(along)) => Value::size(across, along),
        (across, along) => match (Loose::of(&across), Loose::of(&along)) {
            (Some(Loose::One(across)), Some(Loose::One(along))) => Value::SlackSize(Rc::new((across, along))),
            _ => Value::Unset,
        },
    }
}
