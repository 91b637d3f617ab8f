//! A figure as JSON: its text as a ruler reads it, its number exactly, its unit.

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::json_object::object;
use super::json_picture::ShapeJson;
use super::{Figure, FigureValue, Share, Slack, Words};
use crate::measure::{Exact, Manner, Number, Quantity, ToldIn, show_size, write_slack};

/// The JSON form of a value under a manner.
#[derive(Debug)]
pub struct FigureJson<'a>(pub &'a FigureValue, pub &'a Manner);

/// The JSON form of a measure under a manner.
struct Measure<'a>(&'a Quantity, &'a Manner);

/// The JSON form of a measure with slack under a manner.
struct WithSlack<'a>(&'a Slack, &'a Manner);

/// A row of a table under a manner.
struct Cells<'a>(&'a [&'a FigureValue], &'a Manner);

/// The parts of a record under a manner.
struct Parts<'a>(&'a [(std::rc::Rc<str>, FigureValue)], &'a Manner);

/// A number of units: a fraction in lowest terms, or the two that it is between.
struct Digits<'a>(&'a Number, ToldIn);

impl Serialize for Figure {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        FigureJson(&self.value, &self.manner).serialize(serializer)
    }
}

impl Serialize for Words {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self)
    }
}

impl Serialize for FigureJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let manner = self.1;
        match self.0 {
            FigureValue::Measure(quantity) => Measure(quantity, manner).serialize(serializer),
            FigureValue::Size(size) => object!(serializer,
                "text": show_size(&size.0, &size.1, manner),
                "across": Measure(&size.0, manner),
                "along": Measure(&size.1, manner),
            ),
            FigureValue::Slack(slack) => WithSlack(slack, manner).serialize(serializer),
            FigureValue::SlackSize(size) => object!(serializer,
                "text": format!("{} by {}", slack_text(&size.0, manner), slack_text(&size.1, manner)),
                "across": WithSlack(&size.0, manner),
                "along": WithSlack(&size.1, manner),
            ),
            FigureValue::Text(text) => serializer.serialize_str(text),
            FigureValue::YesNo(yes) => serializer.serialize_bool(*yes),
            FigureValue::List(items) => match self.0.as_table() {
                Some(table) => {
                    let rows: Vec<_> = table.rows.iter().map(|row| Cells(row, manner)).collect();
                    object!(serializer, "columns": table.columns, "rows": rows)
                }
                None => serializer.collect_seq(items.iter().map(|item| FigureJson(item, manner))),
            },
            FigureValue::Shape(outline) => ShapeJson(outline, manner).serialize(serializer),
            FigureValue::Record(parts) => object!(serializer, "parts": Parts(parts, manner)),
        }
    }
}

fn slack_text(slack: &Slack, manner: &Manner) -> String {
    let mut text = String::new();
    write_slack(&slack.middle, slack.slack.number.upper(), manner, &mut text);
    text
}

impl Serialize for Cells<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.iter().map(|value| FigureJson(value, self.1)))
    }
}

impl Serialize for Parts<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (&**name, FigureJson(value, self.1))))
    }
}

impl Serialize for Measure<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Measure(quantity, manner) = *self;
        let units = quantity.units();
        object!(serializer,
            "text": quantity.show(manner),
            "number": Digits(&quantity.number, units),
            "unit": units.symbol(),
        )
    }
}

impl Serialize for WithSlack<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let WithSlack(Slack { middle, slack, shares }, manner) = *self;
        let units = middle.units();
        object!(serializer,
            "text": slack_text(self.0, manner),
            "number": Digits(&middle.number, units),
            "unit": units.symbol(),
            "slack": Digits(&slack.number, units),
            "from": shares,
        )
    }
}

impl Serialize for Share {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let amount = Digits(&self.amount.number, self.amount.units());
        object!(serializer, "what": self.words, "line": self.line, "slack": amount)
    }
}

impl Serialize for Digits<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Digits(number, units) = self;
        let text = |bound: &Exact| {
            units.count(&Number::Exact(bound.clone())).exact().map(Exact::to_string).unwrap_or_default()
        };
        match number.exact() {
            Some(number) => serializer.serialize_str(&text(number)),
            None => object!(serializer, "about": [text(number.lower()), text(number.upper())]),
        }
    }
}
