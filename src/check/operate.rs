//! What operators make of kinds.

use crate::check::Infer;
use crate::check::dims::Dims;
use crate::check::types::{Shape, Type};
use crate::measure::Dim;
use crate::syntax::tree::BinaryOp;

/// A kind as arithmetic sees it.
pub(crate) enum Quant {
    /// A measure or a size.
    Is(Dims, Shape),
    /// Cannot be known.
    Unsure,
    /// Something else: a text, a list.
    Not,
}

/// What an operation on two kinds comes to.
pub(crate) enum Step {
    /// It gives this.
    Gives(Type),
    /// More must be known first.
    Waits,
    /// The two do not go together.
    Wrong,
}

impl Infer<'_> {
    /// A kind as a quantity; one not known yet becomes one.
    pub(crate) fn quant(&mut self, ty: &Type) -> Quant {
        match self.store.shallow(ty) {
            Type::Quant(dims, shape) => Quant::Is(dims, shape),
            Type::Unsure | Type::Never | Type::Mixed(_) => Quant::Unsure,
            Type::Maybe(inner) => self.quant(&inner),
            Type::Var(_) => {
                let fresh = self.store.fresh_quant();
                match self.store.unify(ty, &fresh) {
                    Ok(()) => self.quant(&fresh),
                    Err(_) => Quant::Unsure,
                }
            }
            _ => Quant::Not,
        }
    }

    /// Whether a kind can be one measure of this dimension; what is not known becomes it.
    pub(crate) fn fits(&mut self, ty: &Type, dims: &Dims) -> bool {
        match self.quant(ty) {
            Quant::Is(..) => self.store.unify(ty, &Type::Quant(dims.clone(), Shape::One)).is_ok(),
            Quant::Unsure => true,
            Quant::Not => false,
        }
    }

    /// A sum or a difference.
    pub(crate) fn sum(&mut self, a: &Type, b: &Type) -> Step {
        match (self.quant(a), self.quant(b)) {
            (Quant::Not, _) | (_, Quant::Not) => Step::Wrong,
            (Quant::Unsure, Quant::Unsure) => Step::Gives(Type::Unsure),
            (Quant::Unsure, Quant::Is(dims, shape)) | (Quant::Is(dims, shape), Quant::Unsure) => {
                Step::Gives(Type::Quant(dims, shape))
            }
            (Quant::Is(d, s), Quant::Is(e, t)) => {
                if self.store.unify(&Type::Quant(d.clone(), s), &Type::Quant(e, t)).is_err() {
                    return Step::Wrong;
                }
                let shape = if s == Shape::Count { t } else { s };
                Step::Gives(Type::Quant(d, shape))
            }
        }
    }

    /// A product or a quotient; it waits where one of the two may be a size.
    pub(crate) fn times(&mut self, op: BinaryOp, a: &Type, b: &Type) -> Step {
        let (d, s, e, t) = match (self.quant(a), self.quant(b)) {
            (Quant::Not, _) | (_, Quant::Not) => return Step::Wrong,
            (Quant::Is(d, s), Quant::Is(e, t)) => (d, s, e, t),
            _ => return Step::Gives(Type::Unsure),
        };
        if op == BinaryOp::Divide && t == Shape::Size || op == BinaryOp::Of && s == Shape::Size {
            return Step::Wrong;
        }
        if (op == BinaryOp::Divide || matches!(s, Shape::Size)) && matches!(t, Shape::Var(_)) {
            let _ = self.store.unify_shapes(t, Shape::One);
            return self.times(op, a, b);
        }
        if t == Shape::Size && matches!(s, Shape::Var(_)) {
            let _ = self.store.unify_shapes(s, Shape::One);
            return self.times(op, a, b);
        }
        let shape = match (s, t) {
            (Shape::Size, Shape::Size) => return Step::Wrong,
            (Shape::Size, _) | (_, Shape::Size) => {
                let factor = if s == Shape::Size { &e } else { &d };
                if self.store.dims.unify(factor, &Dims::NONE).is_err() {
                    return Step::Wrong;
                }
                Shape::Size
            }
            (Shape::Var(_), Shape::Var(_)) => return Step::Waits,
            (Shape::Var(var), _) | (_, Shape::Var(var)) => {
                let factor = if matches!(s, Shape::Var(_)) { &e } else { &d };
                match factor.known() {
                    // A number times a size is a size, times a measure a measure.
                    Some(Dim::NONE) => Shape::Var(var),
                    Some(_) => {
                        let _ = self.store.unify_shapes(Shape::Var(var), Shape::One);
                        Shape::One
                    }
                    None => return Step::Waits,
                }
            }
            (Shape::Count, Shape::Count) if op != BinaryOp::Divide => Shape::Count,
            _ => Shape::One,
        };
        let power = if op == BinaryOp::Divide { -1 } else { 1 };
        let Some((d, e)) = self.store.dims.resolve(&d).zip(self.store.dims.resolve(&e)) else {
            return Step::Gives(Type::Unsure);
        };
        match (d.times(&e, power), d.known(), e.known()) {
            (Some(dims), ..) => Step::Gives(Type::Quant(dims, shape)),
            (None, Some(_), Some(_)) => Step::Wrong,
            (None, ..) => Step::Gives(Type::Unsure),
        }
    }

    /// A power with a known exponent: a whole one, or a half.
    pub(crate) fn power(&mut self, base: &Type, whole: Option<i32>) -> Step {
        let dims = match self.quant(base) {
            Quant::Not => return Step::Wrong,
            Quant::Unsure => return Step::Gives(Type::Unsure),
            Quant::Is(dims, shape) => match self.store.unify_shapes(shape, Shape::One) {
                Ok(()) => dims,
                Err(_) => return Step::Wrong,
            },
        };
        let Some(whole) = whole else { return self.root(&dims) };
        match (dims.power(whole), dims.known()) {
            (Some(dims), _) => Step::Gives(Type::Quant(dims, Shape::One)),
            (None, Some(_)) => Step::Wrong,
            (None, None) => Step::Gives(Type::Unsure),
        }
    }

    /// The square root of a dimension.
    fn root(&mut self, dims: &Dims) -> Step {
        let half = self.store.fresh_dims();
        let Some(square) = half.power(2) else { return Step::Gives(Type::Unsure) };
        match self.store.dims.unify(dims, &square) {
            Ok(()) => {
                let half = self.store.dims.resolve(&half);
                Step::Gives(half.map_or(Type::Unsure, |half| Type::Quant(half, Shape::One)))
            }
            Err(_) => Step::Wrong,
        }
    }

    /// A power whose exponent is not fixed: of a bare number it is one.
    pub(crate) fn open_power(&mut self, base: &Type) -> Step {
        match self.quant(base) {
            Quant::Not | Quant::Is(_, Shape::Size) => Step::Wrong,
            Quant::Unsure => Step::Gives(Type::Unsure),
            Quant::Is(dims, _) => match dims.known() {
                Some(Dim::NONE) => Step::Gives(Type::NUMBER),
                Some(_) => Step::Gives(Type::Unsure),
                None => Step::Waits,
            },
        }
    }
}
