//! The command line: hands texts in, writes bytes out, decides the exit status.

mod args;
mod check;
mod files;
mod grading;
mod guide;
mod meant;
mod signals;
mod unquoted;
mod whole;
mod work;

use std::cell::RefCell;
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use clap::Parser;
use terminal_size::{terminal_size, terminal_size_of};

use crate::eval::limits::Limits;
use crate::fault::{self, Code, Fault, Files};
use crate::help::search::propose;
use crate::limits;
use crate::prompt::{Desk, Left};
use crate::report::{Quota, Screen};
use crate::session::entry::Session;
use crate::text::harmless_page;
use args::{Args, Command, Errors};
use signals::Working;
use whole::Whole;

/// How a command ended, the worst last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Ended {
    /// Done.
    Well,
    /// Slack leaves a check open; none failed.
    Open,
    /// A check or a row failed.
    Failed,
    /// The recipe or the command line is wrong.
    Wrong,
}

/// How a command ended, or why it broke off.
pub(crate) type Done = Result<Ended, Ended>;

/// Where a command writes: answers, and faults in the chosen form.
pub(crate) struct Outside {
    errors: Errors,
    quiet: bool,
    limits: Limits,
    /// The files that the command reads, links followed: none of them may be written.
    read: RefCell<Vec<PathBuf>>,
}

impl Outside {
    /// Reports faults on standard error.
    pub fn tell(&self, faults: &[Fault], files: &Files) {
        if faults.is_empty() {
            return;
        }
        tell(self.errors, faults, files);
    }

    /// Reports faults that end a command.
    pub fn refuse(&self, faults: &[Fault], files: &Files) -> Ended {
        self.tell(faults, files);
        Ended::Wrong
    }

    /// Changes a limit as `--limit` says; what cannot be changed is reported.
    fn limit(&mut self, text: &str) -> bool {
        let parts =
            text.split_once('=').and_then(|(name, count)| Some((name.trim(), count.trim().parse().ok()?)));
        let known = parts.is_some_and(|(name, count)| self.limits.set(name, count));
        if !known {
            let fault = Fault::nowhere(
                Code::BadCommand,
                format!("`--limit {text}` must name a limit that can be changed, and its count"),
            );
            let names = limits::ALL.iter().filter(|limit| limit.has_option).map(|limit| limit.name);
            let names = names.collect::<Vec<_>>().join(", ");
            let hint = format!("write it as `--limit work=200000000`; the limits are {names}");
            self.tell(&[fault.hint(hint)], &Files::new());
        }
        known
    }

    /// The limits of this command.
    pub fn limits(&self) -> Limits {
        self.limits.clone()
    }

    /// What a document of this command may take beside the recipe: compiled, that takes fifty times its bytes, measured
    /// on recipes of 2 MB.
    pub fn quota(&self, files: &Files) -> Quota {
        let recipe = u64::try_from(files.bytes()).unwrap_or(u64::MAX).saturating_mul(50);
        Quota::new(self.limits.document.saturating_sub(recipe), self.limits.stop.clone())
    }

    /// Takes down that the command reads this file.
    pub fn reads(&self, path: &Path) {
        self.read.borrow_mut().extend(path.canonicalize());
    }

    /// Writes a file completely or not at all.
    pub fn write(&self, path: &Path, bytes: &[u8]) -> Result<(), Ended> {
        whole::write_whole(path, bytes, &self.read.borrow()).map_err(|why| self.unwritten(path, &why))
    }

    /// Opens a file to be written whole or not at all.
    pub fn create(&self, path: &Path) -> Result<Whole, Ended> {
        Whole::create(path, &self.read.borrow()).map_err(|why| self.unwritten(path, &why))
    }

    fn unwritten(&self, path: &Path, why: &str) -> Ended {
        self.complain(Code::BadFile, format!("`{}` cannot be written: {why}", path.display()))
    }

    /// From now on Ctrl-C stops the command.
    pub fn stop_on_interrupt(&self, limits: &Limits) {
        let errors = self.errors;
        let say = move || tell(errors, &[Fault::nowhere(Code::Stopped, "stopped")], &Files::new());
        signals::watch(limits.stop.clone(), Working::Command(Box::new(say)));
    }

    /// Reports one fault that has no place in a file.
    pub fn complain(&self, code: Code, message: impl Into<String>) -> Ended {
        self.refuse(&[Fault::nowhere(code, message)], &Files::new())
    }

    /// Says a word on standard error, unless silence was asked for.
    pub fn say(&self, words: &str) {
        if !self.quiet {
            let _ = writeln!(std::io::stderr(), "{}", harmless_page(words));
        }
    }
}

