//! Plans cut from edge to edge.
#![allow(clippy::unwrap_used)] // a plan that is wrong is a test that fails

#[path = "common/pieces.rs"]
mod pieces;

use pieces::{fixed, roll, turnable};
use proptest::prelude::*;
use scant::layout::{Budget, Job, Kind, Piece, Plan, check, plan};

fn edge(job: &Job, budget: u64) -> Plan {
    let plan = plan(job, Kind::EdgeToEdge, Budget(budget)).unwrap();
    check(job, &plan).unwrap();
    plan
}

/// The shortest length for a few small pieces, by every cut: what can be cut from a rectangle is what
/// can be cut from two parts of it. Sets of pieces are bits.
struct Cuts<'a> {
    pieces: &'a [(i128, i128, bool)],
    known: std::collections::HashMap<(i128, i128, u32), bool>,
}

impl Cuts<'_> {
    fn holds(&mut self, across: i128, along: i128, set: u32) -> bool {
        if set == 0 {
            return true;
        }
        if set.count_ones() == 1 {
            let (a, b, turns) = self.pieces[set.trailing_zeros() as usize];
            return (a <= across && b <= along) || (turns && b <= across && a <= along);
        }
        if let Some(known) = self.known.get(&(across, along, set)) {
            return *known;
        }
        let mut found = false;
        let mut some = (set - 1) & set;
        while some != 0 && !found {
            found = (1..across)
                .any(|at| self.holds(at, along, some) && self.holds(across - at, along, set ^ some))
                || (1..along)
                    .any(|at| self.holds(across, at, some) && self.holds(across, along - at, set ^ some));
            some = (some - 1) & set;
        }
        self.known.insert((across, along, set), found);
        found
    }
}

fn shortest(width: i128, pieces: &[(i128, i128, bool)]) -> i128 {
    let mut cuts = Cuts { pieces, known: Default::default() };
    let all = (1u32 << pieces.len()) - 1;
    (1..).find(|along| cuts.holds(width, *along, all)).unwrap()
}

#[test]
fn what_lies_around_a_square_is_not_cut_edge_to_edge() {
    let job = roll(5, vec![fixed(2, 3, 2), fixed(2, 2, 3), fixed(1, 1, 1)]);
    assert_eq!(edge(&job, 100_000).length, 6);
}

#[test]
fn cuts_nest_deeper_than_strips() {
    // A column as high as the strip, and beside it pieces over each other in two ways.
    let job = roll(10, vec![fixed(1, 4, 10), fixed(2, 6, 3), fixed(3, 2, 4)]);
    assert_eq!(edge(&job, 100_000).length, 10);
    let strips = plan(&job, Kind::Strips, Budget(100_000)).unwrap();
    assert!(strips.length > 10);
}

#[test]
fn known_lengths_are_reached() {
    let job = roll(320, vec![turnable(24, 28, 100), turnable(24, 28, 52), turnable(12, 52, 52)]);
    assert!(edge(&job, 300_000).length <= 432);
    let job = roll(336, vec![turnable(20, 68, 68), turnable(31, 20, 68), turnable(12, 20, 20)]);
    assert!(edge(&job, 300_000).length <= 428);
}

#[test]
fn too_many_to_lay_one_by_one_lie_in_strips() {
    let n = 1_000_000_000_000;
    let job = roll(1000, vec![turnable(n, 7, 9), fixed(n, 333, 4)]);
    let strips = plan(&job, Kind::Strips, Budget(50_000)).unwrap();
    assert!(edge(&job, 50_000).length <= strips.length);
}

#[test]
fn a_long_cut_list_is_planned() {
    let pieces = (0..50).map(|n: i128| turnable(40, 20 + n * 37 % 90, 15 + n * 53 % 110));
    let job = roll(300, pieces.collect());
    assert!(edge(&job, 30_000).length >= edge(&job, 60_000).length);
}

#[test]
fn a_plan_is_the_same_each_time() {
    let job = roll(280, vec![turnable(6, 96, 96), turnable(12, 96, 66), turnable(18, 12, 28)]);
    assert_eq!(edge(&job, 50_000), edge(&job, 50_000));
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
            let plan = edge(&job, budget);
            prop_assert!(plan.length <= last);
            last = plan.length;
        }
    }

    #[test]
    fn small_jobs_are_cut_as_short_as_can_be(
        width in 5i128..9,
        sides in prop::collection::vec((1i128..6, 1i128..6, any::<bool>()), 1..6),
    ) {
        let piece = |side: &(i128, i128, bool)| Piece { may_turn: side.2, ..fixed(1, side.0, side.1) };
        let job = roll(width, sides.iter().map(piece).collect());
        let shortest = shortest(width, &sides);
        let found = edge(&job, 100_000);
        prop_assert!(found.bound <= shortest, "bound {} of {shortest}", found.bound);
        prop_assert!(found.length >= shortest, "{} below {shortest}", found.length);
        prop_assert!(found.length == shortest, "{} for {shortest}", found.length);
    }
}
