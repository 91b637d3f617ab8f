//! Reading a text: the scan finds the lines, the grammar reads each, faults of all are gathered.

mod ask;
mod cloth;
mod docs;
mod lines;

use std::ops::Range;
use std::rc::Rc;
use std::sync::atomic::{AtomicBool, Ordering};

use pest::Parser;
use pest::iterators::{Pair, Pairs};

use crate::fault::{Code, Fault, FileId, Span};
use crate::limits::FAULTS;
use crate::syntax::climb::{Climber, Grammar, Rule};
use crate::syntax::phrases::{self, Trouble};
use crate::syntax::scan::{Logical, scan};
use crate::syntax::tree::{Expr, Line, LineKind, SizeRow, Sizes, Tree};
use crate::syntax::words::{first_word, is_word};
use crate::syntax::{complain, lacking};

/// What a text was read into.
#[derive(Debug, Default)]
pub struct Read {
    /// All lines that could be read.
    pub tree: Tree,
    /// All faults, in order.
    pub faults: Vec<Fault>,
    /// Whether the only trouble is that the text ends too early: in an open bracket, or behind an
    /// operator. The prompt asks for another row then.
    pub unfinished: bool,
}

/// Depth from which a line is read on a stack of its own that is sure to be large enough.
const ROOMY: usize = 20;
/// That stack, in bytes: ample for the deepest line the scan lets through, in an unoptimised build too.
/// Only what is used of it is ever taken from the machine.
const ROOM: usize = 64 << 20;
/// How often a line that cannot be read is read again in other words.
const TRIES: usize = 100;

/// Reads a whole file.
pub fn read(file: FileId, text: &str) -> Read {
    read_on(file, text, false)
}

/// Reads a whole file; with `in_sizes` its first rows may be those of a `sizes` line before it.
pub fn read_on(file: FileId, text: &str, in_sizes: bool) -> Read {
    read_until(file, text, in_sizes, &AtomicBool::new(false))
}

/// As [`read_on`], until it is told to stop.
pub fn read_until(file: FileId, text: &str, in_sizes: bool, stop: &AtomicBool) -> Read {
    read_lines(file, text, 0..text.len(), in_sizes, stop)
}

/// Reads a part of a file; places are those of the whole file.
pub fn read_at(file: FileId, text: &str, range: Range<usize>) -> Read {
    read_lines(file, text, range, false, &AtomicBool::new(false))
}

fn read_lines(file: FileId, text: &str, range: Range<usize>, in_sizes: bool, stop: &AtomicBool) -> Read {
    let end = range.end;
    let scanned = scan(text, range);
    let mut reader = Reader::new(file, text, in_sizes);
    let opened = scanned.opened_at();
    // An indented row behind a bracket that is never closed belongs into it: nothing more is said of it.
    let within = |start: usize| {
        let indented = text.get(..start).is_some_and(|before| before.ends_with([' ', '\t']));
        indented && opened.is_some_and(|opener| start > opener)
    };
    for (flaw, line) in scanned.flaws.iter().filter(|(_, line)| !within(line.start)) {
        reader.faults.push(complain::flaw(*flaw, line.clone(), file, text));
        reader.spoiled.extend(named(text.get(line.clone()).unwrap_or("")));
    }
    for line in &scanned.lines {
        if stop.load(Ordering::Relaxed) {
            let here = Span::new(file, line.range.start, line.range.end);
            reader.faults = vec![Fault::new(Code::Stopped, here, "stopped")];
            break;
        }
        if within(line.range.start) {
            reader.spoiled.extend(named(text.get(line.range.clone()).unwrap_or("")));
            continue;
        }
        reader.line(line);
    }
    let Reader { mut faults, lines, spoiled, .. } = reader;
    // A word of the language that a line gave a value was refused there: its uses say nothing new.
    let refused = |fault: &Fault| {
        let word = fault.span().and_then(|span| text.get(span.range())).unwrap_or("");
        fault.code == Code::Syntax && is_word(word) && spoiled.iter().any(|name| **name == *word)
    };
    faults.retain(|fault| !refused(fault));
    // A text that ends in an open bracket, or in a line that waits, may still become sound.
    let behind = |fault: &Fault, opener| fault.span().is_some_and(|span| span.start as usize >= opener);
    let open = opened.is_some_and(|opener| faults.iter().all(|fault| behind(fault, opener)));
    let half = |line: &Logical| lacking::half_a_choice(text.get(line.range.clone()).unwrap_or(""));
    let waits = |line: &Logical| line.last && (line.waits || half(line));
    let waiting = !faults.is_empty()
        && scanned.flaws.is_empty()
        && scanned.lines.last().is_some_and(waits)
        && faults.iter().all(|fault| reaches(fault, end, text));
    faults.sort_by_key(|fault| fault.span().map_or(0, |span| span.start));
    Read { tree: Tree { lines, spoiled }, unfinished: open || waiting, faults }
}

