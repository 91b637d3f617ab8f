//! What a heading says of a parameter besides its kind: between which limits it is.

use std::rc::Rc;

use crate::measure::Exact;
use crate::syntax::tree::Limit;
use crate::value::data::Value;
use crate::value::slack::Slack;

/// The limits of a parameter.
#[derive(Clone, Debug, Default)]
pub struct Guard {
    /// In order of writing; none of them contradicts another.
    pub limits: Vec<Bound>,
    /// Whether it may be `no` instead.
    pub or_no: bool,
}

/// One limit.
#[derive(Clone, Debug)]
pub struct Bound {
    /// How it holds.
    pub limit: Limit,
    /// Where, in base units.
    pub at: Exact,
    /// The limit as it is written: `0 in`.
    pub words: Rc<str>,
}

impl Bound {
    /// `0 in or more`, `less than 180 deg`.
    pub fn words(&self) -> String {
        let at = &self.words;
        match self.limit {
            Limit::From => format!("{at} or more"),
            Limit::To => format!("{at} at most"),
            Limit::Above => format!("more than {at}"),
            Limit::Below => format!("less than {at}"),
        }
    }

    /// Whether it says `0 or more`.
    #[inline]
    pub fn is_zero_or_more(&self) -> bool {
        self.limit == Limit::From && self.at.is_zero()
    }

    /// Whether all that is from `low` to `high` is beyond it.
    pub fn refuses(&self, low: &Exact, high: &Exact) -> bool {
        match self.limit {
            Limit::From => *high < self.at,
            Limit::To => *low > self.at,
            Limit::Above => *high <= self.at,
            Limit::Below => *low >= self.at,
        }
    }
}

impl Guard {
    /// That it is 0 or more.
    pub fn not_negative() -> Guard {
        let zero = Bound { limit: Limit::From, at: Exact::ZERO, words: "0".into() };
        Guard { limits: vec![zero], or_no: false }
    }

    /// The limit that a value is beyond with all of its slack; that of a size with either side.
    pub fn refused_by(&self, value: &Value) -> Option<&Bound> {
        let beyond = |low: &Exact, high: &Exact| self.limits.iter().find(|bound| bound.refuses(low, high));
        let slack = |slack: &Slack| {
            let (low, high) = slack.bounds();
            beyond(&low, &high)
        };
        match value {
            Value::Measure(x) => beyond(x.number.lower(), x.number.upper()),
            Value::Size(size) => [&size.0, &size.1]
                .into_iter()
                .find_map(|side| beyond(side.number.lower(), side.number.upper())),
            Value::Slack(one) => slack(one),
            Value::SlackSize(size) => slack(&size.0).or_else(|| slack(&size.1)),
            _ => None,
        }
    }
}
