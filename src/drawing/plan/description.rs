//! What a plan tells to those who cannot see it.

use super::list::Item;
use crate::docket::{ClothPlan, Docket};
use crate::drawing::head::cautions;
use crate::drawing::labels;
use crate::drawing::view::{View, What};

/// The description ends after about so many letters.
const MOST: usize = 12_000;

/// All that a picture shows, in sentences.
pub(super) fn whole(title: &str, above: &str, items: &[Item]) -> String {
    ended(format!("{title}. {above} {}", rest(items)))
}

/// What it shows besides its title and its list.
pub(super) fn above(head: Option<&Docket>, plan: &ClothPlan, view: &View) -> String {
    let mut out = String::new();
    let grain = if plan.directional {
        "All pieces are in the same direction. "
    } else {
        "The grain runs along the length. "
    };
    out.push_str(grain);
    out.push_str(&head.map_or_else(String::new, cautions));
    let pieces = view.shapes.iter().filter(|shape| matches!(shape.what, What::Pieces { .. }));
    let pieces: Vec<String> = pieces.take(400).filter_map(|shape| labels::described(plan, shape)).collect();
    if !pieces.is_empty() {
        out.push_str(&format!("Laid out from the near end: {}. ", pieces.join("; ")));
    }
    ended(out)
}

/// The rows of the list in sentences.
pub(super) fn rest(items: &[Item]) -> String {
    let mut out = String::new();
    for Item { row, .. } in items {
        if out.len() > MOST {
            break;
        }
        if let Some(number) = row.number {
            out.push_str(&format!("{number}. "));
        }
        out.push_str(row.words.trim_end_matches('.'));
        // What comes after a colon is cut from this.
        out.push_str(if row.words.ends_with(':') { " " } else { ". " });
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
