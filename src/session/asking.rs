//! What the prompt is asked: the working behind an answer.

use std::collections::BTreeSet;
use std::rc::Rc;

use crate::ask::find::{FindAct, Follow, Question, unfound, value_of};
use crate::ask::why::{Asked, Origin, Trail, explain};
use crate::code::compile::Compiler;
use crate::code::node::{Node, RuleCode};
use crate::code::scope::Scope;
use crate::docket::StepKind;
use crate::eval::machine::{Halt, Settings};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::session::entry::{Entered, Said, Session};
use crate::session::stale::Trace;
use crate::syntax::tree::{Find, Line, LineKind, Why};
use crate::value::data::Value;

/// The rules as they stood when a line was worked.
pub(crate) type Shelf = Rc<Vec<Option<Rc<RuleCode>>>>;

/// A formula that was worked, and the slots of its frame.
#[derive(Clone, Debug)]
pub(crate) struct Formula {
    pub node: Rc<Node>,
    pub slots: u32,
}

/// What a line gave.
#[derive(Clone, Debug)]
pub(crate) struct Noted {
    pub slot: Option<u32>,
    pub kind: StepKind,
    pub name: Option<Rc<str>>,
    pub formula: Formula,
    pub span: Span,
    pub settings: Settings,
    pub value: Value,
    pub rules: Shelf,
    /// Whether it became the last answer.
    pub answers: bool,
}

impl Session {
    /// Keeps the rules as they stand, unless they stand so already.
    pub(crate) fn shelve(&mut self) {
        let rules = &self.machine.rules;
        let same = |(a, b): (&Option<Rc<RuleCode>>, &Option<Rc<RuleCode>>)| match (a, b) {
            (Some(a), Some(b)) => Rc::ptr_eq(a, b),
            (None, None) => true,
            _ => false,
        };
        if self.shelf.len() != rules.len() || !self.shelf.iter().zip(rules).all(same) {
            self.shelf = Rc::new(rules.clone());
        }
    }

    /// Notes what the formula worked last gave.
    pub(crate) fn note(&mut self, kind: StepKind, name: Option<(u32, &Rc<str>)>, span: Span, value: &Value) {
        let Some(formula) = self.last.clone() else { return };
        self.noted.push(Noted {
            slot: name.map(|(slot, _)| slot),
            kind,
            name: name.map(|(_, name)| name.clone()),
            formula,
            span,
            settings: self.machine.settings.clone(),
            value: value.clone(),
            rules: self.shelf.clone(),
            answers: true,
        });
    }

    /// Notes a name that was worked anew behind an answer.
    pub(crate) fn note_anew(&mut self, slot: u32, name: &Rc<str>, span: Span, value: &Value) {
        self.note(StepKind::Name, Some((slot, name)), span, value);
        if let Some(noted) = self.noted.last_mut() {
            noted.answers = false;
        }
    }

    /// Whether a line gives no name its value; told right after it was worked.
    pub(crate) fn only_asks(&self, kind: &LineKind) -> bool {
        match kind {
            LineKind::Why(_) => true,
            LineKind::Find(find) => !self.noted.last().is_some_and(|noted| {
                noted.kind == StepKind::Found
                    && noted.slot.is_some()
                    && noted.name.as_ref() == Some(&find.name.name)
            }),
            _ => false,
        }
    }

    /// A `why` or a `find` line.
    pub(crate) fn asked(&mut self, line: &Line, entered: &mut Entered) -> Result<(), Halt> {
        match &line.kind {
            LineKind::Why(why) => self.why(why, line.span, entered),
            LineKind::Find(find) => self.find(find, line.span, entered),
            _ => Ok(()),
        }
    }

