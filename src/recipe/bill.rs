//! What things cost: lines rounded to the currency's minor unit, totals of rounded lines.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::docket::{Buy, Docket, Figure, FigureValue, Packs};
use crate::eval::machine::{Halt, Settings};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Exact, Number, Quantity, Reading, System, UnitExpr, UnitId, Way};
use crate::value::{Slack, Value};

/// How a thing is sold: what a pack of it holds, and the price of one, of a length or weight, or of a pack.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Sold<'a> {
    pub pack: Option<Operand<'a>>,
    pub price: Option<Operand<'a>>,
}

/// A `buy` line: what is sold in packs goes up to whole packs, else a length up to the shop's step and a bare
/// number to a whole one.
pub(crate) fn buy(
    needed: Operand<'_>,
    label: Rc<str>,
    sold: Sold<'_>,
    settings: &Settings,
) -> Result<Buy, Halt> {
    // Of what is known give or take the most is bought.
    let most = match needed.value {
        Value::Slack(slack) => Value::Measure(slack.ends().1),
        other => other.clone(),
    };
    let Value::Measure(quantity) = &most else {
        return Err(words::wanted("how much or how many to buy", needed.value, needed.span).into());
    };
    if quantity.is_negative() {
        let message = format!("{} cannot be bought", needed.value.short());
        return Err(Fault::new(FaultCode::WrongKind, needed.span, message).into());
    }
    let packs = sold.pack.map(|pack| packs(needed, quantity, pack, settings)).transpose()?;
    let step = match quantity.dim {
        _ if packs.is_some() => None,
        Dim::NONE => Some(Quantity::whole(1)),
        Dim::LENGTH => settings.shop.clone(),
        _ => None,
    };
    let bought = match step {
        Some(step) => {
            let bought = quantity.round_to(&step, Way::Up);
            as_sold(bought.map_err(|trouble| words::alone(trouble, needed.span))?, &step)
        }
        None => packs.as_ref().map_or(quantity, |(_, bought, _)| bought).clone(),
    };
    let count = packs.as_ref().map(|(count, ..)| count.clone());
    let mut line = Buy {
        label,
        needed: Figure { value: needed.value.to_figure(), manner: settings.manner },
        buy: measure_figure(bought.clone(), settings),
        packs: packs.map(|(.., packs)| packs),
        price: None,
        cost: None,
        line: 0,
    };
    if let Some(price) = sold.price {
        // `no` stands for a price that is not known.
        if matches!(price.value, Value::YesNo(false)) {
            return Ok(line);
        }
        let Value::Measure(each) = price.value else {
            return Err(words::wanted("a price such as `1.20 EUR/m`", price.value, price.span).into());
        };
        // Plain money is the price of a pack where there are packs; a price of a length or weight is of all of it.
        let paid = count.as_ref().filter(|_| is_sum(each.dim));
        if let (Some(packs), Some(_)) = (&mut line.packs, paid) {
            packs.priced = true;
        }
        let paid = paid.unwrap_or(&bought);
        let cost = cost(paid, each, price.span, count.is_some())?;
        line.cost = Some(measure_figure(cost, settings));
        line.price = Some(measure_figure(each.clone(), settings));
    }
    Ok(line)
}

/// Whether something is a sum of money, not a price of a length or a weight.
pub(crate) fn is_sum(dim: Dim) -> bool {
    dim.currency().is_some_and(|currency| Dim::money(currency) == dim)
}

/// So many packs, what is in them all, and how a docket tells them; `most` is the most that is needed.
fn packs(
    needed: Operand<'_>,
    most: &Quantity,
    pack: Operand<'_>,
    settings: &Settings,
) -> Result<(Quantity, Quantity, Packs), Halt> {
    let Value::Measure(holds) = pack.value else {
        return Err(words::wanted(PACK, pack.value, pack.span).into());
    };
    if holds.dim != most.dim {
        let message =
            format!("a pack of {} cannot be counted against {}", pack.value.short(), needed.value.short());
        return Err(Fault::new(FaultCode::UnitMix, pack.span, message).hint(PACKS).into());
    }
    if holds.dim == Dim::NONE {
        words::whole_count(pack, "how many a pack holds")?;
    }
    if holds.is_zero() || holds.is_negative() {
        let message = format!("a pack must hold more than 0, and this is {}", pack.value.short());
        return Err(Fault::new(FaultCode::WrongKind, pack.span, message).into());
    }
    let trouble = |trouble| words::alone(trouble, needed.span);
    let count = most.div(holds).and_then(|count| count.ceil()).map_err(trouble)?;
    let count = Quantity { reading: Reading::Plain, ..count };
    // All of it reads as a pack does, what is left over as what is needed.
    let bought = Quantity { reading: holds.reading, ..count.mul(holds).map_err(trouble)? };
    let left = match needed.value {
        Value::Slack(slack) => Slack::plain(&bought).sub(slack).map(Value::from),
        _ => bought.sub(most).map(|left| Value::Measure(Quantity { reading: most.reading, ..left })),
    };
    let left = left.map_err(trouble)?;
    let told = Packs {
        count: measure_figure(count.clone(), settings),
        of: measure_figure(holds.clone(), settings),
        left: Figure { value: left.to_figure(), manner: settings.manner },
        priced: false,
    };
    Ok((count, bought, told))
}

