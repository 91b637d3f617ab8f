//! The values of a docket as text and as decimals.

use crate::docket::FigureValue;
pub(crate) use crate::docket::push_value;
pub use crate::docket::{figure_text, value_text};
use crate::measure::{Manner, Number, decimal_places, push_decimal};

/// Decimals that go on longer are rounded.
const MOST_PLACES: u32 = 18;

/// A value as people write it: a list of single values without the brackets of the language.
pub(crate) fn shown_text(value: &FigureValue, manner: &Manner) -> String {
    let single = |value: &FigureValue| !matches!(value, FigureValue::List(_) | FigureValue::Record(_));
    match value {
        FigureValue::List(items) if !items.is_empty() && items.iter().all(single) => {
            let items: Vec<String> = items.iter().map(|item| value_text(item, manner)).collect();
            items.join(", ")
        }
        _ => value_text(value, manner),
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
