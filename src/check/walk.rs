//! Kinds under the one walk over a formula: what every expression measures.

use std::convert::Infallible;
use std::rc::Rc;

use crate::check::dims::Dims;
use crate::check::needs::{Need, What};
use crate::check::operate::{Quant, Step};
use crate::check::types::{Shape, Type};
use crate::check::{Infer, Known, words};
use crate::code::{
    BinaryNode, CallNode, Code, Domain, Link, Node, Op, Piece, RuleCode, Setting, Truth, walk,
};
use crate::fault::Span;
use crate::measure::{Dim, Exact, Manner, Reading};
use crate::syntax::tree::{BinaryOp, CompareOp};
use crate::value::{Cause, Kind, Pair, Value, Want};

type Walked = Result<Type, Infallible>;

/// So many levels of a formula take little stack.
const LEVELS: u32 = 16;

impl Infer<'_> {
    /// The kind of an expression; its mistakes are told.
    pub(crate) fn expr(&mut self, node: &Node) -> Type {
        let Ok(ty) = walk(self, node);
        ty
    }

    /// The values that fill a text may be of any kind.
    pub(crate) fn pieces(&mut self, pieces: &[Piece]) {
        for piece in pieces {
            if let Piece::Filled(node) = piece {
                self.expr(node);
            }
        }
    }

    /// A yes or no.
    pub(crate) fn condition(&mut self, node: &Node) {
        let ty = self.expr(node);
        let Ok(_) = self.truth(ty, node);
    }

    /// Tells that something of another kind is needed.
    pub(crate) fn tell_wanted<'w>(&mut self, want: impl Into<Want<'w>>, ty: &Type, node: &Node) {
        let cause = Cause::wanted(want, &self.seen(ty, node));
        self.tell(cause);
    }

    /// Tells of two that do not go together.
    pub(crate) fn tell_pair(&mut self, pair: Pair, left: (&Type, &Node), right: (&Type, &Node)) {
        let cause = Cause::pair(pair, &self.seen(left.0, left.1), &self.seen(right.0, right.1));
        self.tell(cause);
    }

    /// One measure of a dimension that is needed.
    pub(crate) fn wants<'w>(&mut self, node: &Node, want: impl Into<Want<'w>>, dims: &Dims) -> Type {
        let ty = self.expr(node);
        self.must_fit(&ty, node, want, dims);
        ty
    }

    /// As [`Infer::wants`], of a kind that is known.
    pub(crate) fn must_fit<'w>(&mut self, ty: &Type, node: &Node, want: impl Into<Want<'w>>, dims: &Dims) {
        if !self.fits(ty, dims) {
            self.tell_wanted(want, ty, node);
        }
    }

    /// The dimension of one measure; `None` where it is none, which is told, or cannot be told.
    pub(crate) fn one<'w>(&mut self, ty: &Type, node: &Node, want: impl Into<Want<'w>>) -> Option<Dims> {
        match self.quant(ty) {
            Quant::Is(dims, shape) if self.store.unify_shapes(shape, Shape::One).is_ok() => Some(dims),
            Quant::Unsure => None,
            _ => {
                self.tell_wanted(want, ty, node);
                None
            }
        }
    }

    /// What a product comes to as far as it is known: its dimension, whichever of the two is a size.
    fn result_of(&mut self, op: BinaryOp, a: &Type, b: &Type) -> Type {
        let shape = self.store.fresh_shape();
        let power = if op == BinaryOp::Divide { -1 } else { 1 };
        let dims = match (op, self.quant(a), self.quant(b)) {
            (BinaryOp::Multiply | BinaryOp::Of | BinaryOp::Divide, Quant::Is(d, _), Quant::Is(e, _)) => {
                d.times(&e, power)
            }
            _ => None,
        };
        Type::Quant(dims.unwrap_or_else(|| self.store.fresh_dims()), shape)
    }

    /// `4 yd + 5%`: a percentage as written goes to a percentage only.
    fn percent_added(&mut self, node: &BinaryNode, a: &Type, b: &Type) -> bool {
        let wrong = match self.quant(a) {
            Quant::Is(dims, Shape::One) => dims.known().is_some_and(|dim| dim != Dim::NONE),
            Quant::Is(_, Shape::Size | Shape::Count) => true,
            _ => matches!(&node.left.code, Code::Const(Value::Measure(x)) if x.reading != Reading::Percent),
        };
        let Code::Const(Value::Measure(percent)) = &node.right.code else { return false };
        if wrong {
            let pair = Pair::Percent(node.op, percent.show(&Manner::default()));
            self.tell_pair(pair, (a, &node.left), (b, &node.right));
        }
        wrong
    }

    /// A power: a fixed exponent says what comes out.
    fn raised(&mut self, node: &BinaryNode, a: &Type, b: &Type) -> Step {
        if !self.fits(b, &Dims::NONE) {
            return Step::Wrong;
        }
        match exponent(&node.right) {
            Some(exact) if exact.is_whole() => {
                match exact.to_i64().and_then(|n| i32::try_from(n).ok()).filter(|n| n.unsigned_abs() <= 100) {
                    Some(whole) => self.power(a, Some(whole)),
                    None => Step::Gives(Type::Unsure),
                }
            }
            Some(exact) if &exact + &exact == Exact::ONE => self.power(a, None),
            Some(_) => Step::Gives(Type::Unsure),
            None => {
                let step = self.open_power(a);
                if let (Step::Gives(Type::Unsure), Quant::Is(..)) = (&step, self.quant(a)) {
                    let span = node.left.span.to(node.right.span);
                    self.tell(words::open_exponent(span, node.right.span));
                }
                step
            }
        }
    }

    fn ordered(&mut self, a: &Type, b: &Type) -> bool {
        match (self.quant(a), self.quant(b)) {
            (Quant::Not, _) | (_, Quant::Not) => false,
            (Quant::Is(d, s), Quant::Is(e, t)) => {
                self.store.unify_shapes(s, Shape::One).is_ok()
                    && self.store.unify_shapes(t, Shape::One).is_ok()
                    && self.store.dims.unify(&d, &e).is_ok()
            }
            (Quant::Is(_, s), Quant::Unsure) | (Quant::Unsure, Quant::Is(_, s)) => {
                self.store.unify_shapes(s, Shape::One).is_ok()
            }
            (Quant::Unsure, Quant::Unsure) => true,
        }
    }

    /// Whether `is` can stand between two kinds. `no` stands for "none" beside most of them; what
    /// stands inside lists and records decides itself only when it is evaluated.
    fn same_kind(&mut self, a: &Type, b: &Type) -> bool {
        let (x, y) = (self.store.shallow(a), self.store.shallow(b));
        match (&x, &y) {
            (Type::No, Type::Var(_)) | (Type::Var(_), Type::No) => {
                let some = self.store.fresh();
                let maybe = Type::Maybe(Rc::new(some));
                let _ = self.store.unify(if matches!(x, Type::Var(_)) { a } else { b }, &maybe);
                true
            }
            (Type::No, _) | (_, Type::No) => true,
            (Type::List(_), Type::List(_)) | (Type::Record(_), Type::Record(_)) => true,
            _ => self.store.unify(a, b).is_ok(),
        }
    }
}

