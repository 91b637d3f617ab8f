//! Making a recipe: its lines worked from the top down into a docket.

use std::collections::HashSet;
use std::rc::Rc;

use crate::code::node::Code;
use crate::code::node::{Node, Piece, Setting};
use crate::docket::{Check, Docket, Figure, Given, Shown};
use crate::eval::machine::{Halt, Machine, Settings};
use crate::eval::words::{self, Operand};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Exact, Quantity, Ruler};
use crate::recipe::bill;
use crate::recipe::build::{Act, ActKind, Label, Recipe};
use crate::recipe::cutting::Cutting;
use crate::recipe::inputs;
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

    /// The docket of all sizes made since [`Recipe::hold`].
    pub fn together(&mut self) -> Run {
        self.effort.later = false;
        self.together.take().unwrap_or_default().made(&self.effort)
    }

    /// One way through the lines; `follow` keeps what a `measured` line needs.
    pub(crate) fn pass(&mut self, set: &[Set], size: Option<Rc<str>>, follow: Option<&mut Follow>) -> Run {
        let Recipe { givens, acts, machine, both, effort, noting, puts, .. } = self;
        let noted = *noting || acts.iter().any(Act::looks_back);
        puts.clear();
        machine.refresh();
        machine.settings = Settings::default();
        machine.settings.manner.both = *both;
        machine.that = None;
        machine.globals.fill(Value::Unset);
        let mut maker = Maker {
            givens,
            acts,
            set,
            machine,
            run: Run { docket: Docket { size, kits: effort.kits, ..Docket::default() }, ..Run::default() },
            follow,
            cutting: Cutting::default(),
            effort: *effort,
            outer: Vec::new(),
            said: HashSet::new(),
            noted: noted.then_some(puts),
            at: 0,
        };
        for (at, act) in acts.iter().enumerate() {
            maker.at = at;
            if !maker.act(at, act) {
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

/// A value that was put in its place, where that is noted.
#[derive(Clone, Debug)]
pub(crate) struct Put {
    /// The slot of its name; nothing for the last answer.
    pub slot: Option<u32>,
    /// The value.
    pub value: Value,
    /// The settings in force.
    pub settings: Settings,
    /// Index of the line that was worked.
    pub by: usize,
}

/// Works the lines of one run.
pub(crate) struct Maker<'a> {
    pub givens: &'a [crate::recipe::build::Given],
    pub acts: &'a [Act],
    pub set: &'a [Set],
    pub machine: &'a mut Machine,
    pub run: Run,
    cutting: Cutting,
    effort: planning::Effort,
    /// The settings of the files that use this one.
    pub outer: Vec<Settings>,
    /// What a `measured` line needs; nothing where there is none.
    pub follow: Option<&'a mut Follow>,
    /// The cautions that stand in the docket.
    said: HashSet<Rc<str>>,
    /// What was put where, for lines that look back.
    pub noted: Option<&'a mut Vec<Put>>,
    /// The line being worked.
    at: usize,
}

impl Maker<'_> {
    /// Works a line; `false` ends the run.
    fn act(&mut self, at: usize, act: &Act) -> bool {
        self.machine.line_now = act.line;
        let worked = self.work(act).and_then(|()| self.followed(at));
        self.cautioned(act);
        let failed = match worked {
            Ok(()) => return true,
            Err(Halt::Silent) => None,
            Err(Halt::Fault(fault)) => Some(fault),
        };
        if let Some(slot) = act.slot(self.givens) {
            self.put(slot, Value::Failed);
        }
        let Some(fault) = failed else { return true };
        let ends = matches!(fault.code, FaultCode::TooMuch | FaultCode::Stopped);
        self.run.faults.push(*fault);
        !ends
    }

    /// Notes a value, where that is asked for.
    fn note(&mut self, slot: Option<u32>, value: &Value) {
        if let Some(noted) = &mut self.noted {
            let settings = self.machine.settings.clone();
            noted.push(Put { slot, value: value.clone(), settings, by: self.at });
        }
    }

    /// What a line and the rules that it calls caution of, each once in a docket.
    fn cautioned(&mut self, act: &Act) {
        let cautions = std::mem::take(&mut self.machine.cautions);
        // What was only tried, by `find` and for `why`, is not made.
        if matches!(act.kind, ActKind::Ask(_)) {
            return;
        }
        for words in cautions {
            if self.said.insert(words.clone()) {
                self.run.docket.cautions.push(words);
            }
        }
    }

    pub(crate) fn put(&mut self, slot: u32, value: Value) {
        self.note(Some(slot), &value);
        if let Some(place) = self.machine.globals.get_mut(slot as usize) {
            *place = value;
        }
    }

    pub(crate) fn eval(&mut self, node: &Node, act: &Act) -> Result<Value, Halt> {
        self.machine.line(node, act.slots)
    }

    pub(crate) fn text(&mut self, pieces: &[Piece], act: &Act) -> Result<Rc<str>, Halt> {
        filled(self.machine, pieces, act.span, act.slots)
    }

    pub(crate) fn figure(&self, value: &Value) -> Figure {
        Figure { value: value.to_figure(), manner: self.machine.settings.manner }
    }

    fn work(&mut self, act: &Act) -> Result<(), Halt> {
        match &act.kind {
            ActKind::Name { slot, value } => {
                let value = self.eval(value, act)?;
                self.put(*slot, value);
            }
            ActKind::Given(index) => self.given(*index)?,
            ActKind::Show { label, value } => {
                let label = match label {
                    Label::Own(words) => words.clone(),
                    Label::Words(pieces) => self.text(pieces, act)?,
                };
                let value = self.eval(value, act)?;
                self.machine.spend_items(value.weight(), act.span)?;
                let value = self.figure(&value);
                self.run.docket.shows.push(Shown { label, value });
            }
            ActKind::Work(node) => {
                let value = self.eval(node, act)?;
                self.note(None, &value);
                self.machine.that = Some(value);
            }
            ActKind::Recipe(pieces) => self.run.docket.recipe = Some(self.text(pieces, act)?),
            ActKind::Note(pieces) => {
                let text = self.text(pieces, act)?;
                self.run.docket.notes.push(text);
            }
            ActKind::Step(pieces) => {
                let text = self.text(pieces, act)?;
                self.run.docket.steps.push(text);
            }
            ActKind::Caution(pieces) => {
                let text = self.text(pieces, act)?;
                self.machine.cautions.push(text);
            }
            ActKind::Check { .. } => self.check(act)?,
            ActKind::Cloth(cloth) => cloth.work(
                act.span,
                act.slots,
                self.machine,
                &mut self.cutting,
                self.follow.as_deref_mut(),
            )?,
            ActKind::Tool(tool) => self.machine.settings.tool = *tool,
            ActKind::Buy { quantity, label, price } => {
                let needed = self.eval(quantity, act)?;
                let label = self.text(label, act)?;
                let price = price
                    .as_ref()
                    .map(|price| Ok::<_, Halt>((self.eval(price, act)?, price.span)))
                    .transpose()?;
                let price = price.as_ref().map(|(value, span)| Operand::new(value, *span));
                let needed = bill::for_kits(needed, self.effort.kits, quantity.span)?;
                let line =
                    bill::buy(Operand::new(&needed, quantity.span), label, price, &self.machine.settings)?;
                self.run.docket.buys.push(line);
            }
            ActKind::Set(setting, node) => {
                let value = self.eval(node, act)?;
                set_setting(&mut self.machine.settings, *setting, &value, node.span)?;
            }
            ActKind::Measured { slot, value, cut } => self.measured_line(*slot, value, cut, act)?,
            ActKind::Ask(ask) => ask.work(self, act)?,
            ActKind::UseBegins => self.outer.push(self.machine.settings.clone()),
            ActKind::UseEnds => {
                if let Some(settings) = self.outer.pop() {
                    self.machine.settings = settings;
                }
            }
        }
        Ok(())
    }

    fn given(&mut self, index: usize) -> Result<(), Halt> {
        let Some(given) = self.givens.get(index) else { return Ok(()) };
        let set = self.set.iter().rev().find(|set| set.given == index);
        let value = inputs::given_value(self.machine, given, set)?;
        self.run.docket.givens.push(Given {
            name: given.name.clone(),
            words: given.words.clone(),
            value: self.figure(&value),
            set: set.is_some(),
        });
        self.put(given.slot, value);
        Ok(())
    }

    fn check(&mut self, act: &Act) -> Result<(), Halt> {
        let ActKind::Check { condition, message, words, line } = &act.kind else { return Ok(()) };
        let (passed, doubt) = match self.eval(condition, act)? {
            Value::YesNo(yes) => (yes, None),
            Value::NotSure(doubt) => (false, Some(doubt.words.clone())),
            other => return Err(words::wanted("a yes or no", &other, condition.span).into()),
        };
        let message = match message {
            Some(pieces) => self.text(pieces, act)?,
            None => words.clone(),
        };
        let open = doubt.is_some();
        let detail = if passed { None } else { doubt.or_else(|| self.detail(condition, act)) };
        self.run.docket.checks.push(Check { passed, open, message, detail, line: *line });
        Ok(())
    }

    /// What a failed comparison compared: both true values.
    fn detail(&mut self, condition: &Node, act: &Act) -> Option<Rc<str>> {
        let Code::Compare(first, links) = &condition.code else { return None };
        let mut values = vec![self.eval(first, act).ok()?];
        for link in links {
            values.push(self.eval(&link.operand, act).ok()?);
        }
        let values: Vec<String> = values.iter().map(exact).collect();
        Some(values.join(" against ").into())
    }

    fn finish(mut self) -> Run {
        if self.run.faults.is_empty() && !self.effort.later {
            self.run.plan(&self.cutting, &self.effort);
        }
        self.run.cutting = self.cutting;
        self.run
    }
}

/// A text of a line, its values filled in.
pub(crate) fn filled(
    machine: &mut Machine,
    pieces: &[Piece],
    span: Span,
    slots: u32,
) -> Result<Rc<str>, Halt> {
    if let [Piece::Plain(plain)] = pieces {
        return Ok(plain.clone());
    }
    // A frame of its own, as for an expression of the line.
    let empty = Node { code: Code::Const(Value::YesNo(false)), span };
    machine.line(&empty, slots)?;
    machine.text(pieces, span)
}

/// What a setting's line wants.
pub(crate) fn setting_words(setting: Setting) -> &'static str {
    match setting {
        Setting::Ruler => "a ruler's step such as `1/16 in`",
        Setting::Shop => "a shop's step such as `1/8 yd`",
        Setting::Seam => "a seam allowance such as `1/4 in`",
    }
}

