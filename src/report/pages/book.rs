//! One document for all sizes of a recipe: a table over them, then a page for each.

use super::{Block, Document, Style, Table, document};
use crate::docket::Docket;
use crate::text::harmless;

/// A table over all sizes, as text, and the docket of each size that could be made.
#[derive(Clone, Debug, Default)]
pub struct Sizes {
    /// The headings; the first is that of the sizes' names.
    pub head: Vec<String>,
    /// A row for each size.
    pub rows: Vec<Vec<String>>,
    /// The dockets, in order.
    pub dockets: Vec<Docket>,
}

/// The most columns of a table on paper: further columns go into a table of their own below it.
const ABREAST: usize = 6;

/// The document of all sizes. Cautions that hold for every size stand in front.
pub fn book(sizes: &Sizes, style: Style) -> Document {
    let recipe = sizes.dockets.iter().find_map(|docket| docket.recipe.as_deref());
    let name = recipe.map_or_else(|| "Recipe".to_owned(), |name| harmless(name).into_owned());
    let title = format!("{name}, all sizes");
    let mut out = Document { title, blocks: Vec::new(), style };
    out.blocks.push(Block::Heading(1, out.title.clone()));
    for caution in common(&sizes.dockets) {
        out.blocks.push(Block::Warning(format!("Caution: {}", harmless(&caution))));
    }
    out.blocks.push(Block::Heading(2, "Sizes".into()));
    out.blocks.extend(tables(sizes));
    for docket in &sizes.dockets {
        out.blocks.push(Block::Page);
        let lower = |block| match block {
            Block::Heading(level, words) => Block::Heading(level.saturating_add(1), words),
            other => other,
        };
        out.blocks.extend(document(docket, style).blocks.into_iter().map(lower));
    }
    out
}

/// Cautions of every size.
fn common(dockets: &[Docket]) -> Vec<String> {
    let Some((first, others)) = dockets.split_first() else { return Vec::new() };
    let everywhere =
        |caution: &str| others.iter().all(|docket| docket.cautions.iter().any(|other| **other == *caution));
    first.cautions.iter().map(|words| words.to_string()).filter(|caution| everywhere(caution)).collect()
}

/// The table, in several below each other where it is wide; each begins with the sizes' names.
fn tables(sizes: &Sizes) -> Vec<Block> {
    // The cautions of a size are on its page.
    let shown: Vec<usize> = (1..sizes.head.len())
        .filter(|at| sizes.head.get(*at).is_none_or(|head| head != "caution"))
        .filter(|at| sizes.rows.iter().any(|row| row.get(*at).is_some_and(|cell| !cell.is_empty())))
        .collect();
    let pick = |row: &[String], group: &[usize]| {
        let cell = |at: &usize| row.get(*at).map_or_else(String::new, |cell| harmless(cell).into_owned());
        std::iter::once(&0).chain(group).map(cell).collect::<Vec<_>>()
    };
    let table = |group: &[usize]| {
        Block::Table(Table {
            caption: "All sizes".into(),
            head: pick(&sizes.head, group),
            right: vec![false; group.len().saturating_add(1)],
            rows: sizes.rows.iter().map(|row| pick(row, group)).collect(),
            foot: Vec::new(),
        })
    };
    shown.chunks(ABREAST).map(table).collect()
}
