//! The apron of `grading.scant`, written by hand: twenty functions, twenty-six results.

use std::fmt::Write;
use std::io;

use super::length::{Length, Unit};
use super::ratio::Ratio;

/// The columns of the results.
const RESULTS: [&str; 26] = [
    "round",
    "quarter",
    "third",
    "panel width",
    "side panel width",
    "hem takes",
    "cut length",
    "flare",
    "dart",
    "dart to the mark",
    "quarter to the mark",
    "length to the tape",
    "round to the tape",
    "band length",
    "band cut",
    "pleats",
    "pleats take",
    "pleated",
    "pleated and seamed",
    "ruffle",
    "ruffle strips",
    "ruffle cloth",
    "tie",
    "tie to the mark",
    "cloth before washing",
    "to buy",
];

/// A row's givens.
struct Sizes {
    waist: Length,
    hip: Length,
    length: Length,
    hem: Length,
    pleat: Length,
    ease: Length,
}

/// A result.
enum Made {
    Length(Length),
    Count(i64),
}

fn eased(body: Length, ease: Length) -> Length {
    body + ease * 2
}

fn panel(body: Length, panels: i64) -> Length {
    body / panels
}

fn seamed(width: Length, seam: Length) -> Length {
    width + seam * 2
}

fn hem_takes(hem: Length) -> Length {
    hem * 2
}

fn cut_length(length: Length, hem: Length, seam: Length) -> Length {
    length + hem_takes(hem) + seam
}

fn flare(waist: Length, hip: Length) -> Length {
    (hip - waist) / 8
}

fn dart(waist: Length, hip: Length) -> Length {
    if hip.value > waist.value { (hip - waist) / 6 } else { Length::inches(0, 1) }
}

fn to_mark(measure: Length) -> Length {
    measure.nearest(1, 8, Unit::Inch)
}

fn to_tape(measure: Length) -> Length {
    measure.up(1, 1, Unit::Centimetre)
}

fn band_length(waist: Length, lap: Length) -> Length {
    waist + lap
}

fn band_cut(depth: Length, seam: Length) -> Length {
    (depth + seam) * 2
}

fn pleats_that_fit(width: Length, apart: Length) -> i64 {
    apart.held_by(width)
}

fn pleats_take(pleats: i64, depth: Length) -> Length {
    depth * 2 * pleats
}

fn pleated(width: Length, pleats: i64, depth: Length) -> Length {
    width + pleats_take(pleats, depth)
}

fn gathered(width: Length, fullness: Ratio) -> Length {
    width * fullness
}

fn strips(run: Length, usable: Length) -> i64 {
    (run.value / usable.value).ceil()
}

fn strip_cloth(strips: i64, cut: Length) -> Length {
    cut * strips
}

fn shrunk(measure: Length, kept: Ratio) -> Length {
    measure * Ratio::new(kept.d, kept.n)
}

fn bought(measure: Length) -> Length {
    measure.up(1, 8, Unit::Yard)
}

fn ties(waist: Length, overlap: Length) -> Length {
    waist * Ratio { n: 3, d: 4 } + overlap
}

fn make(sizes: &Sizes) -> [Made; 26] {
    use Made::{Count, Length as Is};
    let inch = Length::inches;
    let Sizes { waist, hip, length, hem, pleat, ease } = *sizes;
    let round = eased(hip, ease);
    let quarter = panel(round, 4);
    let third = panel(waist, 3);
    let deep = cut_length(length, hem, inch(1, 4));
    let pleats = pleats_that_fit(quarter, pleat * 4);
    let wide = pleated(quarter, pleats, pleat);
    let ruffle = gathered(round, Ratio { n: 3, d: 2 });
    let count = strips(ruffle, inch(85, 2));
    let tie = ties(waist, inch(4, 1));
    let cloth = strip_cloth(count, inch(5, 1));
    let kept = Ratio { n: 24, d: 25 };
    [
        Is(round),
        Is(quarter),
        Is(third),
        Is(seamed(quarter, inch(3, 8))),
        Is(seamed(third, inch(3, 8))),
        Is(hem_takes(hem)),
        Is(deep),
        Is(flare(waist, hip)),
        Is(dart(waist, hip)),
        Is(to_mark(dart(waist, hip))),
        Is(to_mark(quarter)),
        Is(to_tape(deep)),
        Is(to_tape(round)),
        Is(band_length(waist, inch(3, 2))),
        Is(band_cut(hem, inch(1, 4))),
        Count(pleats),
        Is(pleats_take(pleats, pleat)),
        Is(wide),
        Is(seamed(wide, inch(3, 8))),
        Is(ruffle),
        Count(count),
        Is(cloth),
        Is(tie),
        Is(to_mark(tie)),
        Is(shrunk(deep + cloth, kept)),
        Is(bought(shrunk(deep + cloth, kept))),
    ]
}

/// Grades a table; a cell that cannot be read ends it.
pub fn grade(table: &[u8], out: &mut impl io::Write) -> Option<u64> {
    let mut reader = csv::Reader::from_reader(table);
    let header = reader.headers().ok()?.clone();
    let names = ["size", "waist", "hip", "length", "hem", "pleat", "ease"];
    let places: Option<Vec<usize>> =
        names.iter().map(|name| header.iter().position(|column| column == *name)).collect();
    let places: [usize; 7] = places?.try_into().ok()?;
    let head: Vec<&str> = names.into_iter().chain(RESULTS).chain(["caution", "trouble"]).collect();
    writeln!(out, "{}", head.join(",")).ok()?;
    let mut row = csv::StringRecord::new();
    let mut line = String::new();
    let mut rows = 0;
    while reader.read_record(&mut row).ok()? {
        let cells = places.map(|at| row.get(at).unwrap_or(""));
        line.clear();
        grade_row(cells, &mut line)?;
        out.write_all(line.as_bytes()).ok()?;
        rows += 1;
    }
    Some(rows)
}

fn grade_row(cells: [&str; 7], line: &mut String) -> Option<()> {
    let [label, waist, hip, length, hem, pleat, ease] = cells;
    let sizes = Sizes {
        waist: Length::read(waist)?,
        hip: Length::read(hip)?,
        length: Length::read(length)?,
        hem: Length::read(hem)?,
        pleat: Length::read(pleat)?,
        ease: Length::read(ease)?,
    };
    push_cell(label, line);
    for cell in [waist, hip, length, hem, pleat, ease] {
        line.push(',');
        push_cell(cell, line);
    }
    for made in make(&sizes) {
        line.push(',');
        match made {
            Made::Length(length) => push_length(length, line),
            Made::Count(count) => write!(line, "{count}").ok()?,
        }
    }
    line.push_str(",,\n");
    Some(())
}

/// A halfway mark is told behind a comma, and stands in quotes.
fn push_length(length: Length, line: &mut String) {
    let start = line.len();
    length.push(line);
    if line[start..].contains(',') {
        line.insert(start, '"');
        line.push('"');
    }
}

fn push_cell(cell: &str, line: &mut String) {
    if cell.contains(['"', ',', '\n', '\r']) {
        line.push('"');
        line.push_str(&cell.replace('"', "\"\""));
        line.push('"');
    } else {
        line.push_str(cell);
    }
}
