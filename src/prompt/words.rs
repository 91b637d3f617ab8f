//! The prompt's own words: `help`, `save`, `undo` and the like.

use std::io::Write;
use std::path::Path;

use super::{Answered, World, say, tell};
use crate::limits;
use crate::measure;
use crate::report::{self, Screen, help_text};
use crate::session::entry::{Session, Undone};

/// A word of the prompt, and what follows it.
#[derive(Debug, PartialEq, Eq)]
pub enum Word {
    /// `help`, `help NAME`
    Help(String),
    /// `save FILE`, `save FILE again`
    Save(String, bool),
    /// `load FILE`
    Load(String),
    /// `undo`
    Undo,
    /// `redo`
    Redo,
    /// `forget NAME`
    Forget(String),
    /// `measures`
    Measures,
    /// `rules`
    Rules,
    /// `names`
    Names,
    /// `quit`
    Quit,
    /// `seam`, `ruler`, `shop`, and an example
    Setting(&'static str, &'static str),
    /// A word that needs something after it, and an example.
    Bare(&'static str),
}

/// The word that an entry is, if it is one. `save = 3` and the like are sums.
pub fn find(entry: &str) -> Option<Word> {
    let entry = entry.trim();
    let (word, rest) = entry.split_once(char::is_whitespace).unwrap_or((entry, ""));
    let rest = rest.trim();
    if rest.starts_with(['=', '+', '*', '^', '<', '>']) || rest.starts_with("- ") || rest.starts_with("/ ") {
        return None;
    }
    let file = || rest.trim_matches('"').to_owned();
    Some(match (word, rest.is_empty()) {
        ("help", _) => Word::Help(rest.to_owned()),
        ("quit", true) => Word::Quit,
        ("undo", true) => Word::Undo,
        ("redo", true) => Word::Redo,
        ("measures", true) => Word::Measures,
        ("rules", true) => Word::Rules,
        ("names", true) => Word::Names,
        ("save", false) => {
            match rest.strip_suffix("again").filter(|name| name.ends_with(char::is_whitespace)) {
                Some(name) => Word::Save(name.trim().trim_matches('"').to_owned(), true),
                None => Word::Save(file(), false),
            }
        }
        ("load", false) => Word::Load(file()),
        ("forget", false) => Word::Forget(rest.to_owned()),
        ("seam", true) => Word::Setting("seam", "seam 1/4 in"),
        ("ruler", true) => Word::Setting("ruler", "ruler 1/8 in"),
        ("shop", true) => Word::Setting("shop", "shop 10 cm"),
        ("save", true) => Word::Bare("save harbour.scant"),
        ("load", true) => Word::Bare("load harbour.scant"),
        ("forget", true) => Word::Bare("forget flat"),
        _ => return None,
    })
}

/// Does what a word asks.
pub fn answer(
    word: &Word,
    session: &mut Session,
    world: &dyn World,
    screen: Screen,
    out: &mut dyn Write,
) -> std::io::Result<Answered> {
    let (answered, told) = match word {
        Word::Load(path) => match world.load(path) {
            Ok(text) => {
                let was_saved = session.is_saved();
                let entered = session.load(path, &text, world);
                if was_saved && entered.faults.is_empty() {
                    session.mark_saved();
                }
                return tell(&entered, session, screen, out);
            }
            Err(why) => failed(format!("not loaded: {why}\n")),
        },
        Word::Redo => match session.redo(world) {
            Some((undone, entered)) if entered.faults.is_empty() => {
                (Answered::Changed, format!("entered again: {}\n", words_of(&undone)))
            }
            Some((_, entered)) => return tell(&entered, session, screen, out),
            None => failed("there is nothing to redo: `undo` did not come last\n"),
        },
        Word::Undo => match session.undo() {
            Some(undone) => (Answered::Changed, format!("taken back: {}\n", words_of(&undone))),
            None => failed("there is nothing to undo: sums alone change nothing\n"),
        },
        Word::Save(path, again) => save(path, *again, session, world),
        Word::Forget(name) if session.forget(name) => (Answered::Changed, format!("`{name}` is removed\n")),
        Word::Forget(name) => failed(format!("nothing here is called `{name}`\n")),
        Word::Bare(example) => {
            let (word, _) = example.split_once(' ').unwrap_or((example, ""));
            let what = if word == "forget" { "name" } else { "file name" };
            failed(format!("write a {what} after `{word}`, such as `{example}`\n"))
        }
        word => (Answered::Shown, asked(word, session, screen)),
    };
    say(&told, &session.limits().stop, out)?;
    Ok(answered)
}

fn failed(words: impl Into<String>) -> (Answered, String) {
    (Answered::Failed, words.into())
}

fn save(path: &str, again: bool, session: &mut Session, world: &dyn World) -> (Answered, String) {
    let ending = if Path::new(path).extension().is_none() { ".scant" } else { "" };
    let path = format!("{path}{ending}");
    match world.save(&path, &session.save(), again) {
        Ok(()) => {
            session.mark_saved();
            (Answered::Shown, format!("saved to {path}; `scant run {path}` makes it\n"))
        }
        Err(why) => failed(format!("not saved: {why}\n")),
    }
}

/// The answer to a word that changes nothing.
fn asked(word: &Word, session: &Session, screen: Screen) -> String {
    match word {
        Word::Help(name) => help_on(name, session, screen),
        Word::Measures => measures(),
        Word::Rules => rules(session, screen),
        Word::Names => names(session),
        Word::Setting(name, example) => match session.setting(name) {
            Some(value) => format!("{name} {value}\n"),
            None => format!("no `{name}` is set: `{example}` sets one\n"),
        },
        _ => String::new(),
    }
}

/// The entry, and how many sums went with it.
fn words_of(undone: &Undone) -> String {
    match undone.sums {
        0 => undone.entry.to_string(),
        1 => format!("{}, and the sum after it", undone.entry),
        sums => format!("{}, and the {sums} sums after it", undone.entry),
    }
}

fn help_on(name: &str, session: &Session, screen: Screen) -> String {
    if name.is_empty() {
        return PROMPT_HELP.into();
    }
    if name == "limits" {
        return limits::page();
    }
    if name == "library" {
        return help_text::all_names(screen);
    }
    let own = session.rules().into_iter().find(|rule| {
        let heading = rule.strip_prefix("rule ").unwrap_or(rule).trim_start();
        heading.strip_prefix(name).is_some_and(|rest| rest.trim_start().starts_with('('))
    });
    if let Some(rule) = own {
        let worked_out = session.signature(name).map(|text| format!("{text}\n")).unwrap_or_default();
        return format!("{rule}\n\n{worked_out}a rule that you entered\n");
    }
    help_text::told(name, screen).unwrap_or_else(|hints| {
        let hints: String = hints.iter().map(|hint| format!("  {hint}\n")).collect();
        format!("there is no help on `{name}`\n{hints}  `help library` lists all rules\n")
    })
}

fn measures() -> String {
    let units = measure::unit_symbols();
    format!(
        "units: {units}; also inches, metres, sq yd, m²\n\
         money: three-letter codes, such as EUR; a price is money by a unit, 14.50 EUR/m\n\
         forms: 2 1/2 in   2-1/2\"   6' 2 1/2\"   1 yd 9 in   1.5 cm   12 by 36 in   5%   45 deg\n"
    )
}

fn rules(session: &Session, screen: Screen) -> String {
    let own = session.rules();
    let heading = if own.is_empty() { "" } else { "your own rules\n" };
    let lines: String = own.iter().map(|rule| format!("  {rule}\n")).collect();
    let gap = if own.is_empty() { "" } else { "\n" };
    format!("{heading}{lines}{gap}{}", help_text::all_names(screen))
}

fn names(session: &Session) -> String {
    let line = |(name, figure)| format!("{name} = {}\n", report::figure_text(&figure));
    session.names().into_iter().map(line).collect()
}

/// What `help` alone says.
const PROMPT_HELP: &str = "\
type a sum           6 * 3/4 in
give it a name       strip = 6 * 3/8 in
use it               strip + 1/4 in, or that + 1/4 in for the last answer
ask the library      double_binding_cut(3/8 in)
make a rule          rule twice(x) = 2 * x
ask for the working  why strip, or why for the last answer
run it backwards     find n from 1 to 40 so that n * 2 1/4 in is 27 in
plan the cutting     linen = cloth(\"linen\", width: 54 in, selvage: 1/2 in)
                     cut 24 \"napkin\" from linen: 18 in by 18 in
                     plan linen

help NAME            what a rule, an area or a word is
help library         all rules, by area
rules  names  measures
undo                 takes back the last name, rule, setting or line, and the sums after it
redo                 enters again what `undo` took back
forget NAME          removes a name
save FILE            writes what you entered as a recipe
save FILE again      replaces a file that is already there
load FILE            enters a recipe's lines here; its cut list replaces the one before
quit                 ends (Ctrl-D too); Ctrl-C stops an entry
";
