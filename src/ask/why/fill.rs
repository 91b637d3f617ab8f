//! A formula with its numbers put in, and the steps that those numbers rest on.

use std::collections::BTreeSet;
use std::rc::Rc;

use crate::ask::why::explain::{Explainer, Inner, part_of, part_path};
use crate::ask::why::text::{Hold, one_row, value_text, without_percent};
use crate::code::node::{BinaryNode, Code, Node, Op};
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

    pub(crate) fn depends_on(&mut self, step: Option<usize>) {
        if let Some(step) = step.filter(|step| !self.parts.contains(step)) {
            self.parts.push(step);
        }
    }
}

impl<'a> Explainer<'_, 'a> {
    /// Fills a step from its formula: choices taken, blocks entered, numbers put in.
    pub(crate) fn formula(&mut self, step: usize, node: &'a Node, path: &[Rc<str>]) {
        let mark = self.inner.len();
        let (mut node, mut path) = (node, path);
        let mut parts = Gathered::default();
        loop {
            match &node.code {
                Code::Once(_, inner) => node = inner,
                Code::Block(names, value) => {
                    for (slot, named) in names {
                        let Ok(value) = self.machine.eval(named) else { return };
                        self.machine.set_local(*slot, value);
                        self.inner.push(Inner { slot: *slot, node: named, step: None });
                    }
                    node = value;
                }
                Code::If(choice) => {
                    let Ok(yes) = self.machine.condition(&choice.0) else { return };
                    let filled = self.filled(&choice.0, Hold::Free, &mut parts);
                    let answer = if yes { "yes" } else { "no" };
                    // A named yes or no is told by its name.
                    let asked = match &*filled {
                        "yes" | "no" => one_row(self.files, choice.0.span, &[]),
                        _ => filled,
                    };
                    let because = format!("{asked} is {answer}");
                    self.change(step, |step| step.because.push(because.into()));
                    node = if yes { &choice.1 } else { &choice.2 };
                }
                Code::Caution(caution) => {
                    self.caution(step, &caution.words, caution.when.as_ref(), &mut parts);
                    node = &caution.value;
                }
                Code::Apply(Op::Record(names), values) if !path.is_empty() => {
                    let at = names.iter().position(|name| path.first() == Some(name));
                    let Some(value) = at.and_then(|at| values.get(at)) else { return };
                    node = value;
                    path = path.get(1..).unwrap_or(&[]);
                }
                Code::Apply(Op::Size, sides) => {
                    let side = match path.first().map(|part| &**part) {
                        Some("across") => sides.first(),
                        Some("along") => sides.last(),
                        _ => break,
                    };
                    let Some(side) = side else { return };
                    node = side;
                    path = path.get(1..).unwrap_or(&[]);
                }
                _ => break,
            }
        }
        self.numbers(step, node, path, parts);
        self.inner.truncate(mark);
    }

    /// A caution that is called for stands beside the numbers that call for it.
    fn caution(&mut self, step: usize, words: &'a Node, when: Option<&'a Node>, parts: &mut Gathered) {
        let Some(when) = when else { return };
        if !matches!(self.machine.eval(when), Ok(Value::YesNo(true))) {
            return;
        }
        let filled = self.filled(when, Hold::Free, parts);
        if let Ok(Value::Text(words)) = self.machine.eval(words) {
            self.change(step, |step| step.because.push(format!("{filled} is yes: {words}").into()));
        }
    }

    fn numbers(&mut self, step: usize, node: &'a Node, path: &[Rc<str>], mut parts: Gathered) {
        let mut formula = one_row(self.files, node.span, &[]);
        let mut is_call = false;
        let named = matches!(node.code, Code::Global(_) | Code::Local(_) | Code::That);
        let mut filled = match &node.code {
            Code::Call(call) => {
                is_call = true;
                let inside = self.call(node, call, path);
                parts.depends_on(inside);
                let mut inside = Gathered::resting(&mut parts);
                for (_, arg) in &call.args {
                    self.walk(arg, Hold::Free, &mut inside);
                }
                parts.parts = inside.parts;
                parts.slack.append(&mut inside.slack);
                one_row(self.files, node.span, &inside.replaced)
            }
            Code::Each(each) => {
                self.rounds(step, node, each);
                let mut source = Gathered::resting(&mut parts);
                self.walk(&each.source, Hold::Free, &mut source);
                parts.parts = source.parts;
                one_row(self.files, node.span, &source.replaced)
            }
            Code::Global(_) | Code::Local(_) | Code::That if !path.is_empty() => {
                let step = self.named(node, path);
                parts.depends_on(step);
                let part = self.machine.eval(node).ok().and_then(|whole| part_of(&whole, path));
                part.map_or(formula.clone(), |part| value_text(&part, Hold::Free).into())
            }
            _ => self.filled(node, Hold::Free, &mut parts),
        };
        if !path.is_empty() {
            let tail = path.iter().map(|name| format!(".{name}")).collect::<String>();
            let (open, close) = match node.code {
                Code::Call(_) | Code::Apply(Op::Builtin(_) | Op::Part(..) | Op::Index, _) => ("", ""),
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
    fn filled(&mut self, node: &'a Node, hold: Hold, parts: &mut Gathered) -> Rc<str> {
        let mut here = Gathered::resting(parts);
        self.walk(node, hold, &mut here);
        parts.parts = here.parts;
        parts.slack.append(&mut here.slack);
        one_row(self.files, node.span, &here.replaced)
    }

    /// A call with its numbers: `tucks_take(5, depth: 1/8 in)`.
    pub(crate) fn filled_call(&mut self, node: &'a Node) -> Rc<str> {
        let Code::Call(call) = &node.code else { return "".into() };
        let mut replaced = Vec::new();
        for (_, arg) in &call.args {
            if let Ok(value) = self.machine.eval(arg) {
                let text = if matches!(arg.code, Code::Const(_)) {
                    one_row(self.files, arg.span, &[]).to_string()
                } else {
                    value_text(&value, Hold::Free)
                };
                replaced.push((arg.span, text));
            }
        }
        one_row(self.files, node.span, &replaced)
    }

    /// The step of a name, or of parts of it.
    fn named(&mut self, node: &'a Node, path: &[Rc<str>]) -> Option<usize> {
        match &node.code {
            Code::Global(slot) => {
                let origin = self.trail.of_slot(*slot, self.context)?;
                self.origin(origin, path)
            }
            Code::That => {
                let origin = self.trail.answer(self.context)?;
                self.origin(origin, path)
            }
            Code::Local(slot) => self.inner_name(*slot, node),
            Code::Setting(setting) => self.setting(*setting, node),
            Code::Once(_, inner) => self.named(inner, path),
            Code::Call(call) => self.call(node, call, path),
            _ => None,
        }
    }

    /// Replaces a node by its value.
    fn replace(&mut self, node: &Node, hold: Hold, out: &mut Gathered) {
        if let Ok(value) = self.machine.eval(node) {
            out.put(node.span, value_text(&value, hold));
            let items = match &value {
                Value::List(list) => &list.items[..],
                one => std::slice::from_ref(one),
            };
            out.slack.extend(items.iter().filter_map(|item| match item {
                Value::Slack(slack) => Some(slack.clone()),
                _ => None,
            }));
        }
    }

    /// Goes through a formula: names and calls become numbers, operators stay.
    fn walk(&mut self, node: &'a Node, hold: Hold, out: &mut Gathered) {
        match &node.code {
            Code::Once(_, inner) => self.walk(inner, hold, out),
            Code::Local(_)
            | Code::Global(_)
            | Code::Setting(_)
            | Code::That
            | Code::Total
            | Code::Call(_) => {
                self.replace(node, hold, out);
                let step = self.named(node, &[]);
                out.depends_on(step);
                self.depends_on_args(node, out);
            }
            Code::If(_) | Code::Each(_) | Code::Block(..) | Code::Caution(_) => {
                self.replace(node, hold, out);
                let step = self.apart_sum(node);
                out.depends_on(step);
            }
            Code::Text(_) => self.depends_on_operands(node, out),
            Code::Binary(binary) => self.operands(binary, out),
            Code::Apply(op, nodes) => self.operation(node, op, nodes, hold, out),
            // Operators stay, whatever they are.
            _ => self.each_operand(node, Hold::Operand, out),
        }
    }

    /// Goes through the operands of a formula.
    fn each_operand(&mut self, node: &'a Node, hold: Hold, out: &mut Gathered) {
        node.children(&mut |child| self.walk(child, hold, out));
    }

    /// The steps that the operands rest on; what is put in for them does not stand in the formula.
    fn depends_on_operands(&mut self, node: &'a Node, out: &mut Gathered) {
        let mut inside = Gathered::resting(out);
        self.each_operand(node, Hold::Free, &mut inside);
        out.parts = inside.parts;
    }

    fn depends_on_args(&mut self, node: &'a Node, out: &mut Gathered) {
        if matches!(node.code, Code::Call(_)) {
            self.depends_on_operands(node, out);
        }
    }

    fn operation(&mut self, node: &'a Node, op: &Op, nodes: &'a [Node], hold: Hold, out: &mut Gathered) {
        match (op, nodes) {
            (Op::Part(..), _) => self.part_of_name(node, hold, out),
            (Op::Index, _) => {
                // The item, and the working of the list.
                self.replace(node, hold, out);
                self.depends_on_operands(node, out);
            }
            (Op::Size, [across, along]) => self.sides(across, along, out),
            (Op::Slack(_), [middle, amount]) => {
                let slack = self.machine.eval(middle).is_ok_and(|value| value.has_slack());
                self.walk(middle, if slack { Hold::Base } else { Hold::Operand }, out);
                self.walk(amount, Hold::Operand, out);
            }
            (Op::List | Op::Record(_) | Op::Builtin(_) | Op::ShownInUnit(_) | Op::WithUnit(_), _) => {
                self.each_operand(node, Hold::Free, out);
            }
            _ => self.each_operand(node, Hold::Operand, out),
        }
    }

    /// `linen.usable`: the value of the part, and the working of that part alone.
    fn part_of_name(&mut self, node: &'a Node, hold: Hold, out: &mut Gathered) {
        let (base, path) = part_path(node);
        match &base.code {
            Code::Global(_) | Code::That | Code::Call(_) | Code::Local(_) => {
                self.replace(node, hold, out);
                let sized = matches!(self.machine.eval(base), Ok(Value::Size(_)));
                let step = self.named(base, if sized { &[] } else { &path });
                out.depends_on(step);
                self.depends_on_args(base, out);
            }
            Code::Apply(Op::Index, _) => {
                self.replace(node, hold, out);
                let mut inside = Gathered::resting(out);
                self.walk(base, Hold::Free, &mut inside);
                out.parts = inside.parts;
            }
            _ => self.each_operand(node, Hold::Operand, out),
        }
    }

    /// `n * a by b`: with a number in front the product needs its brackets.
    fn sides(&mut self, across: &'a Node, along: &'a Node, out: &mut Gathered) {
        let product = matches!(&across.code, Code::Binary(binary)
            if matches!(binary.op, BinaryOp::Multiply | BinaryOp::Of));
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

    fn operands(&mut self, binary: &'a BinaryNode, out: &mut Gathered) {
        let (left, right) = match binary.op {
            BinaryOp::Power => (Hold::Base, Hold::Below),
            BinaryOp::Divide => (Hold::Operand, Hold::Below),
            _ => (Hold::Operand, Hold::Operand),
        };
        self.walk(&binary.left, left, out);
        match binary.op {
            // What the left side decides alone is left as it is written.
            BinaryOp::And | BinaryOp::Or if self.machine.eval(&binary.right).is_err() => return,
            BinaryOp::Add | BinaryOp::Subtract if self.plain_percent(binary, out) => return,
            _ => {}
        }
        self.walk(&binary.right, right, out);
    }

    /// A named percentage that is added to a plain number.
    fn plain_percent(&mut self, binary: &'a BinaryNode, out: &mut Gathered) -> bool {
        let named =
            matches!(binary.right.code, Code::Global(_) | Code::Local(_) | Code::Apply(Op::Part(..), _));
        let Some((left, right)) =
            self.machine.eval(&binary.left).ok().zip(self.machine.eval(&binary.right).ok())
        else {
            return false;
        };
        let percent = matches!(&left, Value::Measure(quantity) if quantity.reading == Reading::Percent);
        let Some(plain) = without_percent(&right).filter(|_| named && !percent) else { return false };
        let mut inside = Gathered::resting(out);
        self.walk(&binary.right, Hold::Operand, &mut inside);
        out.parts = inside.parts;
        out.put(binary.right.span, value_text(&plain, Hold::Operand));
        true
    }
}