impl Domain for Infer<'_> {
    type Value = Type;
    type Stop = Infallible;
    type Frame = ();

    fn with_room<R>(&mut self, work: impl FnOnce(&mut Self) -> R) -> R {
        self.depth = self.depth.saturating_add(1);
        let made = match self.depth.is_multiple_of(LEVELS) {
            true => stacker::maybe_grow(256 << 10, 4 << 20, || work(self)),
            false => work(self),
        };
        self.depth = self.depth.saturating_sub(1);
        made
    }

    fn constant(&mut self, value: &Value) -> Type {
        constant(value)
    }

    fn local(&mut self, slot: u32, _span: Span) -> Walked {
        Ok(self.locals.get(slot as usize).map_or(Type::Unsure, |(ty, _)| ty.clone()))
    }

    fn set_local(&mut self, slot: u32, ty: Type, from: Option<Span>) {
        let slot = slot as usize;
        if slot >= self.locals.len() {
            self.locals.resize(slot.saturating_add(1), (Type::Unsure, None));
        }
        if let Some(place) = self.locals.get_mut(slot) {
            *place = (ty, from);
        }
    }

    /// The kind of a name; one whose line comes later is looked at first.
    fn global(&mut self, slot: u32, _span: Span) -> Walked {
        if let Some(Known::Waiting) = self.globals.get(slot as usize) {
            self.lines.look_at(slot, self);
        }
        Ok(Infer::known(self, slot).unwrap_or(Type::Unsure))
    }

    fn setting(&mut self, _setting: Setting, _span: Span) -> Walked {
        Ok(Type::LENGTH)
    }

    fn that(&mut self, _span: Span) -> Walked {
        Ok(Type::Unsure)
    }

    /// Money, of a currency that the prices decide.
    fn total(&mut self, span: Span) -> Walked {
        let ty = Type::Quant(self.store.fresh_dims(), Shape::One);
        let what = What::Money(ty.clone(), Kind::Money);
        self.ask(Need { what, span, left: span, right: span, call: None });
        Ok(ty)
    }

    fn broken(&mut self) -> Walked {
        Ok(Type::Unsure)
    }

    fn text(&mut self, _pieces: &[Piece], _filled: Vec<Type>, _span: Span) -> Walked {
        Ok(Type::Text)
    }

    fn apply(&mut self, op: &Op, nodes: &[Node], operands: Vec<Type>, span: Span) -> Walked {
        Ok(self.operation(op, nodes, operands, span))
    }

    fn binary(&mut self, node: &BinaryNode, a: Type, b: Type) -> Walked {
        if node.percent && self.percent_added(node, &a, &b) {
            return Ok(Type::Unsure);
        }
        let step = match node.op {
            BinaryOp::Add | BinaryOp::Subtract => self.sum(&a, &b),
            BinaryOp::Power => self.raised(node, &a, &b),
            op @ (BinaryOp::Multiply | BinaryOp::Of | BinaryOp::Divide) => self.times(op, &a, &b),
            BinaryOp::And | BinaryOp::Or => Step::Wrong,
        };
        Ok(match step {
            Step::Gives(ty) => ty,
            Step::Wrong => {
                self.tell_pair(Pair::Operation(node.op), (&a, &node.left), (&b, &node.right));
                Type::Unsure
            }
            Step::Waits => {
                let result = self.result_of(node.op, &a, &b);
                let what = match node.op {
                    BinaryOp::Power => What::Power(a, result.clone()),
                    op => What::Times(op, a, b, result.clone()),
                };
                let (left, right) = (node.left.span, node.right.span);
                self.ask(Need { what, span: left.to(right), left, right, call: None });
                result
            }
        })
    }

    fn compare(&mut self, link: &Link, left: (&Type, &Node), right: &Type) -> Truth<Self> {
        let fits = match link.op {
            CompareOp::Is | CompareOp::IsNot => self.same_kind(left.0, right),
            CompareOp::Less | CompareOp::AtMost | CompareOp::More | CompareOp::AtLeast => {
                self.ordered(left.0, right)
            }
        };
        if !fits {
            self.tell_pair(Pair::Comparison, left, (right, &link.operand));
        }
        Ok((Type::YesNo, None))
    }

    fn truth(&mut self, ty: Type, node: &Node) -> Truth<Self> {
        if self.store.unify(&ty, &Type::YesNo).is_err() {
            self.tell_wanted(Want::YES_NO, &ty, node);
        }
        Ok((Type::YesNo, None))
    }

    fn either(&mut self, ways: [Walked; 2], parts: &(Node, Node, Node), span: Span) -> Walked {
        let [Ok(a), Ok(b)] = ways;
        let result = self.store.fresh();
        let what = What::Either(a, b, result.clone());
        self.ask(Need { what, span, left: parts.1.span, right: parts.2.span, call: None });
        Ok(result)
    }

    fn items(&mut self, source: Type, node: &Node) -> Result<Vec<Type>, Infallible> {
        Ok(vec![self.item(&source, node, Want::LOOP)])
    }

    fn list(&mut self, items: Vec<Type>, _span: Span) -> Walked {
        Ok(self.list_of(items))
    }

    fn caution(&mut self, words: Type, node: &Node, _span: Span) -> Result<(), Infallible> {
        self.must_be_text(&words, node);
        Ok(())
    }

    fn rule(&mut self, _call: &CallNode, _span: Span) -> Result<Option<Rc<RuleCode>>, Infallible> {
        Ok(None)
    }

    fn signature(&mut self, call: &CallNode, args: Vec<Type>, span: Span) -> Walked {
        Ok(self.call(call, &args, span))
    }
}

