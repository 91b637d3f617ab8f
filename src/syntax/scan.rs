//! A linear scan before the grammar: where each logical line begins and ends, and whether its brackets
//! close, so that a fault in one line never hides another and no nesting can exhaust the stack.
#![expect(
    clippy::arithmetic_side_effects,
    reason = "byte places and counts of them, bounded by the text's length"
)]

use std::ops::Range;

use crate::limits::{CHAIN, LINE, NESTING};

/// How many unclosed brackets are reported at most.
const MOST_UNCLOSED: usize = 20;

/// A logical line: one statement, which may run over several rows of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Logical {
    /// Its bytes, comments inside included.
    pub range: Range<usize>,
    /// The `##` rows right above it.
    pub doc: Option<Range<usize>>,
    /// How many brackets and operators hang on each other at most: what reading it costs in stack.
    pub depth: usize,
    /// Whether it waits for more: it ends in an operator, a comma or the like.
    pub waits: bool,
    /// Whether it is the last of the text.
    pub last: bool,
}

/// What is wrong with the brackets and texts of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// An opening bracket without its end.
    Unclosed(usize),
    /// A text without its end.
    OpenText(usize),
    /// A `{` of a text without its end: where the text begins, and where the trouble shows.
    OpenFill(usize, usize),
    /// A closing bracket that closes nothing.
    Stray(usize),
    /// A closing bracket of another kind than the open one: where it is, and the opener.
    Mismatch(usize, usize),
    /// Nested too deep.
    TooDeep(usize),
    /// Too many operators in a chain.
    TooLong(usize),
    /// A statement longer than a statement may be.
    HugeLine(usize),
}

/// What the scan found.
#[derive(Debug, Default)]
pub struct Scanned {
    /// The lines that can be read further.
    pub lines: Vec<Logical>,
    /// What is wrong, in order, each with the start of its line.
    pub flaws: Vec<(Flaw, Range<usize>)>,
    /// Whether the text ends in an open bracket.
    pub open_end: bool,
}

impl Scanned {
    /// Where the first bracket opens that is still open at the end of the text.
    pub fn opened_at(&self) -> Option<usize> {
        let opener = |(flaw, _): &(Flaw, Range<usize>)| match flaw {
            Flaw::Unclosed(at) => Some(*at),
            _ => None,
        };
        self.flaws.iter().find_map(opener).filter(|_| self.open_end)
    }
}

/// An open bracket, or a text that holds one.
#[derive(Clone, Copy)]
struct Open {
    byte: u8,
    at: usize,
    /// Operators met at this level since the last comma.
    chain: usize,
}

struct Scanner<'a> {
    bytes: &'a [u8],
    at: usize,
    end: usize,
    open: Vec<Open>,
    chain: usize,
    active: usize,
    deepest: usize,
    flaw: Option<Flaw>,
    /// The last byte that is neither blank nor comment, and the start of the last word.
    last: Option<usize>,
}

/// Scans the bytes of `range`.
pub fn scan(text: &str, range: Range<usize>) -> Scanned {
    let mut found = Scanned::default();
    let end = range.end.min(text.len());
    let mut at = range.start;
    let mut doc: Option<Range<usize>> = None;
    let mut unclosed = 0;
    while at < end {
        let row = row_end(text.as_bytes(), at, end);
        let start = skip_blanks(text.as_bytes(), at, row);
        let rest = text.as_bytes().get(start..row).unwrap_or(&[]);
        if rest.is_empty() {
            doc = None;
        } else if rest.starts_with(b"##") {
            let from = doc.as_ref().map_or(start, |doc| doc.start);
            doc = Some(from..row);
        } else if rest.starts_with(b"#") {
            doc = None;
        } else {
            let mut scanner = Scanner::new(text.as_bytes(), start, end);
            let line_end = scanner.line();
            let line = start..line_end;
            at = next_row(text.as_bytes(), line_end, end);
            match scanner.flaw {
                None if line.len() > LINE => found.flaws.push((Flaw::HugeLine(start), line)),
                None => found.lines.push(Logical {
                    waits: scanner.waits(),
                    last: at >= end,
                    range: line,
                    doc: doc.take(),
                    depth: scanner.deepest,
                }),
                Some(flaw) => {
                    if let Flaw::Unclosed(opener) = flaw
                        && scanner.at >= end
                    {
                        // The bracket swallowed all that follows: go on after its own row.
                        found.open_end = true;
                        unclosed += 1;
                        at = next_row(text.as_bytes(), row_end(text.as_bytes(), opener, end), end);
                        if unclosed > MOST_UNCLOSED {
                            at = end;
                        }
                    }
                    found.flaws.push((flaw, line));
                }
            }
            doc = None;
            continue;
        }
        at = next_row(text.as_bytes(), row, end);
    }
    found
}

