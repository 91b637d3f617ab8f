//! All sizes as a workbook: the table over them, what each size buys, and the prices in one place, so that a price
//! that is changed there changes every cost and every total.

use std::collections::HashMap;
use std::io;

use rust_xlsxwriter::Workbook;

use super::bill::{HEADINGS, Line, amount, cells, lines, measure, only_currency, places};
use super::cells::{Cell, Columns, counted};
use super::sheet::Sheets;
use super::{undated, unwritten};
use crate::docket::{Docket, Figure, FigureValue};
use crate::drawing::Paper;
use crate::report::{Quota, Sizes};

/// Names of sheets that formulas speak of, and the letters of their columns.
const BUY: &str = "Buy";
const PRICES: &str = "Prices";
const PRICE: &str = "C";
const BOUGHT: &str = "D";
const EACH: &str = "F";
const COST: &str = "G";
const CURRENCY: &str = "H";

/// Writes the table over all sizes as a workbook; a column of sizes is two, across and along.
pub fn sizes(sizes: &Sizes, (paper, quota): (Paper, &Quota), out: &mut dyn io::Write) -> io::Result<()> {
    let mut bills = Bills::default();
    let dockets: Vec<Billed<'_>> = sizes.dockets.iter().map(|docket| bills.add(docket)).collect();
    let table = table(sizes, &dockets);
    let mut book = Workbook::new();
    let bytes = undated(&mut book, "Sizes").and_then(|()| {
        let mut sheets = Sheets::new(&mut book, "Sizes", (paper, quota));
        sheets.add("Sizes", &table)?;
        sheets.add(BUY, &bills.rows)?;
        sheets.add(PRICES, &bills.priced())?;
        book.save_to_buffer()
    });
    out.write_all(&bytes.map_err(unwritten)?)
}

/// The table: a row for each size. The totals of a size that was made are formulas over its bill.
fn table(sizes: &Sizes, dockets: &[Billed<'_>]) -> Columns {
    let figures = |at: usize| sizes.rows.iter().filter_map(move |row| row.get(at)?.as_ref());
    let sized = |at: usize| {
        figures(at).next().is_some() && figures(at).all(|figure| matches!(figure.value, FigureValue::Size(_)))
    };
    let sized: Vec<bool> = (0..sizes.head.len()).map(sized).collect();
    let headings = sizes.head.iter().zip(&sized).flat_map(|(name, sized)| match sized {
        true => vec![format!("{name}.across"), format!("{name}.along")],
        false => vec![name.clone()],
    });
    let headings: Vec<String> = headings.collect();
    let mut rows = Columns::new(headings.iter().map(String::as_str));
    let mut dockets_of = dockets.iter();
    for (row, made) in sizes.rows.iter().zip(&sizes.made) {
        let given = if *made { dockets_of.next().map(|billed| billed.given(&sizes.head, row)) } else { None };
        let row = given.as_ref().unwrap_or(row);
        rows.row(row.iter().zip(&sized).flat_map(|(figure, sized)| match (figure, sized) {
            (Some(figure), true) => Cell::sides(figure),
            (None, true) => vec![Cell::Empty, Cell::Empty],
            (Some(figure), false) => vec![Cell::figure(figure)],
            (None, false) => vec![Cell::Empty],
        }));
    }
    let mut rows = rows.in_numbers();
    let made = sizes.made.iter().zip(rows.rows.iter_mut()).zip(&sizes.rows).filter(|((made, _), _)| **made);
    for (((_, cells), figures), billed) in made.zip(dockets) {
        for (at, sum) in billed.totals(&sizes.head, figures) {
            // A size before it in the row is two cells.
            let before = sized.iter().take(at).filter(|sized| **sized).count();
            if let Some(cell) = cells.get_mut(at.saturating_add(before)) {
                *cell = sum;
            }
        }
    }
    rows
}

/// The bill of a size: its rows on the sheet of what is bought, the first and the last.
struct Billed<'a> {
    docket: &'a Docket,
    rows: (usize, usize),
}

