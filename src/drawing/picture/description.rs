//! What a picture tells to those who cannot see it.

use crate::docket::{Part, Picture, figure_text};
use crate::text::harmless;

/// The description ends after about so many letters.
const MOST: usize = 8_000;

pub(super) fn description(picture: &Picture) -> String {
    format!("{}. {}", harmless(&picture.title), parts(picture))
}

/// What is in a picture: names, distances, readings.
pub(crate) fn parts(picture: &Picture) -> String {
    let mut out = String::new();
    let mut say = |words: String| {
        if out.len() < MOST && !words.is_empty() {
            out.push_str(if out.is_empty() { "" } else { " " });
            out.push_str(&words);
            out.push('.');
        }
    };
    for part in &picture.parts {
        match part {
            Part::Shape { label: Some(label), .. }
            | Part::Straight { label: Some(label), .. }
            | Part::Spot { label: Some(label), .. } => say(harmless(label).into_owned()),
            Part::Words { words, .. } => say(harmless(words).into_owned()),
            Part::Distance { reads, .. } => say(format!("A distance of {}", figure_text(reads))),
            Part::Scale { down, at, .. } => {
                let words = at.iter().map(|(figure, label)| match label {
                    Some(label) => format!("{} {}", figure_text(figure), harmless(label)),
                    None => figure_text(figure),
                });
                let way = if *down { "downward" } else { "to the right" };
                say(format!("From one edge {way}: {}", words.collect::<Vec<_>>().join(", ")));
            }
            Part::Grain { .. } => say("An arrow shows the grain".to_owned()),
            Part::Shape { .. } | Part::Straight { .. } | Part::Spot { .. } => {}
        }
    }
    match out.char_indices().nth(MOST) {
        Some((end, _)) => format!("{}…", out.get(..end).unwrap_or_default()),
        None => out,
    }
}
