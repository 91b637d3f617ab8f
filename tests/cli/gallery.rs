//! The error gallery: one mistake a file in `tests/gallery`, beside it the exit status and the whole text
//! that a person reads. `SCANT_RENEW=1 cargo test` writes the texts anew; read them then.

use std::collections::BTreeSet;
use std::fs;
use std::path::PathBuf;

use scant::fault::Code;

use crate::bench::{compare, scant, tests, verdict};

/// Kinds that no recipe alone can bring about: those of the command line, of tables and of the
/// keyboard, each with a test of its own beside this one.
const ELSEWHERE: &[Code] = &[
    Code::Stopped,
    Code::CheckFailed,
    Code::TryFailed,
    Code::BadTable,
    Code::BadCell,
    Code::BadFile,
    Code::BadCommand,
    Code::Caution,
];

fn cases() -> Vec<PathBuf> {
    let entries = fs::read_dir(tests().join("gallery")).expect("the gallery is there");
    let mut cases: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
    cases.retain(|path| path.extension().is_some_and(|kind| kind == "scant"));
    cases.sort();
    assert!(cases.len() > 150, "the gallery is hung");
    cases
}

#[test]
fn every_mistake_is_told_as_it_is_kept() {
    let mut faults = Vec::new();
    for case in cases() {
        let name = case.file_name().expect("a case has a name").to_owned();
        let done = scant(&tests().join("gallery"), &["run".into(), name.clone()]);
        let name = name.to_string_lossy();
        let advice = name.starts_with("advice_");
        if done.status != if advice { 0 } else { 2 } || !advice && !done.out.is_empty() {
            faults.push(format!("{name}: status {}, on standard output: {:?}", done.status, done.out));
        }
        faults.extend(compare(&case.with_extension("txt"), &done.fault()).err());
    }
    verdict(faults);
}

fn texts() -> String {
    let kept =
        cases().into_iter().map(|case| fs::read_to_string(case.with_extension("txt")).unwrap_or_default());
    kept.collect()
}

#[test]
fn every_kind_of_fault_hangs_in_the_gallery() {
    let texts = texts();
    let hangs = |code: &Code| texts.contains(&format!("error[{}]: ", code.as_str()));
    let missing: Vec<&str> = Code::ALL
        .iter()
        .filter(|code| **code != Code::Advice && !ELSEWHERE.contains(code) && !hangs(code))
        .map(|code| code.as_str())
        .collect();
    assert!(missing.is_empty(), "no case for {missing:?}");
    assert!(texts.contains("\nadvice: "));
    let both: Vec<&str> = ELSEWHERE.iter().filter(|code| hangs(code)).map(|code| code.as_str()).collect();
    assert!(both.is_empty(), "these hang here after all: {both:?}");
}

/// What is written for people names no rule of the grammar and no part of the program.
#[test]
fn no_text_speaks_of_the_program_itself() {
    let texts = texts();
    let grammar = include_str!("../../grammar/scant.pest");
    let rules: BTreeSet<&str> = grammar
        .lines()
        .filter_map(|line| line.split_once('=').map(|(name, _)| name.trim()))
        .filter(|name| name.contains('_') && name.chars().all(|c| c.is_ascii_lowercase() || c == '_'))
        .collect();
    assert!(rules.len() > 10, "the grammar's rules are found");
    let words =
        ["EOI", "panicked", "RUST_BACKTRACE", "None", "Some(", "parse", "token", "expression", "literal"];
    let messages: Vec<&str> =
        texts.lines().filter(|line| line.starts_with("error[") || line.contains("= help: ")).collect();
    let told: Vec<&str> = rules
        .iter()
        .chain(&words)
        .copied()
        .filter(|word| {
            messages.iter().any(|line| {
                line.split(|c: char| !(c.is_alphanumeric() || c == '_')).any(|part| part == *word)
            })
        })
        .filter(|word| *word != "yes_no")
        .collect();
    assert!(told.is_empty(), "{told:?}");
}
