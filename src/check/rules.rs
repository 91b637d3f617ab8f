//! Rules, each looked at once by itself, and their calls.

use std::collections::BTreeSet;
use std::rc::Rc;

use crate::check::dims::Dims;
use crate::check::needs::{Need, What};
use crate::check::operate::Quant;
use crate::check::scheme::{Copier, Scheme};
use crate::check::types::{Parts, Shape, Type};
use crate::check::{Infer, words};
use crate::code::node::{CallNode, Code, Node, Op, ParamCode, RuleCode};
use crate::fault::Span;
use crate::measure::Dim;
use crate::syntax::tree::{Expr, ExprKind};
use crate::value::{At, Cause, Describe, Facts, Kind, One, Operand, Uncounted, Value};

/// How far a rule has been looked at.
#[derive(Clone, Debug)]
pub(crate) enum Stage {
    Waiting,
    /// Being looked at: its arguments and its value are the same at each call of itself.
    Busy {
        params: Rc<[Type]>,
        result: Type,
    },
    Inferred(Rc<Scheme>),
}

impl Infer<'_> {
    /// What a rule asks and gives, by itself.
    pub(crate) fn scheme(&mut self, id: u32) -> Option<Rc<Scheme>> {
        match self.rules.get(id as usize)? {
            Stage::Inferred(scheme) => return Some(scheme.clone()),
            Stage::Busy { .. } => return None,
            Stage::Waiting => {}
        }
        let code = self.code(id)?;
        let library = self.names.rules.get(id as usize).is_some_and(|entry| entry.library && !self.all);
        let scheme = match library.then(|| stated(&code)).flatten() {
            Some(scheme) => scheme,
            None => stacker::maybe_grow(256 << 10, 4 << 20, || self.look(id, &code, library)),
        };
        if self.store.dims.take_unsettled() {
            self.tell(words::unsettled(&code.name, code.heading));
        }
        let scheme = Rc::new(scheme);
        if let Some(place) = self.rules.get_mut(id as usize) {
            *place = Stage::Inferred(scheme.clone());
        }
        Some(scheme)
    }

    /// Looks at a rule's defaults and its formula.
    fn look(&mut self, id: u32, code: &RuleCode, library: bool) -> Scheme {
        let outer = std::mem::take(&mut self.locals);
        let outer_needs = std::mem::take(&mut self.needs);
        self.quiet = self.quiet.saturating_add(u32::from(library));
        let generic = code.params.iter().any(|param| param.kind == Kind::Any);
        let tree = self.names.rules.get(id as usize).filter(|_| generic).map(|entry| entry.tree.clone());
        let asked = tree.map(|tree| asked_for_no(&tree.body)).unwrap_or_default();
        let params: Vec<Type> = code.params.iter().map(|param| self.param(param, &asked)).collect();
        let result = self.stated_kind(code.gives, code.body.span);
        if let Some(place) = self.rules.get_mut(id as usize) {
            *place = Stage::Busy { params: params.as_slice().into(), result: result.clone() };
        }
        for (param, ty) in code.params.iter().zip(&params) {
            self.locals.push((ty.clone(), Some(param.span)));
        }
        let mut defaults = Vec::with_capacity(code.params.len());
        for (slot, param) in code.params.iter().enumerate() {
            let default = param.default.as_ref().map(|node| {
                let ty = self.expr(node);
                if param.kind != Kind::Any {
                    self.argument(code, slot, param.kind, &ty, node);
                }
                ty
            });
            defaults.push(default);
        }
        let body = self.expr(&code.body);
        self.settle(0);
        let given = self.stated_or_made(code, &body, &result);
        self.settle(0);
        let mut copier = Copier::new(&self.store);
        let scheme = Scheme::of(&mut copier, &params, &defaults, &given, &self.needs);
        self.quiet = self.quiet.saturating_sub(u32::from(library));
        self.locals = outer;
        self.needs = outer_needs;
        scheme
    }

    /// What a parameter is as far as its heading tells; one that is asked whether it `is no` may be.
    fn param(&mut self, param: &ParamCode, asked: &BTreeSet<Rc<str>>) -> Type {
        match param.kind {
            Kind::Any if asked.contains(&param.name) => Type::Maybe(Rc::new(self.store.fresh())),
            kind if param.guard.or_no => Type::Maybe(Rc::new(self.stated_kind(kind, param.span))),
            kind => self.stated_kind(kind, param.span),
        }
    }

    fn stated_kind(&mut self, kind: Kind, span: Span) -> Type {
        match kind {
            Kind::Money | Kind::Price(_) => {
                let ty = Type::Quant(self.store.fresh_dims(), Shape::One);
                let what = What::Money(ty.clone(), kind);
                self.ask(Need { what, span, left: span, right: span, call: None });
                ty
            }
            Kind::List => Type::List(Rc::new(self.store.fresh())),
            kind => plain(kind).unwrap_or_else(|| self.store.fresh()),
        }
    }

    /// The formula's kind against what the heading says.
    fn stated_or_made(&mut self, code: &RuleCode, body: &Type, result: &Type) -> Type {
        let fits = match code.gives {
            Kind::Any => {
                // A rule that calls itself with another dimension each time cannot be told.
                return match self.store.unify(result, body) {
                    Ok(()) => body.clone(),
                    Err(_) => Type::Unsure,
                };
            }
            kind => self.is_kind(kind, body),
        };
        if !fits {
            let one = One::Result(code.name.clone(), code.gives);
            let cause = Cause::one(one, &self.seen(body, &code.body));
            self.tell(cause);
            return result.clone();
        }
        if plain(code.gives).is_some() {
            return result.clone();
        }
        let _ = self.store.unify(result, body);
        body.clone()
    }

    /// Whether a kind is one that a heading states; what is not known becomes it.
    fn is_kind(&mut self, kind: Kind, ty: &Type) -> bool {
        let ty = match self.store.shallow(ty) {
            Type::Unsure | Type::Never | Type::Mixed(_) => return true,
            Type::Maybe(inner) if kind != Kind::YesNo => return self.is_kind(kind, &inner),
            ty => ty,
        };
        match kind {
            Kind::Any => true,
            Kind::Measure(dim) => self.fits(&ty, &dim.into()),
            Kind::Percent | Kind::Count => self.fits(&ty, &Dims::NONE),
            Kind::Money | Kind::Price(_) => match self.quant(&ty) {
                Quant::Is(dims, shape) => {
                    shape != Shape::Size && dims.known().is_none_or(|dim| kind.measures(dim))
                }
                Quant::Unsure => true,
                Quant::Not => false,
            },
            Kind::Size | Kind::Text | Kind::YesNo => {
                plain(kind).is_some_and(|plain| self.store.unify(&ty, &plain).is_ok())
            }
            Kind::Shape => self.is_shape(&ty),
            Kind::List => {
                let list = Type::List(Rc::new(self.store.fresh()));
                self.store.unify(&ty, &list).is_ok()
            }
            Kind::Record => {
                let any = Type::Record(Rc::new(Parts { parts: Vec::new(), more: true }));
                matches!(ty, Type::Var(_)) || self.store.unify(&ty, &any).is_ok()
            }
        }
    }

    /// Whether a kind is a shape or a size.
    pub(crate) fn is_shape(&mut self, ty: &Type) -> bool {
        match self.store.shallow(ty) {
            Type::Unsure | Type::Never | Type::Mixed(_) | Type::Var(_) | Type::Outline => true,
            Type::Maybe(inner) => self.is_shape(&inner),
            ty => self.store.unify(&ty, &Type::SIZE).is_ok(),
        }
    }

    /// An argument against a parameter whose heading states its kind.
    fn argument(&mut self, code: &RuleCode, slot: usize, kind: Kind, ty: &Type, node: &Node) -> bool {
        let counted = kind != Kind::Count || !never_a_count(node);
        if counted && self.is_kind(kind, ty) {
            return self.in_percent(code, slot, node) && self.within_limits(code, slot, node);
        }
        let or_no = code.params.get(slot).is_some_and(|param| param.guard.or_no);
        if or_no && matches!(self.store.shallow(ty), Type::No) {
            return true;
        }
        let Some(param) = code.params.get(slot) else { return false };
        let cause = Cause::one(param.of_another_kind(&code.name), &self.seen(ty, node));
        self.tell(cause);
        false
    }

    /// Whether what is written for a percentage is one; what is calculated passes.
    fn in_percent(&mut self, code: &RuleCode, slot: usize, node: &Node) -> bool {
        let Some(param) = code.params.get(slot).filter(|param| param.kind == Kind::Percent) else {
            return true;
        };
        let written = match &node.code {
            Code::Global(slot) => self.lines.written(*slot),
            _ => Some(node),
        };
        let Some(Code::Const(value)) = written.map(|node| &node.code) else { return true };
        let Some(instead) = value.bare_percent() else { return true };
        let place = format!("`{}` in `{}`", param.name, code.name);
        let found = Operand::new(value, node.span).facts();
        self.tell(Cause::One(One::BarePercent { place, instead }, found));
        false
    }

    /// Whether a value as written lies within the limits of its parameter; any other may.
    fn within_limits(&mut self, code: &RuleCode, slot: usize, node: &Node) -> bool {
        let written = match &node.code {
            Code::Const(value) => Some(value.clone()),
            Code::Apply(Op::Minus, inner) => match inner.first().map(|node| &node.code) {
                Some(Code::Const(Value::Measure(x))) => Some(Value::Measure(x.neg())),
                _ => None,
            },
            _ => None,
        };
        let Some((param, value)) = code.params.get(slot).zip(written) else { return true };
        let Some(bound) = param.refused_by(&value) else { return true };
        let found = Operand::new(&value, node.span).facts();
        self.tell(Cause::One(param.beyond(&code.name, bound), found));
        false
    }

    /// A whole number, 0 or more.
    pub(crate) fn count(&mut self, ty: &Type, node: &Node, what: &str) {
        if !self.fits(ty, &Dims::NONE) {
            return self.tell_wanted("a count", ty, node);
        }
        if !never_a_count(node) {
            return;
        }
        let (why, number) = match &node.code {
            Code::Const(value @ Value::Measure(x)) => (Uncounted::of(x), value.short()),
            _ => (Uncounted::Below, self.files.text(node.span).to_owned()),
        };
        self.tell(Cause::At(At::Count(what.to_owned(), why, number), node.span));
    }

    /// A call: what the rule asks is asked of these arguments.
    pub(crate) fn call(&mut self, call: &CallNode, kinds: &[Type], span: Span) -> Type {
        let Some(code) = self.code(call.rule) else { return Type::Unsure };
        let Some(scheme) = self.scheme(call.rule) else { return self.call_of_itself(call, &code, kinds) };
        let (params, defaults, result, needs) = scheme.instantiate(&mut self.store);
        let mut sound = true;
        let mut taken = vec![false; params.len()];
        for ((slot, arg), ty) in call.args.iter().zip(kinds) {
            let slot = *slot as usize;
            let (Some(param), Some(want)) = (code.params.get(slot), params.get(slot)) else { continue };
            if let Some(place) = taken.get_mut(slot) {
                *place = true;
            }
            if param.kind != Kind::Any && !self.argument(&code, slot, param.kind, ty, arg) {
                sound = false;
                continue;
            }
            if self.store.unify(want, ty).is_err() {
                sound = false;
                self.unfit(&code, param, want, ty, arg);
            }
        }
        for ((want, default), taken) in params.iter().zip(defaults.iter()).zip(taken) {
            if let (false, Some(default)) = (taken, default)
                && self.store.unify(want, default).is_err()
            {
                sound = false;
                let message =
                    format!("`{}` cannot be calculated with the default values in its heading", code.name);
                self.tell(words::kind(span, message).other(code.heading, "its heading"));
            }
        }
        if !sound {
            return if scheme.closed { result } else { Type::Unsure };
        }
        for mut need in needs {
            need.call.get_or_insert_with(|| (code.name.clone(), span)).1 = span;
            self.ask(need);
        }
        result
    }

    /// An argument that a generic rule's formula cannot take.
    fn unfit(&mut self, code: &RuleCode, param: &ParamCode, want: &Type, ty: &Type, arg: &Node) {
        let wanted = self.kind_name(want);
        let Facts { name: made, words: described, .. } = self.seen(ty, arg).facts();
        let (name, rule) = (&param.name, &code.name);
        let measured = !matches!(self.quant(ty), Quant::Not);
        let message = match wanted.as_str() {
            "a measure" | "a value" if measured => {
                format!("`{name}` in `{rule}` cannot be {made}: the rule cannot use {made} here")
            }
            wanted => format!("`{name}` in `{rule}` must be {wanted} here, and this is {described}"),
        };
        let fault = words::kind(arg.span, message).other(param.span, "this is how the rule uses it");
        self.tell(fault);
    }

    /// A rule that calls itself: its arguments are those of the call that is being looked at.
    fn call_of_itself(&mut self, call: &CallNode, code: &RuleCode, kinds: &[Type]) -> Type {
        let Some(Stage::Busy { params, result }) = self.rules.get(call.rule as usize).cloned() else {
            return Type::Unsure;
        };
        let mut same = true;
        for ((slot, arg), ty) in call.args.iter().zip(kinds) {
            let slot = *slot as usize;
            let (Some(param), Some(want)) = (code.params.get(slot), params.get(slot)) else { continue };
            if param.kind != Kind::Any {
                self.argument(code, slot, param.kind, ty, arg);
            } else {
                same &= self.store.unify(want, ty).is_ok();
            }
        }
        if same || plain(code.gives).is_some() { result } else { Type::Unsure }
    }
}

