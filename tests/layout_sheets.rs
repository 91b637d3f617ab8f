//! Cloth of a fixed size: pieces in hand before the roll, and cloth sold by the piece.
#![allow(clippy::unwrap_used, clippy::panic)] // a plan that is wrong is a test that fails

#[path = "common/pieces.rs"]
mod pieces;

use pieces::{fixed, turnable};
use proptest::prelude::*;
use scant::layout::{Budget, Job, Kind, Misfit, Piece, Plan, Sheet};
use scant::layout::{cheapest, check, check_cost, how_many_more, plan};

const KINDS: [Kind; 3] = [Kind::Strips, Kind::EdgeToEdge, Kind::Any];

fn hand(count: u64, across: i128, along: i128) -> Sheet {
    Sheet { count, across, along, cost: 0 }
}

fn checked(job: &Job, kind: Kind) -> Plan {
    let plan = plan(job, kind, Budget::QUICK).unwrap();
    check(job, &plan).unwrap();
    plan
}

#[test]
fn cloth_in_hand_comes_first() {
    for kind in KINDS {
        let pieces = vec![fixed(4, 18, 18), fixed(2, 10, 18)];
        let job = Job { roll: Some(54), sheets: vec![hand(1, 20, 40)], pieces };
        let plan = checked(&job, kind);
        assert_eq!((plan.length, plan.proved), (18, true));
        assert_eq!(plan.spreads[0].sheet, Some(0));
        assert_eq!(plan.spreads[0].placed(9).len(), 3);
    }
}

#[test]
fn cloth_in_hand_that_saves_nothing_stays_whole() {
    for kind in KINDS {
        let job = Job { roll: Some(54), sheets: vec![hand(1, 9, 9)], pieces: vec![fixed(5, 10, 10)] };
        let plan = checked(&job, kind);
        assert_eq!((plan.spreads.len(), plan.length), (1, 10));
    }
}

#[test]
fn cloth_in_hand_can_be_all_that_is_needed() {
    for kind in KINDS {
        let job = Job { roll: Some(54), sheets: vec![hand(3, 20, 20)], pieces: vec![fixed(3, 20, 20)] };
        let plan = checked(&job, kind);
        assert_eq!((plan.length, plan.spreads[0].count, plan.proved), (0, 3, true));
    }
}

#[test]
fn the_cheapest_cloths_are_chosen() {
    let sheets = vec![
        Sheet { count: 9, across: 20, along: 20, cost: 7 },
        Sheet { count: 9, across: 40, along: 20, cost: 9 },
    ];
    for kind in KINDS {
        let job = Job { roll: None, sheets: sheets.clone(), pieces: vec![fixed(3, 20, 20)] };
        let plan = checked(&job, kind);
        assert_eq!((plan.cost, plan.bound, plan.proved), (16, 16, true));
    }
}

#[test]
fn pieces_that_one_cloth_holds_are_not_proved_to_need_two() {
    // A gap beneath one piece and left of a higher one is part of every layout.
    let sides = [(5, 4), (5, 4), (2, 5), (2, 5), (1, 4), (4, 5), (4, 1)];
    let pieces = sides.map(|(across, along)| fixed(1, across, along)).to_vec();
    let sheet = |count, cost| Sheet { count, across: 11, along: 9, cost };
    let job = Job { roll: None, sheets: vec![sheet(1, 1), sheet(9, 10)], pieces };
    let plan = plan(&job, Kind::Any, Budget::USUAL).unwrap();
    check(&job, &plan).unwrap();
    assert_eq!((plan.cost, plan.bound, plan.proved), (1, 1, true));
}

#[test]
fn what_finds_no_place_is_told() {
    for kind in KINDS {
        let sheets = vec![hand(1, 30, 30)];
        let large = Job { roll: None, sheets: sheets.clone(), pieces: vec![fixed(1, 9, 9), fixed(1, 31, 2)] };
        assert_eq!(plan(&large, kind, Budget::QUICK), Err(Misfit::TooWide { piece: 1 }));
        let many = Job { roll: None, sheets, pieces: vec![fixed(10, 10, 10)] };
        assert_eq!(plan(&many, kind, Budget::QUICK), Err(Misfit::NoRoom { left: vec![(0, 1)] }));
    }
}

#[test]
fn half_width_cuts_for_a_throw() {
    // tests/outside/cutting, sewing-30: the least area known is nine half-width cuts.
    let cut = |across: i64, along: i64| Sheet {
        count: 30,
        across: across.into(),
        along: along.into(),
        cost: across * along,
    };
    let pieces = vec![turnable(16, 68, 68), turnable(40, 20, 68), turnable(36, 36, 36), turnable(40, 20, 20)];
    let job = Job { roll: None, sheets: vec![cut(168, 144), cut(336, 72)], pieces };
    for kind in KINDS {
        let plan = plan(&job, kind, Budget::USUAL).unwrap();
        check(&job, &plan).unwrap();
        assert!(plan.cost <= 217_728, "{kind:?} {}", plan.cost);
        assert!((193_536..=217_728).contains(&plan.bound), "{kind:?} {}", plan.bound);
    }
}

