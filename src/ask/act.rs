//! The lines of a recipe that ask: `why` and `find`.

use std::collections::BTreeSet;
use std::rc::Rc;

use crate::ask::find::{FindAct, Follow, Question, unfound, value_of};
use crate::ask::why::{Asked, Origin, Trail, explain};
use crate::code::compile::Compiler;
use crate::code::names::Names;
use crate::code::node::{Code, Node, RuleCode};
use crate::code::scope::Scope;
use crate::docket::{StepKind, Working};
use crate::eval::machine::Halt;
use crate::fault::{Code as FaultCode, Fault, Files, Span, closest};
use crate::recipe::build::{Act, ActKind, Given, Recipe};
use crate::recipe::make::{Maker, Put, Run, Set};
use crate::syntax::tree::{Find, Why};

/// What a line that asks does.
#[derive(Debug)]
pub(crate) enum AskAct {
    /// `why flat`; nothing asks for the last answer.
    Why { asked: Node, briefly: bool },
    /// `find sashing from …`, and the lines that are worked anew for each value that is tried.
    Find { find: Box<FindAct>, follows: Vec<usize> },
}

impl AskAct {
    /// A `why` line.
    pub fn why(why: &Why, compiler: &mut Compiler<'_>, scope: &mut Scope) -> AskAct {
        let asked = match &why.asked {
            Some(asked) => compiler.expr(asked, scope),
            None => Node { code: Code::That, span: Span::new(crate::fault::FileId(0), 0, 0) },
        };
        AskAct::Why { asked, briefly: why.briefly }
    }

    /// A `find` line below these.
    pub fn find(
        find: &Find,
        span: Span,
        compiler: &mut Compiler<'_>,
        scope: &mut Scope,
        above: (&[Act], &[Given]),
    ) -> AskAct {
        let known = compiler.names.slots.get(&find.name.name);
        let passed =
            |slot: &u32| compiler.names.globals.get(*slot as usize).is_some_and(|entry| entry.passed);
        let names = !known.is_some_and(passed);
        let find = FindAct::compile(find, span, names, compiler, scope);
        compiler.pending();
        let mut follows = Vec::new();
        let mut moving: BTreeSet<u32> = [find.slot].into();
        for (at, act) in above.0.iter().enumerate().filter(|_| !names) {
            let Some(slot) = act.slot(above.1) else { continue };
            if matches!(act.kind, ActKind::Name { .. }) && reads_any(act, &moving, compiler.names) {
                moving.insert(slot);
                follows.push(at);
            }
        }
        AskAct::Find { find: Box::new(find), follows }
    }

    /// The slot of the name that the line gives.
    pub fn slot(&self) -> Option<u32> {
        match self {
            AskAct::Find { find, .. } if find.names => Some(find.slot),
            _ => None,
        }
    }

    /// Whether it needs what earlier lines made.
    pub fn looks_back(&self) -> bool {
        matches!(self, AskAct::Find { follows, .. } if !follows.is_empty())
    }

    /// Works the line.
    pub fn work(&self, maker: &mut Maker<'_>, act: &Act) -> Result<(), Halt> {
        match self {
            // The working itself is told when the run is done; a fault is told here.
            AskAct::Why { asked, .. } => maker.eval(asked, act).map(drop),
            AskAct::Find { find, follows } => search(find, follows, maker),
        }
    }
}

/// Works a `find` line.
fn search(act: &FindAct, follows: &[usize], maker: &mut Maker<'_>) -> Result<(), Halt> {
    let acts = maker.acts;
    let follow = |at: &usize| {
        let line = acts.get(*at)?;
        let ActKind::Name { slot, value } = &line.kind else { return None };
        let put = maker.noted.as_ref()?.iter().rev().find(|put| put.slot == Some(*slot))?;
        // What was really made stays what it is.
        let measured = acts.get(put.by).is_some_and(|by| match &by.kind {
            ActKind::Measured { slot: measured, .. } => measured == slot,
            _ => false,
        });
        if measured {
            return None;
        }
        Some(Follow { slot: *slot, node: value, slots: line.slots, settings: put.settings.clone() })
    };
    let follows = follows.iter().filter_map(follow).collect();
    let mut found = crate::ask::find::find(maker.machine, &Question { act, follows })?;
    if act.names {
        match value_of(&found) {
            Some(value) => maker.put(act.slot, value),
            None => return Err(unfound(&found, act)),
        }
    } else {
        found.notes.push(format!("only asked: `{}` stays as it is", act.name).into());
    }
    // A line that is worked once more, for what was measured, keeps on the docket what it found as
    // planned; what it finds now stands among the changes.
    let finds = &mut maker.run.docket.finds;
    if !finds.iter().any(|known| known.line == found.line && known.name == found.name) {
        finds.push(found);
    }
    Ok(())
}

