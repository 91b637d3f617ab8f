//! Works lines into a docket, from the top down; at the prompt also into answers.

use std::collections::HashSet;
use std::rc::Rc;

use crate::ask::find;
use crate::code::{Code, Mention, Names, Node, Piece};
use crate::docket::{Docket, Figure, FigureValue, Words};
use crate::eval::machine::{Halt, Machine, Settings};
use crate::fault::{Code as FaultCode, Fault, Files, Span};
use crate::recipe::answer::Answer;
use crate::recipe::bill;
use crate::recipe::cutting::Cutting;
use crate::recipe::dependence::Dependence;
use crate::recipe::lines::Compiled;
use crate::recipe::measured::follow::Follow;
use crate::recipe::planning;
use crate::value::data::Value;

/// What a run made, and what went wrong in it.
#[derive(Debug, Default)]
pub struct Run {
    /// The docket; whole only where there are no faults.
    pub docket: Docket,
    /// What went wrong; what follows from an earlier fault stays silent.
    pub faults: Vec<Fault>,
    /// What deserves a second look.
    pub advice: Vec<Fault>,
    /// What is cut, as the lines say it.
    pub(crate) cutting: Cutting,
}

impl Run {
    /// Lays out the cloths, and adds up what all of it costs.
    pub(crate) fn plan(&mut self, cutting: &Cutting, effort: &planning::Effort) {
        match planning::plans(cutting, &mut effort.clone()) {
            Ok((plans, buys)) => {
                self.docket.checks.extend(cutting.enough(&plans));
                self.docket.cloths = plans;
                self.docket.buys.splice(0..0, buys);
            }
            Err(faults) => self.faults.extend(faults),
        }
        self.docket.totals = bill::totals(&self.docket);
    }

    /// Whether every check holds.
    pub fn checks_hold(&self) -> bool {
        self.docket.checks.iter().all(|check| check.passed)
    }

    /// Whether no check fails: one may be left open by slack.
    pub fn no_check_fails(&self) -> bool {
        self.docket.checks.iter().all(|check| check.passed || check.open)
    }
}

/// A given's value from outside: the index of the given, the value, and where it was written.
#[derive(Clone, Debug)]
pub struct Set {
    /// Index into [`Recipe::givens`].
    pub given: usize,
    /// The value.
    pub value: Value,
    /// Where it was written, where that is a place in a file.
    pub span: Option<Span>,
}

/// A value that a line gave, where that is noted.
#[derive(Clone, Debug)]
pub(crate) struct Noted {
    /// The slot of its name; nothing for the last answer.
    pub slot: Option<u32>,
    /// The value.
    pub value: Value,
    /// The settings in force.
    pub settings: Settings,
    /// Index of the line that was worked.
    pub by: usize,
    /// Whether it became the last answer.
    pub answers: bool,
}

/// What the prompt needs besides.
pub(crate) struct Live<'a> {
    pub files: &'a Files,
    pub answers: Vec<Answer>,
    /// Values that were replaced, for taking the entry back.
    pub replaced: &'a mut Vec<(u32, Value)>,
}

/// Works the lines of one run, or those of one entry.
pub(crate) struct Maker<'a> {
    pub lines: &'a [Compiled],
    pub names: &'a Names,
    pub dependence: &'a Dependence,
    pub set: &'a [Set],
    pub machine: &'a mut Machine,
    pub run: Run,
    pub cutting: Cutting,
    pub effort: planning::Effort,
    /// The settings of the files that use this one.
    pub outer: Vec<Settings>,
    /// What a `measured` line needs; nothing where there is none.
    pub follow: Option<&'a mut Follow>,
    /// The cautions that stand in the docket.
    pub cautioned: HashSet<Rc<str>>,
    /// What the lines gave, for those that look back.
    pub noted: Option<&'a mut Vec<Noted>>,
    /// At the prompt.
    pub live: Option<Live<'a>>,
    /// The line being worked.
    pub at: usize,
    /// The lines that are worked last.
    pub late: Vec<Late>,
}

