//! A docket on a terminal: never wider than it, and in colour the same words.
#![allow(clippy::unwrap_used, clippy::panic)] // what is wrong here is a test that fails

use std::path::Path;

use scant::docket::Docket;
use scant::eval::limits::Limits;
use scant::fault::Files;
use scant::recipe::build::compile;
use scant::recipe::used::NoFiles;
use scant::report::{Screen, text, text_on};
use unicode_width::UnicodeWidthStr;

fn examples() -> Vec<(String, Docket)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
    let paths = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let recipes = paths.filter(|path| path.extension().is_some_and(|kind| kind == "scant"));
    let made = |path: std::path::PathBuf| {
        let text = std::fs::read_to_string(&path).unwrap();
        let mut files = Files::new();
        let mut recipe = compile("example.scant", &text, &mut files, &NoFiles, &Limits::default()).unwrap();
        (path.display().to_string(), recipe.run(&[], None).docket)
    };
    recipes.map(made).collect()
}

fn written(docket: &Docket, screen: Screen) -> String {
    let mut out = Vec::new();
    text_on(docket, screen, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// The text without the sequences that select a rendition.
fn plain(text: &str) -> String {
    let mut out = String::new();
    let mut parts = text.split("\u{1b}[");
    out.push_str(parts.next().unwrap_or(""));
    for part in parts {
        out.push_str(part.split_once('m').unwrap().1);
    }
    out
}

#[test]
fn no_line_is_wider_than_the_screen() {
    let all = examples();
    assert!(all.len() > 20);
    for (name, docket) in &all {
        for columns in [40, 50, 64, 80] {
            for line in written(docket, Screen { columns, colour: false }).lines() {
                assert!(line.width() <= columns, "{name} at {columns}: {line}");
            }
        }
    }
}

#[test]
fn a_wide_screen_reads_as_a_page_does() {
    for (name, docket) in examples() {
        let mut page = Vec::new();
        text(&docket, &mut page).unwrap();
        assert_eq!(written(&docket, Screen { columns: 200, colour: false }).as_bytes(), page, "{name}");
    }
}

#[test]
fn colour_changes_no_word() {
    for (name, docket) in examples() {
        let coloured = written(&docket, Screen { columns: 60, colour: true });
        assert!(coloured.contains("\u{1b}["), "{name}");
        assert_eq!(plain(&coloured), written(&docket, Screen { columns: 60, colour: false }), "{name}");
    }
}

/// Escape sequences in the words of a stranger are spelled out on a coloured screen too.
#[test]
fn a_stranger_colours_nothing() {
    let text = "recipe \"a\u{1b}[2Jb\"\nnote \"c\u{9b}31md\"\nshow \"e\u{202e}f\": 3 in\n";
    let mut files = Files::new();
    let mut recipe = compile("stranger.scant", text, &mut files, &NoFiles, &Limits::default()).unwrap();
    let shown = written(&recipe.run(&[], None).docket, Screen { columns: 80, colour: true });
    let words = plain(&shown);
    assert!(words.chars().all(|c| c == '\n' || !c.is_control() && c != '\u{202e}'), "{words:?}");
    assert!(words.contains("\\u{1b}[2J"), "{words}");
}
