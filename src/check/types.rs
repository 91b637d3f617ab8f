//! What kinds of value there are for the check, and how two are made one.
#![expect(clippy::arithmetic_side_effects, reason = "depths that are bounded where they are looked at")]

use std::rc::Rc;

use crate::check::bindings::Bindings;
use crate::check::dims::{Clash, DimTable, Dims};

/// What is known of a value before anything is evaluated.
#[derive(Clone, Debug)]
pub enum Type {
    /// Cannot be known, or is known to be wrong already: goes with anything.
    Unsure,
    /// `refuse(…)`: never a value.
    Never,
    /// Not known yet.
    Var(u32),
    /// A measure, a count or a size.
    Quant(Dims, Shape),
    /// Words.
    Text,
    /// Yes or no.
    YesNo,
    /// The word `no`, which may stand for "none".
    No,
    /// This, or `no` where there is none.
    Maybe(Rc<Type>),
    /// A list of this.
    List(Rc<Type>),
    /// Named parts.
    Record(Rc<Parts>),
    /// An outline.
    Outline,
    /// Items of a list that hold these two kinds.
    Mixed(Rc<(Type, Type)>),
}

/// The parts of a record.
#[derive(Clone, Debug)]
pub struct Parts {
    /// Names and kinds.
    pub parts: Vec<(Rc<str>, Type)>,
    /// Whether there may be more of them.
    pub more: bool,
}

/// Whether a quantity is one measure or a size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shape {
    /// One measure.
    One,
    /// One whole number.
    Count,
    /// Across by along.
    Size,
    /// Not known yet.
    Var(u32),
}

impl Type {
    /// A bare number.
    pub const NUMBER: Type = Type::Quant(Dims::NONE, Shape::One);
    /// A length.
    pub const LENGTH: Type = Type::Quant(Dims::LENGTH, Shape::One);
    /// A count.
    pub const COUNT: Type = Type::Quant(Dims::NONE, Shape::Count);
    /// A size.
    pub const SIZE: Type = Type::Quant(Dims::LENGTH, Shape::Size);

    /// A record of these parts.
    pub fn record(parts: Vec<(Rc<str>, Type)>) -> Type {
        Type::Record(Rc::new(Parts { parts, more: false }))
    }
}

/// What variables stand for, and the way back.
#[derive(Debug, Default)]
pub struct Store {
    /// Dimension variables.
    pub dims: DimTable,
    types: Bindings<Type>,
    shapes: Bindings<Shape>,
    /// What is left of the work for one comparison: parts that are shared many times over must not
    /// be walked many times over.
    fuel: u32,
}

/// Kinds looked at for one comparison.
const FUEL: u32 = 4_000;

/// How much was bound at some time.
pub(crate) type Mark = (usize, usize, usize);

impl Store {
    /// A kind not known yet.
    pub fn fresh(&mut self) -> Type {
        Type::Var(self.types.fresh())
    }

    /// A shape not known yet.
    pub fn fresh_shape(&mut self) -> Shape {
        Shape::Var(self.shapes.fresh())
    }

    /// A dimension not known yet.
    pub fn fresh_dims(&mut self) -> Dims {
        Dims::var(self.dims.fresh())
    }

    /// A quantity of which nothing more is known.
    pub fn fresh_quant(&mut self) -> Type {
        Type::Quant(self.fresh_dims(), self.fresh_shape())
    }

    /// What is bound now.
    pub fn mark(&self) -> Mark {
        (self.dims.mark(), self.types.mark(), self.shapes.mark())
    }

    /// Nothing is bound that was not at a mark.
    pub fn undo(&mut self, mark: Mark) {
        self.dims.undo(mark.0);
        self.types.undo(mark.1);
        self.shapes.undo(mark.2);
    }

