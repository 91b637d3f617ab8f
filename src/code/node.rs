//! What expressions are compiled to: names are slots, rules are numbers, the tree is walked once.

use std::rc::Rc;

use crate::fault::Span;
use crate::measure::UnitExpr;
pub use crate::syntax::tree::Setting;
use crate::syntax::tree::{BinaryOp, CompareOp, UnaryOp, Way};
use crate::value::data::Value;
use crate::value::kind::Kind;

/// A compiled expression and its place.
#[derive(Debug)]
pub struct Node {
    /// What to do.
    pub code: Code,
    /// Where it stands.
    pub span: Span,
}

/// What a node does.
#[derive(Debug)]
pub enum Code {
    /// Gives a value known when compiled.
    Const(Value),
    /// Reads a slot of the rule's frame.
    Local(u32),
    /// Reads a recipe's name.
    Global(u32),
    /// Reads the seam allowance, the ruler's step or the shop's step in force.
    Setting(Setting),
    /// The last answer.
    That,
    /// A text with values filled in.
    Text(Vec<Piece>),
    /// A list.
    List(Vec<Node>),
    /// A record; the names are shared by all that it makes.
    Record(Rc<[Rc<str>]>, Vec<Node>),
    /// Fills slots, then gives the last.
    Block(Vec<(u32, Node)>, Box<Node>),
    /// Minus or not.
    Unary(UnaryOp, Box<Node>),
    /// An operation on two operands.
    Binary(Box<BinaryNode>),
    /// A chain of comparisons.
    Compare(Box<Node>, Vec<Link>),
    /// A size from two lengths.
    Size(Box<(Node, Node)>),
    /// A measure with slack.
    Slack(Box<SlackNode>),
    /// So many that err each on its own.
    Separate(Box<SeparateNode>),
    /// Rounding: what, the step.
    Round(Way, Box<(Node, Node)>),
    /// A reading by a unit.
    ShownInUnit(Box<Node>, UnitExpr),
    /// A reading by a ruler's step.
    ShownInStep(Box<(Node, Node)>),
    /// A unit behind a bracket.
    WithUnit(Box<Node>, UnitExpr),
    /// A call of a rule.
    Call(Box<CallNode>),
    /// A call of a built-in.
    Builtin(crate::eval::builtins::Builtin, Vec<Node>),
    /// A part of a size or a record.
    Part(Box<Node>, Rc<str>, Span),
    /// An item of a list.
    Index(Box<(Node, Node)>),
    /// A choice.
    If(Box<(Node, Node, Node)>),
    /// A list made from another, or from a range.
    Each(Box<EachNode>),
    /// A list of equal steps.
    Range(Box<RangeNode>),
    /// `how many A from B`.
    HowMany(Box<(Node, Node)>),
    /// Worked at the first pass of a loop, then read: it does not hang on the loop's name.
    Once(u32, Box<Node>),
    /// Stands where a fault was found; never run.
    Broken,
}

/// A part of a text.
#[derive(Debug)]
pub enum Piece {
    /// As written.
    Plain(Rc<str>),
    /// A value.
    Filled(Node),
}

/// An operation on two operands.
#[derive(Debug)]
pub struct BinaryNode {
    /// The operator.
    pub op: BinaryOp,
    /// Its place.
    pub op_span: Span,
    /// Left operand.
    pub left: Node,
    /// Right operand.
    pub right: Node,
    /// Whether the right operand is a percentage as written, which may be added to a percentage only.
    pub percent: bool,
}

/// A measure with slack.
#[derive(Debug)]
pub struct SlackNode {
    /// The measure.
    pub middle: Node,
    /// How far off it may be.
    pub amount: Node,
    /// What the source is called.
    pub words: Rc<str>,
    /// Its line, where it stands in the script.
    pub line: Option<usize>,
}

/// So many that err each on its own.
#[derive(Debug)]
pub struct SeparateNode {
    /// How many.
    pub count: Node,
    /// What they are called.
    pub noun: Rc<str>,
    /// What each of them is.
    pub each: Node,
    /// Its line, where it stands in the script.
    pub line: Option<usize>,
}

/// A link of a comparison chain.
#[derive(Debug)]
pub struct Link {
    /// How it compares.
    pub op: CompareOp,
    /// The operator's place.
    pub op_span: Span,
    /// The next operand.
    pub operand: Node,
}

/// A call of a rule.
#[derive(Debug)]
pub struct CallNode {
    /// Which rule.
    pub rule: u32,
    /// Slot of the parameter, and the argument.
    pub args: Vec<(u32, Node)>,
}

/// A loop.
#[derive(Debug)]
pub struct EachNode {
    /// Slot of the loop's name.
    pub slot: u32,
    /// Slots of what is worked once; emptied before the loop.
    pub once: Vec<u32>,
    /// List or range.
    pub source: Node,
    /// What is made of each.
    pub body: Node,
}

/// A range.
#[derive(Debug)]
pub struct RangeNode {
    /// First.
    pub from: Node,
    /// Last.
    pub to: Node,
    /// Step.
    pub every: Option<Node>,
}

/// A compiled rule.
#[derive(Debug)]
pub struct RuleCode {
    /// Its name.
    pub name: Rc<str>,
    /// Its parameters.
    pub params: Vec<ParamCode>,
    /// What it gives.
    pub gives: Kind,
    /// The formula.
    pub body: Node,
    /// How many slots its frame has.
    pub slots: u32,
    /// How deep its formula nests, counted against the limit at each call.
    pub nesting: u32,
    /// `rule name(…)`, for faults.
    pub heading: Span,
}

/// A compiled parameter.
#[derive(Debug)]
pub struct ParamCode {
    /// Its name.
    pub name: Rc<str>,
    /// What it takes.
    pub kind: Kind,
    /// Its value when not given.
    pub default: Option<Node>,
    /// Its place.
    pub span: Span,
}

impl Node {
    /// Whether reading it costs no work and cannot fail but for an unset name.
    #[inline]
    pub fn is_leaf(&self) -> bool {
        matches!(self.code, Code::Const(_) | Code::Local(_) | Code::Global(_))
    }
}
