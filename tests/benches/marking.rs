//! A marking table of ten thousand rows, written out.

use std::fmt::Write;

use scant::docket::Docket;
use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::report::{csv, text};

use super::clock::Whose;
use super::grading::same;
use super::native::length::{Length, push_decimal};
use super::native::ratio::Ratio;
use super::race::{Timed, race, rate};

const ROWS: u32 = 10_000;

const RECIPE: &str = r#"
ruler 1/16 in
given depth = 1/8 in
given apart = 9/16 in
given margin = 1 1/2 in
show "marks": each k from 1 to 10000: {
    tuck: k,
    stitch: margin + (k - 1) * apart,
    fold: margin + (k - 1) * apart + depth,
    stitch_to: margin + (k - 1) * apart + 2 * depth,
}
"#;

struct Mark {
    tuck: i64,
    stitch: Length,
    fold: Length,
    stitch_to: Length,
}

fn docket() -> Docket {
    let mut files = Files::new();
    let mut recipe = compile("marks.scant", RECIPE, &mut files, &NoFiles, &Limits::default()).unwrap();
    let run = recipe.run(&[], None);
    assert!(run.faults.is_empty(), "{:?}", run.faults);
    // The table alone, without what else stands on the page.
    Docket { shows: run.docket.shows, ..Docket::default() }
}

fn marks() -> Vec<Mark> {
    let (depth, apart, margin) = (Length::inches(1, 8), Length::inches(9, 16), Length::inches(3, 2));
    let mark = |k: i64| {
        let stitch = margin + apart * (k - 1);
        Mark { tuck: k, stitch, fold: stitch + depth, stitch_to: stitch + depth * 2 }
    };
    (1..=i64::from(ROWS)).map(mark).collect()
}

fn by_hand(marks: &[Mark], out: &mut Vec<u8>) {
    let shown = |length: Length| {
        let mut out = String::with_capacity(40);
        length.push(&mut out);
        out
    };
    let head = ["tuck", "stitch", "fold", "stitch_to"].map(str::to_owned);
    let rows = marks
        .iter()
        .map(|mark| [mark.tuck.to_string(), shown(mark.stitch), shown(mark.fold), shown(mark.stitch_to)]);
    let cells: Vec<[String; 4]> = std::iter::once(head).chain(rows).collect();
    let mut widths = [0; 4];
    for row in &cells {
        for (width, cell) in widths.iter_mut().zip(row) {
            *width = cell.len().max(*width);
        }
    }
    let [w, x, y, z] = widths;
    let mut page = String::from("WORKED OUT\n  marks\n");
    for [tuck, stitch, fold, stitch_to] in &cells {
        let _ = writeln!(page, "    {tuck:>w$}  {stitch:>x$}  {fold:>y$}  {stitch_to:>z$}");
    }
    out.clear();
    out.extend_from_slice(page.as_bytes());
}

/// The same rows for a spreadsheet: a reading and a plain number for each cell.
fn csv_by_hand(marks: &[Mark], out: &mut Vec<u8>) {
    let mut page = String::from("section,label,count,value,number,unit,note,line\n");
    for (at, mark) in marks.iter().enumerate() {
        let _ = writeln!(page, "table,marks.tuck,{0},{1},{1},,,6", at + 1, mark.tuck);
        for (name, length) in [("stitch", mark.stitch), ("fold", mark.fold), ("stitch_to", mark.stitch_to)] {
            let _ = write!(page, "table,marks.{name},{},", at + 1);
            length.push(&mut page);
            page.push(',');
            push_decimal(length.value / Ratio::whole(length.unit.factor()), &mut page);
            page.push_str(",in,,6\n");
        }
    }
    out.clear();
    out.extend_from_slice(page.as_bytes());
}

fn csv_in_scant(docket: &Docket, out: &mut Vec<u8>) {
    out.clear();
    csv(docket, out).unwrap();
}

fn in_scant(docket: &Docket, out: &mut Vec<u8>) {
    out.clear();
    text(docket, out).unwrap();
}

pub fn task() {
    let (marks, docket) = (marks(), docket());
    let (mut a, mut b) = (Vec::new(), Vec::new());
    by_hand(&marks, &mut a);
    in_scant(&docket, &mut b);
    same(&a, &b);
    let (native, scant) = race(Whose::Own, 15, || by_hand(&marks, &mut a), || in_scant(&docket, &mut b));
    let pace = rate(f64::from(ROWS), scant, "rows");
    Timed { task: "marking table of 10,000 rows", native, scant, aim: 3.0, pace }.print();
    csv_by_hand(&marks, &mut a);
    csv_in_scant(&docket, &mut b);
    same(&a, &b);
    let (native, scant) =
        race(Whose::Own, 15, || csv_by_hand(&marks, &mut a), || csv_in_scant(&docket, &mut b));
    let pace = rate(f64::from(ROWS), scant, "rows");
    Timed { task: "the same table as CSV", native, scant, aim: 3.0, pace }.print();
}
