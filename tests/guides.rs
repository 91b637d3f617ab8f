//! True-size guides, read back by another library: their scale, their sheets, their words.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a test that fails panics

#[path = "common/made.rs"]
mod made;
#[path = "common/read_back.rs"]
#[allow(dead_code)] // shared with the tests of reports
mod read_back;
#[path = "drawings/samples.rs"]
#[allow(dead_code)] // shared with the tests of drawings
mod samples;
#[path = "common/strokes.rs"]
mod strokes;

use scant::docket::{Fill, Line, Part, Picture};
use scant::drawing::{Layer, Mark, Paper, SIZE_LINES};
use scant::measure::{Number, literal};
use scant::report::pages::{Guides, NoGuide, guide};
use scant::shape::Point;

use strokes::{Place, Stroke, strokes};

const PAPERS: [Paper; 2] = [Paper::A4, Paper::Letter];
/// Points in a mm.
const POINTS: f64 = 72.0 / 25.4;
const MARGIN: f64 = 10.0 * POINTS;
const OVERLAP: f64 = 15.0 * POINTS;

/// A place as two lengths are written.
fn at(across: &str, along: &str) -> Point {
    let number = |text: &str| -> Number { literal(text).unwrap().number };
    Point { across: number(across), along: number(along) }
}

fn straight(from: Point, to: Point) -> Part {
    Part::Straight { ends: (from, to), line: Line::Cut, label: None }
}

fn picture(parts: Vec<Part>) -> Picture {
    Picture { title: "A measured line".into(), parts, line: 1 }
}

fn one(picture: &Picture, paper: Paper) -> Vec<u8> {
    sized(&[(None, picture)], paper).unwrap()
}

fn sized(layers: &[(Option<&str>, &Picture)], paper: Paper) -> Result<Vec<u8>, NoGuide> {
    let layers = layers.iter().map(|(size, picture)| Layer { size: *size, picture }).collect();
    guide(&Guides { recipe: "Signal flags", guides: vec![layers], paper, most: 200, ..Guides::default() })
}

/// The sheets behind the page in front.
fn sheets(bytes: &[u8]) -> Vec<Vec<Stroke>> {
    let pages = strokes(bytes);
    pages
        .into_iter()
        .filter(|page| page.iter().filter(|line| is(line.length(), 144.0)).count() >= 4)
        .collect()
}

fn is(length: f64, wanted: f64) -> bool {
    (length - wanted).abs() < 0.01
}

/// The frame of what a sheet shows: left, bottom, right, top.
fn window(paper: Paper) -> [f64; 4] {
    let (width, height) = paper.size();
    [MARGIN, MARGIN + 58.0 * POINTS, width * POINTS - MARGIN, height * POINTS - MARGIN]
}

#[test]
fn ten_inches_are_720_points_on_each_paper() {
    let line = |from, to| picture(vec![straight(from, to)]);
    for paper in PAPERS {
        for (from, to) in [
            (at("0 in", "0 in"), at("10 in", "0 in")),
            (at("0 in", "0 in"), at("0 in", "10 in")),
            (at("1 in", "2 in"), at("7 in", "10 in")),
        ] {
            let sheets = sheets(&one(&line(from.clone(), to.clone()), paper));
            assert!(!sheets.is_empty());
            for sheet in &sheets {
                assert!(sheet.iter().any(|line| is(line.length(), 720.0)), "{paper:?} {from:?} {to:?}");
            }
        }
    }
}

#[test]
fn both_test_squares_are_true_on_each_sheet() {
    let long = picture(vec![straight(at("0 in", "0 in"), at("30 in", "25 in"))]);
    for paper in PAPERS {
        let sheets = sheets(&one(&long, paper));
        assert!(sheets.len() > 4);
        for sheet in &sheets {
            for side in [144.0, 50.0 * POINTS] {
                let (level, upright): (Vec<&Stroke>, Vec<&Stroke>) = sheet
                    .iter()
                    .filter(|line| is(line.length(), side))
                    .partition(|line| is(line.from.1, line.to.1));
                assert!(level.len() >= 2 && upright.len() >= 2, "{paper:?} {side}");
            }
        }
    }
}

