//! Cells in columns: a column of measures of one kind is numbers in one unit, told in the heading.

use crate::docket::{Figure, FigureValue};
use crate::measure::{Manner, Number, Quantity, ToldIn, common_units};
use crate::report::figure::{push_number, value_text};
use crate::text::harmless;

/// What a number keeps of a fraction that does not end; a workbook holds no more.
const PLACES: u32 = 12;

/// A cell.
#[derive(Clone, Debug)]
pub(super) enum Cell {
    /// Nothing.
    Empty,
    /// Words, made harmless.
    Text(String),
    /// A bare number.
    Number(f64),
    /// A price.
    Price(f64),
    /// A measure, and how it reads where its column is no numbers.
    Measure(Box<Quantity>, String),
    /// A sum that the workbook works, with its value: text where it is none. It has so many decimals, or those of a price.
    Formula { sum: String, value: String, places: Option<usize> },
}

impl Cell {
    pub fn text(words: &str) -> Cell {
        if words.is_empty() { Cell::Empty } else { Cell::Text(harmless(words).into_owned()) }
    }

    pub fn whole(count: u64) -> Cell {
        Cell::Number(count as f64)
    }

    /// The line of the recipe; nothing for 0.
    pub fn line(line: usize) -> Cell {
        if line == 0 { Cell::Empty } else { Cell::Number(line as f64) }
    }

    pub fn figure(figure: &Figure) -> Cell {
        Cell::of(&figure.value, &figure.manner)
    }

    pub fn of(value: &FigureValue, manner: &Manner) -> Cell {
        let reads = value_text(value, manner);
        match value {
            FigureValue::Measure(quantity) => Cell::Measure(Box::new(quantity.clone()), reads),
            _ => Cell::text(&reads),
        }
    }

    /// Both sides of a size; nothing for anything else.
    pub fn sides(figure: &Figure) -> Vec<Cell> {
        let sides = figure.value.sides().filter(|_| matches!(figure.value, FigureValue::Size(_)));
        let side = |(_, side): (&str, FigureValue)| Cell::of(&side, &figure.manner);
        sides.map_or(vec![Cell::Empty, Cell::Empty], |sides| sides.map(side).into())
    }

    /// The number of a measure in its own unit, and the unit; of slack its middle.
    pub fn number_and_unit(value: &FigureValue) -> [Cell; 2] {
        let quantity = match value {
            FigureValue::Measure(quantity) => quantity,
            FigureValue::Slack(slack) => &slack.middle,
            _ => return [Cell::Empty, Cell::Empty],
        };
        [Cell::Number(counted(quantity)), Cell::text(&quantity.units().symbol())]
    }
}

/// The number of a measure in its own unit.
pub(super) fn counted(quantity: &Quantity) -> f64 {
    decimal(&quantity.units().count(&quantity.number))
}

/// A number as a workbook holds it: the nearest of its binary fractions.
pub(super) fn decimal(number: &Number) -> f64 {
    let mut digits = String::new();
    push_number(number, PLACES, &mut digits);
    digits.parse().unwrap_or_default()
}

/// Rows under headings.
#[derive(Clone, Debug, Default)]
pub(super) struct Columns {
    pub headings: Vec<String>,
    pub rows: Vec<Vec<Cell>>,
}

impl Columns {
    pub fn new<'a>(headings: impl IntoIterator<Item = &'a str>) -> Columns {
        Columns { headings: headings.into_iter().map(str::to_owned).collect(), rows: Vec::new() }
    }

    pub fn row(&mut self, cells: impl IntoIterator<Item = Cell>) {
        self.rows.push(cells.into_iter().collect());
    }

    /// The same with measures as numbers, where all of a column are of one kind, else as they read.
    pub fn in_numbers(&self) -> Columns {
        let mut told = self.clone();
        for at in 0..self.headings.len() {
            let cells = || self.rows.iter().filter_map(|row| row.get(at));
            let measures: Vec<&Quantity> = cells()
                .filter_map(|cell| match cell {
                    Cell::Measure(quantity, _) => Some(&**quantity),
                    _ => None,
                })
                .collect();
            let alone = cells().all(|cell| matches!(cell, Cell::Measure(..) | Cell::Empty));
            let units = if alone { unit_of(&measures) } else { None };
            for cell in told.rows.iter_mut().filter_map(|row| row.get_mut(at)) {
                if let Cell::Measure(quantity, reads) = cell {
                    *cell = match units {
                        Some(units) => Cell::Number(decimal(&units.count(&quantity.number))),
                        None => Cell::Text(std::mem::take(reads)),
                    };
                }
            }
            let symbol = units.map(ToldIn::symbol).filter(|symbol| !symbol.is_empty());
            if let (Some(heading), Some(symbol)) = (told.headings.get_mut(at), symbol) {
                *heading = format!("{heading} ({symbol})");
            }
        }
        told
    }
}

/// The one unit in which these are numbers of a column.
fn unit_of(measures: &[&Quantity]) -> Option<ToldIn> {
    let first = measures.first()?;
    if measures.iter().any(|quantity| quantity.dim != first.dim) {
        return None;
    }
    let common = common_units(measures.iter().copied(), &Manner::default()).map(ToldIn::from);
    Some(common.unwrap_or_else(|| first.units()))
}