/// A line to be worked when all that is bought is known.
#[derive(Debug)]
pub(crate) struct Late {
    pub at: usize,
    /// The settings in force at its place, and those of the files that use its own.
    pub settings: (Settings, Vec<Settings>),
    /// How much the docket held at its place.
    pub place: [usize; 4],
}

impl<'a> Maker<'a> {
    /// A maker that has made nothing.
    pub fn new(
        (lines, names, dependence): (&'a [Compiled], &'a Names, &'a Dependence),
        machine: &'a mut Machine,
        effort: planning::Effort,
    ) -> Maker<'a> {
        Maker {
            lines,
            names,
            dependence,
            set: &[],
            machine,
            run: Run::default(),
            cutting: Cutting::default(),
            effort,
            outer: Vec::new(),
            follow: None,
            cautioned: HashSet::new(),
            noted: None,
            live: None,
            at: 0,
            late: Vec::new(),
        }
    }

    /// Works the lines from one on, as long as they can be worked.
    pub fn work(&mut self, first: usize) {
        let named = self.follow.as_ref().map_or(0, |follow| follow.labels.len());
        let done = self.work_to(first, self.lines.len());
        if let (true, Some(_), Some(follow)) = (done, &self.live, &self.follow) {
            self.run.faults.extend(follow.unknown_labels(named));
        }
    }

    /// Works the lines from one on, before another; whether they could be worked.
    pub fn work_to(&mut self, first: usize, end: usize) -> bool {
        let lines = self.lines;
        lines.iter().enumerate().take(end).skip(first).all(|(at, line)| self.line(at, line))
    }

    /// Works a line; `false` ends the run.
    fn line(&mut self, at: usize, line: &Compiled) -> bool {
        self.at = at;
        self.machine.line_now = line.line;
        if let Some(follow) = &mut self.follow {
            follow.before.push((self.machine.settings.clone(), self.outer.clone()));
        }
        if line.last {
            self.postpone(at);
            return true;
        }
        self.make(at, line)
    }

    /// Makes a line; `false` ends the run.
    pub(super) fn make(&mut self, at: usize, line: &Compiled) -> bool {
        let worked = line.act.make(line, self).and_then(|()| self.followed(at));
        self.caution(line);
        let failed = match worked {
            Ok(()) => return true,
            Err(Halt::Silent) => None,
            Err(Halt::Fault(fault)) => Some(fault),
        };
        if let Some(slot) = line.act.gives() {
            self.put(slot, Value::Failed);
        }
        let Some(fault) = failed else { return true };
        let ends = matches!(fault.code, FaultCode::TooMuch | FaultCode::Stopped);
        self.run.faults.push(*fault);
        !ends
    }

    /// Notes a value, where that is asked for.
    pub fn note(&mut self, slot: Option<u32>, value: &Value) {
        let Some(noted) = &mut self.noted else { return };
        let by = self.at;
        // At the prompt each name is the last answer, unless it is only evaluated again.
        let own = slot.is_none_or(|slot| {
            self.lines
                .get(by)
                .is_some_and(|line| [line.act.gives(), line.act.measures()].contains(&Some(slot)))
        });
        let answers = slot.is_none() || self.live.is_some() && own;
        let settings = self.machine.settings.clone();
        noted.push(Noted { slot, value: value.clone(), settings, by, answers });
    }

    /// What a line and the rules that it calls caution of, each once in a docket.
    fn caution(&mut self, line: &Compiled) {
        if self.machine.cautions.is_empty() && self.machine.advice.is_empty() {
            return;
        }
        let cautions = std::mem::take(&mut self.machine.cautions);
        let advice = std::mem::take(&mut self.machine.advice);
        // What was only tried, by `find` and for `why`, is not made.
        if line.act.only_asks() {
            return;
        }
        for fault in advice {
            if self.run.advice.iter().all(|told| told.span() != fault.span()) {
                self.run.advice.push(fault);
            }
        }
        for words in cautions {
            if self.live.is_some() {
                self.answer(Answer::Caution(words));
            } else if self.cautioned.insert(words.clone()) {
                self.run.docket.cautions.push(Words { words, line: line.row() });
            }
        }
    }

