//! Each cloth's pieces laid out, and what that asks for in the shop.

mod effort;
mod listing;
mod misfits;
mod readings;
mod spending;

use std::cmp::Ordering;

use crate::docket::{Buy, ClothPlan, Direction, Figure, More, Nearer, OnHand, Planned, Tool, Way};
use crate::eval::grid::Grid;
use crate::eval::machine::Halt;
use crate::eval::words;
use crate::fault::{Code as FaultCode, Fault};
use crate::layout::{self, Budget, Job, Kind, Plan};
use crate::measure::{Number, Quantity, Reading, Ruler, System, Way as Rounding};
use crate::recipe::bill::{self, measure_figure};
use crate::recipe::cutting::{Cut, Cutting, Lot, Wish};
use readings::metric_like;

pub(crate) use effort::Effort;

/// A plan for each cloth, and what is bought of cloth sold by the piece; or all that does not fit.
pub(crate) fn plans(
    cutting: &Cutting,
    effort: &mut Effort,
) -> Result<(Vec<ClothPlan>, Vec<Buy>), Vec<Fault>> {
    let mut plans = Vec::with_capacity(cutting.lots.len());
    let mut buys = Vec::new();
    let mut faults = Vec::new();
    for lot in &cutting.lots {
        if let Some(fault) = lot.unsound() {
            faults.push(fault);
            continue;
        }
        if lot.pieces.is_empty() {
            continue;
        }
        let laid = Laying::of(lot, effort.kits).and_then(|mut laying| {
            let plan = laying.plan(effort)?;
            Ok((laying.paid(&plan)?, plan))
        });
        if effort.stopped() {
            return Err(vec![Fault::new(FaultCode::Stopped, lot.cloth.span, "stopped")]);
        }
        match laid {
            Ok((paid, plan)) => {
                buys.extend(paid);
                plans.push(plan);
            }
            Err(found) => faults.extend(found),
        }
    }
    if faults.is_empty() { Ok((plans, buys)) } else { Err(faults) }
}

/// What no plan can hold or price of pieces that are added to a lot, looked at by themselves; cloth in hand
/// alone may be used up by all of them.
pub(crate) fn unfit(lot: &Lot, whole: &Cutting, effort: &Effort) -> Vec<Fault> {
    if lot.wish.as_ref().is_some_and(|wish| wish.from_hand) {
        let lots = whole.lots.iter().filter(|known| known.cloth.name == lot.cloth.name);
        let whole = Cutting::of(lots.cloned().collect());
        return plans(&whole, &mut effort.clone()).err().unwrap_or_default();
    }
    let laying = match Laying::of(lot, effort.kits) {
        Ok(laying) => laying,
        Err(faults) => return faults,
    };
    let mut faults = misfits::too_large(&laying);
    if let (Some(price), Some(cut)) = (&lot.cloth.price, lot.pieces.first())
        && let Err(Halt::Fault(fault)) = bill::cost(&cut.along, price, lot.cloth.span, false)
    {
        faults.push(*fault);
    }
    faults
}

impl Lot {
    /// A `plan` line that asks for what is not there.
    fn unsound(&self) -> Option<Fault> {
        let wish = self.wish.as_ref()?;
        let name = &self.cloth.name;
        if self.pieces.is_empty() {
            let message = format!("nothing is cut from \"{name}\", so there is nothing to plan");
            return Some(Fault::new(FaultCode::BadLine, wish.span, message).hint("add a `cut` line"));
        }
        if wish.from_hand && self.hands.is_empty() {
            let message = format!("there is no \"{name}\" in hand");
            let fault = Fault::new(FaultCode::BadLine, wish.span, message);
            return Some(fault.hint("write what you have: `have 1 of linen: 18 in by 22 in`"));
        }
        wish.more.iter().find_map(|(label, span)| {
            let known = || self.pieces.iter().map(|cut| &*cut.label);
            if known().any(|known| known == &**label) {
                return None;
            }
            let message = format!("no piece cut from \"{name}\" is called \"{label}\"");
            let fault = Fault::new(FaultCode::UnknownName, *span, message);
            Some(fault.did_you_mean(crate::fault::closest(label, known())))
        })
    }
}

/// A lot in whole numbers.
pub(crate) struct Laying<'a> {
    pub lot: &'a Lot,
    pub grid: Grid,
    pub job: Job,
    /// The same with pieces at their smallest and cloth at its largest, where they are not exact.
    loosest: Option<Job>,
    kits: u64,
    folded: bool,
    /// How sides in metric units are read, all from the unit of the largest, and what lengths of cloth are read like.
    metric: Option<Reading>,
    like: Quantity,
}

