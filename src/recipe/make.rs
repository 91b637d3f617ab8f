//! Making a recipe: its lines worked from the top down into a docket.

use std::collections::HashSet;
use std::rc::Rc;

use crate::code::node::{Code, Node, Piece};
use crate::docket::{Docket, Figure, Words};
use crate::eval::machine::{Halt, Machine, Settings};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Exact, Quantity};
use crate::recipe::answer::Answer;
use crate::recipe::bill;
use crate::recipe::build::Recipe;
use crate::recipe::cutting::Cutting;
use crate::recipe::lines::Compiled;
use crate::recipe::measured::Follow;
use crate::recipe::planning;
use crate::recipe::together::Together;
use crate::value::data::Value;

/// What a run made, and what went wrong in it.
#[derive(Debug, Default)]
pub struct Run {
    /// The docket; whole only where there are no faults.
    pub docket: Docket,
    /// What went wrong; what follows from an earlier fault stays silent.
    pub faults: Vec<Fault>,
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

    /// What the `plan` lines ask for alone: their cloths laid out, and what is bought for them.
    pub(crate) fn planned(&mut self) -> Run {
        self.effort.later = true;
        let mut run = self.run(&[], None);
        self.effort.later = false;
        let mut cutting = std::mem::take(&mut run.cutting);
        cutting.lots.retain(|lot| lot.wish.is_some());
        run.docket = Docket::default();
        if run.faults.is_empty() {
            run.plan(&cutting, &self.effort);
        }
        run
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
        let Recipe { lines, machine, both, effort, noting, noted, .. } = self;
        let notes = *noting || lines.iter().any(|line| line.act.looks_back());
        noted.clear();
        machine.refresh();
        machine.settings = Settings::default();
        machine.settings.manner.both = *both;
        machine.that = None;
        machine.globals.fill(Value::Unset);
        let docket = Docket { size, kits: effort.kits, ..Docket::default() };
        let run = Run { docket, ..Run::default() };
        let noted = notes.then_some(noted);
        let mut maker = Maker { set, follow, noted, run, ..Maker::new(lines, machine, *effort) };
        for (at, line) in lines.iter().enumerate() {
            if !maker.line(at, line) {
                break;
            }
        }
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

    /// The values of one of the recipe's own sizes; faults where one cannot be worked.
    pub fn size_values(&mut self, size: usize) -> Result<Vec<Set>, Vec<Fault>> {
        let Recipe { sizes, machine, .. } = self;
        machine.refresh();
        let mut faults = Vec::new();
        let mut set = Vec::new();
        for (given, node, slots) in sizes.get(size).iter().flat_map(|size| &size.values) {
            match machine.line(node, *slots) {
                Ok(value) => set.push(Set { given: *given, value, span: Some(node.span) }),
                Err(Halt::Fault(fault)) => faults.push(*fault),
                Err(Halt::Silent) => {}
            }
        }
        if faults.is_empty() { Ok(set) } else { Err(faults) }
    }

    /// Works the examples in the documentation of the recipe's own rules.
    pub fn try_examples(&mut self) -> Vec<Fault> {
        let machine = &mut self.machine;
        let mut faults = Vec::new();
        for (tried, expected, span, slots) in &self.examples {
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
        Err(Halt::Fault(fault)) => return Some(*fault),
        Err(Halt::Silent) => return None,
    };
    let same = match crate::value::slack::alike(&got, &wanted) {
        Some(alike) => Ok(alike),
        None => crate::eval::operate::same(&got, &wanted),
    };
    match same {
        Ok(true) => None,
        Ok(false) => {
            let message = format!("this example comes out as {}, not {}", exact(&got), exact(&wanted));
            Some(Fault::new(FaultCode::TryFailed, span, message))
        }
        Err(trouble) => {
            let (a, b) = (Operand::new(&got, tried.span), Operand::new(&wanted, expected.span));
            match words::comparison(trouble, span, a, b) {
                Halt::Fault(fault) => Some(*fault),
                Halt::Silent => None,
            }
        }
    }
}

/// A value's true reading.
pub(crate) fn exact(value: &Value) -> String {
    match value {
        Value::Measure(quantity) => quantity.exact_text(),
        Value::Size(size) => format!("{} by {}", size.0.exact_text(), size.1.exact_text()),
        other => words::short(other),
    }
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
}

/// Works the lines of one run, or those of one entry.
pub(crate) struct Maker<'a> {
    pub lines: &'a [Compiled],
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
    cautioned: HashSet<Rc<str>>,
    /// What the lines gave, for those that look back.
    pub noted: Option<&'a mut Vec<Noted>>,
    /// The answers, at the prompt.
    pub answers: Option<Vec<Answer>>,
    /// The line being worked.
    at: usize,
}

impl<'a> Maker<'a> {
    /// A maker that has made nothing.
    pub fn new(lines: &'a [Compiled], machine: &'a mut Machine, effort: planning::Effort) -> Maker<'a> {
        Maker {
            lines,
            set: &[],
            machine,
            run: Run::default(),
            cutting: Cutting::default(),
            effort,
            outer: Vec::new(),
            follow: None,
            cautioned: HashSet::new(),
            noted: None,
            answers: None,
            at: 0,
        }
    }

