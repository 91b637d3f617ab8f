//! What to buy: amounts and prices as numbers, costs and sums as formulas.

use rust_xlsxwriter::XlsxError;

use super::cells::{Cell, Columns, counted, decimal};
use super::sheet::Sheets;
use crate::docket::{Buy, ClothPlan, Docket, Figure};
use crate::measure::Quantity;
use crate::report::figure::figure_text;

pub(super) const HEADINGS: [&str; 9] =
    ["what", "to buy", "amount", "in", "price of one", "cost", "currency", "needed", "recipe line"];
/// The letters of the columns that formulas speak of.
const AMOUNT: &str = "C";
const PRICE: &str = "E";
const COST: &str = "F";
const CURRENCY: &str = "G";

/// A line of the bill.
pub(super) struct Line<'a> {
    pub what: &'a str,
    pub reads: String,
    amount: &'a Figure,
    price: Option<&'a Figure>,
    cost: Option<&'a Figure>,
    pub needed: String,
    /// Priced by the pack, not by what is in it.
    by_pack: bool,
    pub line: usize,
}

/// The lines of the bill of a docket.
pub(super) fn lines(docket: &Docket) -> Vec<Line<'_>> {
    // Where cloth in hand is enough, none is bought.
    let bought = docket.cloths.iter().filter(|plan| plan.plan.length > 0 || plan.hands.is_empty());
    bought.map(cloth).chain(docket.buys.iter().map(other)).collect()
}

/// The currency of all sums, where there is one: that of a line without a price, so that a price can be filled in.
pub(super) fn only_currency(docket: &Docket) -> Option<String> {
    match &docket.totals[..] {
        [total] => measure(total).map(|total| total.units().symbol()),
        _ => None,
    }
}

/// The sheet of what to buy.
pub(super) fn sheet(docket: &Docket, sheets: &mut Sheets<'_>) -> Result<(), XlsxError> {
    let lines = lines(docket);
    let mut rows = Columns::new(HEADINGS);
    let only = only_currency(docket);
    for (row, line) in (2u64..).zip(&lines) {
        let price = line.price_of_one().map_or(Cell::Empty, Cell::Price);
        let cost = line.costs(format!("{AMOUNT}{row}"), format!("{PRICE}{row}"));
        rows.row(cells(line, price, cost, only.as_deref()));
    }
    let last = lines.len().saturating_add(1);
    for total in docket.totals.iter().filter_map(measure) {
        let currency = total.units().symbol();
        let places = places(total);
        let sum = format!(
            "=ROUND(SUMIF({CURRENCY}2:{CURRENCY}{last},\"{currency}\",{COST}2:{COST}{last}),{places})"
        );
        let value = counted(total).to_string();
        let mut row = [const { Cell::Empty }; HEADINGS.len()];
        row[0] = Cell::text("total");
        row[5] = Cell::Formula { sum, value, places: Some(places) };
        row[6] = Cell::text(&currency);
        rows.row(row);
    }
    sheets.add("Buy", &rows)
}

fn cloth(plan: &ClothPlan) -> Line<'_> {
    Line {
        what: &plan.cloth,
        reads: figure_text(&plan.buy),
        amount: &plan.buy,
        price: plan.price.as_ref(),
        cost: plan.cost.as_ref(),
        needed: figure_text(&plan.length),
        by_pack: false,
        line: plan.line,
    }
}

fn other(buy: &Buy) -> Line<'_> {
    let (reads, amount, by_pack) = match &buy.packs {
        Some(packs) => {
            let count = packs.words(&figure_text(&packs.count));
            let reads = format!("{count} of {}", figure_text(&packs.of));
            (reads, if packs.priced { &packs.count } else { &buy.buy }, packs.priced)
        }
        None => (figure_text(&buy.buy), &buy.buy, false),
    };
    Line {
        what: &buy.label,
        reads,
        amount,
        price: buy.price.as_ref(),
        cost: buy.cost.as_ref(),
        needed: figure_text(&buy.needed),
        by_pack,
        line: buy.line,
    }
}

/// The cells under the headings.
pub(super) fn cells(line: &Line<'_>, price: Cell, cost: Cell, only: Option<&str>) -> [Cell; HEADINGS.len()] {
    let (amount, unit) = amount(line);
    [
        Cell::text(line.what),
        Cell::text(&line.reads),
        amount.map_or(Cell::Empty, Cell::Number),
        Cell::text(&unit),
        price,
        cost,
        Cell::text(&line.currency(only)),
        Cell::text(&line.needed),
        Cell::line(line.line),
    ]
}

impl Line<'_> {
    /// The number of its price.
    pub fn price_of_one(&self) -> Option<f64> {
        self.price.and_then(measure).map(counted)
    }

    /// Its currency, or the one that all others have.
    pub fn currency(&self, only: Option<&str>) -> String {
        let own = self.cost.and_then(measure).map(|cost| cost.units().symbol());
        own.or_else(|| only.map(str::to_owned)).unwrap_or_default()
    }

    /// The cost as a formula over the cells of amount and price; nothing while there is no price.
    pub fn costs(&self, amount: String, price: String) -> Cell {
        let cost = self.cost.and_then(measure);
        let places = cost.map_or(2, places);
        let sum = format!("=IF({price}=\"\",\"\",ROUND({amount}*{price},{places}))");
        let value = cost.map_or(String::new(), |cost| counted(cost).to_string());
        Cell::Formula { sum, value, places: Some(places) }
    }
}

/// How much is bought, counted in what the price is for one of, and that.
pub(super) fn amount(line: &Line<'_>) -> (Option<f64>, String) {
    let Some(amount) = measure(line.amount) else { return (None, String::new()) };
    let own = || (Some(counted(amount)), amount.units().symbol());
    if line.by_pack {
        return (own().0, "packs".into());
    }
    let Some(price) = line.price.and_then(measure) else { return own() };
    let symbol = price.units().symbol();
    let Some((_, each)) = symbol.split_once('/') else { return own() };
    // So many of what the price is for one of: the cost before it is rounded, by the price.
    let priced = price.units().count(&price.number);
    let counted = amount.mul(price).ok().and_then(|cost| {
        let cost = cost.units().count(&cost.number);
        cost.div(&priced).ok()
    });
    counted.map_or_else(own, |counted| (Some(decimal(&counted)), each.to_owned()))
}

pub(super) fn measure(figure: &Figure) -> Option<&Quantity> {
    figure.value.as_measure()
}

/// How many decimals the minor unit of a sum of money has.
pub(super) fn places(sum: &Quantity) -> usize {
    sum.dim.currency().map_or(2, |currency| currency.digits() as usize)
}
