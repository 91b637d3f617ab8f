//! From a docket to a document, section by section.

use super::flow::{free_below, reminder_height};
use super::{BOX, Block, Columns, Document, Purpose, Style, Table};
use crate::docket::{ClothPlan, Docket, Figure, FigureValue, Given, Measured, Shown, Words, kind_name};
use crate::drawing::{Drawing, bare_pictures, bare_plans};
use crate::measure::Quantity;
use crate::report::between::between_marks;
use crate::report::found::found_rows;
use crate::report::measured::rows as measured_rows;
use crate::report::text::{Bought, checks_words, shopping_lines, trouble_words};
use crate::report::text_cloth::{are_ways_told, from_words, manner_words, plan_words, way_words};
use crate::report::{figure_text, shown_text, slack_lines, value_text, working_text};
use crate::text::clean;

/// The width and height in mm in which a drawing is made.
type Room = (f64, f64);

/// Drawings of a docket, the first in a room of its own.
type Drawn = fn(&Docket, (Room, Room)) -> Vec<Drawing>;

/// A drawing is not squeezed into less than this share of a page.
const LEAST: f64 = 0.45;

/// The document of a docket, in a style.
pub fn document(docket: &Docket, style: Style) -> Document {
    let title = Some(docket.title()).filter(|title| !title.is_empty());
    let mut out = Document { title: title.unwrap_or_else(|| "Recipe".into()), blocks: Vec::new(), style };
    out.add(Block::Heading(1, out.title.clone()));
    match style.purpose {
        Purpose::All => out.all(docket),
        Purpose::Wall => {
            out.warnings(docket);
            out.plans(docket);
            out.drawings(docket);
            out.cut_list(docket);
            out.marks(docket);
            out.steps(docket);
        }
        Purpose::Class => {
            out.notes(docket);
            out.warnings(docket);
            out.steps(docket);
            out.marks(docket);
            out.cut_list(docket);
            out.shopping(docket);
            out.each_student(docket);
            out.plans(docket);
            out.drawings(docket);
        }
        Purpose::Shop => {
            // What is not right first; what to mind at home stands below the list.
            out.troubles(docket);
            out.shopping(docket);
            out.cautions(docket);
        }
    }
    out
}

impl Document {
    fn add(&mut self, block: Block) {
        self.blocks.push(block);
    }

    fn heading(&mut self, words: &str) {
        self.add(Block::Heading(2, words.to_owned()));
    }

    fn paragraph(&mut self, words: &str) {
        self.add(Block::Paragraph(clean(words)));
    }

    fn all(&mut self, docket: &Docket) {
        self.notes(docket);
        self.warnings(docket);
        self.givens(&docket.givens);
        if !docket.finds.is_empty() {
            self.heading("Found");
            let items = docket.finds.iter().flat_map(found_rows).map(|row| clean(&row)).collect();
            self.add(Block::List { numbered: false, items });
        }
        self.shows(&docket.shows);
        self.cut_list(docket);
        self.plans(docket);
        self.drawings(docket);
        if let Some(measured) = docket.measured.as_deref() {
            self.measured(measured);
        }
        self.shopping(docket);
        self.steps(docket);
        between_marks(docket).into_iter().for_each(|words| self.paragraph(&words));
        // The heading of the text is a word of a sentence here.
        let checks = checks_words(docket).map(|words| words.replacen("CHECKS", "Checks", 1));
        checks.into_iter().for_each(|words| self.paragraph(&words));
        if let Some(working) = &docket.working {
            self.add(Block::Page);
            self.heading("Working");
            let lines = working_text(working).lines().map(str::to_owned).collect();
            self.add(Block::Lines(lines));
        }
    }

    fn notes(&mut self, docket: &Docket) {
        docket.notes.iter().for_each(|note| self.paragraph(note));
    }

    /// What is not right, and the cautions.
    fn warnings(&mut self, docket: &Docket) {
        self.troubles(docket);
        self.cautions(docket);
    }

    fn troubles(&mut self, docket: &Docket) {
        for check in docket.checks.iter().filter(|check| !check.passed) {
            let (lead, words) = trouble_words(check);
            self.add(Block::Warning(clean(&format!("{lead}: {words}"))));
        }
    }

    fn cautions(&mut self, docket: &Docket) {
        for caution in &docket.cautions {
            self.add(Block::Warning(format!("Caution: {}", clean(caution))));
        }
    }

    fn givens(&mut self, givens: &[Given]) {
        if givens.is_empty() {
            return;
        }
        self.heading("Given");
        let row = |given: &Given| {
            let about = given.words.as_deref().map_or(String::new(), clean);
            let set = match (given.set, about.is_empty()) {
                (true, true) => "set for this docket",
                (true, false) => " (set for this docket)",
                (false, _) => "",
            };
            vec![clean(&given.name), figure_text(&given.value), format!("{about}{set}")]
        };
        let (head, rows) = (["given", "value", "about"], givens.iter().map(row).collect());
        self.add(Block::Table(Table::of("The givens and their values", &head, rows)));
    }