    /// Works a line; `false` ends the run.
    fn line(&mut self, at: usize, line: &Compiled) -> bool {
        self.at = at;
        self.machine.line_now = line.line;
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
        if let Some(noted) = &mut self.noted {
            let settings = self.machine.settings.clone();
            noted.push(Noted { slot, value: value.clone(), settings, by: self.at });
        }
    }

    /// What a line and the rules that it calls caution of, each once in a docket.
    fn caution(&mut self, line: &Compiled) {
        let cautions = std::mem::take(&mut self.machine.cautions);
        // What was only tried, by `find` and for `why`, is not made.
        if line.act.only_asks() {
            return;
        }
        for words in cautions {
            if self.cautioned.insert(words.clone()) {
                self.run.docket.cautions.push(Words { words, line: line.row() });
            }
        }
    }

    /// A name has this value from here on.
    pub fn put(&mut self, slot: u32, value: Value) {
        self.note(Some(slot), &value);
        if let Some(place) = self.machine.globals.get_mut(slot as usize) {
            *place = value;
        }
    }

    /// A line gives a name its value.
    pub fn give(&mut self, slot: u32, value: Value) {
        self.say(&value);
        if self.answers.is_some() {
            self.machine.that = Some(value.clone());
        }
        self.put(slot, value);
    }

    /// Answers with a value, at the prompt.
    pub fn say(&mut self, value: &Value) {
        if self.answers.is_some() {
            self.answer(Answer::Value(self.figure(value)));
        }
    }

    /// Answers, at the prompt.
    pub fn answer(&mut self, answer: Answer) {
        if let Some(answers) = &mut self.answers {
            answers.push(answer);
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
    pub fn figure(&self, value: &Value) -> Figure {
        Figure { value: value.to_figure(), manner: self.machine.settings.manner }
    }

    /// What was set from outside for a given; the last word wins.
    pub fn set_for(&self, given: usize) -> Option<&'a Set> {
        self.set.iter().rev().find(|set| set.given == given)
    }

    /// The formula of a line above, as it was worked, for a search that works it anew.
    pub fn follow(&self, at: usize) -> Option<crate::ask::find::Follow<'a>> {
        let lines = self.lines;
        let line = lines.get(at)?;
        let slot = line.act.gives()?;
        let noted = self.noted.as_ref()?.iter().rev().find(|noted| noted.slot == Some(slot))?;
        // What was really made stays what it is.
        if lines.get(noted.by).is_some_and(|by| by.act.measures() == Some(slot)) {
            return None;
        }
        let settings = noted.settings.clone();
        Some(crate::ask::find::Follow { slot, node: line.act.follows()?, slots: line.slots, settings })
    }

    fn finish(mut self) -> Run {
        if self.run.faults.is_empty() && !self.effort.later {
            self.run.plan(&self.cutting, &self.effort);
        }
        self.run.cutting = self.cutting;
        self.run
    }
}

/// A count from an operand: a whole number, not negative.
pub(crate) fn whole_count(operand: Operand<'_>, what: &str) -> Result<u64, Halt> {
    if let Value::Measure(quantity) = operand.value
        && quantity.dim == Dim::NONE
    {
        if let Some(count) = quantity.whole_count().and_then(|n| u64::try_from(n).ok()) {
            return Ok(count);
        }
        if quantity.number.exact().is_some_and(Exact::is_whole) && !quantity.is_negative() {
            let message = format!("{what} is more than can be counted: {}", words::short(operand.value));
            return Err(Fault::new(FaultCode::TooMuch, operand.span, message).into());
        }
        let negative = quantity.is_negative();
        let range = if negative { "0 or more" } else { "a whole number" };
        let message = format!("{what} is {range}, and this is {}", words::short(operand.value));
        let fault = Fault::new(FaultCode::WrongKind, operand.span, message);
        if negative {
            return Err(fault.into());
        }
        return Err(fault.hint("round it: `x up 1`, `x down 1`").into());
    }
    Err(words::wanted("a count", operand.value, operand.span).into())
}

/// A measure as a figure.
pub(crate) fn measure_figure(quantity: Quantity, settings: &Settings) -> Figure {
    Figure { value: crate::docket::FigureValue::Measure(quantity), manner: settings.manner }
}
