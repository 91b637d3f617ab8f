//! Rounding to a step, and readings asked for.

use super::{Dim, Exact, Number, Quantity, Reading, Ruler, System, Trouble, UnitExpr, UnitId, Units};

/// Which way to round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// To the nearest step; halfway goes away from 0.
    Nearest,
    /// Never less.
    Up,
    /// Never more.
    Down,
}

impl Quantity {
    /// The nearest whole multiple of a step, or the next above or below; read in the step's unit, but in metres
    /// where those were typed and the step is metric.
    pub fn round_to(&self, step: &Quantity, way: Way) -> Result<Quantity, Trouble> {
        if self.dim != step.dim {
            return Err(self.dim.mismatch(step.dim));
        }
        if step.is_negative() {
            return Err(Trouble::NoSuchNumber);
        }
        let steps = whole(&self.number.div(&step.number)?, way).ok_or(Trouble::TooClose)?;
        let number = step.number.mul(&Number::Exact(steps))?;
        Ok(Quantity { number, dim: self.dim, reading: self.rounded_reading(step) })
    }

    fn rounded_reading(&self, step: &Quantity) -> Reading {
        let metres = self.reading.units().and_then(Units::single) == Some(UnitId::M);
        match self.reading {
            Reading::Typed(_) | Reading::Like(_)
                if metres && step.reading.system() == Some(System::Metric) =>
            {
                Reading::Like(Units::one(UnitId::M))
            }
            _ => step.step_reading(),
        }
    }

    /// How a value that is rounded to this step is read.
    fn step_reading(&self) -> Reading {
        match self.reading {
            Reading::Percent => Reading::Percent,
            reading => match (Ruler::from_step(self), reading) {
                (Some(ruler), _) => Reading::Rounded(ruler),
                (None, Reading::Typed(units) | Reading::Shown(units)) => Reading::Shown(units),
                (None, reading) => reading.merge(Reading::Plain, self.dim),
            },
        }
    }

    /// The nearest whole number.
    pub fn round_whole(&self) -> Result<Quantity, Trouble> {
        self.to_whole(Way::Nearest)
    }

    /// The greatest whole number that is not above it.
    pub fn floor(&self) -> Result<Quantity, Trouble> {
        self.to_whole(Way::Down)
    }

    /// The least whole number that is not below it.
    pub fn ceil(&self) -> Result<Quantity, Trouble> {
        self.to_whole(Way::Up)
    }

    fn to_whole(&self, way: Way) -> Result<Quantity, Trouble> {
        if self.dim != Dim::NONE {
            return Err(Trouble::UnitMix);
        }
        whole(&self.number, way).map(Quantity::number).ok_or(Trouble::TooClose)
    }

    /// A sum of money rounded to the currency's minor unit; none for anything else.
    pub fn to_minor_unit(&self) -> Option<Quantity> {
        let currency = self.dim.currency()?;
        if self.dim != Dim::money(currency) {
            return None;
        }
        let units = Exact::whole(10).powi(i32::try_from(currency.digits()).ok()?)?;
        let rounded = (self.number.mid() * &units).round().checked_div(&units)?;
        Some(Quantity { number: Number::Exact(rounded.reduced()), dim: self.dim, reading: Reading::Plain })
    }

    /// The same measure, read in units asked for.
    pub fn shown_in(&self, unit: &UnitExpr) -> Result<Quantity, Trouble> {
        if self.dim != unit.dim() {
            return Err(self.dim.mismatch(unit.dim()));
        }
        Ok(Quantity { reading: unit.shown(), ..self.clone() })
    }

    /// The same measure read in these units, which are of its kind: one item of a list or a column beside
    /// the others, in what [`super::common_units`] gave.
    #[must_use]
    pub fn in_units(&self, units: Units) -> Quantity {
        Quantity { reading: Reading::Shown(units), ..self.clone() }
    }

    /// The same measure read as it was typed, in its unit and at its own mark: a given.
    #[must_use]
    pub fn as_typed(&self) -> Quantity {
        let Reading::Typed(units) = self.reading else { return self.clone() };
        let mark = |unit: UnitId| {
            let value = self.number.exact()?.checked_div(unit.factor())?.reduced();
            let den = u16::try_from(value.small()?.1).ok()?;
            Some(Reading::Step(Ruler { unit, num: 1, den }))
        };
        let on_ruler = units.single().filter(|_| self.dim == Dim::LENGTH).and_then(mark);
        Quantity { reading: on_ruler.unwrap_or(Reading::Shown(units)), ..self.clone() }
    }

    /// The same measure, read on a ruler of that step.
    pub fn shown_by(&self, step: &Quantity) -> Result<Quantity, Trouble> {
        if self.dim != step.dim {
            return Err(self.dim.mismatch(step.dim));
        }
        let ruler = Ruler::from_step(step).ok_or(Trouble::NoSuchNumber)?;
        Ok(Quantity { reading: Reading::Step(ruler), ..self.clone() })
    }
}

fn whole(number: &Number, way: Way) -> Option<Exact> {
    match way {
        Way::Nearest => number.round(),
        Way::Up => number.ceil(),
        Way::Down => number.floor(),
    }
}
