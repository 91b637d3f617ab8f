//! What expressions are compiled to: names are slots, rules are numbers, the tree is walked once.

use std::rc::Rc;

use crate::fault::Span;
use crate::measure::UnitExpr;
pub use crate::syntax::tree::Setting;
use crate::syntax::tree::{BinaryOp, CompareOp, Way};
use crate::value::{Bound, Builtin, Guard, Kind, One, Value};

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
    /// What all that is bought costs.
    Total,
    /// A text with values filled in.
    Text(Vec<Piece>),
    /// Fills slots, then gives the last.
    Block(Vec<(u32, Node)>, Box<Node>),
    /// Works its operands in order, then makes one value of them.
    Apply(Op, Vec<Node>),
    /// An operation on two operands; `and` and `or` work the second only where the first leaves it open.
    Binary(Box<BinaryNode>),
    /// The contrary of a yes or no.
    Not(Box<Node>),
    /// A chain of comparisons.
    Compare(Box<Node>, Vec<Link>),
    /// A call of a rule.
    Call(Box<CallNode>),
    /// A choice.
    If(Box<(Node, Node, Node)>),
    /// A list made from another, or from a range.
    Each(Box<EachNode>),
    /// A value, and words of caution that are worked only where they are called for.
    Caution(Box<CautionNode>),
    /// Evaluated at the first pass of a loop, then read: it does not depend on the loop's name.
    Once(u32, Box<Node>),
    /// Stands where a fault was found; never run.
    Broken,
}

/// What [`Code::Apply`] makes of its operands.
#[derive(Clone, Debug)]
pub enum Op {
    /// `-x`
    Minus,
    /// A size from two lengths.
    Size,
    /// A measure, and how far off it may be.
    Slack(Rc<SlackName>),
    /// How many, and each of them, which err each on its own.
    Separate(Rc<SlackName>),
    /// What is rounded, and the step.
    Round(Way),
    /// A reading by a unit.
    ShownInUnit(UnitExpr),
    /// A value, and the ruler's step that it is read by.
    ShownInStep,
    /// A unit behind a bracket.
    WithUnit(UnitExpr),
    /// A part of a size or a record, and where its name stands.
    Part(Rc<str>, Span),
    /// An item: the list, and its number.
    Index,
    /// How many of the first come from the second.
    HowMany,
    /// A list of all of them.
    List,
    /// A record; the names are shared by all that it makes.
    Record(Rc<[Rc<str>]>),
    /// A list of equal steps: from, to, and the step where it is written. In a loop one that runs down is
    /// empty.
    Range {
        /// Whether a loop goes through it.
        in_loop: bool,
    },
    /// A built-in.
    Builtin(Builtin),
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

/// What a source of error is called.
#[derive(Debug)]
pub struct SlackName {
    /// The name of its line or its own text; of separate things what they are called.
    pub words: Rc<str>,
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

/// A value with words of caution.
#[derive(Debug)]
pub struct CautionNode {
    /// The value.
    pub value: Node,
    /// The words.
    pub words: Node,
    /// When they are called for; always where nothing is said.
    pub when: Option<Node>,
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
    /// Whether it is one of the library's: what goes wrong in it is said in its own words.
    pub library: bool,
    /// Whether what it gives is refused where it is less than 0.
    pub unsigned: bool,
    /// Whether a result below 0 draws advice: the same in a rule of the recipe.
    pub doubtful: bool,
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
    /// What its heading says besides.
    pub guard: Guard,
    /// Its value when not given.
    pub default: Option<Node>,
    /// Its place.
    pub span: Span,
}

impl ParamCode {
    /// Whether it takes a value, its limits aside.
    #[inline]
    pub fn takes(&self, value: &Value) -> bool {
        self.kind.takes(value) || self.guard.or_no && matches!(value, Value::YesNo(false))
    }

    /// That what it was given is of another kind.
    pub fn of_another_kind(&self, rule: &Rc<str>) -> One {
        One::Argument { param: self.name.clone(), rule: rule.clone(), kind: self.kind, declared: self.span }
    }

    /// That what it was given lies beyond a limit.
    pub fn beyond(&self, rule: &Rc<str>, bound: &Bound) -> One {
        let (param, rule, limit) = (self.name.clone(), rule.clone(), bound.words());
        One::Beyond { param, rule, limit, declared: self.span }
    }

    /// The limit that a value lies beyond.
    #[inline]
    pub fn refused_by(&self, value: &Value) -> Option<&Bound> {
        match (&self.guard.limits[..], value) {
            ([], _) => None,
            // The everyday limit, 0 or more.
            ([bound], Value::Measure(quantity)) if bound.is_zero_or_more() => {
                if quantity.is_negative() {
                    Some(bound)
                } else {
                    None
                }
            }
            _ => self.guard.refused_by(value),
        }
    }
}

impl RuleCode {
    /// The parameters that a call leaves out: slot, parameter, and what stands for it.
    pub fn left_out<'r>(&'r self, call: &CallNode) -> impl Iterator<Item = (u32, &'r ParamCode, &'r Node)> {
        let defaults =
            (0..).zip(&self.params).filter_map(|(slot, param)| Some((slot, param, param.default.as_ref()?)));
        defaults.filter(|(slot, ..)| call.args.iter().all(|(taken, _)| taken != slot))
    }
}

/// The nodes right below one, written once for shared and for mutable nodes.
macro_rules! visit_children {
    ($code:expr, $visit:expr, $iter:ident $(, $mutable:tt)?) => {
        match $code {
            Code::Const(_) | Code::Local(_) | Code::Global(_) | Code::Setting(_) | Code::That | Code::Total | Code::Broken => {}
            Code::Text(pieces) => pieces.$iter().for_each(|piece| {
                if let Piece::Filled(node) = piece {
                    $visit(node);
                }
            }),
            Code::Apply(_, nodes) => nodes.$iter().for_each($visit),
            Code::Block(names, value) => {
                names.$iter().for_each(|(_, node)| $visit(node));
                $visit(value);
            }
            Code::Not(node) | Code::Once(_, node) => $visit(node),
            Code::Binary(binary) => {
                $visit(&$($mutable)? binary.left);
                $visit(&$($mutable)? binary.right);
            }
            Code::Compare(first, links) => {
                $visit(first);
                links.$iter().for_each(|link| $visit(&$($mutable)? link.operand));
            }
            Code::Call(call) => call.args.$iter().for_each(|(_, node)| $visit(node)),
            Code::If(parts) => {
                $visit(&$($mutable)? parts.0);
                $visit(&$($mutable)? parts.1);
                $visit(&$($mutable)? parts.2);
            }
            Code::Each(each) => {
                $visit(&$($mutable)? each.source);
                $visit(&$($mutable)? each.body);
            }
            Code::Caution(caution) => {
                $visit(&$($mutable)? caution.value);
                $visit(&$($mutable)? caution.words);
                if let Some(when) = &$($mutable)? caution.when {
                    $visit(when);
                }
            }
        }
    };
}

impl Node {
    /// Whether reading it costs no work and cannot fail but for an unset name.
    #[inline]
    pub fn is_leaf(&self) -> bool {
        matches!(self.code, Code::Const(_) | Code::Local(_) | Code::Global(_))
    }

    /// Calls `visit` on each node right below.
    pub fn children<'n>(&'n self, visit: &mut dyn FnMut(&'n Node)) {
        visit_children!(&self.code, visit, iter);
    }

    /// Calls `visit` on each node right below, to change it.
    pub fn children_mut(&mut self, visit: &mut dyn FnMut(&mut Node)) {
        visit_children!(&mut self.code, visit, iter_mut, mut);
    }
}