/// Sets `ruler`, `shop` or `seam` from here on.
pub(crate) fn set_setting(
    settings: &mut Settings,
    setting: Setting,
    value: &Value,
    span: Span,
) -> Result<(), Halt> {
    let what = setting_words(setting);
    let quantity = match value {
        Value::Measure(quantity) if quantity.dim == Dim::LENGTH => quantity,
        other => return Err(words::wanted(what, other, span).into()),
    };
    let bad = |message: &str| Halt::from(Fault::new(FaultCode::BadSetting, span, message));
    if quantity.is_negative() || (quantity.is_zero() && setting != Setting::Seam) {
        let most = if setting == Setting::Seam { "cannot be less than 0" } else { "must be more than 0" };
        return Err(bad(&format!("{what} {most}")));
    }
    match setting {
        Setting::Ruler => {
            let Some(ruler) = Ruler::from_step(quantity) else {
                return Err(bad(
                    "no ruler has such a step: write one mark in its unit, such as `1/16 in`, `1 mm` or `0.5 cm`",
                ));
            };
            settings.manner.ruler = Some(ruler);
            settings.ruler = Some(quantity.clone());
        }
        Setting::Shop => settings.shop = Some(quantity.clone()),
        Setting::Seam => {
            settings.seam = Some(quantity.clone());
            settings.seam_at = Some(span);
        }
    }
    Ok(())
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
