//! Cells as people and spreadsheets leave them.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::borrow::Cow;

/// The largest power of ten that is written out: longer numbers are none of the trade.
const MOST_POWER: i32 = 400;

/// A cell with a decimal comma read as a point: `1,5 cm` in a table between semicolons.
pub(super) fn with_points(text: &str) -> Cow<'_, str> {
    if !text.contains(',') {
        return Cow::Borrowed(text);
    }
    let bytes = text.as_bytes();
    let digit = |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
    let point = |(at, c): (usize, char)| match c {
        ',' if digit(at.checked_sub(1)) && digit(Some(at + 1)) => '.',
        other => other,
    };
    Cow::Owned(text.char_indices().map(point).collect())
}

/// A cell that ends in a figure, with the unit of its column: `28 1/2` below `waist (in)`; so is each item of a list.
pub(super) fn with_unit<'a>(text: Cow<'a, str>, unit: Option<&str>) -> Cow<'a, str> {
    let Some(unit) = unit else { return text };
    let items = text.trim().strip_prefix('[').and_then(|rest| rest.strip_suffix(']'));
    if let Some(items) = items {
        let items = items.split([',', ';']).map(|item| one_with_unit(Cow::Borrowed(item.trim()), unit));
        return Cow::Owned(format!("[{}]", items.collect::<Vec<_>>().join(", ")));
    }
    one_with_unit(text, unit)
}

fn one_with_unit<'a>(text: Cow<'a, str>, unit: &str) -> Cow<'a, str> {
    match text.trim_end().ends_with(char::is_numeric) {
        true => Cow::Owned(format!("{} {unit}", text.trim_end())),
        false => text,
    }
}

/// What a cell was before a spreadsheet took it for a date, where it looks like one:
/// `2026-01-02`, `1-Feb`, `Feb-01`, `1/2/2026`, `45,292`.
pub(super) fn eaten(text: &str) -> Option<String> {
    let text = without_time(text.trim());
    let parts: Vec<&str> = text.split(['-', '/', '.', ' ', ',']).collect();
    // `1. Feb`
    let parts = if let [d, "", m] = *parts { vec![d, m] } else { parts };
    let number = |text: &str| {
        text.parse::<u32>().ok().filter(|_| text.len() <= 5 && text.bytes().all(|b| b.is_ascii_digit()))
    };
    let day = |text: &str| number(text).filter(|n| (1..=31).contains(n));
    let year = |text: &str| number(text).filter(|n| text.len() == 4 && (1900..2200).contains(n));
    match parts.as_slice() {
        [y, m, d] if year(y).is_some() => both(day(m)?, day(d)?),
        [d, m, y]
            if year(y).is_some() || (number(y).is_some() && y.len() == 2 && text.contains(['-', '/'])) =>
        {
            match month(m) {
                Some(m) => both(day(d)?, m),
                None => both(day(d)?, day(m)?),
            }
        }
        [m, y] if month(m).is_some() => both(month(m)?, number(y).map(|y| y % 100).filter(|n| *n > 0)?),
        [d, m] if month(m).is_some() => both(day(d)?, month(m)?),
        [thousands, rest] if text.contains(',') && rest.len() == 3 => {
            let serial = number(thousands)?.checked_mul(1000)?.checked_add(number(rest)?)?;
            is_day_number(serial).then(|| "a fraction such as `1/2`".into())
        }
        _ => None,
    }
}

/// A date without the time of day after it: `2026-02-01 00:00:00`.
fn without_time(text: &str) -> &str {
    match text.rsplit_once([' ', 'T']) {
        Some((date, time))
            if time.contains(':') && time.bytes().all(|b| matches!(b, b'0'..=b'9' | b':' | b'.')) =>
        {
            date.trim_end()
        }
        _ => text,
    }
}

