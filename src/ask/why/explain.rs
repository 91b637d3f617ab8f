//! From a formula to its steps.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::ask::why::text::{one_row, sources};
use crate::ask::why::trail::Trail;
use crate::code::node::{Node, Op, Setting};
use crate::docket::{Figure, Place, Root, StepKind, WorkStep, Working};
use crate::eval::machine::{Machine, Settings};
use crate::eval::trace::{Form, Trace};
use crate::fault::{Files, Span};
use crate::value::data::Value;

/// So many steps are told of one question; a rule that calls itself has no end of them.
const MOST_STEPS: usize = 400;
/// So many values in their lists and records; the step that goes beyond them is the last one.
const MOST_VALUES: u64 = 100_000;
/// So many parts of formulas are looked at for one question; what is left then is told by its value alone.
const MOST_TRACED: usize = 100_000;

/// What is asked: the working of an origin, or of one of its parts, or of a formula by itself.
#[derive(Debug)]
pub(crate) enum Asked<'a> {
    /// A line that gave a value, and the parts of it that are meant.
    Origin(usize, Vec<Rc<str>>),
    /// A formula, and the slots of its frame.
    Formula(&'a Node, u32),
}

/// Tells the working behind what is asked.
pub(crate) fn explain<'a>(
    machine: &mut Machine,
    files: &Files,
    trail: &Trail<'a>,
    asked: &[(Asked<'a>, bool)],
) -> Working {
    let kept = (machine.globals.clone(), machine.settings.clone(), machine.that.clone());
    let cautions = machine.cautions.clone();
    let mut explainer = Explainer {
        machine,
        files,
        trail,
        working: Working::default(),
        values: 0,
        seen: BTreeMap::new(),
        inner: Vec::new(),
        context: usize::MAX,
        untraced: 0,
    };
    for (asked, briefly) in asked {
        explainer.machine.refresh();
        explainer.untraced = MOST_TRACED;
        let step = match asked {
            Asked::Origin(origin, path) => explainer.origin(*origin, path),
            Asked::Formula(node, slots) => explainer.formula_alone(node, *slots),
        };
        if let Some(step) = step {
            explainer.working.roots.push(Root { step, briefly: *briefly });
        }
    }
    let working = explainer.working;
    (machine.globals, machine.settings, machine.that) = kept;
    machine.refresh();
    machine.cautions = cautions;
    working
}

/// A step that was told already.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Key {
    Origin(usize, Vec<Rc<str>>),
    Call(u32, Rc<str>, String),
    Setting(&'static str, Option<Span>, String),
}

/// A named value inside the rule being looked into.
#[derive(Clone)]
pub(crate) struct Inner {
    pub slot: u32,
    pub trace: Rc<Trace>,
    pub step: Option<usize>,
}

impl Inner {
    pub fn new(slot: u32, trace: &Rc<Trace>) -> Inner {
        Inner { slot, trace: trace.clone(), step: None }
    }
}

pub(crate) struct Explainer<'e, 'a> {
    pub machine: &'e mut Machine,
    pub files: &'e Files,
    pub trail: &'e Trail<'a>,
    pub working: Working,
    /// How many values its steps hold.
    values: u64,
    seen: BTreeMap<Key, usize>,
    /// The names of the block that is being looked into.
    pub inner: Vec<Inner>,
    /// Names have the values that they had before this origin.
    pub context: usize,
    /// So many parts of formulas are still looked at.
    untraced: usize,
}

impl<'a> Explainer<'_, 'a> {
    fn figure(&self, value: &Value) -> Figure {
        Figure { value: value.to_figure(), manner: self.machine.settings.manner }
    }

    /// A new step, to be filled; none where there are enough.
    pub(crate) fn step(&mut self, kind: StepKind, value: &Value, span: Option<Span>) -> Option<usize> {
        if self.working.steps.len() >= MOST_STEPS || self.values > MOST_VALUES {
            self.working.cut_short = true;
            return None;
        }
        self.values = self.values.saturating_add(value.weight());
        let place = span.and_then(|span| self.place(span));
        self.working.steps.push(WorkStep {
            kind,
            label: None,
            formula: None,
            because: Vec::new(),
            filled: None,
            value: self.figure(value),
            planned: None,
            place,
            words: None,
            sources: Vec::new(),
            is_call: false,
            parts: Vec::new(),
        });
        self.working.steps.len().checked_sub(1)
    }

    fn place(&self, span: Span) -> Option<Place> {
        let file = self.files.get(span.file)?;
        Some(Place { file: file.name().into(), line: file.place(span.start as usize).line })
    }

    pub(crate) fn change(&mut self, step: usize, change: impl FnOnce(&mut WorkStep)) {
        if let Some(step) = self.working.steps.get_mut(step) {
            change(step);
        }
    }

    pub(crate) fn known(&self, key: &Key) -> Option<usize> {
        self.seen.get(key).copied()
    }

    pub(crate) fn remember(&mut self, key: Key, step: usize) {
        self.seen.insert(key, step);
    }

    /// Puts the values in force that stood before an origin.
    fn enter(&mut self, context: usize, settings: Settings) {
        for slot in self.trail.given_again() {
            let value = self.trail.of_slot(slot, context).and_then(|at| self.trail.origins.get(at));
            if let Some(place) = self.machine.globals.get_mut(slot as usize) {
                *place = value.map_or(Value::Unset, |origin| origin.value.clone());
            }
        }
        self.machine.that =
            self.trail.answer(context).and_then(|at| self.trail.origins.get(at)).map(|o| o.value.clone());
        self.machine.settings = settings;
        self.context = context;
    }

    /// Works something with the settings, and with the values that stood before an origin.
    fn apart<R>(&mut self, context: usize, settings: Settings, look: impl FnOnce(&mut Self) -> R) -> R {
        let back = (self.context, self.machine.settings.clone());
        let inner = std::mem::take(&mut self.inner);
        self.enter(context, settings);
        let made = stacker::maybe_grow(256 << 10, 4 << 20, || look(self));
        self.enter(back.0, back.1);
        self.inner = inner;
        made
    }

    /// The step of a named value, or of parts of it.
    pub(crate) fn origin(&mut self, at: usize, path: &[Rc<str>]) -> Option<usize> {
        let key = Key::Origin(at, path.to_vec());
        if let Some(step) = self.known(&key) {
            return Some(step);
        }
        let origin = self.trail.origins.get(at)?.clone();
        let value = part_of(&origin.value, path)?;
        let before = std::mem::replace(&mut self.machine.settings, origin.settings.clone());
        let step = self.step(origin.kind, &value, Some(origin.span));
        self.machine.settings = before;
        let step = step?;
        self.remember(key, step);
        if origin.kind == StepKind::Measured {
            self.planned(step, at, path);
        }
        let label = origin.name.as_ref().map(|name| with_path(name, path));
        self.change(step, |step| {
            step.label = label;
            step.words = origin.words.clone();
        });
        let Some(node) = origin.node else { return Some(step) };
        // What was only asked stands nowhere: its condition is not worked with the names as they are.
        if origin.kind == StepKind::Found && origin.slot.is_none() {
            let condition = one_row(self.files, node.span, &[]);
            self.change(step, |step| step.formula = Some(condition));
            return Some(step);
        }
        // A condition speaks of the value that was found for it.
        let context = at.saturating_add(usize::from(origin.kind == StepKind::Found));
        self.apart(context, origin.settings, |this| {
            match this.machine.trace_line(node, origin.slots, &mut this.untraced) {
                Ok(trace) => this.formula(step, &trace, path),
                Err(_) => {
                    let formula = one_row(this.files, node.span, &[]);
                    this.change(step, |step| step.formula = Some(formula));
                }
            }
        });
        Some(step)
    }

    /// What a measured name was to be.
    fn planned(&mut self, step: usize, at: usize, path: &[Rc<str>]) {
        let slot = self.trail.origins.get(at).and_then(|origin| origin.slot);
        let earlier = slot.and_then(|slot| self.trail.of_slot(slot, at));
        let Some(plan) = earlier.and_then(|at| self.trail.origins.get(at)) else { return };
        let manner = plan.settings.manner;
        let planned = part_of(&plan.value, path).map(|value| Figure { value: value.to_figure(), manner });
        self.change(step, |step| step.planned = planned);
    }

    /// The step of a formula that gave nothing its name.
    fn formula_alone(&mut self, node: &Node, slots: u32) -> Option<usize> {
        let settings = self.machine.settings.clone();
        self.apart(usize::MAX, settings, |this| {
            let trace = this.machine.trace_line(node, slots, &mut this.untraced).ok()?;
            if let Some(step) = this.plain_name(&trace) {
                return Some(step);
            }
            let step = this.step(StepKind::Sum, &trace.value, Some(node.span))?;
            this.formula(step, &trace, &[]);
            Some(step)
        })
    }

    /// A name alone, or a part of one, is asked after for what it is.
    fn plain_name(&mut self, trace: &Trace) -> Option<usize> {
        let (base, path) = part_path(trace);
        let origin = match base.form {
            Form::Global(slot) => self.trail.of_slot(slot, usize::MAX)?,
            Form::That => self.trail.answer(usize::MAX)?,
            _ => return None,
        };
        if !path.is_empty() && matches!(self.trail.origins.get(origin)?.value, Value::Size(_)) {
            return None;
        }
        self.origin(origin, &path)
    }

    /// The step of a rule's call.
    pub(crate) fn call(&mut self, call: &Trace, rule: u32, path: &[Rc<str>]) -> Option<usize> {
        let value = part_of(&call.value, path)?;
        let label = with_path(&self.filled_call(call), path);
        let fingerprint = if value.weight() > 1000 { String::new() } else { value.exact_text() };
        let key = Key::Call(rule, label.clone(), fingerprint);
        if let Some(step) = self.known(&key) {
            return Some(step);
        }
        let heading = self.machine.rule_code(rule).ok()?.heading;
        let step = self.step(StepKind::Rule, &value, Some(heading))?;
        self.remember(key, step);
        let from = sources(self.files, heading);
        self.change(step, |step| {
            step.label = Some(label);
            step.sources = from;
        });
        let inside = self.machine.trace_call(call, &mut self.untraced).ok()?;
        let defaults = inside.defaults.iter().filter(|(_, trace)| !matches!(trace.form, Form::Const));
        let defaults = defaults.map(|(slot, trace)| Inner::new(*slot, trace)).collect();
        let inner = std::mem::replace(&mut self.inner, defaults);
        stacker::maybe_grow(256 << 10, 4 << 20, || self.formula(step, &inside.body, path));
        self.inner = inner;
        Some(step)
    }

    /// What a setting says, and where it was set.
    pub(crate) fn setting(&mut self, setting: Setting, value: &Value) -> Option<usize> {
        let place = match setting {
            Setting::Seam => self.machine.settings.seam_at,
            Setting::Ruler | Setting::Shop => None,
        };
        let key = Key::Setting(setting.words(), place, value.exact_text());
        if let Some(step) = self.known(&key) {
            return Some(step);
        }
        let step = self.step(StepKind::Setting, value, place)?;
        self.remember(key, step);
        self.change(step, |step| step.label = Some(setting.words().into()));
        Some(step)
    }

    /// The step of a value that a rule names inside.
    pub(crate) fn inner_name(&mut self, slot: u32, name: &Trace) -> Option<usize> {
        let at = self.inner.iter().rposition(|inner| inner.slot == slot)?;
        let inner = self.inner.get(at)?.clone();
        if inner.step.is_some() {
            return inner.step;
        }
        let step = self.step(StepKind::Inner, &name.value, None)?;
        if let Some(inner) = self.inner.get_mut(at) {
            inner.step = Some(step);
        }
        let label = one_row(self.files, name.span, &[]);
        self.change(step, |step| step.label = Some(label));
        stacker::maybe_grow(256 << 10, 4 << 20, || self.formula(step, &inner.trace, &[]));
        Some(step)
    }

    /// The step of a part of a formula that stands for itself: a choice, a loop, a block.
    pub(crate) fn apart_sum(&mut self, trace: &Trace) -> Option<usize> {
        let step = self.step(StepKind::Sum, &trace.value, None)?;
        stacker::maybe_grow(256 << 10, 4 << 20, || self.formula(step, trace, &[]));
        Some(step)
    }
}

/// What parts are taken of, and which, the outermost last.
pub(crate) fn part_path(trace: &Trace) -> (&Trace, Vec<Rc<str>>) {
    let mut path = Vec::new();
    let mut base = trace;
    while let (Form::Apply(Op::Part(name, _)), [of]) = (&base.form, &base.parts[..]) {
        path.insert(0, name.clone());
        base = of;
    }
    (base, path)
}

fn with_path(name: &str, path: &[Rc<str>]) -> Rc<str> {
    let mut whole = name.to_owned();
    for part in path {
        whole.push('.');
        whole.push_str(part);
    }
    whole.into()
}

/// The part of a value that a path of names leads to.
pub(crate) fn part_of(value: &Value, path: &[Rc<str>]) -> Option<Value> {
    let mut value = value.clone();
    for name in path {
        value = match &value {
            Value::Record(record) => record.part(name)?.clone(),
            Value::Size(size) if &**name == "across" => Value::Measure(size.0.clone()),
            Value::Size(size) if &**name == "along" => Value::Measure(size.1.clone()),
            _ => return None,
        };
    }
    Some(value)
}
