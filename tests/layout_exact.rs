//! Plans on sizes of every make: fractions that no ruler has, sizes that are not exact, sizes chosen to
//! trouble a planner. Each plan is gone through by the checker.
#![allow(clippy::unwrap_used, clippy::panic)] // a plan that is wrong is a test that fails

#[path = "common/pieces.rs"]
mod pieces;

use std::cell::Cell;

use pieces::{fixed, roll, turnable};
use scant::layout::{Budget, Job, Kind, Piece, Plan, Sheet, check, plan, plan_within};

const KINDS: [Kind; 3] = [Kind::Strips, Kind::EdgeToEdge, Kind::Any];

fn checked(job: &Job, kind: Kind, budget: Budget) -> Plan {
    let plan = plan(job, kind, budget).unwrap();
    check(job, &plan).unwrap();
    plan
}

/// An inch in units that sevenths, ninths, elevenths and thirteenths of a millimetre are whole in.
const INCH: i128 = 254 * 9009;
const MM: i128 = 10 * 9009;

#[test]
fn strips_as_wide_as_the_cloth_lie_beside_a_size_that_is_not_exact() {
    // 50.88 in across; a hexagon of 8.66… in lies between two units.
    let (width, strip) = (5088 * INCH / 100, 9 * INCH / 4);
    let job = |hexagon: i128| roll(width, vec![turnable(4, width, strip), turnable(1, 10 * INCH, hexagon)]);
    let hexagon = 8_660_254 * INCH / 1_000_000;
    for kind in KINDS {
        let tight = job(hexagon + 1);
        let found = plan_within(&tight, Some(&job(hexagon)), kind, Budget::USUAL, &|| false).unwrap();
        check(&tight, &found).unwrap();
        assert_eq!(found.length, 4 * strip + hexagon + 1);
        assert_eq!((found.bound, found.proved), (4 * strip + hexagon, false), "{kind:?}");
    }
}

#[test]
fn strips_as_wide_as_the_cloth_keep_their_bound_beside_squares_that_are_not_exact() {
    // 12 in times the root of 2 lies between two units; two such squares go side by side on 50.88 in, not three.
    let (width, strip) = (5088 * INCH / 100, 9 * INCH / 4);
    let square = 16_970_562 * INCH / 1_000_000;
    for count in 1..=9u64 {
        let job = |square: i128| roll(width, vec![fixed(4, width, strip), fixed(count, square, square)]);
        let (tight, loose) = (job(square + 1), job(square));
        let rows = i128::from(count.div_ceil(2));
        for kind in KINDS {
            let found = plan_within(&tight, Some(&loose), kind, Budget::USUAL, &|| false).unwrap();
            check(&tight, &found).unwrap();
            assert_eq!(found.length, 4 * strip + rows * (square + 1), "{count} {kind:?}");
            assert_eq!(found.bound, 4 * strip + rows * square, "{count} {kind:?}");
        }
        // Turned, strips stand as high as the cloth is wide: in strips they stay across.
        let job = |square: i128| roll(width, vec![turnable(4, width, strip), fixed(count, square, square)]);
        let found = plan_within(&job(square + 1), Some(&job(square)), KINDS[0], Budget::USUAL, &|| false);
        let (found, rest) = (found.unwrap(), i128::from(count));
        assert!(found.length - found.bound <= rest, "{count}: {} {}", found.length, found.bound);
    }
}

#[test]
fn what_fits_by_a_hair_fits_and_what_does_not_by_a_hair_does_not() {
    let third = 10i128.pow(24) / 3;
    for kind in KINDS {
        let fits = roll(3 * third, vec![fixed(6, third, 7 * third / 10)]);
        assert_eq!(checked(&fits, kind, Budget::QUICK).length, 2 * (7 * third / 10));
        let over = roll(3 * third - 1, vec![fixed(6, third, 7 * third / 10)]);
        assert_eq!(checked(&over, kind, Budget::QUICK).length, 3 * (7 * third / 10), "{kind:?}");
    }
}

/// A job of sides that are sevenths, ninths, elevenths and thirteenths of a millimetre, and the same with each
/// side rounded up to a whole millimetre.
fn rough_and_whole(seed: u64) -> (Job, Job) {
    let mut state = seed;
    let mut below = |n: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i128::from((state >> 33) % n)
    };
    let (mut rough, mut whole) = (Vec::new(), Vec::new());
    for _ in 0..24 {
        let count = u64::try_from(1 + below(6)).unwrap();
        let mut side = || {
            let parts = [7, 9, 11, 13][usize::try_from(below(4)).unwrap()];
            let mm = 80 + below(520);
            (mm * MM + (1 + below(5)) * MM / parts, (mm + 1) * MM)
        };
        let (across, along) = (side(), side());
        rough.push(turnable(count, across.0, along.0));
        whole.push(turnable(count, across.1, along.1));
    }
    (roll(1400 * MM, rough), roll(1400 * MM, whole))
}

