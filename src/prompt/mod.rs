//! The prompt: a loop, its words, history and completion. The words are looked up before anything
//! is read as a sum.

mod complete;
mod editor;
mod entries;
mod history;
mod words;

use std::cell::RefCell;
use std::io::Write;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use crate::fault::{self, Code, Fault, listed};
use crate::help::search::propose;
use crate::recipe::used::Host;
use crate::report::screen::CAUTION;
use crate::report::wrap::hang;
use crate::report::{self, Screen};
use crate::session::entry::{Answer, Entered, Session};
use crate::text::harmless_page;
use editor::Helper;
use entries::{Entries, Next};
use history::{Abandoned, History, Journal};
use words::Word;

/// So many bytes are written between two looks at the stop flag.
const PIECE: usize = 64 << 10;

/// What the prompt asks of the world outside: files to load and save.
pub trait World: Host {
    /// The text of a file, or why it cannot be had.
    fn load(&self, path: &str) -> Result<String, String>;
    /// Writes a file whole or not at all, or says why it cannot; one that this prompt did not write
    /// is replaced only `again`.
    fn save(&self, path: &str, text: &str, again: bool) -> Result<(), String>;
}

/// What is around a prompt.
pub struct Desk<'a> {
    /// Files to load and save.
    pub world: &'a dyn World,
    /// Where answers are read, asked for each entry.
    pub screen: &'a dyn Fn() -> Screen,
    /// Set while an entry is evaluated. Ctrl-C must set the `stop` flag of the session's limits then.
    pub busy: Arc<AtomicBool>,
    /// The folder in which history and sessions are kept, if anywhere.
    pub state: Option<PathBuf>,
}

/// How a prompt ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left {
    /// With all entries answered.
    Finished,
    /// With all entries read, and one of a pipe that failed.
    Failed,
    /// The input ended within an entry.
    Unfinished,
}

/// What stands at the top.
const OPENING: &str = "Scant: the arithmetic of sewing. Type `help` for more, `quit` to end.";

/// Runs the prompt until `quit` or the end of input.
pub fn run(session: Session, desk: &Desk<'_>, out: &mut dyn Write) -> std::io::Result<Left> {
    let history = History::new(desk.state.as_deref());
    let mut journal = Journal::new(desk.state.as_deref());
    let mut abandoned = journal.left();
    let session = Rc::new(RefCell::new(session));
    let mut entries = Entries::open(Helper::new(session.clone()), history.remembered())?;
    let typed = matches!(entries, Entries::Keyboard(_));
    remark(OPENING, desk, out)?;
    abandoned.iter().try_for_each(|left| offer(left, typed, desk, out))?;
    // Whether it was said that something is not saved, and whether an entry failed.
    let (mut warned, mut failed) = (false, false);
    loop {
        out.flush()?;
        let in_sizes = session.borrow().in_sizes();
        let entry = match entries.next(in_sizes)? {
            Next::Entry(entry) => {
                if !entry.trim().is_empty() {
                    history.add(&entry);
                    entries.remember(&entry);
                }
                entry
            }
            Next::Refused(why) => {
                let fault = Fault::nowhere(Code::BadCommand, why);
                tell_faults(&[fault], &session.borrow(), (desk.screen)(), out)?;
                failed = true;
                continue;
            }
            Next::Unfinished(entry) => {
                // It is entered for the sake of its fault.
                history.add(&entry);
                one(&entry, &mut session.borrow_mut(), desk.world, (desk.screen)(), out)?;
                journal.end();
                return Ok(Left::Unfinished);
            }
            Next::End => "quit".into(),
        };
        if entry.trim().is_empty() {
            continue;
        }
        if entry.trim() == "resume"
            && let Some(left) = abandoned.take()
        {
            resume(left, &mut session.borrow_mut(), desk, &mut journal, out)?;
        } else {
            let (answered, stopped) = work(&entry, &mut session.borrow_mut(), desk, out)?;
            failed |= stopped || matches!(answered, Answered::Failed | Answered::CheckFailed);
            match answered {
                Answered::Quit => match unsaved(&session.borrow()).filter(|_| typed && !warned) {
                    Some(words) => {
                        warned = true;
                        remark(&words, desk, out)?;
                    }
                    None => {
                        // Who read the offer and leaves does not want it.
                        abandoned.take().filter(|_| typed).into_iter().for_each(Abandoned::done);
                        break;
                    }
                },
                Answered::Changed | Answered::CheckFailed => {
                    warned = false;
                    journal.add(&entry);
                }
                Answered::Shown | Answered::Failed => {}
            }
            // Nobody is there to go on with the rest of a pipe.
            if stopped && !typed {
                break;
            }
        }
    }
    journal.end();
    Ok(if failed && !typed { Left::Failed } else { Left::Finished })
}

