//! Blocks laid out on pages of paper: lines of words, rules, drawings at places in mm, each with the part of the
//! document's structure that it belongs to. No row of a table and no drawing is broken over a page.
#![expect(clippy::arithmetic_side_effects, reason = "places on a page are small numbers in mm")]

mod columns;
mod line_cache;
mod paged;
mod refs;
mod reminder;
mod tables;

use std::io;
use std::rc::Rc;

use super::{Block, Document, Purpose, Style, Table, Target};
use crate::drawing::letters::width;
use crate::drawing::{Drawing, Place};
use crate::report::quota::Quota;
pub(super) use line_cache::LineCache;
use line_cache::Rows;
pub(super) use paged::{Paged, Spot, Spots, paged};
pub(super) use reminder::reminder_height;

/// What is left free at the sides, above, and below for the foot line, in mm.
const SIDE: f64 = 15.0;
const TOP: f64 = 15.0;
const BOTTOM: f64 = 22.0;
/// Between two lines, as a share of the size of letters.
const LINE: f64 = 1.35;
/// Between two cells of a row; half as much on a narrow page.
const GAP: f64 = 4.0;
/// A shopping list is as narrow as a till receipt.
const NARROW: f64 = 90.0;
/// A drawing is made so much smaller at most, to fit below its heading.
const NEARLY: f64 = 0.75;
/// A last page that is filled to less than this is saved, if lines and drawings that are so much closer and smaller do it.
const TAIL: f64 = 0.22;
const CLOSER: [f64; 2] = [0.95, 0.88];
/// A heading is not left at the foot of a page without so many lines below it.
const KEEP: f64 = 4.0;
/// A table of such a part of a page is not parted.
const SHORT: f64 = 3.0;

/// What a part of the structure is; see ISO 32000-1, 14.8.4.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Kind {
    Root,
    Heading(u8, String),
    Paragraph,
    List { numbered: bool },
    Item,
    Label,
    Body,
    Table(String),
    Row,
    HeadCell,
    Cell,
    Figure(String),
    Link,
}

/// A part of the structure, and the one that it is in.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub kind: Kind,
    pub within: usize,
}

/// Something at a place on a page.
#[derive(Clone, Debug)]
pub(super) enum Item<'a> {
    /// Words, their base line's left end, the size of letters, whether bold.
    Words { at: Place, text: Rc<str>, size: f64, bold: bool },
    /// A straight rule, so wide.
    Rule { from: Place, to: Place, width: f64 },
    /// A drawing at its upper left corner, enlarged so many times.
    Drawing { at: Place, scale: f64, drawing: &'a Drawing },
    /// Where a reader gets to a heading: left, top, width, height.
    Link { area: [f64; 4], to: &'a Target },
}

/// A heading, and where it is.
#[derive(Clone, Debug)]
pub(super) struct Heading {
    pub level: u8,
    pub words: String,
    /// Index of its page.
    pub page: usize,
    /// How far down it begins.
    pub top: f64,
}

/// An item, and the part of the structure that it belongs to; none for what is told elsewhere.
pub(super) type Placed<'a> = (Option<usize>, Item<'a>);

/// Pages and the structure of what is on them.
pub(super) struct Flow<'a> {
    pub pages: Vec<Vec<Placed<'a>>>,
    pub parts: Vec<Part>,
    pub headings: Vec<Heading>,
    /// Where headings are, as far as an earlier layout knows it.
    spots: &'a Spots,
    lines: &'a LineCache,
    /// What is charged; nothing while lines are laid again.
    quota: Option<&'a Quota>,
    /// The block that was not laid out any more, where there were enough pages.
    next: usize,
    /// Set when the quota is used up; nothing more is placed then.
    unfinished: Option<io::Error>,
    width: f64,
    bottom: f64,
    left: f64,
    y: f64,
    size: f64,
    /// Between two lines, as a share of the size of letters.
    leading: f64,
    /// A drawing is made so much smaller to save a page.
    closer: f64,
    /// How many times its size a drawing is at most.
    enlarged: f64,
    /// The page on which all warnings stand, counted from 1; 0 where they are on several.
    warned: Option<usize>,
}