impl Billed<'_> {
    /// A row of the table with its givens as their values, which it has as they were written.
    fn given(&self, head: &[String], row: &[Option<Figure>]) -> Vec<Option<Figure>> {
        let value = |(name, cell): (&String, &Option<Figure>)| match cell {
            Some(Figure { value: FigureValue::Text(_), .. }) => {
                let given = self.docket.givens.iter().find(|given| *given.name == **name);
                given.map(|given| given.value.clone()).or_else(|| cell.clone())
            }
            _ => cell.clone(),
        };
        head.iter().zip(row).map(value).collect()
    }

    /// The sum of each currency, and the column that it stands in.
    fn totals(&self, head: &[String], row: &[Option<Figure>]) -> Vec<(usize, Cell)> {
        let sum = |total: &Figure| {
            let sum = measure(total)?;
            let value = counted(sum).to_string();
            let stands = |at: &usize| {
                let cell = row.get(*at).and_then(Option::as_ref).and_then(measure);
                let named = head.get(*at).is_some_and(|name| name.starts_with("total"));
                named && cell.is_some_and(|cell| cell.dim == sum.dim && counted(cell).to_string() == value)
            };
            // Totals come after all else that is called so.
            let at = (0..head.len()).rev().find(stands)?;
            let (currency, places, (first, last)) = (sum.units().symbol(), places(sum), self.rows);
            let range = |column: &str| format!("{BUY}!{column}{first}:{column}{last}");
            let sum = format!("=ROUND(SUMIF({},\"{currency}\",{}),{places})", range(CURRENCY), range(COST));
            Some((at, Cell::Formula { sum, value, places: Some(places) }))
        };
        self.docket.totals.iter().filter_map(sum).collect()
    }
}

/// What is bought in all sizes, and its prices.
struct Bills {
    rows: Columns,
    prices: Vec<Priced>,
    places: HashMap<Key, usize>,
}

/// A price, or the place for one: what is bought, what the price is for one of, its number and currency, and the
/// sizes that have it.
struct Priced {
    what: String,
    each: String,
    number: Option<f64>,
    currency: String,
    sizes: Vec<String>,
}

/// A price as a key: what, for one of what, the bits of its number, its currency.
type Key = (String, String, Option<u64>, String);

impl Default for Bills {
    fn default() -> Bills {
        let headings = std::iter::once("size").chain(HEADINGS);
        Bills { rows: Columns::new(headings), prices: Vec::new(), places: HashMap::new() }
    }
}

impl Bills {
    fn add<'a>(&mut self, docket: &'a Docket) -> Billed<'a> {
        let only = only_currency(docket);
        let size = docket.size.as_deref().unwrap_or_default();
        let first = self.rows.rows.len().saturating_add(2);
        for line in lines(docket) {
            self.line(size, &line, only.as_deref());
        }
        Billed { docket, rows: (first, self.rows.rows.len().saturating_add(1)) }
    }

    fn line(&mut self, size: &str, line: &Line<'_>, only: Option<&str>) {
        let row = self.rows.rows.len().saturating_add(2);
        let number = line.price_of_one();
        let (what, (_, each), currency) = (line.what.to_owned(), amount(line), line.currency(only));
        let price = Priced { what, each, number, currency, sizes: Vec::new() };
        let cell = format!("{PRICES}!${PRICE}${}", self.price(price, size).saturating_add(2));
        let each = Cell::Formula {
            sum: format!("=IF({cell}=\"\",\"\",{cell})"),
            value: number.map_or(String::new(), |number| number.to_string()),
            places: None,
        };
        let cost = line.costs(format!("{BOUGHT}{row}"), format!("{EACH}{row}"));
        self.rows.row(std::iter::once(Cell::text(size)).chain(cells(line, each, cost, only)));
    }

    /// The place of a price in their list.
    fn price(&mut self, price: Priced, size: &str) -> usize {
        let key =
            (price.what.clone(), price.each.clone(), price.number.map(f64::to_bits), price.currency.clone());
        let at = *self.places.entry(key).or_insert(self.prices.len());
        if at == self.prices.len() {
            self.prices.push(price);
        }
        if let Some(priced) = self.prices.get_mut(at)
            && priced.sizes.last().is_none_or(|last| last != size)
        {
            priced.sizes.push(size.to_owned());
        }
        at
    }

    /// The sheet of prices. Which sizes have a price is told where the price differs from size to size.
    fn priced(&self) -> Columns {
        let mut rows = Columns::new(["what", "for one", "price", "currency", "sizes"]);
        let mut prices: HashMap<&str, usize> = HashMap::new();
        for price in &self.prices {
            let count = prices.entry(price.what.as_str()).or_default();
            *count = count.saturating_add(1);
        }
        for price in &self.prices {
            let sizes = match prices.get(price.what.as_str()) {
                Some(1) => "every size that buys it".to_owned(),
                _ => price.sizes.join(", "),
            };
            rows.row([
                Cell::text(&price.what),
                Cell::text(&price.each),
                price.number.map_or(Cell::Empty, Cell::Price),
                Cell::text(&price.currency),
                Cell::text(&sizes),
            ]);
        }
        rows
    }
}