/// Says that a session may be gone on with.
fn offer(left: &Abandoned, typed: bool, desk: &Desk<'_>, out: &mut dyn Write) -> std::io::Result<()> {
    let count = left.entries.len();
    let entries = if count == 1 { "1 entry".into() } else { format!("{count} entries") };
    let words = match typed {
        true => "`resume` enters them again, `quit` drops them",
        false => "`resume` enters them again",
    };
    remark(&format!("The last time, {entries} did not end with `quit`; {words}."), desk, out)
}

/// Writes what the prompt says of itself, in lines of the screen.
fn remark(words: &str, desk: &Desk<'_>, out: &mut dyn Write) -> std::io::Result<()> {
    out.write_all(in_lines(words, (desk.screen)()).as_bytes())
}

/// So many names are told before `quit`.
const NAMES_TOLD: usize = 3;

/// What is said once before names that are not saved are left.
fn unsaved(session: &Session) -> Option<String> {
    if session.is_saved() {
        return None;
    }
    let names = session.own_names();
    let mut told: Vec<String> = names.iter().take(NAMES_TOLD).map(|name| format!("`{name}`")).collect();
    match (told.len(), names.len().saturating_sub(NAMES_TOLD)) {
        (0, _) => return None,
        (_, 0) => {}
        (_, more) => told.push(format!("{more} more")),
    }
    let names = listed(&told);
    Some(format!(
        "What you entered is not saved: {names}.\n`save NAME` writes it to a file; `quit` again ends without saving.\n"
    ))
}

/// Works an entry, and lets Ctrl-C stop it; also whether it did.
fn work(
    entry: &str,
    session: &mut Session,
    desk: &Desk<'_>,
    out: &mut dyn Write,
) -> std::io::Result<(Answered, bool)> {
    session.limits().stop.store(false, Ordering::Relaxed);
    desk.busy.store(true, Ordering::Relaxed);
    let answered = answer(entry, session, desk.world, (desk.screen)(), out);
    desk.busy.store(false, Ordering::Relaxed);
    let stopped = session.limits().stop.swap(false, Ordering::Relaxed);
    Ok((answered?, stopped))
}

/// Works the entries of an abandoned session again, without telling their answers again.
fn resume(
    left: Abandoned,
    session: &mut Session,
    desk: &Desk<'_>,
    journal: &mut Journal,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let mut failed = 0u64;
    for entry in &left.entries {
        match work(entry, session, desk, &mut std::io::sink())?.0 {
            Answered::Changed | Answered::CheckFailed => journal.add(entry),
            Answered::Shown | Answered::Failed | Answered::Quit => failed = failed.saturating_add(1),
        }
    }
    left.done();
    let failed = if failed == 0 { String::new() } else { format!(", but for {failed} that failed") };
    writeln!(out, "entered again{failed}; `names` lists what there is")
}

/// What became of an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Answered {
    /// It changed the session.
    Changed,
    /// It changed the session, and a check in it fails.
    CheckFailed,
    /// It was answered and changes nothing.
    Shown,
    /// It did not do what it says.
    Failed,
    /// It ends the prompt.
    Quit,
}

/// Answers one entry; `false` ends the prompt.
pub fn one(
    entry: &str,
    session: &mut Session,
    world: &dyn World,
    screen: Screen,
    out: &mut dyn Write,
) -> std::io::Result<bool> {
    Ok(!matches!(answer(entry, session, world, screen, out)?, Answered::Quit))
}

fn answer(
    entry: &str,
    session: &mut Session,
    world: &dyn World,
    screen: Screen,
    out: &mut dyn Write,
) -> std::io::Result<Answered> {
    if entry.trim().is_empty() {
        return Ok(Answered::Shown);
    }
    match words::find(entry) {
        Some(Word::Quit) => Ok(Answered::Quit),
        Some(word) => words::answer(&word, session, world, screen, out),
        None => {
            let entered = session.enter(entry, world);
            tell(&entered, session, screen, out)
        }
    }
}

