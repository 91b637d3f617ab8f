//! What a picture tells to those who cannot see it: its size, the distances in it and where each begins, the marks
//! measured from an edge, the names and words.

use super::view;
use crate::docket::{Figure, Part, Picture, figure_text};
use crate::drawing::Place;
use crate::drawing::clear::Area;
use crate::drawing::edges::place;
use crate::text::harmless;

/// The description ends after about so many letters.
const MOST: usize = 8_000;
/// What is nearer than this, in mm, is at the same place.
const SAME: f64 = 0.05;

pub(super) fn description(picture: &Picture) -> String {
    format!("{}. {}", harmless(&picture.title), parts(picture))
}

/// What is in a picture, in sentences.
pub(crate) fn parts(picture: &Picture) -> String {
    let mut out = String::new();
    for row in rows(picture) {
        out.push_str(if out.is_empty() { "" } else { " " });
        let mut letters = row.chars();
        out.extend(letters.next().into_iter().flat_map(char::to_uppercase));
        out.push_str(letters.as_str());
        out.push('.');
    }
    out
}

/// What is in a picture, a row each; a long one ends early.
pub(crate) fn rows(picture: &Picture) -> Vec<String> {
    let bounds = view::bounds(picture);
    let mut rows = Vec::new();
    rows.extend(bounds.as_ref().map(|bounds| sizes(picture, bounds)).unwrap_or_default());
    for part in &picture.parts {
        if let Part::Scale { from, down, at } = part {
            rows.extend(scale(place(from), *down, at, bounds.as_ref()));
        }
    }
    rows.extend(names(picture));
    if picture.parts.iter().any(|part| matches!(part, Part::Grain { .. })) {
        rows.push("an arrow shows the grain".into());
    }
    let mut room = MOST;
    let whole = rows.iter().take_while(|row| {
        let fits = row.len() <= room;
        room = room.saturating_sub(row.len());
        fits
    });
    let whole = whole.count();
    if whole < rows.len() {
        let cut = rows.get(whole).map(|row| row.chars().take(room).collect::<String>() + "…");
        rows.truncate(whole);
        rows.extend(cut);
    }
    rows
}

/// How wide and high it is, then the distances that are not all of it.
fn sizes(picture: &Picture, bounds: &Area) -> Vec<String> {
    let (mut wide, mut high, mut others) = (None, None, Vec::new());
    for part in &picture.parts {
        let Part::Distance { ends, reads } = part else { continue };
        let (from, to) = (place(&ends.0), place(&ends.1));
        let (left, right) = (from.0.min(to.0), from.0.max(to.0));
        let (top, bottom) = (from.1.min(to.1), from.1.max(to.1));
        let (at_left, at_right) = (left - bounds.left < SAME, bounds.right - right < SAME);
        let (at_top, at_bottom) = (top - bounds.top < SAME, bounds.bottom - bottom < SAME);
        let reads = figure_text(reads);
        let row = match (bottom - top < SAME, right - left < SAME) {
            (true, _) if at_left && at_right && wide.is_none() => {
                wide = Some(reads);
                continue;
            }
            (_, true) if at_top && at_bottom && high.is_none() => {
                high = Some(reads);
                continue;
            }
            (true, _) if at_left => format!("{reads} across from the left edge"),
            (true, _) if at_right => format!("{reads} across to the right edge"),
            (true, _) => format!("{reads} across inside it"),
            (_, true) if at_top => format!("{reads} down from the top edge"),
            (_, true) if at_bottom => format!("{reads} down to the bottom edge"),
            (_, true) => format!("{reads} down inside it"),
            _ => format!("{reads} on the slant"),
        };
        if !others.contains(&row) {
            others.push(row);
        }
    }
    let whole = match (wide, high) {
        (Some(wide), Some(high)) => Some(format!("{wide} wide and {high} high")),
        (Some(wide), None) => Some(format!("{wide} wide")),
        (None, high) => high.map(|high| format!("{high} high")),
    };
    whole.into_iter().chain(others).collect()
}

/// The marks along one edge, those of one name together.
fn scale(
    from: Place,
    down: bool,
    at: &[(Figure, Option<std::rc::Rc<str>>)],
    bounds: Option<&Area>,
) -> Option<String> {
    let begins =
        |edge: fn(&Area) -> f64, place: f64| bounds.is_some_and(|bounds| (place - edge(bounds)).abs() < SAME);
    let way = match down {
        true if begins(|bounds| bounds.top, from.1) => "from the top edge",
        true => "downward from one place",
        false if begins(|bounds| bounds.left, from.0) => "from the left edge",
        false => "to the right from one place",
    };
    let (_, first) = at.first()?;
    let figures = |named: bool| {
        let one = |(figure, label): &(Figure, Option<std::rc::Rc<str>>)| match label {
            Some(label) if named => format!("{} at {}", harmless(label), figure_text(figure)),
            _ => figure_text(figure),
        };
        at.iter().map(one).collect::<Vec<_>>().join(", ")
    };
    let one_name = at.iter().all(|(_, label)| label == first);
    Some(match first {
        Some(name) if one_name => format!("{way}, {}: {}", harmless(name), figures(false)),
        _ => format!("{way}: {}", figures(!one_name)),
    })
}

