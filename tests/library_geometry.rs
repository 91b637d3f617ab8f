//! The library's geometry against an independent library: tests/outside/geometry_oracle.py wrote the values.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

use scant::docket::FigureValue;
use scant::engine::{Limits, NoFiles, Said, Session};
use scant::fault;

const TABLE: &str = include_str!("outside/geometry_expected.csv");

/// A millionth of an inch: far below a thread, far above the oracle's own error.
const WITHIN: &str = "0.000001";

fn holds(entry: &str) -> bool {
    let mut session = Session::new(Limits::default());
    let entered = session.enter(entry, &NoFiles);
    assert!(entered.faults.is_empty(), "{}", fault::plain(&entered.faults, &session.files));
    match entered.said.last() {
        Some(Said::Value(figure)) => matches!(figure.value, FigureValue::YesNo(true)),
        _ => panic!("`{entry}` says nothing"),
    }
}

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
    assert!(worked > 250, "{worked} rows only");
}
