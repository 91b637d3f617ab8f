//! The values of a docket as text and as decimals.

use crate::docket::{Figure, FigureValue};
use crate::measure::{Manner, Number, decimal_places, push_decimal, show_size, write_slack};
use crate::text::harmless;

/// Decimals that go on longer are rounded.
const MOST_PLACES: u32 = 18;

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

/// Appends a number for a spreadsheet, and says whether it is exact: every digit where the decimals end, else rounded
/// to so many places. Of a number that is known between bounds it is the middle.
pub(crate) fn push_number(number: &Number, places: u32, out: &mut String) -> bool {
    let middle = number.mid();
    if let (true, Some(places)) = (number.is_exact(), decimal_places(&middle, MOST_PLACES)) {
        push_decimal(&middle, places, out);
        return true;
    }
    push_decimal(&middle, places, out);
    out.truncate(out.trim_end_matches('0').trim_end_matches('.').len());
    false
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Exact;

    #[test]
    fn decimals_end_or_are_rounded() {
        let text = |n, d| {
            let mut out = String::new();
            let ends = push_number(&Number::Exact(Exact::ratio(n, d).unwrap_or_default()), 6, &mut out);
            (out, ends)
        };
        assert_eq!(text(61, 4), ("15.25".into(), true));
        assert_eq!(text(-1, 8), ("-0.125".into(), true));
        assert_eq!(text(1, 512), ("0.001953125".into(), true));
        assert_eq!(text(2, 3), ("0.666667".into(), false));
        assert_eq!(text(-1, 30_000_000), ("0".into(), false));
        assert_eq!(text(300, 1), ("300".into(), true));
        assert_eq!(text(3_000_000_001, 30), ("100000000.033333".into(), false));
    }
}