    /// A name has this value from here on.
    pub fn put(&mut self, slot: u32, value: Value) {
        self.note(Some(slot), &value);
        if let Some(place) = self.machine.globals.get_mut(slot as usize) {
            let replaced = std::mem::replace(place, value);
            if let (Some(live), false) = (&mut self.live, matches!(replaced, Value::Unset)) {
                live.replaced.push((slot, replaced));
            }
        }
    }

    /// A line gives a name its value.
    pub fn give(&mut self, slot: u32, value: Value) {
        if self.live.is_some() {
            self.say(&value);
            self.machine.that = Some(value.clone());
            let before = self.names.globals.get(slot as usize).and_then(|entry| entry.before);
            if let Some(before) = before {
                self.tell_outdated(Mention::Name(before));
            }
        }
        self.put(slot, value);
    }

    /// Names what was worked from what has been given again, and still stands.
    pub fn tell_outdated(&mut self, given_again: Mention) {
        if self.live.is_none() {
            return;
        }
        let above = self.lines.get(..self.at).unwrap_or(&[]);
        let outdated = self.dependence.names(given_again, above, self.names);
        if outdated.is_empty() {
            return;
        }
        let verb = match outdated.len() {
            1 => "was calculated from the old value and is not changed",
            _ => "were calculated from the old value and are not changed",
        };
        let names: Vec<String> = outdated.iter().map(|name| format!("`{name}`")).collect();
        self.answer(Answer::Words(format!("{} {verb}", names.join(", "))));
    }

    /// Answers with a value, at the prompt.
    pub fn say(&mut self, value: &Value) {
        if self.live.is_some() {
            self.answer(Answer::Value(self.figure(value.to_figure())));
        }
    }

    /// Answers that a line about cloth is kept, at the prompt.
    pub fn answer_size(&mut self, what: &str, size: &Value) {
        let size = size.show(&self.machine.settings.manner);
        self.answer(Answer::Words(format!("{what}, {size} (kept for a `plan` and for the recipe)")));
    }

    /// Answers, at the prompt.
    pub fn answer(&mut self, answer: Answer) {
        if let Some(live) = &mut self.live {
            live.answers.push(answer);
        }
    }

    /// The value of an expression of a line.
    pub fn eval(&mut self, node: &Node, line: &Compiled) -> Result<Value, Halt> {
        self.machine.line(node, line.slots)
    }

    /// A text of a line, its values filled in.
    pub fn text(&mut self, pieces: &[Piece], line: &Compiled) -> Result<Rc<str>, Halt> {
        if let [Piece::Plain(plain)] = pieces {
            return Ok(plain.clone());
        }
        // A frame of its own, as for an expression of the line.
        let empty = Node { code: Code::Const(Value::YesNo(false)), span: line.span };
        self.machine.line(&empty, line.slots)?;
        self.machine.text(pieces, line.span)
    }

    /// A value as it is read here.
    pub fn figure(&self, value: FigureValue) -> Figure {
        let manner = self.machine.settings.manner;
        Figure { value: value.in_common_units(&manner), manner }
    }

    /// What was set from outside for a given; the last word wins.
    pub fn set_for(&self, given: usize) -> Option<&'a Set> {
        self.set.iter().rev().find(|set| set.given == given)
    }

    /// The formula of a line above, as it was worked, for a search that evaluates it again.
    pub fn follow(&self, at: usize) -> Option<find::Follow<'a>> {
        let lines = self.lines;
        let line = lines.get(at)?;
        let slot = line.act.gives()?;
        let noted = self.noted.as_ref()?.iter().rev().find(|noted| noted.slot == Some(slot))?;
        // What was really made stays what it is.
        if lines.get(noted.by).is_some_and(|by| by.act.measures() == Some(slot)) {
            return None;
        }
        let settings = noted.settings.clone();
        Some(find::Follow { slot, node: line.act.follows()?, slots: line.slots, settings })
    }

    /// What was made, the cloths laid out.
    pub fn finish(mut self) -> Run {
        if self.run.faults.is_empty() && !self.effort.later {
            self.run.plan(&self.cutting, &self.effort);
            self.work_late();
        } else {
            self.leave_out_late();
        }
        self.run.cutting = self.cutting;
        self.run
    }
}
