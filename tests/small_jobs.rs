//! Small random jobs against their true optimum, which `outside/small/oracle.py` worked out with another
//! program: no bound above it, no plan below it, a proof only where it is reached.
#![allow(clippy::unwrap_used, clippy::panic)] // data of the project's own, and a plan that is wrong fails

use std::collections::BTreeMap;

use num_bigint::BigInt;
use num_integer::Integer;
use num_rational::BigRational;
use num_traits::ToPrimitive;
use scant::layout::{Budget, Job, Join, Kind, Length, Lengths, Misfit, Piece, Sheet};
use scant::layout::{cheapest, check, check_cost, check_lengths, lengths, plan};
use serde_json::Value;

const KINDS: [(Kind, &str); 3] = [(Kind::Strips, "strips"), (Kind::EdgeToEdge, "edge"), (Kind::Any, "any")];
const BUDGETS: [Budget; 2] = [Budget::USUAL, Budget::THOROUGH];

fn entries(sort: &str) -> Vec<Value> {
    let all: Value = serde_json::from_str(include_str!("outside/small/small_jobs.json")).unwrap();
    all.as_array().unwrap().iter().filter(|entry| entry["kind"] == sort).cloned().collect()
}

fn fraction(value: &Value) -> BigRational {
    match value {
        Value::String(text) => text.parse().unwrap(),
        other => BigRational::from_integer(BigInt::from(other.as_i64().unwrap_or(0))),
    }
}

fn rows<'a>(entry: &'a Value, key: &str) -> impl Iterator<Item = &'a Value> {
    entry[key].as_array().into_iter().flatten()
}

/// The least number that makes all lengths of a job whole: fractions of any ruler stay exact.
fn grid(entry: &Value) -> BigInt {
    let sides =
        ["pieces", "sheets"].into_iter().flat_map(|key| rows(entry, key).flat_map(|row| [&row[1], &row[2]]));
    let lengths = ["hand", "wanted"].into_iter().flat_map(|key| rows(entry, key).map(|row| &row[1]));
    let single = ["width", "strip", "loss", "shortest"].into_iter().map(|key| &entry[key]);
    sides.chain(lengths).chain(single).fold(BigInt::from(1), |grid, value| grid.lcm(fraction(value).denom()))
}

fn whole(value: &Value, grid: &BigInt) -> i128 {
    let scaled = fraction(value) * grid;
    assert!(scaled.is_integer());
    scaled.to_integer().to_i128().unwrap()
}

fn job(entry: &Value, grid: &BigInt) -> Job {
    let count = |row: &Value| row[0].as_u64().unwrap();
    let piece = |row: &Value| Piece {
        count: count(row),
        across: whole(&row[1], grid),
        along: whole(&row[2], grid),
        may_turn: row[3].as_bool().unwrap(),
        by_selvage: false,
    };
    let sheet = |row: &Value| Sheet {
        count: count(row),
        across: whole(&row[1], grid),
        along: whole(&row[2], grid),
        cost: row[3].as_i64().unwrap(),
    };
    Job {
        roll: entry.get("width").map(|width| whole(width, grid)),
        sheets: rows(entry, "sheets").map(sheet).collect(),
        pieces: rows(entry, "pieces").map(piece).collect(),
    }
}

/// What a length of the roll costs: up to the shop's step, where there is one, then to the nearest coin.
fn roll_cost(entry: &Value, grid: &BigInt, length: i128) -> i64 {
    let mut bought = BigRational::new(BigInt::from(length), grid.clone());
    if !entry["step"].is_null() {
        bought = (bought / fraction(&entry["step"])).ceil();
    }
    let half = BigRational::new(BigInt::from(1), BigInt::from(2));
    (bought * fraction(&entry["coins"]) + half).floor().to_integer().to_i64().unwrap()
}

