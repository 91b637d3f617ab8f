//! What stands on the pieces of a picture: names, sizes, and a key letter where there is no room.

use super::escape::harmless;
use super::figure::figure_text;
use super::text_cloth::on_grid;
use super::view::{Shape, What};
use super::words::kind_name;
use crate::docket::{ClothPlan, Figure, FigureValue};
use crate::layout::{Rect, Spread};

/// Words of a shape, from the fullest to the shortest; a picture takes the first that fit.
pub(super) fn of(plan: &ClothPlan, shape: &Shape) -> Vec<Vec<String>> {
    match shape.what {
        What::Left { columns, rows } => {
            let part = |all: i128, parts: u64| grid_mark(plan, all / i128::from(parts.max(1)));
            let (across, along) = (part(shape.at.across, columns), part(shape.at.along, rows));
            let count = columns.saturating_mul(rows);
            let times = if count == 1 { String::new() } else { format!("{} × ", thousands(count)) };
            vec![vec![format!("{times}{across} by {along}")], vec![format!("{times}{across} by"), along]]
        }
        What::Gap(more) => {
            let strips = if more == 1 { "strip" } else { "strips" };
            let more = thousands(more);
            vec![
                vec![format!("and {more} more {strips} alike")],
                vec![format!("and {more} more"), format!("{strips} alike")],
                vec!["and".into(), more.clone(), "more".into()],
                vec![format!("+{more}")],
            ]
        }
        What::Pieces { piece, turned, columns, rows } => {
            let count = columns.saturating_mul(rows);
            let label = plan.pieces.get(piece).map_or("piece", |piece| &piece.label);
            let label = harmless(label);
            let name =
                if count == 1 { label.into_owned() } else { format!("{} × {label}", thousands(count)) };
            let size = piece_size(plan, piece);
            let size = if turned { format!("{size}, turned") } else { size };
            let letter = key(piece);
            let short = if count == 1 { letter.clone() } else { format!("{} × {letter}", thousands(count)) };
            vec![vec![name.clone(), size], vec![name], vec![short], vec![letter]]
        }
    }
}

/// Whether only a key letter is left of a piece's words.
pub(super) fn is_key(lines: &[String], shape: &Shape) -> Option<usize> {
    let What::Pieces { piece, .. } = shape.what else { return None };
    let [only] = lines else { return None };
    let letter = key(piece);
    (*only == letter || only.ends_with(&format!("× {letter}"))).then_some(piece)
}

/// The key letter of a piece: A to Z, then A1.
pub(super) fn key(piece: usize) -> String {
    let letter = u8::try_from(piece % 26).map_or('A', |n| char::from(b'A' + n));
    if piece < 26 { letter.to_string() } else { format!("{letter}{}", piece / 26) }
}

/// `A: napkin, 18 in by 18 in`
pub(super) fn explained(plan: &ClothPlan, piece: usize) -> String {
    let label = plan.pieces.get(piece).map_or("piece", |piece| &piece.label);
    format!("{}: {}, {}", key(piece), harmless(label), piece_size(plan, piece))
}

fn piece_size(plan: &ClothPlan, piece: usize) -> String {
    plan.pieces
        .get(piece)
        .map_or(String::new(), |piece| format!("{} by {}", mark(&piece.across), mark(&piece.along)))
}

/// What stands above the picture of a spread.
pub(super) fn title(plan: &ClothPlan, spread: &Spread) -> String {
    let name = harmless(&plan.cloth);
    let kind = match kind_name(plan.plan.kind) {
        "strips" => "in strips",
        other => other,
    };
    let folded = if plan.folded { ", folded" } else { "" };
    match spread.sheet.and_then(|at| plan.hands.get(at)) {
        Some(hand) => {
            let times = if spread.count == 1 { String::new() } else { format!("{} alike, ", spread.count) };
            format!("{name} in hand, {times}{} by {}{folded}, {kind}", mark(&hand.across), mark(&hand.along))
        }
        None => {
            let (usable, length) = (mark(&plan.usable), mark(&plan.length));
            format!("{name}, {usable} by {length}{folded}, {kind}")
        }
    }
}

/// A length as the ruler's mark alone.
pub(super) fn mark(figure: &Figure) -> String {
    match &figure.value {
        FigureValue::Measure(quantity) => quantity.mark(&figure.manner),
        _ => figure_text(figure),
    }
}

/// A length in grid units, as the ruler's mark alone.
pub(super) fn grid_mark(plan: &ClothPlan, units: i128) -> String {
    mark(&on_grid(plan, units))
}

/// `3,000`
fn thousands(count: u64) -> String {
    let digits = count.to_string();
    let mut out = String::with_capacity(digits.len() + digits.len() / 3);
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}

/// The part of a shape between two places along the cloth.
pub(super) fn within(at: Rect, from: i128, to: i128) -> Option<Rect> {
    let (start, end) = (at.y.max(from), at.y.saturating_add(at.along).min(to));
    (start < end).then_some(Rect { y: start, along: end - start, ..at })
}
