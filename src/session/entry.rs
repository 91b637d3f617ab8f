//! A session at the prompt: entries worked one by one, taken back, saved as a recipe.

use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;

use crate::check as infer;
use crate::code::compile::Compiler;
use crate::code::names::Names;
use crate::code::node::Node;
use crate::code::scope::Scope;
use crate::docket::{Figure, StepKind};
use crate::eval::limits::Limits;
use crate::eval::machine::{Halt, Machine, Settings};
use crate::eval::words;
use crate::fault::{Code as FaultCode, Fault, File, Files, Span};
use crate::limits::UNDO;
pub use crate::recipe::answer::Answer as Said;
use crate::recipe::build as recipe;
use crate::recipe::lines::set_setting;
use crate::recipe::used::Host;
use crate::session::asking::{Formula, Noted, Shelf};
use crate::session::stale::Trace;
use crate::syntax::{self, tree::Expr, tree::Line, tree::LineKind, tree::Show, tree::Work};
use crate::value::data::Value;

/// What an entry made.
#[derive(Debug, Default)]
pub struct Entered {
    /// Answers, in order.
    pub said: Vec<Said>,
    /// What went wrong; the entry then changed nothing.
    pub faults: Vec<Fault>,
    /// Advice.
    pub advice: Vec<Fault>,
    /// Whether the entry is not finished and another row is wanted.
    pub unfinished: bool,
}

/// A line that was entered and worked.
#[derive(Clone, Debug)]
pub(crate) struct Kept {
    /// Its tree.
    pub line: Rc<Line>,
    /// Its own text.
    pub text: Rc<str>,
}

/// All that an entry can change, kept so that it can be taken back.
#[derive(Clone, Debug)]
struct State {
    names: Names,
    globals: Vec<Value>,
    settings: Settings,
    that: Option<Value>,
    kept: Vec<Kept>,
    traces: HashMap<u32, Trace>,
    noted: usize,
}

/// A session.
#[derive(Debug)]
pub struct Session {
    /// The texts entered so far, for printing faults.
    pub files: Files,
    pub(crate) names: Names,
    pub(crate) machine: Machine,
    pub(crate) kept: Vec<Kept>,
    /// What each line gave, for `why`.
    pub(crate) noted: Vec<Noted>,
    /// The rules as they now stand.
    pub(crate) shelf: Shelf,
    /// The formula worked last.
    pub(crate) last: Option<Formula>,
    pub(crate) traces: HashMap<u32, Trace>,
    before: Vec<State>,
    entries: usize,
    pub(crate) limits: Limits,
}

impl Session {
    /// An empty session.
    pub fn new(limits: Limits) -> Session {
        Session {
            files: Files::new(),
            names: Names::default(),
            machine: Machine::new(limits.clone()),
            kept: Vec::new(),
            noted: Vec::new(),
            shelf: Shelf::default(),
            last: None,
            traces: HashMap::new(),
            before: Vec::new(),
            entries: 0,
            limits,
        }
    }

    /// Works an entry: one row, several rows, or a whole pasted recipe. An entry with a fault
    /// changes nothing.
    pub fn enter(&mut self, text: &str, host: &dyn Host) -> Entered {
        self.entries += 1;
        let name = format!("prompt:{}", self.entries);
        self.enter_named(&name, text, host)
    }

    /// Works the lines of a file as if they were entered.
    pub fn load(&mut self, name: &str, text: &str, host: &dyn Host) -> Entered {
        let mut entered = self.enter_named(name, text, host);
        entered.unfinished = false;
        entered
    }

    fn enter_named(&mut self, name: &str, text: &str, host: &dyn Host) -> Entered {
        let mut entered = Entered::default();
        let state = self.state();
        let id = self.files.add(File::new(name, text));
        let read = syntax::read(id, text);
        entered.unfinished = read.unfinished;
        entered.faults = read.faults;
        if entered.faults.is_empty() {
            self.machine.refresh();
            let first = self.kept.len();
            self.declare_rules(&read.tree.lines, &mut entered);
            for line in read.tree.lines {
                if !entered.faults.is_empty() {
                    break;
                }
                self.line(line, host, &mut entered);
            }
            if entered.faults.is_empty()
                && let Err(Halt::Fault(fault)) = self.lay_out(first, host, &mut entered)
            {
                entered.faults.push(*fault);
            }
        }
        if entered.faults.is_empty() {
            self.before.push(state);
            if self.before.len() > UNDO {
                self.before.remove(0);
            }
        } else {
            self.restore(state);
        }
        entered
    }

    fn state(&self) -> State {
        State {
            names: self.names.clone(),
            globals: self.machine.globals.clone(),
            settings: self.machine.settings.clone(),
            that: self.machine.that.clone(),
            kept: self.kept.clone(),
            traces: self.traces.clone(),
            noted: self.noted.len(),
        }
    }