/// What is seen of a line on each sheet, put together as the marks say, is the line: nothing is missing, and where
/// sheets overlap both show the same.
#[test]
fn a_line_over_many_sheets_goes_on_where_they_join() {
    let long = picture(vec![straight(at("0 in", "0 in"), at("40 in", "30 in"))]);
    for paper in PAPERS {
        let bytes = one(&long, paper);
        let names = sheet_names(&bytes);
        let sheets = sheets(&bytes);
        assert_eq!(names.len(), sheets.len());
        let [left, bottom, right, top] = window(paper);
        let step = (right - left - OVERLAP, top - bottom - OVERLAP);
        let mut parts: Vec<(Place, Place)> = Vec::new();
        for ((row, column), sheet) in names.iter().zip(&sheets) {
            let line = sheet.iter().find(|line| is(line.length(), 3600.0)).unwrap();
            for (found, wanted) in line.clip.iter().zip([left, bottom, right, top]) {
                assert!(is(*found, wanted), "{:?}", line.clip);
            }
            // A sheet that only joins two others may show nothing of it.
            let Some((from, to)) = line.seen() else { continue };
            let laid = |(x, y): Place| (x + step.0 * *column as f64, y - step.1 * *row as f64);
            parts.push((laid(from), laid(to)));
        }
        // All parts lie on one line of the true length, and cover it.
        let (first, last) = (parts.iter().map(|part| part.0), parts.iter().map(|part| part.1));
        let begin = first.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
        let end = last.max_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
        assert!(is((end.0 - begin.0).hypot(end.1 - begin.1), 3600.0), "{begin:?} {end:?}");
        assert!(is(end.0 - begin.0, 2880.0) && is(begin.1 - end.1, 2160.0));
        parts.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
        let mut reached = begin.0;
        for (from, to) in &parts {
            for place in [from, to] {
                let off = (place.0 - begin.0) * 0.6 - (place.1 - begin.1) * -0.8;
                assert!(off.abs() < 0.01, "{place:?} is {off} off the line");
            }
            assert!(from.0 <= reached + 0.01, "a gap at {reached}");
            reached = reached.max(to.0);
        }
        assert!(is(reached, end.0));
    }
}

/// Rows and columns of the sheets, from their names.
fn sheet_names(bytes: &[u8]) -> Vec<(usize, usize)> {
    let pages = read_back::pages(bytes);
    let name = |page: &String| {
        let name = page.split("sheet ").nth(1)?.split_whitespace().next()?.to_owned();
        let (letter, number) = name.split_at(1);
        let row = letter.bytes().next()?.checked_sub(b'A')?;
        Some((usize::from(row), number.parse::<usize>().ok()? - 1))
    };
    pages.iter().filter(|page| page.contains("measure each side")).filter_map(name).collect()
}

/// Where a sheet lies on its neighbour, both have a mark at the same place of the drawing.
#[test]
fn marks_of_neighbours_meet() {
    let wide = picture(vec![straight(at("0 in", "1 in"), at("12 in", "1 in"))]);
    for paper in PAPERS {
        let sheets = sheets(&one(&wide, paper));
        let [left, _, right, _] = window(paper);
        let [one, two] = sheets.as_slice() else { panic!("{} sheets", sheets.len()) };
        let tip = 3.5 * POINTS;
        // Tips of diamonds: on the first sheet beside its dotted line, on the second beside its left edge.
        let tips = |sheet: &[Stroke], x: f64| {
            let mut tips: Vec<i64> = sheet
                .iter()
                .filter(|line| is(line.from.0, x + tip) || is(line.to.0, x + tip))
                .map(|line| if is(line.from.0, x + tip) { line.from.1 } else { line.to.1 })
                .map(|y| (y * 100.0).round() as i64)
                .collect();
            tips.sort_unstable();
            tips.dedup();
            tips
        };
        let (first, second) = (tips(one, right - OVERLAP), tips(two, left));
        assert_eq!(first.len(), 3, "{first:?}");
        assert_eq!(first, second);
    }
}

