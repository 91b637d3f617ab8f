//! A docket as a document: blocks that follow each other, for paper, for a browser, for a text editor.

mod book;
mod docket;
mod flow;
mod guide;
mod html;
mod letters;
mod markdown;
mod pdf;
mod scene;
mod shaping;

pub use book::{Sizes, book};
pub use docket::document;
pub use guide::{Guides, NoGuide, guide};
pub use html::html;
pub use markdown::markdown;
pub use pdf::pdf;

use clap::{Args, ValueEnum};

use crate::drawing::{Drawing, Paper};

/// Whom a document is for, as the command line tells of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Purpose {
    /// Everything
    #[default]
    All,
    /// Large letters, pictures first
    Wall,
    /// The steps, what a kit holds, what it costs each student
    Class,
    /// A narrow shopping list with boxes to tick
    Shop,
}

// On what, and for whom, a document is made.
#[derive(Clone, Copy, Debug, Default, Args)]
#[allow(missing_docs)] // words on it would be taken for those of a command that has these options
pub struct Style {
    /// In md, html and pdf: whom the pages are for
    #[arg(long = "for", value_enum, default_value_t)]
    pub purpose: Purpose,
    /// In pdf, svg, html and xlsx: the sheet of paper
    #[arg(long, value_enum, default_value_t)]
    pub paper: Paper,
}

impl Style {
    /// How many times as large as elsewhere the words of drawings are.
    fn enlarged(self) -> f64 {
        if self.purpose == Purpose::Wall { 1.3 } else { 1.0 }
    }

    /// The width and height in mm in which a drawing is made, before it is enlarged.
    fn room(self) -> (f64, f64) {
        let (width, height) = self.paper.room();
        (width / self.enlarged(), height / self.enlarged())
    }
}

/// Blocks under a title.
#[derive(Clone, Debug, Default)]
pub struct Document {
    /// The recipe's name, its size; a word for a docket without a name.
    pub title: String,
    /// What follows.
    pub blocks: Vec<Block>,
    /// How it is printed.
    pub style: Style,
}

/// A part of a document. All words are harmless; each format escapes them for itself.
#[derive(Clone, Debug)]
pub enum Block {
    /// The first is the title's; levels from 1.
    Heading(u8, String),
    /// Words.
    Paragraph(String),
    /// What must be read first.
    Warning(String),
    /// Cautions once more, above a drawing: on paper where no warning is on its page.
    Reminder(Vec<String>),
    /// Items, counted from 1 or not.
    List {
        /// Whether they are counted.
        numbered: bool,
        /// The items.
        items: Vec<String>,
    },
    /// Rows under headings.
    Table(Table),
    /// A drawing.
    Figure(Box<Drawing>),
    /// Lines that keep their blanks.
    Lines(Vec<String>),
    /// Headings with their pages.
    Refs(Refs),
    /// What follows begins a page.
    Page,
    /// So does a part of a document, whose name stands at the foot of its pages.
    Part(String),
}

/// Rows under headings.
#[derive(Clone, Debug, Default)]
pub struct Table {
    /// What it holds, for those who cannot see it.
    pub caption: String,
    /// The headings; a heading without words stands over boxes to tick.
    pub head: Vec<String>,
    /// Which columns are numbers, flush right.
    pub right: Vec<bool>,
    /// The rows.
    pub rows: Vec<Vec<String>>,
    /// The last rows: sums.
    pub foot: Vec<Vec<String>>,
    /// Its columns, where a narrow screen lays them out in a way of their own.
    pub columns: Columns,
}

impl Table {
    /// Rows of words under headings.
    fn of(caption: impl Into<String>, head: &[&str], rows: Vec<Vec<String>>) -> Table {
        let head: Vec<String> = head.iter().map(|words| (*words).to_owned()).collect();
        Table { caption: caption.into(), right: vec![false; head.len()], head, rows, ..Table::default() }
    }
}

/// The columns of a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Columns {
    /// Any columns.
    #[default]
    Plain,
    /// What, value.
    Values,
    /// Box, pieces, piece, across, along, and how it lies.
    Cuts,
    /// Box, what, buy, why, price, cost.
    Bill,
    /// Size, and what differs from one to the next.
    Sizes,
}

/// Rows that name headings: contents, an index, what to see also.
#[derive(Clone, Debug, Default)]
pub struct Refs {
    /// In how many columns they stand on paper.
    pub columns: usize,
    /// The rows.
    pub rows: Vec<Ref>,
}

/// A row, with the page of a heading where it leads to one.
#[derive(Clone, Debug, Default)]
pub struct Ref {
    /// The words.
    pub words: String,
    /// How many steps it is set in.
    pub indent: u8,
    /// Whether it is bold.
    pub bold: bool,
    /// Where it leads.
    pub to: Option<Target>,
}

/// A heading: the first with this level and these words.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Target {
    /// Its level.
    pub level: u8,
    /// Its words.
    pub words: String,
}

/// What stands in a cell to tick.
pub(crate) const BOX: &str = "☐";