/// Lays out a document, or a section of one, whose headings are in these spots: up to the block with which it has more than
/// `most` pages.
///
/// # Errors
/// The quota's.
pub(super) fn laid<'a>(
    document: &'a Document,
    (spots, lines): (&'a Spots, &'a LineCache),
    quota: &'a Quota,
    most: usize,
) -> io::Result<Flow<'a>> {
    let (size, _, width) = letters_of_tables(document.style);
    let mut flow = Flow {
        pages: vec![Vec::new()],
        parts: vec![Part { kind: Kind::Root, within: 0 }],
        headings: Vec::new(),
        spots,
        lines,
        quota: Some(quota),
        next: 0,
        unfinished: None,
        width,
        bottom: document.style.paper.size().1 - BOTTOM,
        left: SIDE,
        y: TOP,
        size,
        leading: LINE,
        closer: 1.0,
        enlarged: document.style.enlarged(),
        warned: None,
    };
    flow.section(&document.blocks, most);
    if let Some(why) = flow.unfinished.take() {
        return Err(why);
    }
    Ok(flow)
}

/// The size of letters in tables, the gap between two columns, and the width of a page.
pub(super) fn letters_of_tables(style: Style) -> (f64, f64, f64) {
    let narrow = style.purpose == Purpose::Shop;
    let width = if narrow { NARROW } else { style.paper.size().0 - 2.0 * SIDE };
    let size = if style.purpose == Purpose::Wall { 5.6 } else { 3.5 };
    (size, if narrow { GAP / 2.0 } else { GAP }, width)
}

/// How much of the first page is free below these blocks: nothing where they take more than a page.
pub(super) fn free_below(blocks: &[Block], style: Style) -> f64 {
    let document = Document { title: String::new(), blocks: blocks.to_vec(), style };
    let (spots, lines, quota) = (Spots::new(), LineCache::default(), Quota::none());
    match laid(&document, (&spots, &lines), &quota, usize::MAX) {
        Ok(flow) if flow.pages.len() == 1 => flow.bottom - flow.y,
        _ => 0.0,
    }
}

impl<'a> Flow<'a> {
    fn part(&mut self, kind: Kind, within: usize) -> usize {
        self.take(paged::A_PART);
        self.parts.push(Part { kind, within });
        self.parts.len() - 1
    }

    fn take(&mut self, bytes: usize) {
        if let (Some(quota), None) = (self.quota, &self.unfinished) {
            self.unfinished = quota.take(bytes).err();
        }
    }

    fn put(&mut self, part: Option<usize>, item: Item<'a>) {
        self.take(paged::weight(&item));
        if let (Some(page), None) = (self.pages.last_mut(), &self.unfinished) {
            page.push((part, item));
        }
    }

    /// The blocks of a section, up to the one with which it has more than `most` pages.
    fn section(&mut self, blocks: &'a [Block], most: usize) {
        self.blocks(blocks, most);
        let long = self.pages.len();
        let is_tail = long > 1 && self.y - TOP <= (self.bottom - TOP) * TAIL;
        if !is_tail || long > paged::LONG || self.unfinished.is_some() {
            return;
        }
        // The same lines again: they are charged once.
        let quota = self.quota.take();
        for closer in CLOSER.iter().copied().chain([1.0]) {
            self.pages.truncate(1);
            self.pages.iter_mut().for_each(Vec::clear);
            self.parts.truncate(1);
            self.headings.clear();
            self.y = TOP;
            self.warned = None;
            self.closer = closer;
            self.leading = LINE * closer;
            self.blocks(blocks, most);
            if self.pages.len() < long {
                break;
            }
        }
        self.quota = quota;
    }

    fn blocks(&mut self, blocks: &'a [Block], most: usize) {
        for (at, block) in blocks.iter().enumerate() {
            self.block(block, blocks.get(at + 1..).unwrap_or_default());
            self.next = at + 1;
            // A heading stands with what follows it.
            let is_full = self.pages.len() > most && !matches!(block, Block::Heading(..));
            if is_full || self.unfinished.is_some() {
                return;
            }
        }
    }

