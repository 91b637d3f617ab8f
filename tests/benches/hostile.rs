//! Jobs that are hard to plan in time: up to 200 kinds and 5,000 pieces of sizes that no common ruler has.

use std::hint::black_box;
use std::process::ExitCode;

use scant::layout::{Budget, Job, Kind, Piece, Sheet, check, plan};

use super::clock::{Whose, peak_of_own};
use super::race::race;
use super::start::{myself, said};

/// Grid units in a millimetre, so that a seventh to a seventeenth of one is whole, and in an inch.
const MM: u64 = 5 * 7 * 9 * 11 * 13 * 17;
const INCH: u64 = MM / 5 * 127;

/// How many kinds of pieces, and how many of each.
const KINDS: [(u64, u64); 5] = [(8, 3), (20, 12), (60, 20), (120, 40), (200, 25)];

/// What sides are like.
#[derive(Clone, Copy, Debug)]
pub enum Sides {
    /// Whole inches less 1/7 to 1/13 mm.
    Hair,
    /// Whole eighths of an inch beside whole centimetres.
    TwoRulers,
    /// Any number of grid units.
    Any,
    /// Nearly the same.
    NearEqual,
    /// From a hundredth of the cloth to all of it.
    HugeBesideTiny,
    /// Eighths of an inch.
    Eighths,
}

const SIDES: [Sides; 6] =
    [Sides::Hair, Sides::TwoRulers, Sides::Any, Sides::NearEqual, Sides::HugeBesideTiny, Sides::Eighths];

/// Numbers that are alike on every machine.
struct Random(u64);

impl Random {
    fn below(&mut self, most: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % most
    }
}

/// A side in grid units.
fn side(sides: Sides, random: &mut Random) -> i128 {
    let units = match sides {
        Sides::Hair => INCH * (2 + random.below(18)) - MM / [7, 9, 11, 13][random.below(4) as usize],
        Sides::TwoRulers if random.below(2) == 0 => INCH / 8 * (12 + random.below(140)),
        Sides::TwoRulers => MM * 10 * (4 + random.below(45)),
        Sides::Any => INCH * 3 / 2 + random.below(18 * INCH),
        Sides::NearEqual => INCH * 7 + random.below(INCH / 50),
        Sides::HugeBesideTiny if random.below(3) == 0 => INCH * 20 + random.below(33 * INCH),
        Sides::HugeBesideTiny => INCH / 2 + random.below(INCH),
        Sides::Eighths => INCH / 8 * (12 + random.below(140)),
    };
    i128::from(units)
}

/// One job of each sort of sides and number of kinds, whose pieces may turn or not, from a roll or from sheets.
pub fn jobs(of_sheets: bool) -> Vec<(String, Job)> {
    let mut jobs = Vec::new();
    for sides in SIDES {
        for (kinds, count) in KINDS {
            for turn in [false, true] {
                let mut random = Random(kinds * 2 + u64::from(turn) + 1_000 * sides as u64);
                let piece = |_| Piece {
                    count,
                    across: side(sides, &mut random),
                    along: side(sides, &mut random),
                    may_turn: turn,
                    by_selvage: false,
                };
                let pieces = (0..kinds).map(piece).collect();
                let cloth = i128::from(54 * INCH);
                let large = Sheet { count: 5_000, across: cloth, along: cloth, cost: 1_800 };
                let small = Sheet { count: 40, across: cloth * 4 / 5, along: cloth * 2 / 3, cost: 900 };
                let turns = if turn { "turning" } else { "fixed" };
                let name = format!("{sides:?} {kinds} kinds of {count} {turns}");
                let job = if of_sheets {
                    Job { roll: None, sheets: vec![small, large], pieces }
                } else {
                    Job { roll: Some(cloth), sheets: Vec::new(), pieces }
                };
                jobs.push((name, job));
            }
        }
    }
    jobs
}

const BUDGETS: [(&str, Budget); 2] = [("usual", Budget::USUAL), ("thorough", Budget::THOROUGH)];

