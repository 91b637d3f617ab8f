//! What was really sewn in place of what was planned.
//!
//! The recipe is made twice: once as planned, once with what was measured. From a `measured` line on
//! the name has its new value, and the lines between the name and there are worked anew; what was
//! told before stays. What differs between the two ways is told in the docket.

mod changes;
mod follow;
mod mend;

use std::rc::Rc;

use crate::fault::{Code as FaultCode, Fault, closest};
use crate::recipe::build::Recipe;
use crate::recipe::make::{Run, Set};
use crate::value::data::Value;
pub(crate) use changes::changed;
pub(crate) use follow::Follow;
pub(crate) use mend::{cut_pieces, mended};

/// What was measured, from outside.
#[derive(Debug, Default)]
pub(crate) struct Outside {
    /// Slot and value.
    pub made: Vec<(u32, Value)>,
    /// The pieces that are cut already.
    pub cut: Vec<Rc<str>>,
}

impl Recipe {
    /// From now on these names have what was really made in place of what was planned; pieces of
    /// these labels were cut before that.
    pub fn measure(&mut self, made: Vec<(Rc<str>, Value)>, cut: Vec<Rc<str>>) -> Result<(), Vec<Fault>> {
        let mut faults = Vec::new();
        let mut slots: Vec<(u32, Value)> = Vec::new();
        for (name, value) in made {
            match self.names.iter().position(|known| *known == name) {
                Some(slot) if slots.iter().any(|(known, _)| *known as usize == slot) => {
                    let message = format!("`{name}` is measured twice");
                    faults.push(Fault::nowhere(FaultCode::BadCommand, message));
                }
                Some(slot) => slots.push((u32::try_from(slot).unwrap_or(u32::MAX), value)),
                None => {
                    let message = format!("this recipe has nothing called `{name}` that could be measured");
                    let close = closest(&name, self.names.iter().map(|name| &**name));
                    faults.push(Fault::nowhere(FaultCode::UnknownName, message).did_you_mean(close));
                }
            }
        }
        self.outside = Outside { made: slots, cut };
        if faults.is_empty() { Ok(()) } else { Err(faults) }
    }
}

/// Whether anything is measured.
pub(crate) fn any(recipe: &Recipe) -> bool {
    !recipe.outside.made.is_empty() || recipe.lines.iter().any(|line| line.act.measures().is_some())
}

/// Makes the recipe as planned, then as measured.
pub(crate) fn run(recipe: &mut Recipe, set: &[Set], size: Option<Rc<str>>) -> Run {
    let mut plan = Follow::default();
    let planned = recipe.pass(set, size.clone(), Some(&mut plan));
    if planned.faults.iter().any(|fault| fault.code == FaultCode::Stopped) {
        return planned;
    }
    let before = recipe.machine.globals.clone();
    let mut follow = Follow::measured(recipe, plan, planned.faults.is_empty());
    let mut run = recipe.pass(set, size, Some(&mut follow));
    if run.faults.is_empty() {
        run.faults.extend(follow.unknown_labels());
        let measured = changes::told(recipe, follow, &planned, &before, &run.docket);
        run.docket.measured = Some(Box::new(measured));
    }
    run
}
