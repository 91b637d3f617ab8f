//! A recipe of sixty lines made once: the whole process.

use std::process::ExitCode;

use super::clock::Whose;
use super::native;
use super::race::{Timed, race};
use super::start::{myself, run, said, scant};

const RECIPE: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/benches/sixty.scant");

/// Being the hand-written program.
pub fn native() -> ExitCode {
    print!("{}", native::sixty::page());
    ExitCode::SUCCESS
}

pub fn task() {
    let (by_hand, in_scant) = (&mut myself("sixty", &[]), &mut scant(&["run", RECIPE]));
    assert_eq!(said(by_hand), said(in_scant));
    let (native, scant) = race(Whose::Children, 60, || run(by_hand), || run(in_scant));
    let pace = format!("{:.0} recipes/s", 1.0 / scant.as_secs_f64());
    Timed { task: "recipe of 60 lines", native, scant, aim: 2.0, pace }.print();
}
