//! Values under the one walk over a formula: the evaluator as [`Machine::eval`] has it, without its short cuts.
//! It traces formulas, and holds the short cuts to what they stand for.

use std::rc::Rc;

use crate::code::node::{BinaryNode, CallNode, Link, Node, Op, ParamCode, Piece, RuleCode, Setting};
use crate::code::walk::{Domain, Truth, walk};
use crate::eval::halt::{Halt, Worked};
use crate::eval::machine::{Frame, Machine, readable};
use crate::eval::operate::both;
use crate::eval::words;
use crate::fault::Span;
use crate::value::cause::{Cause, Want};
use crate::value::data::Value;
use crate::value::describe::Operand;

/// Up to this depth any stack is deep enough.
const SHALLOW: u32 = 100;

impl Machine {
    /// As [`Machine::line`], by the walk and without short cuts: what they are held to.
    pub fn line_by_walk(&mut self, node: &Node, slots: u32) -> Worked {
        self.by_walk = true;
        self.clear_frames(slots);
        let made = walk(self, node);
        self.by_walk = false;
        made
    }
}

impl Domain for Machine {
    type Value = Value;
    type Stop = Halt;
    type Frame = Frame;

    #[inline(always)]
    fn value_of(&mut self, node: &Node) -> Worked {
        if self.by_walk {
            return match self.tracer.take() {
                Some(outer) => self.trace_part(node, outer),
                None => walk(self, node),
            };
        }
        if node.is_leaf() { self.leaf(node).cloned() } else { self.eval(node) }
    }

    fn constant(&mut self, value: &Value) -> Value {
        value.clone()
    }

    fn local(&mut self, slot: u32, span: Span) -> Worked {
        readable(Machine::local(self, slot), span).cloned()
    }

    fn set_local(&mut self, slot: u32, value: Value, _from: Option<Span>) {
        Machine::set_local(self, slot, value);
    }

    fn filled(&mut self, slot: u32) -> Option<Value> {
        // A trace goes through it at each round.
        let value = Machine::local(self, slot).filter(|_| self.tracer.is_none());
        value.filter(|value| !matches!(value, Value::Unset)).cloned()
    }

    fn empty(&mut self, slots: &[u32]) {
        self.forget(slots);
    }

    fn global(&mut self, slot: u32, span: Span) -> Worked {
        readable(self.globals.get(slot as usize), span).cloned()
    }

    fn setting(&mut self, setting: Setting, span: Span) -> Worked {
        Machine::setting(self, setting, span)
    }

    fn that(&mut self, span: Span) -> Worked {
        self.last_answer(span)
    }

    fn total(&mut self, span: Span) -> Worked {
        self.total_cost(span)
    }

    fn broken(&mut self) -> Worked {
        Err(Halt::Silent)
    }

    fn text(&mut self, pieces: &[Piece], filled: Vec<Value>, span: Span) -> Worked {
        self.put_together(pieces, filled, span)
    }

    fn apply(&mut self, op: &Op, nodes: &[Node], operands: Vec<Value>, span: Span) -> Worked {
        match op {
            Op::List | Op::Record(_) | Op::Builtin(_) => self.gather(op, nodes, operands, span),
            _ => self.operate(op, nodes, &operands, span),
        }
    }

    fn binary(&mut self, node: &BinaryNode, left: Value, right: Value) -> Worked {
        self.spend(1, node.op_span)?;
        let made = both(node, &left, &right)?;
        self.took(made, node.op_span)
    }

    fn compare(&mut self, link: &Link, left: (&Value, &Node), right: &Value) -> Truth<Machine> {
        let (a, b) = (Operand::new(left.0, left.1.span), Operand::new(right, link.operand.span));
        let held = self.held(link, a, b)?;
        let known = if let Value::YesNo(yes) = held { Some(yes) } else { None };
        Ok((held, known))
    }