/// Whether a line reads one of these names, itself or through the rules that it calls.
fn reads_any(act: &Act, wanted: &BTreeSet<u32>, names: &Names) -> bool {
    let mut found = !act.reads.is_disjoint(wanted);
    let mut open: Vec<u32> = act.calls.iter().copied().collect();
    let mut seen = BTreeSet::new();
    while let Some(rule) = open.pop() {
        let Some(entry) = names.rules.get(rule as usize).filter(|_| seen.insert(rule)) else { continue };
        found |= !entry.reads.is_disjoint(wanted);
        open.extend(entry.calls.iter());
    }
    found
}

/// Which working a run tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tell<'a> {
    /// That of the recipe's `why` lines.
    Asked,
    /// That of every named value and every shown one besides.
    All,
    /// That of one name, or of a part of it, and of nothing else.
    Name(&'a str, bool),
}

impl Recipe {
    /// Whether it has a `why` line.
    pub fn asks_why(&self) -> bool {
        self.acts.iter().any(|act| matches!(act.kind, ActKind::Ask(AskAct::Why { .. })))
    }

    /// As [`Recipe::run`], with the working behind its values in the docket.
    pub fn run_with_working(
        &mut self,
        set: &[Set],
        size: Option<Rc<str>>,
        files: &Files,
        tell: Tell<'_>,
    ) -> Run {
        self.noting = true;
        let mut run = self.run(set, size);
        self.noting = false;
        if !run.faults.is_empty() {
            return run;
        }
        match self.working(set, files, tell) {
            Ok(working) => run.docket.working = Some(working),
            Err(fault) => run.faults.push(*fault),
        }
        run
    }

    fn working(&mut self, set: &[Set], files: &Files, tell: Tell<'_>) -> Result<Working, Box<Fault>> {
        let rules = self.machine.rules.clone();
        let Recipe { acts, givens, machine, puts, names, .. } = self;
        let lines = Lines { acts, givens, names, set, rules: &rules };
        let mut origins: Vec<Origin<'_>> = Vec::with_capacity(puts.len());
        for (at, put) in puts.iter().enumerate() {
            let before = at.checked_sub(1).and_then(|at| puts.get(at));
            // A line that puts a second value in its own name had it from outside.
            let again = before.is_some_and(|before| before.by == put.by && before.slot == put.slot);
            origins.push(lines.origin(put, again));
        }
        let asked = match tell {
            Tell::Name(name, briefly) => vec![(named(name, &origins)?, briefly)],
            _ => lines.asked(&origins, tell),
        };
        Ok(explain(machine, files, &Trail::new(origins), &asked, &rules))
    }
}

/// The lines of a recipe, to be asked after.
struct Lines<'a> {
    acts: &'a [Act],
    givens: &'a [Given],
    names: &'a [Rc<str>],
    set: &'a [Set],
    rules: &'a [Option<Rc<RuleCode>>],
}

