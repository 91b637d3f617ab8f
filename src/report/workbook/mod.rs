//! The docket as a workbook: a sheet a section, numbers as numbers with their unit in the heading, the sums of
//! the bill as formulas, so that prices can be changed.

mod bill;
mod cells;
mod sheet;
mod sizes;

use std::io;

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Workbook, XlsxError};

use self::cells::{Cell, Columns};
use self::sheet::Sheets;
use super::measured::rows as measured_rows;
use super::slack::slack_words;
use super::text_cloth::held_words;
use super::{Quota, figure_text, value_text};
use crate::docket::{Check, Direction, Docket, FigureValue, Measured, Outcome, Words};
use crate::drawing::Paper;
use crate::measure::Manner;

pub use sizes::sizes;

/// Writes the docket as a workbook (Office Open XML, ISO/IEC 29500).
pub fn workbook(docket: &Docket, (paper, quota): (Paper, &Quota), out: &mut dyn io::Write) -> io::Result<()> {
    out.write_all(&workbook_bytes(docket, paper, quota).map_err(unwritten)?)
}

fn unwritten(error: XlsxError) -> io::Error {
    match error {
        XlsxError::IoError(error) => error,
        other => io::Error::other(other),
    }
}

/// The same docket gives the same bytes: no clock is read.
fn undated(book: &mut Workbook, title: &str) -> Result<(), XlsxError> {
    let no_date = ExcelDateTime::from_ymd(2000, 1, 1)?;
    book.set_properties(&DocProperties::new().set_title(title).set_creation_datetime(&no_date));
    Ok(())
}

fn workbook_bytes(docket: &Docket, paper: Paper, quota: &Quota) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let title = docket.title();
    undated(&mut book, &title)?;
    let mut sheets = Sheets::new(&mut book, &title, (paper, quota));
    recipe(docket, &mut sheets)?;
    values(docket, &mut sheets)?;
    cutting(docket, &mut sheets)?;
    in_hand(docket, &mut sheets)?;
    bill::sheet(docket, &mut sheets)?;
    steps(docket, &mut sheets)?;
    checks(&docket.checks, &mut sheets)?;
    if let Some(measured) = docket.measured.as_deref() {
        changes(measured, &mut sheets)?;
    }
    book.save_to_buffer()
}

/// The recipe, its cautions and notes, its givens.
fn recipe(docket: &Docket, sheets: &mut Sheets<'_>) -> Result<(), XlsxError> {
    let mut about = Columns::new(["what", "words"]);
    let texts = [("recipe", &docket.recipe), ("size", &docket.size)];
    for (what, text) in texts {
        text.iter().for_each(|text| about.row([Cell::text(what), Cell::text(text)]));
    }
    if let Some(kits) = docket.kits {
        about.row([Cell::text("kits"), Cell::whole(kits)]);
    }
    let all: [(&str, &[Words]); 2] = [("caution", &docket.cautions), ("note", &docket.notes)];
    for (what, words) in all {
        words.iter().for_each(|words| about.row([Cell::text(what), Cell::text(words)]));
    }
    sheets.add("Recipe", &about)?;
    let mut givens = Columns::new(["given", "reads", "number", "unit", "about"]);
    for given in &docket.givens {
        let words = given.words.as_deref().unwrap_or_default();
        figure_rows(&mut givens, &given.name, &given.value.value, &given.value.manner, words);
    }
    sheets.add("Givens", &givens)
}

/// What is shown and found: a row a number.
fn values(docket: &Docket, sheets: &mut Sheets<'_>) -> Result<(), XlsxError> {
    let mut rows = Columns::new(["what", "reads", "number", "unit", "about"]);
    for shown in &docket.shows {
        figure_rows(&mut rows, &shown.label, &shown.value.value, &shown.value.manner, "");
    }
    for found in &docket.finds {
        if let Outcome::One(figure) = &found.outcome {
            figure_rows(&mut rows, &found.name, &figure.value, &figure.manner, &found.question);
        }
    }
    sheets.add("Values", &rows)?;
    let tables = docket.shows.iter().filter_map(|shown| Some((shown, shown.value.value.as_table()?)));
    for (shown, table) in tables {
        let names: Vec<String> = table.columns.iter().map(|name| name.replace('_', " ")).collect();
        let mut columns = Columns::new(names.iter().map(String::as_str));
        for row in &table.rows {
            columns.row(row.iter().map(|value| Cell::of(value, &shown.value.manner)));
        }
        sheets.add(&shown.label, &columns)?;
    }
    Ok(())
}

