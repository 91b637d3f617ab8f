//! What came out, as the docket holds it.

use std::rc::Rc;

use crate::ask::find::line::Bracket;
use crate::ask::find::point::{Probe, Tried};
use crate::docket::{Figure, FigureValue, Near, Outcome};
use crate::eval::machine::Halt;
use crate::measure::{Exact, Number, Quantity};
use crate::value::data::Value;

/// The answer to a question.
pub(crate) struct Answer {
    pub outcome: Outcome,
    pub notes: Vec<Rc<str>>,
    pub near: Vec<Near>,
}

impl Answer {
    /// An answer without notes.
    pub fn new(outcome: Outcome) -> Answer {
        Answer { outcome, notes: Vec::new(), near: Vec::new() }
    }

    /// Adds what is to be known.
    pub fn note(mut self, note: impl Into<Rc<str>>) -> Answer {
        self.notes.push(note.into());
        self
    }
}

impl Probe<'_, '_> {
    /// A measure as a figure.
    pub fn figure(&self, quantity: Quantity) -> Figure {
        Figure { value: FigureValue::Measure(quantity), manner: self.machine.settings.manner }
    }

    /// One number as a figure.
    pub fn number(&self, exact: &Exact) -> Figure {
        self.figure(self.value(Number::Exact(exact.reduced())))
    }

    /// A spot as a figure: exact, or between its bounds.
    pub fn spot(&self, bracket: &Bracket) -> Figure {
        self.figure(self.value(Number::spanning(bracket.0.clone(), bracket.1.clone())))
    }

    /// A number as text.
    pub fn words(&self, exact: &Exact) -> String {
        self.value(Number::Exact(exact.reduced())).show(&self.machine.settings.manner)
    }

    /// A value that was tried, for the docket.
    pub fn near(&self, at: &Exact, tried: &Tried) -> Near {
        let figure =
            |value: &Value| Figure { value: value.to_figure(), manner: self.machine.settings.manner };
        let made = tried.made.as_ref().map(figure);
        Near { at: self.number(at), made, holds: tried.holds == Some(true), open: tried.open }
    }

    /// Tries a value for the docket.
    pub fn near_at(&mut self, at: &Exact) -> Result<Near, Halt> {
        let tried = self.at(at)?;
        Ok(self.near(at, &tried))
    }
}
