//! Figures: whole, decimal, fraction, mixed.

use num_bigint::BigInt;
use num_rational::BigRational;

use super::ReadFault;
use super::fault;
use super::scan::Scan;
use crate::limits::DIGITS;
use crate::measure::exact::Exact;

/// A figure as it was written.
pub(super) struct Figure {
    pub(super) value: Exact,
    /// What `2-1/2` is as a subtraction, where it was written so.
    pub(super) apart: Option<Exact>,
}

fn plain(value: Exact) -> Result<Figure, ReadFault> {
    Ok(Figure { value, apart: None })
}

/// Reads a figure without its sign.
pub(super) fn figure(scan: &mut Scan<'_>) -> Result<Figure, ReadFault> {
    let start = scan.at();
    if let Some(value) = scan.vulgar() {
        return plain(value);
    }
    let digits = scan.digits();
    if scan.peek() == Some('.') {
        let at = scan.at();
        scan.take('.');
        if scan.digit_ahead() {
            return decimal(scan, digits, start);
        }
        scan.back_to(at);
    }
    if digits.is_empty() {
        return Err(fault::no_figure(scan.text(), scan.at()));
    }
    let whole = integer(digits, start)?;
    if scan.done() {
        return plain(whole);
    }
    if let Some(part) = scan.vulgar() {
        return plain(whole + part);
    }
    let at = scan.at();
    if scan.slash() {
        if scan.digit_ahead() {
            return fraction(scan, whole, start);
        }
        scan.back_to(at);
        return plain(whole);
    }
    if scan.peek() == Some(',') {
        return comma(scan, digits, start).unwrap_or_else(|| plain(whole));
    }
    mixed(scan, whole, start)
}

fn check_length(digits: usize, start: usize) -> Result<(), ReadFault> {
    if digits > DIGITS { Err(fault::too_long(start..start.saturating_add(digits))) } else { Ok(()) }
}

/// The number of some digits.
fn integer(digits: &str, start: usize) -> Result<Exact, ReadFault> {
    if digits.len() <= 18 {
        let value = digits.bytes().fold(0i64, |sum, digit| {
            sum.saturating_mul(10).saturating_add(i64::from(digit.saturating_sub(b'0')))
        });
        return Ok(Exact::whole(value));
    }
    check_length(digits.len(), start)?;
    let big =
        digits.parse::<BigInt>().map_err(|_| fault::too_long(start..start.saturating_add(digits.len())))?;
    Ok(Exact::from_big(BigRational::from_integer(big)))
}

/// What comes after a point.
fn decimal(scan: &mut Scan<'_>, whole: &str, start: usize) -> Result<Figure, ReadFault> {
    let behind = scan.digits();
    check_length(whole.len().saturating_add(behind.len()), start)?;
    let places = i32::try_from(behind.len()).unwrap_or(i32::MAX);
    let scale = Exact::whole(10).powi(places.saturating_neg()).unwrap_or(Exact::ZERO);
    let value = integer(whole, start)? + integer(behind, start)? * scale;
    if scan.peek() == Some(',')
        && let Some(refused) = comma(scan, whole, start)
    {
        return refused;
    }
    plain(value)
}

/// `1,5`: refused, unless no digit follows.
fn comma(scan: &mut Scan<'_>, digits: &str, start: usize) -> Option<Result<Figure, ReadFault>> {
    let at = scan.at();
    scan.take(',');
    let behind = scan.digits();
    let end = scan.at();
    scan.back_to(at);
    (!behind.is_empty()).then(|| Err(fault::comma(start..end, digits, behind)))
}

/// The denominator, its slash taken.
fn denominator(scan: &mut Scan<'_>, start: usize) -> Result<Exact, ReadFault> {
    let at = scan.at();
    let below = integer(scan.digits(), at)?;
    if below.is_zero() { Err(fault::zero_below(start..scan.at())) } else { Ok(below) }
}

fn over(above: &Exact, below: &Exact) -> Exact {
    above.checked_div(below).unwrap_or(Exact::ZERO)
}

/// `3/4`, the slash taken; `1/2/3` is refused.
fn fraction(scan: &mut Scan<'_>, above: Exact, start: usize) -> Result<Figure, ReadFault> {
    let below = denominator(scan, start)?;
    let at = scan.at();
    if scan.slash() {
        if scan.digit_ahead() {
            let digits = scan.digits();
            let last = integer(digits, at)?;
            return Err(fault::twice_divided(start..scan.at(), &above, &below, &last));
        }
        scan.back_to(at);
    }
    plain(over(&above, &below))
}

/// What may follow whole digits: a fraction after spaces, or after a hyphen.
fn mixed(scan: &mut Scan<'_>, whole: Exact, start: usize) -> Result<Figure, ReadFault> {
    let at = scan.at();
    let apart = scan.spaces();
    let minus = scan.minus();
    let Some((above, below)) = tight_fraction(scan, start)? else {
        scan.back_to(at);
        return plain(whole);
    };
    let part = over(&above, &below);
    if apart && minus {
        return Err(fault::minus_apart(start..scan.at(), &whole, &part));
    }
    let value = &whole + &part;
    if part >= Exact::ONE {
        return Err(fault::not_below_one(start..scan.at(), (&whole, &above, &below), &value));
    }
    Ok(Figure { value, apart: minus.then(|| &whole - &part) })
}

/// A fraction without spaces, if one is here.
fn tight_fraction(scan: &mut Scan<'_>, start: usize) -> Result<Option<(Exact, Exact)>, ReadFault> {
    if let Some(part) = scan.vulgar() {
        let parts = part.small().map(|(n, d)| (Exact::whole(n), Exact::whole(d)));
        return Ok(parts);
    }
    let at = scan.at();
    let digits = scan.digits();
    if digits.is_empty() || !scan.slash() || !scan.digit_ahead() {
        return Ok(None);
    }
    let above = integer(digits, at)?;
    let below = denominator(scan, start)?;
    Ok(Some((above, below)))
}
