//! Tables that do not hold together: refused with the row, and no row lost with status 0.

use crate::bench::{Done, Folder, scant};

const FLAGS: &str = "recipe \"x\"\ngiven flags = 12 from 1 to 60\nshow flags\n";

fn grade(name: &str, table: impl AsRef<[u8]>, format: &str) -> Done {
    let folder = Folder::new();
    folder.write("flags.scant", FLAGS);
    folder.write(name, table);
    scant(folder.path(), &["grade", "flags.scant", "--sizes", name, "--as", format])
}

#[test]
fn an_open_quote_swallows_no_rows() {
    let refused = [
        (
            "size,flags,shelf\na,8,\"top\nb,9,low\nc,10,low\n",
            "row 2 cannot be read: a quote in it is never closed",
        ),
        ("size,flags,shelf\na,8,top\nb,9,\"low\n", "row 3 cannot be read: a quote in it is never closed"),
        (
            "size,flags,shelf\na,8,\"top\nb,9,\"low\"\n",
            "row 2 cannot be read: there is more text in a cell after",
        ),
        (
            "size,flags,shelf\na,8,top\nb,9,\"2 1/2\" wide\"\n",
            "row 3 cannot be read: there is more text in a cell",
        ),
    ];
    for (table, why) in refused {
        let done = grade("t.csv", table, "csv");
        assert_eq!(done.status, 2, "{table}");
        assert!(done.err.contains("error[bad-table]") && done.err.contains(why), "{}", done.err);
    }
    let done = grade("t.csv", "size,flags,shelf\na,8,\"top\nb,9,low\"\nc,10,low\n", "csv");
    assert_eq!(done.status, 1);
    assert!(done.err.contains("its cell `shelf` holds lines that look like rows"), "{}", done.err);
    let done = grade("t.csv", "size,flags,shelf\n\"a \"\"b\"\"\",8,\"top\nnear the door\"\n", "csv");
    assert_eq!((done.status, done.err.contains("error")), (0, false), "{}", done.err);
}

#[test]
fn nothing_stands_behind_an_array() {
    for (table, why) in [
        ("[{\"flags\":8}][{\"flags\":9}]", "there is more text after the end of the array: row 1"),
        ("[{\"flags\":8}] and so on", "there is more text after the end of the array: row 1"),
        ("[{\"flags\":8},]", "the row is missing after the `,` of row 1"),
        ("{\"flags\":8} and so on", "write braces after row 1"),
    ] {
        let done = grade("t.json", table, "json");
        assert_eq!(done.status, 2, "{table}");
        assert!(done.err.contains("error[bad-table]") && done.err.contains(why), "{}", done.err);
    }
    assert_eq!(grade("t.json", "[{\"flags\":8}]\n \n", "json").status, 0);
}

#[test]
fn a_row_that_is_no_text_is_told_and_the_others_are_made() {
    let row = |bad: &[u8]| [b"{\"flags\":8}\n{\"flags\":\"", bad, b"\"}\n{\"flags\":9}\n"].concat();
    for (bad, why) in [(b"\xff" as &[u8], "it is not UTF-8 text"), (b"\\ud800", "has half a character")] {
        let done = grade("t.json", row(bad), "csv");
        assert_eq!(done.status, 1);
        assert_eq!(done.out.lines().count(), 4, "{}", done.out);
        assert!(done.err.contains("row 2") && done.err.contains(why), "{}", done.err);
    }
    let done = grade("t.json", row("x".repeat(1_100_000).as_bytes()), "csv");
    assert_eq!(done.status, 2);
    assert!(done.err.contains("row 2 is longer than a row can be: more than 1 MiB"), "{}", done.err);
    let long = format!("flags,x\n8,a\n9,{}\n", "x".repeat(1_200_000));
    let done = grade("t.csv", long, "csv");
    assert!(done.status == 2 && done.err.contains("more than 1 MiB"), "{}", done.err);
}

#[test]
fn numbers_with_exponents_and_dates_with_hours() {
    let done = grade("t.json", "[{\"flags\":8e0},{\"flags\":1.2E+1}]", "csv");
    assert_eq!((done.status, done.err.as_str()), (0, ""));
    assert!(done.out.contains("1,8e0,8,") && done.out.contains("2,1.2E+1,12,"), "{}", done.out);
    let done = grade("t.csv", "size,flags\na,2026-02-01 00:00:00\nb,1. Feb\n", "csv");
    assert_eq!(done.err.matches("a spreadsheet changed this cell to a date").count(), 2, "{}", done.err);
}

