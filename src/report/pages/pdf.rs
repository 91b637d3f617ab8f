//! A document as PDF: real words, tagged for screen readers, the recipe's name and the page's number on each page.

use std::io;
use std::num::NonZeroU16;

use krilla::annotation::{Annotation, LinkAnnotation, Target as Aim};
use krilla::destination::XyzDestination;
use krilla::geom::{PathBuilder, Point, Rect, Transform};
use krilla::metadata::Metadata;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::{Page, PageSettings};
use krilla::surface::Surface;
use krilla::tagging::{
    Artifact, ArtifactType, ContentTag, Identifier, ListNumbering, Node, SpanTag, TableHeaderScope, Tag,
    TagGroup, TagKind, TagTree,
};
use krilla::{Document as Pdf, SerializeSettings};

use super::flow::{Flow, Heading, Item, Kind, LineCache, Paged, Placed, Spot, Spots, laid, paged};
use super::letters::Fonts;
use super::scene::{black, draw, line};
use super::{Block, Document};
use crate::drawing::letters::{self, width};
use crate::drawing::lines;
use crate::drawing::{Drawing, Mark, Paper};
use crate::report::quota::Quota;

/// Points in a mm: 72 in an inch.
const POINTS: f64 = 72.0 / 25.4;
/// The foot line, in mm.
const FOOT: f64 = 3.0;
const SIDE: f64 = 15.0;
/// What stands for a letter that the font lacks.
const LACKING: char = '□';

/// The document as the bytes of a PDF.
///
/// # Errors
/// The quota's, where the document takes more memory than it may or someone asks to stop.
pub fn pdf(document: Document, quota: &Quota) -> io::Result<Vec<u8>> {
    bytes(printable(document), 0, |_| Vec::new(), quota)
}

/// A document and so many sheets behind it, each as large as the paper: they are made when it is known how many pages
/// are before them.
pub(super) fn with_sheets(
    document: Document,
    count: usize,
    sheets: impl FnOnce(usize) -> Vec<Drawing>,
) -> io::Result<Vec<u8>> {
    bytes(printable(document), count, sheets, &Quota::none())
}

/// A sheet at true size.
fn sheet(pdf: &mut Pdf, sheet: &Drawing, paper: Paper, fonts: &Fonts) -> io::Result<TagGroup> {
    let mut page = pdf.start_page_with(settings(paper)?);
    let mut surface = page.surface();
    surface.push_transform(&scaled());
    let mut figure = TagGroup::new(Tag::Figure(Some(sheet.description.clone())));
    figure.push(surface.start_tagged(ContentTag::Other));
    draw(&mut surface, &printable_drawing(sheet), (0.0, 0.0), 1.0, fonts);
    surface.end_tagged();
    surface.pop();
    surface.finish();
    page.finish();
    Ok(figure)
}

/// No clock is read: the same document gives the same bytes.
fn begun(title: &str) -> Pdf {
    let settings = SerializeSettings { enable_tagging: true, ..SerializeSettings::default() };
    let mut pdf = Pdf::new_with(settings);
    pdf.set_metadata(Metadata::new().title(title.to_owned()).language("en".to_owned()));
    pdf
}

fn settings(paper: Paper) -> io::Result<PageSettings> {
    let (width, height) = paper.size();
    let settings = PageSettings::from_wh((width * POINTS) as f32, (height * POINTS) as f32);
    settings.ok_or_else(|| io::Error::other("the paper has no size"))
}

fn scaled() -> Transform {
    Transform::from_scale(POINTS as f32, POINTS as f32)
}

fn bytes(
    document: Document,
    count: usize,
    sheets: impl FnOnce(usize) -> Vec<Drawing>,
    quota: &Quota,
) -> io::Result<Vec<u8>> {
    let fonts = Fonts::new()?;
    let (title, paper) = (document.title.clone(), document.style.paper);
    let lines = LineCache::default();
    let Paged { sections, pages: before, spots } = paged(document, &lines, quota)?;
    let mut pdf = begun(&title);
    let pages = before.saturating_add(count);
    let mut drawn =
        Drawn { paper, fonts, lines, spots, pages, page: 0, tree: TagTree::new(), headings: Vec::new() };
    for section in sections {
        quota.take(0)?;
        drawn.section(&section, &mut pdf)?;
    }
    for drawing in sheets(before) {
        let group = sheet(&mut pdf, &drawing, paper, &drawn.fonts)?;
        drawn.tree.push(group);
    }
    pdf.set_outline(outline(&drawn.headings));
    pdf.set_tag_tree(drawn.end());
    pdf.finish().map_err(|error| io::Error::other(format!("{error:?}")))
}

