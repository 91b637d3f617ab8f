//! The docket as CSV: one row a fact.

use std::io;

use super::escape::{csv_text, push_cell};
use super::figure::{bounds, decimal, value_text};
use super::slack::slack_words;
use super::words::kind_name;
use crate::docket::{Buy, Check, ClothPlan, Docket, Figure, FigureValue, Measured, Outcome, Planned, Table};
use crate::measure::{Exact, Manner, Quantity};
use crate::text::harmless;

/// The columns. `number` is a plain decimal in the row's `unit`; `value` is what a ruler reads.
const HEADER: &str = "section,label,count,value,number,unit,note\n";

/// So many decimals stand in the `number` column where they do not end before.
const PLACES: u32 = 12;

/// Writes the docket as CSV in long form.
pub fn csv(docket: &Docket, out: &mut dyn io::Write) -> io::Result<()> {
    let mut rows = Rows { out, line: String::new() };
    rows.out.write_all(HEADER.as_bytes())?;
    let words = |section, text: &str| Row { section, value: csv_text(text).into_owned(), ..Row::default() };
    let titles = docket
        .recipe
        .iter()
        .map(|text| ("recipe", text))
        .chain(docket.size.iter().map(|text| ("size", text)));
    let notes = docket.notes.iter().map(|text| ("note", text));
    let cautions = docket.cautions.iter().map(|text| ("caution", text));
    for (section, text) in titles.chain(notes).chain(cautions) {
        rows.put(&words(section, text))?;
    }
    for given in &docket.givens {
        rows.figure("given", &given.name, &given.value, given.words.as_deref().unwrap_or(""))?;
    }
    for shown in &docket.shows {
        rows.figure("show", &shown.label, &shown.value, "")?;
    }
    for found in &docket.finds {
        if let Outcome::One(figure) = &found.outcome {
            rows.figure("found", &found.name, figure, &found.question)?;
        }
    }
    for cloth in &docket.cloths {
        rows.cloth(cloth)?;
    }
    for buy in &docket.buys {
        rows.buy(buy)?;
    }
    for total in &docket.totals {
        rows.figure("total", "", total, "")?;
    }
    for (at, step) in docket.steps.iter().enumerate() {
        rows.put(&Row { label: (at + 1).to_string(), ..words("step", step) })?;
    }
    docket.checks.iter().try_for_each(|check| rows.check(check))?;
    docket.measured.as_deref().map_or(Ok(()), |measured| rows.measured(measured))
}

/// One row; the cells are made harmless where they come from outside.
#[derive(Default)]
struct Row<'a> {
    section: &'a str,
    label: String,
    count: String,
    value: String,
    number: String,
    unit: String,
    note: String,
}

struct Rows<'a> {
    out: &'a mut dyn io::Write,
    line: String,
}