/// The name that a line would have given, had it been read.
fn named(source: &str) -> Option<Rc<str>> {
    let word = first_word(source);
    let rest = source.get(word.len()..).unwrap_or("").trim_start();
    let name = match word {
        "given" | "rule" if !rest.starts_with('=') => first_word(rest),
        _ if rest.starts_with('=') => word,
        _ => "",
    };
    (!name.is_empty()).then(|| name.into())
}

/// Whether a fault says that the text ends too early: it stands behind all but blanks and a comment.
fn reaches(fault: &Fault, end: usize, text: &str) -> bool {
    let rest = fault.span().and_then(|span| text.get(span.start as usize..end));
    rest.is_some_and(|rest| {
        rest.lines().all(|row| row.trim_start().is_empty() || row.trim_start().starts_with('#'))
    })
}

/// Reads an expression by itself, as `scant work` and `--set` take it.
pub fn read_expression(file: FileId, text: &str) -> Result<Expr, Vec<Fault>> {
    let read = read(file, text);
    if !read.faults.is_empty() {
        return Err(read.faults);
    }
    let mut lines = read.tree.lines.into_iter();
    match (lines.next(), lines.next()) {
        (Some(Line { kind: LineKind::Work(work), .. }), None) => Ok(work.value),
        (first, second) => {
            let span = second.or(first).map_or(Span::new(file, 0, text.len()), |line| line.span);
            Err(vec![complain::not_an_expression(span)])
        }
    }
}

/// Whether one line can be read.
fn sound(file: FileId, line: &str, in_sizes: bool) -> bool {
    let span = Span::new(file, 0, line.len());
    let mut reader = Reader::new(file, line, in_sizes);
    let read = match reader.is_size(line) {
        true => reader.size_row(line, span).is_some(),
        false => reader.kind(line, span).is_some(),
    };
    read && reader.faults.is_empty()
}

/// Reads lines one by one.
struct Reader<'a> {
    pub file: FileId,
    pub text: &'a str,
    pub faults: Vec<Fault>,
    pub lines: Vec<Line>,
    pub spoiled: Vec<Rc<str>>,
    in_sizes: bool,
    /// What the grammar did not take first in the line that is read.
    trouble: Option<Trouble>,
}

