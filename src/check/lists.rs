//! What operations make of the kinds of their operands: readings, roundings, lists, ranges.

use std::rc::Rc;

use crate::check::Infer;
use crate::check::dims::Dims;
use crate::check::needs::{Need, What};
use crate::check::operate::Quant;
use crate::check::types::{Shape, Type};
use crate::code::node::{Code, Node, Op};
use crate::fault::{Fault, Span};
use crate::measure::{Dim, Reading};
use crate::value::{At, Cause, One, Pair, Value, Want};

/// An operand: its kind and its expression.
type Side<'a> = (&'a Type, &'a Node);

impl Infer<'_> {
    /// An operation that evaluates all its operands.
    pub(crate) fn operation(&mut self, op: &Op, nodes: &[Node], operands: Vec<Type>, span: Span) -> Type {
        match op {
            Op::List => return self.list_of(operands),
            Op::Record(names) => return Type::record(names.iter().cloned().zip(operands).collect()),
            _ => {}
        }
        let (Some(ty), Some(node)) = (operands.first(), nodes.first()) else { return Type::Unsure };
        let first = (ty, node);
        let second = operands.get(1).zip(nodes.get(1)).unwrap_or(first);
        match op {
            Op::Minus => self.minus(first, span),
            Op::Size => {
                self.must_fit(ty, node, Want::LENGTH, &Dims::LENGTH);
                self.must_fit(second.0, second.1, Want::LENGTH, &Dims::LENGTH);
                Type::SIZE
            }
            Op::Slack(_) => self.slack(first, second),
            Op::Separate(_) => {
                self.count(first.0, first.1, "a count of separate things");
                self.measure_of(second)
            }
            Op::Round(_) => self.round(first, second),
            Op::ShownInUnit(unit) => self.shown(first, unit.dim().into()),
            Op::ShownInStep => match self.one(second.0, second.1, Want::READING) {
                Some(dims) => self.shown(first, dims),
                None => ty.clone(),
            },
            Op::WithUnit(unit) => {
                self.must_fit(ty, node, Want::BEFORE_UNIT, &Dims::NONE);
                Type::Quant(unit.dim().into(), Shape::One)
            }
            Op::Part(name, place) => {
                let result = self.store.fresh();
                let what = What::Part(ty.clone(), name.clone(), result.clone());
                self.ask(Need { what, span, left: node.span, right: *place, call: None });
                result
            }
            Op::Index => {
                self.must_fit(second.0, second.1, "a count", &Dims::NONE);
                self.item_or(ty, |infer| Cause::one(One::NotAList, &infer.seen(ty, node)))
            }
            Op::HowMany => self.how_many(first, second, span),
            Op::Range { .. } => {
                let every = operands.get(2).zip(nodes.get(2));
                Type::List(Rc::new(self.range(first, second, every)))
            }
            Op::Builtin(builtin) => self.builtin(*builtin, nodes, &operands, span),
            Op::List | Op::Record(_) => Type::Unsure,
        }
    }

    /// A list of items of these kinds.
    pub(crate) fn list_of(&mut self, items: Vec<Type>) -> Type {
        let joined = items.into_iter().reduce(|before, ty| self.store.joined_items(&before, &ty));
        Type::List(Rc::new(joined.unwrap_or_else(|| self.store.fresh())))
    }

    /// The kind of a list's items.
    pub(crate) fn item<'w>(&mut self, list: &Type, node: &Node, want: impl Into<Want<'w>>) -> Type {
        self.item_or(list, |infer| Cause::wanted(want, &infer.seen(list, node)))
    }

    fn item_or(&mut self, list: &Type, wrong: impl FnOnce(&Self) -> Cause) -> Type {
        match self.store.shallow(list) {
            Type::List(item) => match &*item {
                Type::Mixed(_) => Type::Unsure,
                item => item.clone(),
            },
            Type::Maybe(inner) => self.item_or(&inner, wrong),
            Type::Unsure | Type::Never | Type::Mixed(_) => Type::Unsure,
            Type::Var(_) => {
                let item = self.store.fresh();
                let _ = self.store.unify(list, &Type::List(Rc::new(item.clone())));
                item
            }
            _ => {
                let cause = wrong(self);
                self.tell(cause);
                Type::Unsure
            }
        }
    }

    /// A measure or a size; one that was counted is one measure.
    fn measure_of(&mut self, side: Side<'_>) -> Type {
        match self.measured(side.0, |infer| Cause::wanted(Want::MEASURE, &infer.seen(side.0, side.1))) {
            Type::Quant(dims, Shape::Count) => Type::Quant(dims, Shape::One),
            made => made,
        }
    }

    /// The kind of a measure or a size; of what is none the cause is told.
    pub(crate) fn measured<C: Into<Fault>>(&mut self, ty: &Type, wrong: impl FnOnce(&Self) -> C) -> Type {
        match self.quant(ty) {
            Quant::Is(dims, shape) => Type::Quant(dims, shape),
            Quant::Unsure => Type::Unsure,
            Quant::Not => {
                let cause = wrong(self);
                self.tell(cause);
                Type::Unsure
            }
        }
    }

    fn minus(&mut self, side: Side<'_>, span: Span) -> Type {
        self.measured(side.0, |infer| Cause::one(One::Minus(span), &infer.seen(side.0, side.1)))
    }

    /// `8 in ± 1/32 in`: both of one dimension.
    fn slack(&mut self, middle: Side<'_>, amount: Side<'_>) -> Type {
        let before = self.one(middle.0, middle.1, "a measure before `±`");
        let behind = self.one(amount.0, amount.1, "a measure after `±`");
        let (Some(d), Some(e)) = (before, behind) else { return Type::Unsure };
        let plain = match &amount.1.code {
            Code::Const(Value::Measure(x)) => x.reading == Reading::Plain,
            _ => false,
        };
        let bare = e.known() == Some(Dim::NONE);
        // A percentage is one of the measure before it.
        if (!bare || plain) && self.store.dims.unify(&d, &e).is_err() {
            self.tell_pair(Pair::OffBy, middle, amount);
        }
        Type::Quant(d, Shape::One)
    }

    fn round(&mut self, value: Side<'_>, step: Side<'_>) -> Type {
        let Some(by) = self.one(step.0, step.1, Want::STEP) else { return value.0.clone() };
        let made = self.measure_of(value);
        if let Type::Quant(dims, _) = &made
            && self.store.dims.unify(dims, &by).is_err()
        {
            self.tell_pair(Pair::Step, value, step);
        }
        made
    }

    fn shown(&mut self, side: Side<'_>, wanted: Dims) -> Type {
        let made = self.measured(side.0, |infer| Cause::wanted(Want::MEASURE, &infer.seen(side.0, side.1)));
        if let Type::Quant(dims, _) = &made
            && self.store.dims.unify(dims, &wanted).is_err()
        {
            let one = One::Shown(wanted.known().unwrap_or(Dim::NONE));
            let cause = Cause::one(one, &self.seen(side.0, side.1));
            self.tell(cause);
        }
        made
    }

    /// The kind of a range's items.
    fn range(&mut self, from: Side<'_>, to: Side<'_>, every: Option<Side<'_>>) -> Type {
        let ends = self.one(from.0, from.1, Want::NUMBER).zip(self.one(to.0, to.1, Want::NUMBER));
        let Some((d, e)) = ends else { return Type::Unsure };
        if self.store.dims.unify(&d, &e).is_err() {
            self.tell_pair(Pair::Ends, from, to);
            return Type::Unsure;
        }
        match every {
            Some(every) => {
                if let Some(by) = self.one(every.0, every.1, Want::NUMBER)
                    && self.store.dims.unify(&d, &by).is_err()
                {
                    self.tell_pair(Pair::Comparison, from, every);
                }
            }
            None if self.store.dims.unify(&d, &Dims::NONE).is_err() => {
                self.tell(Cause::At(At::NoEvery, from.1.span.to(to.1.span)));
            }
            None => return Type::COUNT,
        }
        Type::Quant(d, Shape::One)
    }

    fn how_many(&mut self, piece: Side<'_>, whole: Side<'_>, span: Span) -> Type {
        let dims = self.one(piece.0, piece.1, Want::COUNTED).zip(self.one(whole.0, whole.1, Want::COUNTED));
        let left = match dims {
            Some((d, e)) => {
                if self.store.dims.unify(&d, &e).is_err() {
                    self.tell_pair(Pair::NotCutFrom(span), piece, whole);
                }
                Type::Quant(d, Shape::One)
            }
            None => Type::Unsure,
        };
        Type::record(vec![("count".into(), Type::COUNT), ("left".into(), left)])
    }
}
