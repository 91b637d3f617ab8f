//! Givens: their defaults, bounds and choices, and values from outside read as people write them.

use std::rc::Rc;

use crate::limits::ITEMS;
use crate::measure::{Dim, read};
use crate::value::{List, Slack, Source, Value};

/// Why a text from outside is no value.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadText {
    /// What is wrong with it.
    pub message: String,
    /// How to correct it.
    pub hints: Vec<String>,
}

/// Reads a cell of a table or the text of a `--set` as people write measures: `54 1/2 in`,
/// `137 cm`, `5`, `16 in by 60 in`, `yes`, a list of such, `[1 in, 2 in]`, or words where the given holds words.
pub fn read_value(text: &str, wants_text: bool) -> Result<Value, BadText> {
    if wants_text {
        return Ok(Value::Text(text.into()));
    }
    if let Some(items) = text.trim().strip_prefix('[').and_then(|rest| rest.strip_suffix(']')) {
        return list(items);
    }
    one_value(text)
}

/// The items of a list, between commas or semicolons; a list in it is none of them.
fn list(items: &str) -> Result<Value, BadText> {
    let written = items.split([',', ';']).filter(|_| !items.trim().is_empty());
    let read = written.map(|item| one_value(item.trim())).collect::<Result<Vec<Value>, BadText>>()?;
    let list = List::new(read, ITEMS)
        .ok_or_else(|| BadText { message: "this list holds too many values".into(), hints: Vec::new() })?;
    Ok(Value::List(Rc::new(list)))
}

fn one_value(text: &str) -> Result<Value, BadText> {
    if !text.is_ascii() && text.contains('\u{B1}') || text.contains('+') && text.contains("+-") {
        return with_slack(text);
    }
    let fault = match read::literal(text) {
        Ok(quantity) => return Ok(Value::Measure(quantity)),
        Err(fault) => fault,
    };
    let trimmed = text.trim();
    match trimmed {
        "yes" => return Ok(Value::YesNo(true)),
        "no" => return Ok(Value::YesNo(false)),
        "" => return Err(BadText { message: "nothing is written here".into(), hints: Vec::new() }),
        _ => {}
    }
    if trimmed.split_whitespace().any(|word| word == "by") {
        return match read::size(trimmed) {
            Ok((across, along)) => Ok(Value::size(across, along)),
            Err(fault) => Err(bad_text(fault, trimmed)),
        };
    }
    if let Some(words) = trimmed.strip_prefix('"').and_then(|rest| rest.strip_suffix('"')) {
        return Ok(Value::Text(words.into()));
    }
    Err(bad_text(fault, text))
}

/// `8 in ± 1/32 in`, and a size of such sides.
fn with_slack(text: &str) -> Result<Value, BadText> {
    let mut sides = Vec::new();
    for side in text.split(" by ") {
        let literal = |text: &str| read::literal(text).map_err(|fault| bad_text(fault, text));
        let signed = side.split_once('\u{B1}').or_else(|| side.split_once("+-"));
        let Some((middle, off)) = signed else {
            sides.push(Slack::plain(&literal(side)?));
            continue;
        };
        let (middle, off) = (literal(middle.trim())?, literal(off.trim())?);
        let source = Source::new(text.trim().into(), None);
        let slack = Slack::literal(&middle, &off, source).ok_or_else(|| BadText {
            message: "both sides of `\u{B1}` must be of one kind, and the slack 0 or more".into(),
            hints: vec!["write it as `8 in \u{B1} 1/32 in`".into()],
        })?;
        sides.push(slack);
    }
    let mut sides = sides.into_iter();
    match (sides.next(), sides.next(), sides.next()) {
        (Some(one), None, None) => Ok(one.into()),
        (Some(across), Some(along), None) if across.dim() == Dim::LENGTH && along.dim() == Dim::LENGTH => {
            Ok(Value::SlackSize(Rc::new((across, along))))
        }
        _ => Err(BadText { message: "a size has two sides, and both are lengths".into(), hints: Vec::new() }),
    }
}

fn bad_text(fault: read::ReadFault, text: &str) -> BadText {
    let mut hints = fault.hints;
    if fault.kind == read::ReadKind::UnknownUnit {
        let word = text.get(fault.range).unwrap_or("");
        if let Some(close) = crate::fault::closest(word, crate::measure::unit_names()) {
            hints.insert(0, format!("did you mean `{close}`?"));
        }
    }
    BadText { message: fault.message, hints }
}

impl crate::recipe::build::Recipe {
    /// Whether a given holds words, so that a cell is taken as it is.
    pub fn holds_text(&mut self, given: usize) -> bool {
        let crate::recipe::build::Recipe { body, machine, .. } = self;
        let Some(given) = body.givens.get(given) else { return false };
        matches!(given.default.code, crate::code::node::Code::Const(Value::Text(_)))
            || matches!(machine.line(&given.default, given.slots), Ok(Value::Text(_)))
    }
}
