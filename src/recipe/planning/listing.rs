//! A plan as a docket lists it: its pieces, its strips, and what is bought for it.

use super::Laying;
use super::readings::metric_like;
use crate::docket::{Buy, ClothPlan, Figure, Hand, Held, InHandCosts, Piece, Planned, Strip};
use crate::eval::machine::{Halt, Settings};
use crate::fault::Fault;
use crate::layout::{Kind, Lay, Part, Plan, Share};
use crate::measure::{Quantity, show_size, side_by_side};
use crate::recipe::bill::{self, measure_figure};
use crate::recipe::cutting::Cut;

impl Laying<'_> {
    pub(super) fn docket(
        &self,
        plan: Plan,
        in_hand_costs_more: Option<InHandCosts>,
        planned: Option<Planned>,
    ) -> Result<ClothPlan, Halt> {
        let cloth = &self.lot.cloth;
        let length = self.back(plan.length);
        let buy = cloth.to_buy(&length)?;
        let price = cloth.price.as_ref().filter(|_| plan.length > 0);
        let cost = price.map(|price| bill::cost(&buy, price, cloth.span, false)).transpose()?;
        let used = |at: usize| {
            let spreads = plan.spreads.iter().filter(|spread| spread.sheet == Some(at));
            spreads.fold(0u64, |sum, spread| sum.saturating_add(spread.count))
        };
        let hands = self.lot.hands.iter().enumerate().map(|(at, hand)| {
            let [across, along] = sides(&hand.across, &hand.along, &hand.settings);
            let (count, paid, line) = (hand.count, hand.price.is_some(), hand.line);
            Hand { count, across, along, used: used(at), paid, line }
        });
        Ok(ClothPlan {
            cloth: cloth.name.clone(),
            usable: self.figure(cloth.usable.clone()),
            pieces: self.lot.pieces.iter().map(|cut| self.listed(cut)).collect(),
            hands: hands.collect(),
            strips: strips(&plan).iter().map(|share| self.strip(share)).collect(),
            unit: self.figure(self.back(1)),
            folded: self.folded,
            length: self.figure(length),
            buy: self.figure(buy),
            step: cloth.shop.as_ref().map(|step| self.figure(as_typed(step))),
            price: price.map(|price| self.figure(price.clone())),
            cost: cost.map(|cost| self.figure(cost)),
            in_hand_costs_more,
            planned,
            washed: cloth.shrinks,
            directional: cloth.directional,
            line: self.lot.pieces.first().map_or(0, |cut| cut.line),
            plan,
        })
    }

    fn listed(&self, cut: &Cut) -> Piece {
        let read = |side: &Quantity| metric_like(side, self.metric);
        let [across, along] = sides(&read(&cut.across), &read(&cut.along), &cut.settings);
        Piece {
            label: cut.label.clone(),
            alone: cut.alone.clone(),
            count: cut.count.saturating_mul(self.kits),
            across,
            along,
            direction: cut.direction,
            mirrored: cut.mirrored,
            spare: self.spare(cut),
            line: cut.line,
            outlines: cut.outlines.clone(),
        }
    }

    fn strip(&self, strip: &Share) -> Strip {
        let columns = match &strip.part {
            Part::Along(columns) => columns.as_slice(),
            _ => &[],
        };
        Strip {
            count: strip.times,
            width: self.figure(self.back(strip.size)),
            holds: columns.iter().filter_map(held).collect(),
        }
    }

    /// What is paid for cloth sold by the piece.
    pub(super) fn paid(&self, plan: &ClothPlan) -> Result<Vec<Buy>, Vec<Fault>> {
        let mut buys = Vec::new();
        for (hand, shown) in self.lot.hands.iter().zip(&plan.hands) {
            let (Some((price, _)), true) = (&hand.price, shown.used > 0) else { continue };
            let count = Quantity::whole(i64::try_from(shown.used).unwrap_or(i64::MAX));
            let Ok(cost) = count.mul(price) else { continue };
            let manner = &hand.settings.manner;
            let label = format!("{}, {}", plan.cloth, show_size(&hand.across, &hand.along, manner));
            buys.push(Buy {
                label: label.into(),
                needed: self.figure(count.clone()),
                buy: self.figure(count),
                packs: None,
                price: Some(self.figure(price.clone())),
                cost: Some(self.figure(cost)),
                line: hand.line,
            });
        }
        Ok(buys)
    }
}

/// The strips of a plan in strips from the roll alone.
fn strips(plan: &Plan) -> &[Share] {
    let [spread] = plan.spreads.as_slice() else { return &[] };
    match &spread.lay {
        Lay::Cut(Part::Across(strips)) if plan.kind == Kind::Strips && spread.sheet.is_none() => {
            let plain = strips.iter().all(|strip| match &strip.part {
                Part::Along(columns) => {
                    columns.iter().all(|column| column.part == Part::Left || held(column).is_some())
                }
                _ => false,
            });
            if plain { strips } else { &[] }
        }
        _ => &[],
    }
}

/// The piece that a column of a strip holds.
fn held(column: &Share) -> Option<Held> {
    let mut part = &column.part;
    while let Part::Across(shares) = part {
        part = &shares.first()?.part;
    }
    match part {
        Part::Piece { piece, turned } => Some(Held { piece: *piece, count: column.times, turned: *turned }),
        _ => None,
    }
}

/// Both sides of a piece, read as those of a size.
fn sides(across: &Quantity, along: &Quantity, settings: &Settings) -> [Figure; 2] {
    side_by_side([across, along], &settings.manner).map(|side| measure_figure(side, settings))
}

/// A shop's step is read in its own unit: `1/8 yd`.
fn as_typed(step: &Quantity) -> Quantity {
    step.shown_by(step).unwrap_or_else(|_| step.clone())
}
