//! What a formula gives over a whole span of what is looked for: its image.

use std::rc::Rc;

use crate::ask::find::interval::Interval;
use crate::measure::{Exact, Number, Quantity, Trouble};
use crate::syntax::tree::BinaryOp;
use crate::value::data::Value;
use crate::value::sides::Sides;
use crate::value::slack::Slack;
use crate::value::slack::affine::Affine;
use crate::value::slack::rest::Rest;

/// A measure with slack over a span: its middle, what each source adds, and what cannot be laid to one
/// source.
pub(crate) type SlackInterval = Affine<Interval, Interval>;

/// What a formula gives over a span.
#[derive(Clone, Debug)]
pub(crate) enum Image {
    /// The same all over.
    Same(Value),
    /// A measure that changes, or a size with a side that does.
    Measure(Sides<Interval>),
    /// A yes or no, or a shape, that changes within the span.
    Open,
    /// A list with an item that changes.
    List(Vec<Image>),
    /// A record with a part that changes.
    Record(Rc<[Rc<str>]>, Vec<Image>),
    /// A measure with slack that changes.
    Slack(Box<SlackInterval>),
}

impl From<Interval> for Image {
    fn from(interval: Interval) -> Image {
        Image::Measure(Sides::One(interval))
    }
}

impl From<SlackInterval> for Image {
    fn from(slack: SlackInterval) -> Image {
        Image::Slack(Box::new(slack))
    }
}

impl Image {
    /// A yes or no, or one that changes.
    pub fn answer(holds: Option<bool>) -> Image {
        holds.map_or(Image::Open, |yes| Image::Same(Value::YesNo(yes)))
    }

    /// A measure or a size.
    pub fn sides(&self) -> Option<Sides<Interval>> {
        match self {
            Image::Same(Value::Measure(quantity)) => Some(Sides::One(Interval::still(quantity.clone()))),
            Image::Same(Value::Size(size)) => {
                Some(Sides::Two(Interval::still(size.0.clone()), Interval::still(size.1.clone())))
            }
            Image::Measure(sides) => Some(sides.clone()),
            _ => None,
        }
    }

    /// The sides of a measure or a size that changes.
    pub fn varying_sides(&mut self) -> impl Iterator<Item = &mut Interval> {
        let (one, two) = match self {
            Image::Measure(Sides::One(one)) => (Some(one), None),
            Image::Measure(Sides::Two(across, along)) => (Some(across), Some(along)),
            _ => (None, None),
        };
        one.into_iter().chain(two)
    }

    /// One measure.
    pub fn measure(&self) -> Option<Interval> {
        match self.sides()? {
            Sides::One(interval) => Some(interval),
            Sides::Two(..) => None,
        }
    }

    /// The items of a list.
    pub fn items(&self) -> Option<Vec<Image>> {
        match self {
            Image::Same(Value::List(list)) => Some(list.items.iter().cloned().map(Image::Same).collect()),
            Image::List(items) => Some(items.clone()),
            _ => None,
        }
    }

    /// A measure with slack or without.
    pub fn slack(&self) -> Option<SlackInterval> {
        match self {
            Image::Same(Value::Slack(slack)) => Some(constant_slack(slack)),
            Image::Slack(slack) => Some((**slack).clone()),
            _ => self.measure().map(SlackInterval::certain),
        }
    }

    /// Whether it has slack.
    pub fn has_slack(&self) -> bool {
        matches!(self, Image::Slack(_) | Image::Same(Value::Slack(_)))
    }

    /// A part of a size, of a record, or of what has slack.
    pub fn part(&self, name: &str) -> Option<Image> {
        match (self, name) {
            (Image::Slack(slack), "middle") => Some(slack.middle.clone().into()),
            (Image::Slack(slack), "least") => slack.least_and_most().ok().map(|ends| ends.0.into()),
            (Image::Slack(slack), "most") => slack.least_and_most().ok().map(|ends| ends.1.into()),
            (Image::Measure(Sides::Two(across, _)), "across") => Some(across.clone().into()),
            (Image::Measure(Sides::Two(_, along)), "along") => Some(along.clone().into()),
            (Image::Measure(_), "middle" | "least" | "most") => Some(self.clone()),
            (Image::Record(names, values), _) => {
                values.get(names.iter().position(|known| &**known == name)?).cloned()
            }
            (Image::Same(Value::Record(record)), _) => record.part(name).cloned().map(Image::Same),
            _ => None,
        }
    }

