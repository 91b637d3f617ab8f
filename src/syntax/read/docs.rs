//! `##` rows: the words of a documentation, its examples and its sources.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use std::ops::Range;

use super::read_at;
use crate::fault::{Code, Fault, FileId, Span};
use crate::syntax::tree::{CompareOp, Doc, Example, Expr, ExprKind, LineKind};

/// Reads the `##` rows of `range`.
pub fn read(file: FileId, text: &str, range: Range<usize>, faults: &mut Vec<Fault>) -> Doc {
    let mut doc = Doc::default();
    let mut at = range.start;
    for row in text.get(range).unwrap_or("").split_inclusive('\n') {
        let start = at;
        at += row.len();
        let hashes = row.find("##").map_or(0, |n| n + 2);
        let words = row.get(hashes..).unwrap_or("").trim_end();
        let line = words.trim_start();
        let line_start = start + hashes + (words.len() - line.len());
        if let Some(rest) = line.strip_prefix("try ") {
            let begin = line_start + (line.len() - rest.len());
            doc.examples.extend(example(file, text, begin..line_start + line.len(), faults));
        } else if let Some(source) = line.strip_prefix("source ") {
            doc.sources.push(source.trim().into());
        } else {
            doc.words.push_str(words.strip_prefix(' ').unwrap_or(words));
            doc.words.push('\n');
        }
    }
    doc.words.truncate(doc.words.trim_end().len());
    doc
}

/// `EXPRESSION is EXPRESSION`: split at the last `is`.
fn example(file: FileId, text: &str, range: Range<usize>, faults: &mut Vec<Fault>) -> Option<Example> {
    let span = Span::new(file, range.start, range.end);
    let read = read_at(file, text, range);
    if !read.faults.is_empty() {
        let shaped = read
            .faults
            .into_iter()
            .map(|fault| fault.hint("an example is written `try twice(2 in) is 4 in`"));
        faults.extend(shaped);
        return None;
    }
    let line = read.tree.lines.into_iter().next()?;
    if let LineKind::Work(work) = line.kind
        && let ExprKind::Compare(first, mut links) = work.value.kind
        && let Some(last) = links.pop_if(|last| last.op == CompareOp::Is)
    {
        let tried = match links.last() {
            None => *first,
            Some(link) => {
                let tried_span = first.span.to(link.operand.span);
                Expr { kind: ExprKind::Compare(first, links), span: tried_span }
            }
        };
        return Some(Example { tried, expected: last.operand, span });
    }
    let fault = Fault::new(Code::Syntax, span, "an example states its result: `try twice(2 in) is 4 in`");
    faults.push(fault);
    None
}