#[test]
fn a_guide_says_what_it_is_and_how_it_is_printed() {
    let panel = samples::panel();
    for paper in PAPERS {
        let bytes = one(&panel, paper);
        let pages = read_back::pages(&bytes);
        let count = pages.len();
        assert!(count > 3);
        assert!(pages[0].contains("Signal flags: true-size guide"), "{}", pages[0]);
        assert!(pages[0].contains("Print at 100 %, without fitting to the page"), "{}", pages[0]);
        for (number, page) in (1..).zip(&pages).filter(|(_, page)| page.contains("measure each side")) {
            for words in ["Print at 100 %", "2 in", "5 cm", "Signal flags", "Tucks & buttons of the <panel>"]
            {
                assert!(page.contains(words), "{words}: {page}");
            }
            assert!(page.contains(&format!("page {number} of {count}")), "{page}");
        }
        let all = pages.concat();
        for words in
            ["grain", "button", "pocket", "pennant", "right side", "66 mm fold 2", "place on the fold"]
        {
            assert!(all.contains(words), "{words}");
        }
        let pdf = lopdf::Document::load_mem(&bytes).unwrap();
        assert!(pdf.get_dict_in_dict(pdf.catalog().unwrap(), b"StructTreeRoot").is_ok());
    }
}

/// A ruler's marks are where its readings say.
#[test]
fn marks_of_a_ruler_are_at_their_distances() {
    let distances = ["1/2 in", "3/4 in", "1 1/8 in", "3 cm", "7 in"];
    let marks = distances.map(|far| (samples::figure(far), None)).to_vec();
    let ruler = picture(vec![Part::Scale { from: at("0 in", "0 in"), down: false, at: marks }]);
    for paper in PAPERS {
        let bytes = one(&ruler, paper);
        let sheet = &sheets(&bytes)[0];
        let base = sheet.iter().find(|line| is(line.length(), 504.0)).unwrap();
        let begin = base.from.0.min(base.to.0);
        for wanted in [0.0, 36.0, 54.0, 81.0, 30.0 * POINTS, 504.0] {
            let upright = |line: &&Stroke| is(line.from.0, line.to.0) && line.length() >= 17.0;
            let tick = sheet.iter().filter(upright).any(|line| is(line.from.0 - begin, wanted));
            assert!(tick, "{wanted} on {paper:?}");
        }
        let words = read_back::pages(&bytes)[1..].concat();
        for reading in ["1/2 in", "3/4 in", "1 1/8 in", "3 cm", "7 in"] {
            assert!(words.contains(reading), "{reading}: {words}");
        }
    }
}

/// The same picture of several sizes: one origin, a kind of line for each, and a legend that names it.
#[test]
fn sizes_lie_over_each_other_with_lines_of_their_own() {
    let square = |side: &str| {
        let outline = samples::polygon(&[(0, 0), (100, 0), (100, 100), (0, 100)]);
        let shape = Part::Shape {
            at: at("0 mm", "0 mm"),
            outline: Box::new(outline),
            label: Some("flag".into()),
            line: Line::Cut,
            fill: Fill::White,
        };
        let corner = straight(at("0 mm", "0 mm"), at(side, "0 mm"));
        picture(vec![shape, corner])
    };
    let pictures = ["110 mm", "120 mm", "130 mm"].map(square);
    let layers: Vec<(Option<&str>, &Picture)> =
        ["small", "middle", "large"].into_iter().map(Some).zip(&pictures).collect();
    let bytes = sized(&layers, Paper::A4).unwrap();
    let sheet = &sheets(&bytes)[0];
    let lines: Vec<&Stroke> = [110.0, 120.0, 130.0]
        .iter()
        .map(|side| sheet.iter().find(|line| is(line.length(), side * POINTS)).unwrap())
        .collect();
    let first = lines[0];
    for (line, (stroke, _)) in lines.iter().zip(SIZE_LINES) {
        assert!(is(line.from.0, first.from.0) && is(line.from.1, first.from.1));
        let dashes: Vec<f64> = stroke.dashes().iter().map(|dash| dash * POINTS).collect();
        assert_eq!(line.dashes.len(), dashes.len());
        assert!(
            line.dashes.iter().zip(&dashes).all(|(found, wanted)| is(*found, *wanted)),
            "{:?}",
            line.dashes
        );
    }
    let words = read_back::pages(&bytes);
    for name in ["small (continuous)", "middle (dashed)", "large (long dash, dot)"] {
        assert!(words[0].contains(name), "{name}: {}", words[0]);
    }
    assert!(words[1].contains("sizes small, middle, large"), "{}", words[1]);
}