/// What is drawn so far.
struct Drawn {
    paper: Paper,
    fonts: Fonts,
    lines: LineCache,
    spots: Spots,
    /// How many pages there will be, and how many there are.
    pages: usize,
    page: usize,
    tree: TagTree,
    headings: Vec<Heading>,
}

impl Drawn {
    /// The structure; all else is given back before the parts of the file are put together, which takes the most memory.
    fn end(self) -> TagTree {
        self.tree
    }

    /// Draws a section; each page is given back as soon as it is drawn.
    fn section(&mut self, section: &Document, pdf: &mut Pdf) -> io::Result<()> {
        let none = Quota::none();
        let mut flow = laid(section, (&self.spots, &self.lines), &none, usize::MAX)?;
        let before = self.page;
        let mut leaves: Vec<Vec<Identifier>> = vec![Vec::new(); flow.parts.len()];
        for items in std::mem::take(&mut flow.pages) {
            self.page = self.page.saturating_add(1);
            let mut page = pdf.start_page_with(settings(self.paper)?);
            let mut surface = page.surface();
            surface.push_transform(&scaled());
            // Lines of one text are one content: a book has a hundred thousand of them.
            for placed in items.chunk_by(|a, b| a.0 == b.0 && sort(&a.1) == sort(&b.1)) {
                place(&mut surface, placed, &self.fonts, &mut leaves);
            }
            foot(&mut surface, (&section.title, self.paper), (self.page, self.pages), &self.fonts);
            surface.pop();
            surface.finish();
            for placed in &items {
                link(&mut page, placed, &self.spots, &mut leaves);
            }
            page.finish();
        }
        tree(&flow, leaves).into_iter().for_each(|group| self.tree.push(group));
        let placed = |heading: Heading| Heading { page: heading.page.saturating_add(before), ..heading };
        self.headings.extend(flow.headings.into_iter().map(placed));
        Ok(())
    }
}

/// Where a heading is.
fn destination(page: usize, top: f64) -> XyzDestination {
    XyzDestination::new(page, Point::from_xy(0.0, ((top - 2.0).max(0.0) * POINTS) as f32))
}

/// Bookmarks: each heading below the one before it that is higher.
fn outline(headings: &[Heading]) -> Outline {
    /// Deeper headings are left out.
    const DEEPEST: u8 = 3;
    let mut outline = Outline::new();
    // Those that are still open, with their levels.
    let mut open: Vec<(u8, OutlineNode)> = Vec::new();
    let mut close = |open: &mut Vec<(u8, OutlineNode)>, level: u8| {
        while open.last().is_some_and(|(above, _)| *above >= level) {
            let Some((_, node)) = open.pop() else { return };
            match open.last_mut() {
                Some((_, above)) => above.push_child(node),
                None => outline.push_child(node),
            }
        }
    };
    for heading in headings.iter().filter(|heading| heading.level <= DEEPEST) {
        close(&mut open, heading.level);
        let node = OutlineNode::new(heading.words.clone(), destination(heading.page, heading.top));
        // Only the title is unfolded.
        open.push((heading.level, node.with_open(heading.level == 1)));
    }
    close(&mut open, 0);
    outline
}

/// The way from a row of contents to its heading.
fn link(page: &mut Page<'_>, (part, item): &Placed<'_>, spots: &Spots, leaves: &mut [Vec<Identifier>]) {
    let Item::Link { area: [left, top, wide, high], to } = item else { return };
    let Some(Spot { page: at, top: down }) = spots.get(*to).copied() else { return };
    let [left, top, wide, high] = [left, top, wide, high].map(|side| (side * POINTS) as f32);
    let Some(area) = Rect::from_xywh(left, top, wide, high) else { return };
    let aim = Aim::Destination(destination(at, down).into());
    let words = format!("{}, page {}", to.words, at.saturating_add(1));
    let identifier =
        page.add_tagged_annotation(Annotation::new_link(LinkAnnotation::new(area, aim), Some(words)));
    if let Some(leaves) = part.and_then(|part| leaves.get_mut(part)) {
        leaves.push(identifier);
    }
}

