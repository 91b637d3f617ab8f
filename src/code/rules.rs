//! Rules compiled: their headings, with kinds and limits, and their formulas.

use std::rc::Rc;

use crate::code::compile::Compiler;
use crate::code::node::{ParamCode, RuleCode};
use crate::code::scope::Scope;
use crate::fault::{Code as FaultCode, Fault, closest};
use crate::measure::{Dim, Exact};
use crate::syntax::tree::{self, Expr, ExprKind, Ident, Limit, UnaryOp};
use crate::value::{Bound, Guard, KINDS, Kind};

impl Compiler<'_> {
    /// Compiles a rule's formula, and those of the library's rules that it calls for the first time.
    pub fn rule(&mut self, id: u32) {
        self.pending.push(id);
        self.pending();
    }

    /// Compiles the library's rules that were called for the first time.
    pub fn pending(&mut self) {
        while let Some(id) = self.pending.pop() {
            self.one_rule(id);
        }
    }

    fn one_rule(&mut self, id: u32) {
        let Some(entry) = self.names.rules.get(id as usize) else { return };
        let (tree, library) = (entry.tree.clone(), entry.library);
        let mut scope = Scope::rule(library);
        // Parameters take the first slots; a default sees only the parameters before its own.
        let slots: Vec<u32> = tree.params.iter().map(|_| scope.fresh()).collect();
        let mut params = Vec::with_capacity(tree.params.len());
        for (param, slot) in tree.params.iter().zip(slots) {
            if let Some((_, first)) = scope.find(&param.name.name) {
                let message = format!("`{}` has two parameters called `{}`", tree.name.name, param.name.name);
                let fault = Fault::new(FaultCode::NameTwice, param.name.span, message);
                self.faults.push(fault.other(first, "it is named here first"));
            }
            let default = param.default.as_ref().map(|default| self.expr(default, &mut scope));
            scope.place(&param.name.name, slot, param.name.span);
            let (kind, guard) = self.guarded(param);
            let (name, span) = (param.name.name.clone(), param.name.span);
            params.push(ParamCode { name, kind, guard, default, span });
        }
        let body = self.expr(&tree.body, &mut scope);
        let gives = self.kind(tree.gives.as_ref());
        if let Some(drawn) = &tree.drawn
            && self.rule_named(drawn, library).is_none()
        {
            let message = format!("there is no rule called `{}`", drawn.name);
            let fault = Fault::new(FaultCode::UnknownName, drawn.span, message);
            self.faults
                .push(fault.hint("after `drawn` write the name of a rule that takes the result first"));
        }
        let code = RuleCode {
            name: tree.name.name.clone(),
            params,
            gives,
            library,
            unsigned: library && !tree.signed && gives.is_amount(),
            doubtful: !library && !tree.signed && gives.is_amount(),
            body,
            slots: scope.slots(),
            nesting: scope.deepest,
            heading: tree.heading,
        };
        if let Some(entry) = self.names.rules.get_mut(id as usize) {
            entry.code = Some(Rc::new(code));
            entry.mentions = scope.mentions;
        }
    }

    /// The kind of a parameter, and its limits.
    fn guarded(&mut self, param: &tree::Param) -> (Kind, Guard) {
        let written = &param.guard;
        let mut kind = self.kind(param.kind.as_ref());
        if let Some(per) = &written.per {
            let other = self.kind(Some(per));
            kind = kind.per(other).unwrap_or_else(|| {
                let message = "write money or a measure before `per`, and a measure of another kind after it";
                let fault = Fault::new(FaultCode::WrongKind, per.span, message);
                self.faults.push(fault.hint("for example `price: money per length`"));
                kind
            });
        }
        let mut guard = Guard { or_no: written.or_no, ..Guard::default() };
        let low = written.limits.iter().any(|(limit, _)| matches!(limit, Limit::From | Limit::Above));
        if kind.is_amount() && !written.signed && !low {
            guard = Guard { or_no: written.or_no, ..Guard::not_negative() };
        }
        for (limit, expr) in &written.limits {
            match self.limit(kind, expr) {
                Some(at) => guard.limits.push(Bound {
                    limit: *limit,
                    at,
                    words: self.files.one_row(expr.span).into(),
                }),
                None => {
                    let message =
                        format!("a limit of `{}` must be {}, or 0", param.name.name, kind.trade_name());
                    self.faults.push(Fault::new(FaultCode::UnitMix, expr.span, message));
                }
            }
        }
        (kind, guard)
    }

    /// A limit in base units, where it goes with its kind.
    fn limit(&self, kind: Kind, expr: &Expr) -> Option<Exact> {
        let (at, sign) = match &expr.kind {
            ExprKind::Unary(UnaryOp::Minus, inner) => (&**inner, -Exact::ONE),
            _ => (expr, Exact::ONE),
        };
        let ExprKind::Measure(at) = &at.kind else { return None };
        let fits = kind.measures(at.dim) || kind == Kind::Size && at.dim == Dim::LENGTH;
        let bare = at.is_zero() && at.dim == Dim::NONE;
        at.number.exact().filter(|_| fits || bare).map(|exact| exact * &sign)
    }

    fn kind(&mut self, written: Option<&Ident>) -> Kind {
        let Some(written) = written else { return Kind::Any };
        Kind::find(&written.name).unwrap_or_else(|| {
            let known = KINDS.iter().map(|(name, _)| *name);
            let message = format!("there is no kind of value called `{}`", written.name);
            let fault = Fault::new(FaultCode::UnknownName, written.span, message)
                .did_you_mean(closest(&written.name, known.clone()))
                .hint(format!("the kinds are {}", known.collect::<Vec<_>>().join(", ")));
            self.faults.push(fault);
            Kind::Any
        })
    }
}
