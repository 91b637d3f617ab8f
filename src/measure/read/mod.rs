//! Measures as people write them: `2 1/2 in`, `6' 2½"`, `7.90 EUR/m`, `12 by 36 in`.
//!
//! What could be read two ways is refused with both readings, never guessed.

mod fault;
mod number;
mod scan;
mod signs;
mod unit;

pub use fault::{ReadFault, ReadKind};

use number::Figure;
use scan::Scan;

use super::{Dim, Exact, Number, Quantity, UnitExpr};

/// One measure with the last unit it was written in.
struct Measured {
    value: Exact,
    unit: Option<UnitExpr>,
}

impl Measured {
    fn quantity(self) -> Quantity {
        match self.unit {
            None => Quantity::number(self.value),
            Some(unit) => {
                Quantity { number: Number::Exact(self.value), dim: unit.dim(), reading: unit.typed() }
            }
        }
    }
}

/// Reads one literal; the whole text must be it.
pub fn literal(text: &str) -> Result<Quantity, ReadFault> {
    measured(text).map(Measured::quantity)
}

/// Reads a size, across by along; a bare side takes its partner's unit.
pub fn size(text: &str) -> Result<(Quantity, Quantity), ReadFault> {
    let Some((left, right)) = split_by(text) else {
        let fault = ReadFault::syntax(0..text.len(), "write a size here, across by along");
        return Err(fault.hint("write it as `16 in by 60 in`"));
    };
    let right_at = text.len().saturating_sub(right.len());
    let mut across = measured(left)?;
    let mut along = measured(right).map_err(|fault| fault.moved(right_at))?;
    match (&across.unit, &along.unit) {
        (None, Some(unit)) => take_unit(&mut across, unit.clone()),
        (Some(unit), None) => take_unit(&mut along, unit.clone()),
        _ => {}
    }
    for (side, range) in [(&across, 0..left.len()), (&along, right_at..text.len())] {
        if side.unit.as_ref().map(UnitExpr::dim) != Some(Dim::LENGTH) {
            let fault = ReadFault::syntax(range, "a size has two lengths");
            return Err(fault.hint("give it a unit of length, as in `12 by 36 in`"));
        }
    }
    Ok((across.quantity(), along.quantity()))
}

fn take_unit(side: &mut Measured, unit: UnitExpr) {
    side.value = (&side.value * unit.factor()).reduced();
    side.unit = Some(unit);
}

/// The texts on both sides of the word `by`.
fn split_by(text: &str) -> Option<(&str, &str)> {
    let space = |c: Option<char>| c.is_some_and(char::is_whitespace);
    text.match_indices("by").find_map(|(at, word)| {
        let (left, right) = (text.get(..at)?, text.get(at.saturating_add(word.len())..)?);
        (space(left.chars().next_back()) && space(right.chars().next())).then_some((left, right))
    })
}

fn measured(text: &str) -> Result<Measured, ReadFault> {
    let mut scan = Scan::new(text);
    scan.spaces();
    let start = scan.at();
    let negative = scan.minus();
    let figure = number::figure(&mut scan)?;
    let unit = scan.unit()?;
    let mut made = with_unit(&scan, &figure, unit, start)?;
    scan.spaces();
    if !scan.done() {
        rest(&mut scan, &mut made, start)?;
    }
    if negative {
        made.value = -made.value;
    }
    Ok(made)
}

/// A figure and its unit. The hyphened form is a mixed number only with a unit after it.
fn with_unit(
    scan: &Scan<'_>,
    figure: &Figure,
    unit: Option<UnitExpr>,
    start: usize,
) -> Result<Measured, ReadFault> {
    let Some(unit) = unit else {
        return match &figure.apart {
            Some(apart) => Err(fault::hyphened(start..scan.at(), &figure.value, apart)),
            None => Ok(Measured { value: figure.value.reduced(), unit: None }),
        };
    };
    let value = (&figure.value * unit.factor()).reduced();
    Ok(Measured { value, unit: Some(unit) })
}

/// Smaller units after the first: `1 yd 9 in`, `6' 2½"`. Nothing else may follow.
#[cold]
fn rest(scan: &mut Scan<'_>, made: &mut Measured, start: usize) -> Result<(), ReadFault> {
    while !scan.done() {
        let from = scan.at();
        let large = made.unit.as_ref().and_then(UnitExpr::single);
        let Some(large) = large.filter(|_| scan.figure_ahead()) else {
            return Err(fault::trailing(scan.text(), scan.at(), start, made.unit.is_some()));
        };
        let figure = number::figure(scan)?;
        let small = scan.unit()?;
        let smaller = small.as_ref().and_then(UnitExpr::single).filter(|small| {
            small.dim() == large.dim() && small.system() == large.system() && small.factor() < large.factor()
        });
        if smaller.is_none() {
            return Err(fault::not_smaller(from..scan.at()));
        }
        let part = with_unit(scan, &figure, small, from)?;
        made.value = (&made.value + part.value).reduced();
        made.unit = part.unit;
        scan.spaces();
    }
    Ok(())
}
