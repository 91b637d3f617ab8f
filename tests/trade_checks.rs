//! Published check values of the trade, row by row: tests/outside/README.md says what the letters mean.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

#[path = "common/entry.rs"]
mod entry;

use entry::holds;

const TABLE: &str = include_str!("outside/trade_checks.csv");

struct Row {
    id: String,
    expected: String,
    unit: String,
    tolerance: String,
    scant: String,
    note: String,
}

fn rows() -> Vec<Row> {
    let mut table = csv::Reader::from_reader(TABLE.as_bytes());
    let header = table.headers().unwrap().clone();
    let at = |name: &str| header.iter().position(|column| column == name).unwrap();
    let columns = ["id", "expected", "unit", "tolerance", "scant", "note"].map(at);
    let row = |record: Result<csv::StringRecord, csv::Error>| {
        let record = record.unwrap();
        let [id, expected, unit, tolerance, scant, note] =
            columns.map(|at| record.get(at).unwrap().to_owned());
        Row { id, expected, unit, tolerance, scant, note }
    };
    table.records().map(row).collect()
}

/// The unit as Scant writes it; counts and ratios have none.
fn unit(written: &str) -> &str {
    match written {
        "in2" => "in^2",
        "cm2" => "cm^2",
        "in" | "yd" | "mm" | "cm" | "m" => written,
        "oz/yd2" => "oz/yd^2",
        "tucks" | "strips" | "pieces" | "pleats" | "ratio" | "x depth" | "x width" => "",
        other => panic!("what is the unit {other}?"),
    }
}

#[test]
fn published_values_come_out() {
    let mut worked = [0; 2];
    for Row { id, expected, unit: written, tolerance, scant, .. } in rows() {
        let unit = unit(&written);
        let contradicts_itself = id.split('-').nth(1).unwrap().starts_with('X');
        let comes_out = match tolerance.as_str() {
            "0" => holds(&format!("({scant}) is {expected} {unit}")),
            _ => holds(&format!("abs(({scant}) - {expected} {unit}) <= {tolerance} {unit}")),
        };
        assert_eq!(
            comes_out, !contradicts_itself,
            "{id}: `{scant}` against {expected} {unit} within {tolerance}"
        );
        worked[usize::from(contradicts_itself)] += 1;
    }
    assert_eq!(worked, [121, 10]);
}

#[test]
fn every_contradiction_is_explained() {
    for row in rows().iter().filter(|row| row.id.contains("-X")) {
        assert!(!row.note.is_empty(), "{} needs its note", row.id);
    }
}

/// What the notes say of the exact answers.
#[test]
fn exact_answers_in_the_notes() {
    assert!(holds("abs(longest_bias_strip(62.86 cm) - 88.9 cm) < 0.05 cm"));
    assert!(holds("bias_surface(5 m, cut: 2.5 cm, shortest: 10 cm) is 1300 cm^2"));
    assert!(holds("bias_from_piece(96 cm by 20 cm, cut: 2 cm, shortest: 10 cm) is 935 cm"));
    assert!(holds("tuck_gap(1.6 cm, depth: 2 mm) is 1.4 cm"));
}
