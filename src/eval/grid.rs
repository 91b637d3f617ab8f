//! The whole numbers that a cloth is laid out in.

use crate::measure::{Dim, Exact, Number, Quantity, System, UnitId};

/// Lengths as whole numbers: of a common step of all of them where there is one of a sensible size,
/// else of a step finer than any ruler, pieces rounded up and the cloth down.
pub(crate) struct Grid {
    /// The length of one grid unit, in base units.
    step: Exact,
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
        Grid { step: Exact::ratio(1, common).unwrap_or(Exact::ONE) }
    }

    /// Sixty-fourths of an inch or tenths of a millimetre.
    fn fallback(like: &Quantity) -> Grid {
        let metric = like.reading.system() == Some(System::Metric);
        let unit = if metric { UnitId::MM } else { UnitId::IN };
        let parts = if metric { 10 } else { 64 };
        Grid { step: unit.factor().checked_div(&Exact::whole(parts)).unwrap_or(Exact::ONE) }
    }

    fn count(&self, bound: &Exact) -> Exact {
        bound.checked_div(&self.step).unwrap_or(Exact::ZERO)
    }

    /// So many grid units hold the length.
    pub fn up(&self, quantity: &Quantity) -> Option<i64> {
        self.count(quantity.number.upper()).ceil().to_i64()
    }

    /// So many grid units lie within the length.
    pub fn down(&self, quantity: &Quantity) -> Option<i64> {
        self.count(quantity.number.lower()).floor().to_i64()
    }

    /// A length in grid units as a measure, read like another.
    pub fn back(&self, units: i64, like: &Quantity) -> Quantity {
        let exact = &Exact::whole(units) * &self.step;
        Quantity { number: Number::Exact(exact.reduced()), dim: Dim::LENGTH, reading: like.reading }
    }
}
