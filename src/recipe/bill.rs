//! What things cost: lines rounded to the currency's minor unit, totals of rounded lines.

use std::cmp::Ordering;
use std::rc::Rc;

use crate::docket::{Buy, Docket, Figure, FigureValue};
use crate::eval::machine::{Halt, Settings};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Exact, Number, Quantity, System, UnitExpr, UnitId, Way};
use crate::value::data::Value;

/// A `buy` line: a length goes up to the shop's step, a bare number to a whole one.
pub(crate) fn buy(
    needed: Operand<'_>,
    label: Rc<str>,
    price: Option<Operand<'_>>,
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
    let step = match quantity.dim {
        Dim::NONE => Some(Quantity::whole(1)),
        Dim::LENGTH => settings.shop.clone(),
        _ => None,
    };
    let bought = match step {
        Some(step) => {
            let bought = quantity.round_to(&step, Way::Up);
            as_sold(bought.map_err(|trouble| words::alone(trouble, needed.span))?, &step)
        }
        None => quantity.clone(),
    };
    let mut line = Buy {
        label,
        needed: Figure { value: needed.value.to_figure(), manner: settings.manner },
        buy: measure_figure(bought.clone(), settings),
        price: None,
        cost: None,
        line: 0,
    };
    if let Some(price) = price {
        // `no` stands for a price that is not known.
        if matches!(price.value, Value::YesNo(false)) {
            return Ok(line);
        }
        let Value::Measure(each) = price.value else {
            return Err(words::wanted("a price such as `1.20 EUR/m`", price.value, price.span).into());
        };
        line.cost = Some(measure_figure(cost(&bought, each, price.span)?, settings));
        line.price = Some(measure_figure(each.clone(), settings));
    }
    Ok(line)
}

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

/// Quantity times price, rounded to the currency's minor unit.
pub(crate) fn cost(quantity: &Quantity, price: &Quantity, span: Span) -> Result<Quantity, Halt> {
    let wrong = || {
        let fault = Fault::new(FaultCode::UnitMix, span, PRICE_OF_ANOTHER);
        Halt::from(fault.hint(PRICES))
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
        let FigureValue::Measure(cost) = &figure.value else { continue };
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
