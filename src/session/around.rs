//! Comments, documentation and blank rows that are around the lines of a session.

use std::collections::BTreeMap;

use crate::fault::{FileId, Files, Span};
use crate::recipe::lines::Compiled;

/// What is around a line in its text.
#[derive(Clone, Copy, Debug)]
pub(super) struct Around {
    /// The rows below the line before, down to the last blank one.
    pub apart: Span,
    /// The rows right above the line.
    pub above: Span,
    /// Those of them that are its documentation.
    pub documentation: Span,
    /// What is before it in its first row.
    pub indent: Span,
    /// What is after it in its last row, without the row's end.
    pub after: Span,
    /// The rows below, where it is the last line of its text.
    pub below: Option<Span>,
}

/// What is around each line. The lines of one text come in its order.
pub(super) fn around(lines: &[Compiled], files: &Files) -> Vec<Around> {
    // The last line of a text so far, and where its last row ends.
    let mut last: BTreeMap<FileId, (usize, usize)> = BTreeMap::new();
    let mut found: Vec<Around> = Vec::with_capacity(lines.len());
    for (at, line) in lines.iter().enumerate() {
        let file = line.span.file;
        let text = files.get(file).map_or("", |file| file.text());
        let range = line.span.range();
        let row = text.get(..range.start).and_then(|before| before.rfind('\n'));
        let row = row.map_or(0, |at| at.saturating_add(1));
        let row_end = text.get(range.end..).and_then(|rest| rest.find('\n'));
        let row_end = row_end.map_or(text.len(), |at| range.end.saturating_add(at));
        let done = last.get(&file).map_or(0, |(_, done)| *done).min(row);
        let (apart, above) = parts(text.get(done..row).unwrap_or(""));
        let (apart, above) = (done.saturating_add(apart), done.saturating_add(above));
        found.push(Around {
            apart: Span::new(file, done, apart),
            above: Span::new(file, apart, row),
            documentation: Span::new(file, above, row),
            indent: Span::new(file, row, range.start),
            after: Span::new(file, range.end, row_end),
            below: None,
        });
        last.insert(file, (at, row_end.saturating_add(1)));
    }
    for (file, (at, done)) in last {
        let length = files.get(file).map_or(0, |file| file.text().len());
        if let Some(around) = found.get_mut(at).filter(|_| done < length) {
            around.below = Some(Span::new(file, done, length));
        }
    }
    found
}

/// In the rows above a line: where those begin that are right above it, and where its documentation begins.
fn parts(rows: &str) -> (usize, usize) {
    let (mut above, mut documentation, mut at) = (0, 0, 0usize);
    for row in rows.split_inclusive('\n') {
        at = at.saturating_add(row.len());
        let words = row.trim();
        if words.is_empty() {
            above = at;
        }
        if !words.starts_with("##") {
            documentation = at;
        }
    }
    (above, documentation)
}

/// Comments that stay where the line below them goes: with a blank row after them, so that they are not taken
/// for documentation of the next one.
pub(super) fn on_its_own(apart: &str) -> String {
    let comments = apart.trim_end();
    if comments.is_empty() { String::new() } else { format!("{comments}\n\n") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_right_above_a_line_are_its_own() {
        assert_eq!(parts("# linens\n\n# of the\n# house\n"), (10, 27));
        assert_eq!(parts("# a\n\n# b\n## c\n## d\n"), (5, 9));
        assert_eq!(parts("\n"), (1, 1));
        assert_eq!(parts("## a\n"), (0, 0));
        assert_eq!(on_its_own("\n# linens\n\n\n"), "\n# linens\n\n");
        assert_eq!(on_its_own("\n \n"), "");
    }
}