impl<'a> Laying<'a> {
    fn of(lot: &'a Lot, kits: Option<u64>) -> Result<Laying<'a>, Vec<Fault>> {
        let wish = lot.wish.as_ref();
        let folded = wish.is_some_and(|wish| wish.folded);
        let kits = kits.or(wish.and_then(|wish| wish.kits)).unwrap_or(1);
        let half = |width: &Quantity| match folded {
            true => width.div(&Quantity::whole(2)).unwrap_or_else(|_| width.clone()),
            false => width.clone(),
        };
        let usable = half(&lot.cloth.usable);
        let hands: Vec<_> = lot.hands.iter().map(|hand| (half(&hand.across), hand)).collect();
        let sides = lot.pieces.iter().flat_map(|cut| [&cut.across, &cut.along]);
        let sides = sides.chain(hands.iter().flat_map(|(across, hand)| [across, &hand.along]));
        let grid = Grid::of([&usable].into_iter().chain(sides), Grid::WIDE);
        let counted = |count: u64| {
            let all = count.checked_mul(kits)?;
            Some(if folded { all.div_ceil(2) } else { all })
        };
        let from_hand = wish.is_some_and(|wish| wish.from_hand);
        // Pieces and cloth rounded: one up and the other down, or the other way round.
        let job = |piece: &dyn Fn(&Quantity) -> Option<i128>, cloth: &dyn Fn(&Quantity) -> Option<i128>| {
            let pieces = lot.pieces.iter().map(|cut| {
                Some(layout::Piece {
                    count: counted(cut.count)?,
                    across: piece(&cut.across)?,
                    along: piece(&cut.along)?,
                    may_turn: cut.direction == Direction::AnyWay,
                    by_selvage: cut.direction == Direction::AlongSelvage,
                })
            });
            let sheets = hands.iter().map(|(across, hand)| {
                Some(layout::Sheet {
                    count: hand.count,
                    across: cloth(across)?,
                    along: cloth(&hand.along)?,
                    cost: hand.price.as_ref().map_or(0, |(_, coins)| *coins),
                })
            });
            Some(Job {
                pieces: pieces.collect::<Option<Vec<_>>>()?,
                sheets: sheets.collect::<Option<Vec<_>>>()?,
                roll: if from_hand { None } else { Some(cloth(&usable)?) },
            })
        };
        let tight = job(&|piece| grid.up(piece), &|cloth| grid.down(cloth));
        let loosest = job(&|piece| grid.down(piece), &|cloth| grid.up(cloth));
        let (Some(job), Some(loosest)) = (tight, loosest) else {
            let message = "these pieces are too large to lay out";
            return Err(vec![Fault::new(FaultCode::TooMuch, lot.cloth.span, message)]);
        };
        let loosest = Some(loosest).filter(|loosest| *loosest != job);
        let metric = lot.metric_reading();
        let like = metric_like(lot.read_like(), metric);
        Ok(Laying { lot, grid, job, loosest, kits, folded, metric, like })
    }

    pub fn figure(&self, quantity: Quantity) -> Figure {
        measure_figure(quantity, &self.lot.cloth.settings)
    }

    /// A length in grid units.
    pub fn back(&self, units: i128) -> Quantity {
        self.grid.back(units, &self.like)
    }

    fn plan(&mut self, effort: &mut Effort) -> Result<ClothPlan, Vec<Fault>> {
        let unfit = misfits::too_large(self);
        if !unfit.is_empty() {
            return Err(unfit);
        }
        let one = |halt: Halt| halt.fault().into_iter().collect::<Vec<_>>();
        let Some(wish) = &self.lot.wish else {
            let plan = self.lay(Kind::Strips, Budget::QUICK, effort)?.pop().unwrap_or_default();
            let in_hand_costs_more = self.in_hand_costs_more(&plan, effort);
            return self.docket(plan, in_hand_costs_more, None).map_err(one);
        };
        let freest = match wish.tool {
            Tool::Rotary => Kind::EdgeToEdge,
            Tool::Scissors => Kind::Any,
        };
        let plans = self.lay(freest, effort.each, effort)?;
        let mut ways =
            plans.into_iter().map(|plan| self.way(plan)).collect::<Result<Vec<_>, _>>().map_err(one)?;
        let taken = self.taken(wish, &ways).map_err(one)?;
        let planned = self.planned(wish, &mut ways, taken, effort).map_err(one)?;
        let plan = ways.into_iter().nth(taken).map(|(_, plan)| plan).unwrap_or_default();
        let in_hand_costs_more = self.in_hand_costs_more(&plan, effort);
        self.docket(plan, in_hand_costs_more, Some(planned)).map_err(one)
    }

    /// A plan of each kind up to the freest, as far as there is one.
    fn lay(&self, freest: Kind, budget: Budget, effort: &mut Effort) -> Result<Vec<Plan>, Vec<Fault>> {
        let budget = effort.take(budget);
        // A length past counting costs more than anything.
        let coins = |length| self.coins(length).unwrap_or(i64::MAX);
        let price: Option<layout::Price<'_>> = if self.priced() { Some(&coins) } else { None };
        let stop = || effort.stopped();
        let found = layout::plans(&self.job, self.loosest.as_ref(), price, freest, budget, &stop);
        let mut plans = Vec::with_capacity(found.len());
        let mut misfit = None;
        for one in found {
            match one {
                Ok(plan) => plans.push(plan),
                Err(none) => misfit = Some(none),
            }
        }
        match misfit {
            Some(misfit) if plans.is_empty() => Err(misfits::faults(self, &misfit)),
            _ => Ok(plans),
        }
    }

    fn way(&self, plan: Plan) -> Result<(Way, Plan), Halt> {
        let cloth = &self.lot.cloth;
        let (length, bound) = (self.back(plan.length), self.back(self.bound(&plan)));
        let buy = cloth.to_buy(&length)?;
        let least = cloth.to_buy(&bound)?;
        let spent = i64::try_from(plan.bound)
            .ok()
            .and_then(|bound| self.money(plan.cost).zip(self.money(bound)))
            .filter(|_| self.by_cost());
        let (cost, below) = spent.map_or((None, None), |(cost, below)| (Some(cost), Some(below)));
        let way = Way {
            kind: plan.kind,
            buys_least: same(&least, &buy),
            length: self.figure(length),
            buy: self.figure(buy),
            cost,
            // At a mark of the ruler, the next one below, so that it stays true.
            bound: below.unwrap_or_else(|| self.figure(self.mark(bound, Rounding::Down))),
            proved: plan.proved,
            taken: false,
        };
        Ok((way, plan))
    }

    /// A length at a mark of the ruler.
    fn mark(&self, length: Quantity, way: Rounding) -> Quantity {
        let settings = &self.lot.cloth.settings;
        let metric = length.reading.system() == Some(System::Metric);
        let usual = Ruler::usual(if metric { System::Metric } else { System::Inch });
        let step = Quantity { number: Number::Exact(usual.step()), ..length.clone() };
        let step = settings.ruler.clone().unwrap_or(step);
        let mark = length.round_to(&step, way);
        mark.map_or(length.clone(), |mark| Quantity { reading: length.reading, ..mark })
    }

    /// The least length of the roll that is known; where the bound is of money, none.
    fn bound(&self, plan: &Plan) -> i128 {
        match self.job.roll {
            Some(_) if self.priced() => 0,
            Some(_) => plan.bound,
            None => plan.length,
        }
    }

    /// The kind asked for; else the plainest that buys no more than any, or fits what is there.
    fn taken(&self, wish: &Wish, ways: &[(Way, Plan)]) -> Result<usize, Halt> {
        if let Some(kind) = wish.kind {
            return Ok(ways.iter().position(|(way, _)| way.kind == kind).unwrap_or(0));
        }
        let cloth = &self.lot.cloth;
        if let Some((on, _)) = &wish.on {
            for (at, (_, plan)) in ways.iter().enumerate() {
                let needed = cloth.unwashed(&self.back(plan.length))?;
                if needed.compare(on).map_err(|trouble| words::alone(trouble, wish.span))?
                    != Ordering::Greater
                {
                    return Ok(at);
                }
            }
        }
        if self.priced() {
            let order = ways.iter().enumerate().min_by_key(|(at, (_, plan))| (plan.cost, *at));
            return Ok(order.map_or(0, |(at, _)| at));
        }
        let mut best: Option<(usize, Quantity, i64)> = None;
        for (at, (_, plan)) in ways.iter().enumerate() {
            let buy = cloth.to_buy(&self.back(plan.length))?;
            let better = match &best {
                None => true,
                Some((_, least, cost)) => {
                    let order = buy.compare(least).map_err(|trouble| words::alone(trouble, cloth.span))?;
                    order == Ordering::Less || order == Ordering::Equal && plan.cost < *cost
                }
            };
            if better {
                best = Some((at, buy, plan.cost));
            }
        }
        Ok(best.map_or(0, |(at, ..)| at))
    }

    fn planned(
        &self,
        wish: &Wish,
        ways: &mut [(Way, Plan)],
        taken: usize,
        effort: &mut Effort,
    ) -> Result<Planned, Halt> {
        if let Some((way, _)) = ways.get_mut(taken) {
            way.taken = true;
        }
        let none = Plan::default();
        let plan = ways.get(taken).map_or(&none, |(_, plan)| plan);
        let mut more = Vec::with_capacity(wish.more.len());
        for (label, _) in &wish.more {
            more.push(self.more(wish, label, plan, effort)?);
        }
        Ok(Planned {
            tool: wish.tool,
            kits: self.kits,
            nearer: self.nearer(plan)?,
            on: wish.on.as_ref().map(|(on, _)| self.on(on, plan)).transpose()?,
            more,
            ways: ways.iter().map(|(way, _)| way.clone()).collect(),
        })
    }

    /// What the next step of the shop below would take.
    fn nearer(&self, plan: &Plan) -> Result<Option<Nearer>, Halt> {
        let cloth = &self.lot.cloth;
        let Some(step) = &cloth.shop else { return Ok(None) };
        let words = |trouble| words::alone(trouble, cloth.span);
        let less = cloth.to_buy(&self.back(plan.length))?.sub(step).map_err(words)?;
        if less.is_zero() || less.is_negative() {
            return Ok(None);
        }
        let reach = cloth.washed(&less)?;
        let shorter = self.back(plan.length).sub(&reach).map_err(words)?;
        let never = self.back(self.bound(plan)).compare(&reach).map_err(words)? == Ordering::Greater;
        let buy = bill::as_sold(less, step);
        // A mark more is enough too, and can be measured.
        let shorter = self.figure(self.mark(shorter, Rounding::Up));
        Ok(Some(Nearer { shorter, buy: self.figure(buy), never }))
    }

    /// Whether a length, as bought, is enough.
    fn on(&self, on: &Quantity, plan: &Plan) -> Result<OnHand, Halt> {
        let cloth = &self.lot.cloth;
        let words = |trouble| words::alone(trouble, cloth.span);
        let needed = cloth.unwashed(&self.back(plan.length))?;
        let least = cloth.unwashed(&self.back(self.bound(plan)))?;
        let enough = needed.compare(on).map_err(words)? != Ordering::Greater;
        let differs = if enough { on.sub(&needed) } else { needed.sub(on) }.map_err(words)?;
        let never = !enough && least.compare(on).map_err(words)? == Ordering::Greater;
        // What is over or short is read as the pieces are.
        let differs = Quantity { reading: self.like.reading, ..differs };
        let way = if enough { Rounding::Down } else { Rounding::Up };
        let differs = self.mark(differs, way);
        Ok(OnHand { length: self.figure(self.sold(on)), enough, differs: self.figure(differs), never })
    }

    /// How many more of a piece fit on the length asked about, else on what is bought.
    fn more(
        &self,
        wish: &Wish,
        label: &std::rc::Rc<str>,
        plan: &Plan,
        effort: &mut Effort,
    ) -> Result<More, Halt> {
        let cloth = &self.lot.cloth;
        let length = match &wish.on {
            Some((on, _)) => on.clone(),
            None => cloth.to_buy(&self.back(plan.length))?,
        };
        let room = self.grid.down(&cloth.washed(&length)?).unwrap_or(plan.length);
        let at = self.lot.pieces.iter().position(|cut| cut.label == *label).unwrap_or(0);
        let budget = effort.take(effort.each);
        let found =
            layout::how_many_more(&self.job, self.loosest.as_ref(), at, room, plan.kind, budget, &|| {
                effort.stopped()
            });
        let found = found.map_err(|misfit| {
            misfits::faults(self, &misfit).into_iter().next().map_or(Halt::Silent, Halt::from)
        })?;
        let spare = self.lot.pieces.get(at).map_or(0, |cut| self.spare(cut));
        let (count, most) = match found {
            Some(more) if self.folded => {
                (more.count.saturating_mul(2).saturating_add(spare), more.count == more.at_most)
            }
            Some(more) => (more.count, more.count == more.at_most),
            // Where what is asked for does not fit, no more does; that may be the plan's fault alone.
            None => {
                (0, self.back(self.bound(plan)).compare(&cloth.washed(&length)?) == Ok(Ordering::Greater))
            }
        };
        let length = self.job.roll.map(|_| self.figure(self.sold(&length)));
        Ok(More { label: label.clone(), count, length, most })
    }

    /// A length of the bolt, as a shop tells it.
    fn sold(&self, length: &Quantity) -> Quantity {
        match &self.lot.cloth.shop {
            Some(step) => bill::as_sold(length.clone(), step),
            None => length.clone(),
        }
    }

    /// Pieces cut beyond those asked for.
    fn spare(&self, cut: &Cut) -> u64 {
        if self.folded { cut.count.saturating_mul(self.kits) % 2 } else { 0 }
    }
}

fn same(one: &Quantity, other: &Quantity) -> bool {
    one.compare(other) == Ok(Ordering::Equal)
}