#[test]
fn sides_that_no_ruler_has_take_no_more_cloth_than_larger_ones() {
    for kind in [Kind::Strips, Kind::EdgeToEdge] {
        let (mut rough_long, mut whole_long) = (0, 0);
        for seed in 1..=5 {
            let (rough, whole) = rough_and_whole(seed);
            rough_long += checked(&rough, kind, Budget::USUAL).length;
            whole_long += checked(&whole, kind, Budget::USUAL).length;
        }
        assert!(rough_long <= whole_long + whole_long / 100, "{kind:?}: {rough_long}, {whole_long}");
    }
}

#[test]
fn near_equal_sizes_of_which_few_fit_are_told_apart() {
    // Four of the smaller go side by side; with one of the larger among them only three do.
    let width = 4 * 10i128.pow(8) + 3;
    let pieces = vec![fixed(4, 10i128.pow(8), 10i128.pow(7)), fixed(4, 10i128.pow(8) + 1, 10i128.pow(7))];
    for kind in KINDS {
        let found = checked(&roll(width, pieces.clone()), kind, Budget::USUAL);
        assert_eq!(found.length, 2 * 10i128.pow(7), "{kind:?}");
    }
    let found = checked(&roll(width - 3, pieces), Kind::Strips, Budget::USUAL);
    assert_eq!(found.length, 3 * 10i128.pow(7));
}

#[test]
fn sides_a_hair_smaller_take_no_more_cloth() {
    let sides = [(6, 20, 13), (9, 12, 8), (4, 30, 22), (12, 9, 6), (5, 16, 16), (3, 41, 10)];
    let job = |hair: &dyn Fn(usize) -> i128| {
        let piece = |(at, (count, across, along)): (usize, &(u64, i128, i128))| {
            let hair = hair(at);
            turnable(*count, across * INCH - hair, along * INCH - hair)
        };
        roll(54 * INCH, sides.iter().enumerate().map(piece).collect())
    };
    let parts = [7, 9, 11, 13];
    for kind in KINDS {
        let whole = checked(&job(&|_| 0), kind, Budget::USUAL);
        let fine = checked(&job(&|at| MM / parts[at % 4]), kind, Budget::USUAL);
        assert!(fine.length <= whole.length, "{kind:?}: {} for {}", fine.length, whole.length);
        assert!(fine.bound <= fine.length);
    }
}

/// Sizes that are hard to plan, each on a roll that holds every piece.
fn hostile() -> Vec<Job> {
    let primes = [1_000_003i128, 1_299_709, 15_485_863, 32_452_843, 49_979_687, 67_867_967, 86_028_121];
    let prime = |at: usize, n: i128| primes[at % 7] * n + primes[(at * 3 + 1) % 7];
    let many = |kinds: usize, piece: &dyn Fn(usize) -> Piece| (0..kinds).map(piece).collect::<Vec<Piece>>();
    let wide = 1i128 << 90;
    vec![
        // Few pieces of sizes without a common step.
        roll(prime(0, 700), many(17, &|at| turnable(1, prime(at, 5 + at as i128 % 7), prime(at + 2, 6)))),
        // Many kinds of such sizes.
        roll(prime(3, 90), many(200, &|at| turnable(25, prime(at, 1 + at as i128 % 5), prime(at + 5, 2)))),
        // Near-equal sizes.
        roll(wide, many(40, &|at| turnable(3, wide / 7 + at as i128, wide / 5 - (at * at) as i128))),
        // Huge beside tiny.
        roll(
            wide,
            vec![turnable(3, wide - 1, 3 << 80), turnable(50, 1 << 60, 1 << 61), fixed(9, wide / 3, 1 << 88)],
        ),
        roll(5_588, vec![turnable(24, 127_000_000_413, 1699), turnable(12, 381, 254_000_001_905)]),
        // Thousands of kinds.
        roll(
            prime(1, 40),
            many(3_000, &|at| turnable(1, 9_973 * (1 + at as i128), 7_919 * (3_000 - at as i128))),
        ),
        // All of it on cloths of such sizes.
        Job {
            roll: None,
            sheets: (1..4)
                .map(|at| Sheet { count: 9, across: prime(at, 9), along: prime(at + 1, 8), cost: 7 })
                .collect(),
            pieces: many(12, &|at| turnable(2, prime(at, 1), prime(at + 2, 1))),
        },
    ]
}

#[test]
fn hostile_sizes_are_planned_within_the_work_given() {
    for (at, job) in hostile().iter().enumerate() {
        for kind in KINDS {
            for budget in [Budget::QUICK, Budget::USUAL] {
                let asked = Cell::new(0u64);
                let stop = || {
                    asked.set(asked.get() + 1);
                    false
                };
                let found = plan_within(job, None, kind, budget, &stop).unwrap();
                check(job, &found).unwrap();
                assert!(asked.get() > 0, "{at} {kind:?}");
            }
        }
    }
}