    fn restore(&mut self, state: State) {
        self.names = state.names;
        self.machine.globals = state.globals;
        self.machine.settings = state.settings;
        self.machine.that = state.that;
        self.kept = state.kept;
        self.traces = state.traces;
        self.noted.truncate(state.noted);
        self.link();
    }

    /// The machine's rules are those of the names.
    pub(crate) fn link(&mut self) {
        self.machine.rules = self.names.rules.iter().map(|entry| entry.code.clone()).collect();
        self.machine.globals.resize(self.names.globals.len(), Value::Unset);
        self.shelve();
    }

    /// Rules may stand in any order, so all of an entry are known before any is compiled; a rule
    /// given anew takes the place of the old one, also for the rules that call it.
    fn declare_rules(&mut self, lines: &[Line], entered: &mut Entered) {
        let mut redone = BTreeSet::new();
        let mut any = false;
        for line in lines {
            let LineKind::Rule(rule) = &line.kind else { continue };
            any = true;
            let name = rule.name.name.clone();
            if self.names.slots.contains_key(&name) {
                let message = format!("`{name}` is the name of a value already");
                entered.faults.push(Fault::new(FaultCode::NameTwice, rule.name.span, message));
            }
            match self.names.own_rules.get(&name).copied() {
                Some(id) => {
                    if let Some(entry) = self.names.rules.get_mut(id as usize) {
                        entry.tree = rule.clone();
                    }
                    redone.insert(id);
                }
                None => {
                    let id = self.names.add_rule(rule.clone(), false);
                    self.names.own_rules.insert(name, id);
                }
            }
        }
        if !any {
            return;
        }
        // A rule may read a name that a later line of the entry gives.
        for line in lines {
            let name = match &line.kind {
                LineKind::Name(line) => &line.name,
                LineKind::Given(given) => &given.name,
                _ => continue,
            };
            if !self.names.own_rules.contains_key(&name.name) {
                self.names.global(&name.name, name.span);
            }
        }
        let own: Vec<u32> = self.names.own_rules.values().copied().collect();
        let mut compiler = Compiler::new(&mut self.names, &mut self.files);
        compiler.numbered = false;
        for id in own {
            compiler.rule(id);
        }
        entered.faults.append(&mut compiler.faults);
        let mut check = infer::Infer::new(&self.names, &self.files, &());
        check.own_rules();
        entered.faults.extend(check.found().faults);
        self.link();
        if !redone.is_empty() {
            self.tell_stale(|trace| !trace.calls.is_disjoint(&redone), None, entered);
        }
    }

    fn line(&mut self, line: Line, host: &dyn Host, entered: &mut Entered) {
        let kept = Kept { text: self.files.text(line.span).into(), line: Rc::new(line) };
        let worked = self.work(&kept.line, host, entered);
        let cautions = std::mem::take(&mut self.machine.cautions);
        // What was only tried, by `find` and for `why`, is not made.
        if !self.only_asks(&kept.line.kind) {
            entered.said.extend(cautions.into_iter().map(Said::Caution));
        }
        match worked {
            // A question makes nothing.
            Ok(()) if self.only_asks(&kept.line.kind) => {}
            Ok(()) => self.kept.push(kept),
            Err(Halt::Fault(fault)) => entered.faults.push(*fault),
            Err(Halt::Silent) => {}
        }
    }

    fn work(&mut self, line: &Line, host: &dyn Host, entered: &mut Entered) -> Result<(), Halt> {
        match &line.kind {
            LineKind::Work(Work { value: expr }) | LineKind::Show(Show { value: expr, .. }) => {
                let (value, _) = self.eval(expr, entered)?;
                self.say(&value, entered);
                self.note(StepKind::Answer, None, line.span, &value);
                self.machine.that = Some(value);
            }
            LineKind::Name(line) => self.name(&line.name, &line.value, entered)?,
            LineKind::Given(given) => self.name(&given.name, &given.default, entered)?,
            LineKind::Why(_) | LineKind::Find(_) => self.asked(line, entered)?,
            LineKind::Check(check) => self.check(&check.condition, check.message.as_ref(), entered)?,
            LineKind::Measured(measured) => self.measured(measured, entered)?,
            LineKind::Set(line) => self.set(line.setting, &line.value, entered)?,
            LineKind::Use(line) => self.used(&line.path, line.path_span, host, entered)?,
            LineKind::Words(line) => {
                let words = self.text(&line.text, entered)?;
                entered.said.push(Said::Words(words.to_string()));
            }
            LineKind::Have(_) | LineKind::Cut(_) | LineKind::Plan(_) | LineKind::Tool(_) => {
                self.cloth_line(line, entered)?
            }
            LineKind::Buy(buy) => {
                let label = self.text(&buy.label, entered)?;
                let (quantity, _) = self.eval(&buy.quantity, entered)?;
                let words = format!(
                    "buy {} {label} (kept for the recipe)",
                    quantity.show(&self.machine.settings.manner)
                );
                entered.said.push(Said::Words(words));
            }
            LineKind::Rule(_) | LineKind::Sizes(_) => {}
        }
        Ok(())
    }

