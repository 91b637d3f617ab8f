//! Printing: on the ruler, or exactly.

mod figures;
mod kinds;
mod length;
mod slack;

pub use figures::{mixed_text, places as decimal_places, push_places as push_decimal};
pub use slack::{write_amount, write_slack, write_slack_mark};

use super::dim::Dim;
use super::number::Number;
use super::quantity::Quantity;
use super::reading::{Reading, push_units};
use super::ruler::{Manner, Ruler};
use super::unit::System;
use figures::push_exact;

impl Quantity {
    /// As it is read, true value in brackets where it lies off the mark.
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
            let (other, manner) = self.other_side(manner);
            other.write_as(&manner, false, out);
        }
    }

    /// The reading on the ruler alone, without the true value: `scant 4 1/4 in`.
    pub fn mark(&self, manner: &Manner) -> String {
        let mut out = String::new();
        self.write_as(manner, false, &mut out);
        out
    }

    fn write_as(&self, manner: &Manner, brackets: bool, out: &mut String) {
        match length::ruler_of(self, manner) {
            Some(ruler) => length::write(self, ruler, brackets, out),
            None => kinds::write(self, manner, out),
        }
    }

    /// The same measure read in the other family, on its usual ruler.
    fn other_side(&self, manner: &Manner) -> (Quantity, Manner) {
        let ruler = length::ruler_of(self, manner).map(Ruler::system);
        let family = ruler.or_else(|| kinds::family(self, manner)).unwrap_or(System::Inch);
        let other = match family {
            System::Inch => System::Metric,
            System::Metric => System::Inch,
        };
        let turned = Quantity { reading: Some(other).into(), ..self.clone() };
        (turned, Manner::default())
    }

    /// The exact value with its unit, as it reads back: `4 13/64 in`. An approximate one says so.
    pub fn exact_text(&self) -> String {
        let (mut out, unit) = self.exact_parts();
        match unit.as_str() {
            "%" => out.push('%'),
            "" => {}
            unit => {
                out.push(' ');
                out.push_str(unit);
            }
        }
        out
    }

    /// The exact value and its unit apart: `4 13/64` and `in`.
    pub fn exact_parts(&self) -> (String, String) {
        let units = self.units();
        let mut number = String::new();
        push_exact(&units.count(&self.number), kinds::style(self, &units.0), &mut number);
        (number, units.symbol())
    }

    /// The units that its number is told in.
    pub fn units(&self) -> ToldIn {
        let percent = self.reading == Reading::Percent && self.dim == Dim::NONE;
        ToldIn(if percent { kinds::PERCENT } else { kinds::units_of(self, &Manner::default()) })
    }
}

/// The units that the number of a measure is told in: one for a whole column, whatever its values.
#[derive(Clone, Copy, Debug)]
pub struct ToldIn(kinds::UnitList);

impl ToldIn {
    /// How they are written: `EUR/m`; nothing for a bare number.
    pub fn symbol(&self) -> String {
        let mut symbol = String::new();
        push_units(self.0.parts(), &mut symbol);
        symbol
    }

    /// A number of base units as a number of these.
    pub fn count(&self, number: &Number) -> Number {
        kinds::in_units(number, &self.0)
    }
}

/// A size as it is read: `15 1/4 in by 50 1/2 in`.
pub fn show_size(across: &Quantity, along: &Quantity, manner: &Manner) -> String {
    let one = Manner { both: false, ..*manner };
    let mut out = across.show(&one);
    out.push_str(" by ");
    along.write(&one, &mut out);
    if manner.both {
        let sides = [across, along].map(|side| {
            let (other, manner) = side.other_side(&one);
            other.mark(&manner)
        });
        out.push_str(" / ");
        out.push_str(&sides.join(" by "));
    }
    out
}
