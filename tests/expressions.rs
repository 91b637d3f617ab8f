//! Random expressions against Python's fractions: `tests/outside/expressions.py` made them and their values.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // a case that is not as expected is a test that fails

#[path = "common/entry.rs"]
mod entry;

#[test]
fn every_expression_has_the_value_that_fractions_give() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/outside/expressions.csv");
    let mut rows = csv::Reader::from_path(path).unwrap();
    let mut wrong = Vec::new();
    let mut seen = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let value = row[2].replace('/', " / ");
        let value = match &row[1] {
            "number" => format!("({value})"),
            "length" => format!("({value}) mm"),
            "area" => format!("({value}) mm^2"),
            other => panic!("what is {other}?"),
        };
        seen += 1;
        if !entry::holds(&format!("({}) is {value}", &row[0])) {
            wrong.push(row[0].to_owned());
        }
    }
    assert!(wrong.is_empty(), "{} of {seen} differ: {wrong:#?}", wrong.len());
    assert!(seen > 1_500);
}
