//! The workbook of all sizes, read back by another library: prices in one place, costs and totals as formulas.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

#[path = "common/read_back.rs"]
#[allow(dead_code)] // shared with the tests of reports
mod read_back;

use std::process::Command;

use calamine::{Data, Reader, Xlsx};

const RUNNERS: &str = "\
recipe \"Quay runner\"
shop 10 cm
given long = 150 cm from 50 cm to 300 cm
linen = cloth(\"linen\", width: 140 cm, selvage: 1 cm, price: 12 EUR/m)
cut 2 \"panel\" from linen: 40 cm by long
buy 2 * long \"tape\" at 1.25 EUR/m
buy 3 \"button\" at (if long > 2 m then 0.50 EUR else 0.35 EUR)
buy 1 \"label\"
";

/// The name, the cells and the formulas of a sheet.
type Sheet = (String, Vec<Vec<Data>>, Vec<Vec<String>>);

/// A graded workbook: the cells and the formulas of each sheet.
fn graded(recipe: &str, table: &str) -> Vec<Sheet> {
    let folder = tempfile::tempdir().unwrap();
    let place = |name: &str| folder.path().join(name);
    std::fs::write(place("runner.scant"), recipe).unwrap();
    std::fs::write(place("sizes.csv"), table).unwrap();
    let run = Command::new(env!("CARGO_BIN_EXE_scant"))
        .args(["grade", "runner.scant", "--sizes", "sizes.csv", "--as", "xlsx", "--out", "all.xlsx"])
        .current_dir(folder.path())
        .output()
        .unwrap();
    let book = std::fs::read(place("all.xlsx"));
    let book = book.unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&run.stderr)));
    let mut read: Xlsx<_> = calamine::open_workbook_from_rs(std::io::Cursor::new(&book)).unwrap();
    let sheets = read_back::sheets(&book);
    let formulas = |(name, cells): (String, Vec<Vec<Data>>)| {
        let range = read.worksheet_formula(&name).unwrap();
        let at = |row: usize, column: usize| {
            let place = (u32::try_from(row).unwrap(), u32::try_from(column).unwrap());
            range.get_value(place).cloned().unwrap_or_default()
        };
        let rows = cells.iter().enumerate();
        let rows = rows.map(|(row, cells)| (0..cells.len()).map(|column| at(row, column)).collect());
        let rows = rows.collect();
        (name, cells, rows)
    };
    sheets.into_iter().map(formulas).collect()
}

fn number(cell: &Data) -> Option<f64> {
    match cell {
        Data::Float(number) => Some(*number),
        _ => None,
    }
}

/// The row that a formula speaks of after these letters.
fn row_after(formula: &str, before: &str) -> usize {
    let at = formula.find(before).unwrap_or_else(|| panic!("{before} in {formula}")) + before.len();
    let digits: String = formula[at..].chars().take_while(char::is_ascii_digit).collect();
    digits.parse::<usize>().unwrap() - 1
}

#[test]
fn prices_of_all_sizes_stand_in_one_place() {
    let sheets = graded(RUNNERS, "size,long\nshort,120 cm\nnone,20 cm\nlong,2.5 m\n");
    let names: Vec<&str> = sheets.iter().map(|(name, ..)| name.as_str()).collect();
    assert_eq!(names, ["Sizes", "Buy", "Prices"]);
    let (_, table, totals) = &sheets[0];
    let (_, buy, sums) = &sheets[1];
    let (_, prices, _) = &sheets[2];
    // What has no price yet costs nothing, not 0.
    let label = buy.iter().find(|row| row[1] == "label").unwrap();
    assert!(label[5].to_string().is_empty() && label[6].to_string().is_empty(), "{label:?}");
    // Two sizes could be made, each with cloth and three other things; buttons have two prices.
    assert_eq!((table.len(), buy.len(), prices.len()), (4, 9, 6));
    let price = |row: usize| number(&prices[row_after(&sums[row][5], "Prices!$C$")][2]);
    for row in 1..buy.len() {
        assert_eq!(price(row), number(&buy[row][5]), "{:?}", buy[row]);
        let cost = price(row).map(|price| (number(&buy[row][3]).unwrap() * price * 100.0).round() / 100.0);
        assert_eq!(cost, number(&buy[row][6]), "{:?}", buy[row]);
        assert_eq!(row_after(&sums[row][6], "ROUND(D"), row);
    }
    let total = table[0].iter().position(|cell| *cell == "total (EUR)").unwrap();
    for (row, size) in [(1, "short"), (3, "long")] {
        let formula = &totals[row][total];
        let (first, last) = (row_after(formula, "Buy!G"), row_after(formula, ":G"));
        assert!((first..=last).all(|row| buy[row][0] == size), "{formula}");
        assert_eq!(last - first, 3);
        let sum: f64 = (first..=last).filter_map(|row| number(&buy[row][6])).sum();
        assert!((sum - number(&table[row][total]).unwrap()).abs() < 1e-9, "{formula}");
    }
    assert_eq!((table[2][total].clone(), totals[2][total].as_str()), (Data::Empty, ""));
}

#[test]
fn givens_of_a_table_are_numbers_below_their_unit() {
    let sheets = graded(RUNNERS, "size,long\nshort,120 cm\nlong,2.5 m\n");
    let table = &sheets[0].1;
    let at = table[0].iter().position(|cell| *cell == "long (cm)").unwrap();
    assert_eq!((number(&table[1][at]), number(&table[2][at])), (Some(120.0), Some(250.0)));
}

/// What the part of a sheet in a workbook says, as XML.
fn part(book: &[u8], name: &str) -> String {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(book)).unwrap();
    std::io::read_to_string(archive.by_name(name).unwrap()).unwrap()
}

#[test]
fn a_wide_sheet_keeps_the_names_of_its_rows_and_prints_on_pages_side_by_side() {
    let shows: String = (1..=40).map(|at| format!("show \"measure of part {at}\": long / {at}\n")).collect();
    let recipe = format!("recipe \"Wide\"\ngiven long = 150 cm\n{shows}");
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("wide.scant"), recipe).unwrap();
    std::fs::write(folder.path().join("sizes.csv"), "size,long\nsmall,1 m\nlarge,2 m\n").unwrap();
    let made = |sizes: &str, paper: &str| {
        let status = Command::new(env!("CARGO_BIN_EXE_scant"))
            .args([
                "grade",
                "wide.scant",
                "--sizes",
                sizes,
                "--as",
                "xlsx",
                "--paper",
                paper,
                "--out",
                "w.xlsx",
            ])
            .current_dir(folder.path())
            .status();
        assert!(status.unwrap().success());
        part(&std::fs::read(folder.path().join("w.xlsx")).unwrap(), "xl/worksheets/sheet1.xml")
    };
    let wide = made("sizes.csv", "letter");
    assert!(wide.contains("<pane xSplit=\"1\" ySplit=\"1\""), "{wide}");
    assert!(wide.contains("paperSize=\"1\"") && wide.contains("orientation=\"landscape\""), "{wide}");
    let pages = wide.split_once("fitToWidth=\"").unwrap().1.split_once('"').unwrap().0;
    assert!((2..9).contains(&pages.parse::<u8>().unwrap()), "{pages} pages");
    assert!(wide.contains("fitToHeight=\"0\""), "{wide}");
    assert!(made("sizes.csv", "a4").contains("paperSize=\"9\""));
}
