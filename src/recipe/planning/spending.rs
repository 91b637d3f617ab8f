//! What a plan costs: cloth in hand against the roll.

use crate::docket::{Figure, InHandCosts};
use crate::layout::{self, Budget, Job, Plan};
use crate::recipe::bill;
use crate::recipe::planning::{Effort, Laying};

impl Laying<'_> {
    /// Whether cloth in hand is weighed against the roll by money: both have prices in one currency. Cloth
    /// in hand that costs nothing is best where the least of the roll is bought.
    pub fn priced(&self) -> bool {
        let Some(price) = self.lot.cloth.price.as_ref().filter(|_| self.job.roll.is_some()) else {
            return false;
        };
        let prices = || self.lot.hands.iter().filter_map(|hand| hand.price.as_ref());
        let same = prices().all(|(each, _)| each.dim.currency() == price.dim.currency());
        same && self.paid_for() && self.coins(1).is_some()
    }

    /// Whether plans are distinguished by what they cost.
    pub fn by_cost(&self) -> bool {
        self.priced() || self.job.roll.is_none() && self.paid_for()
    }

    /// Whether some cloth in hand has a price.
    fn paid_for(&self) -> bool {
        self.job.sheets.iter().any(|sheet| sheet.count > 0 && sheet.cost > 0)
    }

    /// What a length of the roll costs, in the smallest coin, as it is bought.
    pub fn coins(&self, length: i128) -> Option<i64> {
        let cloth = &self.lot.cloth;
        let buy = cloth.to_buy(&self.back(length)).ok()?;
        bill::coins(&bill::cost(&buy, cloth.price.as_ref()?, cloth.span, false).ok()?)
    }

    /// So many of the smallest coin as money, where a price says of which currency.
    pub fn money(&self, coins: i64) -> Option<Figure> {
        let of_hands = self.lot.hands.iter().find_map(|hand| Some(hand.price.as_ref()?.0.clone()));
        let cloth = &self.lot.cloth;
        let of_roll = || bill::cost(&self.back(1), cloth.price.as_ref()?, cloth.span, false).ok();
        Some(self.figure(bill::of_coins(coins, &of_hands.or_else(of_roll)?)?))
    }

    /// What all pieces would cost from cloth in hand alone, where some of it has a price and none of that
    /// is used because the roll is cheaper.
    pub fn in_hand_costs_more(&self, plan: &Plan, effort: &mut Effort) -> Option<InHandCosts> {
        let paid = |at: &usize| self.job.sheets.get(*at).is_some_and(|sheet| sheet.cost > 0);
        let used = plan.spreads.iter().filter_map(|spread| spread.sheet).any(|at| paid(&at));
        if !self.priced() || used {
            return None;
        }
        let job = Job { roll: None, ..self.job.clone() };
        let budget = effort.take(Budget::QUICK);
        let stop = &|| effort.stopped();
        let in_hand = layout::plan_within(&job, None, plan.kind, budget, stop).ok()?;
        let in_hand_costs_more = in_hand.cost > plan.cost;
        let (in_hand, planned) = (self.money(in_hand.cost)?, self.money(plan.cost)?);
        in_hand_costs_more.then_some(InHandCosts { in_hand, planned })
    }
}
