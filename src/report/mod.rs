//! A docket written out, one file a format. A writer sees the docket and nothing else.

mod between;
mod csv;
mod direction;
pub(crate) mod escape;
mod figure;
mod found;
pub mod handbook;
pub mod help_text;
mod json;
mod laid;
mod measured;
pub mod pages;
mod plan_text;
mod quota;
pub(crate) mod screen;
mod slack;
mod svg;
mod table;
mod text;
mod text_cloth;
mod workbook;
mod working;
pub(crate) mod wrap;

use std::io;

use clap::ValueEnum;

use self::quota::Charged;
use crate::docket::{Docket, FigureValue};
use crate::drawing::drawings;

pub use csv::csv;
pub use figure::{figure_text, value_text};
pub(crate) use figure::{push_number, push_value, shown_text};
pub use found::{found_on, found_text};
pub use json::{json, working_json};
pub use laid::figure_on;
pub use pages::{Purpose, Sizes, Style, book, document};
pub use quota::{Quota, Unfinished};
pub use screen::Screen;
pub use slack::slack_lines;
pub use svg::{svg, svg_document};
pub use text::{text, text_on};
pub use workbook::workbook;
pub use working::{working_on, working_text};

/// A way of writing a docket, as the command line tells of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people: fits 80 columns
    #[default]
    Text,
    /// For programs
    Json,
    /// For spreadsheets
    Csv,
    /// The cutting plans, drawn
    Svg,
    /// A page for a text editor (Markdown)
    #[value(name = "md")]
    Markdown,
    /// A page for a browser, with pictures
    Html,
    /// Pages for paper, with pictures
    Pdf,
    /// A workbook for spreadsheets, with formulas
    #[value(name = "xlsx")]
    Workbook,
}

impl Format {
    /// Whether it is bytes that no terminal shows.
    pub fn is_binary(self) -> bool {
        matches!(self, Format::Pdf | Format::Workbook)
    }
}

/// Writes a docket in a format.
pub fn write(docket: &Docket, format: Format, out: &mut dyn io::Write) -> io::Result<()> {
    write_in(docket, format, Style::default(), &Quota::none(), out)
}

/// Writes a docket in a format, and where that is a document in a style and with so much memory.
pub fn write_in(
    docket: &Docket,
    format: Format,
    style: Style,
    quota: &Quota,
    out: &mut dyn io::Write,
) -> io::Result<()> {
    match format {
        Format::Text => text(docket, out),
        Format::Json => json(docket, out),
        Format::Csv => csv(docket, out),
        Format::Svg => out.write_all(svg_document(&drawings(docket, style.paper)).as_bytes()),
        Format::Workbook => workbook(docket, (style.paper, quota), out),
        Format::Markdown | Format::Html | Format::Pdf => {
            let each = if format == Format::Pdf { A_VALUE_ON_PAPER } else { A_VALUE };
            quota.take(values(docket).saturating_mul(each))?;
            let document = document(docket, style);
            match format {
                Format::Pdf => out.write_all(&pages::pdf(document, quota)?),
                Format::Html => pages::html(document, &mut Charged { out, quota }),
                _ => pages::markdown(document, &mut Charged { out, quota }),
            }
        }
    }
}

/// What a value takes in memory, in a docket and in the document that is made of it, in bytes: measured over tables of a
/// hundred thousand rows.
const A_VALUE: usize = 350;
/// The same with its place on a page.
const A_VALUE_ON_PAPER: usize = 700;

/// How many values a docket shows.
fn values(docket: &Docket) -> usize {
    fn inside(value: &FigureValue) -> usize {
        match value {
            FigureValue::List(values) => values.iter().map(inside).sum(),
            FigureValue::Record(parts) => parts.iter().map(|(_, value)| inside(value)).sum(),
            _ => 1,
        }
    }
    docket.shows.iter().map(|shown| inside(&shown.value.value)).sum()
}

/// All sizes as one document, or as a workbook. The dockets are given back as they are laid out.
pub fn all_sizes(sizes: Sizes, format: Format, style: Style, quota: &Quota) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let out = &mut Charged { out: &mut bytes, quota };
    match format {
        Format::Workbook => workbook::sizes(&sizes, (style.paper, quota), &mut bytes)?,
        Format::Pdf => return pages::pdf(book(sizes, style), quota),
        Format::Html => pages::html(book(sizes, style), out)?,
        _ => pages::markdown(book(sizes, style), out)?,
    }
    Ok(bytes)
}