/// A value as rows of `what, reads, number, unit, about`: a size and a record have a row for each part.
fn figure_rows(rows: &mut Columns, label: &str, value: &FigureValue, manner: &Manner, about: &str) {
    let part = |name: &str| format!("{label}, {}", name.replace('_', " "));
    match value {
        FigureValue::Size(_) | FigureValue::SlackSize(_) => {
            let sides = value.sides().into_iter().flatten();
            sides.for_each(|(name, side)| figure_rows(rows, &part(name), &side, manner, about));
        }
        FigureValue::Record(parts) => {
            parts.iter().for_each(|(name, value)| figure_rows(rows, &part(name), value, manner, about));
        }
        // A table has a sheet of its own.
        FigureValue::List(_) if value.as_table().is_some() => {}
        FigureValue::List(items) => {
            for (at, item) in (1u64..).zip(items) {
                figure_rows(rows, &format!("{label}, {at}"), item, manner, about);
            }
        }
        _ => {
            let from = match value {
                FigureValue::Slack(slack) if about.is_empty() => slack_words(slack, manner),
                _ => about.to_owned(),
            };
            let reads = Cell::text(&value_text(value, manner));
            let [number, unit] = Cell::number_and_unit(value);
            rows.row([Cell::text(label), reads, number, unit, Cell::text(&from)]);
        }
    }
}

/// The cut list.
fn cutting(docket: &Docket, sheets: &mut Sheets<'_>) -> Result<(), XlsxError> {
    let headings = ["cloth", "pieces", "piece", "across", "along", "reads", "how to place it", "recipe line"];
    let mut rows = Columns::new(headings);
    for plan in &docket.cloths {
        for piece in &plan.pieces {
            let direction = match (piece.direction, piece.mirrored) {
                (Direction::AnyWay, false) => "",
                (Direction::AnyWay, true) => "half of them mirrored",
                (Direction::OnGrain, false) => "on the grain",
                (Direction::OnGrain, true) => "on the grain, half of them mirrored",
                (Direction::AlongSelvage, false) => "along the selvage",
                (Direction::AlongSelvage, true) => "along the selvage, half of them mirrored",
            };
            rows.row([
                Cell::text(&plan.cloth),
                Cell::whole(piece.count),
                Cell::text(&piece.label),
                Cell::figure(&piece.across),
                Cell::figure(&piece.along),
                Cell::text(&format!("{} by {}", figure_text(&piece.across), figure_text(&piece.along))),
                Cell::text(direction),
                Cell::line(piece.line),
            ]);
        }
    }
    sheets.add("Cutting", &rows)?;
    let mut strips = Columns::new(["cloth", "strips", "width", "reads", "each gives"]);
    for plan in &docket.cloths {
        for strip in &plan.strips {
            strips.row([
                Cell::text(&plan.cloth),
                Cell::whole(strip.count),
                Cell::figure(&strip.width),
                Cell::text(&figure_text(&strip.width)),
                Cell::text(&held_words(plan, strip)),
            ]);
        }
    }
    sheets.add("Strips", &strips)
}

/// Cloth in hand.
fn in_hand(docket: &Docket, sheets: &mut Sheets<'_>) -> Result<(), XlsxError> {
    let mut rows = Columns::new(["cloth", "in hand", "used", "across", "along"]);
    for plan in &docket.cloths {
        for hand in &plan.hands {
            rows.row([
                Cell::text(&plan.cloth),
                Cell::whole(hand.count),
                Cell::whole(hand.used),
                Cell::figure(&hand.across),
                Cell::figure(&hand.along),
            ]);
        }
    }
    sheets.add("Cloth in hand", &rows)
}

fn steps(docket: &Docket, sheets: &mut Sheets<'_>) -> Result<(), XlsxError> {
    let mut rows = Columns::new(["step", "what to do", "recipe line"]);
    for (number, step) in (1u64..).zip(&docket.steps) {
        rows.row([Cell::whole(number), Cell::text(step), Cell::line(step.line)]);
    }
    sheets.add("Steps", &rows)
}

fn checks(checks: &[Check], sheets: &mut Sheets<'_>) -> Result<(), XlsxError> {
    let mut rows = Columns::new(["check", "result", "detail", "recipe line"]);
    for check in checks {
        let result = match (check.passed, check.open) {
            (true, _) => "holds",
            (false, true) => "not sure",
            (false, false) => "does not hold",
        };
        let detail = Cell::text(check.detail.as_deref().unwrap_or_default());
        rows.row([Cell::text(&check.message), Cell::text(result), detail, Cell::line(check.line)]);
    }
    sheets.add("Checks", &rows)
}

/// What was measured, and what that changed.
fn changes(measured: &Measured, sheets: &mut Sheets<'_>) -> Result<(), XlsxError> {
    let mut rows = Columns::new(["what", "planned", "now", "what to do"]);
    for (what, planned, now, corrections) in measured_rows(measured) {
        let (planned, now) = (Cell::figure(planned), Cell::figure(now));
        rows.row([Cell::text(&what), planned, now, Cell::text(&corrections.join("; "))]);
    }
    sheets.add("Measured", &rows)
}
