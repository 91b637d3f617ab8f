//! Readings that are between the marks of the ruler in force, reported once a docket.

use crate::docket::{Docket, Figure, FigureValue};
use crate::measure::{Manner, Number, Quantity, Reading};

/// So many are reported one by one.
const MOST_TOLD: usize = 12;

/// `between the marks of a 1/8 in ruler: 1 13/16 in`; none where no ruler is in force, or all readings
/// of what is shown and cut are on its marks.
pub(super) fn between_marks(docket: &Docket) -> Option<String> {
    let shows = docket.shows.iter().map(|shown| &shown.value);
    let pieces = docket.cloths.iter().flat_map(|cloth| &cloth.pieces);
    let figures = shows.chain(pieces.flat_map(|piece| [&piece.across, &piece.along]));
    let mut ruler = None;
    let mut readings: Vec<String> = Vec::new();
    for Figure { value, manner } in figures.filter(|figure| figure.manner.ruler.is_some()) {
        ruler = ruler.or(manner.ruler);
        gather(value, manner, &mut readings);
    }
    let ruler = ruler.filter(|_| !readings.is_empty())?;
    let mark = Quantity {
        number: Number::Exact(ruler.step()),
        dim: ruler.unit.dim(),
        reading: Reading::Step(ruler),
    };
    let more = readings.len().saturating_sub(MOST_TOLD);
    readings.truncate(MOST_TOLD);
    let more = if more == 0 { String::new() } else { format!(", and {more} more") };
    let mark = mark.show(&Manner::default());
    Some(format!("Between the marks of a {mark} ruler: {}{more}.", readings.join(", ")))
}

fn gather(value: &FigureValue, manner: &Manner, readings: &mut Vec<String>) {
    let mut one = |quantity: &Quantity| {
        let reading = quantity.mark(manner);
        if quantity.is_between_marks(manner) && !readings.contains(&reading) {
            readings.push(reading);
        }
    };
    match value {
        FigureValue::Measure(quantity) => one(quantity),
        FigureValue::Size(size) => [&size.0, &size.1].into_iter().for_each(one),
        FigureValue::Slack(slack) => one(&slack.middle),
        FigureValue::SlackSize(size) => [&size.0.middle, &size.1.middle].into_iter().for_each(one),
        FigureValue::List(items) => items.iter().for_each(|item| gather(item, manner, readings)),
        FigureValue::Record(parts) => parts.iter().for_each(|(_, part)| gather(part, manner, readings)),
        FigureValue::Text(_) | FigureValue::YesNo(_) | FigureValue::Shape(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::docket::Shown;
    use crate::measure::{Ruler, literal};

    #[test]
    fn what_lies_between_marks_is_told_once() {
        let measure = |text: &str| literal(text).unwrap_or(Quantity::whole(0));
        let manner = Manner { ruler: Ruler::from_step(&measure("1/8 in")), both: false };
        let shown = |texts: [&str; 2]| {
            let value = FigureValue::List(texts.map(|text| FigureValue::Measure(measure(text))).to_vec());
            Shown { label: "marks".into(), value: Figure { value, manner }, line: 1 }
        };
        let mut docket = Docket { shows: vec![shown(["1 7/8 in", "2 in"])], ..Docket::default() };
        assert_eq!(between_marks(&docket), None);
        docket.shows.push(shown(["1 13/16 in", "4 13/64 in"]));
        docket.shows.push(shown(["3/16 in", "1 13/16 in"]));
        let told = between_marks(&docket);
        assert_eq!(told.as_deref(), Some("Between the marks of a 1/8 in ruler: 1 13/16 in, 3/16 in."));
    }
}
