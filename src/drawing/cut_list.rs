//! The cuts of a docket in words, numbered through all its cloths. The text and the pictures both take their numbers
//! from here.

use super::cuts::{self, Row, by_strip, single};
use super::labels::{on_grid, size_mark};
use super::scene::Listed;
use crate::docket::{ClothPlan, Held, Strip, figure_text};
use crate::layout::{Lay, Rect, Spread};
use crate::text::harmless;

/// How many numbers the cuts of a cloth take.
pub(crate) fn numbered(plan: &ClothPlan, spread: &Spread) -> usize {
    if by_strip(plan) {
        return plan.strips.len();
    }
    let (rows, _) = cuts::rows(spread, 0);
    let number = |row: &Row<'_>| match row {
        Row::Cut(cut) => cut.number,
        Row::Left { .. } => 0,
    };
    rows.iter().map(number).max().unwrap_or(0)
}

/// The cuts of a cloth after so many that were numbered before, and whether the list is whole.
pub(crate) fn listed(plan: &ClothPlan, spread: &Spread, before: usize) -> (Vec<Listed>, bool) {
    if by_strip(plan) {
        return (strips(plan, before), true);
    }
    if let Lay::Free { pieces, .. } = &spread.lay {
        let words = format!("cut out as drawn: {} pieces", pieces.len());
        return (vec![Listed { number: None, depth: 0, words }], true);
    }
    let (rows, whole) = cuts::rows(spread, before);
    (rows.iter().map(|row| row_words(plan, row)).collect(), whole)
}

/// The strips of a cloth that is written strip by strip.
pub(crate) fn strips(plan: &ClothPlan, before: usize) -> Vec<Listed> {
    let row = |(at, strip): (usize, &Strip)| Listed {
        number: Some(before.saturating_add(at).saturating_add(1)),
        depth: 0,
        words: strip_words(plan, strip),
    };
    plan.strips.iter().enumerate().map(row).collect()
}

fn strip_words(plan: &ClothPlan, strip: &Strip) -> String {
    let kind = if strip.count == 1 { "strip" } else { "strips" };
    let each = if strip.count == 1 { "it" } else { "each" };
    let held: Vec<String> = strip.holds.iter().map(|held| held_words(plan, *held)).collect();
    let width = figure_text(&strip.width);
    format!("cut {} {kind} {width} wide; from {each}: {}", strip.count, held.join(", "))
}

fn row_words(plan: &ClothPlan, row: &Row<'_>) -> Listed {
    match row {
        Row::Left { depth, at } => {
            Listed { number: None, depth: *depth, words: format!("left over: {}", sized(plan, at)) }
        }
        Row::Cut(cut) => {
            let length = |units| figure_text(&on_grid(plan, units));
            let way = if cut.across { "across" } else { "lengthwise" };
            let lead = match (cut.number, cut.times) {
                (0, _) => "what is left:".to_owned(),
                (_, 1) => format!("{way} at {}:", length(cut.size)),
                (_, times) => format!("{way} {times} times, every {}:", length(cut.size)),
            };
            let each = if cut.times == 1 { "from it" } else { "from each" };
            let words = match single(cut.part) {
                Some((piece, turned, trimmed)) => {
                    let held = held_words(plan, Held { piece, count: cut.times, turned });
                    let trimmed = if trimmed { ", trimmed" } else { "" };
                    format!("{lead} {held}{trimmed}")
                }
                None => format!("{}; {each}:", lead.trim_end_matches(':')),
            };
            Listed { number: (cut.number > 0).then_some(cut.number), depth: cut.depth, words }
        }
    }
}

fn held_words(plan: &ClothPlan, held: Held) -> String {
    let piece = plan.pieces.get(held.piece);
    let alone = piece.and_then(|piece| piece.alone.as_ref()).filter(|_| held.count == 1);
    let label = alone.or(piece.map(|piece| &piece.label)).map_or("piece", |label| &**label);
    let turned = if held.turned { " (turned)" } else { "" };
    format!("{} {}{turned}", held.count, harmless(label))
}

/// The size of a piece of cloth that is left over, at the ruler's marks.
fn sized(plan: &ClothPlan, at: &Rect) -> String {
    size_mark(&on_grid(plan, at.across), &on_grid(plan, at.along))
}
