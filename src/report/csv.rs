//! The docket as CSV: one row a fact.

use std::io;

use super::escape::{csv_text, push_cell};
use super::figure::{push_number, value_text};
use super::slack::slack_words;
use super::text_cloth::held_words;
use crate::docket::{
    Check, ClothPlan, Docket, Figure, FigureValue, Measured, Outcome, Planned, Table, kind_name,
};
use crate::drawing::picture::description::parts as picture_words;
use crate::measure::{Manner, Quantity};

/// The columns. `number` is a plain decimal in the row's `unit`; `value` is what a ruler reads; `line` is the line of
/// the recipe.
const HEADER: &str = "section,label,count,value,number,unit,note,line\n";

/// So many decimals are in the `number` column where they do not end before.
const PLACES: u32 = 12;

/// Writes the docket as CSV in long form.
pub fn csv(docket: &Docket, out: &mut dyn io::Write) -> io::Result<()> {
    out.write_all(HEADER.as_bytes())?;
    let mut rows = Rows { out, text: String::new(), line: 0 };
    for (section, text) in [("recipe", &docket.recipe), ("size", &docket.size)] {
        text.iter().try_for_each(|text| rows.put(&worded(section, text)))?;
    }
    for (section, texts) in [("note", &docket.notes), ("caution", &docket.cautions)] {
        texts.iter().try_for_each(|text| rows.of(text.line).put(&worded(section, text)))?;
    }
    for given in &docket.givens {
        let words = given.words.as_deref().unwrap_or("");
        rows.of(given.line).figure("given", &given.name, &given.value, words)?;
    }
    for shown in &docket.shows {
        rows.of(shown.line).figure("show", &shown.label, &shown.value, "")?;
    }
    for found in &docket.finds {
        if let Outcome::One(figure) = &found.outcome {
            rows.of(found.line).figure("found", &found.name, figure, &found.question)?;
        }
    }
    docket.cloths.iter().try_for_each(|cloth| rows.cloth(cloth))?;
    for buy in &docket.buys {
        rows.of(buy.line).figure("need", &buy.label, &buy.needed, "")?;
        if let Some(packs) = &buy.packs {
            let each = if packs.priced { "priced by the pack" } else { "" };
            rows.figure("packs", &buy.label, &packs.count, each)?;
            rows.figure("in a pack", &buy.label, &packs.of, "")?;
            rows.figure("left over", &buy.label, &packs.left, "")?;
        }
        rows.bought(&buy.label, &buy.buy, buy.price.as_ref(), buy.cost.as_ref())?;
    }
    for picture in &docket.pictures {
        rows.of(picture.line).put(&labelled("drawing", &picture.title, &picture_words(picture)))?;
    }
    docket.totals.iter().try_for_each(|total| rows.of(0).figure("total", "", total, ""))?;
    for (number, step) in (1u64..).zip(&docket.steps) {
        rows.of(step.line).put(&Row { label: number.to_string(), ..worded("step", step) })?;
    }
    docket.checks.iter().try_for_each(|check| rows.check(check))?;
    docket.measured.as_deref().map_or(Ok(()), |measured| rows.of(0).measured(measured))
}

/// One row; the cells are made harmless where they come from outside.
#[derive(Clone, Default)]
struct Row<'a> {
    section: &'a str,
    label: String,
    count: String,
    value: String,
    number: String,
    unit: String,
    note: String,
}

/// A row of words.
fn worded<'a>(section: &'a str, words: &str) -> Row<'a> {
    Row { section, value: csv_text(words).into_owned(), ..Row::default() }
}

/// A row that a label names.
fn labelled<'a>(section: &'a str, label: &str, note: &str) -> Row<'a> {
    let (label, note) = (csv_text(label).into_owned(), csv_text(note).into_owned());
    Row { section, label, note, ..Row::default() }
}

struct Rows<'a> {
    out: &'a mut dyn io::Write,
    text: String,
    /// The line of the recipe that the next rows come from.
    line: usize,
}

