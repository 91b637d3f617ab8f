//! A session at the prompt: a recipe that grows entry by entry; the last entries can be taken back.

use std::rc::Rc;

use crate::code::{Mention, Names};
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
    /// Whether a `check` in it fails.
    pub check_failed: bool,
}

/// What changes a session, as it was entered.
#[derive(Clone, Debug)]
enum Done {
    /// An entry: its name and its text.
    Entry(Rc<str>, Rc<str>),
    /// A file that was loaded: its name and its text.
    Load(Rc<str>, Rc<str>),
    /// A name that was removed.
    Forget(Rc<str>),
}

impl Done {
    /// Its first row.
    fn words(&self) -> Rc<str> {
        match self {
            Done::Entry(_, text) => first_row(text).into(),
            Done::Load(name, _) => format!("load {name}").into(),
            Done::Forget(name) => format!("forget {name}").into(),
        }
    }
}

/// What was taken back, or done again.
#[derive(Debug)]
pub struct Undone {
    /// The first row of the entry that gave a name, a rule, a setting or a line of the recipe.
    pub entry: Rc<str>,
    /// How many entries of sums alone went with it.
    pub sums: usize,
}

/// How far a session had come: lengths, and what is replaced as it goes on.
#[derive(Debug)]
struct Mark {
    /// What was entered then.
    done: Done,
    /// Whether only sums were entered.
    sum: bool,
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
    /// What was taken back, the last first: an entry and the sums after it.
    redo: Vec<Vec<Done>>,
    /// What was saved last.
    saved: Option<String>,
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
            redo: Vec::new(),
            saved: None,
            entries: 0,
            limits,
        }
    }

    /// Works an entry: one row, several rows, or a whole pasted recipe. An entry with a fault
    /// changes nothing.
    pub fn enter(&mut self, text: &str, host: &dyn Host) -> Entered {
        self.entries = self.entries.saturating_add(1);
        let done = Done::Entry(format!("entry {}", self.entries).into(), text.into());
        self.fresh(done, host)
    }

    /// Works the lines of a file as if they were entered. A recipe with a title takes the place of what was
    /// cut, bought and shown before; names and settings stay.
    pub fn load(&mut self, name: &str, text: &str, host: &dyn Host) -> Entered {
        let entered = self.fresh(Done::Load(name.into(), text.into()), host);
        Entered { unfinished: false, ..entered }
    }

    /// Does what was not done before; what was taken back cannot be done again after it.
    fn fresh(&mut self, done: Done, host: &dyn Host) -> Entered {
        let entered = self.add(done, host);
        if entered.faults.is_empty() && self.undo.last().is_some_and(|mark| !mark.sum) {
            self.redo.clear();
        }
        entered
    }

    fn add(&mut self, done: Done, host: &dyn Host) -> Entered {
        let (name, text, begins) = match &done {
            Done::Entry(name, text) => (name.clone(), text.clone(), false),
            Done::Load(name, text) => (name.clone(), text.clone(), true),
            Done::Forget(name) => {
                self.remove(name);
                return Entered::default();
            }
        };
        let mut mark = self.mark(done);
        let begun = self.recipe.place.begun;
        let added = self.recipe.append((&name, &text), begins, &mut self.files, host);
        if self.recipe.place.begun != begun {
            mark.laid_aside = Some((std::mem::take(&mut self.cutting), std::mem::take(&mut self.buys)));
        }
        mark.sum = self.recipe.lines.iter().skip(mark.recipe.lines).all(|line| line.act.is_sum());
        let mut entered = Entered {
            faults: added.faults,
            advice: added.advice,
            unfinished: added.unfinished,
            ..Entered::default()
        };
        entered.faults.extend(answer_of_late(&self.recipe.lines, mark.recipe.lines));
        if entered.faults.is_empty() {
            self.work(mark.recipe.lines, &mut entered);
        }
        if entered.faults.is_empty() {
            self.undo.push(mark);
        } else {
            self.back(mark);
        }
        entered
    }

    /// Works the lines from one on.
    fn work(&mut self, first: usize, entered: &mut Entered) {
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
        self.buys.extend_from_slice(&run.docket.buys);
        entered.check_failed = !run.no_check_fails();
        entered.answers = live.map(|live| live.answers).unwrap_or_default();
        entered.advice.extend(run.advice);
        entered.faults = run.faults;
        if entered.faults.is_empty() {
            match self.lay_out(cut, &effort) {
                Ok(docket) => entered.answers.extend(docket.map(|docket| Answer::Docket(Box::new(docket)))),
                Err(found) => entered.faults = found,
            }
        }
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

    fn mark(&self, done: Done) -> Mark {
        let machine = &self.recipe.machine;
        Mark {
            done,
            sum: false,
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

    /// Takes back the last entry that did more than a sum, and the sums after it; `None` where there is none.
    pub fn undo(&mut self) -> Option<Undone> {
        let at = self.undo.iter().rposition(|mark| !mark.sum)?;
        let mut taken = Vec::new();
        let mut entry = None;
        while self.undo.len() > at
            && let Some(mark) = self.undo.pop()
        {
            taken.push(mark.done.clone());
            entry = Some(mark.done.words());
            self.back(mark);
        }
        taken.reverse();
        let sums = taken.len().saturating_sub(1);
        self.redo.push(taken);
        Some(Undone { entry: entry?, sums })
    }

    /// Does again what was taken back last; `None` where nothing was. A fault leaves it taken back.
    pub fn redo(&mut self, host: &dyn Host) -> Option<(Undone, Entered)> {
        let taken = self.redo.pop()?;
        let (entry, sums) = (taken.first()?.words(), taken.len().saturating_sub(1));
        let mut last = Entered::default();
        for done in taken {
            last = self.add(done, host);
            if !last.faults.is_empty() {
                break;
            }
        }
        Some((Undone { entry, sums }, last))
    }

    /// Removes a name or a rule; tells whether there was one.
    pub fn forget(&mut self, name: &str) -> bool {
        let found = self.remove(name);
        if found {
            self.redo.clear();
        }
        found
    }

    fn remove(&mut self, name: &str) -> bool {
        let mark = self.mark(Done::Forget(name.into()));
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

    /// The heading of a rule of the session or of the library, and what stands behind it.
    pub fn heading(&self, rule: &str) -> Option<Rc<str>> {
        let names = &self.recipe.names;
        let own = names.own_rules.get(rule).and_then(|id| names.rules.get(*id as usize));
        let own = own.map(|entry| self.files.text(entry.tree.heading));
        own.or_else(|| crate::library::index().get(rule).map(|entry| entry.text())).map(Into::into)
    }

    /// The parts of the value that a name and the parts behind it lead to, in alphabetical order.
    pub fn parts(&self, path: &[&str]) -> Vec<String> {
        let value = path.split_first().and_then(|(name, path)| {
            let slot = self.recipe.names.slots.get(*name)?;
            let value = self.recipe.machine.globals.get(*slot as usize)?;
            path.iter().try_fold(value, |value, part| match value {
                Value::Record(record) => record.part(part),
                _ => None,
            })
        });
        let mut parts: Vec<String> = match value {
            Some(Value::Size(_) | Value::SlackSize(_)) => vec!["across".into(), "along".into()],
            Some(Value::Slack(_)) => ["least", "middle", "most", "slack"].map(String::from).to_vec(),
            Some(Value::Record(record)) => record.names.iter().map(|name| name.to_string()).collect(),
            _ => Vec::new(),
        };
        parts.sort();
        parts
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

    /// Remembers that all of it stands in a file.
    pub fn mark_saved(&mut self) {
        self.saved = Some(self.save());
    }

    /// Whether there is nothing, or nothing that does not stand in a file.
    pub fn is_saved(&self) -> bool {
        self.undo.is_empty() || self.saved.as_ref() == Some(&self.save())
    }

    /// The names and rules of its own, in alphabetical order.
    pub fn own_names(&self) -> Vec<Rc<str>> {
        let Names { globals, slots, rules, own_rules, .. } = &self.recipe.names;
        let named =
            slots.iter().filter(|(_, slot)| globals.get(**slot as usize).is_some_and(|name| !name.foreign));
        let ruled =
            own_rules.iter().filter(|(_, rule)| rules.get(**rule as usize).is_some_and(|rule| !rule.foreign));
        let mut names: Vec<Rc<str>> = named.chain(ruled).map(|(name, _)| name.clone()).collect();
        names.sort();
        names
    }

    /// What `seam`, `ruler` or `shop` is set to, as it reads; nothing where it is not set.
    pub fn setting(&self, word: &str) -> Option<String> {
        let Settings { seam, ruler, shop, .. } = &self.recipe.machine.settings;
        let value = match word {
            "seam" => seam,
            "ruler" => ruler,
            _ => shop,
        };
        value.as_ref().map(|value| value.show(&Settings::default().manner))
    }

    /// The limits of each entry; its `stop` flag stops the entry being worked.
    pub fn limits(&self) -> &Limits {
        &self.limits
    }
}

/// `that` after a line that is worked last would be another answer here than in the saved recipe.
fn answer_of_late(lines: &[Compiled], first: usize) -> Option<Fault> {
    let new = lines.iter().skip(first).skip_while(|line| !line.last);
    let mut late = false;
    for line in new {
        let spoken = line.mentions.iter().find(|(_, mention)| *mention == Mention::That);
        if let Some((span, _)) = spoken.filter(|_| late) {
            let message = "`that` cannot be used here: a line above uses `total`, which is calculated last";
            let fault = Fault::new(Code::TooEarly, *span, message);
            return Some(fault.hint("enter this line by itself, after the others"));
        }
        if line.act.answers() {
            late = line.last;
        }
    }
    None
}

/// The first row of an entry, with `…` where more rows follow.
fn first_row(text: &str) -> String {
    let rows = text.trim().split_once('\n');
    rows.map_or_else(|| text.trim().into(), |(first, _)| format!("{} …", first.trim_end()))
}
