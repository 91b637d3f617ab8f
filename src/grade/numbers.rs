//! A column of results as numbers for a spreadsheet: one unit, named in the heading.

use super::results::Cell;
use crate::docket::{FigureValue, Slack};
use crate::measure::{Dim, Manner, Quantity, ToldIn, common_units};
use crate::report::push_number;

/// So many decimals are written of a number that does not end.
const PLACES: u32 = 6;

/// How the values of one column are written as numbers: a size in two columns, slack in one of its own.
pub(super) struct Numbers {
    sized: bool,
    slack: bool,
    parts: Vec<Part>,
}

/// A column of numbers.
struct Part {
    suffix: &'static str,
    units: ToldIn,
    dim: Dim,
    /// Whether one of its numbers was rounded, so that the heading says so.
    rounded: bool,
}

impl Numbers {
    /// How these are written; none where they are no numbers of one kind.
    pub fn of<'a>(cells: impl Iterator<Item = &'a Cell<'a>> + Clone) -> Option<Numbers> {
        let any = |is: fn(&FigureValue) -> bool| cells.clone().any(|cell| is(&cell.value));
        let sized = any(|value| matches!(value, FigureValue::Size(_) | FigureValue::SlackSize(_)));
        if sized == any(|value| matches!(value, FigureValue::Measure(_) | FigureValue::Slack(_))) {
            return None;
        }
        let slack = any(|value| matches!(value, FigureValue::Slack(_) | FigureValue::SlackSize(_)));
        let suffixes: &[&str] = match (sized, slack) {
            (false, false) => &[""],
            (false, true) => &["", " ±"],
            (true, false) => &[".across", ".along"],
            (true, true) => &[".across", ".across ±", ".along", ".along ±"],
        };
        let mut numbers = Numbers { sized, slack, parts: Vec::with_capacity(suffixes.len()) };
        let first = cells.clone().find_map(|cell| numbers.quantities(&cell.value))?;
        let all: Vec<_> = cells.clone().filter_map(|cell| numbers.quantities(&cell.value)).collect();
        let unit = |at: usize| {
            // Slack has the units of its measure.
            let at = if slack { at & !1 } else { at };
            let of = first.get(at).copied().flatten()?;
            let column = all.iter().filter_map(|row| row.get(at).copied().flatten());
            let common = common_units(column, &Manner::default()).map(ToldIn::from);
            Some((common.unwrap_or_else(|| of.units()), of.dim))
        };
        let part = |(at, suffix): (usize, &&'static str)| {
            let (units, dim) = unit(at)?;
            Some(Part { suffix, units, dim, rounded: false })
        };
        let parts = suffixes.iter().enumerate().map(part).collect::<Option<Vec<_>>>()?;
        numbers.parts = parts;
        cells.for_each(|cell| {
            numbers.write(&cell.value, &mut |_, _| {});
        });
        Some(numbers)
    }

    /// The headings of a column of this name.
    pub fn headings(&self, name: &str) -> Vec<String> {
        let heading = |part: &Part| {
            let unit = part.units.symbol();
            let notes: Vec<&str> = [unit.as_str(), if part.rounded { "rounded" } else { "" }]
                .into_iter()
                .filter(|note| !note.is_empty())
                .collect();
            let notes = if notes.is_empty() { String::new() } else { format!(" ({})", notes.join(", ")) };
            format!("{name}{}{notes}", part.suffix)
        };
        self.parts.iter().map(heading).collect()
    }

    /// How many columns there are.
    pub fn count(&self) -> usize {
        self.parts.len()
    }

    /// Hands out the numbers of a value, none for a slack that it has not; `false` where it is none of this column's.
    pub fn write(&mut self, value: &FigureValue, out: &mut dyn FnMut(&str, bool)) -> bool {
        let Some(quantities) = self.quantities(value) else { return false };
        let own =
            |(part, quantity): (&Part, &Option<&Quantity>)| quantity.is_none_or(|of| of.dim == part.dim);
        if !self.parts.iter().zip(&quantities).all(own) {
            return false;
        }
        let mut text = String::new();
        for (part, quantity) in self.parts.iter_mut().zip(quantities) {
            text.clear();
            let exact = quantity
                .is_none_or(|quantity| push_number(&part.units.count(&quantity.number), PLACES, &mut text));
            out(&text, !exact && !part.rounded);
            part.rounded |= !exact;
        }
        true
    }

    /// The measures of a value, one a column.
    fn quantities<'a>(&self, value: &'a FigureValue) -> Option<Vec<Option<&'a Quantity>>> {
        let plain = |of: &'a Quantity| (of, None);
        let with_slack = |of: &'a Slack| (&of.middle, Some(&of.slack));
        let sides = match value {
            FigureValue::Measure(of) if !self.sized => vec![plain(of)],
            FigureValue::Slack(of) if !self.sized => vec![with_slack(of)],
            FigureValue::Size(of) if self.sized => vec![plain(&of.0), plain(&of.1)],
            FigureValue::SlackSize(of) if self.sized => vec![with_slack(&of.0), with_slack(&of.1)],
            _ => return None,
        };
        let both = |(middle, slack): (&'a Quantity, Option<&'a Quantity>)| match self.slack {
            true => vec![Some(middle), slack],
            false => vec![Some(middle)],
        };
        // Slack in a column that has none would be lost.
        let lost = sides.iter().any(|(_, slack)| slack.is_some() && !self.slack);
        (!lost).then(|| sides.into_iter().flat_map(both).collect())
    }
}
