//! Strips cut into lengths and lengths joined from strips, each plan gone through by the checker.
#![allow(clippy::unwrap_used, clippy::panic)] // a plan that is wrong is a test that fails

use std::fs;
use std::path::{Path, PathBuf};

use proptest::prelude::*;
use scant::layout::{Budget, Cutting, Join, Length, Lengths, Misfit, check_lengths, lengths};
use serde_json::Value;

fn wanted(list: &[(u64, i64)]) -> Vec<Length> {
    list.iter().map(|(count, length)| Length { count: *count, length: *length }).collect()
}

fn job(strip: i64, list: &[(u64, i64)]) -> Lengths {
    Lengths { strip, wanted: wanted(list), ..Lengths::default() }
}

fn checked(job: &Lengths) -> Cutting {
    let cutting = lengths(job, Budget::USUAL).unwrap();
    check_lengths(job, &cutting).unwrap();
    cutting
}

#[test]
fn an_exact_fit_counts() {
    let cutting = checked(&job(42, &[(16, 5), (2, 1)]));
    assert_eq!((cutting.strips, cutting.proved), (2, true));
    assert_eq!(checked(&job(42, &[(0, 5)])).strips, 0);
    assert_eq!(checked(&Lengths::default()).strips, 0);
}

#[test]
fn strips_in_hand_come_first() {
    let hand = wanted(&[(1, 30), (3, 12)]);
    let cutting = checked(&Lengths { hand, ..job(42, &[(2, 15), (3, 11), (4, 20)]) });
    assert_eq!((cutting.strips, cutting.proved), (2, true));
    // A length that only a strip in hand gives.
    let hand = wanted(&[(1, 60)]);
    assert_eq!(checked(&Lengths { hand: hand.clone(), ..job(42, &[(1, 50)]) }).strips, 0);
    let more = Lengths { hand, ..job(42, &[(2, 50)]) };
    assert_eq!(lengths(&more, Budget::USUAL), Err(Misfit::NoRoom { left: vec![(0, 1)] }));
}

#[test]
fn a_length_longer_than_the_strip_is_named() {
    assert_eq!(lengths(&job(42, &[(1, 5), (2, 43)]), Budget::USUAL), Err(Misfit::TooWide { piece: 1 }));
    // No two pieces of 30 and more make 43 with a join of 2.
    let join = Some(Join { loss: 2, shortest: 30 });
    let long = Lengths { join, ..job(42, &[(2, 43)]) };
    assert_eq!(lengths(&long, Budget::USUAL), Err(Misfit::TooWide { piece: 0 }));
}

#[test]
fn a_binding_run_is_joined_from_strips() {
    // 6 strips of 42 with 5 joins of 2 1/2 give 239 1/2; a run of 240 takes 7. In eighths.
    let join = Some(Join { loss: 20, shortest: 48 });
    assert_eq!(checked(&Lengths { join, ..job(336, &[(1, 1916)]) }).strips, 6);
    let cutting = checked(&Lengths { join, ..job(336, &[(1, 1917)]) });
    assert_eq!((cutting.strips, cutting.proved), (7, true));
    // A long run of a hundred strips.
    let cutting = checked(&Lengths { join, ..job(336, &[(1, 31_600), (3, 200)]) });
    assert_eq!((cutting.strips, cutting.proved), (102, true));
}

#[test]
fn a_million_million_lengths_cost_no_more_than_one() {
    let n = 1_000_000_000_000;
    let cutting = checked(&job(1000, &[(n, 333), (n + 1, 41), (n, 127)]));
    assert!(cutting.strips - cutting.bound <= 1);
    let join = Some(Join { loss: 3, shortest: 10 });
    checked(&Lengths { join, ..job(1000, &[(n, 1500), (n, 41)]) });
    let far = Lengths { join, ..job(4, &[(1, i64::MAX / 9)]) };
    assert!(lengths(&far, Budget::USUAL).is_err());
}

fn read(path: &Path) -> Vec<Value> {
    match serde_json::from_str(&fs::read_to_string(path).unwrap()).unwrap() {
        Value::Array(list) => list,
        one => vec![one],
    }
}

fn of(job: &Value) -> Lengths {
    let number = |value: &Value| value.as_i64().unwrap();
    let item = |item: &Value| (item["n"].as_u64().unwrap(), number(&item["l"]));
    let list: Vec<(u64, i64)> = job["items"].as_array().unwrap().iter().map(item).collect();
    let join = job["join"].as_i64().map(|loss| Join { loss, shortest: number(&job["min_fragment"]) });
    Lengths { join, ..self::job(number(&job["length"]), &list) }
}

#[test]
fn the_jobs_of_the_sewing_room_take_the_fewest_strips() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/cutting");
    let known = fs::read_to_string(folder.join("best-known.csv")).unwrap();
    let mut tried = 0;
    for row in known.lines().map(|row| row.split(',').collect::<Vec<_>>()) {
        if !matches!(row[3], "one-d lengths" | "joined lengths") {
            continue;
        }
        for value in read(&folder.join(format!("{}.json", row[0]))) {
            let cutting = checked(&of(&value));
            assert_eq!(cutting.strips, row[6].parse::<u64>().unwrap(), "{}", row[0]);
            assert!(cutting.proved, "{}", row[0]);
            tried += 1;
        }
    }
    assert_eq!(tried, 6);
}

