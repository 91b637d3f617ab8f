//! Traces: what each node of a formula came to and, below it, what its parts came to. A call of a rule is one
//! node with its arguments.

use std::rc::Rc;

use crate::code::node::{Code, Op, Setting};
use crate::fault::Span;
use crate::syntax::tree::BinaryOp;
use crate::value::data::Value;

/// So many rounds of a loop are traced from the start, and the last.
const FIRST_ROUNDS: usize = 2;

/// What a node came to.
#[derive(Debug)]
pub(crate) struct Trace {
    /// Where it stands.
    pub span: Span,
    /// What it is.
    pub form: Form,
    /// Its value.
    pub value: Value,
    /// What was evaluated for it, in order: of a choice what was asked and the way that was taken, of a loop
    /// its source and the rounds of [`is_traced`].
    pub parts: Vec<Rc<Trace>>,
}

/// What a node is. What a loop evaluates once stands as what it is by itself.
#[derive(Clone, Debug)]
pub(crate) enum Form {
    Const,
    Local(u32),
    Global(u32),
    Setting(Setting),
    That,
    Total,
    Text,
    /// The slots of its names; its value is the last part.
    Block(Vec<u32>),
    Apply(Op),
    /// `and` and `or` have a right part where that has a value.
    Binary(BinaryOp),
    /// A comparison or a `not`.
    Truth,
    /// The rule, and the slots of the arguments.
    Call(u32, Vec<u32>),
    If,
    Each,
    /// The value; where it is asked whether the words are called for, that, and the words where they are.
    Caution,
    /// The value alone is known: there are more nodes than are traced.
    Untraced,
}

impl Form {
    /// What a node with this code is.
    pub fn of(code: &Code) -> Form {
        match code {
            Code::Const(_) => Form::Const,
            Code::Local(slot) => Form::Local(*slot),
            Code::Global(slot) => Form::Global(*slot),
            Code::Setting(setting) => Form::Setting(*setting),
            Code::That => Form::That,
            Code::Total => Form::Total,
            Code::Text(_) => Form::Text,
            Code::Block(names, _) => Form::Block(names.iter().map(|(slot, _)| *slot).collect()),
            Code::Apply(op, _) => Form::Apply(op.clone()),
            Code::Binary(binary) => Form::Binary(binary.op),
            Code::Not(_) | Code::Compare(..) => Form::Truth,
            Code::Call(call) => Form::Call(call.rule, call.args.iter().map(|(slot, _)| *slot).collect()),
            Code::If(_) => Form::If,
            Code::Each(_) => Form::Each,
            Code::Caution(_) => Form::Caution,
            Code::Once(..) | Code::Broken => Form::Untraced,
        }
    }
}

/// Whether a round of a loop is traced, of so many.
pub(crate) fn is_traced(round: usize, rounds: usize) -> bool {
    round < FIRST_ROUNDS || round.saturating_add(1) == rounds
}

/// What is traced below a node.
#[derive(Debug, Default)]
pub(crate) struct Tracer {
    /// The parts that were traced.
    pub parts: Vec<Rc<Trace>>,
    /// Of a loop, the round that comes next and how many there are.
    rounds: Option<(usize, usize)>,
    /// So many nodes more are traced.
    pub left: usize,
}

impl Tracer {
    /// For so many nodes.
    pub fn new(left: usize) -> Tracer {
        Tracer { left, ..Tracer::default() }
    }

    /// Behind the source of a loop come so many rounds.
    pub fn expect_rounds(&mut self, rounds: usize) {
        self.rounds = Some((0, rounds));
    }

    /// Whether the next part is traced.
    pub fn takes_next(&mut self) -> bool {
        let Some((round, rounds)) = &mut self.rounds else { return true };
        let traced = is_traced(*round, *rounds);
        *round = round.saturating_add(1);
        traced
    }
}
