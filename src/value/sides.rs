//! Values that slack can be reckoned with, taken apart into sides.

use std::rc::Rc;

use crate::measure::{Quantity, Trouble};
use crate::value::data::Value;
use crate::value::slack::{Slack, SlackSize};

/// One measure, or across and along.
#[derive(Clone, Debug)]
pub(crate) enum Sides<T> {
    /// One measure.
    One(T),
    /// Across and along.
    Two(T, T),
}

impl<T> Sides<T> {
    /// The same made of each side.
    pub fn each<U, E>(self, mut make: impl FnMut(T) -> Result<U, E>) -> Result<Sides<U>, E> {
        Ok(match self {
            Sides::One(one) => Sides::One(make(one)?),
            Sides::Two(across, along) => Sides::Two(make(across)?, make(along)?),
        })
    }

    /// The same made of the sides of two, where both have as many.
    pub fn both<U>(
        self,
        other: Sides<T>,
        make: impl Fn(&T, &T) -> Result<U, Trouble>,
    ) -> Result<Sides<U>, Trouble> {
        match (self, other) {
            (Sides::One(x), Sides::One(y)) => Ok(Sides::One(make(&x, &y)?)),
            (Sides::Two(x, u), Sides::Two(y, v)) => Ok(Sides::Two(make(&x, &y)?, make(&u, &v)?)),
            _ => Err(Trouble::UnitMix),
        }
    }

    /// The sides in order.
    pub fn list(self) -> Vec<T> {
        match self {
            Sides::One(one) => vec![one],
            Sides::Two(across, along) => vec![across, along],
        }
    }
}

impl Sides<Slack> {
    /// A measure or a size, with slack or without.
    pub fn of(value: &Value) -> Option<Sides<Slack>> {
        Some(match value {
            Value::Measure(quantity) => Sides::One(Slack::plain(quantity)),
            Value::Slack(slack) => Sides::One((**slack).clone()),
            Value::Size(size) => Sides::Two(Slack::plain(&size.0), Slack::plain(&size.1)),
            Value::SlackSize(size) => Sides::Two(size.0.clone(), size.1.clone()),
            _ => return None,
        })
    }
}

impl From<Sides<Slack>> for Value {
    /// The value; plain where nothing is left open.
    fn from(sides: Sides<Slack>) -> Value {
        match sides {
            Sides::One(slack) => slack.into(),
            Sides::Two(across, along) if across.is_certain() && along.is_certain() => {
                Value::size(across.middle, along.middle)
            }
            Sides::Two(across, along) => Value::SlackSize(Rc::new((across, along))),
        }
    }
}

impl From<Sides<Quantity>> for Value {
    fn from(sides: Sides<Quantity>) -> Value {
        match sides {
            Sides::One(quantity) => Value::Measure(quantity),
            Sides::Two(across, along) => Value::size(across, along),
        }
    }
}

/// Across and along with slack, as a value.
pub(crate) fn size((across, along): SlackSize) -> Value {
    Sides::Two(across, along).into()
}