    /// The outermost kind with its variable put in.
    pub fn shallow(&self, ty: &Type) -> Type {
        let mut ty = ty;
        loop {
            match ty {
                Type::Var(var) => match self.types.get(*var) {
                    Some(bound) => ty = bound,
                    None => return ty.clone(),
                },
                Type::Quant(dims, shape) => {
                    let dims = self.dims.resolve(dims);
                    return dims.map_or(Type::Unsure, |dims| Type::Quant(dims, self.shape(*shape)));
                }
                other => return other.clone(),
            }
        }
    }

    /// A shape with its variable put in.
    pub fn shape(&self, mut shape: Shape) -> Shape {
        while let Shape::Var(var) = shape {
            match self.shapes.get(var).copied() {
                Some(bound) => shape = bound,
                None => break,
            }
        }
        shape
    }

    /// Whether a kind holds a variable; a kind that held itself would have no end.
    fn holds(&mut self, ty: &Type, var: u32, depth: u32) -> bool {
        self.fuel = self.fuel.saturating_sub(1);
        match self.shallow(ty) {
            _ if depth > 60 || self.fuel == 0 => true,
            Type::Var(other) => other == var,
            Type::Maybe(inner) | Type::List(inner) => self.holds(&inner, var, depth + 1),
            Type::Record(parts) => parts.parts.iter().any(|(_, part)| self.holds(part, var, depth + 1)),
            Type::Mixed(pair) => self.holds(&pair.0, var, depth + 1) || self.holds(&pair.1, var, depth + 1),
            _ => false,
        }
    }

    /// Makes two kinds one; where they cannot be, nothing is changed.
    pub fn unify(&mut self, a: &Type, b: &Type) -> Result<(), Clash> {
        let mark = self.mark();
        self.fuel = FUEL;
        let made = self.unify_in(a, b, 0);
        if made.is_err() {
            self.undo(mark);
        }
        made
    }

    fn unify_in(&mut self, a: &Type, b: &Type, depth: u32) -> Result<(), Clash> {
        self.fuel = self.fuel.saturating_sub(1);
        if depth > 60 || self.fuel == 0 {
            return Ok(());
        }
        let (a, b) = (self.shallow(a), self.shallow(b));
        match (&a, &b) {
            (Type::Unsure | Type::Never | Type::Mixed(_), _)
            | (_, Type::Unsure | Type::Never | Type::Mixed(_)) => Ok(()),
            (Type::Var(x), Type::Var(y)) if x == y => Ok(()),
            (Type::Var(x), _) => {
                let bound = if self.holds(&b, *x, 0) { Type::Unsure } else { b };
                self.types.bind(*x, bound);
                Ok(())
            }
            (_, Type::Var(_)) => self.unify_in(&b, &a, depth + 1),
            (Type::Quant(d, s), Type::Quant(e, t)) => {
                self.dims.unify(d, e)?;
                self.unify_shapes(*s, *t)
            }
            (Type::Text, Type::Text)
            | (Type::Outline, Type::Outline)
            | (Type::YesNo | Type::No, Type::YesNo | Type::No)
            | (Type::Maybe(_), Type::No)
            | (Type::No, Type::Maybe(_)) => Ok(()),
            // Whether it is there cannot be known: the run-time check decides.
            (Type::Maybe(x), Type::Maybe(y)) => self.unify_in(x, y, depth + 1),
            (Type::Maybe(x), y) | (y, Type::Maybe(x)) => self.unify_in(x, y, depth + 1),
            (Type::List(x), Type::List(y)) => self.unify_in(x, y, depth + 1),
            (Type::Record(x), Type::Record(y)) if Rc::ptr_eq(x, y) => Ok(()),
            (Type::Record(x), Type::Record(y)) => self.unify_parts(x, y, depth),
            _ => Err(Clash),
        }
    }

    /// Records go together by the parts that both have.
    fn unify_parts(&mut self, x: &Parts, y: &Parts, depth: u32) -> Result<(), Clash> {
        for (name, part) in &x.parts {
            if let Some((_, other)) = y.parts.iter().find(|(known, _)| known == name) {
                self.unify_in(part, other, depth + 1)?;
            }
        }
        Ok(())
    }

