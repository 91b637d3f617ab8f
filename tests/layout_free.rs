//! Plans of pieces that lie anyhow.
#![allow(clippy::unwrap_used)] // a plan that is wrong is a test that fails

#[path = "common/pieces.rs"]
mod pieces;

use pieces::{fixed, roll, turnable};
use proptest::prelude::*;
use scant::layout::{Budget, Job, Kind, Piece, Plan, check, plan};

fn free(job: &Job, budget: u64) -> Plan {
    let plan = plan(job, Kind::Any, Budget(budget)).unwrap();
    check(job, &plan).unwrap();
    plan
}

#[test]
fn pieces_lie_around_a_square() {
    // No cut from edge to edge frees any of these.
    let job = roll(5, vec![fixed(2, 3, 2), fixed(2, 2, 3), fixed(1, 1, 1)]);
    assert_eq!(free(&job, 100_000).length, 5);
}

#[test]
fn a_plan_without_waste_is_found() {
    let job = roll(320, vec![turnable(24, 28, 100), turnable(24, 28, 52), turnable(12, 52, 52)]);
    assert!(free(&job, 1_000_000).length <= 428);
    let job = roll(336, vec![turnable(20, 68, 68), turnable(31, 20, 68), turnable(12, 20, 20)]);
    assert_eq!(free(&job, 300_000).length, 420);
}

#[test]
fn a_plan_is_the_same_each_time() {
    let job = roll(280, vec![turnable(6, 96, 96), turnable(12, 96, 66), turnable(18, 12, 28)]);
    assert_eq!(free(&job, 50_000), free(&job, 50_000));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn more_work_never_lengthens_a_plan(
        pieces in prop::collection::vec((1u64..8, 1i128..60, 1i128..60, any::<bool>()), 1..6),
    ) {
        let piece = |(count, across, along, may_turn)| Piece { count, across, along, may_turn, by_selvage: false };
        let job = roll(60, pieces.into_iter().map(piece).collect());
        let mut last = i128::MAX;
        for budget in [0, 1, 1_000, 20_000, 60_000] {
            let plan = free(&job, budget);
            prop_assert!(plan.length <= last);
            last = plan.length;
        }
    }
}
