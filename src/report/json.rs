//! The docket as JSON; `src/docket/docket.schema.json` describes it.

use std::io;

use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

use super::figure::bounds;
use super::json_working::WorkingJson;
use crate::docket::{
    AlreadyCut, Buy, Change, Check, Docket, Figure, FigureValue, Found, Given, Made, Measured, Near, Outcome,
    Shown,
};
use crate::measure::{Manner, Quantity, show_size, write_slack};
use crate::text::HarmlessJson;

/// Writes the docket as one JSON object.
pub fn json(docket: &Docket, out: &mut dyn io::Write) -> io::Result<()> {
    let format = HarmlessJson(serde_json::ser::PrettyFormatter::new());
    let mut writer = serde_json::Serializer::with_formatter(&mut *out, format);
    Json(docket).serialize(&mut writer)?;
    writeln!(out)
}

/// The JSON form of a part of a docket.
pub(super) struct Json<'a, T: ?Sized>(pub &'a T);

/// The JSON form of a value under a manner.
pub(crate) struct FigureJson<'a>(pub &'a FigureValue, pub &'a Manner);

/// The JSON form of a measure under a manner.
struct Measure<'a>(&'a Quantity, &'a Manner);

/// A number: exact, or the bounds that it lies between.
#[derive(Serialize)]
#[serde(untagged)]
enum Digits {
    Exact(String),
    About { about: [String; 2] },
}

pub(super) fn all<T>(items: &[T]) -> Vec<Json<'_, T>> {
    items.iter().map(Json).collect()
}

/// Writes an object with these fields.
macro_rules! object {
    ($serializer:expr, $($name:literal: $value:expr,)* $(?$rare:literal: $asked:expr,)*) => {{
        let mut map = $serializer.serialize_map(None)?;
        $(map.serialize_entry($name, &$value)?;)*
        // What was not asked for does not stand there.
        $(if let Some(value) = $asked { map.serialize_entry($rare, &value)?; })*
        map.end()
    }};
}

pub(super) use object;

impl Serialize for Json<'_, Docket> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let docket = self.0;
        object!(serializer,
            "recipe": docket.recipe.as_deref(),
            "size": docket.size.as_deref(),
            "kits": docket.kits,
            "notes": texts(&docket.notes),
            "givens": all(&docket.givens),
            "shows": all(&docket.shows),
            "cloths": all(&docket.cloths),
            "buys": all(&docket.buys),
            "totals": all(&docket.totals),
            "steps": texts(&docket.steps),
            "checks": all(&docket.checks),
            "cautions": texts(&docket.cautions),
            "measured": docket.measured.as_deref().map(Json),
            ?"finds": (!docket.finds.is_empty()).then(|| all(&docket.finds)),
            ?"working": docket.working.as_ref().map(WorkingJson),
        )
    }
}

fn texts(texts: &[std::rc::Rc<str>]) -> Vec<&str> {
    texts.iter().map(|text| &**text).collect()
}

impl Serialize for Json<'_, Given> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Given { name, words, value, set } = self.0;
        object!(serializer, "name": &**name, "words": words.as_deref(), "value": Json(value), "set": set,)
    }
}

impl Serialize for Json<'_, Shown> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        object!(serializer, "label": &*self.0.label, "value": Json(&self.0.value),)
    }
}

impl Serialize for Json<'_, Buy> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let line = self.0;
        object!(serializer,
            "label": &*line.label,
            "needed": Json(&line.needed),
            "buy": Json(&line.buy),
            "price": line.price.as_ref().map(Json),
            "cost": line.cost.as_ref().map(Json),
        )
    }
}

impl Serialize for Json<'_, Found> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Found { name, question, outcome, notes, near, line } = self.0;
        let (sort, reaches) = match outcome {
            Outcome::One(figure) => ("one", vec![(figure.clone(), None)]),
            Outcome::Several(reaches) => ("several", reaches.clone()),
            Outcome::None => ("none", Vec::new()),
            Outcome::Unsure(reaches) => ("unsure", reaches.clone()),
        };
        let reaches: Vec<Json<'_, (Figure, Option<Figure>)>> = reaches.iter().map(Json).collect();
        object!(serializer,
            "name": &**name,
            "question": &**question,
            "outcome": sort,
            "values": reaches,
            "notes": texts(notes),
            "near": all(near),
            "line": line,
        )
    }
}

impl Serialize for Json<'_, (Figure, Option<Figure>)> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        object!(serializer, "from": Json(&self.0.0), "to": self.0.1.as_ref().map(Json),)
    }
}

