//! Cutting plans on jobs of every kind, each gone through by the checker.
#![allow(clippy::unwrap_used, clippy::panic)] // a plan that is wrong is a test that fails

#[path = "common/pieces.rs"]
mod pieces;

use pieces::{fixed, roll, turnable};
use proptest::prelude::*;
use scant::layout::{Budget, Job, Kind, Misfit, Piece, Plan, Sheet, check, plan};

const KINDS: [Kind; 3] = [Kind::Strips, Kind::EdgeToEdge, Kind::Any];

/// A plan that the checker has gone through.
fn checked(job: &Job, kind: Kind) -> Plan {
    let plan = plan(job, kind, Budget::QUICK).unwrap();
    check(job, &plan).unwrap();
    plan
}

/// No plan can be shorter than the pieces' area over the width.
fn area_bound(job: &Job) -> i128 {
    let area = |p: &Piece| i128::from(p.count) * p.across * p.along;
    let total: i128 = job.pieces.iter().map(area).sum();
    let width = job.roll.unwrap();
    (total + width - 1) / width
}

#[test]
fn an_exact_fit_counts() {
    for kind in KINDS {
        let plan = checked(&roll(54, vec![fixed(6, 9, 5)]), kind);
        assert_eq!((plan.length, plan.proved), (5, true));
    }
}

#[test]
fn lower_pieces_share_a_strip() {
    let job = roll(54, vec![fixed(1, 20, 10), fixed(3, 17, 8)]);
    assert_eq!(checked(&job, Kind::Strips).length, 18);
}

#[test]
fn a_piece_is_turned_only_where_that_saves_cloth() {
    let job = roll(54, vec![turnable(3, 18, 10)]);
    let plan = checked(&job, Kind::Strips);
    assert!(plan.spreads[0].placed(9).iter().all(|placed| !placed.turned));
    let job = roll(54, vec![turnable(1, 10, 50)]);
    let plan = checked(&job, Kind::Strips);
    assert!(plan.spreads[0].placed(9)[0].turned);
    assert_eq!(plan.length, 10);
}

#[test]
fn a_piece_wider_than_the_cloth_is_named() {
    for kind in KINDS {
        let job = roll(54, vec![fixed(1, 10, 10), fixed(2, 55, 10)]);
        assert_eq!(plan(&job, kind, Budget::QUICK), Err(Misfit::TooWide { piece: 1 }));
        assert_eq!(checked(&roll(54, vec![turnable(2, 55, 10)]), kind).length, 55);
        let none = roll(0, vec![fixed(1, 1, 1)]);
        assert_eq!(plan(&none, kind, Budget::QUICK).unwrap_err().piece(), 0);
    }
}

#[test]
fn nothing_to_cut_takes_no_cloth() {
    for kind in KINDS {
        assert_eq!(checked(&roll(10, Vec::new()), kind).length, 0);
        assert_eq!(checked(&roll(10, vec![fixed(0, 99, 99)]), kind).spreads, Vec::new());
        assert_eq!(checked(&Job::default(), kind).length, 0);
    }
}

#[test]
fn a_million_million_pieces_cost_no_more_than_one() {
    let n = 1_000_000_000_000;
    let job = roll(1000, vec![turnable(n, 7, 9), fixed(n + 1, 333, 4), turnable(n, 1, 1)]);
    for kind in KINDS {
        checked(&job, kind);
    }
}

#[test]
fn a_length_past_counting_is_told() {
    for kind in KINDS {
        let job = roll(i128::MAX, vec![fixed(u64::MAX, i128::MAX, i128::MAX)]);
        assert_eq!(plan(&job, kind, Budget::QUICK), Err(Misfit::TooMuch { piece: 0 }));
        let odd = roll(i128::MIN, vec![fixed(1, i128::MIN, i128::MIN)]);
        assert!(plan(&odd, kind, Budget::QUICK).is_err());
    }
}

