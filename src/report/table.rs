//! A table to be read: its head, then a line a row.

use super::figure::value_text;
use super::wrap::{pad, pad_left, width};
use crate::docket::{FigureValue, Table};
use crate::measure::Manner;

/// The lines of a table, its head first; `None` where a cell holds several values, or the table would be
/// wider than `columns`.
pub(super) fn table(table: &Table<'_>, manner: &Manner, columns: usize) -> Option<Vec<String>> {
    let several = |value: &FigureValue| matches!(value, FigureValue::List(_) | FigureValue::Record(_));
    if table.rows.iter().flatten().any(|value| several(value)) {
        return None;
    }
    let head: Vec<String> = table.columns.iter().map(|name| name.replace('_', " ")).collect();
    let cells = table.rows.iter().map(|row| row.iter().map(|value| value_text(value, manner)).collect());
    let cells: Vec<Vec<String>> = std::iter::once(head).chain(cells).collect();
    let widths: Vec<usize> = (0..table.columns.len()).map(|at| column_width(&cells, at)).collect();
    let total = widths.iter().sum::<usize>() + 2 * widths.len().saturating_sub(1);
    if total > columns {
        return None;
    }
    let first = table.rows.first()?;
    let left: Vec<bool> = first.iter().map(|value| matches!(value, FigureValue::Text(_))).collect();
    let line = |row: &Vec<String>| {
        let padded = row.iter().zip(widths.iter().zip(&left)).map(|(cell, (columns, left))| match left {
            true => pad(cell, *columns),
            false => pad_left(cell, *columns),
        });
        padded.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    Some(cells.iter().map(line).collect())
}

fn column_width(cells: &[Vec<String>], at: usize) -> usize {
    cells.iter().filter_map(|row| row.get(at)).map(|cell| width(cell)).max().unwrap_or(0)
}
