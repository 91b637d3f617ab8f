//! Two ways of doing the same work, timed turn by turn; and the table of all that were timed.

use std::time::Duration;

use super::clock::{Whose, taken};

/// How a task came out.
pub struct Timed {
    /// What was done.
    pub task: &'static str,
    /// Least time by hand.
    pub native: Duration,
    /// Least time in Scant.
    pub scant: Duration,
    /// The ratio that is aimed at.
    pub aim: f64,
    /// How much of what a second, or how long for one.
    pub pace: String,
}

/// Runs both by turns and keeps the least processor time of each.
pub fn race(
    whose: Whose,
    turns: usize,
    mut native: impl FnMut(),
    mut scant: impl FnMut(),
) -> (Duration, Duration) {
    let mut least = (Duration::MAX, Duration::MAX);
    for _ in 0..turns {
        least.0 = least.0.min(timed(whose, &mut native));
        least.1 = least.1.min(timed(whose, &mut scant));
    }
    least
}

fn timed(whose: Whose, work: &mut impl FnMut()) -> Duration {
    let start = taken(whose);
    work();
    taken(whose) - start
}

/// Things a second, in thousands or millions.
pub fn rate(things: f64, time: Duration, what: &str) -> String {
    let each = things / time.as_secs_f64();
    if each >= 1e6 {
        format!("{:.1} M {what}/s", each / 1e6)
    } else {
        format!("{:.0} k {what}/s", each / 1e3)
    }
}

/// Prints the head of the table.
pub fn head() {
    println!("{:<34}{:>11}{:>11}{:>8}{:>6}  pace", "task", "native", "scant", "ratio", "aim");
}

impl Timed {
    /// Prints its row of the table.
    pub fn print(&self) {
        let Timed { task, native, scant, aim, pace } = self;
        let ratio = scant.as_secs_f64() / native.as_secs_f64();
        println!("{task:<34}{:>11}{:>11}{ratio:>8.2}{aim:>6}  {pace}", short(*native), short(*scant));
    }
}

fn short(time: Duration) -> String {
    format!("{:.2} ms", time.as_secs_f64() * 1e3)
}
