//! The prompt's own words: `help`, `save`, `undo` and the like.

use std::io::Write;
use std::path::Path;

use super::{World, tell};
use crate::measure;
use crate::report::{self, help_text};
use crate::session::entry::Session;

/// A word of the prompt, and what stands behind it.
#[derive(Debug, PartialEq, Eq)]
pub enum Word {
    /// `help`, `help NAME`
    Help(String),
    /// `save FILE`
    Save(String),
    /// `load FILE`
    Load(String),
    /// `undo`
    Undo,
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
    /// A word that wants something behind it, and an example.
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
        ("measures", true) => Word::Measures,
        ("rules", true) => Word::Rules,
        ("names", true) => Word::Names,
        ("save", false) => Word::Save(file()),
        ("load", false) => Word::Load(file()),
        ("forget", false) => Word::Forget(rest.to_owned()),
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
    colour: bool,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    match word {
        Word::Help(name) => help_on(name, session, out),
        Word::Save(path) => {
            let ending = if Path::new(path).extension().is_none() { ".scant" } else { "" };
            let path = format!("{path}{ending}");
            match world.save(&path, &session.save()) {
                Ok(()) => writeln!(out, "saved to {path}; `scant run {path}` makes it"),
                Err(why) => writeln!(out, "not saved: {why}"),
            }
        }
        Word::Load(path) => match world.load(path) {
            Ok(text) => {
                let entered = session.load(path, &text, world);
                tell(&entered, session, colour, out)
            }
            Err(why) => writeln!(out, "not loaded: {why}"),
        },
        Word::Undo => match session.undo() {
            Some(entry) => writeln!(out, "taken back: {}", report::harmless(&entry)),
            None => writeln!(out, "there is nothing to undo"),
        },
        Word::Forget(name) if session.forget(name) => writeln!(out, "`{name}` is removed"),
        Word::Forget(name) => writeln!(out, "nothing here is called `{name}`"),
        Word::Measures => measures(out),
        Word::Rules => rules(session, out),
        Word::Names => names(session, out),
        Word::Bare(example) => {
            let (word, _) = example.split_once(' ').unwrap_or((example, ""));
            let what = if word == "forget" { "name" } else { "file name" };
            writeln!(out, "write a {what} after `{word}`, such as `{example}`")
        }
        Word::Quit => Ok(()),
    }
}

fn help_on(name: &str, session: &Session, out: &mut dyn Write) -> std::io::Result<()> {
    if name.is_empty() {
        return out.write_all(PROMPT_HELP.as_bytes());
    }
    if name == "library" {
        return out.write_all(help_text::all_names().as_bytes());
    }
    let own = session.rules().into_iter().find(|rule| {
        let heading = rule.strip_prefix("rule ").unwrap_or(rule).trim_start();
        heading.strip_prefix(name).is_some_and(|rest| rest.trim_start().starts_with('('))
    });
    if let Some(rule) = own {
        let worked_out = session.signature(name).map(|text| format!("{text}\n")).unwrap_or_default();
        return writeln!(out, "{rule}\n\n{worked_out}a rule that you entered");
    }
    match help_text::told(name) {
        Ok(text) => out.write_all(text.as_bytes()),
        Err(hints) => {
            writeln!(out, "there is no help on `{}`", report::harmless(name))?;
            hints.iter().try_for_each(|hint| writeln!(out, "  {hint}"))?;
            writeln!(out, "  `help library` lists all rules")
        }
    }
}

fn measures(out: &mut dyn Write) -> std::io::Result<()> {
    writeln!(out, "units: {}; also inches, metres, sq yd, m²", measure::unit_symbols())?;
    writeln!(out, "money: three-letter codes, such as EUR; a price is money by a unit, 14.50 EUR/m")?;
    writeln!(out, "forms: 2 1/2 in   2-1/2\"   6' 2 1/2\"   1 yd 9 in   1.5 cm   12 by 36 in   5%   45 deg")
}

fn rules(session: &Session, out: &mut dyn Write) -> std::io::Result<()> {
    let own = session.rules();
    if !own.is_empty() {
        writeln!(out, "your own rules")?;
        own.iter().try_for_each(|rule| writeln!(out, "  {rule}"))?;
        writeln!(out)?;
    }
    out.write_all(help_text::all_names().as_bytes())
}

fn names(session: &Session, out: &mut dyn Write) -> std::io::Result<()> {
    for (name, figure) in session.names() {
        writeln!(out, "{name} = {}", report::figure_text(&figure))?;
    }
    Ok(())
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
undo                 takes the last entry back
forget NAME          removes a name
save FILE            writes what you entered as a recipe
load FILE            enters a recipe's lines here; its cut list replaces the one before
quit                 ends (Ctrl-D too); Ctrl-C stops an entry
";