/// 5,000 pieces of 200 kinds, of sides without a common step, on cloths of two sizes.
fn many_on_cloths() -> Job {
    let mut state = 7u64;
    let mut below = |most: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i128::from((state >> 33) % most)
    };
    let inch = 85_085 * 127 / 5;
    let pieces =
        (0..200).map(|_| turnable(25, inch * 3 / 2 + below(38_000_000), inch * 3 / 2 + below(38_000_000)));
    let pieces = pieces.collect();
    let large = Sheet { count: 5_000, across: 54 * inch, along: 54 * inch, cost: 1_800 };
    let small = Sheet { count: 40, across: 43 * inch, along: 36 * inch, cost: 900 };
    Job { roll: None, sheets: vec![small, large], pieces }
}

#[test]
fn many_pieces_on_cloths_take_no_more_work_than_is_given() {
    // It is asked whether to stop each 50,000 steps, and where work is handed back: once a plan is there, as
    // soon as the work is out all ends.
    let job = many_on_cloths();
    for budget in [Budget(0), Budget(100_000), Budget::QUICK] {
        let asked = Cell::new(0u64);
        let stop = || {
            asked.set(asked.get() + 1);
            false
        };
        let found = plan_within(&job, None, Kind::Strips, budget, &stop).unwrap();
        check(&job, &found).unwrap();
        assert!(asked.get() < 60, "{budget:?}: asked {} times", asked.get());
    }
}

#[test]
fn planning_ends_soon_once_it_is_told_to_stop() {
    for (at, job) in hostile().iter().enumerate() {
        for kind in KINDS {
            let asked = Cell::new(0u64);
            let stop = || {
                asked.set(asked.get() + 1);
                asked.get() > 6
            };
            let found = plan_within(job, None, kind, Budget(u64::MAX), &stop).unwrap();
            check(job, &found).unwrap();
            assert!(asked.get() < 500, "{at} {kind:?}: asked {} times", asked.get());
        }
    }
}

#[test]
fn sizes_that_are_not_exact_are_searched_as_long_as_others() {
    // Whole eighths of an inch, and the same less a hair that lies between two 1,024ths of an inch.
    let eighths = [
        (5, 72, 32),
        (5, 16, 16),
        (5, 43, 37),
        (5, 53, 56),
        (5, 85, 102),
        (9, 42, 39),
        (9, 41, 65),
        (6, 18, 62),
        (7, 37, 34),
        (6, 24, 58),
        (6, 16, 92),
        (9, 59, 24),
        (6, 61, 120),
        (6, 77, 105),
        (6, 39, 77),
        (7, 38, 23),
    ];
    let job = |hairs: [i128; 3]| {
        let hair = |at: usize| hairs.get(at % 3).copied().unwrap_or(0);
        let piece = |(at, (count, across, along)): (usize, &(u64, i128, i128))| {
            turnable(*count, across * 128 - hair(at), along * 128 - hair(at + 1))
        };
        roll(53 * 1_024, eighths.iter().enumerate().map(piece).collect())
    };
    let (tight, loose) = (job([0, 1, 0]), job([1, 2, 1]));
    for kind in KINDS {
        let whole = checked(&job([0; 3]), kind, Budget::USUAL);
        let found = plan_within(&tight, Some(&loose), kind, Budget::USUAL, &|| false).unwrap();
        check(&tight, &found).unwrap();
        assert!(found.length <= whole.length, "{kind:?}: {} {}", found.length, whole.length);
        assert!(found.bound <= checked(&loose, kind, Budget::QUICK).length, "{kind:?}");
        assert!(whole.length - found.length < 128 && whole.bound - found.bound < 128, "{kind:?}");
    }
}

#[test]
fn a_hair_less_on_each_side_makes_no_plan_longer() {
    // Whole millimetres; less a hair, so many sides lie beside each other that a mark more of the cloth is counted.
    let sizes = [
        (6, 74, 526, false),
        (6, 203, 529, true),
        (6, 123, 354, true),
        (6, 618, 333, false),
        (1, 143, 631, false),
        (6, 435, 83, true),
    ];
    let mm = 17 * MM;
    let job = |hair: bool| {
        let less = |at: usize| if hair { mm / [7, 9, 11, 13, 17][at % 5] } else { 0 };
        let piece = |(at, (count, across, along, may_turn)): (usize, &(u64, i128, i128, bool))| Piece {
            count: *count,
            across: across * mm - less(at),
            along: along * mm - less(at + 1),
            may_turn: *may_turn,
            by_selvage: false,
        };
        roll(1380 * mm, sizes.iter().enumerate().map(piece).collect())
    };
    for kind in KINDS {
        let (whole, less) = (job(false), job(true));
        let (whole, less) = (checked(&whole, kind, Budget::USUAL), checked(&less, kind, Budget::USUAL));
        assert!(less.length <= whole.length, "{kind:?}: {} {}", less.length, whole.length);
    }
}
