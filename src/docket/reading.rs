//! The values of a docket as a ruler reads them.

use super::{Figure, FigureValue};
use crate::measure::{Dim, Manner, Number, Quantity, show_size, write_slack};
use crate::shape::Outline;
use crate::text::harmless;

/// A figure as its ruler reads it.
pub fn figure_text(figure: &Figure) -> String {
    value_text(&figure.value, &figure.manner)
}

/// A value as a ruler reads it; texts made harmless.
pub fn value_text(value: &FigureValue, manner: &Manner) -> String {
    let mut out = String::new();
    push_value(value, manner, &mut out);
    out
}

/// A shape as the size of the rectangle that it fits in.
pub fn shape_text(outline: &Outline, manner: &Manner) -> String {
    let side = |number: Number| Quantity { number, dim: Dim::LENGTH, reading: outline.reading };
    match outline.size() {
        Ok(size) => format!("a shape, {}", show_size(&side(size.across), &side(size.along), manner)),
        Err(_) => "a shape".to_owned(),
    }
}

/// As [`value_text`], appended to `out`.
pub(crate) fn push_value(value: &FigureValue, manner: &Manner, out: &mut String) {
    push(value, manner, false, out);
}

fn push(value: &FigureValue, manner: &Manner, inside: bool, out: &mut String) {
    match value {
        FigureValue::Measure(quantity) => quantity.write(manner, out),
        FigureValue::Size(size) => out.push_str(&show_size(&size.0, &size.1, manner)),
        FigureValue::Slack(slack) => write_slack(&slack.middle, slack.slack.number.upper(), manner, out),
        FigureValue::SlackSize(size) => {
            for (at, side) in [&size.0, &size.1].into_iter().enumerate() {
                out.push_str(if at == 0 { "" } else { " by " });
                write_slack(&side.middle, side.slack.number.upper(), manner, out);
            }
        }
        FigureValue::Text(text) if inside => {
            out.push('"');
            out.push_str(&harmless(text));
            out.push('"');
        }
        FigureValue::Text(text) => out.push_str(&harmless(text)),
        FigureValue::YesNo(yes) => out.push_str(if *yes { "yes" } else { "no" }),
        FigureValue::Shape(outline) => out.push_str(&shape_text(outline, manner)),
        FigureValue::List(items) => {
            for (at, item) in items.iter().enumerate() {
                out.push_str(if at == 0 { "[" } else { ", " });
                push(item, manner, true, out);
            }
            out.push_str(if items.is_empty() { "[]" } else { "]" });
        }
        FigureValue::Record(parts) => {
            for (at, (name, value)) in parts.iter().enumerate() {
                out.push_str(if at == 0 { "{" } else { ", " });
                out.push_str(name);
                out.push_str(": ");
                push(value, manner, true, out);
            }
            out.push_str(if parts.is_empty() { "{}" } else { "}" });
        }
    }
}
