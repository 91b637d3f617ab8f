//! Marks of a ruler along a drawn edge.
#![expect(clippy::arithmetic_side_effects, reason = "marks are counted up to a limit")]

use num_traits::ToPrimitive;

use crate::docket::ClothPlan;
use crate::measure::{System, UnitId};

/// Steps that people count in.
const INCHES: &[i64] = &[1, 2, 3, 6, 12, 18, 36, 72, 180, 360, 1800, 3600];
const CENTIMETRES: &[i64] = &[1, 2, 5, 10, 20, 50, 100, 200, 500, 1000, 5000, 10_000];

/// Marks from 0 up to `to`, at least `apart` grid units from each other, each with its words; none
/// where the cloth is past marking.
pub(crate) fn marks(plan: &ClothPlan, apart: f64, to: i128) -> Option<Vec<(f64, String)>> {
    let grid = plan.unit.value.as_measure()?;
    let metric = grid.reading.system() == Some(System::Metric);
    let (unit, steps) = if metric { (UnitId::CM, CENTIMETRES) } else { (UnitId::IN, INCHES) };
    // How many grid units make one inch or centimetre.
    let units = unit.factor().checked_div(&grid.number.mid())?.to_big().to_f64()?;
    let step = steps.iter().find(|step| **step as f64 * units >= apart)?;
    let count = (to as f64 / (*step as f64 * units)) as i64;
    if count > 400 {
        return None;
    }
    let word = |n: i64| match n {
        n if n == count => format!("{} {}", n * step, unit.symbol()),
        n => (n * step).to_string(),
    };
    Some((0..=count).map(|n| ((n * step) as f64 * units, word(n))).collect())
}
