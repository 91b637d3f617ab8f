//! Cutting plans on the jobs of tests/outside/cutting, by kind and budget: how near they come to what
//! is known, and how long that takes; and how the time grows with the job.

use std::collections::BTreeMap;
use std::time::Duration;

use scant::layout::{Budget, Job, Kind, Piece, Plan, check, plan};

use super::clock::{Whose, taken};
use super::jobs::{self, Known, Named};

/// Ten seconds at most for each of the public jobs.
const PUBLIC: Budget = Budget(80_000_000);
/// The same for plans other than strips, whose steps take longer.
const PUBLIC_FREE: Budget = Budget(60_000_000);

/// A plan that the checker has gone through, and the time that it took.
fn timed(named: &Named, kind: Kind, budget: Budget) -> (Plan, Duration) {
    let start = taken(Whose::Own);
    let made = plan(&named.job, kind, budget).unwrap_or_else(|misfit| panic!("{}: {misfit:?}", named.id));
    let time = taken(Whose::Own) - start;
    check(&named.job, &made).unwrap_or_else(|fault| panic!("{}: {fault}", named.id));
    (made, time)
}

/// How a set of jobs came out.
#[derive(Default)]
struct Sum {
    jobs: u32,
    proved: u32,
    shorter: u32,
    longer: u32,
    gap: f64,
    against: f64,
    times: Vec<Duration>,
}

impl Sum {
    fn add(&mut self, made: &Plan, time: Duration, known: Option<Known>) {
        let best = known.map_or(made.length, |known| known.best);
        let bound = known.map_or(0, |known| known.bound).max(made.bound);
        self.jobs += 1;
        self.proved += u32::from(made.proved);
        self.shorter += u32::from(made.length < best);
        self.longer += u32::from(made.length > best);
        self.gap += (made.length - bound) as f64 / bound.max(1) as f64;
        self.against += (made.length - best) as f64 / best.max(1) as f64;
        self.times.push(time);
    }

    fn print(mut self, what: &str) {
        self.times.sort_unstable();
        let millis = |time: &Duration| time.as_secs_f64() * 1e3;
        let each = |sum: f64| sum / f64::from(self.jobs.max(1)) * 100.0;
        println!(
            "{what:<34}{:>5} jobs  {:>4} proved  {:>2} shorter and {:>3} longer than known  gap {:.2}%  against known {:+.2}%  \
             median {:.1} ms, slowest {:.0} ms",
            self.jobs,
            self.proved,
            self.shorter,
            self.longer,
            each(self.gap),
            each(self.against),
            self.times.get(self.times.len() / 2).map_or(0.0, millis),
            self.times.last().map_or(0.0, millis),
        );
    }
}

/// The project's own jobs.
pub fn own() {
    let folder = jobs::own();
    for kind in Kind::ALL {
        let known = jobs::known(&folder, "best-known.csv", jobs::discipline(kind));
        for (name, budget) in
            [("quick", Budget::QUICK), ("usual", Budget::USUAL), ("thorough", Budget::THOROUGH)]
        {
            let mut sum = Sum::default();
            for named in jobs::jobs(&folder, "strip", false) {
                let (made, time) = timed(&named, kind, budget);
                sum.add(&made, time, known.get(&named.id).copied());
            }
            sum.print(&format!("plans, {}, {name}", jobs::discipline(kind)));
        }
    }
}

/// The same jobs with every side a hair smaller: whether any is longer, and how much slower it is.
pub fn fine() {
    for kind in Kind::ALL {
        let (mut longer, mut plain, mut hair) = (0, Duration::ZERO, Duration::ZERO);
        for named in jobs::jobs(&jobs::own(), "strip", false) {
            let (whole, time) = timed(&named, kind, Budget::USUAL);
            plain += time;
            let (made, time) = timed(&Named { job: jobs::finer(&named.job), ..named }, kind, Budget::USUAL);
            hair += time;
            longer += u32::from(made.length > whole.length * jobs::FINER);
        }
        println!(
            "plans, {}, every side less 1/7 to 1/17 mm: {longer} of 19 longer (0 at most), {:.2} times as long (2 at most)",
            jobs::discipline(kind),
            hair.as_secs_f64() / plain.as_secs_f64(),
        );
    }
}

/// The public sets, where the variable says that they are there.
pub fn public() {
    let Some(folder) = jobs::public() else {
        println!("public cutting sets skipped: SCANT_OUTSIDE_DATA is not set");
        return;
    };
    let two_stage = jobs::known(&folder, "bounds-two-stage-and-one-d.csv", "two-stage");
    let best = jobs::public_best(&folder);
    for turn in [false, true] {
        for kind in Kind::ALL {
            let mut sums: BTreeMap<String, Sum> = BTreeMap::new();
            for named in jobs::jobs(&folder, "strip", turn) {
                let any = best.get(&named.id).map(|best| Known { bound: 0, best: *best, proved: false });
                let known = if kind == Kind::Strips { two_stage.get(&named.id).copied() } else { any };
                let budget = if kind == Kind::Strips { PUBLIC } else { PUBLIC_FREE };
                let (made, time) = timed(&named, kind, budget);
                sums.entry(named.set).or_default().add(&made, time, known);
            }
            let turned = if turn { "turning" } else { "as written" };
            for (set, sum) in sums {
                sum.print(&format!("{set}, {}, {turned}", jobs::discipline(kind)));
            }
        }
    }
}

/// How the time grows: from 200 pieces of 5 kinds to 2,000 of 50 it may be a hundred times as long.
pub fn growth() {
    for kind in Kind::ALL {
        let small = plan_time(200, 5, kind);
        let large = plan_time(2_000, 50, kind);
        println!(
            "plans grow, {:<12} 200 pieces of 5 kinds {:.1} ms, 2,000 of 50 kinds {:.1} ms: {:.1} times (100 at most)",
            jobs::discipline(kind),
            small.as_secs_f64() * 1e3,
            large.as_secs_f64() * 1e3,
            large.as_secs_f64() / small.as_secs_f64(),
        );
    }
}

fn plan_time(pieces: u64, kinds: u64, kind: Kind) -> Duration {
    let side = |n: u64, by: u64| 20 + i128::from(n * by % 97);
    let piece = |n| Piece {
        count: pieces / kinds,
        across: side(n, 31),
        along: side(n, 57),
        may_turn: true,
        by_selvage: false,
    };
    let job = Job { roll: Some(432), sheets: Vec::new(), pieces: (0..kinds).map(piece).collect() };
    let named = Named { id: "growth".to_owned(), set: String::new(), job };
    timed(&named, kind, Budget::USUAL).1
}