/// What readers of the page aloud know an item as.
#[derive(PartialEq)]
enum Sort {
    Words,
    Other,
    Link,
}

fn sort(item: &Item<'_>) -> Sort {
    match item {
        Item::Words { .. } => Sort::Words,
        Item::Rule { .. } | Item::Drawing { .. } => Sort::Other,
        Item::Link { .. } => Sort::Link,
    }
}

/// Draws items of one part and one sort.
fn place(surface: &mut Surface<'_>, all: &[Placed<'_>], fonts: &Fonts, leaves: &mut [Vec<Identifier>]) {
    let Some((part, first)) = all.first() else { return };
    let tag = match (part, sort(first)) {
        (_, Sort::Link) => return,
        (None, _) => ContentTag::Artifact(Artifact::new(ArtifactType::Layout, None)),
        (Some(_), Sort::Words) => ContentTag::Span(SpanTag::empty()),
        (Some(_), Sort::Other) => ContentTag::Other,
    };
    let identifier = surface.start_tagged(tag);
    for (_, item) in all {
        drawn(surface, item, fonts);
    }
    surface.end_tagged();
    if let Some(leaves) = part.and_then(|part| leaves.get_mut(part)) {
        leaves.push(identifier);
    }
}

fn drawn(surface: &mut Surface<'_>, item: &Item<'_>, fonts: &Fonts) {
    match item {
        Item::Words { at, text, size, bold } => {
            // The blank that a line's end stands for, for those who read it aloud or copy it.
            words(surface, *at, &format!("{text} "), (*size, *bold), fonts);
        }
        Item::Rule { from, to, width } => {
            let mut rule = PathBuilder::new();
            rule.move_to(from.0 as f32, from.1 as f32);
            rule.line_to(to.0 as f32, to.1 as f32);
            if let Some(rule) = rule.finish() {
                surface.set_fill(None);
                surface.set_stroke(Some(line(*width, &[])));
                surface.draw_path(&rule);
            }
        }
        Item::Drawing { at, scale, drawing } => draw(surface, drawing, *at, *scale, fonts),
        Item::Link { .. } => {}
    }
}

fn words(surface: &mut Surface<'_>, at: (f64, f64), text: &str, letters: (f64, bool), fonts: &Fonts) {
    surface.set_fill(Some(black()));
    surface.set_stroke(None);
    super::letters::words(surface, at, text, letters, (fonts, false));
}

/// The recipe's name and size, and the page's number.
fn foot(
    surface: &mut Surface<'_>,
    (name, paper): (&str, Paper),
    (number, pages): (usize, usize),
    fonts: &Fonts,
) {
    let (wide, high) = paper.size();
    let y = high - 12.0;
    surface.start_tagged(ContentTag::Artifact(Artifact::new(ArtifactType::Footer, None)));
    let count = format!("{number} / {pages}");
    let right = width(&count, FOOT, false);
    let room = wide - 2.0 * SIDE - right - 5.0;
    let name = lines::broken(name, FOOT, room, false).into_iter().next().unwrap_or_default();
    words(surface, (SIDE, y), &name, (FOOT, false), fonts);
    words(surface, (wide - SIDE - right, y), &count, (FOOT, false), fonts);
    surface.end_tagged();
}

/// The structure of a section; parts follow those that they are in.
fn tree(flow: &Flow<'_>, mut leaves: Vec<Vec<Identifier>>) -> Vec<TagGroup> {
    let mut groups: Vec<Option<TagGroup>> = flow.parts.iter().map(|part| kind(&part.kind)).collect();
    let mut within: Vec<Vec<usize>> = vec![Vec::new(); flow.parts.len()];
    for (at, part) in flow.parts.iter().enumerate().skip(1) {
        if let Some(within) = within.get_mut(part.within) {
            within.push(at);
        }
    }
    // The last parts first, so that each is whole when it goes into its own.
    for at in (1..flow.parts.len()).rev() {
        let Some(mut group) = groups.get_mut(at).and_then(Option::take) else { continue };
        let own = leaves.get_mut(at).map(std::mem::take).unwrap_or_default();
        let inner = within.get_mut(at).map(std::mem::take).unwrap_or_default();
        group.children.reserve_exact(own.len().saturating_add(inner.len()));
        group.children.extend(own.into_iter().map(Node::from));
        let inner = inner.into_iter().filter_map(|inner| groups.get_mut(inner).and_then(Option::take));
        group.children.extend(inner.map(Node::Group));
        if let Some(place) = groups.get_mut(at) {
            *place = Some(group);
        }
    }
    let outer = within.first_mut().map(std::mem::take).unwrap_or_default();
    outer.into_iter().filter_map(|at| groups.get_mut(at).and_then(Option::take)).collect()
}

