//! A docket written out, one file a format. A writer sees the docket and nothing else.

mod between;
mod csv;
pub(crate) mod escape;
mod figure;
mod found;
pub mod handbook;
pub mod help_text;
mod json;
mod laid;
mod measured;
mod plan_text;
mod slack;
mod svg;
mod table;
mod text;
mod text_cloth;
mod working;
pub(crate) mod wrap;

use std::io;

use crate::docket::Docket;
use crate::drawing::{Paper, drawings};

pub use csv::csv;
pub use figure::{figure_text, value_text};
pub(crate) use figure::{push_number, push_value};
pub use found::found_text;
pub use json::{json, working_json};
pub use laid::figure_lines;
pub use slack::slack_lines;
pub use svg::{svg, svg_document};
pub use text::text;
pub use working::working_text;

/// A way of writing a docket.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Format {
    /// To be read: fits 80 columns.
    #[default]
    Text,
    /// For programs; `src/docket/docket.schema.json` describes it.
    Json,
    /// For spreadsheets: one row a fact.
    Csv,
    /// The cutting plans as drawings, below each other.
    Svg,
}

impl Format {
    /// Every format with its name.
    pub const NAMES: &'static [(&'static str, Format)] =
        &[("text", Format::Text), ("json", Format::Json), ("csv", Format::Csv), ("svg", Format::Svg)];

    /// The format with this name.
    pub fn find(name: &str) -> Option<Format> {
        Format::NAMES.iter().find(|(known, _)| *known == name).map(|(_, format)| *format)
    }
}

/// Writes a docket in a format.
pub fn write(docket: &Docket, format: Format, out: &mut dyn io::Write) -> io::Result<()> {
    match format {
        Format::Text => text(docket, out),
        Format::Json => json(docket, out),
        Format::Csv => csv(docket, out),
        Format::Svg => out.write_all(svg_document(&drawings(docket, Paper::A4)).as_bytes()),
    }
}