/// Reports faults on standard error.
fn tell(errors: Errors, faults: &[Fault], files: &Files) {
    let faults = &propose(&fault::first(faults, files), files);
    let text = match errors {
        Errors::Json => fault::json(faults, files),
        Errors::Text => {
            let columns =
                std::io::stderr().is_terminal().then(|| terminal_size_of(std::io::stderr())).flatten();
            match columns {
                Some((width, _)) => fault::on_terminal(faults, files, usize::from(width.0), true),
                None => fault::colour(faults, files),
            }
        }
    };
    let mut stderr = anstream::stderr();
    // Nobody can read it when standard error is closed.
    let _ = stderr.write_all(text.as_bytes()).and_then(|()| stderr.flush());
}

/// Runs the program on the command line's arguments.
pub fn main() -> ExitCode {
    let args = match Args::try_parse_from(unquoted::joined(std::env::args_os())) {
        Ok(args) => args,
        Err(error) => {
            if !error.use_stderr() {
                let _ = error.print();
                return ExitCode::SUCCESS;
            }
            // It repeats what was typed; its colours are left out, so that no other escapes come in.
            let words = meant::with_tip(&error);
            let _ = std::io::stderr().write_all(harmless_page(&words).as_bytes());
            return ExitCode::from(2);
        }
    };
    let mut outside = Outside {
        errors: args.errors,
        quiet: args.quiet,
        limits: Limits::default(),
        read: RefCell::default(),
    };
    let ended = match &args.command {
        _ if !args.limit.iter().all(|text| outside.limit(text)) => Err(Ended::Wrong),
        None => Ok(prompt(&outside)),
        Some(Command::Work(work)) => work::work(work, &outside),
        Some(Command::Run(run)) => work::run(run, &outside),
        Some(Command::Why(why)) => work::why(why, &outside),
        Some(Command::Grade(grade)) => grading::grade(grade, &outside),
        Some(Command::Guide(guide)) => guide::guide(guide, &outside),
        Some(Command::Check { file }) => check::check(file.as_deref(), &outside),
        Some(Command::Help { words, all, format, paper, out }) => {
            Ok(check::help(words, *all, (*format, *paper), out.as_deref(), &outside))
        }
    };
    ExitCode::from(match ended.unwrap_or_else(|ended| ended) {
        Ended::Well => 0,
        Ended::Failed => 1,
        Ended::Wrong => 2,
        Ended::Open => 3,
    })
}

/// The terminal that standard output is; what goes to a pipe is for a page.
fn plain_screen() -> Screen {
    let columns = std::io::stdout().is_terminal().then(terminal_size).flatten();
    columns.map_or(Screen::default(), |(width, _)| Screen { columns: usize::from(width.0), colour: false })
}

/// The same in colour, which `anstream` takes away where it is not wanted.
fn screen() -> Screen {
    Screen { colour: true, ..plain_screen() }
}

fn prompt(outside: &Outside) -> Ended {
    let limits = outside.limits();
    let busy = Arc::new(AtomicBool::new(false));
    signals::watch(limits.stop.clone(), Working::Entry(busy.clone()));
    let world = files::Beside::new(Path::new("."));
    let colour =
        std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty());
    // A window may be made wider between two entries.
    let screen = || Screen { colour, ..plain_screen() };
    let desk = Desk { world: &world, screen: &screen, busy, state: files::state() };
    match crate::prompt::run(Session::new(limits), &desk, &mut std::io::stdout()) {
        Ok(Left::Finished) => Ended::Well,
        Ok(Left::Failed) => Ended::Failed,
        Ok(Left::Unfinished) => Ended::Wrong,
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ended::Well,
        Err(error) => outside.complain(Code::BadFile, format!("the prompt cannot continue: {error}")),
    }
}

/// Writes to standard output, what a stranger put into it made harmless; a closed pipe ends the
/// program quietly.
pub(crate) fn print(text: &str, outside: &Outside, well: Ended) -> Ended {
    print_bytes(harmless_page(text).as_bytes(), outside, well)
}

/// Prints bytes as they are, to a pipe or a file.
pub(crate) fn print_bytes(bytes: &[u8], outside: &Outside, well: Ended) -> Ended {
    let mut stdout = std::io::stdout().lock();
    unless_written(stdout.write_all(bytes).and_then(|()| stdout.flush()), outside, well)
}

/// How a command ends whose words were written to standard output, or could not be.
fn unless_written(written: std::io::Result<()>, outside: &Outside, well: Ended) -> Ended {
    match written {
        Ok(()) => well,
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => well,
        Err(error) => outside.complain(Code::BadFile, format!("standard output cannot be written: {error}")),
    }
}
