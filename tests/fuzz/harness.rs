//! What must hold of any bytes at all: each function ends, in bounded work, and panics where something
//! does not hold.
#![allow(dead_code, clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a law that is broken panics

use std::fmt::Write as _;
use std::io::Write;

use clap::ValueEnum;
use scant::eval::limits::Limits;
use scant::fault::{Fault, FileId, Files, json, plain};
use scant::grade::{Ended, Source, Style, Watch, grade};
use scant::measure::{Manner, literal, size};
use scant::prompt::{World, one};
use scant::recipe::build::compile;
use scant::recipe::inputs::read_value;
use scant::recipe::used::{Host, NoFiles};
use scant::report::{Format, Screen, write};
use scant::session::entry::Session;

/// Takes any bytes.
pub type Target = fn(&[u8]);

/// Every function here, by its name.
pub const ALL: &[(&str, Target)] = &[
    ("reader", reader),
    ("pipeline", pipeline),
    ("tables", tables),
    ("numbers", numbers),
    ("planner", planner),
    ("prompt", prompt),
];

/// Small limits, so that a fuzzer sees many texts a second.
fn limits() -> Limits {
    Limits {
        work: 200_000,
        depth: 2_000,
        items: 20_000,
        text: 64 << 10,
        planning: 50_000,
        ..Limits::default()
    }
}

/// Nothing of it moves a cursor or hides.
fn harmless(text: &str) {
    let bad = |c: char| {
        c.is_control() && c != '\n'
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{e0000}'..='\u{e0fff}')
    };
    assert!(!text.contains(bad), "{text:?}");
}

fn told(faults: &[Fault], files: &Files) {
    harmless(&plain(faults, files));
    let lines = json(faults, files);
    harmless(&lines);
    assert_eq!(lines.lines().count(), faults.len());
    for line in lines.lines() {
        assert!(serde_json::from_str::<serde_json::Value>(line).is_ok(), "{line}");
    }
}

/// Text in, tree and faults out, each fault with a place in the text.
pub fn reader(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let mut files = Files::new();
    let id = files.add(scant::fault::File::new("fuzz.scant", text.as_ref()));
    let read = scant::syntax::read(FileId(0), &text);
    for fault in &read.faults {
        let span = fault.span().expect("a fault of the reader has a place");
        assert!(span.file == id && span.start <= span.end && span.end as usize <= text.len(), "{fault:?}");
    }
    told(&read.faults, &files);
}

/// A recipe checked, run, and reported in each format.
pub fn pipeline(data: &[u8]) {
    made(&String::from_utf8_lossy(data));
}

/// Runs a recipe; whether it came to a docket.
fn made(text: &str) -> bool {
    let mut files = Files::new();
    let mut recipe = match compile("fuzz.scant", text, &mut files, &NoFiles, &limits()) {
        Ok(recipe) => recipe,
        Err(faults) => {
            assert!(!faults.is_empty());
            told(&faults, &files);
            return false;
        }
    };
    told(&recipe.second_look(&files), &files);
    let run = recipe.run(&[], None);
    told(&run.faults, &files);
    if !run.faults.is_empty() {
        return false;
    }
    for format in Format::value_variants() {
        let mut out = Vec::new();
        write(&run.docket, *format, &mut out).expect("nothing fails in memory");
        if format.is_binary() {
            let begins: &[u8] = if *format == Format::Pdf { b"%PDF-1.7" } else { b"PK\x03\x04" };
            assert!(out.starts_with(begins));
            continue;
        }
        let page = String::from_utf8(out).expect("a report is text");
        if *format == Format::Json {
            harmless(&page);
            assert!(serde_json::from_str::<serde_json::Value>(&page).is_ok(), "{page}");
        }
    }
    true
}

struct Nobody;

impl Watch for Nobody {
    fn fault(&mut self, fault: Fault) {
        harmless(&plain(&[fault], &Files::new()));
    }

    fn progress(&mut self, _rows: u64) {}

    fn stopped(&self) -> bool {
        false
    }
}

