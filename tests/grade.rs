//! Tables graded through a recipe that is a stand-in: what is read, what is written, what is told.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)] // a table that is not as expected is a test that fails

use std::io::Read;
use std::rc::Rc;

use scant::docket::{Check, Docket, Figure, FigureValue, Shown};
use scant::fault::{Code, Fault, Level};
use scant::grade::{Cell, Ended, Recipe, RowFault, Source, Style, Summary, Watch, grade};
use scant::measure::{Manner, Quantity, literal};
use scant::report::Screen;

/// An apron: a waist, a loft, a cloth; it shows twice the waist.
struct Apron {
    made: u64,
}

impl Apron {
    fn docket(waist: &Quantity, cloth: &str) -> Docket {
        let figure = |value| Figure { value, manner: Manner::default() };
        let twice = waist.add(waist).unwrap();
        let narrow = twice.compare(&literal("160 cm").unwrap()).unwrap().is_le();
        Docket {
            shows: vec![
                Shown { label: "band".into(), value: figure(FigureValue::Measure(twice)), line: 1 },
                Shown { label: "cloth".into(), value: figure(FigureValue::Text(cloth.into())), line: 2 },
            ],
            checks: vec![Check {
                passed: narrow,
                open: false,
                message: "the band is too long".into(),
                detail: None,
                line: 3,
            }],
            ..Docket::default()
        }
    }
}

impl Recipe for Apron {
    fn givens(&self) -> Vec<Rc<str>> {
        vec!["waist".into(), "loft".into(), "cloth".into()]
    }

    fn holds_words(&mut self, given: usize) -> bool {
        given == 2
    }

    fn make(&mut self, cells: &[Cell<'_>], _size: &str) -> Result<Docket, Vec<RowFault>> {
        self.made += 1;
        let mut waist = literal("70 cm").unwrap();
        let mut cloth = "linen";
        for cell in cells {
            match cell.given {
                2 => cloth = cell.text,
                given => {
                    let bad = |message: String| {
                        vec![RowFault { given: Some(given), fault: Fault::nowhere(Code::BadCell, message) }]
                    };
                    let read = literal(cell.text).map_err(|fault| bad(fault.message))?;
                    if read.dim != waist.dim {
                        return Err(bad("a length is wanted".into()));
                    }
                    waist = if given == 0 { read } else { waist };
                }
            }
        }
        Ok(Apron::docket(&waist, cloth))
    }

    fn own_sizes(&self) -> Vec<Rc<str>> {
        vec!["small".into(), "large".into()]
    }

    fn make_own(&mut self, size: usize) -> Result<Docket, Vec<RowFault>> {
        Ok(Apron::docket(&literal(["60 cm", "75 cm"][size]).unwrap(), "linen"))
    }
}

#[derive(Default)]
struct Seen {
    faults: Vec<Fault>,
    progress: Vec<u64>,
    stop: bool,
}

impl Watch for Seen {
    fn fault(&mut self, fault: Fault) {
        self.faults.push(fault);
    }

    fn progress(&mut self, rows: u64) {
        self.progress.push(rows);
    }

    fn stopped(&self) -> bool {
        self.stop
    }
}

struct Graded {
    summary: Summary,
    text: String,
    seen: Seen,
}

impl Graded {
    fn messages(&self) -> Vec<&str> {
        self.seen.faults.iter().map(|fault| fault.message.as_str()).collect()
    }

    /// What is wrong, advice left aside.
    fn errors(&self) -> Vec<&str> {
        let faults = self.seen.faults.iter().filter(|fault| fault.level != Level::Advice);
        faults.map(|fault| fault.message.as_str()).collect()
    }
}

fn csv(table: &[u8]) -> Source<'_> {
    Source::Csv(Box::new(table))
}

fn json(table: &str) -> Source<'_> {
    Source::Json(Box::new(table.as_bytes()))
}

fn graded(source: Source<'_>, style: Style) -> Graded {
    let (mut out, mut seen) = (Vec::new(), Seen::default());
    let summary = grade(&mut Apron { made: 0 }, source, "sizes", style, &mut out, &mut seen).unwrap();
    Graded { summary, text: String::from_utf8(out).unwrap(), seen }
}

