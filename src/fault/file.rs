//! Source files and places in them.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::cell::OnceCell;

/// Which file of a [`Files`] a span is in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A run of bytes in a source file, start inclusive, end exclusive.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The file.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span over `start..end` of `file`; offsets beyond 4 GiB are clipped.
    pub fn new(file: FileId, start: usize, end: usize) -> Span {
        let clip = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Span { file, start: clip(start), end: clip(end) }
    }

    /// The smallest span that covers both; `other` must be in the same file.
    #[must_use]
    pub fn to(self, other: Span) -> Span {
        Span { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The empty span just after this one.
    #[must_use]
    pub fn behind(self) -> Span {
        Span { start: self.end, ..self }
    }

    /// The bytes as a range.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A line and a column, both counted from one; the column counts characters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Line number.
    pub line: usize,
    /// Column in characters.
    pub column: usize,
}

/// A source text with its name.
#[derive(Debug)]
pub struct File {
    name: String,
    text: String,
    library: bool,
    line_starts: OnceCell<Vec<usize>>,
}

impl File {
    /// A file of the user's.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> File {
        File { name: name.into(), text: text.into(), library: false, line_starts: OnceCell::new() }
    }

    /// A file of the embedded library: its lines are shown after the caller's.
    pub fn library(name: impl Into<String>, text: impl Into<String>) -> File {
        File { library: true, ..File::new(name, text) }
    }

    /// The name shown in a fault.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether it belongs to the embedded library.
    pub fn is_library(&self) -> bool {
        self.library
    }

    /// The line and column of a byte; a byte past the end gives the end.
    pub fn place(&self, byte: usize) -> Place {
        let starts = self.line_starts();
        let byte = floor(&self.text, byte);
        let line = starts.partition_point(|start| *start <= byte);
        let start = line.checked_sub(1).and_then(|row| starts.get(row)).copied().unwrap_or(0);
        let column = self.text.get(start..byte).map_or(1, |before| before.chars().count() + 1);
        Place { line, column }
    }

    /// The bytes of a line, counted from one, without its end; nothing where there is no such line.
    pub fn line(&self, number: usize) -> std::ops::Range<usize> {
        let starts = self.line_starts();
        let Some(start) = number.checked_sub(1).and_then(|row| starts.get(row)).copied() else {
            return 0..0;
        };
        let next = starts.get(number).copied().unwrap_or(self.text.len());
        let line = self.slice(start..next);
        let line = line.strip_suffix('\n').unwrap_or(line);
        start..start + line.strip_suffix('\r').unwrap_or(line).len()
    }

    fn line_starts(&self) -> &[usize] {
        self.line_starts.get_or_init(|| {
            let breaks = self.text.bytes().enumerate().filter(|(_, b)| *b == b'\n');
            std::iter::once(0).chain(breaks.map(|(at, _)| at + 1)).collect()
        })
    }

    /// The text of a range, or nothing where the range does not fit the file.
    pub fn slice(&self, range: std::ops::Range<usize>) -> &str {
        self.text.get(range).unwrap_or("")
    }
}

/// The last boundary between characters that is not past `byte`.
pub(super) fn floor(text: &str, byte: usize) -> usize {
    (0..=byte.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
}

/// All the files of a run.
#[derive(Debug, Default)]
pub struct Files {
    files: Vec<File>,
}

impl Files {
    /// No files yet.
    pub fn new() -> Files {
        Files::default()
    }

    /// Adds a file and gives its number.
    pub fn add(&mut self, file: File) -> FileId {
        let id = FileId(u32::try_from(self.files.len()).unwrap_or(u32::MAX));
        self.files.push(file);
        id
    }

    /// How long the texts are together, those of the library left out.
    pub fn bytes(&self) -> usize {
        self.files.iter().filter(|file| !file.is_library()).map(|file| file.text().len()).sum()
    }

    /// The file with this number.
    pub fn get(&self, id: FileId) -> Option<&File> {
        self.files.get(id.0 as usize)
    }

    /// The text under a span, or nothing where the file is unknown.
    pub fn text(&self, span: Span) -> &str {
        self.get(span.file).map_or("", |file| file.slice(span.range()))
    }

    /// The text under a span on one row.
    pub fn one_row(&self, span: Span) -> String {
        self.text(span).split_whitespace().collect::<Vec<_>>().join(" ")
    }
}
