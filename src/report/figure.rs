//! The values of a docket as text and as decimals.

use num_bigint::BigInt;
use num_rational::BigRational;
use num_traits::Signed;

use crate::docket::{Figure, FigureValue};
use crate::measure::{Exact, Manner, Number, Quantity, show_size, write_slack};
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
    let read = |(text, unit): (String, String)| (exact(&text).unwrap_or(Exact::ZERO), unit);
    if quantity.number.is_exact() {
        let (number, unit) = read(quantity.exact_parts());
        return (number, None, unit);
    }
    let of = |number: &Exact| {
        read(Quantity { number: Number::Exact(number.clone()), ..quantity.clone() }.exact_parts())
    };
    let (low, unit) = of(quantity.number.lower());
    (low, Some(of(quantity.number.upper()).0), unit)
}

/// The number behind `-17 3/4`, `7.905` or `5`, as exact measures are written.
fn exact(text: &str) -> Option<Exact> {
    let (negative, text) = text.strip_prefix('-').map_or((false, text), |rest| (true, rest));
    let number = if let Some((whole, part)) = text.split_once('.') {
        let scale = BigInt::from(10).pow(u32::try_from(part.len()).ok()?);
        Exact::from_big(BigRational::new(format!("{whole}{part}").parse().ok()?, scale))
    } else if let Some((whole, fraction)) = text.split_once(' ') {
        &whole.parse::<Exact>().ok()? + &fraction.parse::<Exact>().ok()?
    } else {
        text.parse().ok()?
    };
    Some(if negative { -number } else { number })
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
    fn exact_measures_are_read_back() {
        let text = |text: &str| exact(text).map(|number| number.to_string());
        assert_eq!(text("-17 3/4").as_deref(), Some("-71/4"));
        assert_eq!(text("7.905").as_deref(), Some("1581/200"));
        assert_eq!(text("-1/3").as_deref(), Some("-1/3"));
        assert_eq!(text("5").as_deref(), Some("5"));
        assert_eq!(text("?"), None);
    }

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
