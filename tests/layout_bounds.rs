//! Bounds of cutting plans: never above what brute force reaches, and as high as is known.
#![allow(clippy::unwrap_used)] // a plan that is wrong is a test that fails

#[path = "common/pieces.rs"]
mod pieces;

use pieces::{fixed, roll, turnable};
use proptest::prelude::*;
use scant::layout::{Budget, Job, Kind, Piece, plan};

/// The shortest length for a few small pieces, by trying every place for each: cells of the cloth
/// are filled from the near end, each by a piece or by nothing.
fn shortest(width: usize, pieces: &[Piece]) -> i128 {
    let area: i128 = pieces.iter().map(|p| p.count as i128 * p.across * p.along).sum();
    let mut length = ((area + width as i128 - 1) / width as i128).max(1) as usize;
    loop {
        let mut left: Vec<u64> = pieces.iter().map(|p| p.count).collect();
        let spare = (width * length) as i128 - area;
        let mut cells = vec![false; width * length];
        if fills(width, pieces, &mut left, &mut cells, spare) {
            return length as i128;
        }
        length += 1;
    }
}

fn fills(width: usize, pieces: &[Piece], left: &mut [u64], cells: &mut [bool], spare: i128) -> bool {
    if left.iter().all(|left| *left == 0) {
        return true;
    }
    let Some(first) = cells.iter().position(|cell| !cell) else { return false };
    let (x, y) = (first % width, first / width);
    for at in 0..pieces.len() {
        for turned in [false, true] {
            if left[at] == 0 || (turned && !pieces[at].may_turn) {
                continue;
            }
            let (across, along) = pieces[at].lies(turned);
            let (across, along) = (across as usize, along as usize);
            let fits = x + across <= width
                && (y + along) * width <= cells.len()
                && (y..y + along).all(|y| (x..x + across).all(|x| !cells[y * width + x]));
            if !fits {
                continue;
            }
            let mut set = |value: bool| {
                (y..y + along).for_each(|y| (x..x + across).for_each(|x| cells[y * width + x] = value));
            };
            set(true);
            left[at] -= 1;
            if fills(width, pieces, left, cells, spare) {
                return true;
            }
            left[at] += 1;
            let mut set = |value: bool| {
                (y..y + along).for_each(|y| (x..x + across).for_each(|x| cells[y * width + x] = value));
            };
            set(false);
        }
    }
    // Nothing lies at this cell.
    if spare == 0 {
        return false;
    }
    cells[first] = true;
    let found = fills(width, pieces, left, cells, spare - 1);
    cells[first] = false;
    found
}

prop_compose! {
    fn tiny()(
        width in 3i128..8,
    )(
        pieces in prop::collection::vec((1u64..3, 1..=width, 1i128..6, any::<bool>()), 1..4),
        width in Just(width),
    ) -> Job {
        let piece = |(count, across, along, may_turn)| Piece { count, across, along, may_turn, by_selvage: false };
        roll(width, pieces.into_iter().map(piece).collect())
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    #[test]
    fn no_bound_is_above_the_best_plan(job in tiny()) {
        let best = shortest(job.roll.unwrap() as usize, &job.pieces);
        for kind in [Kind::EdgeToEdge, Kind::Any] {
            let plan = plan(&job, kind, Budget::QUICK).unwrap();
            prop_assert!(plan.length >= best);
            if kind == Kind::Any {
                prop_assert!(plan.bound <= best, "bound {} above {best}", plan.bound);
                prop_assert_eq!(plan.length, best);
            }
        }
    }

    #[test]
    fn bounds_hold_for_large_numbers_as_for_small(
        pieces in prop::collection::vec((1u64..6, 1i128..40, 1i128..40, any::<bool>()), 1..6),
        times in prop::sample::select(vec![1i128, 1000, 1 << 40]),
    ) {
        let job = |times: i128| {
            let piece = |(count, across, along, may_turn): (u64, i128, i128, bool)| {
                Piece { count, across: across * times, along: along * times, may_turn, by_selvage: false }
            };
            roll(40 * times, pieces.iter().copied().map(piece).collect())
        };
        let small = plan(&job(1), Kind::Any, Budget::QUICK).unwrap();
        let large = plan(&job(times), Kind::Any, Budget::QUICK).unwrap();
        prop_assert!(large.bound <= small.length * times);
    }
}

#[test]
fn bounds_see_what_cannot_lie_side_by_side() {
    let bound = |job: &Job| plan(job, Kind::Any, Budget::USUAL).unwrap().bound;
    // Each pair of these is wider together than the cloth.
    assert_eq!(bound(&roll(10, vec![fixed(3, 6, 5), fixed(2, 6, 7)])), 29);
    // Nine pieces, two side by side.
    assert_eq!(bound(&roll(220, vec![fixed(9, 104, 148)])), 740);
    // A long piece that cannot turn.
    assert_eq!(bound(&roll(50, vec![fixed(1, 5, 90), turnable(4, 5, 60)])), 90);
    // Squares of 6 on a cloth of 11, however they are dealt out.
    assert_eq!(bound(&roll(11, vec![turnable(7, 6, 6)])), 42);
}

#[test]
fn bounds_for_jobs_of_a_sewing_room() {
    let job = roll(
        432,
        vec![
            fixed(4, 152, 152),
            fixed(8, 152, 108),
            fixed(2, 136, 136),
            fixed(4, 136, 98),
            fixed(1, 256, 160),
            fixed(2, 64, 64),
        ],
    );
    assert_eq!(plan(&job, Kind::Any, Budget::USUAL).unwrap().bound, 984);
    let job = roll(220, vec![fixed(9, 104, 148), turnable(9, 6, 24), turnable(8, 44, 44)]);
    assert_eq!(plan(&job, Kind::Any, Budget::USUAL).unwrap().bound, 768);
    let job = roll(320, vec![turnable(24, 28, 100), turnable(24, 28, 52), turnable(12, 52, 52)]);
    assert_eq!(plan(&job, Kind::Any, Budget::USUAL).unwrap().bound, 424);
}
