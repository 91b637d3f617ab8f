//! A formula with its numbers put in, and the steps that those numbers rest on.

use std::collections::BTreeSet;
use std::rc::Rc;

use crate::ask::why::explain::{Explainer, Inner, part_of, part_path};
use crate::ask::why::text::{Hold, one_row, value_text, without_percent};
use crate::code::node::Op;
use crate::eval::trace::{Form, Trace};
use crate::fault::Span;
use crate::measure::Reading;
use crate::syntax::tree::BinaryOp;
use crate::value::data::Value;
use crate::value::slack::Slack;

/// What is gathered from one formula.
#[derive(Default)]
pub(crate) struct Gathered {
    replaced: Vec<(Span, String)>,
    parts: Vec<usize>,
    /// Measures with slack that were put in.
    slack: Vec<Rc<Slack>>,
}

impl Gathered {
    /// For another formula, whose steps come behind those of this one.
    fn resting(on: &mut Gathered) -> Gathered {
        Gathered { parts: std::mem::take(&mut on.parts), ..Gathered::default() }
    }

    /// A source of slack that comes in more than once: what is put in cannot say that it is the same.
    fn twice(&self) -> Option<String> {
        let mut seen = BTreeSet::new();
        for slack in &self.slack {
            let again = slack.terms().find(|(source, _)| !seen.insert(*source));
            if let Some(source) = again.and_then(|(source, _)| slack.source(source)) {
                return Some(format!("the slack of {source} counts more than once, the same each time"));
            }
        }
        None
    }

    fn put(&mut self, span: Span, text: String) {
        self.replaced.push((span, text));
    }

    /// Replaces a part of the formula by its value.
    fn replace(&mut self, trace: &Trace, hold: Hold) {
        self.put(trace.span, value_text(&trace.value, hold));
        let items = match &trace.value {
            Value::List(list) => &list.items[..],
            one => std::slice::from_ref(one),
        };
        self.slack.extend(items.iter().filter_map(|item| match item {
            Value::Slack(slack) => Some(slack.clone()),
            _ => None,
        }));
    }

    pub(crate) fn depends_on(&mut self, step: Option<usize>) {
        if let Some(step) = step.filter(|step| !self.parts.contains(step)) {
            self.parts.push(step);
        }
    }
}

impl Explainer<'_, '_> {
    /// Fills a step from its formula: choices taken, blocks entered, numbers put in.
    pub(crate) fn formula(&mut self, step: usize, trace: &Trace, path: &[Rc<str>]) {
        let mark = self.inner.len();
        let (mut trace, mut path) = (trace, path);
        let mut parts = Gathered::default();
        loop {
            trace = match (&trace.form, &trace.parts[..]) {
                (Form::Block(slots), [names @ .., value]) => {
                    let named = slots.iter().zip(names);
                    self.inner.extend(named.map(|(slot, trace)| Inner::new(*slot, trace)));
                    value
                }
                (Form::If, [asked, taken]) => {
                    self.choice(step, asked, &mut parts);
                    taken
                }
                (Form::Caution, [value, asked @ ..]) => {
                    if let [when, words] = asked {
                        self.caution(step, when, words, &mut parts);
                    }
                    value
                }
                (Form::Apply(op), operands) => match part_at(op, path).and_then(|at| operands.get(at)) {
                    Some(operand) => {
                        path = path.get(1..).unwrap_or(&[]);
                        operand
                    }
                    None => break,
                },
                _ => break,
            }
        }
        self.numbers(step, trace, path, parts);
        self.inner.truncate(mark);
    }

    /// What a choice asked stands beside the numbers of the way that was taken.
    fn choice(&mut self, step: usize, asked: &Trace, parts: &mut Gathered) {
        let answer = if matches!(asked.value, Value::YesNo(true)) { "yes" } else { "no" };
        let filled = self.filled(asked, Hold::Free, parts);
        // A named yes or no is told by its name.
        let asked = match &*filled {
            "yes" | "no" => one_row(self.files, asked.span, &[]),
            _ => filled,
        };
        self.change(step, |step| step.because.push(format!("{asked} is {answer}").into()));
    }

    /// A caution that is called for stands beside the numbers that call for it.
    fn caution(&mut self, step: usize, when: &Trace, words: &Trace, parts: &mut Gathered) {
        let filled = self.filled(when, Hold::Free, parts);
        if let Value::Text(words) = &words.value {
            self.change(step, |step| step.because.push(format!("{filled} is yes: {words}").into()));
        }
    }

