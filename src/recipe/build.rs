//! A recipe: its lines compiled, ready to be made in any size, and how it grows line by line.

use std::ops::Deref;

use crate::check::{self, Checked, Infer, Lines};
use crate::code::names::{self, Names};
use crate::eval::limits::Limits;
use crate::eval::machine::Machine;
use crate::fault::{Code, Fault, Files, Level};
use crate::recipe::dependence::Reader;
use crate::recipe::lines::Compiled;
use crate::recipe::lines::append::{Body, Builder, Place, stopped_at};
use crate::recipe::lines::maker::Noted;
pub use crate::recipe::lines::{Given, Size, unknown_given};
use crate::recipe::measured::follow::Outside;
use crate::recipe::planning::Effort;
use crate::recipe::together::Together;
use crate::recipe::used::{self, Gathered, Host};
use crate::value::data::Value;

/// A recipe, compiled.
#[derive(Debug)]
pub struct Recipe {
    pub(crate) body: Body,
    /// Advice found while compiling.
    pub advice: Vec<Fault>,
    /// What the check could not tell before anything is worked.
    pub notes: Vec<Fault>,
    pub(crate) names: Names,
    pub(crate) machine: Machine,
    pub(crate) both: bool,
    pub(crate) effort: Effort,
    /// Advice on the size of a table that was made last.
    pub(crate) graded_advice: Vec<Fault>,
    /// Sizes held to be laid out together.
    pub(crate) together: Option<Together>,
    /// Whether a run notes what its lines gave, and what it noted.
    pub(crate) noting: bool,
    pub(crate) noted: Vec<Noted>,
    /// What was measured, from outside.
    pub(crate) outside: Outside,
    checked: Checked,
    gathered: Vec<Gathered>,
    /// The files that are used.
    used: Vec<String>,
    /// The line that gives each slot its value.
    given_by: Vec<Option<usize>>,
}

/// How far a recipe had grown.
#[derive(Debug)]
pub(crate) struct Mark {
    names: names::Mark,
    checked: check::Mark,
    place: Place,
    pub lines: usize,
    lengths: [usize; 6],
}

/// What came of adding lines.
#[derive(Debug, Default)]
pub(crate) struct Added {
    pub faults: Vec<Fault>,
    pub advice: Vec<Fault>,
    /// Whether the text ends too early and another row is wanted.
    pub unfinished: bool,
}

/// What comes of lines where the work was stopped.
fn stopped(faults: &[Fault]) -> Option<Added> {
    let stopped = faults.iter().find(|fault| fault.code == Code::Stopped)?;
    Some(Added { faults: vec![stopped.clone()], ..Added::default() })
}

/// Reads and compiles a recipe; gives all its faults where it has any.
pub fn compile(
    name: &str,
    text: &str,
    files: &mut Files,
    host: &dyn Host,
    limits: &Limits,
) -> Result<Recipe, Vec<Fault>> {
    let mut recipe = Recipe::new(limits, false);
    let added = recipe.append((name, text), false, files, host);
    recipe.advice = added.advice;
    if added.faults.is_empty() { Ok(recipe) } else { Err(added.faults) }
}

impl Recipe {
    /// A recipe without lines; one that grows may give its names again.
    pub(crate) fn new(limits: &Limits, grows: bool) -> Recipe {
        Recipe {
            body: Body { grows, ..Body::default() },
            advice: Vec::new(),
            notes: Vec::new(),
            names: Names::default(),
            machine: Machine::new(limits.clone()),
            both: false,
            effort: Effort::of(limits, false),
            graded_advice: Vec::new(),
            together: None,
            noting: false,
            noted: Vec::new(),
            outside: Outside::default(),
            checked: Checked::default(),
            gathered: Vec::new(),
            used: Vec::new(),
            given_by: Vec::new(),
        }
    }

