//! A document as one HTML page that needs nothing else: no script, no outside resource.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::io;

use clap::ValueEnum;
use minijinja::value::Value;
use minijinja::{Environment, context};

use super::{Block, Columns, Document, Ref, Table, Target};
use crate::measure::glued;
use crate::report::direction::isolated;
use crate::report::escape::html_text;
use crate::report::svg::svg;

/// The beginning of the page and one block of it. Their names end so that all words are escaped.
const BEGIN: (&str, &str) = ("page_begin.html", include_str!("page_begin.html"));
const BLOCK: (&str, &str) = ("block.html", include_str!("block.html"));
const END: &str = "\n</main>\n</body>\n</html>";

/// A word of more letters is broken where a line ends.
const LONG: usize = 40;

/// Writes the page; each block is given back when it is written.
pub fn html(document: Document, out: &mut dyn io::Write) -> io::Result<()> {
    let mut environment = Environment::new();
    environment.add_test("long", |words: &str| words.split(' ').any(|word| word.chars().nth(LONG).is_some()));
    for (name, template) in [BEGIN, BLOCK] {
        environment.add_template(name, template).map_err(io::Error::other)?;
    }
    let rendered = |(name, _): (&str, &str), values: Value| {
        environment.get_template(name).and_then(|template| template.render(values)).map_err(io::Error::other)
    };
    let purpose = document.style.purpose.to_possible_value();
    let purpose = purpose.as_ref().map_or("all", |purpose| purpose.get_name());
    let mut written = Written { figures: 0, names: names(&document) };
    out.write_all(rendered(BEGIN, context! { title => &document.title, purpose })?.as_bytes())?;
    for block in document.blocks {
        out.write_all(rendered(BLOCK, context! { block => written.value(&block) })?.as_bytes())?;
    }
    writeln!(out, "{END}")
}

/// The name of each heading that a row leads to: the first with its words.
fn names(document: &Document) -> BTreeMap<Target, String> {
    let rows = document.blocks.iter().filter_map(|block| match block {
        Block::Refs(refs) => Some(&refs.rows),
        _ => None,
    });
    let targets: BTreeSet<&Target> = rows.flatten().filter_map(|row| row.to.as_ref()).collect();
    (1_usize..).zip(targets).map(|(number, target)| (target.clone(), format!("part{number}"))).collect()
}

/// What was written so far.
struct Written {
    figures: usize,
    /// Names of headings that are still to come.
    names: BTreeMap<Target, String>,
}

impl Written {
    fn value(&mut self, block: &Block) -> Value {
        match block {
            Block::Heading(level, words) => {
                let id = self.names.remove(&Target { level: *level, words: words.clone() });
                context! { kind => "heading", level, words => unbroken(words), id }
            }
            Block::Paragraph(words) => context! { kind => "paragraph", words => unbroken(words) },
            Block::Warning(words) => context! { kind => "warning", words => unbroken(words) },
            Block::Reminder(cautions) => {
                let rows: Vec<Value> = cautions.iter().map(|words| unbroken(words)).collect();
                context! { kind => "reminder", rows }
            }
            Block::List { numbered, items } => {
                let items: Vec<Value> = items.iter().map(|item| unbroken(item)).collect();
                context! { kind => "list", numbered, items }
            }
            Block::Table(table) => context! { kind => "table", table => columns(table) },
            Block::Figure(drawing) => {
                self.figures = self.figures.saturating_add(1);
                // The one place where something is not escaped here: the drawing escapes its own words.
                context! { kind => "figure", svg => Value::from_safe_string(svg(drawing, self.figures)) }
            }
            Block::Lines(lines) => context! { kind => "lines", words => lines.join("\n") },
            Block::Refs(refs) => {
                let id = |row: &Ref| row.to.as_ref().and_then(|to| self.names.get(to)).cloned();
                let row = |row: &Ref| context! { words => &row.words, to => id(row) };
                context! { kind => "refs", rows => refs.rows.iter().map(row).collect::<Vec<_>>() }
            }
            Block::Page | Block::Part(_) => context! { kind => "page" },
        }
    }
}

/// The words with no-break blanks within each measure: a line that ended in `15` with `1/4 in` below it would be
/// read wrong.
fn unbroken(words: &str) -> Value {
    let words = glued(words).iter().map(|word| word.replace(' ', "\u{a0}")).collect::<Vec<_>>().join(" ");
    match isolated(&html_text(&words)) {
        // What is escaped here is not escaped once more.
        Cow::Owned(escaped) => Value::from_safe_string(escaped),
        Cow::Borrowed(_) => Value::from(words),
    }
}

fn columns(table: &Table) -> Value {
    let row = |row: &Vec<String>| Value::from(row.iter().map(|cell| unbroken(cell)).collect::<Vec<_>>());
    let rows = |rows: &[Vec<String>]| rows.iter().map(row).collect::<Vec<_>>();
    context! {
        caption => &table.caption,
        kind => match table.columns {
            Columns::Plain => "",
            Columns::Values => "values",
            Columns::Cuts => "cuts",
            Columns::Bill => "bill",
            Columns::Sizes => "sizes",
        },
        head => row(&table.head),
        right => table.right.clone(),
        rows => rows(&table.rows),
        foot => rows(&table.foot),
    }
}
