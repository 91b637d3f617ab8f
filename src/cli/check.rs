//! `scant check` and `scant help`.

use std::path::Path;

use super::{Ended, Outside, print, work};
use crate::engine::{Limits, help, try_library};
use crate::fault::{Code, Fault, Files, closest};

/// Reads a recipe and works its examples; without a file, the library's.
pub(super) fn check(file: Option<&Path>, outside: &Outside) -> Ended {
    let mut files = Files::new();
    let limits = Limits::default();
    super::stop_on_interrupt(&limits);
    let (faults, words) = match file {
        None => {
            let tried = try_library(&mut files, &limits);
            let words = format!("the library is sound: {} rules, {} examples", tried.rules, tried.examples);
            (tried.faults, words)
        }
        Some(path) => {
            let mut recipe = match work::recipe(path, &mut files, &limits, outside) {
                Ok(recipe) => recipe,
                Err(ended) => return ended,
            };
            outside.tell(&recipe.advice, &files);
            let mut faults = recipe.try_examples();
            for size in 0..recipe.sizes.len() {
                faults.extend(recipe.size_values(size).err().unwrap_or_default());
            }
            let examples = recipe.example_count();
            let words = match examples {
                0 => format!("{} is sound", path.display()),
                1 => format!("{} is sound, and its example comes out", path.display()),
                n => format!("{} is sound, and its {n} examples come out", path.display()),
            };
            (faults, words)
        }
    };
    if faults.is_empty() {
        return print(format!("{words}\n").as_bytes(), outside, Ended::Well);
    }
    outside.tell(&faults, &files);
    let only_tries = faults.iter().all(|fault| fault.code == Code::TryFailed);
    if only_tries { Ended::Failed } else { Ended::Wrong }
}

/// Tells what a name is.
pub(super) fn help(name: Option<&str>, outside: &Outside) -> Ended {
    let Some(name) = name else {
        return print(help::overview().as_bytes(), outside, Ended::Well);
    };
    if name == "docket" {
        let schema = include_str!("../docket/docket.schema.json");
        return print(schema.as_bytes(), outside, Ended::Well);
    }
    match help::about(name) {
        Some(text) => print(text.as_bytes(), outside, Ended::Well),
        None => {
            let fault = Fault::nowhere(Code::BadCommand, format!("there is no help on `{name}`"));
            let fault = fault.did_you_mean(closest(name, help::topics()));
            outside.tell(&[fault.hint("`scant help` lists all areas and rules")], &Files::new());
            Ended::Wrong
        }
    }
}
