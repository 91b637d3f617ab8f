//! A document as sections that begin pages of their own, and the pages of its headings, which contents and an index name.

use std::collections::BTreeMap;
use std::io;

use super::{Flow, LineCache};
use crate::report::pages::{Block, Document, Target};
use crate::report::quota::Quota;

/// Page numbers settle after a few layouts, for they hardly change how long a row is.
const TRIES: usize = 6;

/// Where a heading is: the index of its page, and how far down it begins.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(in super::super) struct Spot {
    pub page: usize,
    pub top: f64,
}

/// Where each heading is; the first of those with the same words counts.
pub(in super::super) type Spots = BTreeMap<Target, Spot>;

/// How many pages each section takes, and the headings on them.
struct Counted {
    pages: usize,
    headings: Vec<(Target, Spot)>,
}

/// The document in sections that are laid out one after the other, so that only one is in memory with all its words. The
/// title of each stands at the foot of its pages.
fn begun(document: Document) -> Vec<Document> {
    let new = |title: String| Document { title, blocks: Vec::new(), style: document.style };
    let mut sections = Vec::new();
    let mut section = new(document.title);
    for block in document.blocks {
        let next = match &block {
            Block::Part(name) => Some(new(name.clone())),
            Block::Page => Some(new(section.title.clone())),
            _ => None,
        };
        if let Some(next) = next {
            sections.push(std::mem::replace(&mut section, next));
        }
        section.blocks.push(block);
    }
    sections.push(section);
    let holds = |block: &Block| !matches!(block, Block::Page | Block::Part(_));
    sections.retain(|section| section.blocks.iter().any(holds));
    sections
}

/// What a part of the structure takes in memory until the document is complete, in bytes; this and the weights of items were
/// measured over books of thousands of pages and tables of thousands of rows.
pub(super) const A_PART: usize = 340;
/// A section of more pages is ended at the end of a block, and what follows is a section of its own. A single block may go
/// on: what compresses each further page leaves a hole in memory among the pages that are not drawn yet, of so many bytes.
pub(super) const LONG: usize = 40;
const A_HOLE: usize = 300_000;

/// Sections and their pages.
pub(in super::super) struct Paged {
    pub sections: Vec<Document>,
    pub pages: usize,
    /// Where the headings are.
    pub spots: Spots,
}

/// Counts the pages of a document, and finds its headings.
///
/// # Errors
/// The quota's, where what is on the pages takes more memory than there may be.
pub(in super::super) fn paged(document: Document, lines: &LineCache, quota: &Quota) -> io::Result<Paged> {
    let mut spots = Spots::new();
    let (mut sections, mut all) = (Vec::new(), Vec::new());
    for mut section in begun(document) {
        loop {
            let flow = super::laid(&section, (&spots, lines), quota, LONG)?;
            let (next, counted) = (flow.next, counted(&flow));
            quota.take(counted.pages.saturating_sub(LONG).saturating_mul(A_HOLE))?;
            all.push(counted);
            let rest = section.blocks.split_off(next.min(section.blocks.len()));
            let rest = Document { title: section.title.clone(), blocks: rest, style: section.style };
            sections.push(std::mem::replace(&mut section, rest));
            if section.blocks.is_empty() {
                break;
            }
        }
    }
    let refers = |section: &Document| section.blocks.iter().any(|block| matches!(block, Block::Refs(_)));
    for _ in 0..TRIES {
        let found = found(&all);
        if found == spots {
            break;
        }
        spots = found;
        for (section, place) in sections.iter().zip(&mut all).filter(|(section, _)| refers(section)) {
            *place = counted(&super::laid(section, (&spots, lines), &Quota::none(), usize::MAX)?);
        }
    }
    Ok(Paged { sections, pages: all.iter().map(|counted| counted.pages).sum(), spots })
}

fn counted(flow: &Flow<'_>) -> Counted {
    let spot = |heading: &super::Heading| {
        let target = Target { level: heading.level, words: heading.words.clone() };
        (target, Spot { page: heading.page, top: heading.top })
    };
    Counted { pages: flow.pages.len(), headings: flow.headings.iter().map(spot).collect() }
}

fn found(all: &[Counted]) -> Spots {
    let (mut spots, mut before) = (Spots::new(), 0);
    for counted in all {
        for (target, Spot { page, top }) in &counted.headings {
            spots.entry(target.clone()).or_insert(Spot { page: before + page, top: *top });
        }
        before += counted.pages;
    }
    spots
}

/// The same for an item.
pub(super) fn weight(item: &super::Item<'_>) -> usize {
    use super::Item;
    match item {
        Item::Words { text, .. } => 250 + 4 * text.len(),
        Item::Rule { .. } | Item::Link { .. } => 60,
        Item::Drawing { drawing, .. } => marks(&drawing.marks),
    }
}

fn marks(all: &[crate::drawing::Mark]) -> usize {
    use crate::drawing::Mark;
    let one = |mark: &Mark| match mark {
        Mark::Path { steps, .. } => 60 + 10 * steps.len(),
        Mark::Words(words) => 100 + 2 * words.text.len(),
        Mark::Clipped(_, inner) => 60 + marks(inner),
    };
    all.iter().map(one).sum()
}