    fn truth(&mut self, value: Value, node: &Node) -> Truth<Machine> {
        let value = words::yes_or_no(value, node.span)?;
        let known = if let Value::YesNo(yes) = value { Some(yes) } else { None };
        Ok((value, known))
    }

    fn choice(&mut self, value: Value, node: &Node) -> Result<Option<bool>, Halt> {
        Machine::decided(value, node.span).map(Some)
    }

    fn either(&mut self, ways: [Worked; 2], _parts: &(Node, Node, Node), _span: Span) -> Worked {
        let [yes, _] = ways;
        yes
    }

    fn items(&mut self, source: Value, node: &Node) -> Result<Vec<Value>, Halt> {
        match source {
            Value::List(list) => {
                self.spend_items(list.items.len() as u64, node.span)?;
                self.spend(list.items.len() as u64, node.span)?;
                if let Some(tracer) = &mut self.tracer {
                    tracer.expect_rounds(list.items.len());
                }
                Ok(list.items.clone())
            }
            other => Err(Cause::wanted(Want::LOOP, &Operand::new(&other, node.span)).into()),
        }
    }

    fn list(&mut self, items: Vec<Value>, span: Span) -> Worked {
        self.made_list(items, span)
    }

    fn sources(&self) -> u64 {
        self.sources
    }

    fn caution(&mut self, words: Value, node: &Node, span: Span) -> Result<(), Halt> {
        self.take_caution(words, node, span)
    }

    #[inline]
    fn rule(&mut self, call: &CallNode, span: Span) -> Result<Option<Rc<RuleCode>>, Halt> {
        if self.tracer.is_some() {
            return Ok(None);
        }
        self.spend(2, span)?;
        self.rule_code(call.rule).map(Some)
    }

    fn signature(&mut self, call: &CallNode, args: Vec<Value>, span: Span) -> Worked {
        self.call_untraced(call, args, span)
    }

    #[inline]
    fn argument(&mut self, rule: &RuleCode, slot: u32, value: &mut Value, node: &Node) -> Result<(), Halt> {
        Machine::taken(rule, slot, value, node)
    }

    fn default_failed(&self, halt: Halt, rule: &RuleCode, param: &ParamCode) -> Halt {
        // In a call of a line's own the argument can be given there.
        match self.depth == rule.nesting.saturating_add(1) {
            true => words::or_give(halt, &param.name),
            false => halt,
        }
    }

    #[inline]
    fn left_out(&mut self, call: &CallNode, rule: &RuleCode, span: Span) {
        // In a call of a line's own the argument can be given there.
        if rule.library && call.args.len() < rule.params.len() && self.depth == rule.nesting.saturating_add(1)
        {
            self.usual_values(call, rule, span);
        }
    }

    #[inline]
    fn open(&mut self, rule: &RuleCode) -> Frame {
        self.open_frame(rule.slots)
    }

    #[inline]
    fn bind(&mut self, frame: &mut Frame, slot: u32, value: Value) {
        Machine::bind(self, frame, slot, value);
    }

    #[inline]
    fn enter(&mut self, frame: &mut Frame, rule: &RuleCode, span: Span) -> Result<(), Halt> {
        self.depth = self.deeper(rule, span)?;
        self.enter_frame(frame);
        Ok(())
    }

    #[inline]
    fn with_room<R>(&mut self, work: impl FnOnce(&mut Machine) -> R) -> R {
        if self.depth <= SHALLOW && !self.by_walk {
            work(self)
        } else {
            stacker::maybe_grow(256 << 10, 4 << 20, || work(self))
        }
    }

    #[inline]
    fn result(&mut self, rule: &RuleCode, value: &mut Value) -> Result<(), Halt> {
        self.given(rule, value)
    }

    #[inline]
    fn close(&mut self, frame: Frame) {
        self.close_frame(&frame);
    }

    fn call_failed(&self, halt: Halt, rule: &RuleCode, span: Span) -> Halt {
        words::called_from(words::zero_in(halt, rule), rule, span)
    }
}