impl<'a> Reader<'a> {
    fn new(file: FileId, text: &'a str, in_sizes: bool) -> Reader<'a> {
        let (faults, lines, spoiled) = (Vec::new(), Vec::new(), Vec::new());
        Reader { file, text, faults, lines, spoiled, in_sizes, trouble: None }
    }

    fn line(&mut self, logical: &Logical) {
        if logical.depth > ROOMY {
            return stacker::maybe_grow(ROOM / 2, ROOM, || self.one_line(logical));
        }
        self.one_line(logical);
    }

    fn one_line(&mut self, logical: &Logical) {
        let source = self.text.get(logical.range.clone()).unwrap_or("");
        let span = Span::new(self.file, logical.range.start, logical.range.end);
        let (before, in_sizes) = (self.faults.len(), self.in_sizes);
        self.trouble = None;
        if self.is_size(source) {
            match self.size_row(source, span) {
                Some(row) => self.add_size(row, span),
                None => self.say_again(source, span, before, true),
            }
            return;
        }
        self.in_sizes = false;
        let Some(kind) = self.kind(source, span) else {
            self.say_again(source, span, before, in_sizes);
            self.spoiled.extend(named(source));
            return;
        };
        self.in_sizes = matches!(kind, LineKind::Sizes(_));
        let doc = logical
            .doc
            .clone()
            .map(|range| Rc::new(docs::read(self.file, self.text, range, &mut self.faults)));
        self.lines.push(Line { kind, span, doc });
    }

    /// Whether a line is a row of the sizes above it.
    fn is_size(&self, source: &str) -> bool {
        self.in_sizes && source.starts_with(['"', '\u{201C}', '\u{201E}'])
    }

    /// Where a line is a phrase that people say, the faults since `before` become one that shows how it is written.
    fn say_again(&mut self, source: &str, span: Span, before: usize, row: bool) {
        let Some(first) = self.faults.get(before).filter(|_| before < FAULTS) else { return };
        let Some(stop) = first.span().map(|place| place.start.saturating_sub(span.start) as usize) else {
            return;
        };
        let trouble = match first.code {
            Code::UnknownUnit => Trouble::Unit,
            Code::Syntax => self.trouble.unwrap_or(Trouble::Known),
            _ => return,
        };
        let mut tries = 0..TRIES;
        let mut sound = |line: &str| tries.next().is_some() && sound(self.file, line, row);
        let Some(found) = phrases::mended(source, stop, trouble, row, &mut sound) else { return };
        let at = |place: usize| (span.start as usize).saturating_add(place);
        let place = found.place.map(|place| Span::new(self.file, at(place.start), at(place.end)));
        let Some(place) = place.or(first.span()) else { return };
        let fault = match found.remark && trouble == Trouble::Unit {
            true => first.clone(),
            false => Fault::new(Code::Syntax, place, found.wrong),
        };
        self.faults.truncate(before);
        self.faults.push(found.hints.into_iter().fold(fault, Fault::hint));
    }

    fn add_size(&mut self, row: SizeRow, span: Span) {
        match self.lines.last_mut() {
            Some(Line { kind: LineKind::Sizes(sizes), span: whole, .. }) => {
                sizes.rows.push(row);
                *whole = whole.to(span);
            }
            _ => {
                let kind = LineKind::Sizes(Sizes { rows: vec![row], further: true });
                self.lines.push(Line { kind, span, doc: None });
            }
        }
    }

    /// Parses one line by a rule of the grammar.
    pub fn parse(&mut self, rule: Rule, source: &'a str, span: Span) -> Option<Pair<'a, Rule>> {
        match Grammar::parse(rule, source) {
            Ok(mut pairs) => pairs.next(),
            Err(error) => {
                let (fault, trouble) = complain::grammar(&error, source, span);
                self.faults.push(fault);
                self.trouble.get_or_insert(trouble);
                None
            }
        }
    }

    /// As [`Reader::parse`]: a climber over the line, and its parts.
    pub fn parts(
        &mut self,
        rule: Rule,
        source: &'a str,
        span: Span,
    ) -> Option<(Climber<'_>, Pairs<'a, Rule>)> {
        let line = self.parse(rule, source, span)?;
        Some((self.climber(span), line.into_inner()))
    }

    /// A climber over the line at `span`.
    pub fn climber(&mut self, span: Span) -> Climber<'_> {
        Climber { file: self.file, text: self.text, base: span.start as usize, faults: &mut self.faults }
    }
}