    /// Adds the lines of a text, compiled and checked. With `begins` a text with a title begins a recipe: what
    /// was cut, bought and shown before belongs to another. Where there are faults the recipe must be taken
    /// [`Recipe::back`].
    pub(crate) fn append(
        &mut self,
        text: (&str, &str),
        begins: bool,
        files: &mut Files,
        host: &dyn Host,
    ) -> Added {
        let stop = self.machine.limits.stop.clone();
        let hidden = || self.names.hides_used();
        let used = (&mut self.used, &hidden as &dyn Fn() -> bool);
        let script = used::gather(text, self.body.place.in_sizes, &stop, used, files, host);
        if let Some(stopped) = stopped(&script.faults) {
            return stopped;
        }
        if begins && script.has_title() {
            let begun = (self.body.lines.len(), self.body.sizes.len());
            self.body.place = Place { begun, ..Place::default() };
        }
        self.names.spoiled.extend(script.spoiled.iter().cloned());
        let (first, first_example) = (self.body.lines.len(), self.body.examples.len());
        let mut builder = Builder::new(&mut self.body, &mut self.names, files);
        (builder.loaded, builder.stop) = (begins, stop);
        builder.add(&script.lines);
        let (mut faults, renewed) = builder.done();
        if let Some(stopped) = stopped(&faults) {
            return stopped;
        }
        faults.extend(script.faults);
        self.machine
            .rules
            .extend(self.names.rules.iter().skip(self.machine.rules.len()).map(|entry| entry.code.clone()));
        self.machine.globals.resize(self.names.globals.len(), Value::Unset);
        for (at, line) in self.body.lines.iter().enumerate().skip(first) {
            self.given_by.resize(self.names.globals.len(), None);
            if let Some(place) = line.act.gives().and_then(|slot| self.given_by.get_mut(slot as usize)) {
                *place = Some(at);
            }
        }
        let known = std::mem::take(&mut self.checked);
        let mut infer = Infer::on(known, &self.names, files, self);
        renewed.into_iter().for_each(|rule| infer.rule(rule));
        for line in self.body.lines.iter().skip(first) {
            if self.machine.limits.stopped() {
                faults = vec![stopped_at(line.span)];
                break;
            }
            infer.framed(|infer| line.act.check(infer));
        }
        let examples = self.body.examples.iter().skip(first_example);
        examples.for_each(|(tried, expected, ..)| infer.example(tried, expected));
        let (found, checked) = infer.parts();
        self.checked = checked;
        if let Some(stopped) = stopped(&faults) {
            return stopped;
        }
        faults.extend(found.faults);
        if !self.body.grows {
            self.notes.extend(found.notes);
        }
        self.notes.sort_by_key(Fault::span);
        faults.sort_by_key(Fault::span);
        let (advice, faults) = faults.into_iter().partition(|fault| fault.level == Level::Advice);
        if let Some(last) = self.body.lines.iter().skip(first).rfind(|line| !line.act.only_asks()) {
            self.body.place.in_sizes = last.act.has_rows();
        }
        self.gathered.extend(script.lines);
        Added { faults, advice, unfinished: script.unfinished }
    }

    /// How far it has grown.
    pub(crate) fn mark(&self) -> Mark {
        Mark {
            names: self.names.mark(),
            checked: self.checked.mark(),
            place: self.body.place,
            lines: self.body.lines.len(),
            lengths: [
                self.body.givens.len(),
                self.body.sizes.len(),
                self.body.examples.len(),
                self.noted.len(),
                self.gathered.len(),
                self.used.len(),
            ],
        }
    }

    /// It is what it was at a mark.
    pub(crate) fn back(&mut self, mark: &Mark) {
        while self.body.lines.len() > mark.lines {
            if let Some(line) = self.body.lines.pop() {
                self.body.dependence.remove(Reader::Line(self.body.lines.len()), &line.mentions);
            }
        }
        for (rule, entry) in self.names.rules.iter().enumerate().skip(mark.names.rules).rev() {
            self.body
                .dependence
                .remove(Reader::Rule(u32::try_from(rule).unwrap_or(u32::MAX)), &entry.mentions);
        }
        self.names.back(mark.names);
        self.checked.back(mark.checked);
        self.machine.rules.truncate(mark.names.rules);
        self.machine.globals.truncate(mark.names.globals);
        self.given_by.truncate(mark.names.globals);
        self.body.place = mark.place;
        let [givens, sizes, examples, noted, gathered, used] = mark.lengths;
        self.body.givens.truncate(givens);
        self.body.sizes.truncate(sizes);
        self.body.examples.truncate(examples);
        self.noted.truncate(noted);
        self.gathered.truncate(gathered);
        self.used.truncate(used);
    }

    /// The line that gives a slot its value.
    pub(crate) fn line_of(&self, slot: u32) -> Option<&Compiled> {
        self.body.lines.get(self.given_by.get(slot as usize).copied().flatten()?)
    }

    /// Advice on what is sound and deserves a second look.
    pub fn second_look(&self, files: &Files) -> Vec<Fault> {
        crate::recipe::lines::advice::advice(&self.gathered, files)
    }
}

impl Deref for Recipe {
    type Target = Body;

    fn deref(&self) -> &Body {
        &self.body
    }
}

impl Lines for Recipe {
    fn look_at(&self, slot: u32, infer: &mut Infer<'_>) {
        if let Some(line) = self.line_of(slot) {
            infer.framed(|infer| line.act.check(infer));
        }
    }

    fn written(&self, slot: u32) -> Option<&crate::code::node::Node> {
        self.line_of(slot)?.act.written()
    }
}
