//! What a plan tells to those who cannot see it.

use super::list::Item;
use crate::docket::{ClothPlan, Docket};
use crate::drawing::head::cautions;
use crate::drawing::labels;
use crate::drawing::view::{View, What};
use crate::layout::Spread;

/// The description ends after about so many letters.
const MOST: usize = 12_000;

/// All that a picture shows, in sentences.
pub(super) fn description(
    head: Option<&Docket>,
    plan: &ClothPlan,
    spread: &Spread,
    view: &View,
    items: &[Item],
) -> String {
    let mut out = format!("{}. ", labels::title(plan, spread));
    let grain = if plan.directional {
        "All pieces are in the same direction. "
    } else {
        "The grain runs along the length. "
    };
    out.push_str(grain);
    out.push_str(&head.map_or_else(String::new, cautions));
    let pieces = view.shapes.iter().filter(|shape| matches!(shape.what, What::Pieces { .. }));
    let pieces: Vec<String> = pieces.take(400).filter_map(|shape| labels::said(plan, shape)).collect();
    if !pieces.is_empty() {
        out.push_str(&format!("Laid out from the near end: {}. ", pieces.join("; ")));
    }
    out.push_str(&rest(items));
    ended(out)
}

/// The rows of the list in sentences.
pub(super) fn rest(items: &[Item]) -> String {
    let mut out = String::new();
    for item in items {
        if out.len() > MOST {
            break;
        }
        if let Some(number) = item.number {
            out.push_str(&format!("{number}. "));
        }
        out.push_str(item.words.trim_end_matches([':', '.']));
        out.push_str(". ");
    }
    ended(out)
}

fn ended(words: String) -> String {
    let words = words.trim_end();
    match words.char_indices().nth(MOST) {
        Some((end, _)) => format!("{}…", words.get(..end).unwrap_or_default()),
        None => words.to_owned(),
    }
}