impl Rows<'_> {
    fn of(&mut self, line: usize) -> &mut Self {
        self.line = line;
        self
    }

    fn put(&mut self, row: &Row<'_>) -> io::Result<()> {
        self.text.clear();
        self.text.push_str(row.section);
        for cell in [&row.label, &row.count, &row.value, &row.number, &row.unit, &row.note] {
            self.text.push(',');
            push_cell(cell, &mut self.text);
        }
        self.text.push(',');
        if self.line > 0 {
            self.text.push_str(&self.line.to_string());
        }
        self.text.push('\n');
        self.out.write_all(self.text.as_bytes())
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
        let row = labelled(section, label, note);
        let part = |name: &str| format!("{label}.{name}");
        match value {
            FigureValue::Slack(slack) => {
                let from = if note.is_empty() { slack_words(slack, manner) } else { note.to_owned() };
                let row = measured(labelled(section, label, &from), &slack.middle, manner);
                self.put(&Row { value: value_text(value, manner), ..row })
            }
            FigureValue::SlackSize(_) | FigureValue::Size(_) => {
                self.put(&Row { value: value_text(value, manner), ..row })?;
                let mut sides = value.sides().into_iter().flatten();
                sides.try_for_each(|(name, side)| self.value(section, &part(name), &side, manner, ""))
            }
            FigureValue::List(items) => match value.as_table() {
                Some(table) => self.table(label, &table, manner),
                None => (1u64..).zip(items).try_for_each(|(at, item)| {
                    self.value(section, &format!("{label}[{at}]"), item, manner, note)
                }),
            },
            FigureValue::Record(parts) => parts
                .iter()
                .try_for_each(|(name, inner)| self.value(section, &part(name), inner, manner, note)),
            FigureValue::Measure(_)
            | FigureValue::Text(_)
            | FigureValue::YesNo(_)
            | FigureValue::Shape(_) => self.put(&single(row, value, manner)),
        }
    }

    /// A table keeps its columns: a row for each cell, labelled by the column, counted by the row.
    fn table(&mut self, label: &str, table: &Table<'_>, manner: &Manner) -> io::Result<()> {
        let labels: Vec<String> = table.columns.iter().map(|name| format!("{label}.{name}")).collect();
        let rows: Vec<Row<'_>> = labels.iter().map(|label| labelled("table", label, "")).collect();
        for (at, cells) in (1u64..).zip(&table.rows) {
            for ((label, row), value) in labels.iter().zip(&rows).zip(cells) {
                match value {
                    FigureValue::Measure(quantity) => {
                        let row = Row { count: at.to_string(), ..row.clone() };
                        self.put(&measured(row, quantity, manner))?;
                    }
                    value => self.value("table", &format!("{label}[{at}]"), value, manner, "")?,
                }
            }
        }
        Ok(())
    }

    /// A row for each side.
    fn sides(&mut self, row: &Row<'_>, label: &str, across: &Figure, along: &Figure) -> io::Result<()> {
        [("across", across), ("along", along)].into_iter().try_for_each(|(side, figure)| {
            let label = csv_text(&format!("{label}.{side}")).into_owned();
            self.put(&single(Row { label, ..row.clone() }, &figure.value, &figure.manner))
        })
    }

    fn cloth(&mut self, plan: &ClothPlan) -> io::Result<()> {
        let cloth = &*plan.cloth;
        self.of(plan.line).figure("cloth", cloth, &plan.usable, "usable width")?;
        for piece in &plan.pieces {
            let row = Row { count: piece.count.to_string(), ..labelled("cut", "", cloth) };
            self.of(piece.line).sides(&row, &piece.label, &piece.across, &piece.along)?;
        }
        self.of(plan.line);
        for strip in &plan.strips {
            let row = labelled("strip", &held_words(plan, strip), cloth);
            let row = Row { count: strip.count.to_string(), ..row };
            self.put(&single(row, &strip.width.value, &strip.width.manner))?;
        }
        for hand in &plan.hands {
            let row = labelled("in hand", "", &format!("{} used", hand.used));
            let row = Row { count: hand.count.to_string(), ..row };
            self.of(hand.line).sides(&row, cloth, &hand.across, &hand.along)?;
        }
        self.of(plan.line);
        if let Some(costs) = &plan.in_hand_costs_more {
            self.figure("from cloth in hand", cloth, &costs.in_hand, "costs more than the roll")?;
            self.figure("as planned", cloth, &costs.planned, "")?;
        }
        plan.planned.as_ref().map_or(Ok(()), |planned| self.planned(cloth, planned))?;
        self.figure("length", cloth, &plan.length, "taken by the plan")?;
        self.bought(cloth, &plan.buy, plan.price.as_ref(), plan.cost.as_ref())
    }

    /// The ways to cut a cloth, and the answers to what was asked of it.
    fn planned(&mut self, cloth: &str, planned: &Planned) -> io::Result<()> {
        for way in &planned.ways {
            let label = format!("{cloth}, {}", kind_name(way.kind));
            let note = match (way.taken, way.proved, way.cost.is_some()) {
                (true, true, false) => "taken, proved the shortest",
                (true, true, true) => "taken, proved the cheapest",
                (true, false, _) => "taken",
                (false, true, false) => "proved the shortest",
                (false, true, true) => "proved the cheapest",
                (false, false, _) => "",
            };
            self.figure("way", &label, &way.length, note)?;
            self.figure("way buys", &label, &way.buy, note)?;
            way.cost.as_ref().map_or(Ok(()), |cost| self.figure("way costs", &label, cost, note))?;
            self.figure("way at least", &label, &way.bound, note)?;
        }
        if let Some(nearer) = &planned.nearer {
            let note = if nearer.never { "not possible" } else { "" };
            self.figure("shorter by", cloth, &nearer.shorter, note)?;
            self.figure("would buy", cloth, &nearer.buy, note)?;
        }
        if let Some(on) = &planned.on {
            self.figure(if on.enough { "over" } else { "short" }, cloth, &on.differs, "")?;
        }
        planned.more.iter().try_for_each(|more| {
            let note = if more.most { "no more" } else { "" };
            let row = labelled("more", &format!("{cloth}, {}", more.label), note);
            let row = Row { count: more.count.to_string(), ..row };
            match &more.length {
                Some(length) => self.put(&single(row, &length.value, &length.manner)),
                None => self.put(&row),
            }
        })
    }

    fn bought(
        &mut self,
        label: &str,
        what: &Figure,
        price: Option<&Figure>,
        cost: Option<&Figure>,
    ) -> io::Result<()> {
        [("buy", Some(what)), ("price", price), ("cost", cost)].into_iter().try_for_each(
            |(section, figure)| figure.map_or(Ok(()), |figure| self.figure(section, label, figure, "")),
        )
    }

    fn measured(&mut self, measured: &Measured) -> io::Result<()> {
        for made in &measured.made {
            self.figure("measured", &made.name, &made.made, &made.corrections.join("; "))?;
            self.figure("planned", &made.name, &made.planned, "")?;
        }
        for change in &measured.changes {
            self.figure("before", &change.what, &change.before, "")?;
            self.figure("after", &change.what, &change.after, "")?;
        }
        for cut in &measured.cut {
            self.figure("already cut", &cut.label, &cut.cut, &cut.corrections.join("; "))?;
            self.figure("now", &cut.label, &cut.now, "")?;
        }
        Ok(())
    }

    fn check(&mut self, check: &Check) -> io::Result<()> {
        let verdict = match (check.passed, check.open) {
            (true, _) => "ok",
            (false, true) => "not sure",
            _ => "failed",
        };
        let row = labelled("check", &check.message, check.detail.as_deref().unwrap_or(""));
        self.of(check.line).put(&Row { value: verdict.into(), ..row })
    }
}

/// A row of what is in one cell.
fn single<'a>(row: Row<'a>, value: &FigureValue, manner: &Manner) -> Row<'a> {
    match value {
        FigureValue::Measure(quantity) => measured(row, quantity, manner),
        other => Row { value: csv_text(&value_text(other, manner)).into_owned(), ..row },
    }
}

fn measured<'a>(row: Row<'a>, quantity: &Quantity, manner: &Manner) -> Row<'a> {
    let (units, mut number) = (quantity.units(), String::new());
    push_number(&units.count(&quantity.number), PLACES, &mut number);
    Row { value: quantity.show(manner), number, unit: units.symbol(), ..row }
}