/// Appends an answer and its line end, what a stranger put into it made harmless; what a slack comes from is
/// below it.
pub(crate) fn write_answer(answer: &Answer, screen: Screen, out: &mut String) {
    let text = match answer {
        Answer::Value(figure) => {
            let mut text = report::figure_on(figure, screen);
            text.push('\n');
            for line in report::slack_lines(figure) {
                push_lines("  ", &line, screen, &mut text);
            }
            text
        }
        Answer::Changed(change) => {
            let (before, after) = (report::figure_text(&change.before), report::figure_text(&change.after));
            let mut text = String::new();
            push_lines("", &format!("{} = {after}, was {before}", change.what), screen, &mut text);
            text
        }
        Answer::Docket(docket) => {
            let mut page = Vec::new();
            // Nothing fails that is written to memory.
            let _ = report::text_on(docket, screen, &mut page);
            let text = String::from_utf8_lossy(&page);
            // In colour what strangers wrote is harmless already.
            let text = if screen.colour { text } else { harmless_page(&text).into_owned().into() };
            out.push_str(text.trim_end());
            return out.push('\n');
        }
        Answer::Words(words) => in_lines(words, screen),
        Answer::Found(found) => report::found_on(found, screen),
        Answer::Working(working) => report::working_on(working, screen),
        Answer::Caution(words) => {
            let mut text = String::new();
            push_lines("!! CAUTION: ", words, screen, &mut text);
            for line in text.lines() {
                out.push_str(&screen.ink(CAUTION, line));
                out.push('\n');
            }
            return;
        }
    };
    out.push_str(&harmless_page(&text));
}

/// Words in lines of the screen.
fn in_lines(words: &str, screen: Screen) -> String {
    let mut text = String::new();
    words.lines().for_each(|line| push_lines("", line, screen, &mut text));
    text
}

fn push_lines(lead: &str, words: &str, screen: Screen, out: &mut String) {
    for line in hang(lead, words, screen.prose()) {
        out.push_str(&line);
        out.push('\n');
    }
}

/// Writes a text, what a stranger put into it made harmless; a long one until it is stopped.
fn say(text: &str, stop: &AtomicBool, out: &mut dyn Write) -> std::io::Result<()> {
    put(&harmless_page(text), stop, out)
}

/// Writes a harmless text; a long one until it is stopped.
fn put(text: &str, stop: &AtomicBool, out: &mut dyn Write) -> std::io::Result<()> {
    for piece in text.as_bytes().chunks(PIECE) {
        if stop.load(Ordering::Relaxed) {
            return out.write_all(b"\nstopped\n");
        }
        out.write_all(piece)?;
    }
    Ok(())
}

/// Writes the answers and the faults of an entry.
fn tell(
    entered: &Entered,
    session: &Session,
    screen: Screen,
    out: &mut dyn Write,
) -> std::io::Result<Answered> {
    if entered.faults.is_empty() {
        let (cautions, answers): (Vec<_>, Vec<_>) =
            entered.answers.iter().partition(|answer| matches!(answer, Answer::Caution(_)));
        for answer in answers.into_iter().chain(cautions) {
            let mut text = String::new();
            write_answer(answer, screen, &mut text);
            put(&text, &session.limits().stop, out)?;
        }
    }
    let mut told = propose(&fault::first(&entered.faults, &session.files), &session.files);
    told.extend(entered.advice.iter().cloned());
    tell_faults(&told, session, screen, out)?;
    Ok(match entered.check_failed {
        _ if !entered.faults.is_empty() => Answered::Failed,
        true => Answered::CheckFailed,
        false => Answered::Changed,
    })
}

fn tell_faults(
    faults: &[Fault],
    session: &Session,
    screen: Screen,
    out: &mut dyn Write,
) -> std::io::Result<()> {
    let text = fault::on_terminal(faults, &session.files, screen.columns, screen.colour);
    out.write_all(text.as_bytes())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A terminal at which Ctrl-C is pressed as soon as something is written.
    struct Pressed<'a>(&'a AtomicBool, usize);

    impl Write for Pressed<'_> {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.store(true, Ordering::Relaxed);
            self.1 = self.1.saturating_add(bytes.len());
            Ok(bytes.len())
        }

        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_long_answer_stops() {
        let stop = AtomicBool::new(false);
        let mut terminal = Pressed(&stop, 0);
        say(&"1 in, ".repeat(1 << 20), &stop, &mut terminal).unwrap();
        assert_eq!(terminal.1, PIECE + "\nstopped\n".len());
    }
}
