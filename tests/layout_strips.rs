//! Strips across the cloth: the proven shortest, by brute force on tiny jobs and on known ones.
#![allow(clippy::unwrap_used, clippy::panic)] // a plan that is wrong is a test that fails

#[path = "common/pieces.rs"]
mod pieces;

use std::fs;
use std::path::{Path, PathBuf};

use pieces::roll;
use proptest::prelude::*;
use scant::layout::{Budget, Job, Kind, Piece, Plan, check, plan};
use serde_json::Value;

fn checked(job: &Job, budget: Budget) -> Plan {
    let plan = plan(job, Kind::Strips, budget).unwrap();
    check(job, &plan).unwrap();
    plan
}

fn of(value: &Value) -> Job {
    let number = |value: &Value| i128::from(value.as_i64().unwrap());
    let piece = |piece: &Value| Piece {
        count: piece["n"].as_u64().unwrap(),
        across: number(&piece["w"]),
        along: number(&piece["h"]),
        may_turn: piece["rot"].as_bool().unwrap_or(false),
        by_selvage: false,
    };
    roll(number(&value["width"]), value["pieces"].as_array().unwrap().iter().map(piece).collect())
}

fn read(path: &Path) -> Vec<Value> {
    match serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap() {
        Value::Array(list) => list,
        one => vec![one],
    }
}

#[test]
fn the_jobs_of_the_sewing_room_are_proved() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/cutting");
    let known = fs::read_to_string(folder.join("best-known.csv")).unwrap();
    let mut tried = 0;
    for row in known.lines().map(|row| row.split(',').collect::<Vec<_>>()).filter(|row| row[3] == "two-stage")
    {
        for value in read(&folder.join(format!("{}.json", row[0]))) {
            let plan = checked(&of(&value), Budget::USUAL);
            assert_eq!(plan.length, row[6].parse::<i128>().unwrap(), "{}", row[0]);
            assert!(plan.proved, "{}", row[0]);
            tried += 1;
        }
    }
    assert_eq!(tried, 19);
}

/// Two public jobs stay open with the usual budget.
#[test]
fn public_jobs_are_proved() {
    let Some(outside) = std::env::var_os("SCANT_OUTSIDE_DATA").map(PathBuf::from) else {
        eprintln!("skipped: SCANT_OUTSIDE_DATA is not set");
        return;
    };
    let folder = outside.join("cutting");
    let known = fs::read_to_string(folder.join("bounds-two-stage-and-one-d.csv")).unwrap();
    let (mut tried, mut proved) = (0, 0);
    for value in ["ngcut", "cgcut", "gcut"].iter().flat_map(|set| read(&folder.join(format!("{set}.json")))) {
        let id = value["id"].as_str().unwrap();
        let row = known.lines().map(|row| row.split(',').collect::<Vec<_>>());
        let Some(row) = row.into_iter().find(|row| row[0] == id && row[3] == "two-stage") else { continue };
        if matches!(id, "gcut04" | "gcut13") {
            continue;
        }
        let plan = checked(&of(&value), Budget::USUAL);
        tried += 1;
        proved += u32::from(plan.proved);
        assert_eq!(plan.length, row[7].parse::<i128>().unwrap(), "{id}");
    }
    assert_eq!((tried, proved), (17, 17));
}

/// The shortest strips, by every way of dealing the pieces out to strips and of turning them.
fn shortest(width: i128, pieces: &[Piece]) -> i128 {
    fn next(width: i128, pieces: &[Piece], strips: &mut Vec<(i128, i128)>, best: &mut i128) {
        let Some((piece, rest)) = pieces.split_first() else {
            *best = (*best).min(strips.iter().map(|(_, high)| high).sum());
            return;
        };
        for turned in [false, true] {
            let (across, along) = piece.lies(turned);
            if (turned && !piece.may_turn) || across > width {
                continue;
            }
            for at in 0..strips.len() {
                let before = strips[at];
                if before.0 + across <= width {
                    strips[at] = (before.0 + across, before.1.max(along));
                    next(width, rest, strips, best);
                    strips[at] = before;
                }
            }
            strips.push((across, along));
            next(width, rest, strips, best);
            strips.pop();
        }
    }
    let mut best = i128::MAX;
    next(width, pieces, &mut Vec::new(), &mut best);
    best
}

