//! The whole numbers that a cloth is laid out in.

use uom::si::length::{inch, millimeter};

use crate::measure::typed::{self, Length, Mark};
use crate::measure::{Exact, Quantity, System};

/// Lengths as whole numbers: of a common step of all of them where there is one of a sensible size,
/// else of a step finer than any ruler, pieces rounded up and the cloth down.
pub(crate) struct Grid {
    /// The length of one grid unit.
    step: Length,
}

impl Grid {
    /// Beyond this a common step serves no one.
    const FINEST: i64 = 1_000_000;

    /// The grid of these lengths; where they have no common step, one of the system that `like` is
    /// read in.
    pub fn of<'a>(lengths: impl Iterator<Item = &'a Quantity>, like: &Quantity) -> Grid {
        let mut common = 1i64;
        for quantity in lengths {
            let denominator =
                quantity.number.exact().map(Exact::reduced).and_then(|exact| exact.small()).map(|(_, d)| d);
            let next = denominator.and_then(|d| {
                let gcd = num_integer::gcd(common, d);
                common.checked_mul(d.checked_div(gcd)?)
            });
            match next {
                Some(next) if next <= Grid::FINEST => common = next,
                _ => return Grid::fallback(like),
            }
        }
        Grid { step: Length::new::<Mark>(Exact::ratio(1, common).unwrap_or(Exact::ONE)) }
    }

    /// Sixty-fourths of an inch or tenths of a millimetre.
    fn fallback(like: &Quantity) -> Grid {
        let part = |parts| Exact::ratio(1, parts).unwrap_or(Exact::ONE);
        let metric = like.reading.system() == Some(System::Metric);
        let step = if metric { Length::new::<millimeter>(part(10)) } else { Length::new::<inch>(part(64)) };
        Grid { step }
    }

    fn count(&self, length: Length) -> Exact {
        (length / self.step.clone()).value
    }

    /// So many grid units hold the length.
    pub fn up(&self, quantity: &Quantity) -> Option<i64> {
        self.count(typed::most(quantity).ok()?).ceil().to_i64()
    }

    /// So many grid units lie within the length.
    pub fn down(&self, quantity: &Quantity) -> Option<i64> {
        self.count(typed::least(quantity).ok()?).floor().to_i64()
    }

    /// A length in grid units as a measure, read like another.
    pub fn back(&self, units: i64, like: &Quantity) -> Quantity {
        let length = self.step.clone() * Exact::whole(units);
        Quantity { reading: like.reading, ..Quantity::from(&length) }
    }
}
