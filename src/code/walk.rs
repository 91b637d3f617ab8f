//! The one walk over a resolved tree: what is evaluated and in which order, which way a choice goes, what a
//! loop, a block and a call do with their names. What values are, and what operators make of them, a
//! [`Domain`] says: values themselves, intervals, kinds.

use std::rc::Rc;

use crate::code::node::{
    BinaryNode, CallNode, CautionNode, Code, EachNode, Link, Node, Op, ParamCode, Piece, RuleCode, Setting,
};
use crate::fault::Span;
use crate::syntax::tree::BinaryOp;
use crate::value::data::Value;

/// What a node comes to.
pub type Outcome<D> = Result<<D as Domain>::Value, <D as Domain>::Stop>;

/// A value that stands for a yes or no, and which of them where that is known.
pub type Truth<D> = Result<(<D as Domain>::Value, Option<bool>), <D as Domain>::Stop>;

/// What the nodes of a formula are taken for.
pub trait Domain: Sized {
    /// What a node comes to.
    type Value: Clone;
    /// Why it comes to nothing.
    type Stop;
    /// What to go back to behind a call.
    type Frame: Default;

    /// Evaluates a node below another; a domain may have a way of its own for some.
    fn value_of(&mut self, node: &Node) -> Outcome<Self> {
        walk(self, node)
    }

    /// What a node comes to where that is known without a walk.
    fn known(&mut self, _node: &Node) -> Result<Option<Self::Value>, Self::Stop> {
        Ok(None)
    }

    /// A value known when compiled.
    fn constant(&mut self, value: &Value) -> Self::Value;
    /// A slot of the frame.
    fn local(&mut self, slot: u32, span: Span) -> Outcome<Self>;
    /// Fills a slot of the frame with what came from a place.
    fn set_local(&mut self, slot: u32, value: Self::Value, from: Option<Span>);
    /// What a slot that is filled once for a loop holds, where it is filled.
    fn filled(&mut self, _slot: u32) -> Option<Self::Value> {
        None
    }
    /// Empties slots that are filled once for a loop.
    fn empty(&mut self, _slots: &[u32]) {}
    /// A name of the recipe.
    fn global(&mut self, slot: u32, span: Span) -> Outcome<Self>;
    /// A setting in force.
    fn setting(&mut self, setting: Setting, span: Span) -> Outcome<Self>;
    /// The last answer.
    fn that(&mut self, span: Span) -> Outcome<Self>;
    /// What all that is bought costs.
    fn total(&mut self, span: Span) -> Outcome<Self>;
    /// What could not be compiled, or a call of it.
    fn broken(&mut self) -> Outcome<Self>;

    /// A text, its values filled in.
    fn text(&mut self, pieces: &[Piece], filled: Vec<Self::Value>, span: Span) -> Outcome<Self>;
    /// An operation that evaluates all its operands.
    fn apply(&mut self, op: &Op, nodes: &[Node], operands: Vec<Self::Value>, span: Span) -> Outcome<Self>;
    /// Arithmetic on two operands.
    fn binary(&mut self, node: &BinaryNode, left: Self::Value, right: Self::Value) -> Outcome<Self>;
    /// One link of a chain of comparisons.
    fn compare(&mut self, link: &Link, left: (&Self::Value, &Node), right: &Self::Value) -> Truth<Self>;
    /// Takes a value for a yes or no.
    fn truth(&mut self, value: Self::Value, node: &Node) -> Truth<Self>;
    /// Which way a choice goes; `None` where it may go both.
    fn choice(&mut self, value: Self::Value, node: &Node) -> Result<Option<bool>, Self::Stop> {
        Ok(self.truth(value, node)?.1)
    }
    /// Either of what the two ways of a choice come to.
    fn either(&mut self, ways: [Outcome<Self>; 2], parts: &(Node, Node, Node), span: Span) -> Outcome<Self>;

