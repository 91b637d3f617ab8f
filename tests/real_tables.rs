//! Two published size tables, graded whole and compared cell by cell with an independent computation in
//! fractions (tests/outside/grade_oracle.py).
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

use std::cmp::Ordering;
use std::collections::BTreeMap;

use scant::docket::{Docket, FigureValue};
use scant::engine::{Limits, NoFiles, Recipe, Set, compile, read_value};
use scant::fault::{self, Files};
use scant::measure::{Quantity, literal};

fn table(text: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
    reader.records().map(|record| record.unwrap().iter().map(str::to_owned).collect()).collect()
}

fn recipe(name: &str, text: &str) -> Recipe {
    let mut files = Files::new();
    match compile(name, text, &mut files, &NoFiles, &Limits::default()) {
        Ok(recipe) => recipe,
        Err(faults) => panic!("{}", fault::plain(&faults, &files)),
    }
}

/// The docket of each row, by the name of its size; columns that are no givens are passed over.
fn graded(recipe: &mut Recipe, sizes: &str) -> BTreeMap<String, Docket> {
    let rows = table(sizes);
    let (header, rows) = rows.split_first().unwrap();
    let place = |column: &String| recipe.givens.iter().position(|given| *given.name == **column);
    let givens: Vec<Option<usize>> = header.iter().map(place).collect();
    let mut dockets = BTreeMap::new();
    for row in rows {
        let cell = |(cell, given): (&String, &Option<usize>)| {
            Some(Set { given: (*given)?, value: read_value(cell, false).unwrap(), span: None })
        };
        let set: Vec<Set> = row.iter().zip(&givens).filter_map(cell).collect();
        let run = recipe.run(&set, Some(row[0].as_str().into()));
        assert!(
            run.faults.is_empty() && run.checks_hold(),
            "{}: {:?} {:?}",
            row[0],
            run.faults,
            run.docket.checks
        );
        dockets.insert(row[0].clone(), run.docket);
    }
    dockets
}

/// Every measure that a docket shows, by its label and its place in a list or a size.
fn shown(docket: &Docket) -> BTreeMap<String, Quantity> {
    let mut measures = BTreeMap::new();
    for show in &docket.shows {
        match &show.value.value {
            FigureValue::Measure(quantity) => {
                measures.insert(show.label.to_string(), quantity.clone());
            }
            FigureValue::Size(size) => {
                measures.insert(format!("{} across", show.label), size.0.clone());
                measures.insert(format!("{} along", show.label), size.1.clone());
            }
            FigureValue::List(items) => {
                for (at, item) in items.iter().enumerate() {
                    let FigureValue::Measure(quantity) = item else {
                        panic!("{} holds no measures", show.label)
                    };
                    measures.insert(format!("{} {}", show.label, at + 1), quantity.clone());
                }
            }
            _ => panic!("{} is no measure", show.label),
        }
    }
    measures
}

/// Whether a value is what the oracle says: the very same where that is exact, else to 1e-9.
fn agrees(got: &Quantity, value: &str, unit: &str, kind: &str) -> bool {
    let wanted = literal(&format!("{value} {unit}")).unwrap();
    if kind == "exact" {
        return got.is_exact() && got.compare(&wanted) == Ok(Ordering::Equal);
    }
    let near = literal(&format!("0.000000001 {unit}")).unwrap();
    !got.is_exact() && got.sub(&wanted).unwrap().abs().compare(&near) == Ok(Ordering::Less)
}

/// Every cell of the oracle is shown, and nothing is shown that the oracle does not know.
fn compare(recipe: &mut Recipe, sizes: &str, expected: &str, cells: usize) {
    let mut dockets: BTreeMap<String, BTreeMap<String, Quantity>> =
        graded(recipe, sizes).iter().map(|(size, docket)| (size.clone(), shown(docket))).collect();
    let rows = table(expected);
    for row in &rows[1..] {
        let [size, result, value, unit, kind] = &row[..] else { panic!("a ragged row: {row:?}") };
        let got = dockets.get_mut(size).and_then(|shown| shown.remove(result));
        let got = got.unwrap_or_else(|| panic!("{size} shows no `{result}`"));
        assert!(
            agrees(&got, value, unit, kind),
            "{size}, {result}: {} against {value} {unit}",
            got.exact_text()
        );
    }
    assert_eq!(rows.len() - 1, cells);
    let left: Vec<_> = dockets.values().flatten().collect();
    assert!(left.is_empty(), "not looked at: {left:?}");
}

#[test]
fn the_apron_over_a_japanese_table() {
    let mut recipe = recipe("loft_apron.scant", include_str!("../examples/loft_apron.scant"));
    let (sizes, expected) =
        (include_str!("outside/apron_sizes.csv"), include_str!("outside/apron_expected.csv"));
    compare(&mut recipe, sizes, expected, 7 * 9);
}

#[test]
fn the_circle_skirt_over_a_table_of_figure_types() {
    let mut recipe = recipe("quay_skirt.scant", include_str!("../examples/quay_skirt.scant"));
    let (sizes, expected) =
        (include_str!("outside/skirt_sizes.csv"), include_str!("outside/skirt_expected.csv"));
    compare(&mut recipe, sizes, expected, 15 * 8);
}

#[test]
fn a_wrong_cell_would_be_seen() {
    let got = literal("80/3 cm").unwrap();
    assert!(agrees(&got, "80/3", "cm", "exact"));
    assert!(!agrees(&got, "26.666666666667", "cm", "exact"));
    assert!(!agrees(&got, "26.666666666667", "cm", "about"));
}
