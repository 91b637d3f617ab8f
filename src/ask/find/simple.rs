//! The simplest numbers between two bounds: fractions with the smallest denominators, in the units that
//! people write.

use num_bigint::BigInt;
use num_rational::BigRational;

use crate::measure::{Exact, Quantity, UnitId};

/// The simplest number from `lo` to `hi`, in each unit in which it may have been meant.
pub(crate) fn simplest(like: &Quantity, lo: &Exact, hi: &Exact) -> Vec<Exact> {
    let units = match like.dim {
        crate::measure::Dim::LENGTH => vec![UnitId::IN.factor().clone(), UnitId::CM.factor().clone()],
        _ => vec![Exact::ONE],
    };
    let in_unit = |unit: &Exact| {
        let (low, high) = (lo.checked_div(unit)?, hi.checked_div(unit)?);
        Some((fraction(&low.to_big(), &high.to_big(), 200)? * unit).reduced())
    };
    units.iter().filter_map(in_unit).collect()
}

fn fraction(lo: &BigRational, hi: &BigRational, left: u32) -> Option<Exact> {
    simplest_big(lo, hi, left).map(Exact::from_big)
}

/// The fraction with the smallest denominator, by the continued fractions of both bounds.
#[expect(clippy::arithmetic_side_effects, reason = "fractions of big integers never overflow")]
fn simplest_big(lo: &BigRational, hi: &BigRational, left: u32) -> Option<BigRational> {
    let zero = BigRational::from_integer(BigInt::from(0));
    if *lo < zero {
        return match *hi < zero {
            true => simplest_big(&-hi, &-lo, left).map(|made| -made),
            false => Some(zero),
        };
    }
    let whole = lo.ceil();
    if whole <= *hi {
        return Some(whole);
    }
    let left = left.checked_sub(1)?;
    let below = lo.floor();
    let rest = simplest_big(&(hi - &below).recip(), &(lo - &below).recip(), left)?;
    Some(below + rest.recip())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_simplest_fraction_is_found() {
        let ratio = |n: i64, d: i64| Exact::ratio(n, d).unwrap_or(Exact::ZERO);
        for (lo, hi, wanted) in [
            (ratio(9, 10), ratio(11, 10), ratio(1, 1)),
            (ratio(31, 100), ratio(34, 100), ratio(1, 3)),
            (ratio(-26, 10), ratio(-24, 10), ratio(-5, 2)),
            (ratio(-1, 10), ratio(1, 10), ratio(0, 1)),
            (ratio(3, 7), ratio(3, 7), ratio(3, 7)),
        ] {
            assert_eq!(fraction(&lo.to_big(), &hi.to_big(), 50), Some(wanted));
        }
    }
}
