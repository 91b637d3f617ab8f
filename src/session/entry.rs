//! A session at the prompt: a recipe that grows entry by entry; the last entries can be taken back.

use std::rc::Rc;

use crate::code::scope::Mention;
use crate::docket::{Buy, Docket, Figure};
use crate::eval::limits::Limits;
use crate::eval::machine::Settings;
use crate::fault::{Code, Fault, Files};
pub use crate::recipe::answer::Answer;
use crate::recipe::build::{Mark as RecipeMark, Recipe};
use crate::recipe::cutting::Cutting;
use crate::recipe::lines::Compiled;
use crate::recipe::lines::append::Body;
use crate::recipe::lines::maker::{Live, Maker, Run};
use crate::recipe::measured::follow::{Follow, FollowMark};
use crate::recipe::planning::{Effort, unfit};
use crate::recipe::used::Host;
use crate::value::data::Value;

/// What an entry made.
#[derive(Debug, Default)]
pub struct Entered {
    /// Answers, in order.
    pub answers: Vec<Answer>,
    /// What went wrong; the entry then changed nothing.
    pub faults: Vec<Fault>,
    /// Advice.
    pub advice: Vec<Fault>,
    /// Whether the entry is not finished and another row is wanted.
    pub unfinished: bool,
}

/// How far a session had come: lengths, and what is replaced as it goes on.
#[derive(Debug)]
struct Mark {
    /// The first row of what was entered then.
    entry: Rc<str>,
    recipe: RecipeMark,
    settings: Settings,
    that: Option<Value>,
    cutting: usize,
    buys: usize,
    /// The cutting and the purchases of another recipe, where one was loaded.
    laid_aside: Option<(Cutting, Vec<Buy>)>,
    follow: FollowMark,
    replaced: usize,
}

/// A session.
#[derive(Debug)]
pub struct Session {
    /// The texts entered so far, for printing faults.
    pub files: Files,
    pub(crate) recipe: Recipe,
    /// The lines about cloth, as they stood when they were entered.
    cutting: Cutting,
    /// What is bought besides cloth.
    buys: Vec<Buy>,
    follow: Follow,
    /// Values of names that were measured since.
    replaced: Vec<(u32, Value)>,
    /// The undo stack: where each entry began.
    undo: Vec<Mark>,
    entries: usize,
    limits: Limits,
}

impl Session {
    /// An empty session.
    pub fn new(limits: Limits) -> Session {
        Session {
            files: Files::new(),
            recipe: Recipe::new(&limits, true),
            cutting: Cutting::default(),
            buys: Vec::new(),
            follow: Follow::live(),
            replaced: Vec::new(),
            undo: Vec::new(),
            entries: 0,
            limits,
        }
    }

    /// Works an entry: one row, several rows, or a whole pasted recipe. An entry with a fault
    /// changes nothing.
    pub fn enter(&mut self, text: &str, host: &dyn Host) -> Entered {
        self.entries = self.entries.saturating_add(1);
        let name = format!("entry {}", self.entries);
        self.add(&name, text, false, host)
    }

    /// Works the lines of a file as if they were entered. A recipe with a title takes the place of what was
    /// cut, bought and shown before; names and settings stay.
    pub fn load(&mut self, name: &str, text: &str, host: &dyn Host) -> Entered {
        let entered = self.add(name, text, true, host);
        Entered { unfinished: false, ..entered }
    }

    fn add(&mut self, name: &str, text: &str, begins: bool, host: &dyn Host) -> Entered {
        let mut mark = self.mark(&if begins { format!("load {name}") } else { first_row(text) });
        let begun = self.recipe.place.begun;
        let added = self.recipe.append((name, text), begins, &mut self.files, host);
        if self.recipe.place.begun != begun {
            mark.laid_aside = Some((std::mem::take(&mut self.cutting), std::mem::take(&mut self.buys)));
        }
        let (advice, unfinished) = (added.advice, added.unfinished);
        let mut entered = Entered { answers: Vec::new(), faults: added.faults, advice, unfinished };
        entered.faults.extend(answer_of_late(&self.recipe.lines, mark.recipe.lines));
        if entered.faults.is_empty() {
            let advice;
            (entered.answers, entered.faults, advice) = self.work(mark.recipe.lines);
            entered.advice.extend(advice);
        }
        if entered.faults.is_empty() {
            self.undo.push(mark);
        } else {
            self.back(mark);
        }
        entered
    }

    /// Works the lines from one on: answers, faults, advice.
    fn work(&mut self, first: usize) -> (Vec<Answer>, Vec<Fault>, Vec<Fault>) {
        let cut = self.cutting.mark();
        let Recipe { body: Body { lines, dependence, .. }, names, machine, noted, .. } = &mut self.recipe;
        let effort = Effort::of(&self.limits, false);
        machine.refresh();
        let live = Live { files: &self.files, answers: Vec::new(), replaced: &mut self.replaced };
        let mut maker = Maker {
            cutting: std::mem::take(&mut self.cutting),
            follow: Some(&mut self.follow),
            noted: Some(noted),
            live: Some(live),
            ..Maker::new((lines, names, dependence), machine, effort.clone())
        };
        maker.work(first);
        maker.work_late_live(&self.buys);
        let Maker { cutting, run, live, .. } = maker;
        self.cutting = cutting;
        self.buys.extend(run.docket.buys);
        let mut answers = live.map(|live| live.answers).unwrap_or_default();
        let mut faults = run.faults;
        if faults.is_empty() {
            match self.lay_out(cut, &effort) {
                Ok(docket) => answers.extend(docket.map(|docket| Answer::Docket(Box::new(docket)))),
                Err(found) => faults = found,
            }
        }
        (answers, faults, run.advice)
    }

