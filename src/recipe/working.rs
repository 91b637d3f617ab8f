//! The working behind a recipe's values: `why` lines, `--why`, and one name asked after.

use std::rc::Rc;

use crate::ask::why::{Asked, Origin, Trail, explain};
use crate::code::node::RuleCode;
use crate::docket::{StepKind, Working};
use crate::fault::{Code as FaultCode, Fault, FileId, Files, Span, closest};
use crate::recipe::build::Recipe;
use crate::recipe::lines::Compiled;
use crate::recipe::make::{Noted, Run, Set};

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
        self.lines.iter().any(|line| line.act.asked(line, None).is_some())
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
        let Recipe { lines, machine, noted, names, .. } = self;
        let given = Given { lines, names, set, rules: &rules };
        let mut origins: Vec<Origin<'_>> = Vec::with_capacity(noted.len());
        for (at, one) in noted.iter().enumerate() {
            let before = at.checked_sub(1).and_then(|at| noted.get(at));
            // A line that puts a second value in its own name had it from outside.
            let again = before.is_some_and(|before| before.by == one.by && before.slot == one.slot);
            origins.push(given.origin(one, again));
        }
        let asked = match tell {
            Tell::Name(name, briefly) => vec![(named(name, &origins)?, briefly)],
            _ => {
                let all = (tell == Tell::All).then_some(origins.as_slice());
                lines.iter().filter_map(|line| line.act.asked(line, all)).collect()
            }
        };
        Ok(explain(machine, files, &Trail::new(origins), &asked, &rules))
    }
}

/// What gave a recipe's values.
struct Given<'a> {
    lines: &'a [Compiled],
    names: &'a [Rc<str>],
    set: &'a [Set],
    rules: &'a [Option<Rc<RuleCode>>],
}

impl<'a> Given<'a> {
    fn origin(&self, noted: &Noted, from_outside: bool) -> Origin<'a> {
        let by = self.lines.get(noted.by);
        let line = match noted.slot {
            Some(slot) if by.is_some_and(|by| by.act.measures() == Some(slot)) => by,
            Some(slot) => self.lines.iter().find(|line| line.act.gives() == Some(slot)),
            None => by,
        };
        let mut origin = Origin {
            slot: noted.slot,
            answers: noted.slot.is_none(),
            kind: StepKind::Name,
            name: noted.slot.and_then(|slot| self.names.get(slot as usize)).cloned(),
            words: None,
            node: None,
            slots: line.map_or(0, |line| line.slots),
            span: line.map_or(Span::new(FileId(0), 0, 0), |line| line.span),
            settings: noted.settings.clone(),
            value: noted.value.clone(),
            rules: self.rules,
        };
        match line {
            _ if from_outside => origin.kind = StepKind::Measured,
            Some(line) => {
                let given = line.act.given();
                let set = given.is_some_and(|given| self.set.iter().any(|set| set.given == given));
                line.act.explain(set, &mut origin);
            }
            None => {}
        }
        origin
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
