//! The whole numbers that a cloth is laid out in.

use num_traits::ToPrimitive;

use crate::measure::typed::{self, Length, Mark};
use crate::measure::{Exact, Quantity};

/// Lengths as whole numbers of a common step. A length that is not known exactly, or that has no
/// common step with those before it that can be counted in, is between two whole numbers.
pub(crate) struct Grid {
    /// Grid units in a base unit.
    parts: i128,
    /// The length of one grid unit.
    step: Length,
}

impl Grid {
    /// Steps so fine that lengths of cloth in them are still counted in 128 bits, with room to spare.
    pub const WIDE: i128 = 1 << 80;

    /// The same for 64 bits.
    pub const NARROW: i128 = 1 << 36;

    /// So many parts of a base unit are less than a thousandth of an inch.
    const CLOSE: i128 = 16;

    /// The grid of these lengths, in steps of no more than `finest` to the base unit; the first of
    /// them stay exact before the others.
    pub fn of<'a>(lengths: impl Iterator<Item = &'a Quantity>, finest: i128) -> Grid {
        let mut common = 1i128;
        let mut between = 1;
        for quantity in lengths {
            let denominator =
                quantity.number.exact().map(Exact::reduced).and_then(|exact| denominator(&exact));
            let next =
                denominator.and_then(|d| common.checked_mul(d.checked_div(num_integer::gcd(common, d))?));
            match next {
                Some(next) if next <= finest / Grid::CLOSE => common = next,
                // What has no common step with the others is reported as finely as may be.
                _ if quantity.number.is_exact() => between = finest,
                _ => between = between.max(Grid::CLOSE),
            }
        }
        let parts = common.saturating_mul(between.min(finest.checked_div(common).unwrap_or(1)).max(1));
        let part = Exact::ONE.checked_div(&Exact::wide(parts)).unwrap_or(Exact::ONE);
        Grid { parts, step: Length::new::<Mark>(part) }
    }

    /// So many grid units hold the length.
    pub fn up(&self, quantity: &Quantity) -> Option<i128> {
        self.count(typed::most(quantity).ok()?).ceil().numer().to_i128()
    }

    /// So many grid units are within the length.
    pub fn down(&self, quantity: &Quantity) -> Option<i128> {
        self.count(typed::least(quantity).ok()?).floor().numer().to_i128()
    }

    fn count(&self, length: Length) -> Exact {
        let marks = typed::marks(&length);
        &marks * &Exact::wide(self.parts)
    }

    /// A length in grid units as a measure, read like another.
    pub fn back(&self, units: i128, like: &Quantity) -> Quantity {
        let length = self.step.clone() * Exact::wide(units);
        Quantity { reading: like.reading, ..Quantity::from(&length) }
    }
}

fn denominator(exact: &Exact) -> Option<i128> {
    exact.small().map_or_else(|| exact.denom().to_i128(), |(_, denominator)| Some(denominator.into()))
}
