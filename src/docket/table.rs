//! A list of records as a table, such as the marks of a row of tucks.

use super::FigureValue;
use crate::measure::{Dim, Exact, Manner, Units, common_units};

/// Rows under headed columns.
#[derive(Clone, Debug)]
pub struct Table<'a> {
    /// The names of the parts that every row has, in order.
    pub columns: Vec<&'a str>,
    /// One value a column.
    pub rows: Vec<Vec<&'a FigureValue>>,
}

impl FigureValue {
    /// A list of records that have the same parts, as a table; `None` for any other value.
    pub fn as_table(&self) -> Option<Table<'_>> {
        let FigureValue::List(items) = self else { return None };
        let mut table = Table { columns: Vec::new(), rows: Vec::with_capacity(items.len()) };
        for item in items {
            let FigureValue::Record(parts) = item else { return None };
            let names = || parts.iter().map(|(name, _)| &**name);
            if table.columns.is_empty() {
                table.columns = names().collect();
            }
            if parts.is_empty() || !names().eq(table.columns.iter().copied()) {
                return None;
            }
            table.rows.push(parts.iter().map(|(_, value)| value).collect());
        }
        (!table.rows.is_empty()).then_some(table)
    }

    /// The same value, with the measures of each list, and of each column of a table, read in one unit.
    #[must_use]
    #[inline]
    pub fn in_common_units(self, manner: &Manner) -> FigureValue {
        match self {
            FigureValue::List(_) | FigureValue::Record(_) => self.all_in_common_units(manner),
            _ => self,
        }
    }

    fn all_in_common_units(mut self, manner: &Manner) -> FigureValue {
        let columns: Option<Vec<_>> = self.as_table().map(|table| {
            let column = |at: usize| table.rows.iter().filter_map(move |row| row.get(at).copied());
            let own: Vec<_> = (0..table.columns.len()).map(|at| common(column(at), manner)).collect();
            side_by_side(&table, own, manner)
        });
        match (&mut self, columns) {
            (FigureValue::List(rows), Some(columns)) => {
                for row in rows {
                    let FigureValue::Record(parts) = row else { continue };
                    for ((_, part), units) in parts.iter_mut().zip(&columns) {
                        part.read_in(*units, manner);
                    }
                }
            }
            (FigureValue::List(items), None) => {
                let units = common(items.iter(), manner);
                items.iter_mut().for_each(|item| item.read_in(units, manner));
            }
            (FigureValue::Record(parts), _) => {
                parts.iter_mut().for_each(|(_, part)| part.read_in(None, manner))
            }
            _ => {}
        }
        self
    }

    /// A measure in these units; within lists and records each list has its own.
    fn read_in(&mut self, units: Option<Units>, manner: &Manner) {
        match (&mut *self, units) {
            (FigureValue::Measure(quantity), Some(units)) => *quantity = quantity.in_units(units),
            (FigureValue::List(_) | FigureValue::Record(_), _) => {
                *self = std::mem::replace(self, FigureValue::YesNo(false)).in_common_units(manner);
            }
            _ => {}
        }
    }
}

/// The units in which these read together, where all are measures of one kind.
fn common<'a>(values: impl Iterator<Item = &'a FigureValue>, manner: &Manner) -> Option<Units> {
    common_units(values.map(FigureValue::as_measure).collect::<Option<Vec<_>>>()?, manner)
}

