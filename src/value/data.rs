//! The values that expressions make.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::docket::{FigureValue, shape_text};
use crate::fault::Span;
use crate::limits::{ITEMS, VALUE_DEPTH};
use crate::measure::{Dim, Manner, Quantity, Reading, common_units, mark_size, show_size};
use crate::shape::Outline;
use crate::value::slack::{Slack, SlackSize};

/// Depth and weight of something that holds these. A list that holds itself twice over doubles at each
/// turn without taking memory, but not without time.
fn measure_up(items: &[Value], most: u64) -> Option<(u16, u64)> {
    let depth = items.iter().map(Value::depth).max().unwrap_or(0).saturating_add(1);
    let weight = items.iter().fold(0u64, |sum, item| sum.saturating_add(item.weight()));
    (depth <= VALUE_DEPTH && weight <= most).then_some((depth, weight))
}

/// A value.
#[derive(Clone, Debug)]
pub enum Value {
    /// A measure, a count, a sum of money.
    Measure(Quantity),
    /// Across by along.
    Size(Rc<(Quantity, Quantity)>),
    /// A measure that is known give or take.
    Slack(Rc<Slack>),
    /// A size whose sides are known give or take.
    SlackSize(Rc<SlackSize>),
    /// Words.
    Text(Rc<str>),
    /// Neither yes nor no: a comparison that slack leaves open.
    NotSure(Rc<Doubt>),
    /// Yes or no.
    YesNo(bool),
    /// Several values.
    List(Rc<List>),
    /// Named parts.
    Record(Rc<Record>),
    /// An outline.
    Shape(Rc<Outline>),
    /// A slot whose line has not been evaluated; no expression makes it.
    Unset,
    /// A slot whose line failed; what reads it stays silent.
    Failed,
}

/// What a comparison compared that slack leaves open.
#[derive(Debug)]
pub struct Doubt {
    /// Both sides: `31 in ± 1/4 in against 30 7/8 in`.
    pub words: Rc<str>,
    /// Where the left side is.
    pub left: Span,
    /// Where the right side is.
    pub right: Span,
}

/// Several values, and how deep they hold each other.
#[derive(Debug)]
pub struct List {
    /// The items, counted from one in the language.
    pub items: Vec<Value>,
    depth: u16,
    weight: u64,
}

impl List {
    /// A list, or `None` where it would hold more than `most`, or too deep.
    pub fn new(items: Vec<Value>, most: u64) -> Option<List> {
        let (depth, weight) = measure_up(&items, most)?;
        Some(List { items, depth, weight })
    }

    /// Hands out each item as it is read beside the others: measures of one kind in one unit.
    fn each(&self, manner: &Manner, mut out: impl FnMut(usize, &Value)) {
        let measure =
            |item: &Value| if let Value::Measure(quantity) = item { Some(quantity.clone()) } else { None };
        let measures: Option<Vec<Quantity>> = self.items.iter().map(measure).collect();
        let units = measures.as_ref().and_then(|all| common_units(all, manner));
        for (at, item) in self.items.iter().enumerate() {
            match (units, item) {
                (Some(units), Value::Measure(quantity)) => out(at, &Value::Measure(quantity.in_units(units))),
                _ => out(at, item),
            }
        }
    }
}

/// Named parts, in order of writing.
#[derive(Debug)]
pub struct Record {
    /// The names, shared between records made by one expression.
    pub names: Rc<[Rc<str>]>,
    /// The values, one a name.
    pub values: Vec<Value>,
    depth: u16,
    weight: u64,
}

impl Record {
    /// A record, or `None` where it would hold more than `most`, or too deep.
    pub fn new(names: Rc<[Rc<str>]>, values: Vec<Value>, most: u64) -> Option<Record> {
        let (depth, weight) = measure_up(&values, most)?;
        Some(Record { names, values, depth, weight })
    }

    /// The part with this name.
    pub fn part(&self, name: &str) -> Option<&Value> {
        let at = self.names.iter().position(|known| &**known == name)?;
        self.values.get(at)
    }

    /// Names and values, in order.
    pub fn parts(&self) -> impl Iterator<Item = (&Rc<str>, &Value)> {
        self.names.iter().zip(&self.values)
    }
}

impl From<Slack> for Value {
    /// A plain measure where nothing is left open.
    fn from(mut slack: Slack) -> Value {
        if slack.is_certain() {
            return Value::Measure(slack.middle);
        }
        slack.terms.shrink_to_fit();
        Value::Slack(Rc::new(slack))
    }
}

impl Value {
    /// A count.
    pub fn count(n: i64) -> Value {
        Value::Measure(Quantity::whole(n))
    }