    /// Makes two shapes one; a count is one measure.
    pub fn unify_shapes(&mut self, s: Shape, t: Shape) -> Result<(), Clash> {
        match (self.shape(s), self.shape(t)) {
            (Shape::Var(x), Shape::Var(y)) if x == y => Ok(()),
            (Shape::Var(x), other) | (other, Shape::Var(x)) => {
                self.shapes.bind(x, other);
                Ok(())
            }
            (Shape::Size, Shape::Size) => Ok(()),
            (Shape::Size, _) | (_, Shape::Size) => Err(Clash),
            _ => Ok(()),
        }
    }

    /// The kind that either of two values has; `None` where they have none in common.
    pub fn join(&mut self, a: &Type, b: &Type) -> Option<Type> {
        self.fuel = FUEL;
        self.join_in(a, b, 0)
    }

    fn join_in(&mut self, a: &Type, b: &Type, depth: u32) -> Option<Type> {
        self.fuel = self.fuel.saturating_sub(1);
        if depth > 60 || self.fuel == 0 {
            return Some(Type::Unsure);
        }
        let (a, b) = (self.shallow(a), self.shallow(b));
        Some(match (&a, &b) {
            (Type::Never, other) | (other, Type::Never) => other.clone(),
            (Type::Unsure, _) | (_, Type::Unsure) => Type::Unsure,
            (Type::Mixed(_), _) => a,
            (_, Type::Mixed(_)) => b,
            (Type::No, Type::No) => Type::No,
            (Type::YesNo | Type::No, Type::YesNo | Type::No) => Type::YesNo,
            (Type::No, Type::Maybe(_)) => b,
            (Type::Maybe(_), Type::No) => a,
            (Type::No, _) => Type::Maybe(Rc::new(b)),
            (_, Type::No) => Type::Maybe(Rc::new(a)),
            (Type::Maybe(x), Type::Maybe(y)) => Type::Maybe(Rc::new(self.join_in(x, y, depth + 1)?)),
            (Type::Maybe(x), _) => Type::Maybe(Rc::new(self.join_in(x, &b, depth + 1)?)),
            (_, Type::Maybe(y)) => Type::Maybe(Rc::new(self.join_in(&a, y, depth + 1)?)),
            (Type::List(x), Type::List(y)) => Type::List(Rc::new(self.items_in(x, y, depth + 1))),
            (Type::Record(x), Type::Record(y)) if Rc::ptr_eq(x, y) => a,
            (Type::Record(x), Type::Record(y)) => self.join_parts(x, y, depth + 1),
            (Type::Quant(d, s), Type::Quant(_, t)) => {
                let counts = (*s, *t) == (Shape::Count, Shape::Count);
                let both_one = [*s, *t].iter().all(|shape| matches!(shape, Shape::One | Shape::Count));
                self.unify(&a, &b).ok()?;
                let shape = if both_one && !counts { Shape::One } else { *s };
                Type::Quant(d.clone(), shape)
            }
            _ => {
                self.unify(&a, &b).ok()?;
                a
            }
        })
    }

    /// The kind of the items of a list that holds both.
    pub fn joined_items(&mut self, a: &Type, b: &Type) -> Type {
        self.fuel = FUEL;
        self.items_in(a, b, 0)
    }

    fn items_in(&mut self, a: &Type, b: &Type, depth: u32) -> Type {
        self.join_in(a, b, depth).unwrap_or_else(|| Type::Mixed(Rc::new((a.clone(), b.clone()))))
    }

    fn join_parts(&mut self, x: &Parts, y: &Parts, depth: u32) -> Type {
        let mut more = x.more || y.more || x.parts.len() != y.parts.len();
        let mut parts = Vec::with_capacity(x.parts.len());
        for (name, part) in &x.parts {
            match y.parts.iter().find(|(known, _)| known == name) {
                Some((_, other)) => {
                    let joined = self.join_in(part, other, depth).unwrap_or(Type::Unsure);
                    parts.push((name.clone(), joined));
                }
                None => more = true,
            }
        }
        Type::Record(Rc::new(Parts { parts, more }))
    }
}
