//! Grading a table: six sizes with units a row, 20 rules, 26 results, CSV in and CSV out.

use std::fmt::Write;
use std::process::ExitCode;

use scant::eval::limits::Limits;
use scant::fault::{Fault, Files};
use scant::grade::{Source, Style, Watch, grade};
use scant::recipe::build::Recipe;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;

use super::clock::{Whose, peak_of_children, taken};
use super::native;
use super::race::{Timed, race, rate};
use super::seeded::Seeded;
use super::start::{myself, said};

const RECIPE: &str = include_str!("grading.scant");
const RECIPE_PATH: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/benches/grading.scant");

/// A table of sizes as people write them.
fn table(rows: u32) -> String {
    let mut lot = Seeded(7);
    let mut out = String::from("size,waist,hip,length,hem,pleat,ease\n");
    for row in 1..=rows {
        let waist = 22 + lot.below(20);
        let hip = waist + 6 + lot.below(6);
        let quarter = lot.one(&["", " 1/4", " 1/2", " 3/4"]);
        let eighth = lot.one(&["", " 1/8", " 3/8", " 1/2", " 5/8", " 7/8"]);
        let (length, half) = (50 + lot.below(30), lot.one(&["", ".5"]));
        let hem = lot.one(&["1 in", "1 1/4 in", "3/4 in", "2 1/2 in"]);
        let pleat = lot.one(&["1/2 in", "5/8 in", "3/4 in"]);
        let ease = lot.one(&["5 cm", "4.5 cm", "6 cm"]);
        let _ = writeln!(
            out,
            "A{row},{waist}{quarter} in,{hip}{eighth} in,{length}{half} cm,{hem},{pleat},{ease}"
        );
    }
    out
}

struct Silent;

impl Watch for Silent {
    fn fault(&mut self, fault: Fault) {
        panic!("{fault:?}");
    }

    fn progress(&mut self, _rows: u64) {}

    fn stopped(&self) -> bool {
        false
    }
}

fn recipe() -> Recipe {
    let mut files = Files::new();
    compile("grading.scant", RECIPE, &mut files, &NoFiles, &Limits::default()).unwrap()
}

fn in_scant(recipe: &mut Recipe, table: &str, out: &mut Vec<u8>) {
    out.clear();
    let source = Source::Csv(Box::new(table.as_bytes()));
    let summary = grade(recipe, source, "table", Style::Readings, out, &mut Silent).unwrap();
    assert_eq!(summary.troubled, 0);
}

fn by_hand(table: &str, out: &mut Vec<u8>) {
    out.clear();
    native::grading::grade(table.as_bytes(), out).unwrap();
}

pub fn task() {
    one("grading 10,000 rows", 10_000, 9);
    one("grading 100,000 rows", 100_000, 3);
}

fn one(task: &'static str, rows: u32, turns: usize) {
    let table = table(rows);
    let mut recipe = recipe();
    let (mut a, mut b) = (Vec::new(), Vec::new());
    by_hand(&table, &mut a);
    in_scant(&mut recipe, &table, &mut b);
    same(&a, &b);
    let native = || by_hand(&table, &mut a);
    let (native, scant) = race(Whose::Own, turns, native, || in_scant(&mut recipe, &table, &mut b));
    let pace = rate(f64::from(rows), scant, "rows");
    Timed { task, native, scant, aim: 6.0, pace }.print();
}

/// What a size of the recipe's own costs among few and among many.
pub fn own_sizes() {
    let each = |sizes: usize| {
        let mut text = String::from("given waist = 28 in\nshow \"band\": waist + 3 in\nsizes\n");
        (0..sizes).for_each(|at| {
            let _ = writeln!(text, "  \"size {at}\" waist = {} in", 20 + at % 30);
        });
        let mut files = Files::new();
        let mut recipe = compile("own.scant", &text, &mut files, &NoFiles, &Limits::default()).unwrap();
        let mut out = Vec::new();
        let start = taken(Whose::Own);
        let summary = grade(&mut recipe, Source::Own, "own", Style::Readings, &mut out, &mut Silent).unwrap();
        assert_eq!((summary.rows, summary.troubled), (sizes as u64, 0));
        (taken(Whose::Own) - start).as_secs_f64() * 1e6 / sizes as f64
    };
    let least = |sizes: usize| (0..5).map(|_| each(sizes)).fold(f64::MAX, f64::min);
    let (few, many) = (least(1_000), least(50_000));
    println!(
        "own sizes             one of 1,000 takes {few:.2} us, one of 50,000 {many:.2} us: {:.2} times",
        many / few
    );
}

/// Two outputs, told apart at the first line in which they differ.
pub fn same(native: &[u8], scant: &[u8]) {
    let (native, scant) = (String::from_utf8_lossy(native), String::from_utf8_lossy(scant));
    for (a, b) in native.lines().zip(scant.lines()) {
        assert_eq!(a, b);
    }
    assert_eq!(native.len(), scant.len());
}

/// Looking on while a program runs: how much memory it held at most.
pub fn watch() -> ExitCode {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    super::start::run(&mut super::start::scant(&args));
    println!("{}", peak_of_children().unwrap_or(f64::NAN));
    ExitCode::SUCCESS
}

/// The memory that `scant grade` takes for a short and for a long table.
pub fn memory() {
    let folder = std::path::Path::new(env!("CARGO_TARGET_TMPDIR"));
    let sum: f64 = said(&mut myself("watch", &["work", "6 * 3/4 in"])).trim().parse().unwrap();
    println!("\nmost memory held: one sum {sum:.1} MB");
    for rows in [10_000, 100_000] {
        let (sizes, made) = (folder.join("sizes.csv"), folder.join("made.csv"));
        std::fs::write(&sizes, table(rows)).unwrap();
        let (sizes, made) = (sizes.to_str().unwrap(), made.to_str().unwrap());
        let args =
            ["grade", RECIPE_PATH, "--sizes", sizes, "--as", "csv", "--readings", "--out", made, "--quiet"];
        let peak: f64 = said(&mut myself("watch", &args)).trim().parse().unwrap();
        println!("most memory held: grading {rows} rows {peak:.1} MB");
    }
}
