//! Printing: as people read it, or exactly.

mod figures;
mod glued;
mod kinds;
mod marks;
mod slack;
mod units;

pub use figures::{mixed_text, places as decimal_places, push_places as push_decimal};
pub(crate) use glued::glued;
pub use slack::{write_amount, write_slack, write_slack_mark};
pub use units::{ToldIn, common_units, side_by_side};

use super::{Dim, Manner, Quantity, System};
use figures::push_exact;
use units::{system_of, unit_of_length, units_of};

impl Quantity {
    /// As it is read, true value in brackets where that is another.
    pub fn show(&self, manner: &Manner) -> String {
        let mut out = String::new();
        self.write(manner, &mut out);
        out
    }

    /// Appends what [`Quantity::show`] gives.
    pub fn write(&self, manner: &Manner, out: &mut String) {
        self.write_as(manner, true, out);
        if manner.both && self.dim.has_system() {
            out.push_str(" / ");
            self.other_side(manner).write_as(&Manner::default(), false, out);
        }
    }

    /// The reading alone, without the true value: `scant 4 1/4 in`.
    pub fn mark(&self, manner: &Manner) -> String {
        let mut out = String::new();
        self.write_as(manner, false, &mut out);
        out
    }

    fn write_as(&self, manner: &Manner, brackets: bool, out: &mut String) {
        match self.dim {
            Dim::LENGTH => marks::write(self, unit_of_length(self, manner), manner, brackets, out),
            _ => kinds::write(self, units_of(self, manner), brackets, out),
        }
    }

    /// Whether its reading is a fraction of an inch that is between the marks of the ruler in force.
    pub fn is_between_marks(&self, manner: &Manner) -> bool {
        self.dim == Dim::LENGTH && marks::is_between_marks(self, unit_of_length(self, manner), manner)
    }

    /// The same measure read in the other family, on its usual ruler.
    fn other_side(&self, manner: &Manner) -> Quantity {
        let other = match system_of(self, manner) {
            Some(System::Metric) => System::Inch,
            _ => System::Metric,
        };
        Quantity { reading: other.into(), ..self.clone() }
    }

    /// The exact value with its unit, as it reads back: `4 13/64 in`. An approximate one says so.
    pub fn exact_text(&self) -> String {
        let units = self.units();
        let mut out = String::new();
        push_exact(&units.count(&self.number), units.style(), &mut out);
        kinds::push_unit(units, &mut out);
        out
    }

    /// The units that its number is reported in, exactly: those of [`Quantity::exact_text`].
    pub fn units(&self) -> ToldIn {
        units_of(self, &Manner::default())
    }
}

/// A size as it is read: `15 1/4 in by 50 1/2 in`.
pub fn show_size(across: &Quantity, along: &Quantity, manner: &Manner) -> String {
    let one = Manner { both: false, ..*manner };
    let mut out = side_by_side([across, along], &one).map(|side| side.show(&one)).join(" by ");
    if manner.both {
        let other = [across, along].map(|side| side.other_side(&one));
        let [across, along] = &other;
        out.push_str(" / ");
        out.push_str(&mark_size(across, along, &Manner::default()));
    }
    out
}

/// A size by its readings alone, without the true values.
pub fn mark_size(across: &Quantity, along: &Quantity, manner: &Manner) -> String {
    side_by_side([across, along], manner).map(|side| side.mark(manner)).join(" by ")
}
