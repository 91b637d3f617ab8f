//! A list of records as a table, such as the marks of a row of tucks.

use std::rc::Rc;

use super::figure::value_text;
use super::wrap::{pad, pad_left, width};
use crate::docket::FigureValue;
use crate::measure::Manner;

type Parts = [(Rc<str>, FigureValue)];

/// The lines of a table, its head first; `None` where the items are no records of the same simple
/// parts, or the table would be wider than `columns`.
pub(super) fn table(items: &[FigureValue], manner: &Manner, columns: usize) -> Option<Vec<String>> {
    let rows: Option<Vec<&Parts>> = items.iter().map(record).collect();
    let rows = rows?;
    let first = *rows.first()?;
    let alike = |row: &&Parts| row.len() == first.len() && row.iter().zip(first).all(|(a, b)| a.0 == b.0);
    if first.is_empty() || !rows.iter().all(alike) {
        return None;
    }
    let head: Vec<String> = first.iter().map(|(name, _)| name.replace('_', " ")).collect();
    let cells =
        rows.iter().map(|row| row.iter().map(|(_, value)| value_text(value, manner)).collect::<Vec<_>>());
    let cells: Vec<Vec<String>> = std::iter::once(head).chain(cells).collect();
    let widths: Vec<usize> = (0..first.len()).map(|at| column_width(&cells, at)).collect();
    let total = widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1);
    if total > columns {
        return None;
    }
    let left: Vec<bool> = first.iter().map(|(_, value)| matches!(value, FigureValue::Text(_))).collect();
    let line = |row: &Vec<String>| {
        let padded = row.iter().zip(widths.iter().zip(&left)).map(|(cell, (columns, left))| match left {
            true => pad(cell, *columns),
            false => pad_left(cell, *columns),
        });
        padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    Some(cells.iter().map(line).collect())
}

fn record(item: &FigureValue) -> Option<&Parts> {
    let FigureValue::Record(parts) = item else { return None };
    let simple = |value: &FigureValue| !matches!(value, FigureValue::List(_) | FigureValue::Record(_));
    parts.iter().all(|(_, value)| simple(value)).then_some(parts)
}

fn column_width(cells: &[Vec<String>], at: usize) -> usize {
    cells.iter().filter_map(|row| row.get(at)).map(|cell| width(cell)).max().unwrap_or(0)
}
