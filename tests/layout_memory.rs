//! Planning holds little memory, however many patterns there are to go through.
#![cfg(target_os = "linux")] // which tells how much a program held at most
#![allow(clippy::unwrap_used)] // a plan that is not found is a test that fails

#[path = "common/pieces.rs"]
mod pieces;

use pieces::roll;
use scant::layout::{Budget, Kind, Piece, check, plan};

/// Most memory that planning may take, in kB.
const MOST: u64 = 64 << 10;

/// The most memory that this program has held, in kB.
fn held() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let peak = status.lines().find_map(|line| line.strip_prefix("VmHWM:")).unwrap();
    peak.split_whitespace().next().unwrap().parse().unwrap()
}

/// 20 kinds in eighths of an inch, of which some 330,000 patterns of strips may be part of the shortest plan.
#[test]
fn many_patterns_take_little_memory() {
    let mut seed = 5_040u64;
    let mut side = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        12 + i128::from((seed >> 33) % 140)
    };
    let piece = |_| Piece { count: 12, across: side(), along: side(), may_turn: false, by_selvage: false };
    let job = roll(54 * 8, (0..20).map(piece).collect());
    let before = held();
    let made = plan(&job, Kind::Strips, Budget(20_000_000)).unwrap();
    check(&job, &made).unwrap();
    let taken = held() - before;
    assert!(taken < MOST, "{taken} kB");
}
