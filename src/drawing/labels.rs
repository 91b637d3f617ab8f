//! What is on the pieces of a picture: names, sizes, and a key letter where there is no room.

use super::view::{Shape, What};
use crate::docket::{ClothPlan, Figure, FigureValue, figure_text, kind_name};
use crate::layout::{Rect, Spread};
use crate::measure::{Exact, Number, Quantity, mark_size};
use crate::text::harmless;

/// Words of a shape, from the fullest to the shortest; a picture takes the first that fit.
pub(crate) fn of(plan: &ClothPlan, shape: &Shape) -> Vec<Vec<String>> {
    match shape.what {
        What::Left { columns, rows } => {
            let part =
                |all: i128, parts: u64| on_grid(plan, all.checked_div(i128::from(parts)).unwrap_or(all));
            let size = size_mark(&part(shape.at.across, columns), &part(shape.at.along, rows));
            let size = times(columns.saturating_mul(rows), &size);
            let parts = size.split_once(" by ");
            let parts = parts.map(|(across, along)| vec![format!("{across} by"), along.to_owned()]);
            std::iter::once(vec![size.clone()]).chain(parts).collect()
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
            let name = times(count, &label(plan, piece));
            let size = piece_size(plan, piece);
            let size = if turned { format!("{size}, turned") } else { size };
            let letter = key(piece);
            vec![vec![name.clone(), size], vec![name], vec![times(count, &letter)], vec![letter]]
        }
    }
}

/// Whether only a key letter is left of a piece's words.
pub(crate) fn is_key(lines: &[String], shape: &Shape) -> Option<usize> {
    let What::Pieces { piece, .. } = shape.what else { return None };
    let [only] = lines else { return None };
    let letter = key(piece);
    (*only == letter || only.ends_with(&format!("× {letter}"))).then_some(piece)
}

/// The key letter of a piece: A to Z, then A1.
pub(crate) fn key(piece: usize) -> String {
    let letter = u8::try_from(piece % 26).map_or('A', |n| char::from(b'A'.saturating_add(n)));
    if piece < 26 { letter.to_string() } else { format!("{letter}{}", piece / 26) }
}

/// `A: napkin, 18 in by 18 in`
pub(crate) fn explained(plan: &ClothPlan, piece: usize) -> String {
    format!("{}: {}, {}", key(piece), label(plan, piece), piece_size(plan, piece))
}

/// What a piece is called; what no picture has room for is cut off.
pub(crate) fn label(plan: &ClothPlan, piece: usize) -> String {
    shortened(plan.pieces.get(piece).map_or("piece", |piece| &piece.label))
}

fn shortened(name: &str) -> String {
    const MOST: usize = 120;
    match name.char_indices().nth(MOST) {
        Some((end, _)) => format!("{}…", harmless(name.get(..end).unwrap_or_default())),
        None => harmless(name).into_owned(),
    }
}

/// `2 × short sash, 2 in by 6 1/2 in, turned`
pub(crate) fn described(plan: &ClothPlan, shape: &Shape) -> Option<String> {
    let What::Pieces { .. } = shape.what else { return None };
    of(plan, shape).first().map(|lines| lines.join(", "))
}

/// The size of a piece as it was cut.
pub(crate) fn piece_size(plan: &ClothPlan, piece: usize) -> String {
    plan.pieces.get(piece).map_or(String::new(), |piece| size_mark(&piece.across, &piece.along))
}

/// What is above the picture of a spread.
pub(crate) fn title(plan: &ClothPlan, spread: &Spread) -> String {
    let name = shortened(&plan.cloth);
    let kind = match kind_name(plan.plan.kind) {
        "strips" => "in strips",
        other => other,
    };
    let folded = if plan.folded { ", folded" } else { "" };
    match spread.sheet.and_then(|at| plan.hands.get(at)) {
        Some(hand) => {
            let times = if spread.count == 1 { String::new() } else { format!("{} alike, ", spread.count) };
            format!("{name} in hand, {times}{}{folded}, {kind}", size_mark(&hand.across, &hand.along))
        }
        None => format!("{name}, {}{folded}, {kind}", size_mark(&plan.usable, &plan.length)),
    }
}

/// A length as the ruler's mark alone.
pub(crate) fn mark(figure: &Figure) -> String {
    let measure = figure.value.as_measure();
    measure.map_or_else(|| figure_text(figure), |quantity| quantity.mark(&figure.manner))
}

/// Two lengths as a size, at the ruler's marks alone.
pub(crate) fn size_mark(across: &Figure, along: &Figure) -> String {
    match across.value.as_measure().zip(along.value.as_measure()) {
        Some((x, y)) => mark_size(x, y, &across.manner),
        None => format!("{} by {}", mark(across), mark(along)),
    }
}

/// A length in grid units.
pub(crate) fn on_grid(plan: &ClothPlan, units: i128) -> Figure {
    let value = match &plan.unit.value {
        FigureValue::Measure(unit) => {
            let number = unit.number.mul(&Number::Exact(Exact::wide(units)));
            let number = number.unwrap_or_else(|_| unit.number.clone());
            FigureValue::Measure(Quantity { number, ..unit.clone() })
        }
        other => other.clone(),
    };
    Figure { value, manner: plan.unit.manner }
}

/// `12 × short sash`; the name alone of what there is once.
pub(crate) fn times(count: u64, name: &str) -> String {
    if count == 1 { name.to_owned() } else { format!("{} × {name}", thousands(count)) }
}

/// `3,000`
pub(crate) fn thousands(count: u64) -> String {
    let digits = count.to_string();
    let groups: Vec<&str> =
        digits.as_bytes().rchunks(3).rev().filter_map(|part| str::from_utf8(part).ok()).collect();
    groups.join(",")
}

/// The part of a shape between two places along the cloth.
pub(crate) fn within(at: Rect, from: i128, to: i128) -> Option<Rect> {
    let (start, end) = (at.y.max(from), at.y.saturating_add(at.along).min(to));
    (start < end).then_some(Rect { y: start, along: end.saturating_sub(start), ..at })
}
