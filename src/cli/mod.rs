//! The command line: hands texts in, writes bytes out, decides the exit status.

mod args;
mod check;
mod files;
mod grading;
mod work;

use std::io::{IsTerminal, Write};
use std::process::ExitCode;

use clap::Parser;

use crate::eval::limits::Limits;
use crate::fault::{self, Code, Fault, Files};
use crate::help::search::propose;
use crate::session::entry::Session;
use args::{Args, Command, Errors};

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Ended {
    /// Done.
    Well,
    /// A check or a row failed.
    Failed,
    /// The recipe or the command line is wrong.
    Wrong,
    /// Slack leaves a check open; none failed.
    Open,
}

/// Where a command writes: answers, and faults in the wished form.
pub(crate) struct Outside {
    errors: Errors,
    quiet: bool,
}

impl Outside {
    /// Tells faults on standard error.
    pub fn tell(&self, faults: &[Fault], files: &Files) {
        if faults.is_empty() {
            return;
        }
        let faults = &propose(faults, files);
        let text = match self.errors {
            Errors::Json => fault::json(faults, files),
            Errors::Text => fault::colour(faults, files),
        };
        let mut stderr = anstream::stderr();
        // Nobody is left to be told when standard error is closed.
        let _ = stderr.write_all(text.as_bytes()).and_then(|()| stderr.flush());
    }

    /// Tells one fault that has no place in a file.
    pub fn complain(&self, code: Code, message: impl Into<String>) -> Ended {
        self.tell(&[Fault::nowhere(code, message)], &Files::new());
        Ended::Wrong
    }

    /// Says a word on standard error, unless silence was asked for.
    pub fn say(&self, words: &str) {
        if !self.quiet {
            let _ = writeln!(std::io::stderr(), "{words}");
        }
    }
}

/// Runs the program on the command line's arguments.
pub fn main() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(error) => {
            let _ = error.print();
            return ExitCode::from(if error.use_stderr() { 2 } else { 0 });
        }
    };
    let outside = Outside { errors: args.errors, quiet: args.quiet };
    let ended = match &args.command {
        None => prompt(&outside),
        Some(Command::Work { expression }) => work::work(expression, &outside),
        Some(Command::Run(run)) => work::run(run, &outside),
        Some(Command::Why(why)) => work::why(why, &outside),
        Some(Command::Grade(grade)) => grading::grade(grade, &outside),
        Some(Command::Check { file }) => check::check(file.as_deref(), &outside),
        Some(Command::Help { words, all, format }) => check::help(words, *all, *format, &outside),
    };
    ExitCode::from(match ended {
        Ended::Well => 0,
        Ended::Failed => 1,
        Ended::Wrong => 2,
        Ended::Open => 3,
    })
}

/// Ctrl-C sets the stop flag of these limits, which ends the evaluation and not the program.
pub(crate) fn stop_on_interrupt(limits: &Limits) {
    let stop = limits.stop.clone();
    // Without a handler Ctrl-C ends the program, as it does anywhere.
    let _ = ctrlc::set_handler(move || stop.store(true, std::sync::atomic::Ordering::Relaxed));
}

fn prompt(outside: &Outside) -> Ended {
    let limits = Limits::default();
    stop_on_interrupt(&limits);
    let session = Session::new(limits);
    let world = files::Beside::new(std::path::Path::new("."));
    let colour =
        std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty());
    let mut stdout = std::io::stdout();
    match crate::prompt::run(session, &world, files::history(), colour, &mut stdout) {
        Ok(()) => Ended::Well,
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Ended::Well,
        Err(error) => outside.complain(Code::BadFile, format!("the prompt cannot continue: {error}")),
    }
}

/// Writes to standard output; a closed pipe ends the program quietly.
pub(crate) fn print(bytes: &[u8], outside: &Outside, well: Ended) -> Ended {
    let mut stdout = std::io::stdout().lock();
    match stdout.write_all(bytes).and_then(|()| stdout.flush()) {
        Ok(()) => well,
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => well,
        Err(error) => outside.complain(Code::BadFile, format!("standard output cannot be written: {error}")),
    }
}