impl Rows<'_> {
    fn put(&mut self, row: &Row<'_>) -> io::Result<()> {
        self.line.clear();
        self.line.push_str(row.section);
        for cell in [&row.label, &row.count, &row.value, &row.number, &row.unit, &row.note] {
            self.line.push(',');
            push_cell(cell, &mut self.line);
        }
        self.line.push('\n');
        self.out.write_all(self.line.as_bytes())
    }

    fn figure(&mut self, section: &str, label: &str, figure: &Figure, note: &str) -> io::Result<()> {
        self.value(section, label, &figure.value, &figure.manner, note)
    }

    /// A size has a row for each side besides its own; a list and a record one for each part.
    fn value(
        &mut self,
        section: &str,
        label: &str,
        value: &FigureValue,
        manner: &Manner,
        note: &str,
    ) -> io::Result<()> {
        let base = || Row {
            section,
            label: csv_text(label).into_owned(),
            note: csv_text(note).into_owned(),
            ..Row::default()
        };
        match value {
            FigureValue::Measure(quantity) => self.put(&measured(base(), quantity, manner)),
            FigureValue::Slack(slack) => {
                let row = measured(base(), &slack.middle, manner);
                let from = slack_words(slack, manner);
                let note = if note.is_empty() { csv_text(&from).into_owned() } else { row.note.clone() };
                let row = Row { note, ..row };
                self.put(&Row { value: value_text(value, manner), ..row })
            }
            FigureValue::SlackSize(size) => {
                self.put(&Row { value: value_text(value, manner), ..base() })?;
                for (part, side) in [("across", &size.0), ("along", &size.1)] {
                    let slack = FigureValue::Slack(Box::new(side.clone()));
                    self.value(section, &format!("{label}.{part}"), &slack, manner, "")?;
                }
                Ok(())
            }
            FigureValue::Size(size) => {
                self.put(&Row { value: value_text(value, manner), ..base() })?;
                for (part, side) in [("across", &size.0), ("along", &size.1)] {
                    let label = csv_text(&format!("{label}.{part}")).into_owned();
                    self.put(&measured(Row { section, label, ..Row::default() }, side, manner))?;
                }
                Ok(())
            }
            FigureValue::Text(text) => self.put(&Row { value: csv_text(text).into_owned(), ..base() }),
            FigureValue::YesNo(_) => self.put(&Row { value: value_text(value, manner), ..base() }),
            FigureValue::List(items) => {
                if let Some(table) = value.as_table() {
                    return self.table(label, &table, manner);
                }
                let mut numbered = items.iter().enumerate();
                numbered.try_for_each(|(at, item)| {
                    self.value(section, &format!("{label}[{}]", at + 1), item, manner, note)
                })
            }
            FigureValue::Record(parts) => {
                let mut parts = parts.iter();
                parts.try_for_each(|(name, part)| {
                    self.value(section, &format!("{label}.{name}"), part, manner, note)
                })
            }
        }
    }

    /// A table keeps its columns: a row for each cell, labelled by the column, counted by the row.
    fn table(&mut self, label: &str, table: &Table<'_>, manner: &Manner) -> io::Result<()> {
        for (at, row) in table.rows.iter().enumerate() {
            for (column, value) in table.columns.iter().zip(row) {
                let label = format!("{label}.{column}");
                match value {
                    FigureValue::Measure(quantity) => {
                        let label = csv_text(&label).into_owned();
                        let count = (at + 1).to_string();
                        let cell = Row { section: "table", label, count, ..Row::default() };
                        self.put(&measured(cell, quantity, manner))?;
                    }
                    value => self.value("table", &format!("{label}[{}]", at + 1), value, manner, "")?,
                }
            }
        }
        Ok(())
    }

    fn cloth(&mut self, plan: &ClothPlan) -> io::Result<()> {
        let cloth = &*plan.cloth;
        self.figure("cloth", cloth, &plan.usable, "usable width")?;
        for piece in &plan.pieces {
            for (side, figure) in [("across", &piece.across), ("along", &piece.along)] {
                let row = Row {
                    section: "cut",
                    count: piece.count.to_string(),
                    note: csv_text(cloth).into_owned(),
                    ..Row::default()
                };
                let label = csv_text(&format!("{}.{side}", piece.label)).into_owned();
                self.put(&figured(Row { label, ..row }, figure))?;
            }
        }
        for strip in &plan.strips {
            let held = strip.holds.iter().map(|held| {
                let label = plan.pieces.get(held.piece).map_or("", |piece| &piece.label);
                format!("{} {label}{}", held.count, if held.turned { " (turned)" } else { "" })
            });
            let label = held.collect::<Vec<_>>().join(", ");
            let row = Row { section: "strip", label: harmless(&label).into_owned(), ..Row::default() };
            let row = Row { count: strip.count.to_string(), note: csv_text(cloth).into_owned(), ..row };
            self.put(&figured(row, &strip.width))?;
        }
        for hand in &plan.hands {
            for (side, figure) in [("across", &hand.across), ("along", &hand.along)] {
                let label = csv_text(&format!("{cloth}.{side}")).into_owned();
                let note = format!("{} used", hand.used);
                let row =
                    Row { section: "in hand", label, count: hand.count.to_string(), note, ..Row::default() };
                self.put(&figured(row, figure))?;
            }
        }
        if let Some(planned) = &plan.planned {
            self.planned(cloth, planned)?;
        }
        self.figure("length", cloth, &plan.length, "taken by the plan")?;
        self.money("buy", cloth, &plan.buy, plan.price.as_ref(), plan.cost.as_ref())
    }

    /// The ways to cut a cloth, and the answers to what was asked of it.
    fn planned(&mut self, cloth: &str, planned: &Planned) -> io::Result<()> {
        for way in &planned.ways {
            let name = kind_name(way.kind);
            let note = match (way.taken, way.proved) {
                (true, true) => "taken, proved the shortest",
                (true, false) => "taken",
                (false, true) => "proved the shortest",
                (false, false) => "",
            };
            self.figure("way", &format!("{cloth}, {name}"), &way.length, note)?;
            self.figure("way buys", &format!("{cloth}, {name}"), &way.buy, note)?;
            self.figure("way at least", &format!("{cloth}, {name}"), &way.bound, note)?;
        }
        if let Some(nearer) = &planned.nearer {
            let note = if nearer.never { "cannot be" } else { "" };
            self.figure("shorter by", cloth, &nearer.shorter, note)?;
            self.figure("would buy", cloth, &nearer.buy, note)?;
        }
        if let Some(on) = &planned.on {
            self.figure(if on.enough { "over" } else { "short" }, cloth, &on.differs, "")?;
        }
        planned.more.iter().try_for_each(|more| {
            let note = if more.most { "not one beyond them" } else { "" };
            let label = csv_text(&format!("{cloth}, {}", more.label)).into_owned();
            let (count, note) = (more.count.to_string(), note.to_owned());
            let row = Row { section: "more", label, count, note, ..Row::default() };
            match &more.length {
                Some(length) => self.put(&figured(row, length)),
                None => self.put(&row),
            }
        })
    }

    fn buy(&mut self, buy: &Buy) -> io::Result<()> {
        self.figure("need", &buy.label, &buy.needed, "")?;
        self.money("buy", &buy.label, &buy.buy, buy.price.as_ref(), buy.cost.as_ref())
    }

    fn money(
        &mut self,
        section: &str,
        label: &str,
        what: &Figure,
        price: Option<&Figure>,
        cost: Option<&Figure>,
    ) -> io::Result<()> {
        self.figure(section, label, what, "")?;
        for (section, figure) in [("price", price), ("cost", cost)] {
            if let Some(figure) = figure {
                self.figure(section, label, figure, "")?;
            }
        }
        Ok(())
    }

    fn measured(&mut self, measured: &Measured) -> io::Result<()> {
        for made in &measured.made {
            self.figure("measured", &made.name, &made.made, &made.mend.join("; "))?;
            self.figure("planned", &made.name, &made.planned, "")?;
        }
        for change in &measured.changes {
            self.figure("before", &change.what, &change.before, "")?;
            self.figure("after", &change.what, &change.after, "")?;
        }
        for cut in &measured.cut {
            self.figure("already cut", &cut.label, &cut.cut, &cut.mend.join("; "))?;
            self.figure("now", &cut.label, &cut.now, "")?;
        }
        Ok(())
    }

    fn check(&mut self, check: &Check) -> io::Result<()> {
        self.put(&Row {
            section: "check",
            label: csv_text(&check.message).into_owned(),
            value: match (check.passed, check.open) {
                (true, _) => "holds",
                (false, true) => "not sure",
                _ => "does not hold",
            }
            .into(),
            note: csv_text(check.detail.as_deref().unwrap_or("")).into_owned(),
            ..Row::default()
        })
    }
}

fn figured<'a>(row: Row<'a>, figure: &Figure) -> Row<'a> {
    match &figure.value {
        FigureValue::Measure(quantity) => measured(row, quantity, &figure.manner),
        other => Row { value: csv_text(&value_text(other, &figure.manner)).into_owned(), ..row },
    }
}

fn measured<'a>(row: Row<'a>, quantity: &Quantity, manner: &Manner) -> Row<'a> {
    let (number, unit) = plain_number(quantity);
    Row { value: quantity.show(manner), number, unit, ..row }
}

/// A plain decimal and its unit; the middle of an approximate one.
fn plain_number(quantity: &Quantity) -> (String, String) {
    let (low, high, unit) = bounds(quantity);
    let middle = match high {
        None => Some(low),
        Some(high) => (&low + &high).checked_div(&Exact::whole(2)),
    };
    (middle.map_or(String::new(), |number| decimal(&number, PLACES)), unit)
}