    /// What the new `plan` lines ask for, laid out with all pieces so far; and whether the new pieces fit.
    fn lay_out(&self, since: usize, effort: &Effort) -> Result<Option<Docket>, Vec<Fault>> {
        let planned = self.cutting.planned_since(since);
        let cut = self.cutting.cut_since(since);
        let told = |lot: &&_| !planned.holds(lot);
        let faults: Vec<Fault> =
            cut.iter().filter(told).flat_map(|lot| unfit(lot, &self.cutting, effort)).collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        if planned.lots.is_empty() {
            return Ok(None);
        }
        let mut run = Run::default();
        run.plan(&planned, effort);
        if run.faults.is_empty() { Ok(Some(run.docket)) } else { Err(run.faults) }
    }

    fn mark(&self, entry: &str) -> Mark {
        let machine = &self.recipe.machine;
        Mark {
            entry: entry.into(),
            recipe: self.recipe.mark(),
            settings: machine.settings.clone(),
            that: machine.that.clone(),
            cutting: self.cutting.mark(),
            buys: self.buys.len(),
            laid_aside: None,
            follow: self.follow.mark(),
            replaced: self.replaced.len(),
        }
    }

    fn back(&mut self, mark: Mark) {
        for (slot, value) in self.replaced.drain(mark.replaced..).rev() {
            if let Some(place) = self.recipe.machine.globals.get_mut(slot as usize) {
                *place = value;
            }
        }
        self.recipe.back(&mark.recipe);
        self.recipe.machine.settings = mark.settings;
        self.recipe.machine.that = mark.that;
        if let Some(laid_aside) = mark.laid_aside {
            (self.cutting, self.buys) = laid_aside;
        }
        self.cutting.back(mark.cutting);
        self.buys.truncate(mark.buys);
        self.follow.back(mark.follow);
    }

    /// Takes the last entry back and gives its first row; `None` where there is no entry.
    pub fn undo(&mut self) -> Option<Rc<str>> {
        let mark = self.undo.pop()?;
        let entry = mark.entry.clone();
        self.back(mark);
        Some(entry)
    }

    /// Removes a name or a rule; tells whether there was one.
    pub fn forget(&mut self, name: &str) -> bool {
        let mark = self.mark(&format!("forget {name}"));
        let found = self.recipe.names.forget(name);
        if found {
            self.undo.push(mark);
        }
        found
    }

    /// The names and their values, in alphabetical order.
    pub fn names(&self) -> Vec<(Rc<str>, Figure)> {
        let manner = self.recipe.machine.settings.manner;
        let value = |slot: u32| self.recipe.machine.globals.get(slot as usize);
        let figure = |slot: u32| Some(Figure { value: value(slot)?.to_figure(), manner });
        let names = self.recipe.names.slots.iter();
        let mut names: Vec<_> =
            names.filter_map(|(name, slot)| Some((name.clone(), figure(*slot)?))).collect();
        names.sort_by(|a: &(Rc<str>, Figure), b| a.0.cmp(&b.0));
        names
    }

    /// The session's own rules: their headings and formulas, in alphabetical order.
    pub fn rules(&self) -> Vec<Rc<str>> {
        let names = &self.recipe.names;
        let own = names.own_rules.values().filter_map(|id| names.rules.get(*id as usize));
        let own = own.filter(|entry| !entry.foreign);
        let text = |entry: &crate::code::names::RuleEntry| {
            self.files.text(entry.tree.heading.to(entry.tree.body.span)).into()
        };
        let mut rules: Vec<Rc<str>> = own.map(text).collect();
        rules.sort();
        rules
    }

    /// What a rule of the session takes and gives, where its heading does not tell all of it.
    pub fn signature(&self, name: &str) -> Option<String> {
        let names = &self.recipe.names;
        crate::check::signature(names, &self.files, *names.own_rules.get(name)?)
    }

    /// Words that can be completed at the prompt.
    pub fn words(&self) -> Vec<String> {
        let names = &self.recipe.names;
        let own = names.slots.keys().chain(names.own_rules.keys()).map(|name| name.to_string());
        let library = crate::library::index().keys().map(|name| (*name).to_owned());
        let mut words: Vec<String> =
            own.chain(library).chain(crate::value::builtin::names().map(str::to_owned)).collect();
        words.sort();
        words
    }

    /// Whether the next entry may be a further row of sizes.
    pub fn in_sizes(&self) -> bool {
        self.recipe.place.in_sizes
    }

    /// The session as a recipe that runs.
    pub fn save(&self) -> String {
        crate::session::save::recipe(&self.recipe, &self.files)
    }

    /// The limits of each entry; its `stop` flag stops the entry being worked.
    pub fn limits(&self) -> &Limits {
        &self.limits
    }
}

/// `that` after a line that is worked last would be another answer here than in the saved recipe.
fn answer_of_late(lines: &[Compiled], first: usize) -> Option<Fault> {
    let new = lines.iter().skip(first).skip_while(|line| !line.is_last());
    let mut late = false;
    for line in new {
        let spoken = line.mentions.iter().find(|(_, mention)| *mention == Mention::That);
        if let Some((span, _)) = spoken.filter(|_| late) {
            let message = "`that` cannot be used here: a line above uses `total`, which is calculated last";
            let fault = Fault::new(Code::TooEarly, *span, message);
            return Some(fault.hint("enter this line by itself, after the others"));
        }
        if line.act.answers() {
            late = line.is_last();
        }
    }
    None
}

/// The first row of an entry, with `…` where more rows follow.
fn first_row(text: &str) -> String {
    match text.trim().split_once('\n') {
        Some((first, _)) => format!("{} …", first.trim_end()),
        None => text.trim().into(),
    }
}
