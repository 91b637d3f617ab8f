//! The embedded library: indexed by a quick scan, each rule read only when a recipe calls it.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::OnceLock;

use memchr::memmem::Finder;

/// Embeds the files of `stdlib/`.
macro_rules! embedded {
    ($($name:literal,)*) => {
        &[$((concat!($name, ".scant"), include_str!(concat!("../../stdlib/", $name, ".scant"))),)*]
    };
}

/// The library's files, in the order in which help lists them.
pub const FILES: &[(&str, &str)] = embedded!(
    "cloth",
    "seams",
    "hems",
    "strips",
    "binding",
    "bias",
    "tucks",
    "pleats",
    "gathers",
    "spacing",
    "bands",
    "corners",
    "grids",
    "triangles",
    "slanted",
    "backing",
    "skirts",
    "slack",
    "waistbands",
    "darts",
    "sleeves",
    "elastic",
    "fastenings",
    "zips",
    "lacing",
    "linings",
    "bags",
    "toys",
    "enlarging",
    "aprons",
    "cushions",
    "linens",
    "beds",
    "curtains",
    "trims",
    "motifs",
    "swatches",
    "classes",
    "drawings",
    "cautions",
);

/// What people say, and the library's words for it: a row each, `zipper: zip`.
pub const SYNONYMS: &str = include_str!("../../stdlib/synonyms.txt");

/// What people ask when they mean a rule, one rule a row.
pub const ASKED: &str = include_str!("../../stdlib/asked.txt");

/// A rule of the library, not yet read.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// Index into [`FILES`].
    pub file: usize,
    /// Where its `rule` is in the file.
    pub start: usize,
}

impl Entry {
    fn file_text(&self) -> &'static str {
        FILES.get(self.file).map_or("", |(_, text)| text)
    }

    /// Where the rule is: it ends before the next line that begins in the first column with
    /// anything but a closing bracket.
    pub fn rule(&self) -> Range<usize> {
        let behind = self.file_text().get(self.start..).unwrap_or("");
        let goes_on = |line: &str| line.starts_with([' ', '\t', '}', ')', ']']);
        let mut lines = behind.split_inclusive('\n');
        let heading = lines.next().map_or(0, str::len);
        let rest: usize = lines.take_while(|line| goes_on(line)).map(str::len).sum();
        self.start..self.start + heading + rest
    }

    /// The rule's text.
    pub fn text(&self) -> &'static str {
        self.file_text().get(self.rule()).unwrap_or("")
    }

    /// The documentation as written above it, `##` marks included.
    pub fn doc_text(&self) -> &'static str {
        let above = self.file_text().get(..self.start).unwrap_or("");
        let doc = above.split_inclusive('\n').rev().take_while(|line| line.starts_with("##"));
        let start = self.start - doc.map(str::len).sum::<usize>();
        self.file_text().get(start..self.start).unwrap_or("")
    }
}

/// Every rule by name.
pub fn index() -> &'static BTreeMap<&'static str, Entry> {
    static INDEX: OnceLock<BTreeMap<&'static str, Entry>> = OnceLock::new();
    INDEX.get_or_init(|| {
        let headings = Finder::new("\nrule ");
        FILES.iter().enumerate().flat_map(|(file, (_, text))| scan(&headings, file, text)).collect()
    })
}

/// Finds the rules of one file by their headings, `rule ` in the first column. Every start of the
/// program looks through the whole library, so that nothing else is read here.
fn scan(
    headings: &Finder<'_>,
    file: usize,
    text: &'static str,
) -> impl Iterator<Item = (&'static str, Entry)> {
    let begins = text.starts_with("rule ").then_some(0);
    let later = headings.find_iter(text.as_bytes()).map(|at| at + 1);
    begins.into_iter().chain(later).map(move |start| {
        let heading = text.get(start + "rule ".len()..).unwrap_or("");
        let end = heading.find('(').unwrap_or(heading.len());
        (heading.get(..end).unwrap_or(""), Entry { file, start })
    })
}