    fn numbers(&mut self, step: usize, trace: &Trace, path: &[Rc<str>], mut parts: Gathered) {
        let mut formula = one_row(self.files, trace.span, &[]);
        let mut is_call = false;
        let named = matches!(trace.form, Form::Global(_) | Form::Local(_) | Form::That);
        let mut filled = match &trace.form {
            Form::Call(..) => {
                is_call = true;
                let inside = self.named(trace, path);
                parts.depends_on(inside);
                let mut inside = Gathered::resting(&mut parts);
                self.each_operand(trace, Hold::Free, &mut inside);
                parts.parts = inside.parts;
                parts.slack.append(&mut inside.slack);
                one_row(self.files, trace.span, &inside.replaced)
            }
            Form::Each => {
                self.rounds(step, trace);
                let mut inside = Gathered::resting(&mut parts);
                if let Some(source) = trace.parts.first() {
                    self.walk(source, Hold::Free, &mut inside);
                }
                parts.parts = inside.parts;
                one_row(self.files, trace.span, &inside.replaced)
            }
            _ if named && !path.is_empty() => {
                let step = self.named(trace, path);
                parts.depends_on(step);
                let part = part_of(&trace.value, path);
                part.map_or(formula.clone(), |part| value_text(&part, Hold::Free).into())
            }
            _ => self.filled(trace, Hold::Free, &mut parts),
        };
        if !path.is_empty() {
            let tail = path.iter().map(|name| format!(".{name}")).collect::<String>();
            let (open, close) = match trace.form {
                Form::Call(..) | Form::Apply(Op::Builtin(_) | Op::Part(..) | Op::Index) => ("", ""),
                _ if named => ("", ""),
                _ => ("(", ")"),
            };
            formula = format!("{open}{formula}{close}{tail}").into();
            if !named {
                filled = format!("{open}{filled}{close}{tail}").into();
            }
        }
        // What `find` found stands in its own condition.
        parts.parts.retain(|part| *part != step);

        let twice = parts.twice();
        self.change(step, |step| {
            step.because.extend(twice.map(Rc::from));
            step.filled = (filled != formula).then_some(filled);
            step.formula = Some(formula);
            step.is_call = is_call && !parts.parts.is_empty();
            // Items of a list stand there already.
            let items = std::mem::take(&mut step.parts);
            step.parts = parts.parts;
            step.parts.extend(items);
        });
    }

    /// The text of a formula with its numbers put in.
    fn filled(&mut self, trace: &Trace, hold: Hold, parts: &mut Gathered) -> Rc<str> {
        let mut here = Gathered::resting(parts);
        self.walk(trace, hold, &mut here);
        parts.parts = here.parts;
        parts.slack.append(&mut here.slack);
        one_row(self.files, trace.span, &here.replaced)
    }

    /// A call with its numbers: `tucks_take(5, depth: 1/8 in)`.
    pub(crate) fn filled_call(&self, call: &Trace) -> Rc<str> {
        let text = |arg: &Trace| match arg.form {
            Form::Const => one_row(self.files, arg.span, &[]).to_string(),
            _ => value_text(&arg.value, Hold::Free),
        };
        let replaced: Vec<_> = call.parts.iter().map(|arg| (arg.span, text(arg))).collect();
        one_row(self.files, call.span, &replaced)
    }

    /// The step of a name, or of parts of it.
    fn named(&mut self, trace: &Trace, path: &[Rc<str>]) -> Option<usize> {
        match trace.form {
            Form::Global(slot) => {
                let origin = self.trail.of_slot(slot, self.context)?;
                self.origin(origin, path)
            }
            Form::That => {
                let origin = self.trail.answer(self.context)?;
                self.origin(origin, path)
            }
            Form::Local(slot) => self.inner_name(slot, trace),
            Form::Setting(setting) => self.setting(setting, &trace.value),
            Form::Call(rule, _) => self.call(trace, rule, path),
            _ => None,
        }
    }

    /// Goes through a formula: names and calls become numbers, operators stay.
    fn walk(&mut self, trace: &Trace, hold: Hold, out: &mut Gathered) {
        match &trace.form {
            Form::Local(_)
            | Form::Global(_)
            | Form::Setting(_)
            | Form::That
            | Form::Total
            | Form::Call(..)
            | Form::Untraced => {
                out.replace(trace, hold);
                let step = self.named(trace, &[]);
                out.depends_on(step);
                self.depends_on_args(trace, out);
            }
            Form::If | Form::Each | Form::Block(_) | Form::Caution => {
                out.replace(trace, hold);
                let step = self.apart_sum(trace);
                out.depends_on(step);
            }
            Form::Text => self.depends_on_operands(trace, out),
            Form::Binary(op) => self.operands(*op, &trace.parts, out),
            Form::Apply(op) => self.operation(trace, op, hold, out),
            // Operators stay, whatever they are.
            Form::Const | Form::Truth => self.each_operand(trace, Hold::Operand, out),
        }
    }

