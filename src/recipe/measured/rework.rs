//! What depends on a measured name is calculated again.

use std::rc::Rc;

use crate::code::{Mention, Node, Piece};
use crate::eval::machine::{Halt, Settings};
use crate::fault::Span;
use crate::recipe::answer::Answer;
use crate::recipe::lines::Compiled;
use crate::recipe::lines::maker::{Live, Maker};
use crate::recipe::measured::changes::changed;
use crate::recipe::measured::corrections::{PUT_RIGHT, RECUT, corrections};
use crate::recipe::measured::follow::{CutMade, Follow, MadeName, same_kind};
use crate::value::data::Value;

/// So many values it counts as to keep an older one for `undo`, and to answer what it is now.
const REWORKED: u64 = 4;

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
        let planned_at_the_prompt = self.cut_as_planned(line, label);
        let Some(follow) = &mut self.follow else { return (count, size) };
        follow.planned.extend(planned_at_the_prompt);
        let done = follow.is_cut(label);
        let planned = follow.planned.iter().find(|cut| cut.span == line.span && done);
        let cut = planned.map_or_else(|| (count, size.clone()), |cut| cut.cut.clone());
        let (span, label) = (line.span, label.clone());
        follow.cuts.push(CutMade { span, label, cut: cut.clone(), now: size, manner });
        cut
    }

    /// At the prompt: the `cut` lines as planned, where a line below a `measured` one names a piece that was cut
    /// before that, and they are not known.
    fn cut_as_planned(&mut self, line: &Compiled, label: &str) -> Vec<CutMade> {
        let follow = self.follow.as_deref();
        let asked = follow.is_some_and(|follow| {
            follow.is_cut(label) && !follow.planned.iter().any(|cut| cut.span == line.span)
        });
        let Some(Live { files, .. }) = self.live.as_ref().filter(|_| asked) else { return Vec::new() };
        let (mut plan, mut replaced) = (Follow::default(), Vec::new());
        let machine = &mut *self.machine;
        let now = (machine.settings.clone(), machine.that.take(), machine.globals.clone());
        let told = (std::mem::take(&mut machine.cautions), std::mem::take(&mut machine.advice));
        machine.settings = Settings::default();
        machine.globals.fill(Value::Unset);
        let mut planned = Maker {
            follow: Some(&mut plan),
            live: Some(Live { files, answers: Vec::new(), replaced: &mut replaced }),
            ..Maker::new((self.lines, self.names, self.dependence), machine, self.effort.clone())
        };
        planned.work(0);
        (machine.settings, machine.that, machine.globals) = now;
        (machine.cautions, machine.advice) = told;
        machine.line_now = line.line;
        plan.cuts
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
        let Some(follow) = self.follow.as_mut().filter(|follow| follow.real) else { return Ok(()) };
        let Some(slot) = self.lines.get(at).and_then(|line| line.act.gives()) else { return Ok(()) };
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

    /// A `measured` line: the name has its new value, and what depends on it is calculated again.
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

    /// Calculates again what depends on a name, under the settings of its lines; gives each name's value before.
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

    /// Calculates again all names of some lines; the settings are those that come of it.
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
        if self.live.is_some() {
            self.machine.spend_items(REWORKED, line.span)?;
        }
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
        let made = self.follow.as_ref().and_then(|follow| follow.made.last());
        let corrections =
            made.map(|made| corrections(PUT_RIGHT, &made.planned, &now, &settings)).unwrap_or_default();
        for correction in corrections {
            self.answer(Answer::Words(format!("  {correction}")));
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
            if before.show(&manner) != cut.now.show(&manner) {
                answers.extend(told_cut(cut, settings));
            }
        }
        answers.into_iter().for_each(|words| self.answer(Answer::Words(words)));
    }
}

/// What is to be said of a piece that is cut already, where it should be otherwise now.
fn told_cut(cut: &CutMade, settings: &Settings) -> Vec<String> {
    let (was, now) = (cut.cut.1.show(&settings.manner), cut.now.show(&settings.manner));
    if was == now {
        return Vec::new();
    }
    let corrections = corrections(RECUT, &cut.cut.1, &cut.now, settings);
    let first = format!("already cut? {} was {was}; now it must be {now}", cut.label);
    std::iter::once(first).chain(corrections.iter().map(|correction| format!("  {correction}"))).collect()
}