#[test]
fn too_many_sheets_and_nothing_to_draw_are_told() {
    let far = picture(vec![straight(at("0 m", "0 m"), at("100 m", "100 m"))]);
    assert!(matches!(sized(&[(None, &far)], Paper::A4), Err(NoGuide::TooMany)));
    let huge = picture(vec![straight(at("0 m", "0 m"), at("1000000000 m", "1000000000 m"))]);
    assert!(matches!(sized(&[(None, &huge)], Paper::A4), Err(NoGuide::TooMany)));
    assert!(matches!(sized(&[(None, &picture(Vec::new()))], Paper::A4), Err(NoGuide::Nothing)));
    let words = Part::Words { at: at("0 m", "0 m"), words: "alone".into() };
    assert!(matches!(sized(&[(None, &picture(vec![words]))], Paper::A4), Err(NoGuide::Nothing)));
}

#[test]
fn names_from_strangers_stay_words() {
    let long = "m".repeat(10_000);
    for odd in ["<script>alert(1)</script>", "=SUM(A1)", "גלימה e\u{301}", "\u{202e}abc\u{1b}[31m", &long]
    {
        let part = Part::Spot { at: at("1 cm", "1 cm"), label: Some(odd.into()) };
        let picture = Picture { title: odd.into(), parts: vec![part], line: 1 };
        let bytes = sized(&[(Some(odd), &picture), (Some("two"), &picture)], Paper::A4).unwrap();
        let pages = read_back::pages(&bytes);
        assert_eq!(sheets(&bytes).len(), 1, "{odd:.20}");
        assert!(pages.last().unwrap().contains("Print at 100 %"), "{odd:.20}");
    }
}

/// The command itself, with sizes of the recipe and of a table.
#[test]
fn the_command_prints_one_size_or_several() {
    let folder = tempfile::tempdir().unwrap();
    let recipe = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/gallery/command/flags.scant");
    let table = folder.path().join("sizes.csv");
    std::fs::write(&table, "size,across\nfirst,7 in\nsecond,8 in\nthird,9 in\n").unwrap();
    let table = table.to_str().unwrap();
    let out = folder.path().join("guide.pdf");
    for (args, sides) in [
        (vec![], vec![9.0]),
        (vec!["--size", "small"], vec![6.0]),
        (vec!["--size", "small", "--size", "large"], vec![6.0, 12.0]),
        (vec!["--set", "across=5 in"], vec![5.0]),
        (vec!["--sizes", table], vec![7.0, 8.0, 9.0]),
        (vec!["--sizes", table, "--size", "third", "--size", "first"], vec![7.0, 9.0]),
    ] {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_scant"));
        command.arg("guide").arg(&recipe).arg("flag").args(&args).arg("--out").arg(&out);
        let done = command.output().unwrap();
        assert!(done.status.success(), "{args:?}: {}", String::from_utf8_lossy(&done.stderr));
        let bytes = std::fs::read(&out).unwrap();
        for side in [5.0, 6.0, 7.0, 8.0, 9.0, 12.0] {
            let drawn = sheets(&bytes).iter().flatten().any(|line| {
                is(line.length(), side * 72.0) && line.clip[0] > 1.0 && is(line.from.1, line.to.1)
            });
            assert_eq!(drawn, sides.contains(&side), "{args:?}: {side}");
        }
    }
}

/// Small guides share a sheet at true size, each below its name; one that is too large for that has sheets of its own.
#[test]
fn small_guides_share_a_sheet() {
    let named = |title: &str, side: &str| {
        let line = straight(at("0 in", "0 in"), at(side, "0 in"));
        let down = straight(at("0 in", "0 in"), at("0 in", side));
        Picture { title: title.into(), ..picture(vec![line, down]) }
    };
    let drawn = [named("hexagon", "1 in"), named("flag", "25 in"), named("pocket", "3 in")];
    let layers = drawn.iter().map(|picture| vec![Layer { size: None, picture }]).collect();
    let bytes = guide(&Guides { recipe: "Quay", guides: layers, most: 200, ..Guides::default() }).unwrap();
    let sheets = sheets(&bytes);
    let holds =
        |sheet: &Vec<Stroke>, long: f64| sheet.iter().filter(|line| is(line.length(), long)).count() >= 2;
    let both: Vec<usize> =
        (0..sheets.len()).filter(|at| holds(&sheets[*at], 72.0) && holds(&sheets[*at], 216.0)).collect();
    assert_eq!(both, [0]);
    assert!(!holds(&sheets[0], 1800.0) && sheets.len() > 2);
    let pages = read_back::pages(&bytes);
    let shared = pages.iter().find(|page| page.contains("2 guides on one sheet")).unwrap();
    for words in ["1. hexagon", "3. pocket", "sheet 1-A1", "measure each side"] {
        assert!(shared.contains(words), "{words}: {shared}");
    }
    let front = pages.join(" ");
    assert_eq!(front.matches("On sheet 1-A1, with others.").count(), 2, "{front}");
}