    /// A `find` line: a name without a value has what was found; one that has its value is only asked
    /// about, and all that hangs on it is worked anew for each value that is tried.
    fn find(&mut self, find: &Find, span: Span, entered: &mut Entered) -> Result<(), Halt> {
        let name = &find.name;
        if self.names.own_rules.contains_key(&name.name) {
            let message = format!("`{}` is the name of a rule already", name.name);
            return Err(Fault::new(FaultCode::NameTwice, name.span, message).into());
        }
        let known = self.names.slots.get(&name.name).copied();
        let passed = |slot: &u32| self.names.globals.get(*slot as usize).is_some_and(|entry| entry.passed);
        let names = !known.as_ref().is_some_and(passed);
        let mut scope = Scope::line();
        let mut compiler = Compiler::new(&mut self.names, &mut self.files);
        let act = FindAct::compile(find, span, names, &mut compiler, &mut scope);
        compiler.pending();
        if !compiler.faults.is_empty() {
            entered.faults.append(&mut compiler.faults);
            return Err(Halt::Silent);
        }
        self.link();
        let noted = std::mem::take(&mut self.noted);
        let follows = if names { Vec::new() } else { self.follows(act.slot, &noted) };
        let found = crate::ask::find::find(&mut self.machine, &Question { act: &act, follows });
        self.noted = noted;
        let found = found?;
        let value = value_of(&found);
        if names && value.is_none() {
            return Err(unfound(&found, &act));
        }
        entered.said.push(Said::Found(found));
        let Some(value) = value else { return Ok(()) };
        let slots = act.slots;
        self.last = Some(Formula { node: Rc::new(act.into_condition()), slots });
        if names {
            let slot = self.names.global(&name.name, name.span);
            if let Some(place) = self.machine.globals.get_mut(slot as usize) {
                *place = value.clone();
            }
            self.traces.insert(slot, Trace { reads: scope.reads, calls: scope.calls });
            self.note(StepKind::Found, Some((slot, &name.name)), span, &value);
        } else {
            let words =
                format!("`{}` itself stays as it is; `{} = that` takes this over", name.name, name.name);
            entered.said.push(Said::Words(words));
            self.note(StepKind::Found, None, span, &value);
            if let Some(noted) = self.noted.last_mut() {
                noted.name = Some(name.name.clone());
            }
        }
        self.machine.that = Some(value);
        Ok(())
    }

    /// What hangs on a name, in order of working.
    fn follows<'n>(&self, slot: u32, noted: &'n [Noted]) -> Vec<Follow<'n>> {
        let mut moving: BTreeSet<u32> = [slot].into();
        let mut follows = Vec::new();
        for (at, one) in noted.iter().enumerate() {
            let Some(own) = one.slot.filter(|own| *own != slot) else { continue };
            let last = !noted.iter().skip(at + 1).any(|later| later.slot == Some(own));
            let Some(trace) = self.traces.get(&own).filter(|_| last) else { continue };
            if self.whole_trace(trace).reads.is_disjoint(&moving) {
                continue;
            }
            moving.insert(own);
            follows.push(Follow {
                slot: own,
                node: &one.formula.node,
                slots: one.formula.slots,
                settings: one.settings.clone(),
            });
        }
        follows
    }

    /// A `why` line: the working of what is asked, or of the last answer.
    pub(crate) fn why(&mut self, why: &Why, span: Span, entered: &mut Entered) -> Result<(), Halt> {
        let formula = match &why.asked {
            Some(asked) => {
                self.eval(asked, entered)?;
                self.last.clone()
            }
            None if self.noted.is_empty() => {
                let fault = Fault::new(FaultCode::TooEarly, span, "there is no answer yet to ask after");
                return Err(fault.hint("work a sum first, or ask of one: `why 6 * 3/4 in`").into());
            }
            None => None,
        };
        let noted = std::mem::take(&mut self.noted);
        let asked = match &formula {
            Some(formula) => Asked::Formula(&formula.node, formula.slots),
            None => Asked::Origin(noted.iter().rposition(|one| one.answers).unwrap_or(0), Vec::new()),
        };
        let trail = Trail::new(noted.iter().map(origin).collect());
        let rules = self.shelf.clone();
        let working = explain(&mut self.machine, &self.files, &trail, &[(asked, why.briefly)], &rules);
        drop(trail);
        self.noted = noted;
        entered.said.push(Said::Working(working));
        Ok(())
    }
}

fn origin(noted: &Noted) -> Origin<'_> {
    Origin {
        slot: noted.slot,
        answers: noted.answers,
        kind: noted.kind,
        name: noted.name.clone(),
        words: None,
        node: Some(&noted.formula.node),
        slots: noted.formula.slots,
        span: noted.span,
        settings: noted.settings.clone(),
        value: noted.value.clone(),
        rules: &noted.rules,
    }
}