#[test]
fn public_lengths_take_as_few_strips_as_are_known() {
    let Some(outside) = std::env::var_os("SCANT_OUTSIDE_DATA").map(PathBuf::from) else {
        eprintln!("skipped: SCANT_OUTSIDE_DATA is not set");
        return;
    };
    let mut missed = Vec::new();
    let all = read(&outside.join("cutting/one-d.json"));
    for value in all.iter().filter(|job| job["set"] == "scholl-1").step_by(3) {
        let cutting = checked(&of(value));
        if cutting.strips > value["best_ub"].as_u64().unwrap() {
            missed.push(value["id"].to_string());
        }
    }
    assert!(missed.is_empty(), "{missed:?}");
}

/// The fewest strips, by trying every set of lengths for each strip.
fn fewest(strip: i64, lengths: &[i64]) -> u64 {
    let all = 1usize << lengths.len();
    let fits = |set: usize| {
        let held = lengths.iter().enumerate().filter(|(at, _)| set >> at & 1 == 1);
        held.map(|(_, length)| length).sum::<i64>() <= strip
    };
    let mut best = vec![0u64; all];
    for set in 1..all {
        best[set] = u64::MAX;
        let mut part = set;
        while part > 0 {
            if fits(part) {
                best[set] = best[set].min(best[set ^ part].saturating_add(1));
            }
            part = (part - 1) & set;
        }
    }
    best[all - 1]
}

/// The fewest strips where any two lengths may be joined at any place: sets of lengths are groups,
/// each with one join less than strips.
fn fewest_joined(strip: i64, loss: i64, lengths: &[i64]) -> u64 {
    let all = 1usize << lengths.len();
    let mut best = vec![0u64; all];
    for set in 1..all {
        best[set] = u64::MAX;
        let mut part = set;
        while part > 0 {
            let held = lengths.iter().enumerate().filter(|(at, _)| part >> at & 1 == 1);
            let sum: i64 = held.map(|(_, length)| *length).sum();
            let strips = (sum - loss - 1).max(0) / (strip - loss) + 1;
            best[set] = best[set].min(best[set ^ part].saturating_add(strips.unsigned_abs()));
            part = (part - 1) & set;
        }
    }
    best[all - 1]
}

#[test]
fn strips_that_the_search_did_without_are_not_counted() {
    let wanted = vec![Length { count: 5, length: 258 }, Length { count: 3, length: 270 }];
    let hand = vec![Length { count: 3, length: 42 }];
    let job = Lengths { strip: 24, hand, wanted, join: Some(Join { loss: 11, shortest: 0 }) };
    let cutting = lengths(&job, Budget::USUAL).unwrap();
    assert_eq!(check_lengths(&job, &cutting), Ok(()));
}

proptest! {
    #[test]
    fn tiny_jobs_come_out_as_by_trying_everything(
        strip in 8i64..40,
        list in prop::collection::vec(1i64..30, 1..8),
    ) {
        let list: Vec<i64> = list.into_iter().map(|length| length.min(strip)).collect();
        let pairs: Vec<(u64, i64)> = list.iter().map(|length| (1, *length)).collect();
        let cutting = checked(&job(strip, &pairs));
        prop_assert_eq!(cutting.strips, fewest(strip, &list));
        prop_assert!(cutting.proved);
    }

    #[test]
    fn tiny_joined_jobs_come_out_as_by_trying_everything(
        strip in 20i64..60,
        loss in 0i64..4,
        list in prop::collection::vec(10i64..150, 1..6),
    ) {
        let pairs: Vec<(u64, i64)> = list.iter().map(|length| (1, *length)).collect();
        // Pieces may be as short as a join.
        let join = Some(Join { loss, shortest: 1 });
        let cutting = checked(&Lengths { join, ..job(strip, &pairs) });
        let fewest = fewest_joined(strip, loss, &list);
        prop_assert!(cutting.bound <= fewest && fewest <= cutting.strips, "{:?} {}", cutting, fewest);
        if loss <= 1 {
            prop_assert_eq!(cutting.strips, fewest);
        }
    }

    #[test]
    fn every_cutting_holds_what_was_asked(
        strip in 1i64..200,
        list in prop::collection::vec((0u64..9, 1i64..300), 0..7),
        hand in prop::collection::vec((0u64..4, 0i64..250), 0..3),
        loss in 0i64..20,
        shortest in 0i64..60,
        joins: bool,
    ) {
        let join = joins.then_some(Join { loss, shortest });
        let job = Lengths { hand: wanted(&hand), join, ..job(strip, &list) };
        match lengths(&job, Budget::QUICK) {
            Ok(cutting) => prop_assert_eq!(check_lengths(&job, &cutting), Ok(())),
            Err(misfit) => prop_assert!(job.wanted[misfit.piece()].length > strip),
        }
    }

    #[test]
    fn no_numbers_make_a_panic(
        strip: i64,
        list in prop::collection::vec((any::<u64>(), any::<i64>()), 0..5),
        hand in prop::collection::vec((any::<u64>(), any::<i64>()), 0..3),
        join in prop::option::of((any::<i64>(), any::<i64>())),
        small: bool,
    ) {
        let list: Vec<(u64, i64)> =
            list.into_iter().map(|(n, l)| if small { (n % 5, l >> 8) } else { (n, l) }).collect();
        let join = join.map(|(loss, shortest)| Join { loss, shortest });
        let job = Lengths { hand: wanted(&hand), join, ..job(strip, &list) };
        let _ = lengths(&job, Budget::QUICK);
    }
}
