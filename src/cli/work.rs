//! `scant work` and `scant run`.

use std::borrow::Cow;
use std::io::{IsTerminal as _, Write as _};
use std::mem::ManuallyDrop;
use std::path::Path;

use super::args::{Run as RunArgs, Why as WhyArgs, Work as WorkArgs};
use super::files::{self, Beside};
use super::{Done, Ended, Outside, print, print_bytes, unless_written};
use crate::docket::{Check, Docket};
use crate::eval::limits::Limits;
use crate::fault::{Code, Fault, Files};
use crate::limits;
use crate::recipe::build::{self, Recipe, unknown_given};
use crate::recipe::inputs::read_value;
use crate::recipe::make::{Run, Set};
use crate::recipe::used::NoFiles;
use crate::recipe::working::Tell;
use crate::report::{self, Format, Style, Unfinished};
use crate::session::entry::{Answer, Session};
use crate::text::harmless_page;

/// Works one sum: the answer and nothing else on standard output.
pub(super) fn work(args: &WorkArgs, outside: &Outside) -> Done {
    let mut session = Session::new(outside.limits());
    let settings =
        [("seam", "1/4 in", &args.seam), ("ruler", "1/16 in", &args.ruler), ("shop", "10 cm", &args.shop)];
    for (word, example, value) in settings {
        let Some(value) = value else { continue };
        let entered = session.load("", &format!("{word} {value}"), &NoFiles);
        if let Some(fault) = entered.faults.first() {
            let fault = Fault::nowhere(Code::BadCommand, format!("`--{word} {value}`: {}", fault.message));
            let fault = fault.hint(format!("write it as `--{word} {example}`"));
            return Err(outside.refuse(&[fault], &session.files));
        }
    }
    let mut entered = session.load("sum", &args.expression.join(" "), &NoFiles);
    if let Some(fault) = entered.faults.last_mut()
        && args.expression.len() > 1
    {
        fault.hints.push("put the whole sum in quotes, so that the shell does not change it".into());
    }
    if !entered.faults.is_empty() {
        return Err(outside.refuse(&entered.faults, &session.files));
    }
    outside.tell(&entered.advice, &session.files);
    if entered.answers.is_empty() {
        let words = "there is nothing to calculate: write a sum, such as `scant work \"6 * 3/4 in\"`";
        return Err(outside.complain(Code::BadCommand, words));
    }
    let (mut text, mut cautions) = (String::new(), Vec::new());
    for answer in &entered.answers {
        match answer {
            Answer::Caution(words) => cautions.push(Fault::caution(&**words)),
            answer => crate::prompt::write_answer(answer, super::plain_screen(), &mut text),
        }
    }
    let ended = print(&text, outside, Ended::Well);
    outside.tell(&cautions, &session.files);
    Ok(ended)
}

/// Reads and compiles a recipe; its faults are reported. It lasts until the program ends, which then has not to take
/// it apart.
pub(super) fn recipe(
    path: &Path,
    files: &mut Files,
    limits: &Limits,
    outside: &Outside,
) -> Result<ManuallyDrop<Recipe>, Ended> {
    let name = path.display().to_string();
    let text = files::read_text(path)
        .map_err(|why| outside.complain(Code::BadFile, format!("`{name}` cannot be read: {why}")))?;
    if text.trim().is_empty() {
        return Err(outside.complain(Code::BadFile, format!("`{name}` is empty")));
    }
    outside.reads(path);
    let beside = Beside::script(path);
    let recipe = build::compile(&name, &text, files, &beside, limits);
    beside.used().iter().for_each(|used| outside.reads(used));
    recipe.map(ManuallyDrop::new).map_err(|faults| outside.refuse(&faults, files))
}

/// What the command line says of a recipe.
struct Asked<'a> {
    file: &'a Path,
    set: &'a [String],
    size: Option<&'a str>,
    measured: &'a [String],
    already_cut: &'a [String],
}

/// A recipe and the values it is made with; its faults are reported.
fn ready(
    asked: &Asked<'_>,
    files: &mut Files,
    outside: &Outside,
) -> Result<(ManuallyDrop<Recipe>, Vec<Set>), Ended> {
    let limits = outside.limits();
    outside.stop_on_interrupt(&limits);
    let mut recipe = recipe(asked.file, files, &limits, outside)?;
    let set = values(asked.set, asked.size, &mut recipe);
    let made = set.and_then(|set| {
        measured(asked.measured, asked.already_cut, &mut recipe)?;
        Ok(set)
    });
    match made {
        Ok(set) => Ok((recipe, set)),
        Err(faults) => {
            outside.tell(&recipe.advice, files);
            Err(outside.refuse(&faults, files))
        }
    }
}