    /// A bare number as a percentage: what may be meant, `10%` for 10, `5%` for 0.05, `1% or 100%`.
    pub fn bare_percent(&self) -> Option<String> {
        let Value::Measure(x) = self else { return None };
        if x.dim != Dim::NONE || x.reading == Reading::Percent {
            return None;
        }
        let read = |share: Quantity| Value::Measure(Quantity { reading: Reading::Percent, ..share }).short();
        let part = read(x.div(&Quantity::whole(100)).ok()?);
        Some(match x.abs().compare(&Quantity::whole(1)).ok()? {
            Ordering::Less => read(x.clone()),
            Ordering::Equal => format!("{part} or {}", read(x.clone())),
            Ordering::Greater => part,
        })
    }

    /// Whether all that it may be is less than 0; of a size, all that one side may be.
    #[inline]
    pub fn is_below_zero(&self) -> bool {
        let slack = |slack: &Slack| slack.bounds().1.is_negative();
        match self {
            Value::Measure(x) => x.is_negative(),
            Value::Size(size) => size.0.is_negative() || size.1.is_negative(),
            Value::Slack(x) => slack(x),
            Value::SlackSize(size) => slack(&size.0) || slack(&size.1),
            _ => false,
        }
    }

    /// A size.
    pub fn size(across: Quantity, along: Quantity) -> Value {
        Value::Size(Rc::new((across, along)))
    }

    /// What `how many` gives.
    pub(crate) fn how_many(count: Quantity, left: Value) -> Value {
        thread_local! {
            static NAMES: Rc<[Rc<str>]> = ["count".into(), "left".into()].into();
        }
        let record = Record::new(NAMES.with(Rc::clone), vec![Value::Measure(count), left], ITEMS);
        record.map_or(Value::Unset, |record| Value::Record(Rc::new(record)))
    }

    /// How many values it holds, itself counted; what is long counts as several, for it takes as much
    /// room as they would.
    #[inline]
    pub fn weight(&self) -> u64 {
        match self {
            Value::Measure(quantity) => (quantity.number.words() / 8).saturating_add(1),
            Value::Text(text) => (text.len() as u64 / 64).saturating_add(1),
            Value::List(list) => list.weight.saturating_add(1),
            Value::Record(record) => record.weight.saturating_add(1),
            Value::Slack(slack) => slack.weight(),
            Value::SlackSize(size) => size.0.weight().saturating_add(size.1.weight()),
            Value::Shape(outline) => outline.weight(),
            _ => 1,
        }
    }

    /// The steps of work that an operation on it takes besides its own.
    #[inline]
    pub fn work(&self) -> u64 {
        match self {
            Value::Measure(quantity) => quantity.number.work(),
            Value::Size(size) => size.0.number.work().saturating_add(size.1.number.work()),
            _ => 0,
        }
    }

    /// What it measures, where it is one measure.
    pub fn dim(&self) -> Option<Dim> {
        match self {
            Value::Measure(quantity) => Some(quantity.dim),
            Value::Slack(slack) => Some(slack.dim()),
            _ => None,
        }
    }

    /// Whether it is a size, with slack or without.
    pub fn is_size(&self) -> bool {
        matches!(self, Value::Size(_) | Value::SlackSize(_))
    }

    /// Whether both are measures of one dimension, or sizes.
    pub fn measures_like(&self, other: &Value) -> bool {
        self.is_size() && other.is_size() || self.dim().is_some() && self.dim() == other.dim()
    }

    /// Whether it is known give or take.
    pub fn has_slack(&self) -> bool {
        matches!(self, Value::Slack(_) | Value::SlackSize(_))
    }

    fn depth(&self) -> u16 {
        match self {
            Value::List(list) => list.depth,
            Value::Record(record) => record.depth,
            _ => 0,
        }
    }

    /// Its true reading, for a comparison of what came out.
    pub fn exact_text(&self) -> String {
        match self {
            Value::Measure(quantity) => quantity.exact_text(),
            Value::Size(size) => format!("{} by {}", size.0.exact_text(), size.1.exact_text()),
            other => other.short(),
        }
    }

    /// Its reading, cut where it would be long.
    pub fn short(&self) -> String {
        let whole = self.show(&Manner::default());
        if whole.chars().count() <= 60 {
            return whole;
        }
        whole.chars().take(57).chain("...".chars()).collect()
    }

    /// What it is, in trade words: `a length`, `a size`, `a list of 3`.
    pub fn trade_name(&self) -> String {
        match self {
            Value::Measure(quantity) => quantity.dim.trade_name(),
            Value::Size(_) => "a size".into(),
            Value::Slack(slack) => format!("{} with slack", slack.middle().dim.trade_name()),
            Value::SlackSize(_) => "a size with slack".into(),
            Value::NotSure(_) => "not sure, with the slack".into(),
            Value::Text(_) => "text".into(),
            Value::YesNo(_) => "a yes or no".into(),
            Value::List(list) => format!("a list of {}", list.items.len()),
            Value::Record(_) => "a record".into(),
            Value::Shape(_) => "a shape".into(),
            Value::Unset | Value::Failed => "a value not worked out".into(),
        }
    }