    /// What a loop goes through.
    fn items(&mut self, source: Self::Value, node: &Node) -> Result<Vec<Self::Value>, Self::Stop>;
    /// The list that a loop makes.
    fn list(&mut self, items: Vec<Self::Value>, span: Span) -> Outcome<Self>;
    /// How many sources of error were made so far; what made one is not the same at the next turn.
    fn sources(&self) -> u64 {
        0
    }

    /// Whether words of caution are looked at.
    fn cautions(&self) -> bool {
        true
    }
    /// Takes words of caution.
    fn caution(&mut self, words: Self::Value, node: &Node, span: Span) -> Result<(), Self::Stop>;

    /// The rule that a call enters; `None` where its heading tells all that this domain wants to know.
    fn rule(&mut self, call: &CallNode, span: Span) -> Result<Option<Rc<RuleCode>>, Self::Stop>;
    /// A call of a rule that is not entered.
    fn signature(&mut self, call: &CallNode, args: Vec<Self::Value>, span: Span) -> Outcome<Self>;
    /// An argument or a default on its way into a parameter.
    fn argument(
        &mut self,
        _rule: &RuleCode,
        _slot: u32,
        _value: &mut Self::Value,
        _node: &Node,
    ) -> Result<(), Self::Stop> {
        Ok(())
    }
    /// Why a default comes to nothing.
    fn default_failed(&self, stop: Self::Stop, _rule: &RuleCode, _param: &ParamCode) -> Self::Stop {
        stop
    }
    /// A call whose arguments and defaults are in its frame.
    fn left_out(&mut self, _call: &CallNode, _rule: &RuleCode, _span: Span) {}
    /// Makes the frame of a call, beside that of its caller.
    fn open(&mut self, _rule: &RuleCode) -> Self::Frame {
        Self::Frame::default()
    }
    /// Fills a slot of a frame that is not entered yet.
    fn bind(&mut self, _frame: &mut Self::Frame, _slot: u32, _value: Self::Value) {}
    /// Enters a frame.
    fn enter(&mut self, _frame: &mut Self::Frame, _rule: &RuleCode, _span: Span) -> Result<(), Self::Stop> {
        Ok(())
    }
    /// Goes on where the stack has room for it. Asking how much is left costs a start its time.
    fn with_room<R>(&mut self, work: impl FnOnce(&mut Self) -> R) -> R {
        stacker::maybe_grow(256 << 10, 4 << 20, || work(self))
    }
    /// What a rule gives, before its frame is closed.
    fn result(&mut self, _rule: &RuleCode, _value: &mut Self::Value) -> Result<(), Self::Stop> {
        Ok(())
    }
    /// Closes the frame of a call, entered or not.
    fn close(&mut self, _frame: Self::Frame) {}
    /// Why a call comes to nothing.
    fn call_failed(&self, stop: Self::Stop, _rule: &RuleCode, _span: Span) -> Self::Stop {
        stop
    }
}

/// Walks a node.
pub fn walk<D: Domain>(domain: &mut D, node: &Node) -> Outcome<D> {
    if let Some(known) = domain.known(node)? {
        return Ok(known);
    }
    match node.is_leaf() {
        true => by_kind(domain, node),
        false => domain.with_room(|domain| by_kind(domain, node)),
    }
}