fn row_end(bytes: &[u8], at: usize, end: usize) -> usize {
    let rest = bytes.get(at..end).unwrap_or(&[]);
    rest.iter().position(|byte| *byte == b'\n').map_or(end, |n| at + n)
}

/// Whether a row begins with a name and `=`.
fn gives_a_name(row: &[u8]) -> bool {
    let letters =
        row.iter().take_while(|byte| byte.is_ascii_alphanumeric() || **byte == b'_' || **byte >= 0x80);
    let name = letters.count();
    let behind = row.get(name..).unwrap_or(&[]).trim_ascii_start();
    name > 0 && behind.first() == Some(&b'=') && behind.get(1) != Some(&b'=')
}

fn next_row(bytes: &[u8], at: usize, end: usize) -> usize {
    if bytes.get(at) == Some(&b'\n') { at + 1 } else { row_end(bytes, at, end).saturating_add(1) }
}

/// Blanks, no-break spaces and a byte-order mark.
fn skip_blanks(bytes: &[u8], mut at: usize, end: usize) -> usize {
    while at < end {
        let rest = bytes.get(at..end).unwrap_or(&[]);
        at += match rest {
            [b' ' | b'\t' | b'\r', ..] => 1,
            [0xC2, 0xA0, ..] => 2,
            [0xE2, 0x80, 0xAF | 0x89, ..] | [0xEF, 0xBB, 0xBF, ..] => 3,
            _ => return at,
        };
    }
    at
}