/// Reports what a run has to say; faults end the command.
pub(super) fn sound(run: Run, files: &Files, outside: &Outside) -> Result<Run, Ended> {
    outside.tell(&run.advice, files);
    if run.faults.is_empty() { Ok(run) } else { Err(outside.refuse(&run.faults, files)) }
}

/// Makes a recipe and prints its docket.
pub(super) fn run(args: &RunArgs, outside: &Outside) -> Done {
    let mut files = Files::new();
    let asked = Asked {
        file: &args.file,
        set: &args.set,
        size: args.size.as_deref(),
        measured: &args.measured,
        already_cut: &args.already_cut,
    };
    let (mut recipe, set) = ready(&asked, &mut files, outside)?;
    outside.tell(&recipe.advice, &files);
    recipe.both(args.both);
    if let Some(kits) = args.kits {
        recipe.kits(kits);
    }
    if args.thorough {
        recipe.thorough();
    }
    let size = args.size.as_deref().map(Into::into);
    let run = match args.why || recipe.asks_why() {
        false => recipe.run(&set, size),
        true => recipe.run_with_working(&set, size, &files, if args.why { Tell::All } else { Tell::Asked }),
    };
    let run = sound(run, &files, outside)?;
    Ok(docket(&run, &files, (args.format, args.pages), args.out.as_deref(), outside))
}

/// Prints the working of a name of a recipe, and nothing else.
pub(super) fn why(args: &WhyArgs, outside: &Outside) -> Done {
    let mut files = Files::new();
    let asked = Asked {
        file: &args.file,
        set: &args.set,
        size: args.size.as_deref(),
        measured: &args.measured,
        already_cut: &[],
    };
    let (mut recipe, set) = ready(&asked, &mut files, outside)?;
    recipe.both(args.both);
    let size = args.size.as_deref().map(Into::into);
    let tell = Tell::Name(&args.name, args.briefly || args.brief_word.is_some());
    let run = sound(recipe.run_with_working(&set, size, &files, tell), &files, outside)?;
    let working = run.docket.working.unwrap_or_default();
    let text = match args.json {
        true => report::working_json(&working),
        false => report::working_on(&working, super::plain_screen()),
    };
    Ok(print(&text, outside, Ended::Well))
}

/// Writes the docket of a run.
pub(super) fn docket(
    run: &Run,
    files: &Files,
    (format, style): (Format, Style),
    out: Option<&Path>,
    outside: &Outside,
) -> Ended {
    if format == Format::Text && out.is_none() && std::io::stdout().is_terminal() {
        return on_terminal(&run.docket, outside, by_checks(run));
    }
    let mut bytes = Vec::new();
    let quota = outside.quota(files);
    if let Err(error) = report::write_in(&run.docket, format, style, &quota, &mut bytes) {
        return unfinished("the docket", &error, outside);
    }
    let ended = by_checks(run);
    let written = written(&bytes, format, out, outside, ended);
    if out.is_some() && written == ended {
        outside.tell(&failed_checks(&run.docket), &Files::new());
    }
    written
}

/// Reports why this was not made or not written.
pub(super) fn unfinished(what: &str, error: &std::io::Error, outside: &Outside) -> Ended {
    let most = outside.limits().document;
    let fault = match Unfinished::of(error) {
        Some(Unfinished::Stopped) => Fault::nowhere(Code::Stopped, "stopped"),
        Some(Unfinished::TooLarge) => {
            let fault = Fault::nowhere(
                Code::TooMuch,
                format!("this document would take more than {most} bytes of memory"),
            );
            fault.hint("make several documents of it").hint(limits::hint("document", most))
        }
        None => Fault::nowhere(Code::BadFile, format!("{what} cannot be written: {error}")),
    };
    outside.tell(&[fault], &Files::new());
    Ended::Wrong
}

/// Shows a docket on the terminal: as wide as that is, in colour where it is wanted.
fn on_terminal(docket: &Docket, outside: &Outside, ended: Ended) -> Ended {
    let mut out = anstream::stdout();
    let written = report::text_on(docket, super::screen(), &mut out).and_then(|()| out.flush());
    unless_written(written, outside, ended)
}

/// How a run ended by its checks.
pub(super) fn by_checks(run: &Run) -> Ended {
    match (run.checks_hold(), run.no_check_fails()) {
        (true, _) => Ended::Well,
        (false, true) => Ended::Open,
        _ => Ended::Failed,
    }
}