    /// Goes through the operands of a formula.
    fn each_operand(&mut self, trace: &Trace, hold: Hold, out: &mut Gathered) {
        trace.parts.iter().for_each(|part| self.walk(part, hold, out));
    }

    /// The steps that the operands rest on; what is put in for them does not stand in the formula.
    fn depends_on_operands(&mut self, trace: &Trace, out: &mut Gathered) {
        let mut inside = Gathered::resting(out);
        self.each_operand(trace, Hold::Free, &mut inside);
        out.parts = inside.parts;
    }

    fn depends_on_args(&mut self, trace: &Trace, out: &mut Gathered) {
        if matches!(trace.form, Form::Call(..)) {
            self.depends_on_operands(trace, out);
        }
    }

    fn operation(&mut self, trace: &Trace, op: &Op, hold: Hold, out: &mut Gathered) {
        match (op, &trace.parts[..]) {
            (Op::Part(..), _) => self.part_of_name(trace, hold, out),
            (Op::Index, _) => {
                // The item, and the working of the list.
                out.replace(trace, hold);
                self.depends_on_operands(trace, out);
            }
            (Op::Size, [across, along]) => self.sides(across, along, out),
            (Op::Slack(_), [middle, amount]) => {
                let slack = middle.value.has_slack();
                self.walk(middle, if slack { Hold::Base } else { Hold::Operand }, out);
                self.walk(amount, Hold::Operand, out);
            }
            (Op::List | Op::Record(_) | Op::Builtin(_) | Op::ShownInUnit(_) | Op::WithUnit(_), _) => {
                self.each_operand(trace, Hold::Free, out);
            }
            _ => self.each_operand(trace, Hold::Operand, out),
        }
    }

    /// `linen.usable`: the value of the part, and the working of that part alone.
    fn part_of_name(&mut self, trace: &Trace, hold: Hold, out: &mut Gathered) {
        let (base, path) = part_path(trace);
        match &base.form {
            Form::Global(_) | Form::That | Form::Call(..) | Form::Local(_) => {
                out.replace(trace, hold);
                let sized = matches!(base.value, Value::Size(_));
                let step = self.named(base, if sized { &[] } else { &path });
                out.depends_on(step);
                self.depends_on_args(base, out);
            }
            Form::Apply(Op::Index) => {
                out.replace(trace, hold);
                let mut inside = Gathered::resting(out);
                self.walk(base, Hold::Free, &mut inside);
                out.parts = inside.parts;
            }
            _ => self.each_operand(trace, Hold::Operand, out),
        }
    }

    /// `n * a by b`: with a number in front the product needs its brackets.
    fn sides(&mut self, across: &Trace, along: &Trace, out: &mut Gathered) {
        let product = matches!(across.form, Form::Binary(BinaryOp::Multiply | BinaryOp::Of));
        let span = across.span;
        let bracket = product && !self.files.text(span).starts_with('(');
        if bracket {
            out.put(Span { end: span.start, ..span }, "(".into());
        }
        self.walk(across, Hold::Operand, out);
        if bracket {
            out.put(Span { start: span.end, ..span }, ")".into());
        }
        self.walk(along, Hold::Operand, out);
    }

    fn operands(&mut self, op: BinaryOp, parts: &[Rc<Trace>], out: &mut Gathered) {
        let holds = match op {
            BinaryOp::Power => [Hold::Base, Hold::Below],
            BinaryOp::Divide => [Hold::Operand, Hold::Below],
            _ => [Hold::Operand, Hold::Operand],
        };
        if let (BinaryOp::Add | BinaryOp::Subtract, [left, right]) = (op, parts)
            && let Some(plain) = plain_percent(left, right)
        {
            self.walk(left, Hold::Operand, out);
            let mut inside = Gathered::resting(out);
            self.walk(right, Hold::Operand, &mut inside);
            out.parts = inside.parts;
            out.put(right.span, value_text(&plain, Hold::Operand));
            return;
        }
        // What the left side decides alone is left as it is written.
        parts.iter().zip(holds).for_each(|(part, hold)| self.walk(part, hold, out));
    }
}

/// Which operand the first part of a path is.
fn part_at(op: &Op, path: &[Rc<str>]) -> Option<usize> {
    let part = path.first()?;
    match op {
        Op::Record(names) => names.iter().position(|name| name == part),
        Op::Size => ["across", "along"].iter().position(|side| *side == &**part),
        _ => None,
    }
}

/// A named percentage that is added to a plain number.
fn plain_percent(left: &Trace, right: &Trace) -> Option<Value> {
    let named = matches!(right.form, Form::Global(_) | Form::Local(_) | Form::Apply(Op::Part(..)));
    let percent = matches!(&left.value, Value::Measure(quantity) if quantity.reading == Reading::Percent);
    without_percent(&right.value).filter(|_| named && !percent)
}