impl<'a> Scanner<'a> {
    fn new(bytes: &'a [u8], at: usize, end: usize) -> Scanner<'a> {
        Scanner { bytes, at, end, open: Vec::new(), chain: 0, active: 0, deepest: 0, flaw: None, last: None }
    }

    fn byte(&self, at: usize) -> u8 {
        if at < self.end { self.bytes.get(at).copied().unwrap_or(0) } else { 0 }
    }

    fn blame(&mut self, flaw: Flaw) {
        self.flaw.get_or_insert(flaw);
    }

    /// Scans one logical line; gives where it ends, before its line break.
    fn line(&mut self) -> usize {
        while self.at < self.end {
            let byte = self.byte(self.at);
            match byte {
                b'\n' => {
                    if self.open.is_empty() && !self.goes_on() {
                        return self.trimmed();
                    }
                    if !self.open.is_empty() && self.new_statement() {
                        break;
                    }
                    self.at += 1;
                }
                b'#' => {
                    self.at = row_end(self.bytes, self.at, self.end);
                    continue;
                }
                b'"' | 0xE2 if !self.is_mark() && self.opens_text() => self.text(),
                _ => self.code(byte),
            }
        }
        if let Some(open) = self.open.last() {
            let flaw = Flaw::Unclosed(open.at);
            self.blame(flaw);
        }
        self.trimmed()
    }

    /// One byte outside texts.
    fn code(&mut self, byte: u8) {
        match byte {
            b' ' | b'\t' | b'\r' => {
                self.at += 1;
                return;
            }
            b'(' | b'[' | b'{' => {
                if self.hangs_on() {
                    self.operator();
                }
                self.push(byte);
            }
            b')' | b']' | b'}' => {
                self.last = Some(self.at);
                self.close(byte);
                return;
            }
            b',' => {
                self.active -= self.chain.min(self.active);
                self.chain = 0;
            }
            b'+' | b'-' | b'*' | b'/' | b'^' | b'<' | b'>' => self.operator(),
            b'.' if self.hangs_on() => self.operator(),
            b'a'..=b'z' => return self.word(),
            _ => {}
        }
        self.last = Some(self.at);
        self.at += 1;
    }

    /// Words that nest or chain count like brackets and operators.
    fn word(&mut self) {
        let start = self.at;
        let quote = |at: usize| matches!(self.bytes.get(at..at + 3), Some([0xE2, 0x80, 0x9C..=0x9E]));
        loop {
            match self.byte(self.at) {
                0xE2 if quote(self.at) => break,
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'_' | 0x80.. => self.at += 1,
                _ => break,
            }
        }
        self.last = Some(self.at - 1);
        let word = self.bytes.get(start..self.at).unwrap_or(&[]);
        if matches!(
            word,
            b"if"
                | b"each"
                | b"not"
                | b"how"
                | b"and"
                | b"or"
                | b"is"
                | b"by"
                | b"of"
                | b"up"
                | b"down"
                | b"nearest"
                | b"shown"
        ) {
            self.operator();
        }
    }

    /// Whether what is here belongs to a value right before it: `.part`, `[1]`, `(…)`.
    fn hangs_on(&self) -> bool {
        let before = self.at.checked_sub(1).map_or(0, |at| self.byte(at));
        matches!(before, b'a'..=b'z' | b'A'..=b'Z' | b'_' | b')' | b']' | b'}' | 0x80..)
    }

    fn operator(&mut self) {
        self.chain += 1;
        self.active += 1;
        self.deepest = self.deepest.max(self.active + self.open.len());
        if self.active > CHAIN {
            self.blame(Flaw::TooLong(self.at));
        }
    }

    fn push(&mut self, byte: u8) {
        self.open.push(Open { byte, at: self.at, chain: self.chain });
        self.chain = 0;
        self.deepest = self.deepest.max(self.active + self.open.len());
        if self.open.len() > NESTING {
            let at = self.at;
            self.blame(Flaw::TooDeep(at));
        }
    }

    fn close(&mut self, byte: u8) {
        let at = self.at;
        self.at += 1;
        let Some(open) = self.open.pop() else {
            return self.blame(Flaw::Stray(at));
        };
        self.active -= self.chain.min(self.active);
        self.chain = open.chain;
        let pair = match open.byte {
            b'(' => b')',
            b'[' => b']',
            _ => b'}',
        };
        if byte != pair {
            self.blame(Flaw::Mismatch(at, open.at));
        } else if open.byte == b'"' {
            // The end of a `{…}` inside a text: the text goes on.
            self.inside_text(open.at);
        }
    }

    /// A quote right after a digit, a fraction or a foot's figure is an inch mark.
    fn is_mark(&self) -> bool {
        let before = self.at.checked_sub(1).map_or(0, |at| self.byte(at));
        if before.is_ascii_digit() {
            return true;
        }
        let tail = self.bytes.get(self.at.saturating_sub(3)..self.at).unwrap_or(&[]);
        matches!(tail, [_, 0xC2, 0xBC..=0xBE] | [0xE2, 0x85, 0x90..=0x9E])
    }

    /// A straight quote, or a curly one that opens: `“`, `„`.
    fn opens_text(&self) -> bool {
        let three = self.bytes.get(self.at..self.at + 3);
        self.byte(self.at) == b'"' || matches!(three, Some([0xE2, 0x80, 0x9C | 0x9E]))
    }

    /// How long the quote is that is here, if it ends the text that begins at `opener`.
    fn closes(&self, opener: usize) -> Option<usize> {
        let quote = |at: usize| self.bytes.get(at..at + 3).unwrap_or(&[]);
        match (self.byte(opener), quote(opener), quote(self.at)) {
            (b'"', ..) => (self.byte(self.at) == b'"').then_some(1),
            (_, [.., 0x9E], [0xE2, 0x80, 0x9C | 0x9D]) | (_, _, [0xE2, 0x80, 0x9D]) => Some(3),
            _ => None,
        }
    }

    fn text(&mut self) {
        let opener = self.at;
        self.at += 1;
        self.inside_text(opener);
    }

    /// From inside a text to its end, or to a `{…}` in it.
    fn inside_text(&mut self, opener: usize) {
        while self.at < self.end {
            if !matches!(self.byte(self.at), b'"' | 0xE2 | b'\\' | b'{' | b'\n') {
                self.at += 1;
                continue;
            }
            if let Some(length) = self.closes(opener) {
                self.at += length;
                self.last = Some(self.at - 1);
                return;
            }
            match self.byte(self.at) {
                b'\\' if self.byte(self.at + 1) != b'\n' => self.at += 2,
                b'{' if self.byte(self.at + 1) == b'{' => self.at += 2,
                b'{' => {
                    self.push(b'"');
                    if let Some(open) = self.open.last_mut() {
                        open.at = opener;
                    }
                    self.at += 1;
                    return;
                }
                b'\n' => return self.open_text(opener),
                _ => self.at += 1,
            }
        }
        self.open_text(opener);
        self.at = self.end;
    }

    /// A text that does not end; inside a `{…}` of another text that one is to blame.
    fn open_text(&mut self, opener: usize) {
        let fill = self.open.iter().find(|open| open.byte == b'"').map(|open| open.at);
        self.blame(fill.map_or(Flaw::OpenText(opener), |text| Flaw::OpenFill(text, opener)));
        self.open.clear();
    }

    /// Where the line ends, blanks and comments after it left out.
    fn trimmed(&self) -> usize {
        self.last.map_or(self.at, |last| last + 1).min(self.end)
    }

    /// Whether the line waits for more: its last word or sign asks for an operand.
    fn waits(&self) -> bool {
        let Some(last) = self.last else { return false };
        match self.byte(last) {
            b'+' | b'*' | b'/' | b'^' | b'<' | b'>' | b',' | b'=' | b'-' | b':' => true,
            b'a'..=b'z' => {
                let mut start = last;
                while start > 0
                    && matches!(self.byte(start - 1), b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'_' | b'.' | 0x80..)
                {
                    start -= 1;
                }
                let word = self.bytes.get(start..=last).unwrap_or(&[]);
                matches!(
                    word,
                    b"then"
                        | b"else"
                        | b"and"
                        | b"or"
                        | b"not"
                        | b"is"
                        | b"by"
                        | b"of"
                        | b"nearest"
                        | b"up"
                        | b"down"
                        | b"to"
                        | b"from"
                        | b"every"
                )
            }
            _ => false,
        }
    }

    /// Whether the row below belongs to this line.
    fn goes_on(&self) -> bool {
        if self.waits() {
            return self.something_follows();
        }
        let (start, row) = self.next_row();
        let word = self.bytes.get(start..row).unwrap_or(&[]);
        let begins = |what: &[u8]| {
            word.starts_with(what)
                && !matches!(word.get(what.len()), Some(b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'_'))
        };
        begins(b"then") || begins(b"else")
    }

    fn something_follows(&self) -> bool {
        let (start, row) = self.next_row();
        start < row
    }

    /// The start and end of the next row that holds more than blanks and comments.
    fn next_row(&self) -> (usize, usize) {
        let mut at = self.at;
        loop {
            at = next_row(self.bytes, at, self.end);
            if at >= self.end {
                return (self.end, self.end);
            }
            let row = row_end(self.bytes, at, self.end);
            let start = skip_blanks(self.bytes, at, row);
            // Rows of comment are passed over; an empty row ends a line, whatever it waits for.
            if self.byte(start) != b'#' || start == row {
                return (start, row);
            }
            at = row;
        }
    }

    /// Whether the row below begins a new statement although a bracket is open: a line word or a name
    /// being given in the first column says that the bracket was forgotten.
    fn new_statement(&self) -> bool {
        let start = self.at + 1;
        let row = row_end(self.bytes, start, self.end);
        let word = self.bytes.get(start..row).unwrap_or(&[]);
        let line_word = super::words::LINE_WORDS.iter().any(|line| {
            let behind = word.get(line.len()).copied();
            word.starts_with(line.as_bytes()) && matches!(behind, Some(b' ' | b'\t'))
        });
        // Names are given in braces too, never inside `(` or `[`.
        let names = || self.open.last().is_some_and(|open| open.byte != b'{') && gives_a_name(word);
        line_word || names()
    }
}
