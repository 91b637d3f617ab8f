//! What was really sewn in place of what was planned.
//!
//! The recipe is made twice: once as planned, once with what was measured. From a `measured` line on
//! the name has its new value, and the lines between the name and there are worked anew; what was
//! told before stays. What differs between the two ways is told in the docket.

mod changes;
mod follow;
mod mend;

use std::rc::Rc;

use crate::code::names::Names;
use crate::eval::words::Operand;
use crate::fault::{Code as FaultCode, Fault, Span, closest};
use crate::recipe::build::{ActKind, Recipe};
use crate::recipe::make::{Run, Set};
use crate::syntax::tree::Ident;
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
    let line = |act: &crate::recipe::build::Act| matches!(act.kind, ActKind::Measured { .. });
    !recipe.outside.made.is_empty() || recipe.acts.iter().any(line)
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

/// The slot of a name that is measured: it must have been planned on a line above.
pub(crate) fn planned(names: &Names, name: &Ident) -> Result<u32, Option<Fault>> {
    let Some(slot) = names.slots.get(&name.name).copied() else {
        if names.spoiled.contains(&name.name) {
            return Err(None);
        }
        let message = format!("nothing here is called `{}`", name.name);
        let close = closest(&name.name, names.slots.keys().map(|name| &**name));
        let fault = Fault::new(FaultCode::UnknownName, name.span, message).did_you_mean(close);
        return Err(Some(fault.hint("`measured` tells what a name of a line above really came out as")));
    };
    match names.globals.get(slot as usize) {
        Some(entry) if !entry.passed => {
            let message = format!("`{}` is measured here, but its own line comes later", name.name);
            let fault = Fault::new(FaultCode::TooEarly, name.span, message)
                .other(entry.span, "it is planned here")
                .hint("a thing is planned first and measured when it is sewn: move this line below it");
            Err(Some(fault))
        }
        _ => Ok(slot),
    }
}

/// What was measured must be of the kind that was planned.
pub(crate) fn same_kind(name: &str, planned: &Value, made: &Value, span: Option<Span>) -> Result<(), Fault> {
    let fits = match (planned, made) {
        (Value::Measure(x), Value::Measure(y)) => x.dim == y.dim,
        (Value::Slack(x), Value::Measure(y)) | (Value::Measure(y), Value::Slack(x)) => x.dim() == y.dim,
        (Value::Slack(x), Value::Slack(y)) => x.dim() == y.dim(),
        (Value::Size(_) | Value::SlackSize(_), Value::Size(_) | Value::SlackSize(_)) => true,
        (Value::List(_), Value::List(_)) => true,
        _ => false,
    };
    if fits {
        return Ok(());
    }
    let at = span.unwrap_or(Span::new(crate::fault::FileId(0), 0, 0));
    let made_words = Operand::new(made, at).words();
    let planned_words = Operand::new(planned, at).words();
    let measurable = matches!(
        planned,
        Value::Measure(_) | Value::Slack(_) | Value::Size(_) | Value::SlackSize(_) | Value::List(_)
    );
    let message = match measurable {
        true => format!("`{name}` was planned as {planned_words}, and this is {made_words}"),
        false => format!("`{name}` is {planned_words}, which cannot be measured"),
    };
    let fault = match span {
        Some(span) => Fault::new(FaultCode::WrongKind, span, message),
        None => Fault::nowhere(FaultCode::WrongKind, message),
    };
    Err(match planned {
        Value::Size(_) | Value::SlackSize(_) => fault.hint("measure it both ways: `59 5/8 in by 71 3/4 in`"),
        _ if measurable => fault.hint("write it as it was planned, with its unit"),
        _ => fault.hint("measure a length, a size or a list of such"),
    })
}
