//! The second way through the lines: where the names begin, what was cut, what is worked anew.

use std::collections::HashMap;
use std::rc::Rc;

use crate::code::node::{Node, Piece};
use crate::eval::machine::{Halt, Settings};
use crate::fault::{Code as FaultCode, Fault, Span, closest};
use crate::measure::Manner;
use crate::recipe::build::Recipe;
use crate::recipe::lines::{Compiled, same_kind};
use crate::recipe::make::Maker;
use crate::value::data::Value;

/// A `cut` line as it was worked.
#[derive(Clone, Debug)]
pub(crate) struct CutMade {
    /// Where it stands.
    pub span: Span,
    /// Its label.
    pub label: Rc<str>,
    /// How many, and which size, as they were cut.
    pub cut: (Value, Value),
    /// The size as it would be cut by what was measured; as it was cut where nothing changed.
    pub now: Value,
    /// How it is read.
    pub manner: Manner,
}

/// A name, what was planned, and what was made.
#[derive(Debug)]
pub(crate) struct MadeName {
    pub slot: u32,
    pub planned: Value,
    pub made: Value,
    /// The settings in force where it was measured.
    pub settings: Settings,
}

/// What a way through the lines keeps where something is measured.
#[derive(Debug, Default)]
pub(crate) struct Follow {
    /// Whether the measured values are put in place.
    real: bool,
    /// What was measured from outside, where no line of the recipe measures it.
    outside: Vec<(u32, Value)>,
    /// What a line of the recipe measures, from outside.
    instead: Vec<(u32, Value)>,
    /// Where each name was worked: its act, and the settings behind it.
    starts: HashMap<u32, (usize, Settings, Vec<Settings>)>,
    /// The `cut` lines of this way.
    pub cuts: Vec<CutMade>,
    /// Those of the planned way.
    pub planned: Vec<CutMade>,
    /// Labels of pieces that are cut already, and where they were named.
    labels: Vec<(Rc<str>, Option<Span>)>,
    /// What was measured, in order.
    pub made: Vec<MadeName>,
    /// Whether the planned way came out.
    pub whole: bool,
    /// The recipe's names, by slot.
    names: Vec<Rc<str>>,
}

impl Follow {
    /// For the way as measured.
    pub fn measured(recipe: &Recipe, plan: Follow, whole: bool) -> Follow {
        let in_recipe = |slot: u32| recipe.lines.iter().any(|line| line.act.measures() == Some(slot));
        let (instead, outside) = recipe.outside.made.iter().cloned().partition(|(slot, _)| in_recipe(*slot));
        let labels = recipe.outside.cut.iter().map(|label| (label.clone(), None)).collect();
        Follow {
            real: true,
            outside,
            instead,
            planned: plan.cuts,
            labels,
            whole,
            names: recipe.names.clone(),
            ..Follow::default()
        }
    }

    /// Labels of pieces that no `cut` line has.
    pub fn unknown_labels(&self) -> Vec<Fault> {
        let known = |label: &str| self.cuts.iter().any(|cut| *cut.label == *label);
        let unknown = self.labels.iter().filter(|(label, _)| !known(label));
        let fault = |(label, span): &(Rc<str>, Option<Span>)| {
            let message = format!("no `cut` line has a piece called \"{label}\"");
            let fault = match span {
                Some(span) => Fault::new(FaultCode::UnknownName, *span, message),
                None => Fault::nowhere(FaultCode::UnknownName, message),
            };
            fault.did_you_mean(closest(label, self.cuts.iter().map(|cut| &*cut.label)))
        };
        unknown.map(fault).collect()
    }
}

