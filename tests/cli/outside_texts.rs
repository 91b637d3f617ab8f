//! What a stranger wrote reaches a terminal spelled out, whichever command or format tells it.

use std::fs;

use clap::ValueEnum;
use scant::report::Format;

use crate::bench::{Done, Folder, prompt, scant};
use crate::read_back::{pages, sheets};

/// One of each sort: escape, bell, 8-bit introducer, direction, invisible, tag, separator.
const BAD: &str = "\u{1b}[2J\u{7}\u{9b}31m\u{202e}\u{61c}\u{200b}\u{e0041}\u{2028}\u{ad}";

fn harmful(c: char) -> bool {
    (c.is_control() && c != '\n')
        || matches!(c, '\u{61c}' | '\u{200b}' | '\u{2028}' | '\u{202e}' | '\u{ad}' | '\u{e0041}')
}

fn assert_harmless(what: &str, done: &Done) {
    for text in [&done.out, &done.err] {
        assert!(!text.contains(harmful), "{what}: {text:?}");
        assert!(!text.contains('\u{fffd}'), "{what}: {text:?}");
    }
}

/// Runs it with `--out`, and looks at what is told and at the whole file; how long its text is.
fn assert_harmless_file(folder: &Folder, args: &[&str], format: Format) -> usize {
    let made = folder.path().join("made");
    let args: Vec<&str> = args.iter().copied().chain(["--out", "made"]).collect();
    let done = scant(folder.path(), &args);
    assert!(matches!(done.status, 0 | 1), "{args:?}: {}", done.err);
    assert_harmless(&format!("{args:?}"), &done);
    let bytes = fs::read(&made).unwrap_or_else(|_| panic!("{args:?}: {}", done.err));
    fs::remove_file(&made).unwrap();
    let text = match format {
        Format::Pdf => pages(&bytes).join("\n"),
        Format::Workbook => {
            let sheet = |(name, rows): (String, Vec<_>)| format!("{name}\n{rows:?}");
            sheets(&bytes).into_iter().map(sheet).collect::<Vec<_>>().join("\n")
        }
        _ => String::from_utf8(bytes).unwrap(),
    };
    let bad = text.find(harmful).map(|at| text[at..].chars().take(20).collect::<String>());
    assert_eq!(bad, None, "{args:?}");
    text.len()
}

/// A recipe with the texts in every line that may hold one.
fn recipe() -> String {
    format!(
        "recipe \"title{BAD}\"\nnote \"note{BAD}\"\n## words{BAD}\ngiven wide = 14 in from 1 in to 90 in\n\
         given way = \"a{BAD}\" one of \"a{BAD}\", \"b\"\n\
         linen = cloth(\"linen{BAD}\", width: 54 in, selvage: 1/2 in, price: 3 EUR/m, shop: 10 cm)\n\
         have 1 of linen: 12 in by 12 in\ncut 2 \"panel{BAD}\" from linen: wide by 10 in\nplan linen\n\
         buy 2 m \"thread{BAD}\" at 1 EUR/m\nshow \"label{BAD}\": wide * 2 ± 1/8 in\nshow way\nshow [\"x{BAD}\"]\n\
         show {{part: \"y{BAD}\"}}\ncaution \"care{BAD}\"\nstep \"sew{BAD} {{wide}}\"\n\
         check wide < 3 in: \"too wide{BAD}\"\nfind n from 1 to 9 so that n * 2 is 6\n\
         sizes\n  \"small{BAD}\"  wide = 12 in\n"
    )
}

#[test]
fn every_command_and_format() {
    let folder = Folder::new();
    let file = "st\u{1b}[2J\u{9b}\u{202e}ranger.scant";
    folder.write(file, recipe());
    folder.write("tab\u{9b}le.csv", format!("size{BAD},wide,x{BAD}\na{BAD},12 in,p{BAD}\nb,q{BAD},r\n"));
    folder.write("table.json", "[{\"s\":\"a\\u001b\",\"wide\":\"12 in\",\"x\\u009b\":\"\\u202e\"}]");
    let size = format!("small{BAD}");
    let table = "tab\u{9b}le.csv";
    let sound = scant(folder.path(), &["run", file]);
    assert_eq!(sound.status, 1, "only its check fails: {}", sound.err);
    let mut runs: Vec<Vec<&str>> = vec![
        vec!["run", file, "--set", "wide\u{9b}=3 in"],
        vec!["run", file, "--set", "wide=3\u{9b} in"],
        vec!["run", file, "--size", "no\u{9b}"],
        vec!["run", "missing\u{9b}", "--out", "x\u{9b}"],
        vec!["run", file, "--out", "no/su\u{9b}ch"],
        vec!["run", file, "--measured", "wi\u{9b}de"],
        vec!["check", file],
        vec!["why", file, "wide"],
        vec!["why", file, "wide", "--json"],
        vec!["why", file, "no\u{9b}"],
        vec!["work", "\"a\u{9b}\u{1b}\""],
        vec!["work", "[\"a\u{9b}\u{e0041}\"]"],
        vec!["work", "3 \u{9b}2J in"],
        vec!["work", "step \"a\u{9b}\""],
        vec!["work", "check 1 > 2: \"a\u{9b}\""],
        vec!["help", "no\u{9b}such"],
        vec!["help", "--all", "--as", "html", "no\u{9b}such"],
        vec!["grad\u{9b}e"],
        vec!["run", "--as", "pdf\u{9b}\u{1b}[2J", file],
        vec!["grade", file, "--together", "--as", "json"],
    ];
    let names: Vec<String> =
        Format::value_variants().iter().filter(|format| !format.is_binary()).map(name_of).collect();
    for format in &names {
        runs.push(vec!["run", file, "--as", format, "--why"]);
        runs.push(vec!["run", file, "--as", format, "--size", &size, "--both"]);
        runs.push(vec!["run", file, "--as", format, "--measured", "wide=15 in", "--already-cut", "panel"]);
        runs.push(vec!["grade", file, "--as", format]);
        runs.push(vec!["grade", file, "--sizes", table, "--as", format]);
        runs.push(vec!["grade", file, "--sizes", "table.json", "--as", format]);
    }
    for args in &runs {
        assert_harmless(&format!("{args:?}"), &scant(folder.path(), args));
        let json: Vec<&str> = args.iter().copied().chain(["--errors", "json"]).collect();
        assert_harmless(&format!("{json:?}"), &scant(folder.path(), &json));
    }
}

