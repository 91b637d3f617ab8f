//! The same work in Scant and in Rust written by hand, side by side: `cargo bench`.
//!
//! Both do each task by turns, and the least processor time of each counts. Before anything is timed, the
//! two must have given the same answers.
#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, missing_docs)] // a bench that goes wrong ends

mod checking;
mod clock;
mod entries;
mod grading;
mod hostile;
#[path = "../outside/jobs.rs"]
mod jobs;
mod lengths;
mod marking;
mod native;
mod plans;
mod race;
mod reading;
mod seeded;
mod sixty;
mod start;
mod tucks;

use std::process::ExitCode;

/// Asks this program to be the hand-written one, or to look on while another runs.
pub const ROLE: &str = "SCANT_BENCH_ROLE";

/// The program under test.
pub const SCANT: &str = env!("CARGO_BIN_EXE_scant");

fn main() -> ExitCode {
    match std::env::var(ROLE).as_deref() {
        Ok("sum") => start::native(),
        Ok("sixty") => sixty::native(),
        Ok("watch") => grading::watch(),
        Ok("hostile") => hostile::one(),
        _ => {
            suite();
            ExitCode::SUCCESS
        }
    }
}

/// Runs the tasks whose names hold one of the words given, or all.
fn suite() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let wanted = |task: &str| words.is_empty() || words.iter().any(|word| task.contains(word.as_str()));
    let tasks: [(&str, fn()); 6] = [
        ("start", start::task),
        ("recipe", sixty::task),
        ("grading", grading::task),
        ("loop", tucks::task),
        ("parsing", reading::task),
        ("marking", marking::task),
    ];
    race::head();
    tasks.iter().filter(|(name, _)| wanted(name)).for_each(|(_, task)| task());
    if wanted("memory") {
        grading::memory();
    }
    let plans: [(&str, fn()); 9] = [
        ("checking", checking::task),
        ("entries", entries::task),
        ("own sizes", grading::own_sizes),
        ("plans", plans::own),
        ("fine", plans::fine),
        ("growth", plans::growth),
        ("hostile", hostile::task),
        ("public", plans::public),
        ("lengths", lengths::task),
    ];
    plans.iter().filter(|(name, _)| wanted(name)).for_each(|(_, task)| task());
}