/// How many jobs of a sort came out proved, by kind of cuts and budget.
type Proved = BTreeMap<(&'static str, Budget), usize>;

/// Holds how many were proved, at the usual budget and thorough, against what was measured once.
fn at_least(proved: &Proved, name: &str, least: [usize; 2]) {
    let found =
        BUDGETS.map(|budget| proved.iter().find(|(key, _)| **key == (name, budget)).map_or(0, |one| *one.1));
    assert!(found.iter().zip(&least).all(|(found, least)| found >= least), "{name} {found:?} {least:?}");
}

/// Plans all jobs of a sort, and holds bound, plan and proof against the optimum.
fn proved(sort: &str) -> (Proved, usize) {
    let mut proved = Proved::new();
    let entries = entries(sort);
    for entry in &entries {
        let grid = grid(entry);
        let job = job(entry, &grid);
        let price = |length: i128| roll_cost(entry, &grid, length);
        for (kind, name) in KINDS {
            let optimum = &entry["optimum"][name];
            for budget in BUDGETS {
                let id = format!("{} {name} {budget:?}", entry["id"]);
                let made = match sort {
                    "mixed" => cheapest(&job, None, &price, kind, budget, &|| false),
                    _ => plan(&job, kind, budget),
                };
                let sum = proved.entry((name, budget)).or_default();
                if optimum.is_null() {
                    // That no cloth holds them all is no proof of the planner's.
                    assert!(matches!(made, Err(Misfit::NoRoom { .. } | Misfit::TooWide { .. })), "{id}");
                    *sum += 1;
                    continue;
                }
                let made = made.unwrap();
                match sort {
                    "mixed" => check_cost(&job, &price, &made).unwrap(),
                    _ => check(&job, &made).unwrap(),
                }
                let (reached, least) = match sort {
                    "roll" => (made.length, whole(optimum, &grid)),
                    _ => (i128::from(made.cost), i128::from(optimum.as_i64().unwrap())),
                };
                assert!(made.bound <= least && least <= reached, "{id}: {} {least} {reached}", made.bound);
                assert!(!made.proved || reached == least, "{id}: {least} is less than {reached}");
                *sum += usize::from(made.proved);
            }
        }
    }
    (proved, entries.len())
}

#[test]
fn on_a_roll_no_bound_is_above_the_optimum() {
    let (proved, all) = proved("roll");
    assert_eq!(all, 24);
    at_least(&proved, "strips", [24, 24]);
    at_least(&proved, "edge", [24, 24]);
    at_least(&proved, "any", [21, 22]);
}

#[test]
fn cloths_sold_by_the_piece_come_out_at_the_least_cost() {
    let (proved, all) = proved("sheets");
    assert_eq!(all, 40);
    at_least(&proved, "strips", [40, 40]);
    at_least(&proved, "edge", [40, 40]);
    at_least(&proved, "any", [39, 39]);
}

#[test]
fn the_roll_and_cloth_in_hand_come_out_at_the_least_cost() {
    let (proved, all) = proved("mixed");
    assert_eq!(all, 32);
    at_least(&proved, "strips", [32, 32]);
    at_least(&proved, "edge", [32, 32]);
    at_least(&proved, "any", [30, 30]);
}

#[test]
fn lengths_and_joined_lengths_take_the_fewest_strips() {
    for sort in ["lengths", "joined"] {
        let mut proved = Proved::new();
        let entries = entries(sort);
        for entry in &entries {
            let grid = grid(entry);
            let length_of = |value: &Value| i64::try_from(whole(value, &grid)).unwrap();
            let length = |row: &Value| Length { count: row[0].as_u64().unwrap(), length: length_of(&row[1]) };
            let join = |loss| Join { loss: length_of(loss), shortest: length_of(&entry["shortest"]) };
            let job = Lengths {
                strip: length_of(&entry["strip"]),
                hand: rows(entry, "hand").map(length).collect(),
                wanted: rows(entry, "wanted").map(length).collect(),
                join: entry.get("loss").map(join),
            };
            let fewest = entry["optimum"].as_u64().unwrap();
            for budget in BUDGETS {
                let made = lengths(&job, budget).unwrap();
                assert_eq!(check_lengths(&job, &made), Ok(()));
                let id = &entry["id"];
                assert!(made.bound <= fewest && fewest <= made.strips, "{id}: {made:?} {fewest}");
                *proved.entry((sort, budget)).or_default() += usize::from(made.proved);
            }
        }
        assert_eq!(entries.len(), 16);
        at_least(&proved, sort, [16, 16]);
    }
}