    fn page(&mut self) {
        self.pages.push(Vec::new());
        self.y = TOP;
    }

    /// Begins a page where there is no room for so much; a page that holds nothing yet is room enough.
    fn need(&mut self, high: f64) {
        if self.y + high > self.bottom && self.y > TOP {
            self.page();
        }
    }

    fn broken(&self, words: &str, size: f64, room: f64, bold: bool) -> Rows {
        self.lines.of(words, size, room, bold)
    }

    /// Lines of words, the first at a place of its own.
    fn words(&mut self, part: usize, words: &str, (left, room): (f64, f64), (size, bold): (f64, bool)) {
        for line in self.broken(words, size, room, bold).iter() {
            self.need(size * self.leading);
            let at = (left, self.y + size);
            self.put(Some(part), Item::Words { at, text: Rc::clone(line), size, bold });
            self.y += size * self.leading;
        }
    }

    fn block(&mut self, block: &'a Block, rest: &[Block]) {
        let (all, size) = ((self.left, self.width), self.size);
        match block {
            Block::Heading(level, words) => self.heading(*level, words, rest),
            Block::Paragraph(words) => {
                // What leads to the next paragraph stands with its first line.
                if words.ends_with(':') {
                    let lines = self.broken(words, size, self.width, false).len() as f64 + 1.0;
                    self.need((lines * size * self.leading + size * 0.6).min(self.bottom - TOP));
                }
                let part = self.part(Kind::Paragraph, 0);
                self.words(part, words, all, (size, false));
                self.y += size * 0.6;
            }
            Block::Warning(words) => self.warning(words),
            Block::Reminder(cautions) => self.reminder(cautions, rest),
            Block::List { numbered, items } => self.list(*numbered, items),
            Block::Table(table) => self.table(table, self.tied(rest)),
            Block::Figure(drawing) => {
                let most = self.most(drawing);
                // A drawing that nearly fits below what is there is made a little smaller.
                let tied = (self.tied(rest) * 1.1).min(self.bottom / 4.0);
                let fits = (self.bottom - self.y - tied) / drawing.height.max(1.0);
                let scale = if fits < most && fits > most * NEARLY / self.closer { fits } else { most };
                self.need(
                    drawing.height * scale + tied.min((self.bottom - TOP - drawing.height * scale).max(0.0)),
                );
                let part = self.part(Kind::Figure(drawing.description.clone()), 0);
                self.put(Some(part), Item::Drawing { at: (self.left, self.y), scale, drawing });
                self.y += drawing.height * scale + size * 1.2;
            }
            Block::Lines(lines) => {
                let part = self.part(Kind::Paragraph, 0);
                for line in lines {
                    // What is further in stays so, by the blanks before it.
                    let blanks = line.chars().take_while(|c| *c == ' ').count();
                    let indent = (blanks as f64 * size * 0.3).min(self.width / 2.0);
                    let room = (self.left + indent, self.width - indent);
                    self.words(part, line, room, (size * 0.85, false));
                    self.y += if line.trim().is_empty() { size * 0.8 } else { 0.0 };
                }
                self.y += size * 0.6;
            }
            Block::Refs(refs) => self.refs(refs),
            // They begin a section.
            Block::Page | Block::Part(_) => {}
        }
    }

    /// How large a drawing is at most: as it is, enlarged for the wall, or as wide as the page.
    fn scale(&self, drawing: &Drawing) -> f64 {
        (self.width / drawing.width.max(1.0)).min(self.enlarged) * self.closer
    }

    /// The same on a page of its own.
    fn most(&self, drawing: &Drawing) -> f64 {
        self.scale(drawing).min((self.bottom - TOP) / drawing.height.max(1.0) * self.closer)
    }

    /// How large the letters of a heading are, and how much room it takes.
    fn headed(&self, level: u8, words: &str) -> (f64, f64) {
        let size = self.size * [1.9, 1.4, 1.15].get(usize::from(level) - 1).copied().unwrap_or(1.0);
        let lines = self.broken(words, size, self.width, true).len().max(1) as f64;
        (size, lines * size * self.leading + size)
    }

