//! The library's numbers against independent libraries: geometry_oracle.py, rules_oracle.py and parts_oracle.py in
//! tests/outside wrote the values.
#![allow(clippy::unwrap_used, clippy::panic, clippy::string_slice)] // what is wrong here is a test that fails

#[path = "common/entry.rs"]
mod entry;

use entry::holds;
use scant::library;

const GEOMETRY: &str = include_str!("outside/geometry_expected.csv");
const RULES: &str = include_str!("outside/rules_expected.csv");
const PARTS: &str = include_str!("outside/parts_expected.csv");

/// A millionth of an inch: far below a thread, far above the oracles' own errors.
const WITHIN: &str = "0.000001";

/// Rules that give no number of their own: words, yes or no, and what those are made of.
const NO_NUMBER: &[&str] = &["text", "yes_no"];

/// Works each row of a table; gives how many there are.
fn agrees(table: &str) -> usize {
    let mut table = csv::Reader::from_reader(table.as_bytes());
    let mut wrong = Vec::new();
    let mut worked = 0;
    for record in table.records() {
        let record = record.unwrap();
        let [what, scant, expected, unit] = [0, 1, 2, 3].map(|at| record.get(at).unwrap());
        if !holds(&format!("abs(({scant}) - ({expected}) {unit}) <= {WITHIN} {unit}")) {
            wrong.push(format!("{what}: `{scant}` against {expected} {unit}"));
        }
        worked += 1;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    worked
}

#[test]
fn the_geometry_agrees_with_an_independent_library() {
    assert!(agrees(GEOMETRY) >= 358);
}

/// Fractions that no ruler has, millimetres, and the bounds of what is sensible.
#[test]
fn every_number_agrees_on_odd_inputs() {
    assert!(agrees(RULES) >= 920);
}

/// The further numbers of rules that give many.
#[test]
fn the_parts_of_records_agree_on_odd_inputs() {
    assert!(agrees(PARTS) >= 240);
}

#[test]
fn every_rule_that_gives_a_number_is_worked_a_second_time() {
    let both = [GEOMETRY, RULES].join("\n");
    let word = |c: char| c.is_ascii_alphanumeric() || c == '_';
    let missing: Vec<&str> = library::index()
        .iter()
        .filter(|(_, entry)| {
            let text = entry.text();
            // A drawing shows what other rules give.
            let draws = library::FILES.get(entry.file).is_some_and(|(file, _)| *file == "drawings.scant");
            !draws
                && !NO_NUMBER.iter().any(|kind| {
                    text.contains(&format!("): {kind} = ")) || text.contains(&format!("): {kind} =\n"))
                })
        })
        .map(|(name, _)| *name)
        .filter(|name| {
            let call = format!("{name}(");
            !both.match_indices(&call).any(|(at, _)| !both[..at].ends_with(word))
        })
        .collect();
    assert!(missing.is_empty(), "no independent value for {missing:?}");
}
