//! The words that people meet: what is out of date, ambiguous or a programmer's stands in no text of the program.

use std::fs;
use std::path::{Path, PathBuf};

use scant::library;
use scant::report::help_text as help;

use crate::bench::{scant, tests, verdict};

/// Phrases that no text has.
const REJECTED: &[&str] = &[
    "hang on",
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
    "stand",
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
const ALLOWED: &[&str] = &["worked out", "stand up"];

/// What the library and the recipes in `examples/` still say: the file or the rule, and its phrase.
const EXCEPTIONS: &[(&str, &str)] = &[];

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

fn kept(folder: &str, ending: &str) -> Vec<(String, String)> {
    let entries = fs::read_dir(tests().join(folder)).expect("the kept texts are there");
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.retain(|path| path.extension().is_some_and(|found| found == ending));
    paths.sort();
    let text = |path: &PathBuf| fs::read_to_string(path).expect("a kept text can be read");
    let name = |path: &Path| format!("{folder}/{}", path.file_name().unwrap_or_default().to_string_lossy());
    paths.iter().map(|path| (name(path), text(path))).collect()
}

/// Every text that a person can meet, and where.
fn texts() -> Vec<(String, String)> {
    let mut texts = kept("gallery", "txt");
    texts.extend(kept("gallery/command", "txt"));
    texts.extend(kept("golden", "txt"));
    texts.extend(kept("../examples", "scant"));
    for page in ["README.md", "examples/README.md"] {
        let text = fs::read_to_string(tests().join("..").join(page)).expect("the page is there");
        texts.push((page.into(), text));
    }
    texts.push(("help".into(), help::overview()));
    for name in scant::help::names() {
        texts.push((format!("help {name}"), help::about(name).unwrap_or_default()));
    }
    for (file, text) in library::FILES {
        let words: Vec<&str> = text.lines().filter(|line| !line.starts_with("## source")).collect();
        texts.push((format!("stdlib/{file}"), words.join("\n")));
    }
    for command in ["", "run", "why", "grade", "check", "work", "help"] {
        let args: Vec<&str> = command.split_whitespace().chain(["--help"]).collect();
        texts.push((format!("scant {command} --help"), scant(&tests(), &args).out));
    }
    texts
}

#[test]
fn no_text_has_a_rejected_word() {
    let texts = texts();
    assert!(texts.len() > 700, "the texts are found: {}", texts.len());
    let excepted = |place: &str, phrase: &str| EXCEPTIONS.contains(&(place, phrase));
    let mut faults = Vec::new();
    for (place, text) in &texts {
        let found = rejected(text);
        faults.extend(found.iter().filter(|p| !excepted(place, p)).map(|phrase| format!("{place}: {phrase}")));
    }
    for (place, phrase) in EXCEPTIONS {
        let still = texts.iter().any(|(name, text)| name == place && rejected(text).contains(phrase));
        if !still {
            faults.push(format!("{place} does not say `{phrase}` any more: take it out of the exceptions"));
        }
    }
    verdict(faults);
}

#[test]
fn rejected_words_are_found_across_lines_and_signs() {
    assert_eq!(rejected("A name is\n  Wanted, behind: it"), ["behind", "wanted"]);
    assert!(rejected("worked out, unwanted, standard").is_empty());
}