/// The names and words in it, each once; numbers that follow each other as `1 to 12`.
fn names(picture: &Picture) -> Option<String> {
    let mut names: Vec<String> = Vec::new();
    for part in &picture.parts {
        let words = match part {
            Part::Shape { label, .. } | Part::Straight { label, .. } | Part::Spot { label, .. } => {
                label.as_ref()
            }
            Part::Words { words, .. } => Some(words),
            _ => None,
        };
        let words = words.map(|words| harmless(words).into_owned());
        names.extend(words.filter(|words| !words.is_empty() && !names.contains(words)));
    }
    let mut told: Vec<String> = Vec::new();
    let mut names = names.into_iter().peekable();
    while let Some(name) = names.next() {
        let mut last = None;
        if let Ok(mut number) = name.parse::<u64>() {
            while let Some(next) = names.next_if(|next| next.parse() == Ok(number.saturating_add(1))) {
                number = number.saturating_add(1);
                last = Some(next);
            }
        }
        told.push(last.map_or(name.clone(), |last| format!("{name} to {last}")));
    }
    (!told.is_empty()).then(|| format!("in the drawing: {}", told.join("; ")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::docket::{FigureValue, Line};
    use crate::measure::{Manner, Number, literal};
    use crate::shape::Point;

    fn figure(text: &str) -> Figure {
        Figure { value: FigureValue::Measure(literal(text).unwrap()), manner: Manner::default() }
    }

    fn at(across: i64, along: i64) -> Point {
        Point::new(Number::whole(across), Number::whole(along))
    }

    fn distance(from: Point, to: Point, reads: &str) -> Part {
        Part::Distance { ends: (from, to), reads: figure(reads) }
    }

    #[test]
    fn a_drawing_is_told_from_its_edges() {
        let spot = |name: &str| Part::Spot { at: at(10, 10), label: Some(name.into()) };
        let marks = |down, names: [Option<&str>; 2]| {
            let named = |(figure, name): (Figure, Option<&str>)| (figure, name.map(Into::into));
            let at_places = [figure("2 cm"), figure("5 cm")].into_iter().zip(names).map(named).collect();
            Part::Scale { from: at(0, 0), down, at: at_places }
        };
        let parts = vec![
            Part::Straight { ends: (at(0, 0), at(1000, 500)), line: Line::Fold, label: Some("fold".into()) },
            distance(at(0, 500), at(1000, 500), "20 cm"),
            distance(at(1000, 0), at(1000, 500), "10 cm"),
            distance(at(0, 500), at(100, 500), "2 cm"),
            distance(at(900, 0), at(1000, 0), "2 cm"),
            distance(at(100, 0), at(900, 0), "16 cm"),
            distance(at(0, 0), at(0, 50), "1 cm"),
            distance(at(0, 450), at(0, 500), "1 cm"),
            distance(at(0, 0), at(300, 400), "10 cm"),
            marks(false, [Some("stitch"), Some("stitch")]),
            marks(true, [Some("first button"), Some("second button")]),
            marks(false, [None, None]),
            spot("middle"),
            spot("1"),
            spot("2"),
            spot("3"),
            spot("7"),
        ];
        let picture = Picture { title: "a flap".into(), parts, line: 1 };
        assert_eq!(
            rows(&picture),
            [
                "20 cm wide and 10 cm high",
                "2 cm across from the left edge",
                "2 cm across to the right edge",
                "16 cm across inside it",
                "1 cm down from the top edge",
                "1 cm down to the bottom edge",
                "10 cm on the slant",
                "from the left edge, stitch: 2 cm, 5 cm",
                "from the top edge: first button at 2 cm, second button at 5 cm",
                "from the left edge: 2 cm, 5 cm",
                "in the drawing: fold; middle; 1 to 3; 7",
            ]
        );
        assert!(description(&picture).starts_with("a flap. 20 cm wide and 10 cm high. 2 cm across"));
    }

    #[test]
    fn a_long_description_ends_early() {
        let words = |at_place: i64| Part::Words {
            at: at(at_place, 0),
            words: format!("{at_place} ").repeat(50).into(),
        };
        let picture = Picture { title: "long".into(), parts: (0..200).map(words).collect(), line: 1 };
        let told = rows(&picture).concat();
        assert!(told.ends_with('…') && told.len() < 8_010, "{}", told.len());
    }
}
