//! Which results of a docket become columns.

use std::rc::Rc;

use crate::docket::{Docket, Figure, FigureValue};
use crate::measure::Manner;

/// A result as a cell: nothing where a row has none.
pub(super) type Result<'d> = Option<(&'d FigureValue, &'d Manner)>;

/// Where a column's values stand in a docket.
#[derive(Debug)]
enum Place {
    Given(usize),
    Show(usize),
    /// A part of a shown record.
    Part(usize, Rc<str>),
    Cloth(usize),
    Buy(usize),
    Total(usize),
}

/// The columns of results, as the first docket has them.
#[derive(Debug, Default)]
pub(super) struct Results {
    places: Vec<Place>,
    /// Their names.
    pub names: Vec<String>,
}

impl Results {
    /// The columns of a docket; with the givens where the table does not hold them.
    pub fn of(docket: &Docket, with_givens: bool) -> Results {
        let mut results = Results::default();
        if with_givens {
            for (at, given) in docket.givens.iter().enumerate() {
                results.push(Place::Given(at), given.name.to_string());
            }
        }
        for (at, shown) in docket.shows.iter().enumerate() {
            match &shown.value.value {
                FigureValue::Record(parts) => {
                    for (name, _) in parts {
                        results.push(Place::Part(at, name.clone()), format!("{}.{name}", shown.label));
                    }
                }
                _ => results.push(Place::Show(at), shown.label.to_string()),
            }
        }
        for (at, cloth) in docket.cloths.iter().enumerate() {
            results.push(Place::Cloth(at), format!("buy {}", cloth.cloth));
        }
        for (at, buy) in docket.buys.iter().enumerate() {
            results.push(Place::Buy(at), format!("buy {}", buy.label));
        }
        for at in 0..docket.totals.len() {
            results.push(Place::Total(at), "total".into());
        }
        results
    }

    fn push(&mut self, place: Place, name: String) {
        self.places.push(place);
        self.names.push(name);
    }

    /// The results of a row, in the order of the columns.
    pub fn pick<'d>(&self, docket: &'d Docket, out: &mut Vec<Result<'d>>) {
        out.extend(self.places.iter().map(|place| place.find(docket)));
    }
}

impl Place {
    fn find<'d>(&self, docket: &'d Docket) -> Result<'d> {
        let whole = |figure: &'d Figure| (&figure.value, &figure.manner);
        match self {
            Place::Given(at) => docket.givens.get(*at).map(|given| whole(&given.value)),
            Place::Show(at) => docket.shows.get(*at).map(|shown| whole(&shown.value)),
            Place::Part(at, name) => {
                let figure = &docket.shows.get(*at)?.value;
                let FigureValue::Record(parts) = &figure.value else { return Some(whole(figure)) };
                let (_, value) = parts.iter().find(|(known, _)| known == name)?;
                Some((value, &figure.manner))
            }
            Place::Cloth(at) => docket.cloths.get(*at).map(|cloth| whole(&cloth.buy)),
            Place::Buy(at) => docket.buys.get(*at).map(|buy| whole(&buy.buy)),
            Place::Total(at) => docket.totals.get(*at).map(whole),
        }
    }
}