fn kind(kind: &Kind) -> Option<TagGroup> {
    let tag: TagKind = match kind {
        Kind::Root => return None,
        Kind::Heading(level, words) => {
            Tag::Hn(NonZeroU16::new(u16::from(*level)).unwrap_or(NonZeroU16::MIN), Some(words.clone())).into()
        }
        Kind::Paragraph => Tag::P.into(),
        Kind::List { numbered: true } => Tag::L(ListNumbering::Decimal).into(),
        Kind::List { numbered: false } => Tag::L(ListNumbering::Disc).into(),
        Kind::Item => Tag::LI.into(),
        Kind::Label => Tag::Lbl.into(),
        Kind::Body => Tag::LBody.into(),
        Kind::Table(summary) => Tag::Table.with_summary(Some(summary.clone())).into(),
        Kind::Row => Tag::TR.into(),
        Kind::HeadCell => Tag::TH(TableHeaderScope::Column).into(),
        Kind::Cell => Tag::TD.into(),
        Kind::Link => Tag::Link.into(),
        Kind::Figure(words) => Tag::Figure(Some(words.clone())).into(),
    };
    Some(TagGroup::new(tag))
}

/// The document with a sign in place of each letter that the font lacks, and a word of which they are.
fn printable(mut document: Document) -> Document {
    let mut lacking = Vec::new();
    let clean = |words: &mut String| {
        if letters::missing(words).is_some() {
            *words = signs(words, &mut lacking);
        }
    };
    texts(&mut document, clean);
    lacking.sort_unstable();
    lacking.dedup();
    if !lacking.is_empty() {
        let named = |letter: &char| format!("U+{:04X}", u32::from(*letter));
        let all = lacking.iter().take(12).map(named).collect::<Vec<_>>().join(", ");
        let more = if lacking.len() > 12 { " and others" } else { "" };
        let words =
            format!("This page cannot print these letters and shows {LACKING} for them: {all}{more}.");
        document.blocks.insert(document.blocks.len().min(1), Block::Warning(words));
    }
    document
}

fn signs(words: &str, lacking: &mut Vec<char>) -> String {
    let mut printed = |letter: char| {
        if letters::missing(letter.encode_utf8(&mut [0; 4])).is_none() {
            return letter;
        }
        lacking.push(letter);
        LACKING
    };
    words.chars().map(&mut printed).collect()
}

/// Goes through all words that are printed.
fn texts(document: &mut Document, mut clean: impl FnMut(&mut String)) {
    clean(&mut document.title);
    for block in &mut document.blocks {
        match block {
            Block::Heading(_, words)
            | Block::Paragraph(words)
            | Block::Warning(words)
            | Block::Part(words) => clean(words),
            Block::List { items, .. } | Block::Lines(items) | Block::Reminder(items) => {
                items.iter_mut().for_each(&mut clean)
            }
            Block::Table(table) => {
                table.head.iter_mut().for_each(&mut clean);
                table.rows.iter_mut().chain(&mut table.foot).flatten().for_each(&mut clean);
            }
            Block::Figure(drawing) => on_marks(&mut drawing.marks, &mut clean),
            Block::Refs(refs) => {
                for row in &mut refs.rows {
                    clean(&mut row.words);
                    row.to.iter_mut().for_each(|to| clean(&mut to.words));
                }
            }
            Block::Page => {}
        }
    }
}

fn on_marks(marks: &mut [Mark], clean: &mut impl FnMut(&mut String)) {
    for mark in marks {
        match mark {
            Mark::Words(words) => clean(&mut words.text),
            Mark::Clipped(_, inner) => on_marks(inner, clean),
            Mark::Path { .. } => {}
        }
    }
}

fn printable_drawing(drawing: &Drawing) -> Drawing {
    let mut drawing = drawing.clone();
    on_marks(&mut drawing.marks, &mut |words| *words = signs(words, &mut Vec::new()));
    drawing
}