impl Serialize for Json<'_, Near> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Near { at, made, holds, open } = self.0;
        object!(serializer, "at": Json(at), "made": made.as_ref().map(Json), "holds": holds, "open": open,)
    }
}

impl Serialize for Json<'_, Check> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Check { passed, open, message, detail, line } = self.0;
        object!(serializer,
            "passed": passed,
            "open": open,
            "message": &**message,
            "detail": detail.as_deref(),
            "line": line,
        )
    }
}

impl Serialize for Json<'_, Figure> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        FigureJson(&self.0.value, &self.0.manner).serialize(serializer)
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
            FigureValue::Slack(slack) => Loose(slack, manner).serialize(serializer),
            FigureValue::SlackSize(size) => object!(serializer,
                "text": super::figure::value_text(self.0, manner),
                "across": Loose(&size.0, manner),
                "along": Loose(&size.1, manner),
            ),
            FigureValue::Text(text) => serializer.serialize_str(text),
            FigureValue::YesNo(yes) => serializer.serialize_bool(*yes),
            FigureValue::List(items) => {
                if let Some(table) = self.0.as_table() {
                    let rows: Vec<_> = table.rows.iter().map(|row| Cells(row, manner)).collect();
                    return object!(serializer, "columns": table.columns, "rows": rows,);
                }
                serializer.collect_seq(items.iter().map(|item| FigureJson(item, manner)))
            }
            FigureValue::Record(parts) => object!(serializer, "parts": Parts(parts, manner),),
        }
    }
}

/// A row of a table under a manner.
struct Cells<'a>(&'a [&'a FigureValue], &'a Manner);

impl Serialize for Cells<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.0.iter().map(|value| FigureJson(value, self.1)))
    }
}

/// The parts of a record under a manner.
struct Parts<'a>(&'a [(std::rc::Rc<str>, FigureValue)], &'a Manner);

impl Serialize for Parts<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (&**name, FigureJson(value, self.1))))
    }
}

impl Serialize for Measure<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Measure(quantity, manner) = *self;
        let (digits, unit) = digits(quantity);
        object!(serializer, "text": quantity.show(manner), "number": digits, "unit": unit,)
    }
}

/// The JSON form of a measure with slack under a manner.
struct Loose<'a>(&'a crate::docket::Slack, &'a Manner);

impl Serialize for Loose<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Loose(slack, manner) = *self;
        let mut text = String::new();
        write_slack(&slack.middle, slack.slack.number.upper(), manner, &mut text);
        let (number, unit) = digits(&slack.middle);
        let from: Vec<_> = slack.shares.iter().map(Part).collect();
        object!(serializer,
            "text": text,
            "number": number,
            "unit": unit,
            "slack": amount(&slack.slack, &slack.middle),
            "from": from,
        )
    }
}

/// The JSON form of a share of a slack.
struct Part<'a>(&'a crate::docket::Share);

impl Serialize for Part<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let share = self.0;
        object!(serializer,
            "what": &*share.words,
            "line": share.line,
            "slack": amount(&share.amount, &share.amount),
        )
    }
}

/// An amount in the unit of the measure that it belongs to.
fn amount(of: &Quantity, like: &Quantity) -> Digits {
    digits(&Quantity { number: of.number.clone(), ..like.clone() }).0
}

impl Serialize for Json<'_, Measured> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Measured { made, changes, steps, cut, unplanned } = self.0;
        object!(serializer,
            "made": all(made),
            "changes": all(changes),
            "steps": steps,
            "cut": all(cut),
            "unplanned": unplanned,
        )
    }
}

impl Serialize for Json<'_, Made> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Made { name, planned, made, mend } = self.0;
        object!(serializer,
            "name": &**name,
            "planned": Json(planned),
            "made": Json(made),
            "mend": texts(mend),
        )
    }
}

impl Serialize for Json<'_, Change> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Change { what, before, after } = self.0;
        object!(serializer, "what": &**what, "before": Json(before), "after": Json(after),)
    }
}

impl Serialize for Json<'_, AlreadyCut> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let AlreadyCut { label, cut, now, mend } = self.0;
        object!(serializer,
            "label": &**label,
            "cut": Json(cut),
            "now": Json(now),
            "mend": texts(mend),
        )
    }
}

fn digits(quantity: &Quantity) -> (Digits, String) {
    let (low, high, unit) = bounds(quantity);
    let digits = match high {
        None => Digits::Exact(low.to_string()),
        Some(high) => Digits::About { about: [low.to_string(), high.to_string()] },
    };
    (digits, unit)
}