    fn check(
        &mut self,
        condition: &Expr,
        message: Option<&syntax::tree::Text>,
        entered: &mut Entered,
    ) -> Result<(), Halt> {
        let (value, _) = self.eval(condition, entered)?;
        let verdict = match value {
            Value::YesNo(true) => "ok",
            Value::YesNo(false) => "NOT",
            Value::NotSure(_) => "not sure",
            _ => return Err(words::wanted("a yes or no", &value, condition.span).into()),
        };
        let words = match message {
            Some(text) if verdict != "ok" => self.text(text, entered)?,
            _ => recipe::own_words(&self.files, condition.span),
        };
        let detail = match &value {
            Value::NotSure(doubt) => format!(" ({})", doubt.words),
            _ => String::new(),
        };
        entered.said.push(Said::Words(format!("{verdict}: {words}{detail}")));
        Ok(())
    }

    /// Compiles and works an expression; gives what it hangs on too.
    pub(crate) fn eval(&mut self, expr: &Expr, entered: &mut Entered) -> Result<(Value, Trace), Halt> {
        self.work_node(entered, |compiler, scope| compiler.expr(expr, scope))
    }

    /// As [`Session::eval`]; a slack in it is called by the name.
    pub(crate) fn eval_named(
        &mut self,
        name: &Rc<str>,
        expr: &Expr,
        entered: &mut Entered,
    ) -> Result<(Value, Trace), Halt> {
        self.work_node(entered, |compiler, scope| compiler.named(name, expr, scope))
    }

    pub(crate) fn text(&mut self, text: &syntax::tree::Text, entered: &mut Entered) -> Result<Rc<str>, Halt> {
        let (value, _) = self.work_node(entered, |compiler, scope| Node {
            code: compiler.text(text, scope),
            span: text.span,
        })?;
        match value {
            Value::Text(words) => Ok(words),
            _ => Ok("".into()),
        }
    }

