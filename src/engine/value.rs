//! The values that expressions make.

use std::rc::Rc;

use crate::docket::FigureValue;
use crate::measure::{Manner, Quantity, show_size};

/// How deep lists and records may hold each other; printing and dropping them recurses.
pub const VALUE_DEPTH: u16 = 100;

/// How many values a list may hold with all that its items hold; a list that holds itself twice
/// over doubles at each turn without taking memory, but not without time.
pub const VALUE_WEIGHT: u64 = 4_000_000;

/// Depth and weight of something that holds these.
fn measure_up(items: &[Value]) -> Option<(u16, u64)> {
    let depth = items.iter().map(Value::depth).max().unwrap_or(0) + 1;
    let weight = items.iter().fold(0u64, |sum, item| sum.saturating_add(item.weight()));
    (depth <= VALUE_DEPTH && weight <= VALUE_WEIGHT).then_some((depth, weight))
}

/// A value.
#[derive(Clone, Debug)]
pub enum Value {
    /// A measure, a count, a sum of money.
    Measure(Quantity),
    /// Across by along.
    Size(Rc<(Quantity, Quantity)>),
    /// Words.
    Text(Rc<str>),
    /// Yes or no.
    YesNo(bool),
    /// Several values.
    List(Rc<List>),
    /// Named parts.
    Record(Rc<Record>),
    /// A slot whose line has not been worked; no expression makes it.
    Unset,
    /// A slot whose line failed; what reads it stays silent.
    Failed,
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
    /// A list, or `None` where it would hold too much, or too deep.
    pub fn new(items: Vec<Value>) -> Option<List> {
        let (depth, weight) = measure_up(&items)?;
        Some(List { items, depth, weight })
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
    /// A record, or `None` where it would hold too much, or too deep.
    pub fn new(names: Rc<[Rc<str>]>, values: Vec<Value>) -> Option<Record> {
        let (depth, weight) = measure_up(&values)?;
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

impl Value {
    /// A count.
    pub fn count(n: i64) -> Value {
        Value::Measure(Quantity::whole(n))
    }

    /// A size.
    pub fn size(across: Quantity, along: Quantity) -> Value {
        Value::Size(Rc::new((across, along)))
    }

    /// How many values it holds, itself counted.
    #[inline]
    pub fn weight(&self) -> u64 {
        match self {
            Value::List(list) => list.weight.saturating_add(1),
            Value::Record(record) => record.weight.saturating_add(1),
            _ => 1,
        }
    }

    fn depth(&self) -> u16 {
        match self {
            Value::List(list) => list.depth,
            Value::Record(record) => record.depth,
            _ => 0,
        }
    }

    /// What it is, in trade words: `a length`, `a size`, `a list of 3`.
    pub fn trade_name(&self) -> String {
        match self {
            Value::Measure(quantity) => quantity.dim.trade_name(),
            Value::Size(_) => "a size".into(),
            Value::Text(_) => "a text".into(),
            Value::YesNo(_) => "a yes or no".into(),
            Value::List(list) => format!("a list of {}", list.items.len()),
            Value::Record(_) => "a record".into(),
            Value::Unset | Value::Failed => "a value not worked out".into(),
        }
    }

    /// The value read by the ruler in force, true value behind it where it is off the mark.
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
            Value::Text(text) => out.push_str(text),
            Value::YesNo(yes) => out.push_str(if *yes { "yes" } else { "no" }),
            Value::List(list) => {
                out.push('[');
                for (at, item) in list.items.iter().enumerate() {
                    out.push_str(if at == 0 { "" } else { ", " });
                    item.write_inside(manner, out);
                }
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
            Value::Unset | Value::Failed => {}
        }
    }

    /// Inside a list or a record a text stands in quotes.
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

    /// How a text reads it: the ruler's mark alone, without the true value behind it.
    pub fn write_in_text(&self, manner: &Manner, out: &mut String) {
        match self {
            Value::Measure(quantity) => out.push_str(&quantity.mark(manner)),
            Value::Size(size) => {
                out.push_str(&size.0.mark(manner));
                out.push_str(" by ");
                out.push_str(&size.1.mark(manner));
            }
            Value::List(list) => {
                for (at, item) in list.items.iter().enumerate() {
                    out.push_str(if at == 0 { "" } else { ", " });
                    item.write_in_text(manner, out);
                }
            }
            other => other.write(manner, out),
        }
    }

    /// The value as the docket holds it.
    pub fn to_figure(&self) -> FigureValue {
        match self {
            Value::Measure(quantity) => FigureValue::Measure(quantity.clone()),
            Value::Size(size) => FigureValue::Size(Box::new((size.0.clone(), size.1.clone()))),
            Value::Text(text) => FigureValue::Text(text.clone()),
            Value::YesNo(yes) => FigureValue::YesNo(*yes),
            Value::List(list) => FigureValue::List(list.items.iter().map(Value::to_figure).collect()),
            Value::Record(record) => FigureValue::Record(
                record.parts().map(|(name, value)| (name.clone(), value.to_figure())).collect(),
            ),
            Value::Unset | Value::Failed => FigureValue::Text("".into()),
        }
    }
}
