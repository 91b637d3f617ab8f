//! How near plans come to the best that is known for the jobs of tests/outside/cutting (figures proved by an
//! outside solver, best-known.csv there), each planned here and gone through by the checker.
#![allow(clippy::unwrap_used, clippy::panic)] // a plan that is wrong is a test that fails

#[path = "outside/jobs.rs"]
mod jobs;

use jobs::{Known, Named};
use scant::layout::{Budget, Job, Kind, Piece, Plan, check, plan};

fn checked(job: &Job, kind: Kind, budget: Budget) -> Plan {
    let made = plan(job, kind, budget).unwrap();
    check(job, &made).unwrap();
    made
}

/// All the jobs with a plan of each, and what is known.
fn planned(kind: Kind, budget: Budget) -> Vec<(Plan, Known)> {
    let known = jobs::known(&jobs::own(), "best-known.csv", jobs::discipline(kind));
    let made = |named: &Named| (checked(&named.job, kind, budget), known[&named.id]);
    let all: Vec<_> = jobs::jobs(&jobs::own(), "strip", false).iter().map(made).collect();
    assert_eq!(all.len(), 19);
    all
}

/// Mean gap to the larger bound, in hundredths of a percent, and how many are longer than the best known.
fn sum(plans: &[(Plan, Known)]) -> (i128, usize) {
    let gap = |(made, known): &(Plan, Known)| {
        let bound = made.bound.max(known.bound);
        assert!(!known.proved || made.bound <= known.best);
        (made.length - bound) * 1_000_000 / bound
    };
    let longer = plans.iter().filter(|(made, known)| made.length > known.best).count();
    (plans.iter().map(gap).sum::<i128>() / 19 / 100, longer)
}

#[test]
fn strips_are_all_proved_best() {
    for budget in [Budget::QUICK, Budget::USUAL, Budget::THOROUGH] {
        for (made, known) in planned(Kind::Strips, budget) {
            assert_eq!((made.length, made.proved), (known.best, true));
        }
    }
}

#[test]
fn cuts_edge_to_edge_come_near_the_best_known() {
    let (gap, longer) = sum(&planned(Kind::EdgeToEdge, Budget::USUAL));
    assert!(gap < 45 && longer == 0, "{gap} {longer}");
}

#[test]
fn layouts_of_any_kind_come_near_the_best_known() {
    let (gap, longer) = sum(&planned(Kind::Any, Budget::USUAL));
    assert!(gap < 60 && longer <= 1, "{gap} {longer}");
}

#[test]
fn more_work_finds_what_is_known_of_a_hard_job() {
    let jobs = jobs::jobs(&jobs::own(), "strip", false);
    let hard = jobs.iter().find(|named| named.id == "sewing-11").unwrap();
    for (kind, length) in [(Kind::EdgeToEdge, 952), (Kind::Any, 944)] {
        assert!(checked(&hard.job, kind, Budget::THOROUGH).length <= length, "{kind:?}");
    }
}

#[test]
fn a_freer_kind_is_never_longer_and_takes_the_plainer_plan_where_that_is_as_short() {
    let large = |seed: i128| {
        let piece = |at: i128| Piece {
            count: 20,
            across: 20 + (at * 31 + seed * 7) % 97,
            along: 20 + (at * 57 + seed * 11) % 97,
            may_turn: at % 3 > 0,
            by_selvage: false,
        };
        Job { roll: Some(432), sheets: Vec::new(), pieces: (0..50).map(piece).collect() }
    };
    let own = jobs::jobs(&jobs::own(), "strip", false).into_iter().map(|named| named.job);
    for job in own.chain((0..3).map(large)) {
        for budget in [1_000, 30_000, 300_000] {
            let plans = Kind::ALL.map(|kind| checked(&job, kind, Budget(budget)));
            for pair in plans.windows(2) {
                assert!(pair[1].length <= pair[0].length);
                assert!(pair[1].length < pair[0].length || pair[1].spreads == pair[0].spreads);
            }
        }
    }
}

#[test]
fn sides_a_hair_smaller_take_no_more_cloth() {
    for kind in Kind::ALL {
        for named in jobs::jobs(&jobs::own(), "strip", false) {
            let whole = checked(&named.job, kind, Budget::QUICK);
            let fine = checked(&jobs::finer(&named.job), kind, Budget::QUICK);
            assert!(fine.length <= whole.length * jobs::FINER, "{} {kind:?}", named.id);
        }
    }
}

#[test]
fn strips_of_sides_a_hair_smaller_are_proved() {
    let jobs = jobs::jobs(&jobs::own(), "strip", false);
    let proved = |named: &&Named| checked(&jobs::finer(&named.job), Kind::Strips, Budget::USUAL).proved;
    assert!(jobs.iter().filter(proved).count() >= 15);
}

#[test]
fn what_spans_the_cloth_and_what_is_large_is_proved() {
    let jobs = jobs::jobs(&jobs::own(), "strip", false);
    let made = |id: &str, kind| {
        let made = checked(&jobs.iter().find(|named| named.id == id).unwrap().job, kind, Budget::USUAL);
        (made.length, made.proved)
    };
    // Strips as wide as the cloth leave a small job.
    assert_eq!(made("sewing-12", Kind::EdgeToEdge), (436, true));
    assert!(made("sewing-12", Kind::Any).0 <= 434);
    // All ways of cutting are gone through as far as the waste allows.
    let thorough = |id: &str| {
        let job = &jobs.iter().find(|named| named.id == id).unwrap().job;
        let made = checked(job, Kind::EdgeToEdge, Budget::THOROUGH);
        (made.length, made.proved)
    };
    assert_eq!(thorough("sewing-06"), (788, true));
    assert_eq!(thorough("sewing-28"), (380, true));
    // Nine towels and eight loops settle the length, and the small ones lie beside them.
    assert_eq!(made("sewing-23", Kind::Any), (768, true));
}
