//! One document for all sizes of a recipe: a table over them, then a page for each.

use super::{Block, Document, Purpose, Ref, Refs, Style, Table, Target, document};
use crate::docket::{Docket, Figure};
use crate::report::figure_text;
use crate::text::harmless;

/// A table over all sizes, and the docket of each size that could be made.
#[derive(Clone, Debug, Default)]
pub struct Sizes {
    /// The headings; the first is that of the sizes' names.
    pub head: Vec<String>,
    /// A row for each size; nothing where a size has no such value.
    pub rows: Vec<Vec<Option<Figure>>>,
    /// Whether the size of each row could be made; the dockets are of these.
    pub made: Vec<bool>,
    /// The column with the cautions of each size; pages have these at their beginning and with each docket.
    pub caution: usize,
    /// Cautions of every size.
    pub cautions: Vec<String>,
    /// The dockets, in order.
    pub dockets: Vec<Docket>,
}

/// The most columns of a table on paper: further columns go into a table of their own below it.
fn abreast(style: Style) -> usize {
    match style.purpose {
        Purpose::All | Purpose::Class => 6,
        Purpose::Wall => 4,
        Purpose::Shop => 2,
    }
}

/// The document of all sizes. Cautions of every size are at its beginning. Each docket is given back when its pages are
/// made.
pub fn book(sizes: Sizes, style: Style) -> Document {
    let recipe = sizes.dockets.iter().find_map(|docket| docket.recipe.as_deref());
    let name = recipe.map_or_else(|| "Recipe".to_owned(), |name| harmless(name).into_owned());
    let title = format!("{name}, all sizes");
    let mut out = Document { title, blocks: Vec::new(), style };
    out.blocks.push(Block::Heading(1, out.title.clone()));
    let warning = |caution: &String| Block::Warning(format!("Caution: {}", harmless(caution)));
    out.blocks.extend(sizes.cautions.iter().map(warning));
    out.blocks.push(Block::Heading(2, "Sizes".into()));
    out.blocks.extend(tables(&sizes, style));
    let pages: Vec<Document> = sizes.dockets.into_iter().map(|docket| document(&docket, style)).collect();
    if pages.len() > 1 {
        out.blocks.push(Block::Heading(2, "Contents".into()));
        out.blocks.push(Block::Refs(contents(&pages, style)));
    }
    for page in pages {
        out.blocks.push(Block::Part(page.title));
        let lower = |block| match block {
            Block::Heading(level, words) => Block::Heading(level.saturating_add(1), words),
            other => other,
        };
        out.blocks.extend(page.blocks.into_iter().map(lower));
    }
    out
}

/// Each size with its page.
fn contents(pages: &[Document], style: Style) -> Refs {
    let row = |page: &Document| Ref {
        words: page.title.clone(),
        to: Some(Target { level: 2, words: page.title.clone() }),
        ..Ref::default()
    };
    let columns = if style.purpose == Purpose::Shop { 1 } else { 2 };
    Refs { columns, rows: pages.iter().map(row).collect() }
}

/// The table, in several below each other where it is wide; each begins with the sizes' names.
fn tables(sizes: &Sizes, style: Style) -> Vec<Block> {
    let text = |row: &[Option<Figure>], at: usize| {
        row.get(at).and_then(Option::as_ref).map_or_else(String::new, figure_text)
    };
    let used = |at: &usize| {
        // Marks in rows are a table of their own, on the page of each size.
        let is_table = |figure: &Figure| figure.value.as_table().is_some();
        let mut figures = sizes.rows.iter().filter_map(|row| row.get(*at)?.as_ref());
        *at != sizes.caution && figures.clone().next().is_some() && !figures.any(is_table)
    };
    let shown: Vec<usize> = (1..sizes.head.len()).filter(used).collect();
    let table = |group: &[usize]| {
        let places = || std::iter::once(0).chain(group.iter().copied());
        let heading =
            |at: usize| sizes.head.get(at).map_or_else(String::new, |name| harmless(name).into_owned());
        Block::Table(Table {
            caption: "All sizes".into(),
            head: places().map(heading).collect(),
            right: vec![false; group.len().saturating_add(1)],
            rows: sizes.rows.iter().map(|row| places().map(|at| text(row, at)).collect()).collect(),
            foot: Vec::new(),
        })
    };
    shown.chunks(abreast(style)).map(table).collect()
}
