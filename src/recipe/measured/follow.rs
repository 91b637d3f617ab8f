//! The second way through the lines: where the names begin, what was cut, what is worked anew.

use std::rc::Rc;

use crate::code::node::{Node, Piece};
use crate::code::scope::Mention;
use crate::eval::machine::{Halt, Settings};
use crate::fault::{Code as FaultCode, Fault, Span, closest};
use crate::measure::Manner;
use crate::recipe::answer::Answer;
use crate::recipe::build::Recipe;
use crate::recipe::lines::{Compiled, same_kind};
use crate::recipe::make::Maker;
use crate::recipe::measured::changes::changed;
use crate::recipe::measured::mend::{cut_pieces, mended};
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
    /// The settings in force before each line, and those of the files that use its own.
    pub before: Vec<(Settings, Vec<Settings>)>,
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
}

/// How much was followed at some time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FollowMark([usize; 4]);

impl Follow {
    /// For the prompt, where what is measured holds at once.
    pub fn live() -> Follow {
        Follow { real: true, whole: true, ..Follow::default() }
    }

    /// What is followed now.
    pub fn mark(&self) -> FollowMark {
        FollowMark([self.before.len(), self.cuts.len(), self.labels.len(), self.made.len()])
    }

    /// No more is followed than was at a mark.
    pub fn back(&mut self, mark: FollowMark) {
        let FollowMark([before, cuts, labels, made]) = mark;
        self.before.truncate(before);
        self.cuts.truncate(cuts);
        self.labels.truncate(labels);
        self.made.truncate(made);
    }

    /// For the way as measured.
    pub fn measured(recipe: &Recipe, plan: Follow, whole: bool) -> Follow {
        let in_recipe = |slot: u32| recipe.lines.iter().any(|line| line.act.measures() == Some(slot));
        let (instead, outside) = recipe.outside.made.iter().cloned().partition(|(slot, _)| in_recipe(*slot));
        let labels = recipe.outside.cut.iter().map(|label| (label.clone(), None)).collect();
        Follow { real: true, outside, instead, planned: plan.cuts, labels, whole, ..Follow::default() }
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

    /// Puts in what was measured from outside, right behind its line.
    pub(crate) fn followed(&mut self, at: usize) -> Result<(), Halt> {
        let Some(slot) = self.lines.get(at).and_then(|line| line.act.gives()) else { return Ok(()) };
        let Some(follow) = self.follow.as_mut().filter(|follow| follow.real) else { return Ok(()) };
        match follow.outside.iter().position(|(known, _)| *known == slot) {
            Some(found) => {
                let (_, value) = follow.outside.swap_remove(found);
                self.made(slot, value, None)
            }
            None => Ok(()),
        }
    }

    /// A name has what was made from here on.
    fn made(&mut self, slot: u32, value: Value, span: Option<Span>) -> Result<(), Halt> {
        let planned = match self.machine.globals.get(slot as usize) {
            None | Some(Value::Unset | Value::Failed) => return Err(Halt::Silent),
            Some(planned) => planned.clone(),
        };
        let name = self.names.globals.get(slot as usize).map_or("", |entry| &*entry.name);
        same_kind(name, &planned, &value, span)?;
        let settings = self.machine.settings.clone();
        if let Some(follow) = &mut self.follow {
            follow.made.push(MadeName { slot, planned, made: value.clone(), settings });
        }
        self.put(slot, value);
        Ok(())
    }

    /// A `measured` line: the name has its new value, and what depends on it is worked anew.
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
        let now = instead.unwrap_or(written);
        self.made(slot, now.clone(), span)?;
        if let Some(follow) = &mut self.follow {
            follow.labels.extend(labels);
        }
        if self.live.is_some() {
            return self.tell_measured(slot, now);
        }
        self.rework(slot, &mut Vec::new())
    }