    /// Either of two; of a record either of each part.
    pub fn either(&self, other: &Image) -> Option<Image> {
        if let (Some(x), Some(y)) = (self.sides(), other.sides()) {
            return x.both(y, Interval::either).ok().map(Image::Measure);
        }
        match (self, other) {
            (Image::Record(names, xs), Image::Record(others, ys)) if names == others => {
                let parts: Option<Vec<Image>> = xs.iter().zip(ys).map(|(x, y)| x.either(y)).collect();
                Some(Image::Record(names.clone(), parts?))
            }
            _ => None,
        }
    }
}

/// A measure with slack that stays the same.
fn constant_slack(slack: &Slack) -> SlackInterval {
    let like = |amount: &Exact| {
        Interval::still(Quantity { number: Number::Exact(amount.clone()), ..slack.middle.clone() })
    };
    Affine {
        middle: Interval::still(slack.middle.clone()),
        terms: slack.terms.iter().map(|(source, amount)| (source.clone(), like(amount))).collect(),
        rest: Rest { below: like(&slack.rest.below), above: like(&slack.rest.above) },
    }
}

/// Times a measure without slack, or divided by one.
fn scaled(
    slack: &SlackInterval,
    factor: &Interval,
    make: impl Fn(&Interval) -> Result<Interval, Trouble>,
) -> Result<SlackInterval, Trouble> {
    let negative = match (factor.at.number.lower().signum(), factor.at.number.upper().signum()) {
        (0 | 1, _) => Some(false),
        (_, 0 | -1) => Some(true),
        _ => None,
    };
    slack.scaled(make(&slack.middle)?, negative, make)
}

/// Arithmetic on two images; `None` where nothing can be said.
pub(crate) fn operation(op: BinaryOp, left: &Image, right: &Image) -> Result<Option<Image>, Trouble> {
    if left.has_slack() || right.has_slack() {
        return slack_operation(op, left, right);
    }
    let (Some(left), Some(right)) = (left.sides(), right.sides()) else { return Ok(None) };
    let make = |x: &Interval, y: &Interval| match op {
        BinaryOp::Add => x.add(y),
        BinaryOp::Subtract => x.sub(y),
        BinaryOp::Multiply | BinaryOp::Of => x.mul(y),
        BinaryOp::Divide => x.div(y),
        BinaryOp::Power => x.pow(&y.at),
        BinaryOp::And | BinaryOp::Or => Err(Trouble::UnitMix),
    };
    let made = match (left, right) {
        (sides @ Sides::Two(..), Sides::One(n)) => sides.each(|side| make(&side, &n)),
        (Sides::One(n), sides @ Sides::Two(..)) => sides.each(|side| make(&n, &side)),
        (left, right) => left.both(right, make),
    };
    made.map(|made| Some(Image::Measure(made)))
}

fn slack_operation(op: BinaryOp, left: &Image, right: &Image) -> Result<Option<Image>, Trouble> {
    let (Some(x), Some(y)) = (left.slack(), right.slack()) else { return Ok(None) };
    let made = match (op, left.measure(), right.measure()) {
        (BinaryOp::Add, ..) => x.add(&y)?,
        (BinaryOp::Subtract, ..) => x.sub(&y)?,
        (BinaryOp::Multiply | BinaryOp::Of, Some(factor), _) => {
            scaled(&y, &factor, |side| side.mul(&factor))?
        }
        (BinaryOp::Multiply | BinaryOp::Of, _, Some(factor)) => {
            scaled(&x, &factor, |side| side.mul(&factor))?
        }
        (BinaryOp::Divide, _, Some(factor)) => scaled(&x, &factor, |side| side.div(&factor))?,
        _ => return Ok(None),
    };
    Ok(Some(made.into()))
}
