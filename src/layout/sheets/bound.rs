//! What no plan on cloths of fixed sizes can be cheaper than, however it is cut.
//!
//! Dual prices say what each piece is worth. If no cloth can hold more worth than it costs, all pieces
//! cost what they are worth. What a cloth can hold is bounded by knapsacks over areas: the areas as they are,
//! and areas of weighed sides, of which no row of pieces on the cloth holds more than so much
//! (Fekete and Schepers, "A general framework for bounds for higher-dimensional orthogonal packing
//! problems", 2004; from memory).

use super::task::Task;
use crate::layout::job::Sheet;

/// Sides are also weighed by how often such a part of the cloth goes into them.
const PARTS: i64 = 7;

/// The fractional filling of a cloth by which its worth was bounded: how many of each item, in
/// [`GRAIN`]ths of a piece.
#[derive(Clone, Debug, Default)]
pub(super) struct Filling {
    /// Nothing on the cloth is worth more.
    pub most: i128,
    pub held: Vec<i64>,
}

/// Pieces are counted in so many parts.
pub(super) const GRAIN: i64 = 256;

/// What a side weighs: as it is, or how often the first of so many parts of more than the whole goes into it.
fn weight(side: i64, whole: i64, parts: i64) -> i128 {
    let (side, whole) = (i128::from(side), i128::from(whole));
    if parts == 1 { side } else { side * i128::from(parts) / (whole + 1) }
}

/// No pieces on this cloth are worth more.
pub(super) fn filling(task: &Task, sheet: &Sheet, values: &[i64], counts: &[u64]) -> Filling {
    let mut best: Option<Filling> = None;
    for across in 1..=PARTS {
        for along in 1..=PARTS {
            let found = by_area(task, sheet, (values, counts), (across, along));
            if best.as_ref().is_none_or(|best| found.most < best.most) {
                best = Some(found);
            }
        }
    }
    best.unwrap_or_default()
}

/// The same by one way of weighing sides: the pieces of the most worth per weighed area first, the last
/// of them in part.
fn by_area(
    task: &Task,
    sheet: &Sheet,
    (values, counts): (&[i64], &[u64]),
    (across, along): (i64, i64),
) -> Filling {
    let weighed = |(wide, long): (i64, i64)| {
        weight(wide, sheet.across, across).saturating_mul(weight(long, sheet.along, along))
    };
    let mut free = weighed((sheet.across, sheet.along));
    let mut order: Vec<(usize, i128, i128, i128)> = Vec::with_capacity(values.len());
    for (at, (item, (value, count))) in task.items.iter().zip(values.iter().zip(counts)).enumerate() {
        let lies = item.ways(sheet.across).map(|turned| item.lies(turned));
        let area = lies.filter(|lies| lies.1 <= sheet.along).map(weighed).min();
        let by_selvage = task.by_selvage.get(at).copied().unwrap_or(false);
        if let Some(area) = area.filter(|_| *value > 0 && !by_selvage) {
            order.push((at, i128::from(*value), area, i128::from(*count)));
        }
    }
    order.sort_by(|one, other| other.1.saturating_mul(one.2).cmp(&one.1.saturating_mul(other.2)));
    let mut filling = Filling { most: 0, held: vec![0; task.items.len()] };
    let grain = i128::from(GRAIN);
    for (at, value, area, count) in order {
        let whole = free.checked_div(area).unwrap_or(count).min(count);
        free -= whole.saturating_mul(area);
        filling.most = filling.most.saturating_add(value.saturating_mul(whole));
        let mut held = whole.saturating_mul(grain);
        if whole < count && area > 0 {
            let product = value.saturating_mul(free);
            filling.most = filling.most.saturating_add(product / area + i128::from(product % area > 0));
            held = held.saturating_add(free.saturating_mul(grain) / area);
            free = 0;
        }
        if let Some(one) = filling.held.get_mut(at) {
            *one = i64::try_from(held).unwrap_or(i64::MAX);
        }
    }
    filling
}

/// No plan costs less, by these dual prices, of which `one` are a coin: what a cloth can hold in worth
/// beyond its cost is taken off for each that there is, or all worths are made smaller. `mosts` says
/// for each cloth what it can hold.
pub(super) fn by_duals(
    task: &Task,
    costs: &[i64],
    (duals, counts): (&[i64], &[u64]),
    mosts: &[i128],
    one: i64,
) -> i64 {
    let one = i128::from(one);
    let product = |(dual, count): (&i64, &u64)| i128::from(*dual).saturating_mul(i128::from(*count));
    let all = duals.iter().zip(counts).map(product).fold(0, i128::saturating_add);
    let mut beyond = 0i128;
    let mut worst = (1i128, 1i128);
    for ((cost, (_, sheet)), most) in costs.iter().zip(&task.cloths).zip(mosts) {
        let cost = i128::from(*cost) * one;
        beyond = beyond.saturating_add((most - cost).max(0).saturating_mul(i128::from(sheet.count)));
        if most.saturating_mul(worst.1) > worst.0.saturating_mul(cost) {
            worst = (*most, cost);
        }
    }
    if task.cloths.iter().all(|(_, sheet)| task.cost(sheet).main == 0) {
        return 0;
    }
    // The quotient rounded down, so that the worths stay below.
    let smaller = (all / worst.0).saturating_mul(worst.1).max(match all.checked_mul(worst.1) {
        Some(product) => product / worst.0,
        None => 0,
    });
    let sum = all.saturating_sub(beyond).max(smaller);
    task.possible(i64::try_from((sum + one - 1) / one).unwrap_or(0))
}
