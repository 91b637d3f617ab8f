//! A document as one HTML page that needs nothing else: no script, no outside resource.

use std::io;

use minijinja::value::Value;
use minijinja::{Environment, context};

use super::{Block, Document, Purpose, Table};
use crate::report::svg::svg;

/// Its name ends so that all words are escaped.
const NAME: &str = "page.html";
const TEMPLATE: &str = include_str!("page.html");

/// Writes the page.
pub fn html(document: &Document, out: &mut dyn io::Write) -> io::Result<()> {
    let mut environment = Environment::new();
    environment.add_template(NAME, TEMPLATE).map_err(io::Error::other)?;
    let mut figures = 0_usize;
    let blocks: Vec<Value> = document.blocks.iter().map(|block| value(block, &mut figures)).collect();
    let purpose = Purpose::NAMES.iter().find(|(_, purpose)| *purpose == document.style.purpose);
    let purpose = purpose.map_or("all", |(name, _)| *name);
    let page = environment.get_template(NAME).map_err(io::Error::other)?;
    let page =
        page.render(context! { title => &document.title, purpose, blocks }).map_err(io::Error::other)?;
    writeln!(out, "{page}")
}

fn value(block: &Block, figures: &mut usize) -> Value {
    match block {
        Block::Heading(level, words) => context! { kind => "heading", level, words },
        Block::Paragraph(words) => context! { kind => "paragraph", words },
        Block::Warning(words) => context! { kind => "warning", words },
        Block::List { numbered, items } => context! { kind => "list", numbered, items },
        Block::Table(table) => context! { kind => "table", table => columns(table) },
        Block::Figure(drawing) => {
            *figures = figures.saturating_add(1);
            // The one place where something is not escaped here: the drawing escapes its own words.
            context! { kind => "figure", svg => Value::from_safe_string(svg(drawing, *figures)) }
        }
        Block::Lines(lines) => context! { kind => "lines", words => lines.join("\n") },
        Block::Refs(refs) => {
            let items = refs.rows.iter().map(|row| row.words.clone()).collect::<Vec<_>>();
            context! { kind => "list", numbered => false, items }
        }
        Block::Page => context! { kind => "page" },
    }
}

fn columns(table: &Table) -> Value {
    let rows = |rows: &[Vec<String>]| rows.iter().cloned().map(Value::from).collect::<Vec<_>>();
    context! {
        caption => &table.caption,
        head => table.head.clone(),
        right => table.right.clone(),
        rows => rows(&table.rows),
        foot => rows(&table.foot),
    }
}
