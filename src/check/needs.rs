//! What cannot be decided yet: asked again when more is known, and at each call of a generic rule.

use std::rc::Rc;

use crate::check::dims::Dims;
use crate::check::operate::Step;
use crate::check::types::{Shape, Type};
use crate::check::{Infer, words};
use crate::fault::{Fault, Span};
use crate::measure::Dim;
use crate::syntax::tree::BinaryOp;
use crate::value::{Cause, Kind, One, no_operation};

/// More open questions than any rule of the trade leaves; beyond them the check gives up.
pub(crate) const MOST: usize = 64;

/// An open question.
#[derive(Clone, Debug)]
pub(crate) struct Need {
    pub what: What,
    /// The expression that asks it.
    pub span: Span,
    /// Its operands.
    pub left: Span,
    pub right: Span,
    /// The call that it was carried to: the rule's name and the place.
    pub call: Option<(Rc<str>, Span)>,
}

/// What is asked.
#[derive(Clone, Debug)]
pub(crate) enum What {
    /// The third is the product or quotient of the first two.
    Times(BinaryOp, Type, Type, Type),
    /// The second is the first to a power that is not fixed.
    Power(Type, Type),
    /// The last is the named part of the first.
    Part(Type, Rc<str>, Type),
    /// The third is either of the first two.
    Either(Type, Type, Type),
    /// The second is the largest of the first, a list or a measure.
    Extreme(Type, Type),
    /// A sum of money, or a price.
    Money(Type, Kind),
}

/// The state of a question.
enum Answer {
    Done,
    Open,
    Wrong(Box<Fault>),
}