/// How a format is called at the command line.
fn name_of(format: &Format) -> String {
    format.to_possible_value().unwrap().get_name().to_owned()
}

#[test]
fn every_file_in_every_format_and_for_everyone() {
    let folder = Folder::new();
    let sound = recipe().replace("check wide < 3 in", "check wide < 90 in");
    let drawn = format!("draw \"drawn{BAD}\": edged(circle(4 in), \"all\", \"hemmed\", 1/4 in)\n");
    let (before, sizes) = sound.split_once("sizes\n").unwrap();
    folder.write("stranger.scant", format!("{before}{drawn}sizes\n{sizes}"));
    folder.write("table.csv", format!("size{BAD},wide,x{BAD}\na{BAD},12 in,p{BAD}\nb,13 in,r\n"));
    let (run, grade) = (["run", "stranger.scant"], ["grade", "stranger.scant"]);
    for format in Format::value_variants() {
        let name = &name_of(format);
        let all = |args: &[&[&str]]| {
            let args: Vec<&str> = args.iter().flat_map(|args| args.iter().copied()).collect();
            assert_harmless_file(&folder, &[&args[..], &["--as", name]].concat(), *format)
        };
        let length = all(&[&run, &["--why", "--both"]]);
        assert!(length > 500, "{name}: {length}");
        all(&[&run, &["--measured", "wide=15 in", "--kits", "2"]]);
        if name != "svg" {
            all(&[&grade]);
            all(&[&grade, &["--sizes", "table.csv"]]);
        }
        all(&[&grade, &["--sizes", "table.csv", "--together", "--thorough"]]);
        if matches!(format, Format::Markdown | Format::Html | Format::Pdf) {
            for purpose in ["wall", "class", "shop"] {
                all(&[&run, &["--for", purpose]]);
                all(&[&grade, &["--for", purpose]]);
            }
        }
        if matches!(format, Format::Svg | Format::Html | Format::Pdf) {
            all(&[&run, &["--paper", "letter"]]);
        }
    }
    assert_harmless_file(&folder, &["guide", "stranger.scant"], Format::Pdf);
}

#[test]
fn the_prompt() {
    let folder = Folder::new();
    folder.write("stranger.scant", recipe());
    folder.write("wrong\u{9b}.scant", "x = 3 \u{9b}2J in\n");
    let rows = [
        "load stranger.scant",
        "load wrong\u{9b}.scant",
        "load no\u{9b}such",
        "rule f(x) = \"a\u{9b}\u{202e}\"",
        "f(1)",
        "rules",
        "help f",
        "help no\u{9b}such",
        "names",
        "forget no\u{9b}such",
        "save sa\u{9b}ved.scant",
        "why f(2)",
        "measured x\u{9b} = 3",
        "x = \"b\u{1b}\"",
        "x = \"c\u{9b}\"",
    ];
    let done = prompt(&folder, (rows.join("\n") + "\n").as_bytes());
    // Some rows are wrong.
    assert_eq!(done.status, 1, "{done:?}");
    assert!(done.out.contains("title\\u{1b}[2J\\u{7}\\u{9b}31m"), "{}", done.out);
    assert_harmless("the prompt", &done);
}

#[test]
fn a_fault_shows_the_line_spelled_out_with_its_mark_in_place() {
    let folder = Folder::new();
    folder.write("c1.scant", "x = [\"\u{9b}2J\u{e0041}\", hemm]\n");
    let done = scant(folder.path(), &["run", "c1.scant"]);
    let wanted = "\
error[unknown-name]: nothing here is called `hemm`
 --> c1.scant:1:14
  |
1 | x = [\"\\u{9b}2J\\u{e0041}\", hemm]
  |                           ^^^^
";
    assert!(done.err.starts_with(wanted), "{}", done.err);
}
