//! What `find` found, in words.

use super::wrap::hang;
use super::{Screen, figure_text};
use crate::docket::{Figure, Found, Near, Outcome};

/// What was found as text: one row for the answer, others for what is to be known of it.
pub fn found_text(found: &Found) -> String {
    in_lines(found, usize::MAX)
}

/// The same in lines of a screen.
pub fn found_on(found: &Found, screen: Screen) -> String {
    in_lines(found, screen.prose())
}

fn in_lines(found: &Found, columns: usize) -> String {
    let rows = found_rows(found);
    let leads = std::iter::once("").chain(std::iter::repeat("  "));
    let lines = leads.zip(&rows).flat_map(|(lead, row)| hang(lead, row, columns));
    lines.map(|line| line + "\n").collect()
}

/// The rows.
pub(crate) fn found_rows(found: &Found) -> Vec<String> {
    let name = &found.name;
    let listed = |several: &[(Figure, Option<Figure>)]| {
        let one = |(from, to): &(Figure, Option<Figure>)| match to {
            Some(to) => format!("{} to {}", figure_text(from), figure_text(to)),
            None => figure_text(from),
        };
        several.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    let first = match &found.outcome {
        Outcome::One(figure) => format!("{name} = {}", figure_text(figure)),
        Outcome::Several(several) => {
            format!("{name}: more than one value makes it true: {}", listed(several))
        }
        Outcome::None => format!("{name}: no value in this range makes it true"),
        Outcome::Unsure(some) if some.is_empty() => {
            format!("{name}: could not find which value makes it true")
        }
        Outcome::Unsure(some) => format!("{name}: not all found; so far: {}", listed(some)),
    };
    let mut rows = vec![first];
    rows.extend(found.notes.iter().map(|note| note.to_string()));
    rows.extend(found.near.iter().map(|near| near_row(near, matches!(found.outcome, Outcome::None))));
    rows
}

fn near_row(near: &Near, none: bool) -> String {
    let at = figure_text(&near.at);
    let verdict = match (near.holds, none) {
        _ if near.open => ": not sure, with the slack",
        (_, true) => "",
        (true, _) => ": yes",
        (false, _) => ": no",
    };
    match &near.made {
        Some(made) => format!("at {at} it is {}{verdict}", figure_text(made)),
        None if near.open => format!("at {at}: not sure, with the slack"),
        None if near.holds => format!("at {at}: yes"),
        None => format!("at {at}: no"),
    }
}
