//! What was really sewn in place of what was planned.
//!
//! The recipe is made twice: once as planned, once with what was measured. From a `measured` line on
//! the name has its new value, and the lines between the name and there are evaluated again; what was
//! reported before stays. What differs between the two ways is reported in the docket.

mod changes;
mod corrections;
pub(crate) mod follow;
mod rework;

use std::rc::Rc;

use crate::fault::{Code as FaultCode, Fault, closest};
use crate::recipe::build::Recipe;
use crate::recipe::lines::maker::{Run, Set};
use crate::value::data::Value;
use follow::{Follow, Outside};

impl Recipe {
    /// From now on these names have what was really made in place of what was planned; pieces of
    /// these labels were cut before that.
    pub fn measure(&mut self, made: Vec<(Rc<str>, Value)>, cut: Vec<Rc<str>>) -> Result<(), Vec<Fault>> {
        let mut faults = Vec::new();
        let mut slots: Vec<(u32, Value)> = Vec::new();
        for (name, value) in made {
            match self.names.slots.get(&name).copied() {
                Some(slot) if slots.iter().any(|(known, _)| *known == slot) => {
                    let message = format!("`{name}` is measured twice");
                    faults.push(Fault::nowhere(FaultCode::BadCommand, message));
                }
                Some(slot) => slots.push((slot, value)),
                None => {
                    let message = format!("this recipe has nothing called `{name}` that can be measured");
                    let close = closest(&name, self.names.globals.iter().map(|entry| &*entry.name));
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
    let in_recipe = |slot: u32| recipe.lines.iter().any(|line| line.act.measures() == Some(slot));
    let mut follow = Follow::measured(&recipe.outside, in_recipe, plan, planned.faults.is_empty());
    let mut run = recipe.pass(set, size, Some(&mut follow));
    if run.faults.is_empty() {
        run.faults.extend(follow.unknown_labels(0));
        let measured = changes::told(recipe, follow, &planned, &before, &run.docket);
        run.docket.measured = Some(Box::new(measured));
    }
    run
}