/// A number with an exponent, `8e0` or `1.25E+02`, written out; others stay as they are.
pub(super) fn written_out(text: &str) -> Cow<'_, str> {
    if !text.bytes().any(|byte| matches!(byte, b'e' | b'E')) {
        return Cow::Borrowed(text);
    }
    let written = text.split_once(['e', 'E']).and_then(|(number, exponent)| {
        let (number, exponent) = (number.trim_start(), exponent.trim_end());
        let power = exponent.parse::<i32>().ok().filter(|power| power.abs() <= MOST_POWER)?;
        let (sign, number) = number.strip_prefix('-').map_or(("", number), |rest| ("-", rest));
        let (whole, part) = number.split_once('.').unwrap_or((number, ""));
        let digits = format!("{whole}{part}");
        if whole.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
            return None;
        }
        let point = i32::try_from(whole.len()).ok()?.checked_add(power)?;
        Some(match usize::try_from(point) {
            Ok(point) if point >= digits.len() => format!("{sign}{digits:0<point$}"),
            Ok(point) if point > 0 => format!("{sign}{}.{}", digits.get(..point)?, digits.get(point..)?),
            _ => format!("{sign}0.{}{digits}", "0".repeat(usize::try_from(point.unsigned_abs()).ok()?)),
        })
    });
    written.map_or(Cow::Borrowed(text), Cow::Owned)
}

/// The number of a day between the years 2000 and 2100, as spreadsheets count them from 1900.
fn is_day_number(serial: u32) -> bool {
    (36_526..73_051).contains(&serial)
}

/// Whether a bare number may be the number of a day.
pub(super) fn may_be_day(text: &str) -> bool {
    text.trim().parse().is_ok_and(is_day_number)
}

fn both(first: u32, second: u32) -> Option<String> {
    Some(match first == second {
        true => format!("`{first}/{second}`"),
        false => format!("`{first}/{second}` or `{second}/{first}`"),
    })
}

fn month(text: &str) -> Option<u32> {
    const MONTHS: [&str; 12] =
        ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];
    let start = text.get(..3)?.to_ascii_lowercase();
    let known = text.len() <= 9 && text.bytes().all(|b| b.is_ascii_alphabetic());
    let at = MONTHS.iter().position(|month| known && *month == start)?;
    u32::try_from(at + 1).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_decimal_comma_is_a_point_between_digits_only() {
        assert_eq!(with_points("1,5 cm"), "1.5 cm");
        assert_eq!(with_points("a, b"), "a, b");
        assert_eq!(with_points("12,5 cm by 3,25 cm"), "12.5 cm by 3.25 cm");
    }

    #[test]
    fn numbers_with_exponents_are_written_out() {
        for (text, wanted) in [
            ("8e0", "8"),
            ("-1.25E+02", "-125"),
            ("1.25e1", "12.5"),
            ("5e-3", "0.005"),
            ("12e-1", "1.2"),
            ("1e999999999", "1e999999999"),
            ("3 in", "3 in"),
            ("e5", "e5"),
            ("1 yd", "1 yd"),
        ] {
            assert_eq!(written_out(text), wanted);
        }
    }

    #[test]
    fn a_bare_number_takes_the_unit_of_its_heading() {
        let read = |text: &'static str| with_unit(text.into(), Some("in"));
        assert_eq!(read("28 1/2"), "28 1/2 in");
        assert_eq!(read("28½ "), "28½ in");
        assert_eq!(read("12 by 36"), "12 by 36 in");
        assert_eq!(read("70 cm"), "70 cm");
        assert_eq!(read("28\""), "28\"");
        assert_eq!(read("no"), "no");
        assert_eq!(read("[1, 1 1/2; 3 cm]"), "[1 in, 1 1/2 in, 3 cm]");
        assert_eq!(with_unit("28".into(), None), "28");
    }

    #[test]
    fn what_a_spreadsheet_ate_is_known() {
        assert_eq!(eaten("2026-01-02").as_deref(), Some("`1/2` or `2/1`"));
        assert_eq!(eaten("1-Feb").as_deref(), Some("`1/2` or `2/1`"));
        assert_eq!(eaten("Feb-01").as_deref(), Some("`2/1` or `1/2`"));
        assert_eq!(eaten("3/4/2026").as_deref(), Some("`3/4` or `4/3`"));
        assert_eq!(eaten("01.02.2026").as_deref(), Some("`1/2` or `2/1`"));
        assert_eq!(eaten("2026-02-01 00:00:00").as_deref(), Some("`2/1` or `1/2`"));
        assert_eq!(eaten("2026-02-01T00:00").as_deref(), Some("`2/1` or `1/2`"));
        assert_eq!(eaten("1. Feb").as_deref(), Some("`1/2` or `2/1`"));
        assert!(eaten("45,292").is_some());
        for honest in
            ["1/2", "54 1/2 in", "2-1/2 in", "1,5", "marigold", "", "12 by 36 in", "1/2/3", "3-mar-x"]
        {
            assert_eq!(eaten(honest), None, "{honest}");
        }
    }
}
