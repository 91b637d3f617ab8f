//! What was meant by a command line that cannot be read.

use clap::error::{ContextKind, ContextValue};
use clap::{Error, ValueEnum};

use crate::report::Format;

/// The words of a wrong command line, with what to write where that is known.
pub(super) fn with_tip(error: &Error) -> String {
    let words = error.render().to_string();
    match (tip(error), words.split_once("\n\n"), words.split_once("Usage:")) {
        (Some(tip), Some((first, _)), Some((_, usage))) => {
            format!("{first}\n\n  tip: {tip}\n\nUsage:{usage}")
        }
        _ => words,
    }
}

fn tip(error: &Error) -> Option<String> {
    let typed = |kind| match error.get(kind) {
        Some(ContextValue::String(typed)) => Some(typed.as_str()),
        _ => None,
    };
    if let Some(command) = typed(ContextKind::InvalidSubcommand) {
        return Some(match command {
            _ if command.ends_with(".scant") => format!("to make a recipe, write `scant run {command}`"),
            _ if command.starts_with(|c: char| c.is_ascii_digit() || c == '(') => {
                "to calculate a sum, write it in quotes after `work`: `scant work \"6 * 3/4 in\"`".into()
            }
            _ => "the commands are `work`, `run`, `grade`, `guide`, `why`, `check` and `help`".into(),
        });
    }
    let argument = typed(ContextKind::InvalidArg)?;
    let ending = argument.rsplit('.').next().unwrap_or("");
    match argument.strip_prefix("--") {
        Some(option) => {
            let format = Format::from_str(option, false).ok();
            format.map(|_| format!("a format is written after `--as`: `--as {option}`"))
        }
        None if matches!(ending, "csv" | "json" | "tsv") => {
            Some(format!("a table of sizes is written after `--sizes`: `--sizes {argument}`"))
        }
        None if argument.contains('=') => {
            Some(format!("a given is changed with `--set`: `--set {}`", quoted(argument)))
        }
        None => None,
    }
}

/// `hem=20 mm` with its value in quotes, as a shell needs it.
fn quoted(given: &str) -> String {
    let (name, value) = given.split_once('=').unwrap_or((given, ""));
    format!("{name}=\"{value}\"")
}