/// Walks a node whatever it is. What takes room on the stack stands in functions of their own, so that nodes
/// in nodes take little.
#[inline]
pub fn by_kind<D: Domain>(domain: &mut D, node: &Node) -> Outcome<D> {
    match &node.code {
        Code::Const(value) => Ok(domain.constant(value)),
        Code::Local(slot) => domain.local(*slot, node.span),
        Code::Global(slot) => domain.global(*slot, node.span),
        Code::Setting(setting) => domain.setting(*setting, node.span),
        Code::That => domain.that(node.span),
        Code::Total => domain.total(node.span),
        Code::Broken => domain.broken(),
        Code::Text(pieces) => text(domain, pieces, node.span),
        Code::Apply(op, nodes) => applied(domain, op, nodes, node.span),
        Code::Binary(binary) => operated(domain, binary),
        Code::Not(inner) => contrary(domain, inner),
        Code::Compare(first, links) => chain(domain, first, links),
        Code::Block(names, value) => {
            for (slot, named) in names {
                let value = domain.value_of(named)?;
                domain.set_local(*slot, value, Some(named.span));
            }
            domain.value_of(value)
        }
        Code::Once(slot, inner) => once(domain, *slot, inner),
        Code::If(parts) => choice(domain, parts, node.span),
        Code::Each(each) => turns(domain, each, node.span),
        Code::Caution(caution) => cautioned(domain, caution, node.span),
        Code::Call(call) => called(domain, call, node.span),
    }
}

#[inline(never)]
fn applied<D: Domain>(domain: &mut D, op: &Op, nodes: &[Node], span: Span) -> Outcome<D> {
    let operands = nodes.iter().map(|node| domain.value_of(node)).collect::<Result<_, _>>()?;
    domain.apply(op, nodes, operands, span)
}

#[inline(never)]
fn operated<D: Domain>(domain: &mut D, node: &BinaryNode) -> Outcome<D> {
    if matches!(node.op, BinaryOp::And | BinaryOp::Or) {
        return logic(domain, node);
    }
    let left = domain.value_of(&node.left)?;
    let right = domain.value_of(&node.right)?;
    domain.binary(node, left, right)
}

#[inline(never)]
fn contrary<D: Domain>(domain: &mut D, node: &Node) -> Outcome<D> {
    let value = domain.value_of(node)?;
    let (value, known) = domain.truth(value, node)?;
    Ok(known.map_or(value, |yes| domain.constant(&Value::YesNo(!yes))))
}

#[inline(never)]
fn once<D: Domain>(domain: &mut D, slot: u32, node: &Node) -> Outcome<D> {
    if let Some(value) = domain.filled(slot) {
        return Ok(value);
    }
    let value = domain.value_of(node)?;
    domain.set_local(slot, value.clone(), None);
    Ok(value)
}

/// A text, its values filled in.
pub fn text<D: Domain>(domain: &mut D, pieces: &[Piece], span: Span) -> Outcome<D> {
    let mut filled = Vec::new();
    for piece in pieces {
        if let Piece::Filled(node) = piece {
            filled.push(domain.value_of(node)?);
        }
    }
    domain.text(pieces, filled, span)
}

/// What is not sure stays so unless the other side settles it.
#[inline(never)]
pub fn logic<D: Domain>(domain: &mut D, node: &BinaryNode) -> Outcome<D> {
    let settles = Some(node.op == BinaryOp::Or);
    let left = domain.value_of(&node.left)?;
    let (left, known) = domain.truth(left, &node.left)?;
    if known == settles {
        return Ok(left);
    }
    let right = domain.value_of(&node.right)?;
    let (right, second) = domain.truth(right, &node.right)?;
    Ok(if known.is_none() && second != settles { left } else { right })
}

/// Every link is looked at, so that a wrong unit in the last one is told too.
#[inline(never)]
fn chain<D: Domain>(domain: &mut D, first: &Node, links: &[Link]) -> Outcome<D> {
    let mut before = (domain.value_of(first)?, first);
    let mut all = (domain.constant(&Value::YesNo(true)), Some(true));
    for link in links {
        let next = domain.value_of(&link.operand)?;
        let held = domain.compare(link, (&before.0, before.1), &next)?;
        if all.1 == Some(true) || all.1.is_none() && held.1 == Some(false) {
            all = held;
        }
        before = (next, &link.operand);
    }
    Ok(all.0)
}