    /// Works anew what depends on a name, under the settings of its lines; gives each name's value before.
    fn rework(&mut self, slot: u32, changed: &mut Vec<(u32, Value)>) -> Result<(), Halt> {
        let here = (self.machine.settings.clone(), self.outer.clone());
        let (lines, until) = (self.lines, self.at);
        for at in self.dependence.lines(Mention::Name(slot), lines).range(..until) {
            let Some(line) = lines.get(*at) else { continue };
            let before = self.follow.as_ref().and_then(|follow| follow.before.get(*at).cloned());
            (self.machine.settings, self.outer) = before.unwrap_or_default();
            // Whatever stands below a setting may read it.
            if line.act.sets() {
                return self.rework_all(*at, until, changed);
            }
            self.once_more(line, changed)?;
        }
        (self.machine.settings, self.outer) = here;
        self.machine.line_now = lines.get(until).and_then(|line| line.line);
        Ok(())
    }

    /// Works anew all names of some lines; the settings are those that come of it.
    fn rework_all(&mut self, from: usize, until: usize, changed: &mut Vec<(u32, Value)>) -> Result<(), Halt> {
        let lines = self.lines;
        for (at, line) in lines.iter().enumerate().take(until).skip(from) {
            let now = (self.machine.settings.clone(), self.outer.clone());
            if let Some(before) = self.follow.as_mut().and_then(|follow| follow.before.get_mut(at)) {
                *before = now;
            }
            self.once_more(line, changed)?;
        }
        self.machine.line_now = lines.get(until).and_then(|line| line.line);
        Ok(())
    }

    fn once_more(&mut self, line: &Compiled, changed: &mut Vec<(u32, Value)>) -> Result<(), Halt> {
        let slot = line.act.gives();
        let made = |follow: &Follow| follow.made.iter().any(|made| Some(made.slot) == slot);
        if slot.is_some() && self.follow.as_deref().is_some_and(made) {
            return Ok(());
        }
        let before = slot.and_then(|slot| Some((slot, self.machine.globals.get(slot as usize)?.clone())));
        self.machine.line_now = line.line;
        line.act.again(line, self)?;
        changed.extend(before);
        Ok(())
    }

    /// What a `measured` line answers at the prompt: what to do about the difference, what came out
    /// otherwise, and which pieces were cut to the old number.
    fn tell_measured(&mut self, slot: u32, now: Value) -> Result<(), Halt> {
        self.say(&now);
        let settings = self.machine.settings.clone();
        let unknown = self.follow.as_ref().and_then(|follow| follow.unknown_labels().into_iter().next());
        if let Some(fault) = unknown {
            return Err(fault.into());
        }
        let made = self.follow.as_ref().and_then(|follow| follow.made.last());
        let mends = made.map(|made| mended(&made.planned, &now, &settings)).unwrap_or_default();
        for mend in mends {
            self.answer(Answer::Words(format!("  {mend}")));
        }
        let cuts: Vec<Value> =
            self.follow.iter().flat_map(|follow| &follow.cuts).map(|cut| cut.now.clone()).collect();
        let mut values = Vec::new();
        self.rework(slot, &mut values)?;
        self.machine.that = Some(now);
        let manner = self.machine.settings.manner;
        let mut changes = Vec::new();
        for (slot, before) in values {
            let Some(entry) = self.names.globals.get(slot as usize) else { continue };
            let after = self.machine.globals.get(slot as usize);
            if let (Some(after), true) = (after, self.names.slots.get(&entry.name) == Some(&slot)) {
                changed(&entry.name, &before.to_figure(), &after.to_figure(), &manner, &mut changes);
            }
        }
        changes.into_iter().for_each(|change| self.answer(Answer::Changed(change)));
        self.tell_cuts(&cuts, &settings);
        Ok(())
    }

    /// Which pieces would be cut otherwise now.
    fn tell_cuts(&mut self, before: &[Value], settings: &Settings) {
        let manner = settings.manner;
        let mut answers = Vec::new();
        for (cut, before) in self.follow.iter().flat_map(|follow| &follow.cuts).zip(before) {
            let (was, now) = (cut.cut.1.show(&manner), cut.now.show(&manner));
            if before.show(&manner) == now || was == now {
                continue;
            }
            let label = &cut.label;
            answers.push(format!("already cut? {label} was {was}, by this it is {now}"));
            answers.extend(cut_pieces(&cut.cut.1, &cut.now, settings).iter().map(|mend| format!("  {mend}")));
        }
        answers.into_iter().for_each(|words| self.answer(Answer::Words(words)));
    }
}