    /// How much of what follows goes with a heading: a drawing, the first rows of a table, the next heading with the
    /// same of its own, a few lines.
    fn keeps_with(&self, rest: &[Block]) -> f64 {
        match rest {
            [Block::Figure(drawing), ..] => {
                drawing.height * self.most(drawing) * (NEARLY / self.closer + 0.01)
            }
            [Block::Heading(level, words), rest @ ..] => {
                let (size, own) = self.headed(*level, words);
                own + size * 0.5 + self.keeps_with(rest)
            }
            // A line that leads to a drawing.
            [Block::Paragraph(_), next @ ..] if matches!(next, [Block::Figure(_), ..]) => {
                self.tied(rest) + self.keeps_with(next)
            }
            [Block::Reminder(cautions), rest @ ..] => self.reminded(cautions) + self.keeps_with(rest),
            [Block::Table(table), rest @ ..] => self.together(table, &self.columns(table), self.tied(rest)),
            _ => KEEP * self.size * self.leading,
        }
    }

    fn heading(&mut self, level: u8, words: &str, rest: &[Block]) {
        let (size, own) = self.headed(level, words);
        self.need((own + self.keeps_with(rest)).min(self.bottom - TOP));
        if self.y > TOP {
            self.y += size * 0.5;
        }
        let page = self.pages.len().saturating_sub(1);
        self.headings.push(Heading { level, words: words.to_owned(), page, top: self.y });
        let part = self.part(Kind::Heading(level, words.to_owned()), 0);
        self.words(part, words, (self.left, self.width), (size, true));
        if level == 2 {
            let y = self.y + 0.4;
            let to = (self.left + self.width, y);
            self.put(None, Item::Rule { from: (self.left, y), to, width: 0.3 });
        }
        self.y += size * 0.4;
    }

    /// Words in a frame with a heavy left side.
    fn warning(&mut self, words: &str) {
        // Large pages leave room for a drawing below.
        let size = if self.enlarged > 1.0 { self.size * 0.8 } else { self.size };
        let lines = self.broken(words, size, self.width - 8.0, true);
        let high = lines.len() as f64 * size * self.leading + 3.0;
        self.need(high.min(self.bottom - TOP));
        self.warns();
        let part = self.part(Kind::Paragraph, 0);
        let (left, right, top) = (self.left, self.left + self.width, self.y);
        self.y += 1.5;
        let page = self.pages.len();
        self.words(part, words, (left + 5.0, self.width - 8.0), (size, true));
        self.y += 1.5;
        // A frame that a page breaks is left out; the words are bold all the same.
        if self.pages.len() == page {
            let bottom = self.y;
            for (from, to, width) in [
                ((left + 1.0, top), (left + 1.0, bottom), 2.0),
                ((left, top), (right, top), 0.3),
                ((right, top), (right, bottom), 0.3),
                ((left, bottom), (right, bottom), 0.3),
            ] {
                self.put(None, Item::Rule { from, to, width });
            }
        }
        self.y += size * 0.7;
    }

    fn list(&mut self, numbered: bool, items: &[String]) {
        let size = self.size;
        let list = self.part(Kind::List { numbered }, 0);
        let lead = width(&format!("{}.", items.len()), size, false).max(size) + 2.0;
        for (number, item) in (1u64..).zip(items) {
            if self.unfinished.is_some() {
                return;
            }
            let lines = self.broken(item, size, self.width - lead, false).len().max(1) as f64;
            self.need((lines * size * self.leading).min(self.bottom - TOP));
            let part = self.part(Kind::Item, list);
            let label = self.part(Kind::Label, part);
            let text = if numbered { format!("{number}.").into() } else { "•".into() };
            let at = (self.left, self.y + size);
            self.put(Some(label), Item::Words { at, text, size, bold: false });
            let body = self.part(Kind::Body, part);
            self.words(body, item, (self.left + lead, self.width - lead), (size, false));
            self.y += size * 0.35;
        }
        self.y += size * 0.5;
    }
}