/// What a pack is.
pub(crate) const PACK: &str = "how much or how many a pack holds";

/// Which packs there are.
pub(crate) const PACKS: &str = "write what a pack holds as you write what you need: `buy 12 m \"tape\" in packs of 5 m`, \
    `buy 30 \"button\" in packs of 12`";

/// What so many kits need.
pub(crate) fn for_kits(needed: Value, kits: Option<u64>, span: Span) -> Result<Value, Halt> {
    match (needed, kits) {
        (Value::Measure(one), Some(kits)) => {
            let kits = Quantity::whole(i64::try_from(kits).unwrap_or(i64::MAX));
            let all = kits.mul(&one).map_err(|trouble| words::alone(trouble, span))?;
            Ok(Value::Measure(Quantity { reading: one.reading, ..all }))
        }
        (needed, _) => Ok(needed),
    }
}

/// A length as a shop tells it, whatever ruler is in force: in its step's unit, from a metre on in
/// metres.
pub(crate) fn as_sold(bought: Quantity, step: &Quantity) -> Quantity {
    let metre = Quantity { number: Number::Exact(UnitId::M.factor().clone()), ..bought.clone() };
    let metric = step.reading.system() == Some(System::Metric);
    let from_a_metre = metric && matches!(bought.compare(&metre), Ok(Ordering::Greater | Ordering::Equal));
    let shown = match UnitExpr::parse("m") {
        Ok(metres) if from_a_metre => bought.shown_in(&metres),
        _ => bought.shown_by(step),
    };
    shown.unwrap_or(bought)
}

/// A price that is not of what is bought.
pub(crate) const PRICE_OF_ANOTHER: &str = "this price does not fit what is bought here";

/// Which prices there are.
pub(crate) const PRICES: &str = "for a length write a price per length, such as `1.20 EUR/m`; for a count write the price of one, `1.20 EUR`";

/// Which prices there are of packs.
pub(crate) const PACK_PRICES: &str = "after `in packs of …` write the price of one pack, `2.80 EUR`, or a price per length, such as `1.20 EUR/m`";

/// Quantity times price, rounded to the currency's minor unit.
pub(crate) fn cost(
    quantity: &Quantity,
    price: &Quantity,
    span: Span,
    packed: bool,
) -> Result<Quantity, Halt> {
    let wrong = || {
        let fault = Fault::new(FaultCode::UnitMix, span, PRICE_OF_ANOTHER);
        Halt::from(fault.hint(if packed { PACK_PRICES } else { PRICES }))
    };
    let sum = quantity.mul(price).map_err(|_| wrong())?;
    sum.to_minor_unit().ok_or_else(wrong)
}

/// Money as a count of its currency's smallest coin, rounded to it.
pub(super) fn coins(money: &Quantity) -> Option<i64> {
    let minor = money.to_minor_unit()?;
    let parts = Quantity::whole(10i64.checked_pow(money.dim.currency()?.digits())?);
    minor.number.mul(&parts.number).ok()?.exact()?.to_i64()
}

/// So many of the smallest coin, of the same currency as some money.
pub(super) fn of_coins(coins: i64, like: &Quantity) -> Option<Quantity> {
    let parts = 10i64.checked_pow(like.dim.currency()?.digits())?;
    Some(Quantity { number: Number::Exact(Exact::ratio(coins, parts)?), ..like.clone() })
}

/// One total a currency, of the rounded lines, in the order in which the currencies appear.
pub(crate) fn totals(docket: &Docket) -> Vec<Figure> {
    let cloths = docket.cloths.iter().filter_map(|cloth| cloth.cost.as_ref());
    let buys = docket.buys.iter().filter_map(|buy| buy.cost.as_ref());
    let mut totals: Vec<Figure> = Vec::new();
    for figure in cloths.chain(buys) {
        let Some(cost) = figure.value.as_measure() else { continue };
        let same = totals.iter_mut().find_map(|total| match &mut total.value {
            FigureValue::Measure(sum) if sum.dim == cost.dim => Some(sum),
            _ => None,
        });
        match same {
            Some(sum) => {
                if let Ok(more) = sum.add(cost) {
                    *sum = more;
                }
            }
            None => totals.push(figure.clone()),
        }
    }
    totals
}

/// A measure as a figure.
pub(crate) fn measure_figure(quantity: Quantity, settings: &Settings) -> Figure {
    Figure { value: FigureValue::Measure(quantity), manner: settings.manner }
}