/// Writes what was made to its file, or prints it; a terminal shows no bytes that are no text.
pub(super) fn written(
    bytes: &[u8],
    format: Format,
    out: Option<&Path>,
    outside: &Outside,
    ended: Ended,
) -> Ended {
    let text = if format.is_binary() { Cow::Borrowed("") } else { String::from_utf8_lossy(bytes) };
    let harmless = harmless_page(&text);
    let bytes = if format.is_binary() { bytes } else { harmless.as_bytes() };
    match out {
        Some(path) => outside.write(path, bytes).map_or_else(|ended| ended, |()| ended),
        None if format.is_binary() && std::io::stdout().is_terminal() => {
            let message = "a terminal cannot show this format: write it to a file with `--out FILE`";
            outside.complain(Code::BadCommand, message)
        }
        None => print_bytes(bytes, outside, ended),
    }
}

/// The checks that do not hold, for whoever does not see the docket.
pub(super) fn failed_checks(docket: &Docket) -> Vec<Fault> {
    let failed = docket.checks.iter().filter(|check| !check.passed);
    let fault = |check: &Check| {
        let detail = check.detail.as_deref().map_or(String::new(), |detail| format!("{detail}; "));
        let verdict = if check.open { "not sure: " } else { "" };
        let message = format!("{verdict}{} ({detail}line {})", check.message, check.line);
        Fault::nowhere(Code::CheckFailed, message)
    };
    failed.map(fault).collect()
}

/// The values of the chosen size and of every `--set`; the last word wins.
pub(super) fn values(
    set: &[String],
    size: Option<&str>,
    recipe: &mut Recipe,
) -> Result<Vec<Set>, Vec<Fault>> {
    let texts = set;
    let mut set = match size {
        None => Vec::new(),
        Some(size) => {
            let Some(at) = recipe.sizes.iter().position(|known| *known.label == *size) else {
                let known: Vec<&str> = recipe.sizes.iter().map(|size| &*size.label).collect();
                let fault =
                    Fault::nowhere(Code::BadCommand, format!("this recipe has no size called \"{size}\""));
                let fault = fault.did_you_mean(crate::fault::closest(size, known.iter().copied()));
                let listed = match known.is_empty() {
                    true => "it lists no sizes of its own".into(),
                    false => format!("its sizes are {}", known.join(", ")),
                };
                return Err(vec![fault.hint(listed)]);
            };
            recipe.size_values(at)?
        }
    };
    let mut faults = Vec::new();
    let mut given = Vec::new();
    for text in texts {
        match one_set(text, recipe) {
            Ok(one) if given.contains(&one.given) => {
                faults
                    .push(Fault::nowhere(Code::BadCommand, format!("`--set {text}` sets this given twice")));
            }
            Ok(one) => {
                given.push(one.given);
                set.push(one);
            }
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(set) } else { Err(faults) }
}

/// Every `--measured`, and the pieces that were cut before.
fn measured(texts: &[String], cut: &[String], recipe: &mut Recipe) -> Result<(), Vec<Fault>> {
    let mut faults = Vec::new();
    let mut made = Vec::new();
    for text in texts {
        let Some((name, value)) = text.split_once('=') else {
            let fault = Fault::nowhere(Code::BadCommand, format!("`--measured {text}` has no `=`"));
            faults.push(fault.hint("write it as `--measured top=\"59 5/8 in by 71 3/4 in\"`"));
            continue;
        };
        match read_value(value.trim(), false) {
            Ok(value) => made.push((name.trim().into(), value)),
            Err(bad) => {
                let mut fault =
                    Fault::nowhere(Code::BadCommand, format!("`--measured {text}`: {}", bad.message));
                fault.hints = bad.hints;
                faults.push(fault);
            }
        }
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    recipe.measure(made, cut.iter().map(|label| label.as_str().into()).collect())
}

fn one_set(text: &str, recipe: &mut Recipe) -> Result<Set, Fault> {
    let Some((name, value)) = text.split_once('=') else {
        let fault = Fault::nowhere(Code::BadCommand, format!("`--set {text}` has no `=`"));
        return Err(fault.hint("write it as `--set finished=\"16 in by 60 in\"`"));
    };
    let name = name.trim();
    let Some(given) = recipe.givens.iter().position(|given| &*given.name == name) else {
        return Err(unknown_given(name, &recipe.givens, None));
    };
    let wants_text = recipe.holds_text(given);
    match read_value(value.trim(), wants_text) {
        Ok(value) => Ok(Set { given, value, span: None }),
        Err(bad) => {
            let mut fault = Fault::nowhere(Code::BadCommand, format!("`--set {text}`: {}", bad.message));
            fault.hints = bad.hints;
            Err(fault)
        }
    }
}