/// Lines all over a top would cost ink on every sheet, and hide what is drawn.
#[test]
fn large_shapes_are_not_filled() {
    let filled = |size: i64| {
        let mut drawn = samples::panel();
        let outline = samples::polygon(&[(0, 0), (size, 0), (size, size), (0, size)]);
        drawn.parts = vec![Part::Shape {
            at: samples::point(0, 0),
            outline: Box::new(outline),
            label: None,
            line: Line::Cut,
            fill: Fill::Hatched,
        }];
        let drawing = scant::drawing::guide(&[Layer { size: None, picture: &drawn }], Paper::A4).unwrap();
        drawing
            .marks
            .iter()
            .any(|mark| matches!(mark, Mark::Path { fill: scant::drawing::Fill::Hatched, .. }))
    };
    assert!(filled(30) && !filled(300), "{} {}", filled(30), filled(300));
}

/// A name that is printed half on one sheet and half on the next is only read when the sheets are glued.
#[test]
fn words_of_the_examples_are_whole_on_a_sheet() {
    const FOOT: f64 = 58.0;
    const OVERLAP: f64 = 15.0;
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let paths = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut looked = 0;
    for path in paths.filter(|path| path.extension().is_some_and(|kind| kind == "scant")) {
        let docket = made::made(&std::fs::read_to_string(&path).unwrap());
        for (picture, paper) in
            docket.pictures.iter().flat_map(|one| [(one, Paper::A4), (one, Paper::Letter)])
        {
            // The readings of a ruler stand at their marks.
            if picture.parts.iter().any(|part| matches!(part, Part::Scale { .. })) {
                continue;
            }
            let drawing = scant::drawing::guide(&[Layer { size: None, picture }], paper).unwrap();
            let (wide, high) = paper.size();
            let step = (wide - 20.0 - OVERLAP, high - 20.0 - FOOT - OVERLAP);
            let joins = |whole: f64, step: f64| {
                (1..100).map(move |n| f64::from(n) * step).take_while(move |join| join + OVERLAP < whole)
            };
            for mark in &drawing.marks {
                let Mark::Words(words) = mark else { continue };
                looked += 1;
                let half = scant::drawing::letters::width(&words.text, words.size, words.bold) / 2.0;
                let (x, y) = words.at;
                let off = match words.turned == 0.0 {
                    true => joins(drawing.width, step.0).all(|join| (x - join).abs() > half),
                    false => joins(drawing.height, step.1).all(|join| (y - join).abs() > half),
                };
                assert!(off, "{}: {words:?}", path.display());
            }
        }
    }
    assert!(looked > 40, "{looked}");
}

/// The heading of a guide stands with its picture.
#[test]
fn headings_of_a_front_page_stand_with_their_pictures() {
    let square = samples::polygon(&[(0, 0), (90, 0), (90, 90), (0, 90)]);
    let part = Part::Shape {
        at: samples::point(0, 0),
        outline: Box::new(square),
        label: None,
        line: Line::Cut,
        fill: Fill::None,
    };
    let tab = |n: usize| Picture { title: format!("tab {n}").into(), parts: vec![part.clone()], line: 1 };
    let pictures: Vec<Picture> = (1..=6).map(tab).collect();
    for count in 1..=pictures.len() {
        let layers = pictures.iter().take(count).map(|picture| vec![Layer { size: None, picture }]).collect();
        let made = Guides { recipe: "Quay", guides: layers, most: 200, ..Guides::default() };
        for page in read_back::pages(&guide(&made).unwrap()) {
            for n in 1..=count {
                let heading = format!("{n}. tab {n}");
                let headed = page.lines().any(|line| line.trim() == heading);
                let shown = page.lines().any(|line| line.trim() == format!("tab {n}"));
                assert!(!headed || shown, "{heading}: {page}");
            }
        }
    }
}
