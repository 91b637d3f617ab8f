//! The values of a docket as text and as decimals.

use num_bigint::BigInt;
use num_traits::Signed;

use super::escape::harmless;
use crate::docket::{Figure, FigureValue};
use crate::measure::{Exact, Manner, Quantity, show_size, write_slack};

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

/// A measure's number, or the two bounds that an approximate one lies between, and the unit that
/// they count.
pub(crate) fn bounds(quantity: &Quantity) -> (Exact, Option<Exact>, String) {
    let (number, unit) = quantity.counted();
    let high = (!number.is_exact()).then(|| number.upper().reduced());
    (number.lower().reduced(), high, unit)
}

/// A number for a spreadsheet: every digit where the decimals end within `places`, else rounded
/// to them, half away from zero.
pub fn decimal(number: &Exact, places: u32) -> String {
    let (numer, denom) = (number.numer(), number.denom());
    let scale = BigInt::from(10).pow(places);
    let twice: BigInt = numer.abs() * &scale * 2 + &denom;
    let half: BigInt = denom * 2;
    let digits = (twice / half).to_string();
    let places = places as usize;
    let digits = format!("{digits:0>width$}", width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let part = part.trim_end_matches('0');
    let sign = if numer.is_negative() && !(whole == "0" && part.is_empty()) { "-" } else { "" };
    if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_end_or_are_rounded() {
        let text = |n, d| Exact::ratio(n, d).map(|number| decimal(&number, 6)).unwrap_or_default();
        assert_eq!(text(61, 4), "15.25");
        assert_eq!(text(-1, 8), "-0.125");
        assert_eq!(text(2, 3), "0.666667");
        assert_eq!(text(-1, 10_000_000), "0");
        assert_eq!(text(3, 1), "3");
    }
}