/// Times the jobs, each beside the same work by hand and in a program of its own, and prints the slowest and
/// the one that held most memory.
pub fn task() {
    for (at, (name, budget)) in BUDGETS.into_iter().enumerate() {
        for (cloth, of_sheets) in [("roll", false), ("sheets", true)] {
            for kind in Kind::ALL {
                let mut times: Vec<Timed> = jobs(of_sheets)
                    .into_iter()
                    .enumerate()
                    .filter_map(|(nth, (job, _))| {
                        timed(job, [usize::from(of_sheets), kind as usize, at, nth])
                    })
                    .collect();
                times.sort_by(|one, other| other.took.total_cmp(&one.took));
                let Some(Timed { job, took, by_hand, .. }) = times.first() else { continue };
                let over = |seconds: f64| times.iter().filter(|one| one.took > seconds).count();
                let limit = if budget == Budget::USUAL { 0.15 } else { 5.0 };
                println!(
                    "hostile, {cloth}, {kind:?}, {name}: {} jobs, {} over {limit} s, slowest {took:.3} s, {:.0} times as \
                     long as {:.2} ms by hand ({job}); {}",
                    times.len(),
                    over(limit),
                    took / by_hand,
                    by_hand * 1e3,
                    most_memory(&times),
                );
            }
        }
    }
}

/// The job that held most memory.
fn most_memory(times: &[Timed]) -> String {
    let Some(most) = times.iter().max_by(|one, other| one.peak.total_cmp(&other.peak)) else {
        return String::new();
    };
    format!("{:.1} MB held at most, 64 is the limit ({})", most.peak, most.job)
}

/// How many seconds a job took, and the work by hand beside it, and how many MB its program held at most.
struct Timed {
    job: String,
    took: f64,
    by_hand: f64,
    peak: f64,
}

/// Times a job in a program of its own: the cloth, the kind, the budget and which of the jobs; `None` where
/// there are too few sheets for its pieces.
fn timed(job: String, which: [usize; 4]) -> Option<Timed> {
    let which = which.map(|one| one.to_string());
    let said = said(&mut myself("hostile", &which.each_ref().map(String::as_str)));
    let mut figures = said.split_whitespace().map(|figure| figure.parse().unwrap());
    Some(Timed { job, took: figures.next()?, by_hand: figures.next()?, peak: figures.next()? })
}

/// Being the program that plans one job.
pub fn one() -> ExitCode {
    let which: Vec<usize> = std::env::args().skip(1).map(|one| one.parse().unwrap()).collect();
    let [sheets, kind, budget, nth] = which[..] else { return ExitCode::from(2) };
    let (job, wanted) = jobs(sheets == 1).swap_remove(nth);
    let (kind, budget) = (Kind::ALL[kind], BUDGETS[budget].1);
    let mut made = None;
    let (by_hand, took) = race(
        Whose::Own,
        1,
        || {
            black_box(native());
        },
        || made = plan(&wanted, kind, budget).ok(),
    );
    if let Some(made) = made {
        check(&wanted, &made).unwrap_or_else(|fault| panic!("{job}: {fault}"));
        let peak = peak_of_own().unwrap_or(f64::NAN);
        println!("{} {} {peak}", took.as_secs_f64(), by_hand.as_secs_f64());
    }
    ExitCode::SUCCESS
}

/// Work of the same sort written by hand, for comparison: a knapsack, and numbers put in order.
pub fn native() -> u64 {
    let mut random = Random(7);
    let mut best = vec![0u64; 8_192];
    for _ in 0..400 {
        let (size, worth) = (1 + random.below(900) as usize, random.below(1_000));
        for at in (size..best.len()).rev() {
            best[at] = best[at].max(best[at - size] + worth);
        }
    }
    let mut numbers: Vec<u64> = (0..60_000).map(|_| random.below(1 << 30)).collect();
    numbers.sort_unstable();
    best.iter().chain(&numbers).fold(0, |sum, one| sum.rotate_left(5) ^ one)
}
