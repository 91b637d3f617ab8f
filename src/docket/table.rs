//! A list of records as a table, such as the marks of a row of tucks.

use super::FigureValue;

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
