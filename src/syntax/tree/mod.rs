//! The tree that a text is read into. Every node knows its place.

mod ask;
mod cloth;
mod line;

use std::rc::Rc;

use crate::fault::Span;
pub use crate::measure::Way;
use crate::measure::{Quantity, UnitExpr};
pub use crate::syntax::signs::{BinaryOp, CompareOp, Limit, UnaryOp};
pub use ask::{End, Find, Why};
pub use cloth::{Cut, CutWay, Have, PlanLine, PlanWay, Tool};
pub use line::*;

/// A whole file, or one entry at the prompt.
#[derive(Clone, Debug, Default)]
pub struct Tree {
    /// Its lines, top down.
    pub lines: Vec<Line>,
    /// Names whose lines could not be read; what depends on them is not reported again.
    pub spoiled: Vec<Rc<str>>,
}

/// A name and its place.
#[derive(Clone, Debug)]
pub struct Ident {
    /// The name as written.
    pub name: Rc<str>,
    /// Where.
    pub span: Span,
}

/// An expression.
#[derive(Clone, Debug)]
pub struct Expr {
    /// What it is.
    pub kind: ExprKind,
    /// Where it is.
    pub span: Span,
}

/// The kinds of expression.
#[derive(Clone, Debug)]
pub enum ExprKind {
    /// `2 1/2 in`, `7`, `45 deg`, `14.50 EUR/m`
    Measure(Quantity),
    /// `(2 * 3) in`: a unit after a bracket that holds a bare number
    WithUnit(Box<Expr>, UnitExpr),
    /// `"strip {n}"`
    Text(Text),
    /// `yes`, `no`
    YesNo(bool),
    /// `flat`
    Name(Rc<str>),
    /// `that`: the last answer
    That,
    /// `(…)`: kept, for a bracket settles what is bound to what
    Bracket(Box<Expr>),
    /// `[a, b]`
    List(Vec<Expr>),
    /// `{across: 3 in, note: "nap up"}`
    Record(Vec<(Ident, Expr)>),
    /// `{ a = 2 in … a + 1 in }`
    Block(Box<Block>),
    /// `-x`, `not x`
    Unary(UnaryOp, Box<Expr>),
    /// `a + b`
    Binary(Box<Binary>),
    /// `1 in <= d <= 2 in`: a first operand and at least one more
    Compare(Box<Expr>, Vec<Comparison>),
    /// `8 1/2 in by 11 in`
    Size(Box<(Expr, Expr)>),
    /// `8 in ± 1/32 in`: the middle, and how far off it may be either way
    Slack(Box<(Expr, Expr)>),
    /// `12 separate seams of 1/4 in ± 1/32 in`
    Separate(Box<Separate>),
    /// `x nearest 1/8 in`, `x up 1/8 yd`, `x down 1/2 in`
    Round {
        /// Which way.
        way: Way,
        /// What is rounded, and the step.
        operands: Box<(Expr, Expr)>,
    },
    /// `x shown in cm`, `x shown in 1/16 in`
    ShownIn(Box<Expr>, Box<Shown>),
    /// `f(a, seam: b)`
    Call(Box<Call>),
    /// `x.across`
    Part(Box<Expr>, Ident),
    /// `xs[1]`
    Index(Box<(Expr, Expr)>),
    /// `if a then b else c`
    If(Box<(Expr, Expr, Expr)>),
    /// `each k from 1 to n: …`, `each w in waists: …`
    Each(Box<Each>),
    /// `1 to 9`, `0 in to 12 in every 1/2 in`
    Range(Box<Range>),
    /// `how many 5 in from 42 in`
    HowMany(Box<(Expr, Expr)>),
}

/// `COUNT separate NOUN of EACH`
#[derive(Clone, Debug)]
pub struct Separate {
    /// How many.
    pub count: Expr,
    /// What they are called.
    pub noun: Rc<str>,
    /// What each of them is.
    pub each: Expr,
}

/// `a + b`, and the place of the operator.
#[derive(Clone, Debug)]
pub struct Binary {
    /// The operator.
    pub op: BinaryOp,
    /// Its place.
    pub op_span: Span,
    /// Left operand.
    pub left: Expr,
    /// Right operand.
    pub right: Expr,
}

/// One further link of a comparison chain.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// How it compares with the operand before it.
    pub op: CompareOp,
    /// The operator's place.
    pub op_span: Span,
    /// The operand.
    pub operand: Expr,
}

