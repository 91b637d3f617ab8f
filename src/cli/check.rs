//! `scant check` and `scant help`.

use std::path::Path;

use super::args::Pages;
use super::{Done, Ended, Outside, print, work};
use crate::drawing::Paper;
use crate::fault::{Code, Fault, Files, closest};
use crate::help;
use crate::help::tries::try_library;
use crate::limits;
use crate::report::{Format, handbook, help_text};

/// Reads a recipe and works its examples; without a file, the library's.
pub(super) fn check(file: Option<&Path>, outside: &Outside) -> Done {
    let mut files = Files::new();
    let limits = outside.limits();
    outside.stop_on_interrupt(&limits);
    let (faults, words) = match file {
        None => {
            let tried = try_library(&mut files, &limits);
            let words = format!("the library is correct: {} rules, {} examples", tried.rules, tried.examples);
            (tried.faults, words)
        }
        Some(path) => {
            let mut recipe = work::recipe(path, &mut files, &limits, outside)?;
            outside.tell(&recipe.advice, &files);
            outside.tell(&recipe.notes, &files);
            outside.tell(&recipe.second_look(&files), &files);
            let mut faults = recipe.try_examples();
            for size in 0..recipe.sizes.len() {
                faults.extend(recipe.size_values(size).err().unwrap_or_default());
            }
            let examples = recipe.example_count();
            let words = match examples {
                0 => format!("{} is correct", path.display()),
                1 => format!("{} is correct, and its example is right", path.display()),
                n => format!("{} is correct, and its {n} examples are right", path.display()),
            };
            (faults, words)
        }
    };
    if faults.is_empty() {
        return Ok(print(&format!("{words}\n"), outside, Ended::Well));
    }
    let only_tries = faults.iter().all(|fault| fault.code == Code::TryFailed);
    let wrong = outside.refuse(&faults, &files);
    Err(if only_tries { Ended::Failed } else { wrong })
}

/// Says what a name is, finds a rule by words, or prints the handbook.
pub(super) fn help(
    words: &[String],
    all: bool,
    (format, paper): (Option<Pages>, Paper),
    out: Option<&Path>,
    outside: &Outside,
) -> Ended {
    let name = words.join(" ");
    if all || format.is_some() {
        let area = Some(name.as_str()).filter(|name| !name.is_empty());
        return pages(area, (format, paper), out, outside);
    }
    if out.is_some() {
        let fault = Fault::nowhere(Code::BadCommand, "`--out` writes a handbook, not plain help");
        let hint = "write all areas: `scant help --all --as html --out FILE`, or one: `scant help AREA --as html --out FILE`";
        return outside.refuse(&[fault.hint(hint)], &Files::new());
    }
    match name.as_str() {
        "" => return print(&help_text::overview(super::plain_screen()), outside, Ended::Well),
        "docket" => {
            let schema = include_str!("../docket/docket.schema.json");
            return print(schema, outside, Ended::Well);
        }
        "limits" => return print(&limits::page(), outside, Ended::Well),
        "library" => return print(&help_text::all_names(super::plain_screen()), outside, Ended::Well),
        _ => {}
    }
    match help_text::told(&name, super::plain_screen()) {
        Ok(text) => print(&text, outside, Ended::Well),
        Err(hints) => {
            let fault = Fault::nowhere(Code::BadCommand, format!("there is no help on `{name}`"));
            let fault = hints.into_iter().fold(fault, Fault::hint);
            let fault = fault.hint("`scant help` lists the areas, `scant help library` lists all rules");
            outside.refuse(&[fault], &Files::new())
        }
    }
}

fn pages(
    area: Option<&str>,
    (format, paper): (Option<Pages>, Paper),
    out: Option<&Path>,
    outside: &Outside,
) -> Ended {
    let text = |pages| handbook::handbook(area, pages).map(String::into_bytes);
    let (made, format) = match format {
        Some(Pages::Html) => (text(handbook::Pages::Html), Format::Html),
        Some(Pages::Markdown) | None => (text(handbook::Pages::Markdown), Format::Markdown),
        Some(Pages::Pdf) => match handbook::pdf(area, paper) {
            Some(Err(error)) => {
                return outside.complain(Code::BadFile, format!("the handbook cannot be written: {error}"));
            }
            Some(Ok(bytes)) => (Some(bytes), Format::Pdf),
            None => (None, Format::Pdf),
        },
    };
    match made {
        Some(bytes) => work::written(&bytes, format, out, outside, Ended::Well),
        None => {
            let name = area.unwrap_or("");
            let fault = Fault::nowhere(Code::BadCommand, format!("there is no area `{name}`"));
            let fault = fault.did_you_mean(closest(name, help::names()));
            outside.refuse(&[fault.hint("`scant help` lists the areas")], &Files::new())
        }
    }
}