impl<'a> Lines<'a> {
    /// The line that works the formula of a slot.
    fn of_slot(&self, slot: u32) -> Option<&'a Act> {
        self.acts.iter().find(|act| act.slot(self.givens) == Some(slot))
    }

    fn origin(&self, put: &Put, from_outside: bool) -> Origin<'a> {
        let by = self.acts.get(put.by);
        let act = match (put.slot, by.map(|act| &act.kind)) {
            (Some(slot), Some(ActKind::Measured { slot: measured, .. })) if slot == *measured => by,
            (Some(slot), _) => self.of_slot(slot),
            (None, _) => by,
        };
        let mut origin = Origin {
            slot: put.slot,
            answers: put.slot.is_none(),
            kind: StepKind::Name,
            name: put.slot.and_then(|slot| self.names.get(slot as usize)).cloned(),
            words: None,
            node: None,
            slots: act.map_or(0, |act| act.slots),
            span: act.map_or(Span::new(crate::fault::FileId(0), 0, 0), |act| act.span),
            settings: put.settings.clone(),
            value: put.value.clone(),
            rules: self.rules,
        };
        match act.map(|act| &act.kind) {
            _ if from_outside => origin.kind = StepKind::Measured,
            Some(ActKind::Name { value, .. }) => origin.node = Some(value),
            Some(ActKind::Measured { value, .. }) => {
                origin.kind = StepKind::Measured;
                origin.node = (!matches!(value.code, Code::Const(_))).then_some(value);
            }
            Some(ActKind::Given(index)) => self.given(*index, &mut origin),
            Some(ActKind::Ask(AskAct::Find { find, .. })) => {
                origin.kind = StepKind::Found;
                origin.node = Some(find.condition());
            }
            Some(ActKind::Work(node)) => {
                origin.kind = StepKind::Answer;
                origin.node = Some(node);
            }
            _ => {}
        }
        origin
    }

    fn given(&self, index: usize, origin: &mut Origin<'a>) {
        let Some(given) = self.givens.get(index) else { return };
        let set = self.set.iter().any(|set| set.given == index);
        origin.kind = if set { StepKind::Set } else { StepKind::Given };
        origin.words = given.words.clone();
        origin.slots = given.slots;
        origin.node = (!set && !matches!(given.default.code, Code::Const(_))).then_some(&given.default);
    }

    /// What a run is to tell: its `why` lines, or all.
    fn asked(&self, origins: &[Origin<'a>], tell: Tell<'_>) -> Vec<(Asked<'a>, bool)> {
        let all = tell == Tell::All;
        let mut asked = Vec::new();
        for act in self.acts {
            match &act.kind {
                ActKind::Name { slot, .. } if all => {
                    let last = origins.iter().rposition(|origin| origin.slot == Some(*slot));
                    asked.extend(last.map(|last| (Asked::Origin(last, Vec::new()), false)));
                }
                ActKind::Ask(ask) if all && ask.slot().is_some() => {
                    let last = origins.iter().rposition(|origin| origin.slot == ask.slot());
                    asked.extend(last.map(|last| (Asked::Origin(last, Vec::new()), false)));
                }
                ActKind::Show { value, .. } if all => asked.push((Asked::Formula(value, act.slots), false)),
                ActKind::Ask(AskAct::Why { asked: node, briefly }) => {
                    asked.push((Asked::Formula(node, act.slots), *briefly));
                }
                _ => {}
            }
        }
        asked
    }
}

/// The origin of a name, or of a part of it: `flat`, `edge.strips`.
fn named<'a>(name: &str, origins: &[Origin<'a>]) -> Result<Asked<'a>, Box<Fault>> {
    let mut words = name.trim().split('.').map(str::trim);
    let first = words.next().unwrap_or("");
    let path: Vec<Rc<str>> = words.map(Into::into).collect();
    let known = || origins.iter().filter_map(|origin| origin.name.as_deref());
    let Some(at) = origins.iter().rposition(|origin| origin.name.as_deref() == Some(first)) else {
        let fault = Fault::nowhere(FaultCode::UnknownName, format!("this recipe names nothing `{first}`"));
        let names = known().collect::<Vec<_>>().join(", ");
        let fault = fault.did_you_mean(closest(first, known()));
        return Err(Box::new(fault.hint(format!("it names {names}"))));
    };
    let value = origins.get(at).map(|origin| &origin.value);
    if value.is_some_and(|value| crate::ask::why::part_of(value, &path).is_none()) {
        let message = format!("`{first}` has no part `.{}`", path.join("."));
        return Err(Box::new(Fault::nowhere(FaultCode::UnknownPart, message)));
    }
    Ok(Asked::Origin(at, path))
}
