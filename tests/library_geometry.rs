//! The library's geometry against an independent library: tests/outside/geometry_oracle.py wrote the values.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

#[path = "common/entry.rs"]
mod entry;

use entry::holds;

const TABLE: &str = include_str!("outside/geometry_expected.csv");

/// A millionth of an inch: far below a thread, far above the oracle's own error.
const WITHIN: &str = "0.000001";

#[test]
fn the_geometry_agrees_with_an_independent_library() {
    let mut table = csv::Reader::from_reader(TABLE.as_bytes());
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
    assert!(worked > 320, "{worked} rows only");
}