/// So many, across and along, and whether they may turn.
fn piece((count, across, along, may_turn): (u64, i128, i128, bool)) -> Piece {
    Piece { count, across, along, may_turn, by_selvage: false }
}

/// The lengths that come of more and more work.
fn lengths(job: &Job) -> Vec<i128> {
    let budgets = [0, 100, 300, 1_000, 3_000, 5_000, 10_000, 30_000, 100_000];
    budgets.map(|budget| checked(job, Budget(budget)).length).to_vec()
}

/// What comes of a search that is cut short is no plan: more work goes another way from there, to a longer one.
#[test]
fn strips_cut_short_do_not_count() {
    let pieces =
        [(9, 81, 156, false), (3, 48, 82, false), (10, 70, 53, false), (8, 46, 149, true), (3, 79, 49, true)];
    let lengths = lengths(&roll(288, pieces.map(piece).to_vec()));
    assert!(lengths.is_sorted_by(|lesser, larger| larger <= lesser), "{lengths:?}");
    assert_eq!(lengths.last(), Some(&933));
}

/// A strip is as high as what is left in it once what is too much is taken away, which may be less than it was made for.
#[test]
fn strips_are_compared_as_high_as_they_are_cut() {
    let pieces = [
        (6, 9, 182, false),
        (18, 27, 120, false),
        (12, 11, 142, true),
        (16, 97, 89, true),
        (15, 39, 173, false),
    ];
    let lengths = lengths(&roll(164, pieces.map(piece).to_vec()));
    assert!(lengths.is_sorted_by(|lesser, larger| larger <= lesser), "{lengths:?}");
}

/// Which ways beside the selvage are looked into closer does not depend on the work there is.
#[test]
fn strips_around_what_lies_by_the_selvage_keep_what_less_work_finds() {
    let by_selvage = Piece { by_selvage: true, ..piece((10, 7, 65, false)) };
    let pieces = vec![piece((4, 61, 121, true)), piece((19, 63, 82, true)), by_selvage];
    let lengths = lengths(&roll(341, pieces));
    assert!(lengths.is_sorted_by(|lesser, larger| larger <= lesser), "{lengths:?}");
}

/// Nor do the steps that fine sizes are counted in.
#[test]
fn strips_of_fine_sizes_keep_what_less_work_finds() {
    let pieces = [(10, 1_341_204_579, 2_664_028_367, true), (2, 1_594_254_662, 1_322_072_388, true)];
    let job = roll(4_707_004_302, pieces.map(piece).to_vec());
    let lengths = [1_000, 2_000, 3_000].map(|budget| checked(&job, Budget(budget)).length);
    assert!(lengths.is_sorted_by(|lesser, larger| larger <= lesser), "{lengths:?}");
}

proptest! {
    #[test]
    fn tiny_jobs_come_out_as_by_trying_everything(
        width in 10i128..30,
        sides in prop::collection::vec((1i128..20, 1i128..20, any::<bool>()), 1..6),
    ) {
        let piece = |(across, along, may_turn): (i128, i128, bool)| {
            Piece { count: 1, across: across.min(width), along, may_turn, by_selvage: false }
        };
        let pieces: Vec<Piece> = sides.into_iter().map(piece).collect();
        let plan = checked(&roll(width, pieces.clone()), Budget::USUAL);
        prop_assert_eq!(plan.length, shortest(width, &pieces));
        prop_assert!(plan.proved);
    }

    #[test]
    fn more_work_is_never_longer(
        width in 100i128..400,
        sides in prop::collection::vec((1u64..20, 6i128..100, 6i128..200, any::<bool>()), 1..6),
    ) {
        let job = roll(width, sides.into_iter().map(piece).collect());
        let lengths = lengths(&job);
        prop_assert!(lengths.is_sorted_by(|lesser, larger| larger <= lesser), "{lengths:?}");
    }
}
