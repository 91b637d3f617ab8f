//! The words that people meet: what is out of date, ambiguous or a programmer's stands in no text of the program.

use std::fs;
use std::path::PathBuf;

use scant::library;
use scant::report::help_text as help;

use crate::bench::{scant, tests, verdict};

/// Phrases that no text has.
const REJECTED: &[&str] = &[
    "hangs on",
    "behind",
    "anew",
    "want",
    "wants",
    "wanted",
    "told as",
    "worked",
    "nothing sensible",
    "who brings",
    "session",
    "stands",
    "out of sight",
    "at a time",
    "makes it so",
    "be so",
    "settled",
    "more than can be counted",
    "came out as",
    "whole or not at all",
    "does not go between",
    "come back to a length",
    "takes nothing called",
    "reads otherwise",
    "told",
];

/// Plain English all the same.
const ALLOWED: &[&str] = &["worked out"];

/// What areas of the library and recipes in `examples/` still say.
const EXCEPTIONS: &[(&str, &[&str])] = &[
    ("backing", &["stands"]),
    ("bands", &["wanted"]),
    ("cautions", &["anew", "stands", "told"]),
    ("checker_throw", &["wanted"]),
    ("classes", &["wanted"]),
    ("cloth", &["anew"]),
    ("corners", &["stands"]),
    ("curtains", &["behind", "stands"]),
    ("enlarging", &["anew"]),
    ("lighthouse_toy", &["anew"]),
    ("loft_apron", &["stands"]),
    ("loft_curtains", &["behind"]),
    ("quay_bunting", &["stands"]),
    ("slack", &["anew", "wanted"]),
    ("sleeves", &["out of sight"]),
    ("spacing", &["stands"]),
    ("swatches", &["worked"]),
    ("toys", &["anew", "worked"]),
    ("triangles", &["at a time"]),
    ("trims", &["worked"]),
    ("tucks", &["stands"]),
];

/// A text in small letters, one space between two words, a space at both ends.
fn plain(text: &str) -> String {
    let letters = text.to_lowercase();
    let letters = letters.replace(|c: char| !(c.is_alphanumeric() || c == '_'), " ");
    format!(" {} ", letters.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// The rejected phrases of a text.
fn rejected(text: &str) -> Vec<&'static str> {
    let text = ALLOWED.iter().fold(plain(text), |text, fine| text.replace(&format!(" {fine} "), " "));
    REJECTED.iter().copied().filter(|phrase| text.contains(&format!(" {phrase} "))).collect()
}

/// A text, where it is met, and the area or recipe whose words it shows.
struct Met {
    place: String,
    of: String,
    text: String,
}

fn kept(folder: &str, ending: &str) -> Vec<Met> {
    let entries = fs::read_dir(tests().join(folder)).expect("the kept texts are there");
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.retain(|path| path.extension().is_some_and(|found| found == ending));
    paths.sort();
    let met = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let of = name.split('.').next().unwrap_or_default().into();
        let text = fs::read_to_string(path).expect("a kept text can be read");
        Met { place: format!("{folder}/{name}"), of, text }
    };
    paths.iter().map(met).collect()
}

/// Every text that a person can meet.
fn texts() -> Vec<Met> {
    let mut texts = kept("gallery", "txt");
    texts.extend(kept("gallery/command", "txt"));
    texts.extend(kept("golden", "txt"));
    texts.extend(kept("../examples", "scant"));
    let mut own = |place: String, text: String| texts.push(Met { place, of: String::new(), text });
    for page in ["README.md", "examples/README.md"] {
        own(page.into(), fs::read_to_string(tests().join("..").join(page)).expect("the page is there"));
    }
    for command in ["", "run", "why", "grade", "check", "work", "help"] {
        let args: Vec<&str> = command.split_whitespace().chain(["--help"]).collect();
        own(format!("scant {command} --help"), scant(&tests(), &args).out);
    }
    own("help limits".into(), scant(&tests(), &["help", "limits"]).out);
    let area = |file: &str| file.trim_end_matches(".scant").to_owned();
    for name in scant::help::names() {
        let of = match library::index().get(name) {
            Some(entry) => area(library::FILES[entry.file].0),
            None => name.into(),
        };
        texts.push(Met { place: format!("help {name}"), of, text: help::about(name).unwrap_or_default() });
    }
    for (file, text) in library::FILES {
        let words: Vec<&str> = text.lines().filter(|line| !line.starts_with("## source")).collect();
        texts.push(Met { place: format!("stdlib/{file}"), of: area(file), text: words.join("\n") });
    }
    texts
}

#[test]
fn no_text_has_a_rejected_word() {
    let texts = texts();
    assert!(texts.len() > 700, "the texts are found: {}", texts.len());
    let excepted = |of: &str, phrase: &str| {
        EXCEPTIONS.iter().any(|(area, phrases)| *area == of && phrases.contains(&phrase))
    };
    let found = texts.iter().flat_map(|met| {
        let found = rejected(&met.text).into_iter().filter(|phrase| !excepted(&met.of, phrase));
        found.map(|phrase| format!("{}: {phrase}", met.place))
    });
    verdict(found.collect());
}

#[test]
fn rejected_words_are_found_across_lines_and_signs() {
    assert_eq!(rejected("A name is\n  Wanted, behind: it"), ["behind", "wanted"]);
    assert!(rejected("worked out, unwanted, standard").is_empty());
}
