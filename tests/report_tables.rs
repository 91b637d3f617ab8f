//! Marks come as tables: a list of records with the same parts has headed columns in every report.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

#[path = "common/made.rs"]
mod made;
#[path = "common/read_back.rs"]
#[allow(dead_code)] // shared with the tests of pages
mod read_back;

use clap::ValueEnum;
use scant::docket::FigureValue;
use scant::eval::limits::Limits;
use scant::library;
use scant::recipe::used::NoFiles;
use scant::report::{self, Format, Screen};
use scant::session::entry::Answer;
use scant::session::entry::Session;

use made::made as docket;
use read_back::words_of;

fn bytes(recipe: &str, format: Format) -> Vec<u8> {
    let mut bytes = Vec::new();
    report::write(&docket(recipe), format, &mut bytes).unwrap();
    bytes
}

fn written(recipe: &str, format: Format) -> String {
    String::from_utf8(bytes(recipe, format)).unwrap()
}

const TUCKS: &str = "show \"tucks\": tuck_marks(2, depth: 1/8 in, apart: 1/2 in, margin: 1 in)\n";

#[test]
fn marks_are_read_under_their_heads() {
    let text = written(TUCKS, Format::Text);
    let wanted = "\
  tucks
    tuck    stitch      fold  stitch_to
       1      1 in  1 1/8 in   1 1/4 in
       2  1 3/4 in  1 7/8 in       2 in
";
    assert!(text.contains(wanted), "{text}");
}

#[test]
fn a_record_shows_the_marks_in_it_below_their_name() {
    let crossed = "show \"both ways\": crossed_tucks(10 in by 9 in, in_width: 2, in_length: 1, depth: 1/4 in, margin: 2 in)\n";
    let text = written(crossed, Format::Text);
    let wanted = "\
    across
      tuck    stitch      fold  stitch_to
         1      2 in  2 1/4 in   2 1/2 in
         2  8 1/2 in  8 3/4 in       9 in
";
    assert!(text.contains(wanted), "{text}");
    assert!(text.contains("    crossings     2\n"), "{text}");
}

#[test]
fn rings_of_marks_stand_below_each_other() {
    let text = written("show \"rings\": motif_rings(2, points: 4, apart: 1 cm)\n", Format::Text);
    assert!(text.contains("    1. point    angle  across     up\n"), "{text}");
    assert!(text.contains("    2. point    angle  across     up\n"), "{text}");
    assert!(text.contains("           3  180 deg    0 cm  -2 cm\n"), "{text}");
}

/// A table too wide for the page holds the ruler's marks alone, goes on below where it must, and says so.
#[test]
fn a_wide_table_is_read_by_the_ruler_and_goes_on_below() {
    let text =
        written("show \"box\": box_pleat_marks(2, shows: 10 in / 3, depth: 10 in / 7)\n", Format::Text);
    let wanted = "\
  box
    pleat        laid_from                fold          other_fold
        1             0 in      scant 2 7/8 in  generous 6 3/16 in
        2  scant 9 1/16 in  generous 11 7/8 in     scant 15 1/4 in
    pleat          laid_to
        1  scant 9 1/16 in
        2  scant 18 1/8 in
    (ruler readings; CSV and JSON have the exact values)
";
    assert!(text.contains(wanted), "{text}");
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
}

#[test]
fn in_json_columns_are_named_once() {
    let json: serde_json::Value = serde_json::from_str(&written(TUCKS, Format::Json)).unwrap();
    let table = &json["shows"][0]["value"];
    assert_eq!(table["columns"], serde_json::json!(["tuck", "stitch", "fold", "stitch_to"]));
    assert_eq!(table["rows"][1][2], serde_json::json!({"text": "1 7/8 in", "number": "15/8", "unit": "in"}));
    assert_eq!(table["rows"].as_array().unwrap().len(), 2);
}

#[test]
fn in_csv_a_cell_has_its_column_and_its_row() {
    let csv = written(TUCKS, Format::Csv);
    assert!(csv.contains("\ntable,tucks.fold,2,1 7/8 in,1.875,in,,1\n"), "{csv}");
    assert!(csv.contains("\ntable,tucks.stitch_to,1,1 1/4 in,1.25,in,,1\n"), "{csv}");
}

#[test]
fn at_the_prompt_what_has_parts_is_laid_out() {
    let mut session = Session::new(Limits::default());
    let mut said = |entry: &str| match session.enter(entry, &NoFiles).answers.first() {
        Some(Answer::Value(figure)) => report::figure_on(figure, Screen::default()),
        _ => panic!("`{entry}` says nothing"),
    };
    assert_eq!(said("how many 5 in from 42 in"), "count  8\nleft   2 in");
    let marks = said("tuck_marks(2, depth: 1/8 in, apart: 1/2 in, margin: 1 in)");
    assert!(marks.starts_with("tuck    stitch      fold  stitch_to\n"), "{marks}");
}

