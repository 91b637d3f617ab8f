//! Making a recipe: its lines evaluated from the top down into a docket.

use std::rc::Rc;

use crate::code::node::Node;
use crate::docket::Docket;
use crate::eval::machine::{Machine, Settings};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::recipe::build::Recipe;
use crate::recipe::lines::append::Body;
use crate::recipe::lines::maker::Maker;
pub use crate::recipe::lines::maker::{Run, Set};
use crate::recipe::measured::follow::Follow;
use crate::recipe::planning;
use crate::recipe::together::Together;
use crate::value::data::Value;

impl Recipe {
    /// Makes the recipe with these values in place of the defaults.
    pub fn run(&mut self, set: &[Set], size: Option<Rc<str>>) -> Run {
        let label = size.clone();
        let run = match crate::recipe::measured::any(self) {
            true => crate::recipe::measured::run(self, set, size),
            false => self.pass(set, size, None),
        };
        if let Some(together) = &mut self.together
            && run.faults.is_empty()
        {
            together.take(&run, label.as_deref().unwrap_or(""), &self.machine.settings);
        }
        run
    }

    /// From here on sizes that are made are held, to be laid out and bought together.
    pub fn hold(&mut self) {
        self.together = Some(Together::default());
        self.effort.later = true;
    }

    /// A size that could not be made, where sizes are held.
    pub fn leave_out(&mut self, size: &str) {
        if let Some(together) = &mut self.together {
            together.leave_out(size);
        }
    }

    /// The docket of all sizes made since [`Recipe::hold`].
    pub fn together(&mut self) -> Run {
        self.effort.later = false;
        self.together.take().unwrap_or_default().made(&self.effort)
    }

    /// One way through the lines; `follow` keeps what a `measured` line needs.
    pub(crate) fn pass(&mut self, set: &[Set], size: Option<Rc<str>>, follow: Option<&mut Follow>) -> Run {
        let Recipe {
            body: Body { lines, dependence, .. }, names, machine, both, effort, noting, noted, ..
        } = self;
        let notes = *noting || lines.iter().any(|line| line.act.looks_back());
        noted.clear();
        machine.refresh();
        machine.settings = Settings::default();
        machine.settings.manner.both = *both;
        machine.that = None;
        machine.globals.fill(Value::Unset);
        let shows = Vec::with_capacity(lines.len());
        let docket = Docket { size, kits: effort.kits, shows, ..Docket::default() };
        let run = Run { docket, ..Run::default() };
        let noted = notes.then_some(noted);
        let mut maker = Maker {
            set,
            follow,
            noted,
            run,
            ..Maker::new((lines, names, dependence), machine, effort.clone())
        };
        maker.work(0);
        maker.finish()
    }

    /// Whether measures are read in inches and in metric.
    pub fn both(&mut self, both: bool) {
        self.both = both;
    }

    /// Looks longer for better cutting plans: a few seconds for each kind of a `plan` line.
    pub fn thorough(&mut self) {
        self.effort = planning::Effort {
            kits: self.effort.kits,
            later: self.effort.later,
            ..planning::Effort::of(&self.machine.limits, true)
        };
    }

    /// Cuts and buys for so many kits at once.
    pub fn kits(&mut self, kits: u64) {
        self.effort.kits = Some(kits);
    }

    /// The values of one of the recipe's own sizes; faults where one cannot be evaluated.
    pub fn size_values(&mut self, size: usize) -> Result<Vec<Set>, Vec<Fault>> {
        let Recipe { body, machine, .. } = self;
        machine.refresh();
        let mut faults = Vec::new();
        let mut set = Vec::new();
        for (given, node, slots) in body.sizes.get(size).iter().flat_map(|size| &size.values) {
            match machine.line(node, *slots) {
                Ok(value) => set.push(Set { given: *given, value, span: Some(node.span) }),
                Err(halt) => faults.extend(halt.fault()),
            }
        }
        if faults.is_empty() { Ok(set) } else { Err(faults) }
    }

    /// Works the examples in the documentation of the recipe's own rules.
    pub fn try_examples(&mut self) -> Vec<Fault> {
        let machine = &mut self.machine;
        let mut faults = Vec::new();
        for (tried, expected, span, slots) in &self.body.examples {
            machine.refresh();
            faults.extend(try_example(machine, tried, expected, *span, *slots));
        }
        faults
    }

    /// How many examples its documentation holds.
    pub fn example_count(&self) -> usize {
        self.examples.len()
    }
}

/// Works an example; a fault where it does not come out as stated.
pub(crate) fn try_example(
    machine: &mut Machine,
    tried: &Node,
    expected: &Node,
    span: Span,
    slots: u32,
) -> Option<Fault> {
    let worked = machine.line(tried, slots).and_then(|tried| Ok((tried, machine.line(expected, slots)?)));
    let (got, wanted) = match worked {
        Ok(both) => both,
        Err(halt) => return halt.fault(),
    };
    let same = match crate::eval::alike(&got, &wanted) {
        Some(alike) => Ok(alike),
        None => crate::eval::operate::same(&got, &wanted),
    };
    match same {
        Ok(true) => None,
        Ok(false) => {
            let message = format!("this example gives {}, not {}", got.exact_text(), wanted.exact_text());
            Some(Fault::new(FaultCode::TryFailed, span, message))
        }
        Err(trouble) => {
            let (a, b) = (Operand::new(&got, tried.span), Operand::new(&wanted, expected.span));
            words::comparison(trouble, a, b).fault()
        }
    }
}