#[test]
fn a_million_million_cloths_cost_no_more_than_one() {
    let n = 1_000_000_000_000;
    for kind in KINDS {
        let job = Job {
            roll: None,
            sheets: vec![hand(n, 100, 100)],
            pieces: vec![fixed(n, 30, 40), fixed(n, 9, 9)],
        };
        checked(&job, kind);
    }
}

#[test]
fn more_of_a_piece_fit_until_the_cloth_is_full() {
    for kind in KINDS {
        let job =
            Job { roll: Some(54), sheets: Vec::new(), pieces: vec![fixed(2, 18, 18), turnable(3, 9, 6)] };
        let more = how_many_more(&job, None, 1, 36, kind, Budget::USUAL, &|| false).unwrap().unwrap();
        assert_eq!(
            check(
                &Job { pieces: vec![fixed(2, 18, 18), turnable(3 + more.count, 9, 6)], ..job.clone() },
                &more.plan
            ),
            Ok(())
        );
        // A strip of two squares has room for two more, and a strip of 18 by 6 holds 18.
        assert!(more.count >= 2 + 18 - 3, "{kind:?} {}", more.count);
        assert!(more.count <= more.at_most);
        assert_eq!(how_many_more(&job, None, 0, 17, kind, Budget::USUAL, &|| false), Ok(None));
    }
}

#[test]
fn more_of_a_piece_fit_into_what_is_in_hand() {
    for kind in KINDS {
        let job = Job { roll: None, sheets: vec![hand(2, 40, 40)], pieces: vec![fixed(5, 20, 20)] };
        let more = how_many_more(&job, None, 0, 0, kind, Budget::USUAL, &|| false).unwrap().unwrap();
        assert_eq!((more.count, more.at_most), (3, 3));
    }
}

#[test]
fn six_napkins_come_from_a_cheap_roll_and_not_from_dear_squares() {
    let sheets = vec![Sheet { count: 30, across: 160, along: 160, cost: 4000 }];
    let job = Job { roll: Some(432), sheets, pieces: vec![fixed(6, 144, 144)] };
    // 2 EUR a yard of 288 eighths of an inch, sold by eighths of a yard.
    let price = |length: i128| i64::try_from((length + 35) / 36 * 25).unwrap();
    for kind in KINDS {
        let plan = cheapest(&job, None, &price, kind, Budget::QUICK, &|| false).unwrap();
        check_cost(&job, &price, &plan).unwrap();
        assert_eq!((plan.length, plan.cost, plan.proved), (288, 200, true));
        let dear = |length: i128| price(length) * 200;
        let plan = cheapest(&job, None, &dear, kind, Budget::QUICK, &|| false).unwrap();
        check_cost(&job, &dear, &plan).unwrap();
        // A strip of three is 12 500 and three squares are 12 000: none of the roll.
        assert_eq!((plan.length, plan.cost, plan.proved), (0, 24_000, true));
    }
}

/// Pieces of many kinds on cloths of three sizes, by a little generator of its own.
fn many(seed: u64, kinds: usize, roll: Option<i128>) -> Job {
    let mut state = seed;
    let mut draw = |low: i128, high: i128| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        low + i128::from(state >> 33) % (high - low + 1)
    };
    let sheets = [(36, 44), (28, 60), (54, 40)].map(|(across, along)| {
        let cost = i64::try_from(across * along * draw(80, 120) / 1000).unwrap();
        Sheet { count: 20, across, along, cost }
    });
    let pieces = (0..kinds).map(|_| Piece {
        count: u64::try_from(draw(1, 6)).unwrap(),
        across: draw(5, 22),
        along: draw(5, 22),
        may_turn: draw(0, 1) == 1,
        by_selvage: false,
    });
    Job { roll, sheets: sheets.to_vec(), pieces: pieces.collect() }
}

#[test]
fn a_freer_kind_never_costs_more_at_any_budget() {
    let price = |length: i128| i64::try_from((length + 4) / 5 * 23).unwrap();
    for seed in 0..6 {
        let roll = (seed % 2 == 1).then_some(60);
        let job = many(seed, 6 + 3 * usize::try_from(seed).unwrap(), roll);
        for budget in [Budget(0), Budget(5_000), Budget::QUICK, Budget(400_000)] {
            let mut before = i64::MAX;
            for kind in KINDS {
                let made = match roll {
                    Some(_) => {
                        let made = cheapest(&job, None, &price, kind, budget, &|| false).unwrap();
                        check_cost(&job, &price, &made).unwrap();
                        made
                    }
                    None => {
                        let made = plan(&job, kind, budget).unwrap();
                        check(&job, &made).unwrap();
                        made
                    }
                };
                assert!(made.cost <= before, "{seed} {kind:?} {budget:?}: {} after {before}", made.cost);
                before = made.cost;
            }
        }
    }
}