    /// Compiles something in a frame of its own and works it, unless it has faults.
    pub(crate) fn work_node(
        &mut self,
        entered: &mut Entered,
        compile: impl FnOnce(&mut Compiler<'_>, &mut Scope) -> Node,
    ) -> Result<(Value, Trace), Halt> {
        let mut scope = Scope::line();
        let mut compiler = Compiler::new(&mut self.names, &mut self.files);
        compiler.numbered = false;
        let node = compile(&mut compiler, &mut scope);
        compiler.pending();
        if !compiler.faults.is_empty() {
            entered.faults.append(&mut compiler.faults);
            return Err(Halt::Silent);
        }
        self.link();
        let value = self.machine.line(&node, scope.slots())?;
        self.last = Some(Formula { node: Rc::new(node), slots: scope.slots() });
        Ok((value, Trace { reads: scope.reads, calls: scope.calls }))
    }

    pub(crate) fn say(&mut self, value: &Value, entered: &mut Entered) {
        entered
            .said
            .push(Said::Value(Figure { value: value.to_figure(), manner: self.machine.settings.manner }));
    }

    fn name(&mut self, name: &syntax::tree::Ident, expr: &Expr, entered: &mut Entered) -> Result<(), Halt> {
        if self.names.own_rules.contains_key(&name.name) {
            let message = format!("`{}` is the name of a rule already", name.name);
            return Err(Fault::new(FaultCode::NameTwice, name.span, message).into());
        }
        let (value, trace) = self.eval_named(&name.name, expr, entered)?;
        let passed = |slot: &u32| self.names.globals.get(*slot as usize).is_some_and(|entry| entry.passed);
        let known = self.names.slots.get(&name.name).copied().filter(passed);
        let slot = self.names.global(&name.name, name.span);
        if let Some(entry) = self.names.globals.get_mut(slot as usize) {
            entry.passed = true;
            entry.span = name.span;
        }
        self.link();
        if let Some(place) = self.machine.globals.get_mut(slot as usize) {
            *place = value.clone();
        }
        self.say(&value, entered);
        match known {
            Some(slot) => self.tell_stale(|trace| trace.reads.contains(&slot), Some(slot), entered),
            None => recipe::unit_advice(name, &mut entered.advice),
        }
        // A value that was made from the one before it hangs on what that one hung on.
        let before = self.traces.get(&slot).filter(|_| trace.reads.contains(&slot)).cloned();
        let mut trace = trace;
        if let Some(before) = before {
            trace.reads.extend(before.reads);
            trace.calls.extend(before.calls);
        }
        self.traces.insert(slot, trace);
        self.note(StepKind::Name, Some((slot, &name.name)), name.span.to(expr.span), &value);
        self.machine.that = Some(value);
        Ok(())
    }

    fn set(
        &mut self,
        setting: crate::code::node::Setting,
        expr: &Expr,
        entered: &mut Entered,
    ) -> Result<(), Halt> {
        let (value, _) = self.eval(expr, entered)?;
        set_setting(&mut self.machine.settings, setting, &value, expr.span)
    }

    /// The names and rules of a used file, under the settings of that file.
    fn used(&mut self, path: &str, span: Span, host: &dyn Host, entered: &mut Entered) -> Result<(), Halt> {
        let outer = self.machine.settings.clone();
        let text = format!("use \"{path}\"");
        let mut faults = Vec::new();
        let lines = crate::recipe::used::gather("prompt", &text, &mut self.files, host, &mut faults);
        for fault in &mut faults {
            // A fault of the `use` itself is told at the entry's own row.
            if fault.code == FaultCode::BadUse
                && let Some(label) = &mut fault.primary
            {
                label.span = span;
            }
        }
        entered.faults.append(&mut faults);
        let lines: Vec<Line> =
            lines.into_iter().filter_map(crate::recipe::used::Gathered::into_line).collect();
        let mut inner = Entered::default();
        self.declare_rules(&lines, &mut inner);
        let kept = self.kept.len();
        for line in lines {
            self.line(line, host, &mut inner);
        }
        // One `use` line stands for them all when the session is saved.
        self.kept.truncate(kept);
        self.machine.settings = outer;
        entered.faults.append(&mut inner.faults);
        if entered.faults.is_empty() { Ok(()) } else { Err(Halt::Silent) }
    }

    /// Takes the last entry back; `false` where there is none.
    pub fn undo(&mut self) -> bool {
        match self.before.pop() {
            Some(state) => {
                self.restore(state);
                true
            }
            None => false,
        }
    }

    /// Takes a name or a rule out of sight; tells whether there was one.
    pub fn forget(&mut self, name: &str) -> bool {
        let state = self.state();
        let found = self.names.slots.remove(name).is_some() | self.names.own_rules.remove(name).is_some();
        if found {
            self.names.unit_like.remove(name);
            self.before.push(state);
        }
        found
    }

    /// The names and their values, in alphabetical order.
    pub fn names(&self) -> Vec<(Rc<str>, Figure)> {
        let manner = self.machine.settings.manner;
        let mut names: Vec<(Rc<str>, Figure)> = self
            .names
            .slots
            .iter()
            .filter_map(|(name, slot)| {
                let value = self.machine.globals.get(*slot as usize)?;
                Some((name.clone(), Figure { value: value.to_figure(), manner }))
            })
            .collect();
        names.sort_by(|a, b| a.0.cmp(&b.0));
        names
    }

    /// The session's own rules: their headings and formulas, in alphabetical order.
    pub fn rules(&self) -> Vec<Rc<str>> {
        let rules = self.kept.iter().filter(|kept| match &kept.line.kind {
            LineKind::Rule(rule) => self.names.own_rules.get(&rule.name.name).is_some_and(|id| {
                self.names.rules.get(*id as usize).is_some_and(|entry| Rc::ptr_eq(&entry.tree, rule))
            }),
            _ => false,
        });
        let mut rules: Vec<Rc<str>> = rules.map(|kept| kept.text.clone()).collect();
        rules.sort();
        rules
    }

    /// What a rule of the session takes and gives, where its heading does not tell all of it.
    pub fn signature(&self, name: &str) -> Option<String> {
        infer::signature(&self.names, &self.files, *self.names.own_rules.get(name)?)
    }

    /// Words that can be completed at the prompt.
    pub fn words(&self) -> Vec<String> {
        let own = self.names.slots.keys().chain(self.names.own_rules.keys()).map(|name| name.to_string());
        let library = crate::library::index().keys().map(|name| (*name).to_owned());
        let mut words: Vec<String> =
            own.chain(library).chain(crate::eval::builtins::names().map(str::to_owned)).collect();
        words.sort();
        words
    }

    /// The session as a recipe that runs.
    pub fn save(&self) -> String {
        crate::session::save::recipe(&self.kept)
    }

    /// The limits of each entry; its `stop` flag stops the entry being worked.
    pub fn limits(&self) -> &Limits {
        &self.limits
    }
}
