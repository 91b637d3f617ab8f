//! The kinds of lists, their items, ranges and loops.

use std::rc::Rc;

use crate::check::Infer;
use crate::check::dims::Dims;
use crate::check::types::{Shape, Type};
use crate::check::words;
use crate::code::node::{Code, EachNode, Node, RangeNode};
use crate::fault::{Code as FaultCode, Fault, Span};

impl Infer<'_> {
    pub(crate) fn list(&mut self, items: &[Node]) -> Type {
        let mut joined: Option<Type> = None;
        for item in items {
            let ty = self.expr(item);
            joined = Some(match joined {
                None => ty,
                Some(before) => self.store.joined_items(&before, &ty),
            });
        }
        let item = joined.unwrap_or_else(|| self.store.fresh());
        Type::List(Rc::new(item))
    }

    pub(crate) fn index(&mut self, pair: &(Node, Node)) -> Type {
        let list = self.expr(&pair.0);
        self.wants(&pair.1, "a count", &Dims::NONE);
        self.item(&list, &pair.0, |infer| {
            let made = words::described(infer, &list, &pair.0);
            words::kind(pair.0.span, format!("only a list has items, and this is {made}"))
        })
    }

    /// The kind of a list's items.
    pub(crate) fn item(&mut self, list: &Type, _node: &Node, fault: impl FnOnce(&mut Self) -> Fault) -> Type {
        match self.store.shallow(list) {
            Type::List(item) => match &*item {
                Type::Mixed(_) => Type::Unsure,
                item => item.clone(),
            },
            Type::Maybe(inner) => self.item(&inner, _node, fault),
            Type::Unsure | Type::Never | Type::Mixed(_) => Type::Unsure,
            Type::Var(_) => {
                let item = self.store.fresh();
                let _ = self.store.unify(list, &Type::List(Rc::new(item.clone())));
                item
            }
            _ => {
                let fault = fault(self);
                self.tell(fault);
                Type::Unsure
            }
        }
    }

    pub(crate) fn each(&mut self, each: &EachNode) -> Type {
        let item = match &each.source.code {
            Code::Range(range) => self.range(range),
            _ => {
                let list = self.expr(&each.source);
                self.item(&list, &each.source, |infer| {
                    let fault = words::wanted(infer, "a list", &list, &each.source);
                    fault.hint("write `each k from 1 to n: …` for a range, or `[a, b]` for a list")
                })
            }
        };
        self.set_local(each.slot, item, Some(each.source.span));
        Type::List(Rc::new(self.expr(&each.body)))
    }

    /// The kind of a range's items.
    pub(crate) fn range(&mut self, range: &RangeNode) -> Type {
        let what = "a measure or a number";
        let (from, to) = (self.expr(&range.from), self.expr(&range.to));
        let span = range.from.span.to(range.to.span);
        let (Some(d), Some(e)) = (self.one(&from, &range.from, what), self.one(&to, &range.to, what)) else {
            if let Some(every) = &range.every {
                self.expr(every);
            }
            return Type::Unsure;
        };
        if self.store.dims.unify(&d, &e).is_err() {
            let fault = words::comparison(self, (&from, &range.from), (&to, &range.to));
            self.tell(fault);
            return Type::Unsure;
        }
        match &range.every {
            Some(every) => {
                let step = self.expr(every);
                if let Some(by) = self.one(&step, every, what)
                    && self.store.dims.unify(&d, &by).is_err()
                {
                    let fault = words::comparison(self, (&from, &range.from), (&step, every));
                    self.tell(fault);
                }
            }
            None if self.store.dims.unify(&d, &Dims::NONE).is_err() => {
                let fault = Fault::new(FaultCode::BadRange, span, "a range of measures needs its step");
                self.tell(fault.hint("write `… every 1/2 in` behind it"));
            }
            None => return Type::COUNT,
        }
        Type::Quant(d, Shape::One)
    }

    pub(crate) fn how_many(&mut self, pair: &(Node, Node), span: Span) -> Type {
        let what = "a measure or a number";
        let (piece, whole) = (self.expr(&pair.0), self.expr(&pair.1));
        let dims = self.one(&piece, &pair.0, what).zip(self.one(&whole, &pair.1, what));
        let left = match dims {
            Some((d, e)) => {
                if self.store.dims.unify(&d, &e).is_err() {
                    let (a, b) = (words::name(self, &piece), words::name(self, &whole));
                    let fault = Fault::new(FaultCode::UnitMix, span, format!("{a} cannot be cut from {b}"));
                    let fault = words::both(self, fault, (&piece, &pair.0), (&whole, &pair.1));
                    self.tell(fault);
                }
                Type::Quant(d, Shape::One)
            }
            None => Type::Unsure,
        };
        Type::record(vec![("count".into(), Type::COUNT), ("left".into(), left)])
    }
}
