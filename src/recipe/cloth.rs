//! A cloth as lines name it: the parts of the library's record that cutting and buying need.

use std::rc::Rc;

use crate::eval::machine::{Halt, Settings};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Quantity, Trouble, Way};
use crate::recipe::bill;
use crate::value::data::{Record, Value};

/// What is said of a record that is no cloth.
pub(crate) const NAME: &str = "a cloth needs `.name`, in words";
pub(crate) const WIDTH: &str = "a cloth needs `.usable`, the width that can be cut";
pub(crate) const MADE_WITH: &str = "`cloth(…)` from the library makes a cloth with all its parts";
pub(crate) const NAMED_FIRST: &str =
    "name one first: `linen = cloth(\"linen\", width: 54 in, selvage: 1/2 in)`";

/// A cloth.
#[derive(Clone, Debug)]
pub(crate) struct Cloth {
    pub name: Rc<str>,
    pub usable: Quantity,
    /// The part of a length that the wash leaves, as the library's `cloth` works it out.
    kept: Option<Quantity>,
    /// Whether the wash takes something of it.
    pub shrinks: bool,
    pub price: Option<Quantity>,
    pub shop: Option<Quantity>,
    /// Whether it has one way up, so that its pieces are not turned.
    pub directional: bool,
    pub settings: Settings,
    pub span: Span,
}

impl Cloth {
    /// The cloth of a record.
    pub fn read(operand: Operand<'_>, settings: &Settings) -> Result<Cloth, Halt> {
        let Value::Record(record) = operand.value else {
            return Err(words::wanted("a cloth", operand.value, operand.span).hint(NAMED_FIRST).into());
        };
        let Some(Value::Text(name)) = record.part("name") else {
            return Err(bad(operand.span, NAME));
        };
        let Some(usable) = measure_part(record, "usable", Dim::LENGTH) else {
            return Err(bad(operand.span, WIDTH));
        };
        if usable.is_zero() || usable.is_negative() {
            return Err(bad(operand.span, "this cloth has no usable width"));
        }
        let kept = measure_part(record, "kept", Dim::NONE);
        let shrinks = measure_part(record, "shrink", Dim::NONE).is_some_and(|shrink| !shrink.is_zero());
        if shrinks && kept.is_none() {
            return Err(bad(
                operand.span,
                "a cloth that shrinks needs `.kept`, the part of it that is left after washing",
            ));
        }
        if kept.as_ref().is_some_and(|kept| kept.is_zero() || kept.is_negative()) {
            return Err(bad(operand.span, "a cloth cannot shrink by all of its length"));
        }
        let price = match record.part("price") {
            Some(Value::Measure(price)) if price.dim.is_money() => Some(price.clone()),
            _ => None,
        };
        Ok(Cloth {
            name: name.clone(),
            usable,
            kept,
            shrinks,
            price,
            shop: measure_part(record, "shop", Dim::LENGTH).or_else(|| settings.shop.clone()),
            directional: matches!(record.part("directional"), Some(Value::YesNo(true))),
            settings: settings.clone(),
            span: operand.span,
        })
    }

    /// The length before the wash that leaves this much.
    pub fn unwashed(&self, length: &Quantity) -> Result<Quantity, Halt> {
        self.by_kept(length, Quantity::div)
    }

    /// What the wash leaves of a length.
    pub fn washed(&self, length: &Quantity) -> Result<Quantity, Halt> {
        self.by_kept(length, Quantity::mul)
    }

    fn by_kept(
        &self,
        length: &Quantity,
        make: fn(&Quantity, &Quantity) -> Result<Quantity, Trouble>,
    ) -> Result<Quantity, Halt> {
        let made = self.kept.as_ref().map_or_else(|| Ok(length.clone()), |kept| make(length, kept));
        made.map_err(|trouble| words::alone(trouble, self.span))
    }

    /// Shrinkage put back, then up to the shop's step.
    pub fn to_buy(&self, length: &Quantity) -> Result<Quantity, Halt> {
        let buy = self.unwashed(length)?;
        match &self.shop {
            Some(step) => {
                let up = buy.round_to(step, Way::Up).map_err(|trouble| words::alone(trouble, self.span))?;
                Ok(bill::as_sold(up, step))
            }
            None => Ok(buy),
        }
    }
}

fn bad(span: Span, message: &str) -> Halt {
    let fault = Fault::new(FaultCode::WrongKind, span, message);
    fault.hint(MADE_WITH).into()
}

fn measure_part(record: &Record, name: &str, dim: Dim) -> Option<Quantity> {
    match record.part(name) {
        Some(Value::Measure(quantity)) if quantity.dim == dim => Some(quantity.clone()),
        _ => None,
    }
}
