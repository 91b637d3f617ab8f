//! The handbook as PDF: contents and index with page numbers, bookmarks, links.

use std::io;

use super::{CONTENTS, INDEX, INDEX_WORDS, TITLE, drawing_of, elsewhere, files, near, synonyms};
use crate::drawing::Paper;
use crate::help::docs::{area_name, foreword, rule_doc, rules_of};
use crate::library::Entry;
use crate::report::pages::{self, Block, Document, Ref, Refs, Style, Target};
use crate::report::quota::Quota;

/// Levels of headings.
const AREA: u8 = 2;
const RULE: u8 = 3;
const PART: u8 = 4;

/// The handbook of one area, or of all, as the bytes of a PDF; `None` where no area has this name.
pub fn pdf(area: Option<&str>, paper: Paper) -> Option<io::Result<Vec<u8>>> {
    Some(pages::pdf(document(&files(area)?, paper), &Quota::none()))
}

fn document(files: &[usize], paper: Paper) -> Document {
    let style = Style { paper, ..Style::default() };
    let mut blocks = vec![Block::Heading(1, TITLE.to_owned())];
    let all = files.len() > 1;
    blocks.push(Block::Heading(AREA, CONTENTS.to_owned()));
    blocks.push(Block::Refs(Refs { columns: 3, rows: contents(files, all) }));
    for file in files {
        if all {
            blocks.push(Block::Page);
        }
        blocks.push(Block::Heading(AREA, area_name(*file).to_owned()));
        blocks.push(Block::Paragraph(plain(&foreword(*file))));
        for (name, entry) in rules_of(*file) {
            rule(name, entry, files, &mut blocks);
        }
    }
    if all {
        blocks.push(Block::Page);
        blocks.push(Block::Heading(AREA, INDEX.to_owned()));
        blocks.push(Block::Paragraph(INDEX_WORDS.to_owned()));
        let mut rows = Vec::new();
        for (said, rules) in synonyms() {
            rows.push(Ref { words: said.to_owned(), bold: true, ..Ref::default() });
            rows.extend(rules.into_iter().map(|rule| to(rule, 1, files)));
        }
        blocks.push(Block::Refs(Refs { columns: 3, rows }));
    }
    Document { title: TITLE.to_owned(), blocks, style }
}

/// The index, and every area with its rules.
fn contents(files: &[usize], all: bool) -> Vec<Ref> {
    let heading = |words: &str| Ref {
        words: words.to_owned(),
        indent: 0,
        bold: true,
        to: Some(Target { level: AREA, words: words.to_owned() }),
    };
    let mut rows: Vec<Ref> = all.then(|| heading(INDEX)).into_iter().collect();
    for file in files {
        rows.push(heading(area_name(*file)));
        rows.extend(rules_of(*file).map(|(rule, _)| to(rule, 1, files)));
    }
    rows
}

/// The way to a rule; the area's name where it is in another handbook.
fn to(rule: &str, indent: u8, files: &[usize]) -> Ref {
    match elsewhere(rule, files) {
        None => {
            let to = Some(Target { level: RULE, words: rule.to_owned() });
            Ref { words: rule.to_owned(), indent, bold: false, to }
        }
        Some(area) => Ref { words: format!("{rule} (in {area})"), indent, ..Ref::default() },
    }
}

fn rule(name: &str, entry: &Entry, files: &[usize], blocks: &mut Vec<Block>) {
    let doc = rule_doc(name, entry);
    let rows = |rows: &[&str]| Block::Lines(rows.iter().map(|row| (*row).to_owned()).collect());
    blocks.push(Block::Heading(RULE, name.to_owned()));
    blocks.push(Block::Lines(vec![doc.heading.clone()]));
    blocks.push(Block::Paragraph(plain(&doc.words)));
    blocks.extend(drawing_of(name).map(|drawing| Block::Figure(Box::new(drawing))));
    for (title, text) in [("Examples", &doc.examples), ("Formula", &doc.formula)] {
        blocks.push(Block::Heading(PART, title.to_owned()));
        blocks.push(rows(text));
    }
    blocks.push(Block::Paragraph(format!("Source: {}", doc.sources.join("; "))));
    blocks.push(Block::Heading(PART, "See also".to_owned()));
    let rows = near(name, &doc).into_iter().map(|other| to(other, 0, files)).collect();
    blocks.push(Block::Refs(Refs { columns: 3, rows }));
}

/// Words without the quotes round code.
fn plain(words: &str) -> String {
    words.replace('`', "")
}
