//! The evaluator with a trace of what it evaluates, for the working of a value.

use std::rc::Rc;

use crate::code::node::{CallNode, Code, Node};
use crate::code::walk::{called, defaults, open, walk};
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::Machine;
use crate::eval::trace::{Form, Trace, Tracer};
use crate::fault::Span;
use crate::value::data::Value;

impl Machine {
    /// As [`Machine::line`], with a trace of at most `left` nodes, which are taken from it.
    pub(crate) fn trace_line(
        &mut self,
        node: &Node,
        slots: u32,
        left: &mut usize,
    ) -> Result<Rc<Trace>, Halt> {
        self.clear_frames(slots);
        self.by_walk = true;
        let made = self.trace(node, left);
        self.by_walk = false;
        made
    }

    /// Traces what is inside a call: the slots and defaults of what it leaves out, and the rule's formula.
    pub(crate) fn trace_call(&mut self, call: &Trace, left: &mut usize) -> Result<Inside, Halt> {
        let Form::Call(rule, slots) = &call.form else { return Err(Halt::Silent) };
        let args = call.parts.iter().map(|part| (part.value.clone(), part.span));
        let node = with_values(*rule, slots.iter().copied().zip(args));
        self.clear_frames(0);
        self.by_walk = true;
        let made = self.inside(&node, call.span, left);
        self.by_walk = false;
        made
    }

    fn inside(&mut self, call: &CallNode, span: Span, left: &mut usize) -> Result<Inside, Halt> {
        let rule = self.rule_code(call.rule)?;
        open(self, call, &rule, span)?;
        self.tracer = Some(Tracer::new(*left));
        let filled = defaults(self, call, &rule);
        let tracer = self.tracer.take().unwrap_or_default();
        *left = tracer.left;
        filled?;
        let slots = rule.left_out(call).map(|(slot, ..)| slot);
        let defaults = slots.zip(tracer.parts).collect();
        let body = self.trace(&rule.body, left)?;
        Ok(Inside { defaults, body })
    }

    /// Evaluates a node and traces it.
    fn trace(&mut self, node: &Node, left: &mut usize) -> Result<Rc<Trace>, Halt> {
        let Some(fewer) = left.checked_sub(1) else {
            let value = self.untraced(|machine| machine.eval(node))?;
            return Ok(Rc::new(Trace { span: node.span, form: Form::Untraced, value, parts: Vec::new() }));
        };
        self.tracer = Some(Tracer::new(fewer));
        let made = walk(self, node);
        let tracer = self.tracer.take().unwrap_or_default();
        *left = tracer.left;
        let (value, mut parts) = (made?, tracer.parts);
        match (&node.code, &parts[..]) {
            (Code::Once(..), [inner]) => return Ok(inner.clone()),
            (Code::Binary(binary), [_]) => parts.extend(self.trace(&binary.right, left).ok()),
            _ => {}
        }
        Ok(Rc::new(Trace { span: node.span, form: Form::of(&node.code), value, parts }))
    }

    /// Evaluates a part of what `outer` traces.
    pub(crate) fn trace_part(&mut self, node: &Node, mut outer: Tracer) -> Worked {
        let made = if outer.takes_next() {
            self.trace(node, &mut outer.left).map(|trace| {
                let value = trace.value.clone();
                outer.parts.push(trace);
                value
            })
        } else {
            self.untraced(|machine| machine.eval(node))
        };
        self.tracer = Some(outer);
        made
    }

    /// A call as one node, its arguments evaluated.
    pub(crate) fn call_untraced(&mut self, call: &CallNode, values: Vec<Value>, span: Span) -> Worked {
        let args = call.args.iter().zip(values).map(|((slot, arg), value)| (*slot, (value, arg.span)));
        let call = with_values(call.rule, args);
        let tracer = self.tracer.take();
        let made = self.untraced(|machine| called(machine, &call, span));
        self.tracer = tracer;
        made
    }

    fn untraced<R>(&mut self, work: impl FnOnce(&mut Machine) -> R) -> R {
        self.by_walk = false;
        let made = work(self);
        self.by_walk = true;
        made
    }
}

/// What is inside a call.
pub(crate) struct Inside {
    /// The slots of what the call leaves out, and what they are filled with.
    pub defaults: Vec<(u32, Rc<Trace>)>,
    /// The rule's formula.
    pub body: Rc<Trace>,
}

/// A call whose arguments have these values, each from its place.
fn with_values(rule: u32, args: impl Iterator<Item = (u32, (Value, Span))>) -> CallNode {
    let args = args.map(|(slot, (value, span))| (slot, Node { code: Code::Const(value), span }));
    CallNode { rule, args: args.collect() }
}