impl From<Dim> for Dims {
    fn from(dim: Dim) -> Dims {
        Dims::Known(dim)
    }
}

/// The kind of a value known when compiled.
pub(crate) fn constant(value: &Value) -> Type {
    match value {
        Value::Measure(quantity) => {
            let count = quantity.reading == Reading::Plain && quantity.whole_count().is_some_and(|n| n >= 0);
            Type::Quant(quantity.dim.into(), if count { Shape::Count } else { Shape::One })
        }
        Value::Slack(slack) => Type::Quant(slack.dim().into(), Shape::One),
        Value::Size(_) | Value::SlackSize(_) => Type::SIZE,
        Value::Text(_) => Type::Text,
        Value::Shape(_) => Type::Outline,
        Value::YesNo(true) | Value::NotSure(_) => Type::YesNo,
        Value::YesNo(false) => Type::No,
        Value::List(_) | Value::Record(_) | Value::Unset | Value::Failed => Type::Unsure,
    }
}

/// A fixed exponent.
fn exponent(node: &Node) -> Option<Exact> {
    match &node.code {
        Code::Const(Value::Measure(quantity)) if quantity.dim == Dim::NONE => {
            quantity.number.exact().cloned()
        }
        Code::Apply(Op::Minus, inner) => exponent(inner.first()?).map(|exact| -exact),
        Code::Binary(binary) if binary.op == BinaryOp::Divide => {
            exponent(&binary.left)?.checked_div(&exponent(&binary.right)?)
        }
        _ => None,
    }
}
