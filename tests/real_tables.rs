//! Two published size tables, graded whole by the program and compared cell by cell with an independent
//! computation in fractions (tests/outside/grade_oracle.py).
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::process::Command;

use scant::measure::{Quantity, literal};
use serde_json::Value;

/// The bounds of a number in the output; an exact one is both.
type Bounds = (Quantity, Quantity);

/// What the program makes of a table: for each size its results by name.
fn graded(recipe: &str, sizes: &str) -> BTreeMap<String, BTreeMap<String, Bounds>> {
    let run = Command::new(env!("CARGO_BIN_EXE_scant"))
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(["grade", recipe, "--sizes", sizes, "--as", "json"])
        .output()
        .unwrap();
    assert!(run.status.success(), "{}", String::from_utf8_lossy(&run.stderr));
    let text = String::from_utf8(run.stdout).unwrap();
    text.lines().map(row).collect()
}

fn row(line: &str) -> (String, BTreeMap<String, Bounds>) {
    let row: Value = serde_json::from_str(line).unwrap();
    let mut results = BTreeMap::new();
    for (name, value) in row["results"].as_object().unwrap() {
        gather(name, value, &mut results);
    }
    (row["size"].as_str().unwrap().to_owned(), results)
}

/// A measure by its name; the items of a list and the sides of a size by theirs behind it.
fn gather(name: &str, value: &Value, results: &mut BTreeMap<String, Bounds>) {
    if let Some(items) = value.get("items").or(Some(value)).and_then(Value::as_array) {
        for (at, item) in items.iter().enumerate() {
            gather(&format!("{name} {}", at + 1), item, results);
        }
    } else if value.get("across").is_some() {
        gather(&format!("{name} across"), &value["across"], results);
        gather(&format!("{name} along"), &value["along"], results);
    } else {
        let unit = value["unit"].as_str().unwrap_or_default();
        let read = |number: &Value| literal(&format!("{} {unit}", number.as_str().unwrap())).unwrap();
        let number = &value["number"];
        let bounds = match number.get("about") {
            Some(about) => (read(&about[0]), read(&about[1])),
            None => (read(number), read(number)),
        };
        results.insert(name.to_owned(), bounds);
    }
}

/// Whether a value is what the oracle says: the very same where that is exact, else held by the bounds, the
/// oracle's own twelve decimals allowed for.
fn agrees((low, high): &Bounds, value: &str, unit: &str, kind: &str) -> bool {
    let wanted = literal(&format!("{value} {unit}")).unwrap();
    let exact = low.compare(high) == Ok(Ordering::Equal);
    if kind == "exact" {
        return exact && low.compare(&wanted) == Ok(Ordering::Equal);
    }
    let near = literal(&format!("0.000000000001 {unit}")).unwrap();
    let far = |a: &Quantity, b: &Quantity| a.sub(b).unwrap().compare(&near) == Ok(Ordering::Greater);
    !exact && !far(low, &wanted) && !far(&wanted, high) && !far(high, low)
}

/// Every cell of the oracle comes out, and nothing that is measured is left without one.
fn compare(recipe: &str, sizes: &str, expected: &str, cells: usize) {
    let mut graded = graded(recipe, sizes);
    let mut oracle = csv::Reader::from_reader(expected.as_bytes());
    let mut compared = 0;
    for row in oracle.records() {
        let row = row.unwrap();
        let [size, result, value, unit, kind] = [0, 1, 2, 3, 4].map(|at| row.get(at).unwrap());
        let got = graded.get_mut(size).and_then(|results| results.remove(result));
        let got = got.unwrap_or_else(|| panic!("{size} has no `{result}`"));
        assert!(agrees(&got, value, unit, kind), "{size}, {result}: {got:?} against {value} {unit}");
        compared += 1;
    }
    assert_eq!(compared, cells);
    let bought = |name: &&String| name.starts_with("buy ") || *name == "total";
    let left: Vec<_> = graded.values().flat_map(BTreeMap::keys).filter(|name| !bought(name)).collect();
    assert!(left.is_empty(), "not compared: {left:?}");
}

#[test]
fn the_apron_over_a_japanese_table() {
    let expected = include_str!("outside/apron_expected.csv");
    compare("examples/loft_apron.scant", "tests/outside/apron_sizes.csv", expected, 7 * 9);
}

#[test]
fn the_circle_skirt_over_a_table_of_figure_types() {
    let expected = include_str!("outside/skirt_expected.csv");
    compare("examples/quay_skirt.scant", "tests/outside/skirt_sizes.csv", expected, 15 * 8);
}

/// The tables that are graded hold the published sizes, every one.
#[test]
fn the_tables_are_whole() {
    for (published, graded) in [
        (include_str!("outside/women_jis_l4005.csv"), include_str!("outside/apron_sizes.csv")),
        (include_str!("outside/women_us_figure_types.csv"), include_str!("outside/skirt_sizes.csv")),
    ] {
        assert_eq!(published.lines().count(), graded.lines().count());
    }
}

#[test]
fn a_wrong_cell_would_be_seen() {
    let third = literal("80/3 cm").unwrap();
    let exact = (third.clone(), third);
    assert!(agrees(&exact, "80/3", "cm", "exact"));
    assert!(!agrees(&exact, "26.666666666667", "cm", "exact"));
    assert!(!agrees(&exact, "26.666666666667", "cm", "about"));
    let near = (literal("1.4142135623730 in").unwrap(), literal("1.4142135623731 in").unwrap());
    assert!(agrees(&near, "1.414213562373", "in", "about"));
    assert!(!agrees(&near, "1.414213562379", "in", "about"));
}