impl Infer<'_> {
    /// Asks now, and again later where it cannot be answered.
    pub(crate) fn ask(&mut self, need: Need) {
        match self.answer(&need) {
            Answer::Done => {}
            Answer::Open if self.needs.len() < MOST => self.needs.push(need),
            Answer::Open => self.give_up(&need),
            Answer::Wrong(fault) => self.tell(*fault),
        }
    }

    /// Asks again what is open, until nothing more comes of it.
    pub(crate) fn settle(&mut self, from: usize) {
        for _ in 0..8 {
            let open = self.needs.split_off(from.min(self.needs.len()));
            let before = open.len();
            for need in open {
                self.ask(need);
            }
            if self.needs.len() >= from.saturating_add(before) || self.needs.len() <= from {
                break;
            }
        }
    }

    /// What depends on a question that is given up is not known.
    fn give_up(&mut self, need: &Need) {
        self.store.dims.leave();
        let result = match &need.what {
            What::Times(_, _, _, r)
            | What::Power(_, r)
            | What::Part(_, _, r)
            | What::Either(_, _, r)
            | What::Extreme(_, r) => r,
            What::Money(..) => return,
        };
        let _ = self.store.unify(result, &Type::Unsure);
    }

    fn answer(&mut self, need: &Need) -> Answer {
        let (step, result) = match &need.what {
            What::Times(op, a, b, r) => (self.times(*op, a, b), r),
            What::Power(a, r) => (self.open_power(a), r),
            What::Part(of, name, r) => return self.part_answer(need, of, name, r),
            What::Either(a, b, r) => return self.either(need, a, b, r),
            What::Extreme(a, r) => match self.store.shallow(a) {
                Type::Var(_) => (Step::Waits, r),
                Type::List(item) => (Step::Gives((*item).clone()), r),
                other => (Step::Gives(other), r),
            },
            What::Money(ty, kind) => return self.money(need, ty, *kind),
        };
        match (step, &need.what) {
            (Step::Gives(ty), _) => self.gives(need, result, &ty),
            (Step::Waits, _) => Answer::Open,
            (Step::Wrong, What::Times(op, a, b, _)) => {
                let sides = (self.facts(a, need.left), self.facts(b, need.right));
                let fault = no_operation(*op, &sides.0, &sides.1);
                self.wrong(need, fault)
            }
            (Step::Wrong, _) => Answer::Done,
        }
    }

    fn gives(&mut self, need: &Need, result: &Type, ty: &Type) -> Answer {
        if self.store.unify(result, ty).is_ok() {
            return Answer::Done;
        }
        let (made, wanted) = (self.kind_name(ty), self.kind_name(result));
        let message = format!("{wanted} is needed here, and this is {made}");
        self.wrong(need, words::kind(need.span, message))
    }

    /// A question that came to nothing is reported at the call that it was carried to.
    fn wrong(&self, need: &Need, fault: Fault) -> Answer {
        let fault = match &need.call {
            Some((rule, call)) => words::carried(fault, rule, *call),
            None => fault,
        };
        Answer::Wrong(Box::new(fault))
    }

    fn part_answer(&mut self, need: &Need, of: &Type, name: &Rc<str>, result: &Type) -> Answer {
        match self.store.shallow(of) {
            Type::Var(_) => Answer::Open,
            Type::Quant(dims, shape) => match shape {
                Shape::Size if matches!(&**name, "across" | "along") => {
                    self.gives(need, result, &Type::LENGTH)
                }
                Shape::Var(_) if matches!(&**name, "across" | "along") => {
                    let size = Type::Quant(Dims::LENGTH, Shape::Size);
                    if self.store.unify(&Type::Quant(dims, shape), &size).is_err() {
                        return self.no_part(need, of, name, result);
                    }
                    self.gives(need, result, &Type::LENGTH)
                }
                // What a measure with slack has; one without is reported when it is evaluated.
                _ if matches!(&**name, "middle" | "slack" | "least" | "most") => {
                    self.gives(need, result, &Type::Quant(dims, shape))
                }
                _ => self.no_part(need, of, name, result),
            },
            Type::Maybe(inner) => self.part_answer(need, &inner, name, result),
            Type::Record(parts) => match parts.parts.iter().find(|(known, _)| known == name) {
                Some((_, part)) => self.gives(need, result, &part.clone()),
                None if parts.more => {
                    let _ = self.store.unify(result, &Type::Unsure);
                    Answer::Done
                }
                None => self.no_part(need, of, name, result),
            },
            Type::Outline => match self.shape_part(name) {
                Some(part) => self.gives(need, result, &part),
                None => self.no_part(need, of, name, result),
            },
            Type::Unsure | Type::Never | Type::Mixed(_) => {
                let _ = self.store.unify(result, &Type::Unsure);
                Answer::Done
            }
            _ => self.no_part(need, of, name, result),
        }
    }

    fn no_part(&mut self, need: &Need, of: &Type, name: &Rc<str>, result: &Type) -> Answer {
        let _ = self.store.unify(result, &Type::Unsure);
        let of = self.facts(of, need.left);
        self.wrong(need, Cause::One(One::NoPart(name.clone(), need.right), of).into())
    }

    fn either(&mut self, need: &Need, a: &Type, b: &Type, result: &Type) -> Answer {
        let (x, y) = (self.store.shallow(a), self.store.shallow(b));
        let wanted = self.store.shallow(result);
        let open = |ty: &Type| match ty {
            Type::Var(_) => true,
            Type::Quant(dims, shape) => dims.known().is_none() || matches!(shape, Shape::Var(_)),
            _ => false,
        };
        if !matches!(wanted, Type::Var(_)) {
            // What is done with it says what both must be.
            for side in [&x, &y] {
                if let Answer::Wrong(fault) = self.gives(need, result, side) {
                    return Answer::Wrong(fault);
                }
            }
            return Answer::Done;
        }
        let alike = match (&x, &y) {
            (Type::Var(p), Type::Var(q)) => p == q,
            (Type::Quant(d, s), Type::Quant(e, t)) => {
                (*s == *t || !matches!((s, t), (Shape::Var(_), _) | (_, Shape::Var(_))))
                    && d.times(e, -1).and_then(|ratio| ratio.known()) == Some(Dim::NONE)
            }
            (Type::Never | Type::No, _) | (_, Type::Never | Type::No) => true,
            _ => false,
        };
        if !alike && (open(&x) || open(&y)) {
            return Answer::Open;
        }
        let joined = self.store.join(&x, &y);
        if joined.is_none() && need.call.is_none() {
            let sides = (self.facts(&x, need.left), self.facts(&y, need.right));
            self.tell(words::either(need.span, &sides.0, &sides.1));
        }
        let _ = self.store.unify(result, &joined.unwrap_or(Type::Unsure));
        Answer::Done
    }

    fn money(&mut self, need: &Need, ty: &Type, kind: Kind) -> Answer {
        let wrong = match self.store.shallow(ty) {
            Type::Quant(_, Shape::Size) => true,
            Type::Quant(dims, _) => match dims.known() {
                Some(dim) => !kind.measures(dim),
                None => return Answer::Open,
            },
            _ => return Answer::Open,
        };
        if !wrong {
            return Answer::Done;
        }
        let made = self.kind_name(ty);
        let wanted = kind.trade_name();
        self.wrong(need, words::kind(need.span, format!("write {wanted} here; this is {made}")))
    }
}