prop_compose! {
    fn some_piece()(count in 0u64..12, across in 1i128..80, along in 1i128..80, may_turn: bool) -> Piece {
        Piece { count, across, along, may_turn, by_selvage: false }
    }
}

prop_compose! {
    fn some_sheet()(count in 0u64..3, across in 1i128..120, along in 1i128..120, cost in 0i64..9) -> Sheet {
        Sheet { count, across, along, cost }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]
    #[test]
    fn sheets_before_the_roll_are_a_plan_and_never_take_more(
        width in 80i128..200,
        pieces in prop::collection::vec(some_piece(), 0..6),
        sheets in prop::collection::vec(some_sheet(), 0..4),
        which in 0usize..3,
    ) {
        let job = Job { roll: Some(width), sheets, pieces };
        let with = plan(&job, KINDS[which], Budget(2_000)).unwrap();
        prop_assert_eq!(check(&job, &with), Ok(()));
        let without = plan(&Job { sheets: Vec::new(), ..job.clone() }, KINDS[which], Budget(0)).unwrap();
        prop_assert!(with.length <= without.length);
    }

    #[test]
    fn sheets_alone_hold_all_or_tell(
        pieces in prop::collection::vec(some_piece(), 0..6),
        sheets in prop::collection::vec(some_sheet(), 0..4),
        which in 0usize..3,
    ) {
        let job = Job { roll: None, sheets, pieces };
        match plan(&job, KINDS[which], Budget(2_000)) {
            Ok(plan) => prop_assert_eq!(check(&job, &plan), Ok(())),
            Err(misfit) => prop_assert!(job.pieces[misfit.piece()].count > 0),
        }
    }
}

#[test]
fn freer_cuts_of_many_pieces_cost_less_than_strips() {
    // Fillings of whole cloths edge to edge; adding pieces to strips one by one came to no less than these.
    let sheet = |count: u64, across: i128, along: i128, cost: i64| Sheet { count, across, along, cost };
    let pieces = vec![
        turnable(17, 93, 155),
        turnable(17, 154, 83),
        fixed(17, 135, 99),
        turnable(17, 123, 122),
        turnable(17, 99, 88),
        turnable(17, 59, 199),
        turnable(17, 156, 155),
        turnable(17, 121, 146),
    ];
    let sheets = vec![sheet(200, 432, 288, 1250), sheet(200, 288, 216, 700), sheet(3, 400, 150, 300)];
    let job = Job { roll: None, sheets, pieces };
    let costs = KINDS.map(|kind| {
        let plan = plan(&job, kind, Budget::USUAL).unwrap();
        check(&job, &plan).unwrap();
        plan.cost
    });
    assert!(costs[0] <= 21_600 && costs[1] <= 21_000 && costs[2] <= costs[1], "{costs:?}");
}

/// A cloth cut up at random edge to edge, some of the parts pieces and the others left over.
fn cut_up(across: i128, along: i128, chances: &mut dyn Iterator<Item = u8>, pieces: &mut Vec<Piece>) {
    let mut next = || i128::from(chances.next().unwrap_or(0));
    let (what, place) = (next(), next());
    if what % 8 < 5 && across > 9 && along > 9 {
        let size = if what % 2 == 0 { across } else { along };
        let first = 4 + place % (size - 8);
        let (one, other) = match what % 2 {
            0 => ((first, along), (across - first, along)),
            _ => ((across, first), (across, along - first)),
        };
        cut_up(one.0, one.1, chances, pieces);
        cut_up(other.0, other.1, chances, pieces);
    } else if what % 8 < 7 {
        let (across, along) = if place % 2 == 0 { (across, along) } else { (along, across) };
        pieces.push(Piece { count: 1, across, along, may_turn: true, by_selvage: false });
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(if cfg!(debug_assertions) { 16 } else { 400 }))]

    /// Pieces that were cut from some cloths need no dearer ones: more kinds than are gone through choice by
    /// choice, so that the bound is that of dual prices.
    #[test]
    fn no_bound_is_above_the_cloths_that_pieces_were_cut_from(
        cloths in proptest::collection::vec(0usize..3, 2..6),
        chances in proptest::collection::vec(any::<u8>(), 120),
    ) {
        let sheets = vec![
            Sheet { count: 9, across: 60, along: 40, cost: 50 },
            Sheet { count: 9, across: 41, along: 37, cost: 33 },
            Sheet { count: 9, across: 90, along: 20, cost: 37 },
        ];
        let mut chances = chances.into_iter();
        let (mut pieces, mut cost) = (Vec::new(), 0);
        for at in cloths {
            let sheet = sheets[at];
            cut_up(sheet.across, sheet.along, &mut chances, &mut pieces);
            cost += sheet.cost;
        }
        let job = Job { roll: None, sheets, pieces };
        for kind in [Kind::EdgeToEdge, Kind::Any] {
            if let Ok(plan) = plan(&job, kind, Budget::QUICK) {
                check(&job, &plan).unwrap();
                prop_assert!(plan.bound <= i128::from(cost), "{kind:?} {} {cost}", plan.bound);
            }
        }
    }
}