/// A table, CSV or JSON by the first byte, graded in each style: as many rows come out as are counted.
pub fn tables(data: &[u8]) {
    let Some((kind, table)) = data.split_first() else { return };
    let recipe = "given wide = 3 in from 1/8 in to 900 in\ngiven word = \"a\"\nshow wide * 2\nshow word\n";
    let screen = Style::Screen(Screen { columns: 50, colour: false });
    for style in &[Style::Text, screen, Style::Csv, Style::Readings, Style::JsonLines] {
        let mut files = Files::new();
        let mut recipe = compile("fuzz.scant", recipe, &mut files, &NoFiles, &limits()).expect("it is sound");
        let source = match kind % 2 {
            0 => Source::Csv(Box::new(table)),
            _ => Source::Json(Box::new(table)),
        };
        let mut out = Vec::new();
        let graded = grade(&mut recipe, source, "fuzz.csv", *style, &mut out, &mut Nobody);
        let text = String::from_utf8(out).expect("rows are text");
        harmless(&text);
        match (graded, style) {
            (Ok(summary), Style::JsonLines) => assert_eq!(text.lines().count() as u64, summary.rows),
            (Ok(summary), Style::Csv | Style::Readings) => {
                assert_eq!(text.lines().count() as u64, summary.rows + 1)
            }
            (Ok(_), Style::Text | Style::Screen(_)) => {}
            (Err(Ended::Fault(fault)), _) => told(&[*fault], &Files::new()),
            (Err(Ended::Write(error)), _) => panic!("nothing fails in memory: {error}"),
        }
    }
}

/// A text read as a measure: what its exact reading says reads back as the same.
pub fn numbers(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    let _ = (size(text), read_value(text, false));
    let Ok(quantity) = literal(text) else { return };
    let mut shown = quantity.show(&Manner::default());
    // What stands in brackets is the true value, unless it is cut.
    if let Some((_, inner)) = shown.clone().rsplit_once(" (") {
        shown = inner.trim_end_matches(')').to_owned();
    }
    if ["about", "scant", "generous", "under"].iter().any(|word| shown.starts_with(word)) {
        return;
    }
    let back = literal(&shown).unwrap_or_else(|fault| panic!("{text}: {shown}: {}", fault.message));
    assert!(back.compare(&quantity).is_ok_and(|order| order.is_eq()), "{text}: {shown}");
}

/// Pieces of all sizes on a cloth: debug builds go through each plan with the checker.
pub fn planner(data: &[u8]) {
    let mut bytes = data.iter().copied();
    let mut next = || u64::from(bytes.next().unwrap_or(0));
    const PARTS: [u64; 8] = [1, 2, 3, 7, 8, 16, 10, 64];
    const TURNS: [&str; 3] = ["", ", may turn", ", on grain"];
    const WAYS: [&str; 4] = ["", " in strips", " edge to edge", " any way"];
    let mut text = String::from("recipe \"fuzz\"\n");
    let _ = writeln!(text, "l = cloth(\"l\", width: {} in, selvage: 1/4 in, shop: 1/8 yd)", next() + 20);
    if next() % 3 == 0 {
        let _ =
            writeln!(text, "have {} of l: {} in by {} in", next() % 5 + 1, next() % 60 + 1, next() % 90 + 1);
    }
    for piece in 0..next() % 7 + 1 {
        let (a, b) = (PARTS[next() as usize % 8], PARTS[next() as usize % 8]);
        let (count, across, along) = (next() % 40 + 1, next() + 1, next() * 3 + 1);
        let turn = TURNS[next() as usize % 3];
        let _ = writeln!(text, "cut {count} \"p{piece}\" from l: {across}/{a} in by {along}/{b} in{turn}");
    }
    let _ = writeln!(text, "plan l{}", WAYS[next() as usize % 4]);
    made(&text);
}

/// Files that are not there.
struct Nowhere;

impl Host for Nowhere {
    fn beside(&self, _path: &str) -> Result<String, String> {
        Err("there is no such file".into())
    }
}

impl World for Nowhere {
    fn load(&self, _path: &str) -> Result<String, String> {
        Err("there is no such file".into())
    }

    fn save(&self, _path: &str, text: &str, _again: bool) -> Result<(), String> {
        // What is saved is a recipe that compiles.
        let mut files = Files::new();
        let compiled = compile("saved.scant", text, &mut files, &NoFiles, &limits());
        compiled.map(|_| ()).map_err(|faults| plain(&faults, &files))
    }
}

/// Entries of a prompt, one a row.
pub fn prompt(data: &[u8]) {
    let text = String::from_utf8_lossy(data);
    let mut session = Session::new(limits());
    for entry in text.split('\n').take(30) {
        let mut out = Vec::new();
        let goes_on =
            one(entry, &mut session, &Nowhere, Screen::default(), &mut out).expect("nothing fails in memory");
        out.flush().expect("nothing fails in memory");
        harmless(&String::from_utf8(out).expect("answers are text"));
        if !goes_on {
            return;
        }
    }
}
