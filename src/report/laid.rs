//! What holds several values, laid out in lines: marks as a table, a record part by part, a list item by item.

use super::table::table;
use super::wrap::{COLUMNS, LABEL, column, hang, pad, pad_left, width};
use super::{Screen, figure_text, value_text};
use crate::docket::{Figure, FigureValue};
use crate::measure::Manner;

/// A figure by itself on a screen: a record part by part, anything else on one line where it fits; a table is as wide
/// as the screen, where it needs to be.
pub fn figure_on(figure: &Figure, screen: Screen) -> String {
    let text = figure_text(figure);
    if width(&text) <= screen.prose() && !matches!(figure.value, FigureValue::Record(_)) {
        return text;
    }
    let lines = laid_out(&figure.value, &figure.manner, screen.table());
    lines.map_or(text, |lines| lines.join("\n"))
}

/// The lines of what holds several values; `None` for what fits one line.
pub(super) fn laid_out(value: &FigureValue, manner: &Manner, columns: usize) -> Option<Vec<String>> {
    match value {
        FigureValue::List(items) => {
            let marks = value.as_table().and_then(|rows| table(&rows, manner, columns));
            marks.or_else(|| numbered(items, manner, columns))
        }
        FigureValue::Record(parts) if !parts.is_empty() => {
            let names = column(parts.iter().map(|(name, _)| &**name), LABEL);
            let mut lines = Vec::with_capacity(parts.len());
            for (name, part) in parts {
                match laid_out(part, manner, columns.saturating_sub(2)) {
                    // a record of its own, or marks, are below their name
                    Some(inner) => {
                        lines.push(name.to_string());
                        lines.extend(inner.iter().map(|line| format!("  {line}")));
                    }
                    None => lines.extend(led(name, names, &value_text(part, manner), columns)),
                }
            }
            Some(lines)
        }
        _ => None,
    }
}

/// A part after its name; words that are too long go on below where they begin, and after a long name all are below.
fn led(name: &str, names: usize, words: &str, columns: usize) -> Vec<String> {
    let lead = format!("{}  ", pad(name, names));
    let fits = width(&lead).saturating_add(width(words)) <= columns;
    match fits || width(&lead) <= columns / 2 {
        true => hang(&lead, words, columns),
        false => std::iter::once(name.to_owned()).chain(hang("  ", words, columns)).collect(),
    }
}

/// The items of a list too long for a line, one a line, counted from one; tables in it are below each other.
fn numbered(items: &[FigureValue], manner: &Manner, columns: usize) -> Option<Vec<String>> {
    let digits = items.len().to_string().len();
    let lead = |number: usize| format!("{}. ", pad_left(&number.to_string(), digits));
    if items.iter().any(|item| item.as_table().is_some()) {
        let mut lines = Vec::new();
        for (at, item) in (1..).zip(items) {
            let indent = digits.saturating_add(2);
            let inner = laid_out(item, manner, columns.saturating_sub(indent));
            let inner = inner.unwrap_or_else(|| vec![value_text(item, manner)]);
            for (row, line) in inner.iter().enumerate() {
                let before = if row == 0 { lead(at) } else { " ".repeat(indent) };
                lines.push(format!("{before}{line}"));
            }
        }
        return Some(lines);
    }
    let texts: Vec<String> = items.iter().map(|item| value_text(item, manner)).collect();
    let short = texts.iter().map(|text| width(text).saturating_add(2)).sum::<usize>() <= COLUMNS / 2;
    let line = |(at, text): (usize, &String)| format!("{}{text}", lead(at));
    (!short).then(|| (1..).zip(&texts).map(line).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_part_keeps_the_gap_after_its_name() {
        let words = "the long words of one part go on below where they begin";
        assert_eq!(
            led("note", 9, words, 40),
            ["note       the long words of one part go", "           on below where they begin"]
        );
        let name = "the_finished_width_of_the_panel";
        assert_eq!(
            led(name, 9, words, 40)[..2],
            [name.to_owned(), "  the long words of one part go on below".into()]
        );
    }
}