/// What comes after `shown in`.
#[derive(Clone, Debug)]
pub enum Shown {
    /// A unit: `cm`, `oz/yd^2`
    Unit(UnitExpr, Span),
    /// A ruler's step: `1/16 in`
    Step(Expr),
}

/// A call of a rule.
#[derive(Clone, Debug)]
pub struct Call {
    /// The rule's name.
    pub rule: Ident,
    /// Arguments in order of writing; positional ones come first.
    pub args: Vec<Arg>,
}

/// One argument.
#[derive(Clone, Debug)]
pub struct Arg {
    /// Its name, where given.
    pub name: Option<Ident>,
    /// Its value.
    pub value: Expr,
}

/// Named values and a last expression.
#[derive(Clone, Debug)]
pub struct Block {
    /// `a = …`
    pub names: Vec<(Ident, Expr)>,
    /// The block's value.
    pub value: Expr,
}

/// `each NAME in SOURCE: BODY`; `each NAME from A to B: BODY` has a [`ExprKind::Range`] as source.
#[derive(Clone, Debug)]
pub struct Each {
    /// The name that stands for each item.
    pub name: Ident,
    /// A list or a range.
    pub source: Expr,
    /// What is made of each.
    pub body: Expr,
}

/// `FROM to TO every STEP`
#[derive(Clone, Debug)]
pub struct Range {
    /// First.
    pub from: Expr,
    /// Last, included where a step meets it.
    pub to: Expr,
    /// Step; whole numbers go by one without it.
    pub every: Option<Expr>,
}

/// A text in quotes: plain runs and `{…}`.
#[derive(Clone, Debug)]
pub struct Text {
    /// Its parts, in order.
    pub parts: Vec<TextPart>,
    /// Its place, quotes included.
    pub span: Span,
}

/// A part of a text.
#[derive(Clone, Debug)]
pub enum TextPart {
    /// As written, with `{{`, `}}` and `\"` resolved.
    Plain(String),
    /// `{expression}`
    Filled(Expr),
}

impl Text {
    /// The text where nothing is filled in.
    pub fn plain(&self) -> Option<String> {
        let plain = |part: &TextPart| match part {
            TextPart::Plain(text) => Some(text.clone()),
            TextPart::Filled(_) => None,
        };
        self.parts.iter().map(plain).collect()
    }
}

impl Expr {
    /// Calls `visit` on each expression right below this one.
    pub fn children<'a>(&'a self, visit: &mut dyn FnMut(&'a Expr)) {
        match &self.kind {
            ExprKind::Measure(_) | ExprKind::YesNo(_) | ExprKind::Name(_) | ExprKind::That => {}
            ExprKind::Text(text) => text.parts.iter().for_each(|part| {
                if let TextPart::Filled(expr) = part {
                    visit(expr);
                }
            }),
            ExprKind::WithUnit(inner, _)
            | ExprKind::Bracket(inner)
            | ExprKind::Unary(_, inner)
            | ExprKind::Part(inner, _) => visit(inner),
            ExprKind::List(items) => items.iter().for_each(visit),
            ExprKind::Record(parts) => parts.iter().for_each(|(_, value)| visit(value)),
            ExprKind::Block(block) => {
                block.names.iter().for_each(|(_, value)| visit(value));
                visit(&block.value);
            }
            ExprKind::Binary(binary) => [&binary.left, &binary.right].into_iter().for_each(visit),
            ExprKind::Compare(first, links) => {
                visit(first);
                links.iter().for_each(|link| visit(&link.operand));
            }
            ExprKind::Size(pair)
            | ExprKind::Index(pair)
            | ExprKind::HowMany(pair)
            | ExprKind::Slack(pair)
            | ExprKind::Round { operands: pair, .. } => [&pair.0, &pair.1].into_iter().for_each(visit),
            ExprKind::ShownIn(value, shown) => {
                visit(value);
                if let Shown::Step(step) = &**shown {
                    visit(step);
                }
            }
            ExprKind::Separate(separate) => [&separate.count, &separate.each].into_iter().for_each(visit),
            ExprKind::Call(call) => call.args.iter().for_each(|arg| visit(&arg.value)),
            ExprKind::If(parts) => [&parts.0, &parts.1, &parts.2].into_iter().for_each(visit),
            ExprKind::Each(each) => [&each.source, &each.body].into_iter().for_each(visit),
            ExprKind::Range(range) => {
                [&range.from, &range.to].into_iter().for_each(&mut *visit);
                range.every.iter().for_each(visit);
            }
        }
    }
}
