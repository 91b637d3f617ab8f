//! The library as a handbook, a section an area: Markdown, one HTML page, or PDF.

mod html;
mod markdown;
mod paper;

use crate::drawing::{Drawing, picture};
use crate::help::docs::{RuleDoc, area_name, area_named, areas};
use crate::help::pictures::picture_of;
use crate::help::search::{Found, search};
use crate::library;

pub use paper::pdf;

/// What a handbook is written in, where that is text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pages {
    /// Markdown
    Markdown,
    /// HTML, one page that needs nothing else
    Html,
}

/// A drawing of a rule takes so many mm at most.
const ROOM: (f64, f64) = (150.0, 130.0);

const TITLE: &str = "The rules of the library";
const CONTENTS: &str = "Contents";
const INDEX: &str = "What it may be called elsewhere";
const INDEX_WORDS: &str = "Words that people use, and the rules that help finds for them.";

/// A word leads to so many rules at most.
const MOST: usize = 4;

/// The handbook of one area, or of all; `None` where no area has this name.
pub fn handbook(area: Option<&str>, pages: Pages) -> Option<String> {
    let files = files(area)?;
    Some(match pages {
        Pages::Markdown => markdown::markdown(&files),
        Pages::Html => html::html(&files),
    })
}

fn files(area: Option<&str>) -> Option<Vec<usize>> {
    Some(match area {
        Some(name) => vec![area_named(name)?],
        None => areas().collect(),
    })
}

/// What a rule is drawn as.
fn drawing_of(rule: &str) -> Option<Drawing> {
    picture_of(rule).map(|found| picture(&found, ROOM))
}

/// The area of a rule that is on another page.
fn elsewhere(name: &str, files: &[usize]) -> Option<&'static str> {
    let file = library::index().get(name)?.file;
    (!files.contains(&file)).then(|| area_name(file))
}

/// The neighbours of a rule: those that it works with, and the two before and after it in its area.
fn near(name: &str, doc: &RuleDoc) -> Vec<&'static str> {
    let own = library::index().get(name).map_or(0, |entry| entry.start);
    let before = |other: &&&str| library::index().get(**other).is_some_and(|entry| entry.start < own);
    let at = doc.beside.iter().filter(before).count();
    let end = at.saturating_add(2).min(doc.beside.len());
    let side = doc.beside.get(at.saturating_sub(2)..end).unwrap_or(&[]);
    let others = side.iter().filter(|other| !doc.with.contains(other));
    doc.with.iter().chain(others).copied().collect()
}

/// What people say in place of the library's words, in alphabetical order, and the rules that it may mean.
fn synonyms() -> Vec<(&'static str, Vec<&'static str>)> {
    let said = |row: &'static str| {
        let (said, _) = row.split_once(": ").filter(|_| !row.starts_with('#'))?;
        let found = search(said, 2 * MOST).into_iter().filter_map(|found| match found {
            Found::Rule(name, _) => Some(name),
            Found::Topic(_) | Found::Builtin(_) => None,
        });
        Some((said, found.take(MOST).collect::<Vec<_>>()))
    };
    let mut all: Vec<_> = library::SYNONYMS.lines().filter_map(said).collect();
    all.retain(|(_, rules)| !rules.is_empty());
    all.sort_by_key(|(said, _)| said.to_lowercase());
    all.dedup_by_key(|(said, _)| *said);
    all
}