/// The fault that ends a table.
fn refused(source: Source<'_>) -> Fault {
    match grade(&mut Apron { made: 0 }, source, "sizes", Style::Csv, &mut Vec::new(), &mut Seen::default()) {
        Err(Ended::Fault(fault)) => *fault,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_table_comes_out_row_by_row() {
    let got = graded(csv(b"size,waist,colour\nsmall,60 cm,navy\nlarge,75 cm,\"sand, pale\"\n"), Style::Csv);
    let wanted = "size,colour,waist,band (cm),cloth,caution,trouble\nsmall,navy,60 cm,120,linen,,\nlarge,\"sand, pale\",75 cm,150,linen,,\n";
    assert_eq!(got.text, wanted);
    assert_eq!(got.summary, Summary { rows: 2, troubled: 0, open: 0 });
    assert_eq!(
        got.messages(),
        [
            "sizes: column `colour` is not a given; it is copied to the result",
            "sizes: no column sets `loft`, `cloth`: every size uses the value in the recipe"
        ]
    );
    assert!(got.seen.faults.iter().all(|fault| fault.level == Level::Advice));
}

#[test]
fn a_heading_gives_bare_numbers_its_unit() {
    let got = graded(csv(b"size,waist (cm)\nsmall,60\ninches,20 in\nhalf,62 1/2\n"), Style::Csv);
    let rows: Vec<&str> = got.text.lines().skip(1).collect();
    assert_eq!(got.errors(), [""; 0], "{}", got.text);
    assert!(
        rows[0].contains(",120,") && rows[1].contains(",101.6,") && rows[2].contains(",125,"),
        "{rows:?}"
    );
    // A comma table too, and what stands in the brackets may be no unit.
    let got = graded(csv(b"size;waist (cm)\nsmall;60,5\n"), Style::Csv);
    assert!(got.text.contains("121"), "{}", got.text);
    let got = graded(csv(b"size,waist (back),loft\nsmall,60,2 cm\n"), Style::Csv);
    assert!(got.messages().iter().any(|message| message.contains("waist (back)")), "{:?}", got.messages());
}

#[test]
fn a_bad_cell_is_told_and_the_other_rows_come_out() {
    let got = graded(csv(b"size,waist\nsmall,60 cmm\nmiddle,\nlarge,75 cm\nhuge,81 cm\nodd,5\n"), Style::Csv);
    let lines: Vec<&str> = got.text.lines().collect();
    assert_eq!(lines.len(), 6);
    assert!(lines[1].starts_with("small,60 cmm,,,,\"column `waist`, `60 cmm`: "), "{}", lines[1]);
    assert_eq!(lines[3], "large,75 cm,150,linen,,");
    assert_eq!(lines[4], "huge,81 cm,162,linen,,the band is too long");
    assert_eq!(got.summary, Summary { rows: 5, troubled: 4, open: 0 });
    let messages = got.errors();
    assert!(messages[0].starts_with("sizes, row 2 (small): column `waist`, `60 cmm`: "), "{}", messages[0]);
    assert_eq!(messages[1], "sizes, row 3 (middle): column `waist`: nothing is written here");
    assert_eq!(messages[2], "sizes, row 5 (huge): the band is too long");
    assert_eq!(messages[3], "sizes, row 6 (odd): column `waist`, `5`: a length is wanted");
    assert_eq!(got.seen.faults[3].code, Code::CheckFailed);
}

#[test]
fn separators_marks_of_order_and_line_ends_are_known() {
    let wanted = "size;waist;band (cm);cloth;caution;trouble\nsmall;60,5 cm;121;linen;;\n";
    for table in ["size;waist\nsmall;60,5 cm\n", "\u{feff}size;waist\r\nsmall;60,5 cm\r\n\r\n;\r\n"] {
        assert_eq!(graded(csv(table.as_bytes()), Style::Csv).text, wanted);
    }
    let tabs = graded(csv(b"size\twaist\nsmall\t60.5 cm\n"), Style::Csv);
    assert_eq!(tabs.text, wanted.replace("60,5 cm", "60.5 cm").replace(';', ","));
    let comma = graded(csv(b"size,waist\nsmall,\"60,5 cm\"\n"), Style::Csv);
    assert_eq!(comma.summary.troubled, 1, "a comma is no point in a table between commas");
}

#[test]
fn quoted_cells_hold_inch_marks() {
    let got = graded(csv(b"size,waist\nsmall,\"23 1/2\"\"\"\nlarge,29\"\n"), Style::Csv);
    assert_eq!(got.summary.troubled, 0, "{:?}", got.messages());
    assert!(got.text.contains("\"23 1/2\"\"\",47,"), "{}", got.text);
}

#[test]
fn a_ragged_row_is_told_with_its_number() {
    let got = graded(csv(b"size,waist\nsmall,60 cm,extra\nlarge\nmiddle,70 cm\n"), Style::Csv);
    let wanted = [
        "sizes, row 2 (small): it has 3 cells, and the table has 2 columns",
        "sizes, row 3 (large): it has 1 cell, and the table has 2 columns",
    ];
    assert_eq!(got.errors(), wanted);
    assert_eq!(got.text.lines().count(), 4);
}

#[test]
fn what_a_spreadsheet_ate_is_told_as_that() {
    let got = graded(csv(b"size,waist,loft\nsmall,60 cm,2026-01-02\nlarge,75 cm,1-Feb\n"), Style::Csv);
    let told = "sizes, row 2 (small): column `loft`, `2026-01-02`: a spreadsheet changed this cell to a date; it was most likely `1/2` or `2/1`";
    assert_eq!(got.errors()[0], told);
    assert_eq!(got.summary.troubled, 2);
    assert!(got.seen.faults[1].hints[0].contains("1/2 in"));
}

#[test]
fn a_column_close_to_a_given_draws_advice() {
    let got = graded(csv(b"size,waist,lofft\nsmall,60 cm,1 cm\n"), Style::Csv);
    assert_eq!(got.seen.faults[0].level, Level::Advice);
    assert_eq!(got.seen.faults[0].hints, ["did you mean `loft`?"]);
    assert_eq!(got.summary.troubled, 0);
}

#[test]
fn words_stay_words() {
    let got = graded(csv(b"size,waist,cloth\n=1+1,60 cm,\"twill, 1,5 wide\"\n"), Style::Csv);
    assert_eq!(got.text.lines().nth(1).unwrap(), "'=1+1,60 cm,\"twill, 1,5 wide\",120,\"twill, 1,5 wide\",,");
}

#[test]
fn tables_that_are_none_are_refused() {
    let message = |source: Source<'_>| refused(source).message;
    assert_eq!(message(csv(b"")), "sizes: the table is empty");
    assert_eq!(message(csv(b"size,waist\n")), "sizes: the table has headings and no rows");
    assert_eq!(message(csv(b"size,waist,waist\na,1 cm,1 cm\n")), "sizes: two columns set `waist`");
    assert_eq!(
        message(csv(b"size,waste\na,1 cm\n")),
        "sizes: no column has the name of a given of this recipe; the columns are `size`, `waste`"
    );
    assert_eq!(message(csv(b"\xff\xfes\0i\0")), "sizes: the table is written in UTF-16");
    assert_eq!(message(json("[]")), "sizes: the table holds no rows");
    assert!(message(json("{\"waist\": ")).contains("the end is missing in row 1"));
    assert!(
        message(json("[{\"waist\": \"1 cm\"} {\"waist\": \"1 cm\"}]")).contains("is missing after row 1")
    );
    assert!(message(json("[1, 2]")).contains("each row of a table must be in braces"));
}

#[test]
fn a_row_that_is_not_utf8_is_one_bad_row() {
    let got = graded(csv(b"size,waist\nsm\xe5ll,60 cm\nlarge,75 cm\n"), Style::Csv);
    assert_eq!(got.summary, Summary { rows: 2, troubled: 1, open: 0 });
    assert_eq!(got.errors(), ["sizes, row 2: it is not UTF-8 text; save the table in UTF-8"]);
}

#[test]
fn a_quote_without_end_is_told_in_bounded_memory() {
    let endless = std::io::Cursor::new(b"size,waist\nsmall,\"60 cm\n".to_vec()).chain(std::io::repeat(b'x'));
    let fault = refused(Source::Csv(Box::new(endless)));
    assert_eq!(fault.message, "sizes: row 2 is longer than a row can be: more than 1 MiB");
}

#[test]
fn json_comes_as_an_array_or_line_by_line() {
    let array =
        "[{\"size\": \"small\", \"waist\": \"60 cm\"},\n {\"waist\": \"75 cm\", \"size\": \"large\"}]";
    let lines = "{\"size\": \"small\", \"waist\": \"60 cm\"}\n{\"waist\": \"75 cm\", \"size\": \"large\"}\n";
    let wanted =
        "size,waist,band (cm),cloth,caution,trouble\nsmall,60 cm,120,linen,,\nlarge,75 cm,150,linen,,\n";
    assert_eq!(graded(json(array), Style::Csv).text, wanted);
    assert_eq!(graded(json(lines), Style::Csv).text, wanted);
    let odd = graded(
        json(
            "{\"size\": \"a\", \"waist\": \"1 cm\"}{\"size\": \"b\"}{\"size\": \"c\", \"waist\": \"1 cm\", \"x\": 1}",
        ),
        Style::Csv,
    );
    assert_eq!(
        odd.errors(),
        ["sizes, row 2 (b): `waist` is missing in it", "sizes, row 3 (c): `x` is no key of the first row"]
    );
}

#[test]
fn json_lines_hold_numbers_and_trouble() {
    let got = graded(csv(b"size,waist,colour\nsmall,60 cm,navy\nbad,x,red\n"), Style::JsonLines);
    let rows: Vec<serde_json::Value> =
        got.text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(rows[0]["results"]["band"]["number"], "120");
    assert_eq!(rows[0]["results"]["band"]["unit"], "cm");
    assert_eq!(rows[0]["passed"]["colour"], "navy");
    assert_eq!(rows[0]["trouble"], serde_json::Value::Null);
    assert!(rows[1]["trouble"].as_str().unwrap().starts_with("column `waist`, `x`: "));
    assert_eq!(rows[1]["row"], 3);
}

#[test]
fn a_table_to_read_fits_its_columns() {
    let got = graded(csv(b"size,waist\nsmall,60 cm\nlarge,75 cm\n"), Style::Text);
    let wanted = "\
size   waist  band    cloth
-----  -----  ------  -----
small  60 cm  120 cm  linen
large  75 cm  150 cm  linen
";
    assert_eq!(got.text, wanted);
}

#[test]
fn a_table_too_wide_for_a_page_stands_on_its_side() {
    let wide = "a colour with a very long name indeed";
    let table = format!("size,waist,colour,thread\nsmall,60 cm,{wide},{wide}\nlarge,81 cm,sand,sand\n");
    let wanted = "\
size    small                      large
------  -------------------------  ------
colour  a colour with a very long  sand
        name indeed
thread  a colour with a very long  sand
        name indeed
waist   60 cm                      81 cm
band    120 cm                     162 cm
cloth   linen                      linen

Row 3 (large): the band is too long
";
    assert_eq!(graded(csv(table.as_bytes()), Style::Text).text, wanted);
}

#[test]
fn the_recipes_own_sizes_are_a_table_too() {
    let got = graded(Source::Own, Style::Csv);
    assert_eq!(got.text, "size,band (cm),cloth,caution,trouble\nsmall,120,linen,,\nlarge,150,linen,,\n");
}

#[test]
fn a_long_table_streams_and_tells_its_progress() {
    let mut table = String::from("size,waist\n");
    (0..2_500).for_each(|n| table.push_str(&format!("{n},{} cm\n", 50 + n % 20)));
    let got = graded(csv(table.as_bytes()), Style::Text);
    assert_eq!(got.text.lines().count(), 2_502);
    assert_eq!(got.seen.progress, [1_000, 2_000]);
    assert!(got.text.lines().last().unwrap().starts_with("2499"));
}

#[test]
fn stopping_ends_the_table() {
    let mut seen = Seen { stop: true, ..Seen::default() };
    let table = b"size,waist\nsmall,60 cm\nlarge,75 cm\n";
    let ended = grade(&mut Apron { made: 0 }, csv(table), "sizes", Style::Csv, &mut Vec::new(), &mut seen);
    assert!(matches!(ended, Err(Ended::Fault(fault)) if fault.code == Code::Stopped));
}

#[test]
fn a_compiled_recipe_is_graded_and_each_fault_finds_its_cell() {
    let text = "recipe \"Band\"\n## round the waist\ngiven waist = 70 cm from 40 cm to 150 cm\ngiven ties = 2 from 1 to 4\n\
                given hue = \"navy\"\nband = waist * 2 + 4 cm\nshow \"band\": band\nshow \"hue\": hue\nshow \"ends\": [1 cm, band]\n";
    let mut files = scant::fault::Files::new();
    let limits = scant::eval::limits::Limits::default();
    let mut recipe =
        scant::recipe::build::compile("band.scant", text, &mut files, &scant::recipe::used::NoFiles, &limits)
            .unwrap();
    let table = "size,waist,ties,hue\nsmall,60 cm,2,5\nwide,2 m,2,red\nhalf,24 in,2 1/2,\nbare,60,2,sand\n";
    let (mut out, mut seen) = (Vec::new(), Seen::default());
    let summary =
        grade(&mut recipe, csv(table.as_bytes()), "sizes", Style::Csv, &mut out, &mut seen).unwrap();
    assert_eq!(summary, Summary { rows: 4, troubled: 3, open: 0 });
    let out = String::from_utf8(out).unwrap();
    assert_eq!(out.lines().nth(1).unwrap(), "small,60 cm,2,5,124,5,\"[1 cm, 124 cm]\",,");
    let told: Vec<&str> = seen.faults.iter().map(|fault| fault.message.as_str()).collect();
    assert!(told[0].starts_with("sizes, row 3 (wide): column `waist`, `2 m`: "), "{told:?}");
    assert!(told[1].starts_with("sizes, row 4 (half): column `ties`, `2 1/2`: "), "{told:?}");
    assert!(told[2].starts_with("sizes, row 5 (bare): column `waist`, `60`: "), "{told:?}");
}

/// A recipe graded from its text.
fn of_text(text: &str, table: &str, style: Style) -> Graded {
    let mut files = scant::fault::Files::new();
    let limits = scant::eval::limits::Limits::default();
    let mut recipe =
        scant::recipe::build::compile("own.scant", text, &mut files, &scant::recipe::used::NoFiles, &limits)
            .unwrap();
    let (mut out, mut seen) = (Vec::new(), Seen::default());
    let summary = grade(&mut recipe, csv(table.as_bytes()), "sizes", style, &mut out, &mut seen).unwrap();
    Graded { summary, text: String::from_utf8(out).unwrap(), seen }
}

const PADS: &str = "given n = 1 from 0 to 9
wad = cloth(\"wad\", width: 100 cm, selvage: 0 cm)
have 10 of wad: 20 cm by 30 cm at 5 EUR
cut n \"pad\" from wad: 18 cm by 25 cm
buy 2 \"button\"
buy n + 1 \"snap\"
";

#[test]
fn each_number_stands_under_its_own_heading_whatever_a_size_leaves_out() {
    let head =
        "size,n,\"buy wad, 20 cm by 30 cm\",buy wad (cm),buy button,buy snap,total (EUR),caution,trouble\n";
    let (one, none) = ("one,1,1,0,2,2,5,,\n", "none,0,0,0,2,1,,,\n");
    let one_first = of_text(PADS, "size,n\none,1\nnone,0\n", Style::Csv);
    assert_eq!(one_first.text, format!("{head}{one}{none}"));
    let none_first = of_text(PADS, "size,n\nnone,0\none,1\n", Style::Csv);
    assert_eq!(none_first.text, format!("{head}{none}{one}"));
}

#[test]
fn a_size_to_read_has_its_numbers_under_its_own_headings() {
    let wanted = "\
size  n  buy wad, 20 cm by 30 cm  buy wad  buy button  buy snap  total
----  -  -----------------------  -------  ----------  --------  --------
none  0  0                        0 cm     2           1
one   1  1                        0 cm     2           2         5.00 EUR
";
    assert_eq!(of_text(PADS, "size,n\nnone,0\none,1\n", Style::Text).text, wanted);
}

#[test]
fn a_size_for_programs_has_its_numbers_under_its_own_keys() {
    for table in ["size,n\nnone,0\none,1\n", "size,n\none,1\nnone,0\n"] {
        for line in of_text(PADS, table, Style::JsonLines).text.lines() {
            let row: serde_json::Value = serde_json::from_str(line).unwrap();
            let number = |key: &str| row["results"][key]["number"].as_str().map(str::to_owned);
            let wanted = if row["size"] == "one" { ["1", "2", "2"] } else { ["0", "2", "1"] };
            let got = ["buy wad, 20 cm by 30 cm", "buy button", "buy snap"].map(number);
            assert_eq!(got, wanted.map(|number| Some(number.to_owned())), "{line}");
        }
    }
}

#[test]
fn a_result_that_only_a_later_size_has_is_a_column_or_is_told() {
    let text = "given n = 1 from 0 to 900
name = if n > 250 then \"felt\" else \"wad\"
show \"first\": n
cut 1 \"pad\" from cloth(name, width: 100 cm, selvage: 0 cm): 18 cm by 25 cm
";
    let rows = |from: u32, to: u32| (from..=to).map(|n| format!("{n},{n}\n")).collect::<String>();
    let near = of_text(text, &format!("size,n\n{}", rows(249, 251)), Style::Csv).text;
    let wanted = "size,n,first,buy wad (cm),buy felt (cm),caution,trouble
249,249,249,18,,,\n250,250,250,18,,,\n251,251,251,,18,,\n";
    assert_eq!(near, wanted);
    let far = of_text(text, &format!("size,n\n{}", rows(1, 251)), Style::Csv);
    let last = far.text.lines().last().unwrap().to_owned();
    assert_eq!(last, "251,251,251,,,the table has no column `buy felt`: 18 cm");
    assert_eq!(far.summary, Summary { rows: 251, troubled: 1, open: 0 });
}

#[test]
fn columns_stand_in_the_order_of_the_text_and_no_two_have_one_name() {
    let text = "given n = 1\nbuy n \"zip {n} cm\"\nshow \"band\": n\nshow \"band\": 2 * n\nshow \"band 2\": 3 * n\nshow \"n\": 4 * n\n";
    let table = "size,n\na,1\nb,2\n";
    let got = of_text(text, table, Style::Csv).text;
    assert_eq!(
        got,
        "size,n,buy zip … cm,band,band 3,band 2,n 2,caution,trouble\na,1,1,1,2,3,4,,\nb,2,2,2,4,6,8,,\n"
    );
    let json = of_text(text, table, Style::JsonLines).text;
    for line in json.lines() {
        let row: serde_json::Value = serde_json::from_str(line).unwrap();
        assert_eq!(row["results"].as_object().unwrap().len(), 5, "{line}");
    }
}

#[test]
fn numbers_for_a_spreadsheet_have_their_units_in_the_headings() {
    let text = "given w = 10 in
show \"flat\": w by w / 3
show \"kept\": 5%
show \"cover\": 2 / 3
show \"row\": w + 1/4 in ± 1/16 in
show \"round\": w * pi
show \"price\": 7.90 EUR/m * w
show \"turned\": w > 11 in
";
    let got = of_text(text, "size,w\na,10 in\nb,12 1/2 in\n", Style::Csv).text;
    let wanted = "size,w,flat.across (in),\"flat.along (in, rounded)\",kept (%),cover (rounded),row (in),row ± (in),\"round (in, rounded)\",price (EUR),turned,caution,trouble
a,10 in,10,3.333333,5,0.666667,10.25,0.0625,31.415927,2.0066,no,,
b,12 1/2 in,12.5,4.166667,5,0.666667,12.75,0.0625,39.269908,2.50825,yes,,
";
    assert_eq!(got, wanted);
    let german = of_text(text, "size;w\na;10,5 in\n", Style::Csv).text;
    assert_eq!(
        german.lines().nth(1).unwrap(),
        "a;10,5 in;10,5;3,5;5;0,666667;10,75;0,0625;32,986723;2,10693;no;;"
    );
    let read = of_text(text, "size,w\na,10 in\n", Style::Readings).text;
    assert!(
        read.contains("a,10 in,10 in by generous 3 5/16 in (3 1/3 in),5%,2/3,10 1/4 in ± 1/16 in,"),
        "{read}"
    );
}

#[test]
fn what_every_size_cautions_of_stands_once_above_the_table() {
    let text = "given n = 1
caution \"Mind the needle.\"
show \"n\": with_caution(n, \"Too many layers.\", n > 2)
";
    let table = "size,n\na,1\nb,3\nc,4\n";
    let wanted = "\
!! CAUTION: Mind the needle.
!! CAUTION for b, c: Too many layers.

size  n  n 2
----  -  ---
a     1  1
b     3  3
c     4  4
";
    let got = of_text(text, table, Style::Text);
    assert_eq!((got.text.as_str(), got.messages().len()), (wanted, 0));
    let got = of_text(text, table, Style::Csv);
    assert_eq!(got.text.lines().nth(2).unwrap(), "b,3,3,Mind the needle.; Too many layers.,");
    assert_eq!(got.messages(), ["sizes, row 3 (b), sizes, row 4 (c): Too many layers."]);
    let row: serde_json::Value =
        serde_json::from_str(of_text(text, table, Style::JsonLines).text.lines().next().unwrap()).unwrap();
    assert_eq!(row["cautions"], serde_json::json!(["Mind the needle."]));
}

#[test]
fn a_fault_that_many_rows_share_is_told_once() {
    let text = "given n = 1\nshow \"n\": n\ncheck 2 * n <= 4: \"too many\"\n";
    let got = of_text(text, "size,n\na,3\nb,1\nc,3\nd,3\n", Style::JsonLines);
    let told =
        ["sizes, row 2 (a): too many (6 against 4)", "sizes, in 2 more rows too: too many (6 against 4)"];
    assert_eq!(got.errors(), told);
    assert_eq!(got.text.matches("too many (6").count(), 3);
}

#[test]
fn short_lists_stand_in_a_table_to_read_and_long_ones_by_their_ends() {
    let text = "given n = 1\nshow \"marks\": each k from 1 to n: k * 1 cm\n";
    let got = of_text(text, "size,n\na,3\nb,13\n", Style::Text).text;
    assert!(got.contains(" 1 cm, 2 cm, 3 cm\n") && !got.contains('['), "{got}");
    assert!(got.contains("13, from 1 cm to 13 cm"), "{got}");
}

#[test]
fn a_number_that_is_rounded_after_the_heading_was_written_is_told() {
    let rows: String = (1..=250).map(|n| format!("{n},{}\n", 3 * n)).collect();
    let text = "given n = 1 from 0 to 900\nshow \"part\": n / 3\n";
    let got = of_text(text, &format!("size,n\n{rows}last,4\n"), Style::Csv);
    assert!(got.text.starts_with("size,n,part,caution,trouble\n1,3,1,,\n"), "{}", got.text);
    assert!(got.text.ends_with("last,4,1.333333,,\n"), "{}", got.text);
    assert_eq!(got.messages(), ["sizes: column `part`: some later numbers are rounded to six places"]);
}

#[test]
fn a_column_that_nothing_sets_or_that_sets_nothing_is_named_once() {
    let text = "given waist = 70 cm\ngiven loft = 1 cm\ngiven ease = 5 cm\nshow waist + loft + ease\n";
    let got = of_text(text, "name,waist,colour,lofft,shelf\na,60 cm,red,1,2\n", Style::Csv);
    let told = [
        "sizes: column `lofft` is not a given; it is copied to the result",
        "sizes: columns `colour`, `shelf` are not givens; they are copied to the result",
        "sizes: no column sets `loft`, `ease`: every size uses the value in the recipe",
    ];
    assert_eq!(got.messages(), told);
    assert_eq!(got.seen.faults[0].hints, ["did you mean `loft`?"]);
}

#[test]
fn a_recipe_without_results_has_its_cautions_and_its_rows_all_the_same() {
    let text = "given n = 1 from 0 to 99999\ncaution \"Mind the needle.\"\nstep \"Sew {n}.\"\n";
    let rows: String = (1..=10_100).map(|n| format!("{n},{n}\n")).collect();
    let got = of_text(text, &format!("size,n\n{rows}"), Style::Text);
    assert!(got.text.starts_with("!! CAUTION: Mind the needle.\n\nsize"), "{}", &got.text[..80]);
    assert_eq!(got.text.lines().count(), 10_104);
    assert_eq!(got.summary.rows, 10_100);
}

#[test]
fn what_is_sold_in_packs_has_columns_of_its_own() {
    let text = "given n = 12\nbuy n \"button\" in packs of 12 at 2.80 EUR\nshow \"each\": total / n\n";
    assert_eq!(
        of_text(text, "size,n\na,10\nb,16\n", Style::Csv).text,
        "size,n,buy button,\"button, packs\",\"button, needed\",\"button, left over\",each (EUR),total (EUR),caution,trouble\n\
         a,10,12,1,10,2,0.28,2.8,,\n\
         b,16,24,2,16,8,0.35,5.6,,\n"
    );
}

/// Rows for a screen: of a long table too, as many sizes side by side as fit, and what is wrong below them.
#[test]
fn a_long_table_is_turned_on_a_screen_that_is_too_narrow_for_it() {
    let mut table = String::from("size,waist,place\n");
    for at in 1..=400 {
        table.push_str(&format!("size {at},{} cm,on the quay below the loft\n", 60 + at % 25));
    }
    let screen = |columns| Style::Screen(Screen { columns, colour: false });
    let narrow = graded(csv(table.as_bytes()), screen(50)).text;
    assert!(narrow.lines().all(|line| line.chars().count() <= 50), "{narrow}");
    let labels = |text: &str| (1..=400).filter(|at| text.contains(&format!("size {at} "))).count();
    assert!(labels(&narrow.replace('\n', " \n")) == 400);
    assert!(narrow.contains("\nRow 400 (size 399): "), "{narrow}");
    // On a screen that is wide enough each size is a line, and the head comes again.
    let wide = graded(csv(table.as_bytes()), screen(100)).text;
    assert!(wide.matches("\nsize ").count() > 400);
    assert_eq!(wide.matches("waist").count(), 10);
    let page = graded(csv(table.as_bytes()), Style::Text).text;
    assert_eq!(page.matches("waist").count(), 1);
}

#[test]
fn a_table_in_colour_has_the_same_words() {
    let table = b"size,waist\nsmall,70 cm\nlarge,90 cm\nbad,seventy\n";
    let on = |colour| graded(csv(table), Style::Screen(Screen { columns: 60, colour })).text;
    let coloured = on(true);
    assert!(coloured.starts_with("\u{1b}[1msize "), "{coloured:?}");
    assert!(coloured.contains("\u{1b}[31mRow 3 (large): the band is too long"), "{coloured:?}");
    let bare =
        ["\u{1b}[1m", "\u{1b}[31m", "\u{1b}[0m"].iter().fold(coloured, |text, code| text.replace(code, ""));
    assert_eq!(bare, on(false));
}