/// A number as written that is no count: a fraction, or below 0.
pub(crate) fn never_a_count(node: &Node) -> bool {
    match &node.code {
        Code::Const(Value::Measure(x)) if x.dim == Dim::NONE => x.whole_count().is_none_or(|n| n < 0),
        Code::Apply(Op::Minus, inner) => {
            matches!(inner.first().map(|node| &node.code), Some(Code::Const(Value::Measure(x))) if !x.is_zero())
        }
        _ => false,
    }
}

/// A heading that tells all there is to know.
fn stated(code: &RuleCode) -> Option<Scheme> {
    let params = code.params.iter().map(|param| {
        let ty = plain(param.kind)?;
        Some(if param.guard.or_no { Type::Maybe(Rc::new(ty)) } else { ty })
    });
    let params = params.collect::<Option<Vec<Type>>>()?;
    Some(Scheme::closed(params, plain(code.gives)?))
}

fn plain(kind: Kind) -> Option<Type> {
    Some(match kind {
        Kind::Measure(dim) => Type::Quant(dim.into(), Shape::One),
        Kind::Percent => Type::Quant(Dim::NONE.into(), Shape::One),
        Kind::Count => Type::COUNT,
        Kind::Size => Type::SIZE,
        Kind::Text => Type::Text,
        Kind::YesNo => Type::YesNo,
        // A size is a shape too: what is not known yet stays open.
        Kind::Any | Kind::Money | Kind::Price(_) | Kind::List | Kind::Record | Kind::Shape => return None,
    })
}

/// The names that a formula compares with `no`.
fn asked_for_no(body: &Expr) -> BTreeSet<Rc<str>> {
    let mut asked = BTreeSet::new();
    let mut open = vec![body];
    while let Some(expr) = open.pop() {
        if let ExprKind::Compare(first, links) = &expr.kind {
            let sides = || std::iter::once(&**first).chain(links.iter().map(|link| &link.operand));
            if sides().any(|side| matches!(side.kind, ExprKind::YesNo(false))) {
                asked.extend(sides().filter_map(|side| match &side.kind {
                    ExprKind::Name(name) => Some(name.clone()),
                    _ => None,
                }));
            }
        }
        expr.children(&mut |child| open.push(child));
    }
    asked
}
