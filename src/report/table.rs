//! A table to be read: its head, then a line a row.

use super::figure::value_text;
use super::wrap::{pad, pad_left, width};
use crate::docket::{FigureValue, Table};
use crate::measure::{Manner, mark_size};

/// What is said below a table whose cells are the ruler's marks alone.
const MARKS_ALONE: &str = "(ruler readings; CSV and JSON have the exact values)";

/// The lines of a table, its head first; `None` where a cell holds several values. A table wider than `columns`
/// holds the ruler's marks alone, and one that still is goes on below, its first column reported again.
pub(super) fn table(table: &Table<'_>, manner: &Manner, columns: usize) -> Option<Vec<String>> {
    let several = |value: &FigureValue| matches!(value, FigureValue::List(_) | FigureValue::Record(_));
    if table.rows.iter().flatten().any(|value| several(value)) {
        return None;
    }
    let whole = Cells::of(table, |value| value_text(value, manner));
    if whole.width() <= columns {
        return Some(whole.lines());
    }
    let marks = Cells::of(table, |value| mark(value, manner));
    let mut lines = marks.parts(columns).iter().flat_map(Cells::lines).collect::<Vec<_>>();
    if marks.columns.iter().zip(&whole.columns).any(|(mark, whole)| mark.texts != whole.texts) {
        lines.push(MARKS_ALONE.into());
    }
    Some(lines)
}

/// The ruler's mark alone.
fn mark(value: &FigureValue, manner: &Manner) -> String {
    match value {
        FigureValue::Measure(quantity) => quantity.mark(manner),
        FigureValue::Size(size) => mark_size(&size.0, &size.1, manner),
        other => value_text(other, manner),
    }
}

/// The texts of a table, column by column.
struct Cells {
    columns: Vec<Column>,
}

#[derive(Clone)]
struct Column {
    /// The head, then a text a row.
    texts: Vec<String>,
    wide: usize,
    /// Whether it holds words, which are on the left.
    words: bool,
}

impl Cells {
    fn of(table: &Table<'_>, text: impl Fn(&FigureValue) -> String) -> Cells {
        let column = |(at, name): (usize, &&str)| {
            let cells = table.rows.iter().filter_map(|row| row.get(at));
            let words = cells.clone().next().is_some_and(|value| matches!(value, FigureValue::Text(_)));
            let texts: Vec<String> =
                std::iter::once((*name).to_owned()).chain(cells.map(|value| text(value))).collect();
            let wide = texts.iter().map(|text| width(text)).max().unwrap_or(0);
            Column { texts, wide, words }
        };
        Cells { columns: table.columns.iter().enumerate().map(column).collect() }
    }

    fn width(&self) -> usize {
        self.columns.iter().map(|column| column.wide.saturating_add(2)).sum::<usize>().saturating_sub(2)
    }

    /// Tables that fit, each of as many columns as go in; the first column names the rows of all.
    fn parts(&self, columns: usize) -> Vec<Cells> {
        let Some((names, rest)) = self.columns.split_first() else { return Vec::new() };
        let mut parts = vec![Cells { columns: vec![names.clone()] }];
        for column in rest {
            let full = parts.last().is_some_and(|part| {
                part.columns.len() > 1 && part.width().saturating_add(column.wide) > columns.saturating_sub(2)
            });
            if full {
                parts.push(Cells { columns: vec![names.clone()] });
            }
            if let Some(part) = parts.last_mut() {
                part.columns.push(column.clone());
            }
        }
        parts
    }

    fn lines(&self) -> Vec<String> {
        let rows = self.columns.first().map_or(0, |column| column.texts.len());
        let cell = |column: &Column, row: usize| {
            let text = column.texts.get(row).map_or("", String::as_str);
            if column.words { pad(text, column.wide) } else { pad_left(text, column.wide) }
        };
        let line = |row: usize| {
            let cells: Vec<String> = self.columns.iter().map(|column| cell(column, row)).collect();
            cells.join("  ").trim_end().to_owned()
        };
        (0..rows).map(line).collect()
    }
}
