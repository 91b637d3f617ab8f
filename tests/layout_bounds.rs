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

/// Cuts a cloth up edge to edge, in equal parts or in two, and leaves some over.
fn cut_up(across: i128, along: i128, chances: &mut dyn Iterator<Item = u8>, pieces: &mut Vec<Piece>) {
    let mut chance = || i128::from(chances.next().unwrap_or(0));
    let lengthwise = if across == along { chance() % 2 == 0 } else { across > along };
    let side = if lengthwise { across } else { along };
    let (times, size) = match chance() {
        low if low < 60 || side < 4 => {
            let may_turn = low % 2 == 0;
            pieces.push(Piece { count: 1, across, along, may_turn, by_selvage: false });
            return;
        }
        low if low < 80 && across * along < 40 => return,
        low if low % 2 == 0 => (2 + low % 3, side / (2 + low % 3)),
        low => (1, 1 + low % (side - 1)),
    };
    let part = |size: i128| if lengthwise { (size, along) } else { (across, size) };
    let (first, rest) = (part(size), part(side - times * size));
    (0..times).for_each(|_| cut_up(first.0, first.1, chances, pieces));
    if rest.0 > 0 && rest.1 > 0 {
        cut_up(rest.0, rest.1, chances, pieces);
    }
}

/// Lays pieces of a few sizes on a cloth, each where there is room.
fn laid(width: i128, length: i128, sizes: &[(i128, i128)], places: &[(u8, u8, u8)]) -> Vec<Piece> {
    let mut taken = vec![vec![false; width as usize]; length as usize];
    let mut pieces = Vec::new();
    for (x, y, which) in places {
        let (across, along) = sizes[usize::from(*which) % sizes.len()];
        let (x, y) = (i128::from(*x) % width, i128::from(*y) % length);
        if x + across > width || y + along > length {
            continue;
        }
        let rows = y as usize..(y + along) as usize;
        let columns = x as usize..(x + across) as usize;
        if rows.clone().any(|row| taken[row][columns.clone()].contains(&true)) {
            continue;
        }
        rows.for_each(|row| taken[row][columns.clone()].fill(true));
        pieces.push(fixed(1, across, along));
    }
    pieces
}

/// That no plan of the kind is told to need more than a length that is enough.
fn within(width: i128, length: i128, pieces: &[Piece], kind: Kind) -> Result<(), TestCaseError> {
    let job = roll(width, pieces.to_vec());
    for budget in [20_000, 400_000] {
        let plan = plan(&job, kind, Budget(budget)).unwrap();
        prop_assert!(plan.bound <= length, "{} {pieces:?}", plan.bound);
        prop_assert!(!plan.proved || plan.length <= length);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]
    #[test]
    fn no_bound_is_above_a_cloth_that_pieces_were_cut_from(
        (width, length) in (6i128..60, 6i128..60),
        chances in prop::collection::vec(any::<u8>(), 120),
    ) {
        let mut pieces = Vec::new();
        cut_up(width, length, &mut chances.into_iter().chain(std::iter::repeat(0)), &mut pieces);
        within(width, length, &pieces, Kind::EdgeToEdge)?;
        within(width, length, &pieces, Kind::Any)?;
    }

    #[test]
    fn no_bound_is_above_a_cloth_that_pieces_lie_on(
        (width, length) in (8i128..20, 8i128..20),
        sizes in prop::collection::vec((1i128..8, 1i128..8), 2..6),
        places in prop::collection::vec((any::<u8>(), any::<u8>(), any::<u8>()), 20..150),
    ) {
        within(width, length, &laid(width, length, &sizes, &places), Kind::Any)?;
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
