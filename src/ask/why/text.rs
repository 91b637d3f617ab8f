//! Formulas as their own text on one row, and values as text to be in them.

use std::rc::Rc;

use crate::fault::{Files, Span};
use crate::measure::{Dim, Number, Quantity, Reading};
use crate::value::data::Value;
use crate::value::slack::Slack;

/// A value that takes more letters is shown in short.
const LONGEST: usize = 160;

/// Where a value is put, which decides whether it needs brackets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hold {
    /// By itself, or between brackets or commas.
    Free,
    /// Beside an operator.
    Operand,
    /// Below a division or as an exponent.
    Below,
    /// What is raised to a power.
    Base,
}

/// The text of a formula on one row, some of its parts replaced.
pub(crate) fn one_row(files: &Files, span: Span, replaced: &[(Span, String)]) -> Rc<str> {
    let text = files.text(span);
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    let mut places: Vec<&(Span, String)> = replaced.iter().collect();
    places.sort_by_key(|(place, _)| place.start);
    for (place, new) in places {
        let start = (place.start as usize).saturating_sub(span.start as usize);
        let end = (place.end as usize).saturating_sub(span.start as usize);
        if place.file != span.file || start < at || end > text.len() {
            continue;
        }
        squeeze(text.get(at..start).unwrap_or(""), &mut out);
        out.push_str(new);
        at = end;
    }
    squeeze(text.get(at..).unwrap_or(""), &mut out);
    let mut row = out.trim().to_owned();
    // A row's end before a closing bracket, or after an opening one, leaves a gap.
    for (gap, closed) in [("( ", "("), (" )", ")"), ("[ ", "["), (" ]", "]")] {
        if !row.contains('"') {
            row = row.replace(gap, closed);
        }
    }
    row.into()
}

/// Appends text with its comments dropped and its blanks made one, texts in quotes left alone.
fn squeeze(text: &str, out: &mut String) {
    let mut quoted = false;
    let mut letters = text.chars().peekable();
    let mut before = out.chars().next_back().unwrap_or(' ');
    while let Some(c) = letters.next() {
        match c {
            '"' if quoted || !before.is_ascii_digit() => {
                quoted = !quoted;
                out.push(c);
            }
            '\\' if quoted => {
                out.push(c);
                out.extend(letters.next());
            }
            '#' if !quoted => while letters.next_if(|c| *c != '\n').is_some() {},
            c if c.is_whitespace() && !quoted => {
                if !out.ends_with(' ') && !out.is_empty() {
                    out.push(' ');
                }
            }
            c => out.push(c),
        }
        before = c;
    }
}

/// A value as it is in a formula: its true value, as it reads back.
pub(crate) fn value_text(value: &Value, hold: Hold) -> String {
    let text = plain(value);
    let bare = matches!(value, Value::Measure(quantity) if quantity.dim == Dim::NONE);
    let fraction = bare && text.contains('/') && !text.contains(' ');
    let bracket = match (hold, value) {
        (Hold::Free, _) => false,
        (_, Value::Size(_) | Value::SlackSize(_) | Value::Slack(_)) => true,
        (Hold::Base, Value::Measure(_)) => !bare || !text.chars().all(|c| c.is_ascii_digit()),
        (Hold::Below, _) => fraction || text.starts_with('-'),
        (_, Value::Measure(_)) => text.starts_with('-'),
        _ => false,
    };
    if bracket && !text.starts_with('(') { format!("({text})") } else { text }
}

fn plain(value: &Value) -> String {
    let text = match value {
        Value::Measure(quantity) => measure(quantity),
        Value::Size(size) => format!("{} by {}", measure(&size.0), measure(&size.1)),
        Value::Slack(slack) => slack_text(slack),
        Value::SlackSize(size) => format!("{} by {}", slack_text(&size.0), slack_text(&size.1)),
        Value::Text(text) => format!("\"{text}\""),
        Value::List(list) => {
            let few = list.items.iter().take(40).map(plain).collect::<Vec<_>>();
            if few.iter().map(String::len).sum::<usize>() > LONGEST || list.items.len() > 40 {
                return in_short(&few, list.items.len());
            }
            format!("[{}]", few.join(", "))
        }
        Value::Record(record) => {
            let parts = record.parts().take(40).map(|(name, value)| format!("{name}: {}", plain(value)));
            format!("{{{}}}", parts.collect::<Vec<_>>().join(", "))
        }
        other => other.show(&crate::measure::Manner::default()),
    };
    if text.chars().count() <= LONGEST { text } else { text.chars().take(LONGEST).chain(['…']).collect() }
}

/// `8 in ± 1/32 in`, as it reads back.
fn slack_text(slack: &Slack) -> String {
    let off = Quantity { number: Number::Exact(slack.radius()), ..slack.middle() };
    format!("{} ± {}", measure(&slack.middle()), measure(&off))
}

fn in_short(few: &[String], all: usize) -> String {
    let first: Vec<&str> = few.iter().take(2).map(|item| item.get(..60).unwrap_or(item)).collect();
    format!("[{}, … {all} in all]", first.join(", "))
}

fn measure(quantity: &Quantity) -> String {
    let text = quantity.exact_text();
    if quantity.is_exact() { text } else { format!("({text})") }
}

/// A percentage beside a plain number is put in as a plain number: `1 - 1/25`.
pub(crate) fn without_percent(value: &Value) -> Option<Value> {
    match value {
        Value::Measure(quantity) if quantity.reading == Reading::Percent => {
            Some(Value::Measure(Quantity { reading: Reading::Plain, ..quantity.clone() }))
        }
        _ => None,
    }
}

/// The `source` rows in the `##` text above a rule.
pub(crate) fn sources(files: &Files, heading: Span) -> Vec<Rc<str>> {
    let Some(file) = files.get(heading.file) else { return Vec::new() };
    let above = file.text().get(..heading.start as usize).unwrap_or("");
    let rows = above.lines().rev().take_while(|row| row.trim_start().starts_with("##"));
    let source = |row: &str| -> Option<Rc<str>> {
        let words = row.trim_start().trim_start_matches('#').trim();
        Some(words.strip_prefix("source ")?.trim().into())
    };
    let mut found: Vec<Rc<str>> = rows.filter_map(source).collect();
    found.reverse();
    found
}
