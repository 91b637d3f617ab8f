//! The working of a recipe's values: `why` lines, `--why`, and one name asked after.

use std::collections::HashMap;
use std::rc::Rc;

use crate::ask::why::{Asked, Origin, Trail, explain};
use crate::code::names::Names;
use crate::docket::{StepKind, Working};
use crate::eval::machine::Halt;
use crate::fault::{Code as FaultCode, Fault, FileId, Files, Span, closest};
use crate::recipe::answer::Answer;
use crate::recipe::build::Recipe;
use crate::recipe::lines::Compiled;
use crate::recipe::lines::append::Body;
use crate::recipe::lines::maker::{Maker, Noted, Run, Set};

/// Steps of work to look at one value that was noted.
const LOOKED_AT: u64 = 32;

/// Which working a run shows.
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

    /// As [`Recipe::run`], with the working of its values in the docket.
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
        let Recipe { body: Body { lines, .. }, machine, noted, names, .. } = self;
        let origins = origins(lines, names, noted, set);
        let asked = match tell {
            Tell::Name(name, briefly) => vec![(named(name, &origins)?, briefly)],
            _ => {
                let all = (tell == Tell::All).then_some(origins.as_slice());
                lines.iter().filter_map(|line| line.act.asked(line, all)).collect()
            }
        };
        Ok(explain(machine, files, &Trail::new(origins), &asked))
    }
}

impl Maker<'_> {
    /// Answers a `why` line at the prompt. It goes through all that was noted, which counts as work.
    pub(crate) fn tell_working(&mut self, asked: (Asked<'_>, bool), span: Span) -> Result<(), Halt> {
        let (Some(live), Some(noted)) = (&self.live, &self.noted) else { return Ok(()) };
        self.machine.spend((noted.len() as u64).saturating_mul(LOOKED_AT), span)?;
        let trail = Trail::new(origins(self.lines, self.names, noted, self.set));
        // Looking into it has limits of its own; those of the entry go on.
        let left = self.machine.left();
        let working = explain(self.machine, live.files, &trail, &[asked]);
        self.machine.go_on_with(left);
        self.answer(Answer::Working(working));
        Ok(())
    }
}

/// What gave a recipe's values.
fn origins<'a>(lines: &'a [Compiled], names: &Names, noted: &[Noted], set: &[Set]) -> Vec<Origin<'a>> {
    let gives: HashMap<u32, &Compiled> =
        lines.iter().filter_map(|line| Some((line.act.gives()?, line))).collect();
    let mut origins = Vec::with_capacity(noted.len());
    let mut before: Option<&Noted> = None;
    for one in noted {
        // A line that puts a second value in its own name had it from outside.
        let from_outside = before.is_some_and(|before| before.by == one.by && before.slot == one.slot);
        before = Some(one);
        let by = lines.get(one.by);
        let line = match one.slot {
            Some(slot) if by.is_some_and(|by| by.act.measures() == Some(slot)) => by,
            Some(slot) => gives.get(&slot).copied(),
            None => by,
        };
        let mut origin = Origin {
            slot: one.slot,
            answers: one.answers,
            kind: StepKind::Name,
            name: one.slot.and_then(|slot| Some(names.globals.get(slot as usize)?.name.clone())),
            words: None,
            node: None,
            slots: line.map_or(0, |line| line.slots),
            span: line.map_or(Span::new(FileId(0), 0, 0), |line| line.span),
            settings: one.settings.clone(),
            value: one.value.clone(),
        };
        match line {
            _ if from_outside => origin.kind = StepKind::Measured,
            Some(line) => {
                let given = line.act.given();
                let set = given.is_some_and(|given| set.iter().any(|set| set.given == given));
                line.act.explain(set, &mut origin);
            }
            None => {}
        }
        origins.push(origin);
    }
    origins
}

/// So many names of a recipe are told where one is not among them.
const NAMES_TOLD: usize = 20;

/// The origin of a name, or of a part of it: `flat`, `edge.strips`.
fn named<'a>(name: &str, origins: &[Origin<'a>]) -> Result<Asked<'a>, Box<Fault>> {
    let mut words = name.trim().split('.').map(str::trim);
    let first = words.next().unwrap_or("");
    let path: Vec<Rc<str>> = words.map(Into::into).collect();
    let known = || origins.iter().filter_map(|origin| origin.name.as_deref());
    let Some(at) = origins.iter().rposition(|origin| origin.name.as_deref() == Some(first)) else {
        let fault = Fault::nowhere(FaultCode::UnknownName, format!("this recipe has no name `{first}`"));
        let mut names = known().take(NAMES_TOLD).collect::<Vec<_>>().join(", ");
        match known().count().saturating_sub(NAMES_TOLD) {
            0 => {}
            more => names.push_str(&format!(", and {more} more")),
        }
        let fault = fault.did_you_mean(closest(first, known()));
        return Err(Box::new(fault.hint(format!("its names are {names}"))));
    };
    let value = origins.get(at).map(|origin| &origin.value);
    if value.is_some_and(|value| crate::ask::why::part_of(value, &path).is_none()) {
        let message = format!("`{first}` has no part `.{}`", path.join("."));
        return Err(Box::new(Fault::nowhere(FaultCode::UnknownPart, message)));
    }
    Ok(Asked::Origin(at, path))
}
