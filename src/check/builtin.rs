//! What the built-ins ask and give.

use std::rc::Rc;

use crate::check::dims::Dims;
use crate::check::needs::{Need, What};
use crate::check::operate::Step;
use crate::check::types::{Parts, Shape, Type};
use crate::check::{Infer, words};
use crate::code::node::Node;
use crate::fault::Span;
use crate::measure::Dim;
use crate::value::{Ask, At, Builtin, Cause, One, Pair, Want};

impl Infer<'_> {
    pub(crate) fn builtin(&mut self, builtin: Builtin, args: &[Node], kinds: &[Type], span: Span) -> Type {
        let (Some(first), Some(node)) = (kinds.first(), args.first()) else { return Type::Unsure };
        let want = builtin.ask().want();
        let mut held = Type::Unsure;
        match builtin.ask() {
            Ask::Measure => match self.one(first, node, want) {
                Some(dims) => held = Type::Quant(dims, Shape::One),
                None => return Type::Unsure,
            },
            Ask::Angle => self.must_fit(first, node, want, &Dims::Known(Dim::ANGLE)),
            Ask::Number => self.must_fit(first, node, want, &Dims::NONE),
            Ask::Length => self.must_fit(first, node, want, &Dims::LENGTH),
            Ask::List => held = self.item(first, node, want),
            Ask::Lists => {
                let lists = self.item(first, node, want);
                held = self.item(&lists, node, want);
            }
            Ask::Text => self.must_be_text(first, node),
            Ask::Shape if !self.is_shape(first) => self.tell_wanted(want, first, node),
            Ask::Measures | Ask::Shape | Ask::Anything => {}
        }
        match builtin {
            Builtin::Sqrt => self.square_root(first, node),
            Builtin::Abs => held,
            Builtin::Sin | Builtin::Cos | Builtin::Tan => Type::NUMBER,
            Builtin::Floor | Builtin::Ceil | Builtin::Round | Builtin::Count => Type::COUNT,
            Builtin::Sum => self.sum_of(first, &held, node),
            Builtin::Largest | Builtin::Smallest if args.len() == 1 => self.extreme(first, node, span),
            Builtin::Largest | Builtin::Smallest => self.extreme_of(kinds, args),
            Builtin::Joined => Type::List(Rc::new(held)),
            // What its record holds is reported when it is evaluated.
            Builtin::CutLengths => {
                Type::Record(Rc::new(Parts { parts: vec![("strips".into(), Type::COUNT)], more: true }))
            }
            Builtin::Polygon
            | Builtin::Regular
            | Builtin::Circle
            | Builtin::Ring
            | Builtin::Sector
            | Builtin::Rectangle
            | Builtin::Moved
            | Builtin::Turned
            | Builtin::Mirrored
            | Builtin::Unfolded
            | Builtin::Attached
            | Builtin::Edged
            | Builtin::Notched
            | Builtin::Creased
            | Builtin::Grained => Type::Outline,
            Builtin::Refuse => Type::Never,
            Builtin::WithCaution => first.clone(),
        }
    }

    /// A part of a shape.
    pub(crate) fn shape_part(&mut self, name: &str) -> Option<Type> {
        Some(match name {
            "area" => Type::Quant(Dim::AREA.into(), Shape::One),
            "perimeter" | "across" | "along" => Type::LENGTH,
            "size" => Type::SIZE,
            "corners" => Type::List(Rc::new(Type::SIZE)),
            "cut" => Type::Outline,
            "edges" => Type::List(Rc::new(Type::record(vec![
                ("name".into(), Type::Text),
                ("length".into(), Type::LENGTH),
                ("finish".into(), Type::Text),
                ("allowance".into(), Type::LENGTH),
            ]))),
            _ => return None,
        })
    }

    /// Words.
    pub(crate) fn must_be_text(&mut self, ty: &Type, node: &Node) {
        if self.store.unify(ty, &Type::Text).is_err() {
            self.tell_wanted("text", ty, node);
        }
    }

    fn square_root(&mut self, ty: &Type, node: &Node) -> Type {
        match self.power(ty, None) {
            Step::Gives(ty) => ty,
            _ => {
                let cause = Cause::one(One::NoRoot, &self.seen(ty, node));
                self.tell(cause);
                Type::Unsure
            }
        }
    }

    /// The names of two kinds that a list holds together.
    fn mixed(&self, list: &Type) -> Option<(String, String)> {
        let Type::List(item) = self.store.shallow(list) else { return None };
        let Type::Mixed(pair) = self.store.shallow(&item) else { return None };
        Some((self.kind_name(&pair.0), self.kind_name(&pair.1)))
    }

    fn sum_of(&mut self, list: &Type, item: &Type, node: &Node) -> Type {
        if let Some((a, b)) = self.mixed(list) {
            self.tell(Cause::At(At::MixedList(a, b), node.span));
            return Type::Unsure;
        }
        self.measured(item, |infer| {
            let name = infer.kind_name(item);
            let message = format!("write a list of measures here; one item of this list is {name}");
            words::kind(node.span, message)
        })
    }

    /// `largest(list)`, or `largest(x)` of one measure.
    fn extreme(&mut self, ty: &Type, node: &Node, span: Span) -> Type {
        if let Some((a, b)) = self.mixed(ty) {
            self.tell(words::mixed_extreme(span, node.span, &a, &b));
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
            let Some(dims) = self.one(ty, node, Want::MEASURE) else { continue };
            match &best {
                None => best = Some((ty, node, dims)),
                Some((before, place, known)) => {
                    if self.store.dims.unify(known, &dims).is_err() {
                        self.tell_pair(Pair::Comparison, (before, place), (ty, node));
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