    fn shows(&mut self, shows: &[Shown]) {
        if shows.is_empty() {
            return;
        }
        self.heading("Results");
        let mut rows = Vec::new();
        let mut tables = Vec::new();
        for shown in shows {
            if let Some(table) = marks(shown) {
                tables.push(table);
                continue;
            }
            let mut value = shown_text(&shown.value.value, &shown.value.manner);
            for line in slack_lines(&shown.value) {
                // A page may be read by somebody who has not seen the recipe.
                let of = if line.contains(", line ") { " of the recipe" } else { "" };
                value.push_str(&format!("; {line}{of}"));
            }
            rows.push(vec![clean(&shown.label), value]);
        }
        if !rows.is_empty() {
            let table = Table::of("What the recipe shows", &["what", "value"], rows);
            self.add(Block::Table(Table { columns: Columns::Values, ..table }));
        }
        tables.into_iter().for_each(|table| self.marked(table));
    }

    /// A table of marks under its name.
    fn marked(&mut self, table: Table) {
        self.add(Block::Heading(3, table.caption.clone()));
        self.add(Block::Table(table));
    }

    /// The tables of marks alone, which steps speak of.
    fn marks(&mut self, docket: &Docket) {
        let tables: Vec<Table> = docket.shows.iter().filter_map(marks).collect();
        if !tables.is_empty() {
            self.heading("Marks");
        }
        tables.into_iter().for_each(|table| self.marked(table));
    }

    fn cut_list(&mut self, docket: &Docket) {
        if docket.cloths.is_empty() {
            return;
        }
        self.heading("Cut");
        docket.cloths.iter().for_each(|plan| self.cloth(plan));
    }

    fn cloth(&mut self, plan: &ClothPlan) {
        self.add(Block::Heading(3, clean(&from_words(plan))));
        let row = |piece: &crate::docket::Piece| {
            vec![
                BOX.to_owned(),
                piece.count.to_string(),
                clean(&piece.label),
                figure_text(&piece.across),
                figure_text(&piece.along),
                clean(manner_words(piece).trim_start_matches(", ")),
            ]
        };
        let mut table = Table {
            right: vec![false, true, false, false, false, false],
            columns: Columns::Cuts,
            ..Table::of(
                format!("Pieces to cut from {}", clean(&plan.cloth)),
                &["", "pieces", "piece", "across the cloth", "along the cloth", ""],
                plan.pieces.iter().map(row).collect(),
            )
        };
        // The last column goes where no row has anything in it.
        if table.rows.iter().all(|row| row.last().is_none_or(String::is_empty)) {
            table.head.pop();
            table.right.pop();
            table.rows.iter_mut().for_each(|row| drop(row.pop()));
        }
        self.add(Block::Table(table));
        plan_words(plan).iter().for_each(|words| self.paragraph(words));
        let Some(planned) = plan.planned.as_ref().filter(|planned| are_ways_told(plan, planned)) else {
            return;
        };
        let spent = |way: &crate::docket::Way| figure_text(way.cost.as_ref().unwrap_or(&way.buy));
        let row = |way: &crate::docket::Way| {
            let taken = if way.taken { "taken" } else { "" };
            vec![kind_name(way.kind).to_owned(), spent(way), way_words(way), taken.to_owned()]
        };
        let caption = format!("Ways to cut {}", clean(&plan.cloth));
        let rows = planned.ways.iter().map(row).collect();
        self.add(Block::Table(Table::of(caption, &["way to cut", "buy", "why", ""], rows)));
    }

    fn plans(&mut self, docket: &Docket) {
        let caution = |caution: &Words| format!("Caution: {}", clean(caution));
        let cautions: Vec<String> = docket.cautions.iter().map(caution).collect();
        self.figures(docket, "Cutting plans", &cautions, bare_plans);
    }

    /// Drawings, each with the cautions above it.
    fn figures(&mut self, docket: &Docket, heading: &str, cautions: &[String], drawn: Drawn) {
        let (width, height) = self.style.room();
        let others = (width, height - reminder_height(cautions, self.style) / self.style.enlarged());
        let all = drawn(docket, (self.first_room(heading, others), others));
        if all.is_empty() {
            return;
        }
        self.heading(heading);
        for drawing in all {
            if !cautions.is_empty() {
                self.add(Block::Reminder(cautions.to_vec()));
            }
            self.add(Block::Figure(Box::new(drawing)));
        }
    }

