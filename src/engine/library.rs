//! The embedded library: indexed by a quick scan, each rule read only when a recipe calls it.

use std::collections::BTreeMap;
use std::ops::Range;
use std::sync::OnceLock;

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
    "elastic",
    "fastenings",
    "zips",
    "linings",
    "bags",
    "toys",
    "enlarging",
    "linens",
    "curtains",
    "trims",
    "motifs",
    "swatches",
    "classes",
    "cautions",
);

/// A rule of the library, not yet read.
#[derive(Clone, Debug)]
pub struct Entry {
    /// Index into [`FILES`].
    pub file: usize,
    /// The `##` text above it.
    pub doc: Range<usize>,
    /// The rule itself, from `rule` to its last line.
    pub rule: Range<usize>,
}

impl Entry {
    /// The rule's text.
    pub fn text(&self) -> &'static str {
        slice(self.file, &self.rule)
    }

    /// The documentation as written, `##` marks included.
    pub fn doc_text(&self) -> &'static str {
        slice(self.file, &self.doc)
    }
}

fn slice(file: usize, range: &Range<usize>) -> &'static str {
    FILES.get(file).and_then(|(_, text)| text.get(range.clone())).unwrap_or("")
}

/// Every rule by name.
pub fn index() -> &'static BTreeMap<&'static str, Entry> {
    static INDEX: OnceLock<BTreeMap<&'static str, Entry>> = OnceLock::new();
    INDEX.get_or_init(|| {
        let mut rules = BTreeMap::new();
        for (file, (_, text)) in FILES.iter().enumerate() {
            scan(file, text, &mut rules);
        }
        rules
    })
}

/// Finds the rules of one file: a rule begins at `rule ` in the first column and ends before the
/// next line that begins in the first column with anything but a closing bracket.
fn scan(file: usize, text: &'static str, rules: &mut BTreeMap<&'static str, Entry>) {
    let mut doc_start = None;
    let mut open: Option<(&'static str, Entry)> = None;
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        let start = at;
        at += line.len();
        let first = line.bytes().next().unwrap_or(b'\n');
        if matches!(first, b' ' | b'\t' | b'}' | b')' | b']') {
            if let Some((_, entry)) = &mut open {
                entry.rule.end = at;
            }
            continue;
        }
        if let Some((name, entry)) = open.take() {
            rules.insert(name, entry);
        }
        if line.starts_with("##") {
            doc_start.get_or_insert(start);
            continue;
        }
        if let Some(heading) = line.strip_prefix("rule ") {
            let end = heading.find(|c: char| !(c.is_alphanumeric() || c == '_')).unwrap_or(heading.len());
            let name = heading.get(..end).unwrap_or("");
            let doc = doc_start.unwrap_or(start)..start;
            open = Some((name, Entry { file, doc, rule: start..at }));
        }
        doc_start = None;
    }
    if let Some((name, entry)) = open {
        rules.insert(name, entry);
    }
}
