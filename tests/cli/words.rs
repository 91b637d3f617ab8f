//! The words that people meet: what is out of date, ambiguous or a programmer's stands in no text of the program.

use std::fs;
use std::path::PathBuf;

use scant::library;
use scant::report::{Screen, help_text as help};

use crate::bench::{scant, tests, verdict};

/// Phrases that no text has.
const REJECTED: &[&str] = &[
    // out of date, or a calque
    "hangs on",
    "behind",
    "anew",
    "want",
    "wants",
    "wanted",
    "wish",
    "wished",
    "wishes",
    "told as",
    "told",
    "who brings",
    "stands",
    "stand on",
    "stood",
    "out of sight",
    "at a time",
    "so many",
    "so much",
    "so wide",
    "so small",
    "as much again",
    "comes out as",
    "came out as",
    "come back to a length",
    "it is to be",
    "be so",
    "makes it so",
    "lies",
    "lie",
    "lying",
    "eat into",
    "mend",
    "heed",
    "reckon",
    "reckons",
    "dearer",
    "tells",
    "sewn fast",
    "sold for heat",
    "not one",
    "way round",
    "no other does",
    "upright",
    // a programmer's or a mathematician's
    "nothing sensible",
    "does not go between",
    "takes nothing called",
    "session",
    "all hold",
    "check holds",
    // ambiguous
    "worked",
    "settled",
    "more than can be counted",
    "whole or not at all",
    "reads otherwise",
    "half squares",
    "half square units",
    "beside it in",
    "as logs are laid",
    "in hand is used up",
    "works with",
];

/// Plain English all the same; the last is from the words of questions that help does not search for.
const ALLOWED: &[&str] = &["worked out", "come want go"];

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

/// A text, and where it is met.
struct Met {
    place: String,
    text: String,
}

fn kept(folder: &str, ending: &str) -> Vec<Met> {
    let entries = fs::read_dir(tests().join(folder)).expect("the kept texts are there");
    let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    paths.retain(|path| path.extension().is_some_and(|found| found == ending));
    paths.sort();
    let met = |path: &PathBuf| {
        let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
        Met {
            place: format!("{folder}/{name}"),
            text: fs::read_to_string(path).expect("a kept text can be read"),
        }
    };
    paths.iter().map(met).collect()
}

/// The texts in quotes of the program's source, without `layout/`, where only checks of plans have texts.
fn quoted() -> Vec<Met> {
    let mut folders = vec![tests().join("../src")];
    let mut texts = Vec::new();
    while let Some(folder) = folders.pop() {
        for path in fs::read_dir(&folder).expect("a folder of the source").flatten().map(|entry| entry.path())
        {
            if path.is_dir() && !path.ends_with("layout") {
                folders.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let source = fs::read_to_string(&path).expect("a source file can be read");
                let source = source.split("#[cfg(test)]").next().unwrap_or_default();
                let quotes = quotes_of(source).into_iter().map(|quote| values_left_out(&quote));
                let text = quotes.filter(|quote| quote.contains(' ')).collect::<Vec<_>>().join("\n.\n");
                texts.push(Met { place: path.display().to_string(), text });
            }
        }
    }
    texts
}

/// The texts in quotes of a source file, over several rows too; comments and the reasons of `expect` are left out.
fn quotes_of(source: &str) -> Vec<String> {
    let mut quotes = Vec::new();
    let mut chars = source.char_indices();
    while let Some((at, c)) = chars.next() {
        let before = &source[..at];
        match c {
            '/' if before.ends_with('/') => {
                chars.find(|(_, c)| *c == '\n');
            }
            '"' if !before.ends_with('\'') && !before.ends_with("'\\") => {
                let mut quote = String::new();
                while let Some((_, c)) = chars.next().filter(|(_, c)| *c != '"') {
                    quote.push(c);
                    if c == '\\' {
                        quote.pop();
                        quote.extend(chars.next().map(|(_, c)| if c == 'n' { ' ' } else { c }));
                    }
                }
                if !before.ends_with("reason = ") {
                    quotes.push(quote);
                }
            }
            _ => {}
        }
    }
    quotes
}

/// Every text that a person can meet.
fn texts() -> Vec<Met> {
    let mut texts = kept("gallery", "txt");
    texts.extend(kept("gallery/command", "txt"));
    for (folder, ending) in [
        ("golden", "txt"),
        ("golden", "csv"),
        ("golden", "svg"),
        ("plans", "txt"),
        ("plans", "svg"),
        ("../examples", "scant"),
    ] {
        texts.extend(kept(folder, ending));
    }
    texts.extend(quoted());
    let mut own = |place: String, text: String| texts.push(Met { place, text });
    for page in ["README.md", "examples/README.md"] {
        own(page.into(), fs::read_to_string(tests().join("..").join(page)).expect("the page is there"));
    }
    for command in ["", "run", "why", "grade", "guide", "check", "work", "help"] {
        let args: Vec<&str> = command.split_whitespace().chain(["--help"]).collect();
        own(format!("scant {command} --help"), scant(&tests(), &args).out);
    }
    for page in [&["help"][..], &["help", "limits"], &["help", "library"], &["help", "--all"]] {
        own(format!("scant {}", page.join(" ")), sources_left_out(&scant(&tests(), page).out));
    }
    let schema = scant(&tests(), &["help", "docket"]).out;
    let described = schema.split("\"description\": \"").skip(1).filter_map(|rest| rest.split('"').next());
    own("scant help docket".into(), described.collect::<Vec<_>>().join("\n"));
    for name in scant::help::names() {
        own(
            format!("help {name}"),
            sources_left_out(&help::about(name, Screen::default()).unwrap_or_default()),
        );
    }
    for (file, text) in library::FILES {
        own(format!("stdlib/{file}"), sources_left_out(text));
    }
    texts
}

/// A text of the source without the names of the values that it is filled with.
fn values_left_out(text: &str) -> String {
    text.split('{').map(|part| part.split_once('}').map_or(part, |(_, rest)| rest)).collect()
}

/// A text without the titles of its sources, which are quoted.
fn sources_left_out(text: &str) -> String {
    let source = |line: &&str| line.starts_with("## source") || line.starts_with("Source: ");
    text.lines().filter(|line| !source(line)).collect::<Vec<_>>().join("\n")
}

#[test]
fn no_text_has_a_rejected_word() {
    let texts = texts();
    assert!(texts.len() > 700, "the texts are found: {}", texts.len());
    let found = texts
        .iter()
        .flat_map(|met| rejected(&met.text).into_iter().map(|phrase| format!("{}: {phrase}", met.place)));
    verdict(found.collect());
}

#[test]
fn quotes_are_found_over_rows_and_beside_comments() {
    let source =
        "x = '\"'; // \"a comment\"\ny = \"it is {said}\\n\\\n    anew\"; #[expect(z, reason = \"no text\")]";
    assert_eq!(quotes_of(source), ["it is {said} \n    anew"]);
}

#[test]
fn rejected_words_are_found_across_lines_and_signs() {
    assert_eq!(rejected("A name is\n  Wanted, behind: it"), ["behind", "wanted"]);
    assert!(rejected("worked out, unwanted, standard").is_empty());
}
