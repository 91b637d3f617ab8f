//! The kind of every expression.

use std::rc::Rc;

use crate::check::Infer;
use crate::check::Known;
use crate::check::dims::Dims;
use crate::check::needs::{Need, What};
use crate::check::operate::{Quant, Step};
use crate::check::types::{Shape, Type};
use crate::check::words;
use crate::code::node::{BinaryNode, Code, Link, Node, Piece};
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::{Dim, Exact, Manner, Reading};
use crate::syntax::tree::{BinaryOp, CompareOp, UnaryOp};
use crate::value::data::Value;

impl Infer<'_> {
    /// The kind of an expression; its mistakes are told.
    pub(crate) fn expr(&mut self, node: &Node) -> Type {
        self.depth += 1;
        let ty = if self.depth.is_multiple_of(32) {
            stacker::maybe_grow(256 << 10, 4 << 20, || self.kind_of(node))
        } else {
            self.kind_of(node)
        };
        self.depth -= 1;
        ty
    }

    fn kind_of(&mut self, node: &Node) -> Type {
        match &node.code {
            Code::Const(value) => constant(value),
            Code::Local(slot) => self.local(*slot),
            Code::Global(slot) => self.global(*slot),
            Code::Setting(_) => Type::LENGTH,
            Code::That | Code::Broken => Type::Unsure,
            Code::Text(pieces) => {
                self.pieces(pieces);
                Type::Text
            }
            Code::List(items) => self.list(items),
            Code::Record(names, values) => {
                let parts = names.iter().zip(values).map(|(name, value)| (name.clone(), self.expr(value)));
                Type::record(parts.collect())
            }
            Code::Block(names, value) => {
                for (slot, inner) in names {
                    let ty = self.expr(inner);
                    self.set_local(*slot, ty, Some(inner.span));
                }
                self.expr(value)
            }
            Code::Unary(UnaryOp::Minus, inner) => self.minus(inner, node.span),
            Code::Unary(UnaryOp::Not, inner) => {
                self.condition(inner);
                Type::YesNo
            }
            Code::Binary(binary) => self.binary(binary),
            Code::Compare(first, links) => self.compare(first, links),
            Code::Size(pair) => {
                self.wants(&pair.0, "a length", &Dims::LENGTH);
                self.wants(&pair.1, "a length", &Dims::LENGTH);
                Type::SIZE
            }
            Code::Round(_, pair) => self.round(pair, node.span),
            Code::ShownInUnit(inner, unit) => {
                let ty = self.expr(inner);
                self.shown(ty, inner, unit.dim().into())
            }
            Code::ShownInStep(pair) => self.shown_in_step(pair),
            Code::WithUnit(inner, unit) => self.with_unit(inner, unit.dim()),
            Code::Call(call) => self.call(call, node.span),
            Code::Builtin(builtin, args) => self.builtin(*builtin, args, node.span),
            Code::Part(of, name, span) => {
                let ty = self.expr(of);
                let result = self.store.fresh();
                let what = What::Part(ty, name.clone(), result.clone());
                self.ask(Need { what, span: node.span, left: of.span, right: *span, call: None });
                result
            }
            Code::Index(pair) => self.index(pair),
            Code::If(parts) => {
                self.condition(&parts.0);
                let (a, b) = (self.expr(&parts.1), self.expr(&parts.2));
                self.either_way(a, b, node.span, parts.1.span, parts.2.span)
            }
            Code::Each(each) => self.each(each),
            Code::Range(range) => Type::List(Rc::new(self.range(range))),
            Code::HowMany(pair) => self.how_many(pair, node.span),
            Code::Slack(slack) => self.slack(&slack.middle, &slack.amount),
            Code::Separate(separate) => self.separate(&separate.count, &separate.each),
            Code::Once(slot, inner) => {
                let ty = self.expr(inner);
                self.set_local(*slot, ty.clone(), None);
                ty
            }
        }
    }

    fn shown_in_step(&mut self, pair: &(Node, Node)) -> Type {
        let ty = self.expr(&pair.0);
        let step = self.expr(&pair.1);
        match self.one(&step, &pair.1, "a unit or a step such as `1/16 in`") {
            Some(dims) => self.shown(ty, &pair.0, dims),
            None => ty,
        }
    }

    fn with_unit(&mut self, inner: &Node, dim: Dim) -> Type {
        let ty = self.expr(inner);
        if !self.fits(&ty, &Dims::NONE) {
            let fault = words::wanted(self, "a bare number before its unit", &ty, inner);
            self.tell(fault.hint("the brackets already hold a unit: leave this one out"));
        }
        Type::Quant(dim.into(), Shape::One)
    }

    /// `12 separate seams of 1/4 in ± 1/32 in`.
    fn separate(&mut self, count: &Node, each: &Node) -> Type {
        self.whole(count, "a count of separate things");
        let ty = self.expr(each);
        match self.quant(&ty) {
            Quant::Is(dims, Shape::Count) => Type::Quant(dims, Shape::One),
            Quant::Is(dims, shape) => Type::Quant(dims, shape),
            Quant::Unsure => Type::Unsure,
            Quant::Not => {
                let fault = words::wanted(self, "a measure", &ty, each);
                self.tell(fault);
                Type::Unsure
            }
        }
    }

    /// `8 in ± 1/32 in`: both of one dimension.
    fn slack(&mut self, middle: &Node, amount: &Node) -> Type {
        let (ty, off) = (self.expr(middle), self.expr(amount));
        let (before, behind) = ("a measure before `±`", "a measure behind `±`");
        let (Some(d), Some(e)) = (self.one(&ty, middle, before), self.one(&off, amount, behind)) else {
            return Type::Unsure;
        };
        let plain = match &amount.code {
            Code::Const(Value::Measure(x)) => x.reading == Reading::Plain,
            _ => false,
        };
        let bare = e.known() == Some(Dim::NONE);
        // A percentage is one of the measure before it.
        if (!bare || plain) && self.store.dims.unify(&d, &e).is_err() {
            let (a, b) = (words::name(self, &ty), words::name(self, &off));
            let span = middle.span.to(amount.span);
            let fault = Fault::new(FaultCode::UnitMix, span, format!("{a} cannot be off by {b}"));
            let fault = words::both(self, fault, (&ty, middle), (&off, amount));
            self.tell(fault.hint(match bare {
                true => "give the number behind `±` its unit, such as `± 1/32 in`, or write a percentage",
                false => "both sides of `±` are of one kind",
            }));
        }
        Type::Quant(d, Shape::One)
    }

    fn local(&self, slot: u32) -> Type {
        self.locals.get(slot as usize).map_or(Type::Unsure, |(ty, _)| ty.clone())
    }

    pub(crate) fn set_local(&mut self, slot: u32, ty: Type, span: Option<Span>) {
        let slot = slot as usize;
        if slot >= self.locals.len() {
            self.locals.resize(slot + 1, (Type::Unsure, None));
        }
        if let Some(place) = self.locals.get_mut(slot) {
            *place = (ty, span);
        }
    }

    /// The kind of a name; one whose line comes later is looked at first.
    fn global(&mut self, slot: u32) -> Type {
        let at = slot as usize;
        match self.globals.get(at) {
            Some(Known::Told(ty)) => ty.clone(),
            Some(Known::Waiting) => {
                self.lines.look_at(slot, self);
                match self.globals.get(at) {
                    Some(Known::Told(ty)) => ty.clone(),
                    _ => Type::Unsure,
                }
            }
            _ => Type::Unsure,
        }
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
        if self.store.unify(&ty, &Type::YesNo).is_err() {
            let fault = words::wanted(self, "a yes or no", &ty, node);
            self.tell(fault);
        }
    }

    /// One measure of a dimension that is wanted.
    pub(crate) fn wants(&mut self, node: &Node, what: &str, dims: &Dims) -> Type {
        let ty = self.expr(node);
        if !self.fits(&ty, dims) {
            let fault = words::wanted(self, what, &ty, node);
            self.tell(fault);
        }
        ty
    }

    /// The dimension of one measure; `None` where it is none, which is told, or cannot be told.
    pub(crate) fn one(&mut self, ty: &Type, node: &Node, what: &str) -> Option<Dims> {
        match self.quant(ty) {
            Quant::Is(dims, shape) if self.store.unify_shapes(shape, Shape::One).is_ok() => Some(dims),
            Quant::Unsure => None,
            _ => {
                let fault = words::wanted(self, what, ty, node);
                self.tell(fault);
                None
            }
        }
    }

    fn minus(&mut self, inner: &Node, span: Span) -> Type {
        let ty = self.expr(inner);
        match self.quant(&ty) {
            Quant::Is(dims, shape) => Type::Quant(dims, shape),
            Quant::Unsure => Type::Unsure,
            Quant::Not => {
                let name = words::name(self, &ty);
                self.tell(Fault::new(FaultCode::UnitMix, span, format!("`-` does not go before {name}")));
                Type::Unsure
            }
        }
    }

    fn binary(&mut self, node: &BinaryNode) -> Type {
        if matches!(node.op, BinaryOp::And | BinaryOp::Or) {
            self.condition(&node.left);
            self.condition(&node.right);
            return Type::YesNo;
        }
        let (a, b) = (self.expr(&node.left), self.expr(&node.right));
        if node.percent && self.percent_added(node, &a, &b) {
            return Type::Unsure;
        }
        let step = match node.op {
            BinaryOp::Add | BinaryOp::Subtract => self.sum(&a, &b),
            BinaryOp::Power => self.raised(node, &a, &b),
            op => self.times(op, &a, &b),
        };
        match step {
            Step::Gives(ty) => ty,
            Step::Wrong => {
                let fault = words::two(self, node.op, (&a, &node.left), (&b, &node.right));
                self.tell(fault);
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
        if !wrong {
            return false;
        }
        let (name, percent) = (words::name(self, a), percent.show(&Manner::default()));
        let (message, factor) = match node.op {
            BinaryOp::Subtract => {
                (format!("{percent} cannot be taken from {name}"), format!("(100% - {percent})"))
            }
            _ => (format!("{percent} cannot be added to {name}"), format!("(100% + {percent})")),
        };
        let fault = Fault::new(FaultCode::UnitMix, node.left.span.to(node.right.span), message);
        let fault = words::both(self, fault, (a, &node.left), (b, &node.right));
        self.tell(fault.hint(format!("a percentage of it is meant? write `* {factor}`")));
        true
    }

    /// A power: a fixed exponent says what comes out.
    fn raised(&mut self, node: &BinaryNode, a: &Type, b: &Type) -> Step {
        if !self.fits(b, &Dims::NONE) {
            return Step::Wrong;
        }
        match exponent(&node.right) {
            Some(exact) if exact.is_whole() => {
                match exact.to_i64().and_then(|n| i32::try_from(n).ok()).filter(|n| n.abs() <= 100) {
                    Some(whole) => self.power(a, Some(whole)),
                    None => Step::Gives(Type::Unsure),
                }
            }
            Some(exact) if &exact + &exact == Exact::ONE => self.power(a, None),
            Some(_) => Step::Gives(Type::Unsure),
            None => {
                let step = self.open_power(a);
                if let (Step::Gives(Type::Unsure), Quant::Is(..)) = (&step, self.quant(a)) {
                    let message = "what this power measures cannot be told before it is worked";
                    let fault = Fault::advice(FaultCode::Advice, node.left.span.to(node.right.span), message);
                    self.tell(fault.other(node.right.span, "this is not a fixed number"));
                }
                step
            }
        }
    }

    fn compare(&mut self, first: &Node, links: &[Link]) -> Type {
        let mut left = self.expr(first);
        let mut left_node = first;
        for link in links {
            let right = self.expr(&link.operand);
            let fits = match link.op {
                CompareOp::Is | CompareOp::IsNot => self.same_kind(&left, &right),
                CompareOp::Less | CompareOp::AtMost | CompareOp::More | CompareOp::AtLeast => {
                    self.ordered(&left, &right)
                }
            };
            if !fits {
                let fault = words::comparison(self, (&left, left_node), (&right, &link.operand));
                self.tell(fault);
            }
            left = right;
            left_node = &link.operand;
        }
        Type::YesNo
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
    /// stands inside lists and records decides itself only when it is worked.
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

    fn round(&mut self, pair: &(Node, Node), span: Span) -> Type {
        let ty = self.expr(&pair.0);
        let step = self.expr(&pair.1);
        let Some(dims) = self.one(&step, &pair.1, "a step such as `1/8 in`") else { return ty };
        match self.quant(&ty) {
            Quant::Is(d, shape) => {
                if self.store.dims.unify(&d, &dims).is_err() {
                    let (a, b) = (words::name(self, &ty), words::name(self, &step));
                    let message = format!("{a} cannot be rounded to a step that is {b}");
                    let fault = Fault::new(FaultCode::UnitMix, span, message);
                    let fault = words::both(self, fault, (&ty, &pair.0), (&step, &pair.1));
                    self.tell(fault);
                }
                Type::Quant(d, if shape == Shape::Count { Shape::One } else { shape })
            }
            Quant::Unsure => Type::Unsure,
            Quant::Not => {
                let fault = words::wanted(self, "a measure", &ty, &pair.0);
                self.tell(fault);
                Type::Unsure
            }
        }
    }

    fn shown(&mut self, ty: Type, inner: &Node, wanted: Dims) -> Type {
        match self.quant(&ty) {
            Quant::Is(d, shape) => {
                if self.store.dims.unify(&d, &wanted).is_err() {
                    let made = words::described(self, &ty, inner);
                    let wanted = words::name(self, &Type::Quant(wanted, Shape::One));
                    let message = format!("{made}, cannot be shown as {wanted}");
                    self.tell(Fault::new(FaultCode::UnitMix, inner.span, message));
                }
                Type::Quant(d, shape)
            }
            Quant::Unsure => Type::Unsure,
            Quant::Not => {
                let fault = words::wanted(self, "a measure", &ty, inner);
                self.tell(fault);
                Type::Unsure
            }
        }
    }

    pub(crate) fn either_way(&mut self, a: Type, b: Type, span: Span, left: Span, right: Span) -> Type {
        let result = self.store.fresh();
        let what = What::Either(a, b, result.clone());
        self.ask(Need { what, span, left, right, call: None });
        result
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
        Code::Unary(UnaryOp::Minus, inner) => exponent(inner).map(|exact| &Exact::ZERO - &exact),
        Code::Binary(binary) if binary.op == BinaryOp::Divide => {
            exponent(&binary.left)?.checked_div(&exponent(&binary.right)?)
        }
        _ => None,
    }
}