/// Columns of lengths whose own units differ read in one unit too, for a row is read across; but not where a number would
/// pass 999.
fn side_by_side(table: &Table<'_>, own: Vec<Option<Units>>, manner: &Manner) -> Vec<Option<Units>> {
    let is_length =
        |units: &Option<Units>| units.and_then(Units::single).is_some_and(|unit| unit.dim() == Dim::LENGTH);
    let mut lengths = own.iter().filter(|units| is_length(units));
    let Some(first) = lengths.next() else { return own };
    if lengths.all(|units| units == first) {
        return own;
    }
    let cells = || table.rows.iter().flat_map(|row| row.iter().zip(&own));
    let cells = || cells().filter(|(_, units)| is_length(units)).map(|(cell, _)| *cell);
    let Some(units) = common(cells(), manner) else { return own };
    let most = units.single().map(|unit| Exact::whole(1000) * unit.factor());
    let fits = |cell: &FigureValue| match (cell, &most) {
        (FigureValue::Measure(quantity), Some(most)) => quantity.number.mid().abs() < *most,
        _ => false,
    };
    if !cells().all(fits) {
        return own;
    }
    own.iter().map(|own| if is_length(own) { Some(units) } else { *own }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Quantity;

    fn row(parts: &[(&str, i64)]) -> FigureValue {
        let part = |(name, n): &(&str, i64)| ((*name).into(), FigureValue::Measure(Quantity::whole(*n)));
        FigureValue::Record(parts.iter().map(part).collect())
    }

    #[test]
    fn records_with_the_same_parts_are_a_table() {
        let marks =
            FigureValue::List(vec![row(&[("tuck", 1), ("fold", 3)]), row(&[("tuck", 2), ("fold", 5)])]);
        let table = marks.as_table().map(|table| (table.columns.clone(), table.rows.len()));
        assert_eq!(table, Some((vec!["tuck", "fold"], 2)));
    }

    #[test]
    fn a_column_reads_in_one_unit() {
        let at = |text: &str| {
            crate::measure::literal(text).map(FigureValue::Measure).unwrap_or(FigureValue::YesNo(false))
        };
        let row = |n: i64, text: &str| {
            let count = FigureValue::Measure(Quantity::whole(n));
            FigureValue::Record(vec![("tuck".into(), count), ("at".into(), at(text))])
        };
        let marks =
            FigureValue::List(vec![row(1, "5 mm"), row(2, "20 cm")]).in_common_units(&Manner::default());
        let table = marks.as_table().map(|table| table.rows.concat()).unwrap_or_default();
        let texts = table.iter().filter_map(|cell| match cell {
            FigureValue::Measure(quantity) => Some(quantity.show(&Manner::default())),
            _ => None,
        });
        assert_eq!(texts.collect::<Vec<_>>(), ["1", "5 mm", "2", "200 mm"]);
    }

    /// A row of a pleat: 15 mm, 9.5 cm and 25.5 cm are marked on one tape; 12 m and 4 mm are not.
    #[test]
    fn lengths_in_a_row_read_in_one_unit() {
        let shown = |rows: &[[&str; 3]]| {
            let part = |text: &&str| {
                let value = crate::measure::literal(text).map(FigureValue::Measure);
                ("at".into(), value.unwrap_or(FigureValue::YesNo(false)))
            };
            let row = |texts: &[&str; 3]| FigureValue::Record(texts.iter().map(part).collect());
            let table = FigureValue::List(rows.iter().map(row).collect()).in_common_units(&Manner::default());
            let cells = table.as_table().map(|table| table.rows.concat()).unwrap_or_default();
            let text = |cell: &&FigureValue| match cell {
                FigureValue::Measure(quantity) => quantity.show(&Manner::default()),
                _ => String::new(),
            };
            cells.iter().map(text).collect::<Vec<_>>()
        };
        assert_eq!(
            shown(&[["1", "15 mm", "9.5 cm"], ["2", "255 mm", "33.5 cm"]]),
            ["1", "1.5 cm", "9.5 cm", "2", "25.5 cm", "33.5 cm"]
        );
        assert_eq!(shown(&[["1", "4 mm", "12 m"]]), ["1", "4 mm", "12 m"]);
        assert_eq!(shown(&[["1", "5 mm", "9 mm"]]), ["1", "5 mm", "9 mm"]);
    }

    #[test]
    fn other_lists_are_none() {
        for items in [
            vec![],
            vec![row(&[])],
            vec![row(&[("tuck", 1)]), row(&[("pleat", 1)])],
            vec![row(&[("a", 1), ("b", 1)]), row(&[("b", 1), ("a", 1)])],
            vec![row(&[("tuck", 1)]), FigureValue::YesNo(true)],
        ] {
            assert!(FigureValue::List(items).as_table().is_none());
        }
        assert!(row(&[("tuck", 1)]).as_table().is_none());
    }
}
