//! The second way through the lines: where the names begin, what was cut, what is worked anew.

use std::collections::HashMap;
use std::rc::Rc;

use crate::code::node::{Node, Piece};
use crate::eval::machine::{Halt, Settings};
use crate::fault::{Code as FaultCode, Fault, Span, closest};
use crate::measure::Manner;
use crate::recipe::build::{Act, ActKind, Recipe};
use crate::recipe::cloth_acts::ClothAct;
use crate::recipe::inputs::given_value;
use crate::recipe::make::{Maker, set_setting};
use crate::recipe::measured::same_kind;
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
        let in_recipe = |slot: u32| {
            recipe.acts.iter().any(|act| matches!(act.kind, ActKind::Measured { slot: s, .. } if s == slot))
        };
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

impl Follow {
    /// The count and the size of a `cut` line: those of the plan where the piece is cut already.
    pub fn cut(
        &mut self,
        span: Span,
        label: &Rc<str>,
        count: Value,
        size: Value,
        manner: Manner,
    ) -> (Value, Value) {
        let done = self.real && self.labels.iter().any(|(known, _)| known == label);
        let planned = self.planned.iter().find(|cut| cut.span == span && done);
        let cut = planned.map_or_else(|| (count, size.clone()), |cut| cut.cut.clone());
        self.cuts.push(CutMade { span, label: label.clone(), cut: cut.clone(), now: size, manner });
        cut
    }
}

impl Maker<'_> {
    /// Keeps where a name was worked, and puts in what was measured from outside.
    pub(crate) fn followed(&mut self, at: usize) -> Result<(), Halt> {
        if self.follow.is_none() {
            return Ok(());
        }
        let Some(slot) = self.acts.get(at).and_then(|act| act.slot(self.givens)) else { return Ok(()) };
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
        act: &Act,
    ) -> Result<(), Halt> {
        if !self.follow.as_ref().is_some_and(|follow| follow.real) {
            return Ok(());
        }
        let mut labels = Vec::with_capacity(cut.len());
        for label in cut {
            labels.push((self.text(label, act)?, Some(act.span)));
        }
        let written = self.eval(value, act)?;
        let instead = self.follow.as_ref().and_then(|follow| {
            follow.instead.iter().find(|(known, _)| *known == slot).map(|(_, value)| value.clone())
        });
        let span = if instead.is_some() { None } else { Some(value.span) };
        self.made(slot, instead.unwrap_or(written), span)?;
        let Some(follow) = &mut self.follow else { return Ok(()) };
        follow.labels.extend(labels);
        match follow.starts.get(&slot).cloned() {
            Some(start) => self.anew(start, act),
            None => Ok(()),
        }
    }

    /// Works the names between a measured name and here anew, under the settings of their lines.
    fn anew(&mut self, start: (usize, Settings, Vec<Settings>), until: &Act) -> Result<(), Halt> {
        let (at, settings, outer) = start;
        self.machine.settings = settings;
        self.outer = outer;
        let acts = self.acts;
        for act in acts.iter().skip(at + 1).take_while(|act| act.span != until.span) {
            self.machine.line_now = act.line;
            self.once_more(act)?;
        }
        self.machine.line_now = until.line;
        Ok(())
    }

    fn once_more(&mut self, act: &Act) -> Result<(), Halt> {
        match &act.kind {
            ActKind::Name { slot, value } if !self.is_made(*slot) => {
                let value = self.eval(value, act)?;
                self.put(*slot, value);
            }
            ActKind::Ask(ask) if ask.slot().is_some_and(|slot| !self.is_made(slot)) => {
                ask.work(self, act)?;
            }
            ActKind::Given(index) => {
                let Some(given) = self.givens.get(*index) else { return Ok(()) };
                if !self.is_made(given.slot) {
                    let set = self.set.iter().rev().find(|set| set.given == *index);
                    let value = given_value(self.machine, given, set)?;
                    self.put(given.slot, value);
                }
            }
            ActKind::Set(setting, node) => {
                let value = self.eval(node, act)?;
                set_setting(&mut self.machine.settings, *setting, &value, node.span)?;
            }
            ActKind::UseBegins => self.outer.push(self.machine.settings.clone()),
            ActKind::UseEnds => {
                if let Some(settings) = self.outer.pop() {
                    self.machine.settings = settings;
                }
            }
            ActKind::Cloth(ClothAct::Cut { size, .. }) => {
                let now = self.eval(size, act)?;
                let cuts = self.follow.iter_mut().flat_map(|follow| &mut follow.cuts);
                for cut in cuts.filter(|cut| cut.span == act.span) {
                    cut.now = now.clone();
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn is_made(&self, slot: u32) -> bool {
        self.follow.as_ref().is_some_and(|follow| follow.made.iter().any(|made| made.slot == slot))
    }
}