impl Maker<'_> {
    /// The count and the size of a `cut` line: those of the plan where the piece is cut already.
    pub(crate) fn cut_as(
        &mut self,
        line: &Compiled,
        label: &Rc<str>,
        count: Value,
        size: Value,
    ) -> (Value, Value) {
        let manner = self.machine.settings.manner;
        let Some(follow) = &mut self.follow else { return (count, size) };
        let done = follow.real && follow.labels.iter().any(|(known, _)| known == label);
        let planned = follow.planned.iter().find(|cut| cut.span == line.span && done);
        let cut = planned.map_or_else(|| (count, size.clone()), |cut| cut.cut.clone());
        follow.cuts.push(CutMade {
            span: line.span,
            label: label.clone(),
            cut: cut.clone(),
            now: size,
            manner,
        });
        cut
    }

    /// How large a piece that is cut already would be now.
    pub(crate) fn would_cut(&mut self, line: &Compiled, now: Value) {
        let cuts = self.follow.iter_mut().flat_map(|follow| &mut follow.cuts);
        for cut in cuts.filter(|cut| cut.span == line.span) {
            cut.now = now.clone();
        }
    }

    /// Keeps where a name was worked, and puts in what was measured from outside.
    pub(crate) fn followed(&mut self, at: usize) -> Result<(), Halt> {
        if self.follow.is_none() {
            return Ok(());
        }
        let Some(slot) = self.lines.get(at).and_then(|line| line.act.gives()) else { return Ok(()) };
        let (settings, outer) = (self.machine.settings.clone(), self.outer.clone());
        let Some(follow) = &mut self.follow else { return Ok(()) };
        follow.starts.insert(slot, (at, settings, outer));
        let found = follow.outside.iter().position(|(known, _)| *known == slot);
        match found {
            Some(found) if follow.real => {
                let (_, value) = follow.outside.swap_remove(found);
                self.made(slot, value, None)
            }
            _ => Ok(()),
        }
    }

    /// A name has what was made from here on.
    fn made(&mut self, slot: u32, value: Value, span: Option<Span>) -> Result<(), Halt> {
        let planned = match self.machine.globals.get(slot as usize) {
            None | Some(Value::Unset | Value::Failed) => return Err(Halt::Silent),
            Some(planned) => planned.clone(),
        };
        let name = self.follow.as_ref().and_then(|follow| follow.names.get(slot as usize).cloned());
        same_kind(name.as_deref().unwrap_or(""), &planned, &value, span)?;
        let settings = self.machine.settings.clone();
        self.put(slot, value.clone());
        if let Some(follow) = &mut self.follow {
            follow.made.push(MadeName { slot, planned, made: value, settings });
        }
        Ok(())
    }

    /// A `measured` line: the name has its new value, and what hangs on it is worked anew.
    pub(crate) fn measured_line(
        &mut self,
        slot: u32,
        value: &Node,
        cut: &[Vec<Piece>],
        line: &Compiled,
    ) -> Result<(), Halt> {
        if !self.follow.as_ref().is_some_and(|follow| follow.real) {
            return Ok(());
        }
        let mut labels = Vec::with_capacity(cut.len());
        for label in cut {
            labels.push((self.text(label, line)?, Some(line.span)));
        }
        let written = self.eval(value, line)?;
        let instead = self.follow.as_ref().and_then(|follow| {
            follow.instead.iter().find(|(known, _)| *known == slot).map(|(_, value)| value.clone())
        });
        let span = if instead.is_some() { None } else { Some(value.span) };
        self.made(slot, instead.unwrap_or(written), span)?;
        let Some(follow) = &mut self.follow else { return Ok(()) };
        follow.labels.extend(labels);
        match follow.starts.get(&slot).cloned() {
            Some(start) => self.anew(start, line),
            None => Ok(()),
        }
    }

    /// Works the names between a measured name and here anew, under the settings of their lines.
    fn anew(&mut self, start: (usize, Settings, Vec<Settings>), until: &Compiled) -> Result<(), Halt> {
        let (at, settings, outer) = start;
        self.machine.settings = settings;
        self.outer = outer;
        for line in self.lines.iter().skip(at + 1).take_while(|line| line.span != until.span) {
            self.machine.line_now = line.line;
            if !line.act.gives().is_some_and(|slot| self.is_made(slot)) {
                line.act.again(line, self)?;
            }
        }
        self.machine.line_now = until.line;
        Ok(())
    }

    fn is_made(&self, slot: u32) -> bool {
        self.follow.as_ref().is_some_and(|follow| follow.made.iter().any(|made| made.slot == slot))
    }
}
