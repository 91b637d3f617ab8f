//! Starting up with one sum: the whole process.

use std::process::{Command, ExitCode, Output, Stdio};

use super::clock::Whose;
use super::race::{Timed, race};
use super::{ROLE, SCANT, native};

const SUM: &str = "6 * 3/4 in";

/// Being the hand-written program.
pub fn native() -> ExitCode {
    match std::env::args().nth(1).as_deref().and_then(native::sum::answer) {
        Some(answer) => println!("{answer}"),
        None => return ExitCode::from(2),
    }
    ExitCode::SUCCESS
}

/// This program in another role.
pub fn myself(role: &str, args: &[&str]) -> Command {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(args).env(ROLE, role);
    command
}

pub fn scant(args: &[&str]) -> Command {
    let mut command = Command::new(SCANT);
    command.args(args);
    command
}

/// What a program says; it must end well.
pub fn said(command: &mut Command) -> String {
    let Output { status, stdout, .. } = command.stderr(Stdio::inherit()).output().unwrap();
    assert!(status.success(), "{command:?} ended with {status}");
    String::from_utf8(stdout).unwrap()
}

pub fn run(command: &mut Command) {
    assert!(command.stdout(Stdio::null()).status().unwrap().success());
}

pub fn task() {
    let (by_hand, in_scant) = (&mut myself("sum", &[SUM]), &mut scant(&["work", SUM]));
    assert_eq!(said(by_hand), said(in_scant));
    let (native, scant) = race(Whose::Children, 60, || run(by_hand), || run(in_scant));
    let pace = format!("{:.0} starts/s", 1.0 / scant.as_secs_f64());
    Timed { task: "start-up with one sum", native, scant, aim: 1.5, pace }.print();
}