    /// On the wall the first drawing is as large as the cautions above it leave room for, unless that is too little.
    fn first_room(&self, heading: &str, others: Room) -> Room {
        let is_first = !self.blocks.iter().any(|block| matches!(block, Block::Figure(_)));
        if self.style.purpose != Purpose::Wall || !is_first {
            return others;
        }
        let mut above = self.blocks.clone();
        above.push(Block::Heading(2, heading.to_owned()));
        let free = free_below(&above, self.style) / self.style.enlarged() - 1.0;
        if free < others.1 * LEAST { others } else { (others.0, free.min(others.1)) }
    }

    fn drawings(&mut self, docket: &Docket) {
        self.figures(docket, "Drawings", &[], bare_pictures);
    }

    fn measured(&mut self, measured: &Measured) {
        self.heading("Measured");
        let mut rows = Vec::new();
        let mut corrections = Vec::new();
        for (what, planned, now, more) in measured_rows(measured) {
            rows.push(vec![what, figure_text(planned), figure_text(now)]);
            corrections.extend(more.iter().map(|words| clean(words)));
        }
        let caption = "What was measured, and what that changes";
        self.add(Block::Table(Table::of(caption, &["what", "planned", "now"], rows)));
        if measured.unplanned {
            self.paragraph("The plan itself cannot be calculated, so no change can be shown.");
        }
        if !corrections.is_empty() {
            self.add(Block::List { numbered: false, items: corrections });
        }
    }

    fn shopping(&mut self, docket: &Docket) {
        let lines = shopping_lines(docket);
        if lines.is_empty() {
            return;
        }
        self.heading("Buy");
        let row = |line: &Bought| {
            let price = line.price.trim_start_matches("at ").to_owned();
            let cells = [&line.label, &line.amount, &line.because, &price, &line.cost];
            std::iter::once(BOX.to_owned()).chain(cells.map(|cell| clean(cell))).collect()
        };
        let foot = |total: &Figure| {
            let cost = figure_text(total);
            ["", "total", "", "", "", &cost].map(str::to_owned).into()
        };
        let (head, rows) = (["", "what", "buy", "why", "price", "cost"], lines.iter().map(row).collect());
        let mut table = Table {
            right: vec![false, false, false, false, true, true],
            foot: docket.totals.iter().map(foot).collect(),
            columns: Columns::Bill,
            ..Table::of("What to buy", &head, rows)
        };
        // Without prices there is nothing in these columns.
        if table.rows.iter().all(|row| row.iter().skip(4).all(String::is_empty)) && table.foot.is_empty() {
            let four = |row: &mut Vec<String>| row.truncate(4);
            table.columns = Columns::Plain;
            four(&mut table.head);
            table.right.truncate(4);
            table.rows.iter_mut().for_each(four);
        }
        // The narrow list for the shop has no room for reasons.
        if self.style.purpose == Purpose::Shop {
            const WHY: usize = 3;
            table.columns = Columns::Plain;
            let without = |row: &mut Vec<String>| {
                if WHY < row.len() {
                    row.remove(WHY);
                }
            };
            without(&mut table.head);
            table.rows.iter_mut().chain(&mut table.foot).for_each(without);
            if WHY < table.right.len() {
                table.right.remove(WHY);
            }
        }
        self.add(Block::Table(table));
    }

    /// What a kit costs each student.
    fn each_student(&mut self, docket: &Docket) {
        let Some(kits) = docket.kits.and_then(|kits| i64::try_from(kits).ok()).filter(|kits| *kits > 0)
        else {
            return;
        };
        for total in &docket.totals {
            let sum = total.value.as_measure();
            let each = sum.and_then(|sum| sum.div(&Quantity::whole(kits)).ok()?.to_minor_unit());
            if let Some(each) = each {
                let each = value_text(&FigureValue::Measure(each), &total.manner);
                self.paragraph(&format!("Cost a student: {each} ({} for {kits}).", figure_text(total)));
            }
        }
    }

    fn steps(&mut self, docket: &Docket) {
        if docket.steps.is_empty() {
            return;
        }
        self.heading("Sew");
        let items = docket.steps.iter().map(|step| clean(step)).collect();
        self.add(Block::List { numbered: true, items });
    }
}

/// A list of records as a table.
fn marks(Shown { label, value: Figure { value, manner }, .. }: &Shown) -> Option<Table> {
    let table = value.as_table()?;
    let cells = |row: &Vec<&FigureValue>| row.iter().map(|value| value_text(value, manner)).collect();
    let head: Vec<String> = table.columns.iter().map(|name| clean(&name.replace('_', " "))).collect();
    let rows = table.rows.iter().map(cells).collect();
    Some(Table { head, ..Table::of(clean(label), &table.columns, rows) })
}
