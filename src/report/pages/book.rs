//! One document for all sizes of a recipe: a table over them, then a page for each.

use super::flow::letters_of_tables;
use super::{Block, Columns, Document, Purpose, Ref, Refs, Style, Table, Target, document};
use crate::docket::{Docket, Figure};
use crate::drawing::letters::width;
use crate::report::figure::shown_text;
use crate::text::clean;

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

/// A column takes no more of a page than this, nor a heading more than that: longer words go on below.
const WIDEST: f64 = 0.5;
const HEADING: f64 = 30.0;

/// Columns side by side as wide as the page: further columns go into a table of their own below it.
fn abreast(table: &Table, style: Style) -> Vec<Vec<usize>> {
    let (size, gap, room) = letters_of_tables(style);
    let wide = |words: &str, bold: bool| width(words, size, bold);
    let longest = |words: &str| words.split(' ').map(|word| wide(word, true)).fold(0.0, f64::max);
    let column = |at: usize| {
        let head = table.head.get(at).map_or(0.0, |head| wide(head, true).min(HEADING).max(longest(head)));
        let cells = table.rows.iter().filter_map(|row| row.get(at)).map(|cell| wide(cell, false));
        cells.fold(head, f64::max).min(room * WIDEST) + gap
    };
    let first = column(0);
    let mut groups: Vec<Vec<usize>> = Vec::new();
    let mut used = f64::INFINITY;
    for at in 1..table.head.len() {
        let more = column(at);
        if used + more > room + gap {
            groups.push(Vec::new());
            used = first;
        }
        used += more;
        groups.last_mut().into_iter().for_each(|group| group.push(at));
    }
    groups
}

/// The document of all sizes. Cautions of every size are at its beginning. Each docket is given back when its pages are
/// made.
pub fn book(sizes: Sizes, style: Style) -> Document {
    let recipe = sizes.dockets.iter().find_map(|docket| docket.recipe.as_deref());
    let name = recipe.map_or_else(|| "Recipe".to_owned(), clean);
    let title = format!("{name}, all sizes");
    let mut out = Document { title, blocks: Vec::new(), style };
    out.blocks.push(Block::Heading(1, out.title.clone()));
    let warning = |caution: &String| Block::Warning(format!("Caution: {}", clean(caution)));
    out.blocks.extend(sizes.cautions.iter().map(warning));
    let tables = tables(&sizes, style);
    let pages: Vec<Document> = sizes.dockets.into_iter().map(|docket| document(&docket, style)).collect();
    if pages.len() > 1 {
        out.blocks.push(Block::Heading(2, "Contents".into()));
        out.blocks.push(Block::Refs(contents(&pages, style)));
    }
    out.blocks.push(Block::Heading(2, "Sizes".into()));
    out.blocks.extend(tables);
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
        let figure = row.get(at).and_then(Option::as_ref);
        figure.map_or_else(String::new, |figure| shown_text(&figure.value, &figure.manner))
    };
    let used = |at: &usize| {
        // Marks in rows are a table of their own, on the page of each size.
        let is_table = |figure: &Figure| figure.value.as_table().is_some();
        let mut figures = sizes.rows.iter().filter_map(|row| row.get(*at)?.as_ref());
        *at != sizes.caution && figures.clone().next().is_some() && !figures.any(is_table)
    };
    let shown: Vec<usize> = (1..sizes.head.len()).filter(used).collect();
    let heading = |at: usize| sizes.head.get(at).map_or_else(String::new, |name| clean(name));
    let places = || std::iter::once(0).chain(shown.iter().copied());
    let whole = Table {
        caption: "All sizes".into(),
        head: places().map(heading).collect(),
        right: vec![false; shown.len().saturating_add(1)],
        rows: sizes.rows.iter().map(|row| places().map(|at| text(row, at)).collect()).collect(),
        columns: Columns::Sizes,
        ..Table::default()
    };
    abreast(&whole, style).iter().map(|group| Block::Table(part(&whole, group))).collect()
}

/// Columns of a table, after its first one.
fn part(whole: &Table, group: &[usize]) -> Table {
    let places = || std::iter::once(0).chain(group.iter().copied());
    let cells = |row: &Vec<String>| places().filter_map(|at| row.get(at).cloned()).collect();
    Table {
        caption: whole.caption.clone(),
        head: cells(&whole.head),
        right: vec![false; group.len().saturating_add(1)],
        rows: whole.rows.iter().map(cells).collect(),
        columns: Columns::Sizes,
        ..Table::default()
    }
}