#[inline(never)]
fn choice<D: Domain>(domain: &mut D, parts: &(Node, Node, Node), span: Span) -> Outcome<D> {
    let asked = domain.value_of(&parts.0)?;
    match domain.choice(asked, &parts.0)? {
        Some(true) => domain.value_of(&parts.1),
        Some(false) => domain.value_of(&parts.2),
        None => {
            let ways = [domain.value_of(&parts.1), domain.value_of(&parts.2)];
            domain.either(ways, parts, span)
        }
    }
}

#[inline(never)]
fn turns<D: Domain>(domain: &mut D, each: &EachNode, span: Span) -> Outcome<D> {
    domain.empty(&each.once);
    let source = domain.value_of(&each.source)?;
    let mut made = Vec::new();
    for item in domain.items(source, &each.source)? {
        domain.set_local(each.slot, item, Some(each.source.span));
        let before = domain.sources();
        made.push(domain.value_of(&each.body)?);
        if domain.sources() != before {
            domain.empty(&each.once);
        }
    }
    domain.list(made, span)
}

#[inline(never)]
fn cautioned<D: Domain>(domain: &mut D, node: &CautionNode, span: Span) -> Outcome<D> {
    let value = domain.value_of(&node.value)?;
    if !domain.cautions() {
        return Ok(value);
    }
    let called_for = match &node.when {
        Some(when) => {
            let asked = domain.value_of(when)?;
            domain.truth(asked, when)?.1
        }
        None => None,
    };
    // better said in vain than not said
    if called_for != Some(false) {
        let words = domain.value_of(&node.words)?;
        domain.caution(words, &node.words, span)?;
    }
    Ok(value)
}

/// A call of a rule.
#[inline(never)]
pub fn called<D: Domain>(domain: &mut D, call: &CallNode, span: Span) -> Outcome<D> {
    let Some(rule) = domain.rule(call, span)? else {
        let args = call.args.iter().map(|(_, arg)| domain.value_of(arg)).collect::<Result<_, _>>()?;
        return domain.signature(call, args, span);
    };
    let frame = open(domain, call, &rule, span)?;
    let made = domain.with_room(|domain| {
        defaults(domain, call, &rule)?;
        domain.left_out(call, &rule, span);
        let mut value = domain.value_of(&rule.body)?;
        domain.result(&rule, &mut value)?;
        Ok(value)
    });
    domain.close(frame);
    made.map_err(|stop| domain.call_failed(stop, &rule, span))
}

/// Evaluates the arguments of a call, and enters its frame.
pub fn open<D: Domain>(
    domain: &mut D,
    call: &CallNode,
    rule: &RuleCode,
    span: Span,
) -> Result<D::Frame, D::Stop> {
    let mut frame = domain.open(rule);
    let made = arguments(domain, &mut frame, call, rule);
    match made.and_then(|()| domain.enter(&mut frame, rule, span)) {
        Ok(()) => Ok(frame),
        Err(stop) => {
            domain.close(frame);
            Err(stop)
        }
    }
}

fn arguments<D: Domain>(
    domain: &mut D,
    frame: &mut D::Frame,
    call: &CallNode,
    rule: &RuleCode,
) -> Result<(), D::Stop> {
    for (slot, arg) in &call.args {
        let mut value = domain.value_of(arg)?;
        domain.argument(rule, *slot, &mut value, arg)?;
        domain.bind(frame, *slot, value);
    }
    Ok(())
}

/// Fills in the defaults of what a call leaves out, in the rule's frame.
#[inline]
pub fn defaults<D: Domain>(domain: &mut D, call: &CallNode, rule: &RuleCode) -> Result<(), D::Stop> {
    if call.args.len() >= rule.params.len() {
        return Ok(());
    }
    for (slot, param, default) in rule.left_out(call) {
        let value = domain.value_of(default);
        let mut value = value.map_err(|stop| domain.default_failed(stop, rule, param))?;
        domain.argument(rule, slot, &mut value, default)?;
        domain.set_local(slot, value, Some(default.span));
    }
    Ok(())
}