    /// The value read by the ruler in force, true value after it where it is off the mark.
    pub fn show(&self, manner: &Manner) -> String {
        let mut out = String::new();
        self.write(manner, &mut out);
        out
    }

    /// As [`Value::show`], appended to `out`.
    pub fn write(&self, manner: &Manner, out: &mut String) {
        match self {
            Value::Measure(quantity) => quantity.write(manner, out),
            Value::Size(size) => out.push_str(&show_size(&size.0, &size.1, manner)),
            Value::Slack(slack) => slack.write(manner, out),
            Value::SlackSize(size) => size_with_slack(size, manner, false, out),
            Value::NotSure(_) => out.push_str("not sure"),
            Value::Text(text) => out.push_str(text),
            Value::YesNo(yes) => out.push_str(if *yes { "yes" } else { "no" }),
            Value::List(list) => {
                out.push('[');
                list.each(manner, |at, item| {
                    out.push_str(if at == 0 { "" } else { ", " });
                    item.write_inside(manner, out);
                });
                out.push(']');
            }
            Value::Record(record) => {
                out.push('{');
                for (at, (name, value)) in record.parts().enumerate() {
                    out.push_str(if at == 0 { "" } else { ", " });
                    out.push_str(name);
                    out.push_str(": ");
                    value.write_inside(manner, out);
                }
                out.push('}');
            }
            Value::Shape(outline) => out.push_str(&shape_text(outline, manner)),
            Value::Unset | Value::Failed => {}
        }
    }

    /// Inside a list or a record a text is in quotes.
    fn write_inside(&self, manner: &Manner, out: &mut String) {
        match self {
            Value::Text(text) => {
                out.push('"');
                out.push_str(text);
                out.push('"');
            }
            other => other.write(manner, out),
        }
    }

    /// How a text reads it: the ruler's mark alone, without the true value after it.
    pub fn write_in_text(&self, manner: &Manner, out: &mut String) {
        match self {
            Value::Measure(quantity) => out.push_str(&quantity.mark(manner)),
            Value::Size(size) => out.push_str(&mark_size(&size.0, &size.1, manner)),
            Value::Slack(slack) => slack.write_mark(manner, out),
            Value::SlackSize(size) => size_with_slack(size, manner, true, out),
            Value::List(list) => list.each(manner, |at, item| {
                out.push_str(if at == 0 { "" } else { ", " });
                item.write_in_text(manner, out);
            }),
            other => other.write(manner, out),
        }
    }

    /// The value read as it was typed: a given.
    #[must_use]
    pub fn as_typed(&self) -> Value {
        match self {
            Value::Measure(quantity) => Value::Measure(quantity.as_typed()),
            Value::Size(size) => Value::size(size.0.as_typed(), size.1.as_typed()),
            other => other.clone(),
        }
    }

    /// As [`Value::to_figure`], of a value that is not needed any more.
    pub fn into_figure(self) -> FigureValue {
        match self {
            Value::Measure(quantity) => FigureValue::Measure(quantity),
            other => other.to_figure(),
        }
    }

    /// The value as the docket holds it.
    pub fn to_figure(&self) -> FigureValue {
        match self {
            Value::Measure(quantity) => FigureValue::Measure(quantity.clone()),
            Value::Size(size) => FigureValue::Size(Box::new((size.0.clone(), size.1.clone()))),
            Value::Slack(slack) => FigureValue::Slack(Box::new(slack.to_docket())),
            Value::SlackSize(size) => {
                FigureValue::SlackSize(Box::new((size.0.to_docket(), size.1.to_docket())))
            }
            Value::NotSure(_) => FigureValue::Text("not sure".into()),
            Value::Text(text) => FigureValue::Text(text.clone()),
            Value::YesNo(yes) => FigureValue::YesNo(*yes),
            Value::List(list) => FigureValue::List(list.items.iter().map(Value::to_figure).collect()),
            Value::Record(record) => FigureValue::Record(
                record.parts().map(|(name, value)| (name.clone(), value.to_figure())).collect(),
            ),
            Value::Shape(outline) => FigureValue::Shape(outline.clone()),
            Value::Unset | Value::Failed => FigureValue::Text("".into()),
        }
    }
}

fn size_with_slack(size: &SlackSize, manner: &Manner, marks: bool, out: &mut String) {
    for (at, side) in [&size.0, &size.1].into_iter().enumerate() {
        out.push_str(if at == 0 { "" } else { " by " });
        if marks { side.write_mark(manner, out) } else { side.write(manner, out) }
    }
}