/// Every rule whose name says that it gives marks or places gives a table that `draw` and the reports can take:
/// its first column counts the rows from one, and all others are measures.
#[test]
fn rules_of_marks_give_tables() {
    let mut tried = 0;
    for (name, entry) in library::index() {
        let lists = entry.text().contains("): list =");
        if !lists || !(name.ends_with("_marks") || name.ends_with("_points")) {
            continue;
        }
        let example =
            entry.doc_text().lines().find_map(|row| row.trim_start_matches('#').trim().strip_prefix("try "));
        let call = example
            .unwrap()
            .split_once(")[")
            .unwrap_or_else(|| panic!("the example of {name} takes a row"))
            .0;
        let docket = docket(&format!("seam 1/4 in\nshow {call})\n"));
        let table = docket.shows[0].value.value.as_table().unwrap_or_else(|| panic!("{name} gives no table"));
        for (at, row) in table.rows.iter().enumerate() {
            let FigureValue::Measure(first) = row[0] else { panic!("{name} does not count its rows") };
            assert_eq!(first.whole_count(), Some(at as i64 + 1), "{name}");
            assert!(row.iter().all(|cell| matches!(cell, FigureValue::Measure(_))), "{name}");
        }
        tried += 1;
    }
    assert!(tried >= 8, "{tried} rules of marks");
}

#[test]
fn cloth_that_is_not_washed_is_not_called_washed() {
    let cut = |shrink: &str| {
        let cloth = format!(
            "linen = cloth(\"linen\", width: 54 in, selvage: 0 in, shrink: {shrink})\ncut 1 \"mat\" from linen: 8 in by 9 in\n"
        );
        (written(&cloth, Format::Text), written(&format!("{cloth}plan linen\n"), Format::Text))
    };
    let (plain, planned) = cut("0%");
    assert!(plain.contains("In all 8 in of cloth.\n"), "{plain}");
    assert!(!planned.contains("wash") && planned.contains("From 8 in of linen"), "{planned}");
    let (plain, planned) = cut("4%");
    assert!(plain.contains("of cloth, after washing.\n"), "{plain}");
    assert!(planned.contains("of the washed linen"), "{planned}");
}

#[test]
fn the_pieces_of_a_cloth_are_read_in_one_unit() {
    let text = written(
        "linen = cloth(\"linen\", width: 120 cm, selvage: 0 cm)\ncut 3 \"strip\" from linen: 60 cm by 84 mm\n\
         cut 1 \"back\" from linen: 382 mm by 280 mm\n",
        Format::Text,
    );
    for row in ["60 cm by 8.4 cm", "38.2 cm by 28 cm", "1 strip 28 cm wide", "In all 36.4 cm"] {
        assert!(text.contains(row), "{row}: {text}");
    }
    // Where all is written in mm, all is read in mm.
    let text = written(
        "linen = cloth(\"linen\", width: 1200 mm, selvage: 0 mm)\ncut 1 \"back\" from linen: 382 mm by 280 mm\n",
        Format::Text,
    );
    assert!(text.contains("382 mm by 280 mm") && text.contains("In all 280 mm"), "{text}");
}

#[test]
fn what_is_cut_by_a_blade_cautions_of_it_in_every_format() {
    let words = "Close the rotary cutter each time you put it down.";
    let cloth =
        "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)\ncut 1 \"mat\" from linen: 8 in by 9 in\n";
    for format in Format::value_variants() {
        // A picture alone says it in itself, and once more to those who cannot see it. A page of paper without
        // it says it above its pictures; on a screen it stands once, and is there to be printed.
        let in_plan = match format {
            Format::Svg | Format::Html => 2,
            _ => 1,
        };
        let count = |recipe: &str| words_of(&bytes(recipe, *format), *format).matches(words).count();
        assert_eq!(count(&format!("{cloth}plan linen\n")), in_plan, "{format:?}");
        assert_eq!(
            count(&format!("{cloth}plan linen\ncaution \"{words}\"\n")),
            in_plan,
            "{format:?}: a recipe's own words come once"
        );
        // Without a plan the strips are drawn.
        assert_eq!(count(&format!("tool rotary\n{cloth}")), in_plan, "{format:?}: no plan");
        assert_eq!(count(&format!("tool scissors\n{cloth}plan linen\n")), 0, "{format:?}");
    }
}

#[test]
fn a_picture_says_what_its_numbers_are_and_how_large_the_cloth_is() {
    let recipe = "linen = cloth(\"linen\", width: 54 in, selvage: 0 in)\ncut 9 \"mat\" from linen: 18 in by 18 in\nplan linen\n";
    let text = written(recipe, Format::Text);
    assert!(text.contains("The numbers above are those of the cuts in the list.\n"), "{text}");
    assert!(text.lines().any(|line| line.ends_with("│ 54 in") || line.ends_with("┤ 54 in")), "{text}");
    assert!(text.contains("─ 54 in ─"), "{text}");
}

#[test]
fn each_entry_has_its_line() {
    let recipe = "given n = 2\nshow n\nlinen = cloth(\"linen\", width: 54 in, selvage: 0 in)\nhave 1 of linen: 20 in by 20 in at 3 EUR\n\
                  cut n \"mat\" from linen: 8 in by 9 in\nbuy n \"button\"\n";
    let json: serde_json::Value = serde_json::from_str(&written(recipe, Format::Json)).unwrap();
    let lines = [
        &json["givens"][0]["line"],
        &json["shows"][0]["line"],
        &json["cloths"][0]["in_hand"][0]["line"],
        &json["cloths"][0]["pieces"][0]["line"],
        &json["cloths"][0]["line"],
        &json["buys"][0]["line"],
        &json["buys"][1]["line"],
    ];
    assert_eq!(lines.map(|line| line.as_u64().unwrap()), [1, 2, 4, 5, 5, 4, 6]);
    let csv = written(recipe, Format::Csv);
    assert!(csv.contains("\nshow,n,,2,2,,,2\n"), "{csv}");
}