#[test]
fn no_two_keys_are_equal() {
    let done = grade("t.csv", "size,flags,x,x,x 2\na,8,1,2,3\n", "json");
    assert_eq!(done.status, 0, "{}", done.err);
    assert!(done.out.contains(r#""passed":{"x":"1","x 3":"2","x 2":"3"}"#), "{}", done.out);
    let done = grade("t.csv", "size,flags,x,x,x 2\na,8,1,2,3\n", "csv");
    assert!(done.out.starts_with("size,x,x 3,x 2,flags,flags 2,caution,trouble\n"), "{}", done.out);
}

#[test]
fn only_a_whole_measure_goes_out_bare() {
    let table = "size,flags,x,y\na,8,-2+3+cmd|' /C calc'!D2,-3/4 in\n";
    let done = grade("t.csv", table, "csv");
    assert!(done.out.contains(",'-2+3+cmd|' /C calc'!D2,-3/4 in,"), "{}", done.out);
}

#[test]
fn wide_and_long_tables_take_little_memory() {
    let columns: Vec<String> = (0..20_000).map(|at| format!("c{at}")).collect();
    let done = grade("t.csv", format!("flags,{}\n", columns.join(",")), "csv");
    assert!(
        done.status == 2 && done.err.contains("it has 20001 columns, and a table may have 10000"),
        "{}",
        done.err
    );
    let long = "x".repeat(900_000);
    let rows: String = (0..40).map(|_| format!("0,{long}\n")).collect();
    let done = grade("t.csv", format!("flags,note\n{rows}"), "csv");
    assert!(
        done.status == 2 && done.err.contains("none of the first 18 rows can be made"),
        "{:.300}",
        done.err
    );
    let done = grade("t.csv", format!("flags,note\n8,a\n9,{long}\n"), "text");
    assert_eq!(done.status, 0);
    assert!(
        done.out.len() < 3_000
            && done.out.ends_with("Cells of more than 400 letters are cut; CSV and JSON have all of them.\n")
    );
}

#[test]
fn a_rule_that_gives_less_than_nothing_is_told_of_a_table_as_of_a_run() {
    let folder = Folder::new();
    folder.write(
        "band.scant",
        "rule left(waist: length, cut: length): length = waist - cut\ngiven waist = 70 cm\nshow left(waist, 66 cm)\n\
         sizes\n  \"small\" waist = 60 cm\n  \"large\" waist = 80 cm\n",
    );
    folder.write("waists.csv", "name,waist\nlow,61 cm\nlower,40 cm\nhigh,90 cm\n");
    let advice = |place: &str, gives: &str| {
        format!(
            "advice: {place}: `left` gives {gives}, less than nothing\n --> band.scant:1:1\n  |\n\
             1 | rule left(waist: length, cut: length): length = waist - cut\n"
        )
    };
    for (args, place, gives) in [
        (&["grade", "band.scant", "--sizes", "waists.csv"][..], "waists.csv, row 2 (low)", "-5 cm"),
        (
            &["grade", "band.scant", "--sizes", "waists.csv", "--as", "csv"],
            "waists.csv, row 2 (low)",
            "-5 cm",
        ),
        (&["grade", "band.scant", "--as", "json"], "band.scant, row 1 (small)", "-6 cm"),
        (&["grade", "band.scant", "--together"], "band.scant, row 1 (small)", "-6 cm"),
    ] {
        let done = scant(folder.path(), args);
        assert_eq!(done.status, 0, "{args:?}: {}", done.err);
        assert!(done.err.starts_with(&advice(place, gives)), "{args:?}: {}", done.err);
        assert_eq!(done.err.matches("less than nothing").count(), 1, "once for all rows: {}", done.err);
    }
}

const BAND: &str = "recipe \"x\"\ngiven top = 30 cm by 40 cm\ngiven marks = [1 in, 2 in]\nshow \"all\": sum(marks)\n\
    show \"top\": top\n";

#[test]
fn a_heading_gives_its_unit_to_sizes_and_to_each_item_of_a_list() {
    let folder = Folder::new();
    folder.write("band.scant", BAND);
    folder.write(
        "t.csv",
        "size,top (cm),marks (in)\na,28 by 38,\"[1, 1 1/2]\"\nb,32 cm by 42.5,\"[1 1/4, 2.54 cm]\"\n",
    );
    let done = scant(folder.path(), &["grade", "band.scant", "--sizes", "t.csv"]);
    for row in ["2 1/2 in  28 cm by 38 cm", "2 1/4 in  32 cm by 42.5 cm"] {
        assert!(done.out.contains(row), "{}{}", done.out, done.err);
    }
    folder.write("t.csv", "size;marks (cm)\na;\"[2,5; 3]\"\n");
    let done = scant(folder.path(), &["grade", "band.scant", "--sizes", "t.csv"]);
    assert!(done.out.contains("5.5 cm"), "{}{}", done.out, done.err);
}

#[test]
fn each_item_of_a_list_from_outside_is_of_its_kind() {
    let folder = Folder::new();
    folder.write("band.scant", BAND);
    for (set, why) in [
        ("marks=[1 in, 3 kg]", "each item of `marks` is a length, and this one is a weight, 3 kg"),
        ("marks=[1 in, x]", "`--set marks=[1 in, x]`: a measure begins with a number"),
        ("marks=[[1 in], 2 in]", "a measure begins with a number"),
        ("marks=3 in", "`marks` is a list of 2, and this is a length, 3 in"),
        ("top=[1 in]", "`top` is a size, and this is a list of 1"),
    ] {
        let done = scant(folder.path(), &["run", "band.scant", "--set", set]);
        assert!(done.status == 2 && done.err.contains(why), "{set}: {}", done.err);
    }
    let deep = format!("marks={}1 in{}", "[".repeat(50_000), "]".repeat(50_000));
    assert_eq!(scant(folder.path(), &["run", "band.scant", "--set", &deep]).status, 2);
}

#[test]
fn what_has_slack_is_bought_together_too() {
    let folder = Folder::new();
    let recipe = "recipe \"x\"\ngiven side = 5 in\nbuy 4 * (side ± 1/16 in) \"tape\" at 1 EUR/m\n\
        buy 3 m \"cord\"\nsizes\n  \"a\" side = 4 in\n  \"b\" side = 5 in\n";
    folder.write("slack.scant", recipe);
    let done = scant(folder.path(), &["grade", "slack.scant", "--together"]);
    assert!(done.out.contains("for 36 in ± 1/2 in"), "{}{}", done.out, done.err);
    assert!(done.out.contains("36 1/2 in  at 1.00 EUR/m"), "{}", done.out);
    assert_eq!(done.out.matches("tape").count(), 1, "{}", done.out);
}
