//! The units that the lengths of a plan are read in.

use crate::measure::{Quantity, Reading, System};
use crate::recipe::cutting::Lot;

impl Lot {
    /// Lengths of this cloth are read as its first piece is, save where that is typed in another system
    /// than the cloth and the shop's step.
    pub fn read_like(&self) -> &Quantity {
        let usable = &self.cloth.usable;
        let system = usable.reading.system();
        let sold = self.cloth.shop.as_ref().is_none_or(|step| step.reading.system() == system);
        match self.pieces.first() {
            Some(cut) if system.is_none() || !sold || cut.along.reading.system() == system => &cut.along,
            _ => usable,
        }
    }

    /// How the largest side of a piece in metric units is read.
    pub(super) fn metric_reading(&self) -> Option<Reading> {
        let sides = self.pieces.iter().flat_map(|cut| [&cut.across, &cut.along]);
        let largest = sides.filter(|side| is_metric(side)).max_by_key(|side| side.number.mid());
        largest.map(|side| side.reading.worked())
    }
}

/// A metric side read from the unit of the largest one, so that a list does not change between mm and cm.
pub(super) fn metric_like(side: &Quantity, metric: Option<Reading>) -> Quantity {
    let reading = metric.filter(|_| is_metric(side)).unwrap_or(side.reading);
    Quantity { reading, ..side.clone() }
}

/// Whether a side is read in metric units, and no unit is asked for.
fn is_metric(side: &Quantity) -> bool {
    side.reading.system() == Some(System::Metric)
        && !matches!(side.reading, Reading::Shown(_) | Reading::Step(_))
}
