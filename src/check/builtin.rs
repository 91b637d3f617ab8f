//! What the built-ins ask and give.

use std::rc::Rc;

use crate::check::Infer;
use crate::check::dims::Dims;
use crate::check::needs::{Need, What};
use crate::check::operate::{Quant, Step};
use crate::check::types::{Parts, Shape, Type};
use crate::check::words;
use crate::code::node::Node;
use crate::eval::builtins::Builtin;
use crate::fault::{Code as FaultCode, Fault, Span};
use crate::measure::Dim;

impl Infer<'_> {
    pub(crate) fn builtin(&mut self, builtin: Builtin, args: &[Node], span: Span) -> Type {
        let kinds: Vec<Type> = args.iter().map(|arg| self.expr(arg)).collect();
        let (Some(first), Some(node)) = (kinds.first(), args.first()) else { return Type::Unsure };
        match builtin {
            Builtin::Sqrt => self.square_root(first, node),
            Builtin::Abs => match self.one(first, node, "a measure or a number") {
                Some(dims) => Type::Quant(dims, Shape::One),
                None => Type::Unsure,
            },
            Builtin::Sin | Builtin::Cos | Builtin::Tan => {
                if !self.fits(first, &Dims::Known(Dim::ANGLE)) {
                    let fault = words::wanted(self, "an angle such as `45 deg`", first, node);
                    self.tell(fault);
                }
                Type::NUMBER
            }
            Builtin::Floor | Builtin::Ceil | Builtin::Round => {
                if !self.fits(first, &Dims::NONE) {
                    let fault = words::wanted(self, "a number without a unit", first, node);
                    self.tell(
                        fault.hint("to round a measure write `x up 1/8 in`, `x down …` or `x nearest …`"),
                    );
                }
                Type::COUNT
            }
            Builtin::Sum => self.sum_of(first, node),
            Builtin::Count => {
                let _ = self.list_item(first, node, "a list");
                Type::COUNT
            }
            Builtin::Largest | Builtin::Smallest if args.len() == 1 => self.extreme(first, node, span),
            Builtin::Largest | Builtin::Smallest => self.extreme_of(&kinds, args),
            Builtin::Joined => {
                let lists = self.list_item(first, node, "a list of lists");
                let item = self.list_item(&lists, node, "a list of lists");
                Type::List(Rc::new(item))
            }
            // What its record holds is told when it is worked; the strip is a length.
            Builtin::CutLengths => {
                if !self.fits(first, &Dims::LENGTH) {
                    let fault = words::wanted(self, "a length", first, node);
                    self.tell(fault);
                }
                Type::Record(Rc::new(Parts { parts: vec![("strips".into(), Type::COUNT)], more: true }))
            }
            Builtin::WithCaution => {
                if let (Some(ty), Some(node)) = (kinds.get(1), args.get(1))
                    && self.store.unify(ty, &Type::Text).is_err()
                {
                    let fault = words::wanted(self, "a text", ty, node);
                    self.tell(fault);
                }
                if let (Some(ty), Some(node)) = (kinds.get(2), args.get(2))
                    && self.store.unify(ty, &Type::YesNo).is_err()
                {
                    let fault = words::wanted(self, "a yes or no", ty, node);
                    self.tell(fault);
                }
                first.clone()
            }
            Builtin::Refuse => {
                if self.store.unify(first, &Type::Text).is_err() {
                    let fault = words::wanted(self, "a text", first, node);
                    self.tell(fault);
                }
                Type::Never
            }
        }
    }

    fn list_item(&mut self, list: &Type, node: &Node, what: &str) -> Type {
        self.item(list, node, |infer| words::wanted(infer, what, list, node))
    }

    fn square_root(&mut self, ty: &Type, node: &Node) -> Type {
        if self.one(ty, node, "a measure or a number").is_none() {
            return Type::Unsure;
        }
        match self.power(ty, None) {
            Step::Gives(ty) => ty,
            _ => {
                let made = words::described(self, ty, node);
                let message = format!("{made}, has no square root that means anything");
                let fault = Fault::new(FaultCode::UnitMix, node.span, message);
                self.tell(fault.hint("an area has one: it is a length"));
                Type::Unsure
            }
        }
    }

    fn sum_of(&mut self, list: &Type, node: &Node) -> Type {
        if let Type::List(item) = self.store.shallow(list)
            && let Type::Mixed(pair) = self.store.shallow(&item)
        {
            let (a, b) = (words::name(self, &pair.0), words::name(self, &pair.1));
            let message = format!("a list that holds {a} and {b} cannot be added up");
            let fault = Fault::new(FaultCode::UnitMix, node.span, message);
            self.tell(fault.hint(crate::eval::words::MIXED_LIST));
            return Type::Unsure;
        }
        let item = self.list_item(list, node, "a list");
        match self.quant(&item) {
            Quant::Is(dims, shape) => Type::Quant(dims, shape),
            Quant::Unsure => Type::Unsure,
            Quant::Not => {
                let name = words::name(self, &item);
                let message = format!("a list of measures is wanted here, and an item of this one is {name}");
                self.tell(words::kind(node.span, message));
                Type::Unsure
            }
        }
    }

    /// `largest(list)`, or `largest(x)` of one measure.
    fn extreme(&mut self, ty: &Type, node: &Node, span: Span) -> Type {
        if let Type::List(item) = self.store.shallow(ty)
            && let Type::Mixed(pair) = self.store.shallow(&item)
        {
            let (a, b) = (words::name(self, &pair.0), words::name(self, &pair.1));
            let message = format!("{a} cannot be compared with {b}");
            self.tell(Fault::new(FaultCode::UnitMix, span, message).other(node.span, "this list holds both"));
            return Type::Unsure;
        }
        let result = Type::Quant(self.store.fresh_dims(), Shape::One);
        let what = What::Extreme(ty.clone(), result.clone());
        self.ask(Need { what, span, left: node.span, right: node.span, call: None });
        result
    }

    fn extreme_of(&mut self, kinds: &[Type], nodes: &[Node]) -> Type {
        let mut best: Option<(&Type, &Node, Dims)> = None;
        let mut counts = true;
        for (ty, node) in kinds.iter().zip(nodes) {
            counts &= matches!(self.store.shallow(ty), Type::Quant(_, Shape::Count));
            let Some(dims) = self.one(ty, node, "a measure") else { continue };
            match &best {
                None => best = Some((ty, node, dims)),
                Some((before, place, known)) => {
                    if self.store.dims.unify(known, &dims).is_err() {
                        let fault = words::comparison(self, (before, place), (ty, node));
                        self.tell(fault);
                        return Type::Unsure;
                    }
                }
            }
        }
        match best {
            Some((_, _, dims)) => Type::Quant(dims, if counts { Shape::Count } else { Shape::One }),
            None => Type::Unsure,
        }
    }
}