#[test]
fn a_very_long_cut_list_is_planned_in_bounded_work() {
    let pieces = (0..10_000)
        .map(|n| turnable(1 + n % 3, 1000 + (n as i128 * 7919) % 9000, 500 + (n as i128 * 104_729) % 9000));
    let job = roll(20_000, pieces.collect());
    for kind in KINDS {
        checked(&job, kind);
    }
}

#[test]
fn long_borders_come_off_along_the_selvage() {
    let border = Piece { by_selvage: true, ..fixed(2, 5, 90) };
    let job = roll(54, vec![turnable(12, 11, 11), border]);
    for kind in KINDS {
        let plan = checked(&job, kind);
        assert_eq!(plan.length, 90);
    }
}

#[test]
fn what_is_left_lies_beside_the_borders_and_after_them() {
    // A strap of 10 by 60 leaves room for two rows of four 11s; the others want the whole width.
    let strap = Piece { by_selvage: true, ..fixed(1, 10, 60) };
    let job = roll(54, vec![fixed(12, 11, 30), fixed(2, 50, 20), strap]);
    for kind in KINDS {
        let plan = checked(&job, kind);
        assert_eq!(plan.length, 60 + 30 + 40, "{kind:?}");
    }
}

#[test]
fn borders_do_not_hide_that_nothing_lies_side_by_side() {
    let strap = Piece { by_selvage: true, ..fixed(2, 2, 70) };
    let job = roll(27, vec![strap, fixed(3, 14, 48), fixed(12, 18, 18)]);
    for kind in KINDS {
        let plan = checked(&job, kind);
        assert_eq!((plan.length, plan.bound, plan.proved), (360, 360, true), "{kind:?}");
    }
}

prop_compose! {
    fn some_piece()(
        count in 0u64..12,
        across in 1i128..120,
        along in 1i128..120,
        may_turn: bool,
        by_selvage in prop::bool::weighted(0.1),
    ) -> Piece {
        Piece { count, across, along, may_turn, by_selvage }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]
    #[test]
    fn every_plan_holds_what_was_asked(
        width in 1i128..200,
        pieces in prop::collection::vec(some_piece(), 0..9),
        which in 0usize..3,
    ) {
        let job = roll(width, pieces);
        match plan(&job, KINDS[which], Budget(10_000)) {
            Ok(plan) => {
                prop_assert_eq!(check(&job, &plan), Ok(()));
                prop_assert!(plan.length >= area_bound(&job));
                prop_assert!(plan.proved == (plan.bound == plan.length));
            }
            Err(misfit) => {
                let piece = &job.pieces[misfit.piece()];
                prop_assert!(piece.count > 0);
                prop_assert!(piece.by_selvage || (piece.across > width && (!piece.may_turn || piece.along > width)));
            }
        }
    }

    #[test]
    fn no_numbers_make_a_panic(
        width: i128,
        pieces in prop::collection::vec(
            (any::<u64>(), any::<i128>(), any::<i128>(), any::<bool>(), any::<bool>()),
            0..6,
        ),
        sheets in prop::collection::vec((any::<u64>(), any::<i128>(), any::<i128>(), any::<i64>()), 0..3),
        which in 0usize..3,
    ) {
        let pieces = pieces
            .into_iter()
            .map(|(count, across, along, may_turn, by_selvage)| Piece { count, across, along, may_turn, by_selvage });
        let sheets =
            sheets.into_iter().map(|(count, across, along, cost)| Sheet { count, across, along, cost });
        let job = Job { roll: Some(width), sheets: sheets.collect(), pieces: pieces.collect() };
        let _ = plan(&job, KINDS[which], Budget(10_000));
    }
}

/// A strap of all of the cloth that it needs, and another piece over the whole width after it.
#[test]
fn a_short_strap_is_cut_first_before_a_piece_of_the_whole_width() {
    let strap = Piece { by_selvage: true, ..fixed(1, 1, 1) };
    let job = roll(58, vec![strap, fixed(1, 58, 1)]);
    for kind in KINDS {
        let plan = checked(&job, kind);
        assert_eq!((plan.length, plan.proved), (2, true), "{kind:?}");
    }
}
