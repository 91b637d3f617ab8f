//! Simple strips against a checker that shares nothing with the planner.
#![allow(clippy::unwrap_used, clippy::panic)] // a plan that is wrong is a test that fails

use proptest::prelude::*;
use scant::layout::{Held, Job, Misfit, Piece, Plan, Strip, plan};

fn piece(count: u64, across: i64, along: i64) -> Piece {
    Piece { count, across, along, may_turn: false }
}

fn turnable(count: u64, across: i64, along: i64) -> Piece {
    Piece { may_turn: true, ..piece(count, across, along) }
}

/// Every piece is there, lies on the cloth and in its strip, and the length is that of the strips.
fn check(job: &Job, plan: &Plan) -> Result<(), String> {
    let mut got = vec![0u128; job.pieces.len()];
    let mut length = 0i128;
    for strip in &plan.strips {
        let mut width = 0i128;
        let mut highest = 0i128;
        if strip.count == 0 || strip.holds.is_empty() {
            return Err(format!("an empty strip: {strip:?}"));
        }
        for held in &strip.holds {
            let piece = job.pieces.get(held.piece).ok_or("a piece that nobody asked for")?;
            if held.count == 0 || (held.turned && !piece.may_turn) {
                return Err(format!("{held:?} cannot be"));
            }
            let (mut across, mut along) = (i128::from(piece.across), i128::from(piece.along));
            if held.turned {
                std::mem::swap(&mut across, &mut along);
            }
            width += across * i128::from(held.count);
            highest = highest.max(along);
            got[held.piece] += u128::from(held.count) * u128::from(strip.count);
        }
        if width > i128::from(job.width) {
            return Err(format!("{width} across on cloth of {}", job.width));
        }
        if highest != i128::from(strip.height) {
            return Err(format!("a strip of {} whose highest piece is {highest}", strip.height));
        }
        length += i128::from(strip.height) * i128::from(strip.count);
    }
    for (piece, got) in job.pieces.iter().zip(&got) {
        if u128::from(piece.count) != *got {
            return Err(format!("{got} of {piece:?}"));
        }
    }
    if length != i128::from(plan.length) {
        return Err(format!("{} told, {length} taken", plan.length));
    }
    Ok(())
}

/// No plan can be shorter than the pieces' area over the width.
fn area_bound(job: &Job) -> i128 {
    let area = |p: &Piece| i128::from(p.count) * i128::from(p.across) * i128::from(p.along);
    let total: i128 = job.pieces.iter().map(area).sum();
    let width = i128::from(job.width);
    (total + width - 1) / width
}

#[test]
fn an_exact_fit_counts() {
    let job = Job { width: 54, pieces: vec![piece(6, 9, 5)] };
    let strips = vec![Strip { count: 1, height: 5, holds: vec![Held { piece: 0, count: 6, turned: false }] }];
    assert_eq!(plan(&job).unwrap(), Plan { strips, length: 5 });
}

#[test]
fn lower_pieces_share_a_strip() {
    let job = Job { width: 54, pieces: vec![piece(1, 20, 10), piece(3, 17, 8)] };
    let plan = plan(&job).unwrap();
    check(&job, &plan).unwrap();
    assert_eq!(plan.length, 18);
    assert_eq!(plan.strips[0].holds.len(), 2);
}

#[test]
fn a_piece_is_turned_only_where_that_saves_cloth() {
    let job = Job { width: 54, pieces: vec![turnable(3, 18, 10)] };
    assert!(!plan(&job).unwrap().strips[0].holds[0].turned);
    let job = Job { width: 54, pieces: vec![turnable(1, 10, 50)] };
    let plan = plan(&job).unwrap();
    assert!(plan.strips[0].holds[0].turned);
    assert_eq!(plan.length, 10);
}

#[test]
fn a_piece_wider_than_the_cloth_is_named() {
    let job = Job { width: 54, pieces: vec![piece(1, 10, 10), piece(2, 55, 10)] };
    assert_eq!(plan(&job), Err(Misfit::TooWide { piece: 1 }));
    let turned = Job { width: 54, pieces: vec![turnable(2, 55, 10)] };
    assert_eq!(plan(&turned).unwrap().length, 55);
    let none = Job { width: 0, pieces: vec![piece(1, 1, 1)] };
    assert_eq!(plan(&none).unwrap_err().piece(), 0);
}

#[test]
fn nothing_to_cut_takes_no_cloth() {
    assert_eq!(plan(&Job::default()).unwrap(), Plan::default());
    let job = Job { width: 10, pieces: vec![piece(0, 99, 99)] };
    assert_eq!(plan(&job).unwrap(), Plan::default());
}

#[test]
fn a_million_million_pieces_cost_no_more_than_one() {
    let n = 1_000_000_000_000;
    let job = Job { width: 1000, pieces: vec![turnable(n, 7, 9), piece(n + 1, 333, 4), turnable(n, 1, 1)] };
    let plan = plan(&job).unwrap();
    check(&job, &plan).unwrap();
    assert!(plan.strips.len() < 20);
}

#[test]
fn a_length_past_counting_is_told() {
    let job = Job { width: i64::MAX, pieces: vec![piece(u64::MAX, i64::MAX, i64::MAX)] };
    assert_eq!(plan(&job), Err(Misfit::TooMuch { piece: 0 }));
    let odd = Job { width: i64::MIN, pieces: vec![piece(1, i64::MIN, i64::MIN)] };
    assert!(plan(&odd).is_err());
}

#[test]
fn a_very_long_cut_list_is_planned_in_bounded_time() {
    let pieces = (0..20_000)
        .map(|n| turnable(1 + n % 3, 1000 + (n as i64 * 7919) % 9000, 500 + (n as i64 * 104_729) % 9000));
    let job = Job { width: 20_000, pieces: pieces.collect() };
    check(&job, &plan(&job).unwrap()).unwrap();
}

prop_compose! {
    fn some_piece()(count in 0u64..40, across in 1i64..120, along in 1i64..120, may_turn: bool) -> Piece {
        Piece { count, across, along, may_turn }
    }
}

proptest! {
    #[test]
    fn every_plan_holds_what_was_asked(width in 1i64..200, pieces in prop::collection::vec(some_piece(), 0..14)) {
        let job = Job { width, pieces };
        match plan(&job) {
            Ok(plan) => {
                prop_assert_eq!(check(&job, &plan), Ok(()));
                prop_assert!(i128::from(plan.length) >= area_bound(&job));
            }
            Err(misfit) => {
                let piece = &job.pieces[misfit.piece()];
                prop_assert!(piece.across > width && (!piece.may_turn || piece.along > width) && piece.count > 0);
            }
        }
    }

    #[test]
    fn no_numbers_make_a_panic(
        width: i64,
        pieces in prop::collection::vec((any::<u64>(), any::<i64>(), any::<i64>(), any::<bool>()), 0..6),
    ) {
        let pieces = pieces.into_iter().map(|(count, across, along, may_turn)| Piece { count, across, along, may_turn });
        let _ = plan(&Job { width, pieces: pieces.collect() });
    }
}
