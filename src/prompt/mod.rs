//! The prompt: a loop, its words, history and completion. The words are looked up before anything
//! is read as a sum.

mod editor;
mod words;

use std::cell::RefCell;
use std::io::Write;
use std::path::PathBuf;
use std::rc::Rc;

use rustyline::error::ReadlineError;

use crate::fault;
use crate::help::search::propose;
use crate::recipe::used::Host;
use crate::report;
use crate::session::entry::{Answer, Entered, Session};
use editor::Helper;
use words::Word;

/// What the prompt asks of the world outside: files to load and save.
pub trait World: Host {
    /// The text of a file, or why it cannot be had.
    fn load(&self, path: &str) -> Result<String, String>;
    /// Writes a file whole or not at all, or tells why it cannot.
    fn save(&self, path: &str, text: &str) -> Result<(), String>;
}

/// Runs the prompt until `quit` or the end of input.
///
/// `history` is where entries are remembered between sessions, if anywhere. Ctrl-C while an entry
/// is worked must set the `stop` flag of the session's limits; at the prompt it clears the row.
pub fn run(
    session: Session,
    world: &dyn World,
    history: Option<PathBuf>,
    colour: bool,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let config = rustyline::Config::builder().auto_add_history(true).build();
    let mut editor = rustyline::Editor::<Helper, _>::with_config(config).map_err(std::io::Error::other)?;
    let stop = session.limits().stop.clone();
    let session = Rc::new(RefCell::new(session));
    editor.set_helper(Some(Helper::new(session.clone())));
    if let Some(path) = &history {
        // A first session has no history yet.
        let _ = editor.load_history(path);
    }
    writeln!(out, "Scant: the arithmetic of sewing. Type `help` for more, `quit` to end.")?;
    loop {
        let entry = match editor.readline("> ") {
            Ok(entry) => entry,
            Err(ReadlineError::Interrupted) => continue,
            Err(ReadlineError::Eof) => break,
            Err(other) => return Err(std::io::Error::other(other)),
        };
        stop.store(false, std::sync::atomic::Ordering::Relaxed);
        if !one(&entry, &mut session.borrow_mut(), world, colour, out)? {
            break;
        }
        out.flush()?;
    }
    if let Some(path) = &history {
        // History is a comfort; a folder that cannot be written takes nothing from the work.
        let _ = editor.save_history(path);
    }
    Ok(())
}

/// Answers one entry; `false` ends the prompt.
pub fn one(
    entry: &str,
    session: &mut Session,
    world: &dyn World,
    colour: bool,
    out: &mut dyn Write,
) -> std::io::Result<bool> {
    if entry.trim().is_empty() {
        return Ok(true);
    }
    match words::find(entry) {
        Some(Word::Quit) => return Ok(false),
        Some(word) => words::answer(&word, session, world, colour, out)?,
        None => {
            let entered = session.enter(entry, world);
            tell(&entered, session, colour, out)?;
        }
    }
    Ok(true)
}

/// Appends an answer and its line end; what a slack comes from stands below it.
pub(crate) fn write_answer(answer: &Answer, out: &mut String) {
    match answer {
        Answer::Value(figure) => {
            out.push_str(&report::figure_lines(figure));
            for line in report::slack_lines(figure) {
                out.push_str("\n  ");
                out.push_str(&line);
            }
        }
        Answer::Changed(change) => {
            let (before, after) = (report::figure_text(&change.before), report::figure_text(&change.after));
            out.push_str(&format!("{} = {after}, was {before}", change.what));
        }
        Answer::Docket(docket) => {
            let mut page = Vec::new();
            // Nothing fails that is written to memory.
            if report::text(docket, &mut page).is_ok() {
                out.push_str(String::from_utf8_lossy(&page).trim_end());
            }
        }
        Answer::Words(words) => out.push_str(words),
        // These end in a row's end of their own.
        Answer::Found(found) => return out.push_str(&report::found_text(found)),
        Answer::Working(working) => return out.push_str(&report::working_text(working)),
        Answer::Caution(words) => {
            out.push_str("!! CAUTION: ");
            out.push_str(&report::harmless(words));
        }
    }
    out.push('\n');
}

/// Writes the answers and the faults of an entry.
fn tell(entered: &Entered, session: &Session, colour: bool, out: &mut dyn Write) -> std::io::Result<()> {
    if entered.faults.is_empty() {
        for answer in &entered.answers {
            let mut text = String::new();
            write_answer(answer, &mut text);
            out.write_all(text.as_bytes())?;
        }
    }
    let mut told = propose(&entered.faults, &session.files);
    told.extend(entered.advice.iter().cloned());
    if !told.is_empty() {
        let text =
            if colour { fault::colour(&told, &session.files) } else { fault::plain(&told, &session.files) };
        out.write_all(text.as_bytes())?;
    }
    Ok(())
}
