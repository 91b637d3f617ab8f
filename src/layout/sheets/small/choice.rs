//! The cheapest cloths for all pieces of a small job, by what fits on each: dynamic programming over
//! the choices of pieces.

use super::super::cost::Cost;
use crate::layout::fronts::States;
use crate::layout::work::Work;

/// So many choices gone through are one step of work.
const A_STEP: u64 = 24;

/// Equal cloths.
#[derive(Clone, Debug)]
pub(super) struct Offer {
    /// What one costs.
    pub cost: Cost,
    /// How many there are.
    pub limit: i64,
    /// Which choices fit on one.
    pub fits: Vec<bool>,
}

/// Which cloths hold what.
#[derive(Clone, Debug, Default)]
pub(super) struct Chosen {
    pub cost: Cost,
    /// Cloths, by their place among the offers, and the choice on each.
    pub cloths: Vec<(usize, usize)>,
    /// The choice on the roll.
    pub roll: usize,
    /// What finds no place.
    pub left: usize,
}

/// How much some cloths cost that hold a choice, and the part of it on the last kind of them.
type Table = Vec<(Cost, usize)>;

/// The cheapest of the offers that hold all pieces, with what is best left for the roll, where there
/// is one; else with the least left over by `area`. `None` where the work does not suffice.
pub(super) fn cheapest(
    states: &States,
    offers: &[Offer],
    roll: Option<&[Cost]>,
    area: &dyn Fn(usize) -> i128,
    work: &mut Work<'_>,
) -> Option<Chosen> {
    let mut nothing: Table = vec![(Cost::NEVER, 0); states.size()];
    *nothing.first_mut()? = (Cost::default(), 0);
    let mut tables = vec![nothing];
    let mut firsts = Vec::with_capacity(offers.len());
    for offer in offers {
        let fewest = fewest(states, offer, work)?;
        let next = joined(states, tables.last()?, &fewest, offer, work)?;
        tables.push(next);
        firsts.push(fewest);
    }
    let all = states.all();
    let held = |part: usize| tables.last().and_then(|table| table.get(part)).map_or(Cost::NEVER, |one| one.0);
    let mut chosen = Chosen::default();
    let kept = match roll {
        Some(roll) => {
            let both = |part: usize| held(part).plus(roll.get(all - part).copied().unwrap_or(Cost::NEVER));
            let (cost, part) = (0..states.size()).map(|part| (both(part), part)).min()?;
            (chosen.cost, chosen.roll) = (cost, all - part);
            part
        }
        None => {
            let places = (0..states.size()).filter(|part| held(*part) < Cost::NEVER);
            let most = places.min_by_key(|part| (area(all - part), held(*part)))?;
            (chosen.cost, chosen.left) = (held(most), all - most);
            most
        }
    };
    if chosen.cost >= Cost::NEVER {
        return Some(Chosen { cost: Cost::NEVER, left: all, ..Chosen::default() });
    }
    let mut rest = kept;
    for (at, fewest) in firsts.iter().enumerate().rev() {
        let mut here = tables.get(at + 1).and_then(|table| table.get(rest)).map_or(0, |one| one.1);
        rest -= here;
        while here > 0 {
            let part = fewest.get(here).map_or(here, |one| one.1);
            chosen.cloths.push((at, part));
            here -= part;
        }
    }
    Some(chosen)
}

/// The fewest equal cloths that hold each choice, and what is on one of them.
fn fewest(states: &States, offer: &Offer, work: &mut Work<'_>) -> Option<Vec<(i64, usize)>> {
    let mut fewest = vec![(0, 0)];
    let mut parts = Vec::new();
    for state in 1..states.size() {
        states.with_first(state, &mut parts);
        if !work.spend(parts.len() as u64 / A_STEP + 1) {
            return None;
        }
        let fits = |part: &usize| offer.fits.get(*part).copied().unwrap_or(false);
        let rest = |part: usize| fewest.get(state - part).map_or(i64::MAX, |one: &(i64, usize)| one.0);
        let best = parts.iter().filter(|part| fits(part)).map(|part| (rest(*part), *part)).min();
        let (count, part) = best.unwrap_or((i64::MAX, 0));
        let count = count.saturating_add(1);
        fewest.push((if count > offer.limit { i64::MAX } else { count }, part));
    }
    Some(fewest)
}

/// The cheapest of the cloths before and some of this kind, for each choice.
fn joined(
    states: &States,
    before: &Table,
    fewest: &[(i64, usize)],
    offer: &Offer,
    work: &mut Work<'_>,
) -> Option<Table> {
    let mut table = Table::with_capacity(states.size());
    let mut parts = Vec::new();
    for state in 0..states.size() {
        states.parts(state, &mut parts);
        if !work.spend(parts.len() as u64 / A_STEP + 1) {
            return None;
        }
        let both = parts.iter().filter_map(|part| {
            let count = fewest.get(*part).filter(|one| one.0 < i64::MAX)?.0;
            let rest = before.get(state - part).filter(|rest| rest.0 < Cost::NEVER)?.0;
            Some((rest.plus(offer.cost.times(count)), *part))
        });
        table.push(both.min().unwrap_or((Cost::NEVER, 0)));
    }
    Some(table)
}
