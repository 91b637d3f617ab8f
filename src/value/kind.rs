//! The kinds that a rule may ask of its arguments: `length`, `count`, `text` …

use crate::measure::{Dim, Reading};
use crate::value::data::Value;

/// A kind of value, as written behind a parameter's colon.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Anything; what a parameter without a kind takes.
    Any,
    /// A measure of one dimension.
    Measure(Dim),
    /// A bare number, read in percent.
    Percent,
    /// A whole number without a unit, 0 or more.
    Count,
    /// A sum of money, in any currency.
    Money,
    /// A price of one dimension: `money per length`.
    Price(Dim),
    /// Across by along.
    Size,
    /// Words.
    Text,
    /// Yes or no.
    YesNo,
    /// A list.
    List,
    /// A record.
    Record,
    /// An outline, or a size, which is a rectangle.
    Shape,
}

/// The kinds' written names, in the order in which help lists them.
pub const KINDS: &[(&str, Kind)] = &[
    ("length", Kind::Measure(Dim::LENGTH)),
    ("area", Kind::Measure(Dim::AREA)),
    ("volume", Kind::Measure(Dim::VOLUME)),
    ("number", Kind::Measure(Dim::NONE)),
    ("percent", Kind::Percent),
    ("count", Kind::Count),
    ("angle", Kind::Measure(Dim::ANGLE)),
    ("weight", Kind::Measure(Dim::MASS)),
    ("time", Kind::Measure(Dim::TIME)),
    ("money", Kind::Money),
    ("size", Kind::Size),
    ("text", Kind::Text),
    ("yes_no", Kind::YesNo),
    ("list", Kind::List),
    ("record", Kind::Record),
    ("cloth", Kind::Record),
    ("shape", Kind::Shape),
    ("anything", Kind::Any),
];

impl Kind {
    /// The kind with this written name.
    pub fn find(name: &str) -> Option<Kind> {
        KINDS.iter().find(|(known, _)| *known == name).map(|(_, kind)| *kind)
    }

    /// `money per length`, `weight per area`; nothing where it means nothing.
    pub fn per(self, other: Kind) -> Option<Kind> {
        match (self, other) {
            (Kind::Money, Kind::Measure(dim)) => Some(Kind::Price(dim)),
            (Kind::Measure(dim), Kind::Measure(per)) if dim != per => {
                Some(Kind::Measure(dim.times(per.powi(-1).ok()?).ok()?))
            }
            _ => None,
        }
    }

    /// Whether a measure of this dimension can be of this kind.
    #[inline]
    pub fn measures(self, dim: Dim) -> bool {
        match self {
            Kind::Measure(own) => own == dim,
            Kind::Percent | Kind::Count => dim == Dim::NONE,
            Kind::Money => price_of(dim, Dim::NONE),
            Kind::Price(per) => price_of(dim, per),
            Kind::Any | Kind::Size | Kind::Text | Kind::YesNo | Kind::List | Kind::Record | Kind::Shape => {
                false
            }
        }
    }

    /// The value as this kind reads it: what is stated to be a percentage reads in percent.
    #[inline]
    pub fn read(self, value: &mut Value) {
        if let (Kind::Percent, Value::Measure(quantity)) = (self, value) {
            quantity.reading = Reading::Percent;
        }
    }

    /// Whether a value is of this kind.
    #[inline]
    pub fn takes(self, value: &Value) -> bool {
        match (self, value) {
            (Kind::Measure(dim), Value::Measure(quantity)) => dim == quantity.dim,
            _ => self.takes_other(value),
        }
    }

    #[inline(never)]
    fn takes_other(self, value: &Value) -> bool {
        match (self, value) {
            (Kind::Any, _) => true,
            (Kind::Count, Value::Measure(quantity)) => quantity.whole_count().is_some_and(|n| n >= 0),
            (Kind::Count, Value::Slack(_)) => false,
            (_, Value::Measure(quantity)) => self.measures(quantity.dim),
            (_, Value::Slack(slack)) => self.measures(slack.dim()),
            (Kind::Size, Value::Size(_) | Value::SlackSize(_))
            | (Kind::Text, Value::Text(_))
            | (Kind::YesNo, Value::YesNo(_) | Value::NotSure(_))
            | (Kind::List, Value::List(_))
            | (Kind::Record, Value::Record(_))
            | (Kind::Shape, Value::Shape(_) | Value::Size(_) | Value::SlackSize(_)) => true,
            _ => false,
        }
    }

    /// What of it is never less than 0 unless its heading says `signed`.
    pub fn is_amount(self) -> bool {
        match self {
            Kind::Measure(dim) => dim != Dim::NONE && dim != Dim::ANGLE,
            Kind::Money | Kind::Price(_) | Kind::Percent | Kind::Size => true,
            Kind::Any | Kind::Count | Kind::Text | Kind::YesNo | Kind::List | Kind::Record | Kind::Shape => {
                false
            }
        }
    }

    /// The kind in trade words, for faults.
    pub fn trade_name(self) -> String {
        match self {
            Kind::Any => "anything".into(),
            Kind::Measure(dim) => dim.trade_name(),
            Kind::Percent => "a percentage".into(),
            Kind::Count => "a whole number, 0 or more".into(),
            Kind::Money => "a sum of money".into(),
            Kind::Price(per) => format!("money for {}", per.trade_name()),
            Kind::Size => "a size (across by along)".into(),
            Kind::Text => "text".into(),
            Kind::YesNo => "yes or no".into(),
            Kind::List => "a list".into(),
            Kind::Record => "a record".into(),
            Kind::Shape => "a shape".into(),
        }
    }
}

/// Whether a dimension is that of a price: `money per length`.
fn price_of(dim: Dim, per: Dim) -> bool {
    let whole = dim.currency().and_then(|currency| Dim::money(currency).times(per.powi(-1).ok()?).ok());
    whole == Some(dim)
}
