//! The lines of a file that a fault points into, cut to what is worth printing.
#![expect(clippy::arithmetic_side_effects, reason = "places in a text that lies in memory")]

use super::file::floor;
use super::{Fault, FileId, Files, Label, Place};

use crate::text::harmless_line;

/// Lines longer than this are cut around the place.
const LONG_LINE: usize = 160;
/// How much of a cut line is on each side of the place, in bytes.
const SIDE: usize = 60;
/// Places this many lines apart are in one excerpt.
const NEAR: usize = 6;

/// A piece of a file with the places marked in it.
#[derive(Debug)]
pub(super) struct Excerpt<'a> {
    /// The file's name.
    pub name: &'a str,
    /// The lines, the first one and the last one with a mark.
    pub text: String,
    /// The number of the first line.
    pub first_line: usize,
    /// The places, as bytes of `text`.
    pub marks: Vec<Mark<'a>>,
    /// Where the line was cut or spelled out: the column that the first mark has in the text, and its true one.
    pub columns: Option<(usize, usize)>,
}

/// A place in an excerpt.
#[derive(Debug)]
pub(super) struct Mark<'a> {
    pub range: std::ops::Range<usize>,
    pub text: &'a str,
    pub primary: bool,
}

/// A label reduced to one line of its file.
struct Spot<'a> {
    file: FileId,
    place: Place,
    /// Bytes from the line's start; a label over several lines keeps its first.
    range: std::ops::Range<usize>,
    text: &'a str,
    primary: bool,
    long: bool,
}

/// The labels of a fault in the order in which a person should read them: what is in the library
/// comes after the caller's line.
pub(super) fn labels(fault: &Fault, files: &Files) -> Vec<Label> {
    let own = |label: &Label| files.get(label.span.file).is_some_and(|file| !file.is_library());
    let mut labels: Vec<Label> = fault.primary.iter().chain(&fault.others).cloned().collect();
    let caller = match &fault.primary {
        Some(primary) if !own(primary) => labels.iter().position(own),
        _ => None,
    };
    if let Some(at) = caller {
        let label = labels.remove(at);
        labels.insert(0, label);
    }
    labels
}

/// The excerpts that show these labels; the first label is the primary one.
pub(super) fn excerpts<'a>(labels: &'a [Label], files: &'a Files) -> Vec<Excerpt<'a>> {
    let spots = labels.iter().enumerate().filter_map(|(at, label)| spot(label, at == 0, files));
    let mut groups: Vec<Vec<Spot<'a>>> = Vec::new();
    for spot in spots {
        match groups.iter_mut().find(|group| belongs(group, &spot)) {
            Some(group) => group.push(spot),
            None => groups.push(vec![spot]),
        }
    }
    groups.iter().filter_map(|group| excerpt(group, files)).collect()
}

fn spot<'a>(label: &'a Label, primary: bool, files: &Files) -> Option<Spot<'a>> {
    let file = files.get(label.span.file)?;
    let place = file.place(label.span.start as usize);
    let line = file.line(place.line);
    let text = file.slice(line.clone());
    let start = floor(text, (label.span.start as usize).saturating_sub(line.start));
    let end = floor(text, (label.span.end as usize).saturating_sub(line.start));
    let long = text.len() > LONG_LINE;
    Some(Spot {
        file: label.span.file,
        place,
        range: start..end.max(start),
        text: &label.text,
        primary,
        long,
    })
}

/// Whether a spot can be in the excerpt of these.
fn belongs(group: &[Spot<'_>], spot: &Spot<'_>) -> bool {
    let lines = group.iter().map(|other| other.place.line);
    let (Some(first), Some(last), Some(anchor)) = (lines.clone().min(), lines.max(), group.first()) else {
        return false;
    };
    if anchor.file != spot.file {
        return false;
    }
    if anchor.long || spot.long {
        return anchor.place.line == spot.place.line
            && anchor.range.start.abs_diff(spot.range.start) < SIDE
            && anchor.range.start.abs_diff(spot.range.end) < SIDE;
    }
    spot.place.line + NEAR >= first && spot.place.line <= last + NEAR
}

fn excerpt<'a>(group: &[Spot<'a>], files: &'a Files) -> Option<Excerpt<'a>> {
    let anchor = group.first()?;
    let file = files.get(anchor.file)?;
    let lines = group.iter().map(|spot| spot.place.line);
    let (first, last) = (lines.clone().min()?, lines.max()?);
    let mut text = String::new();
    let mut marks = Vec::new();
    for number in first..=last {
        let line = file.slice(file.line(number));
        let window = window(line, anchor);
        let offset = text.len() + if window.start > 0 { "...".len() } else { 0 };
        let shown = |to: usize| harmless_line(line.get(window.start..to).unwrap_or(""));
        for spot in group.iter().filter(|spot| spot.place.line == number) {
            let within = |byte: usize| shown(byte.clamp(window.start, window.end)).len() + offset;
            marks.push(Mark {
                range: within(spot.range.start)..within(spot.range.end),
                text: spot.text,
                primary: spot.primary,
            });
        }
        text.push_str(if window.start > 0 { "..." } else { "" });
        text.push_str(&shown(window.end));
        text.push_str(if window.end < line.len() { "..." } else { "" });
        text.push_str(if number < last { "\n" } else { "" });
    }
    let shown = marks
        .first()
        .and_then(|mark| text.get(..mark.range.start))
        .map_or(1, |before| before.chars().count() + 1);
    let columns = (shown != anchor.place.column).then_some((shown, anchor.place.column));
    Some(Excerpt { name: file.name(), text, first_line: first, marks, columns })
}

/// The part of a line that is printed.
fn window(line: &str, anchor: &Spot<'_>) -> std::ops::Range<usize> {
    if line.len() <= LONG_LINE {
        return 0..line.len();
    }
    let middle = if anchor.long { anchor.range.start } else { 0 };
    let start = floor(line, middle.saturating_sub(SIDE));
    start..floor(line, (middle + SIDE).min(line.len()))
}
