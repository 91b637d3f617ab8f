//! What a generic rule asks and gives, apart from the rule: copied again for each call.

use std::collections::HashMap;
use std::rc::Rc;

use crate::check::dims::{Dims, Open};
use crate::check::needs::{Need, What};
use crate::check::types::{Parts, Shape, Store, Type};

/// What a rule asks of its arguments and what it gives.
#[derive(Debug)]
pub(crate) struct Scheme {
    pub params: Vec<Type>,
    pub defaults: Vec<Option<Type>>,
    pub result: Type,
    pub needs: Vec<Need>,
    /// Whether there is nothing to be filled in at a call.
    pub closed: bool,
}

/// A call's own copy.
pub(crate) type Fresh = (Vec<Type>, Vec<Option<Type>>, Type, Vec<Need>);

impl Scheme {
    /// One without anything open.
    pub fn closed(params: Vec<Type>, result: Type) -> Scheme {
        let defaults = params.iter().map(|_| None).collect();
        Scheme { params, defaults, result, needs: Vec::new(), closed: true }
    }

    /// Takes a rule's kinds out of the check's store.
    pub fn of(
        copier: &mut Copier<'_>,
        params: &[Type],
        defaults: &[Option<Type>],
        result: &Type,
        needs: &[Need],
    ) -> Scheme {
        let params: Vec<Type> = params.iter().map(|ty| copier.ty(ty)).collect();
        let defaults: Vec<Option<Type>> =
            defaults.iter().map(|ty| ty.as_ref().map(|ty| copier.ty(ty))).collect();
        let result = copier.ty(result);
        let needs: Vec<Need> = needs.iter().map(|need| copier.need(need)).collect();
        Scheme { params, defaults, result, needs, closed: !copier.open }
    }

    /// A copy whose variables are new.
    pub fn instantiate(&self, store: &mut Store) -> Fresh {
        if self.closed {
            return (self.params.clone(), self.defaults.clone(), self.result.clone(), self.needs.clone());
        }
        let mut renewal =
            Renewal { store, types: HashMap::new(), shapes: HashMap::new(), dims: HashMap::new() };
        (
            self.params.iter().map(|ty| renewal.ty(ty)).collect(),
            self.defaults.iter().map(|ty| ty.as_ref().map(|ty| renewal.ty(ty))).collect(),
            renewal.ty(&self.result),
            self.needs.iter().map(|need| mapped(need, |ty| renewal.ty(ty))).collect(),
        )
    }
}

/// More parts than any value of the trade has; beyond them a kind is not kept.
const HEAVIEST: usize = 2_000;

/// Puts in what is known.
pub(crate) struct Copier<'s> {
    store: &'s Store,
    left: usize,
    /// Whether a variable was met.
    pub open: bool,
}

impl<'s> Copier<'s> {
    /// A copier out of a store.
    pub fn new(store: &'s Store) -> Copier<'s> {
        Copier { store, left: HEAVIEST, open: false }
    }

    /// A kind with all that is known put in.
    pub fn ty(&mut self, ty: &Type) -> Type {
        if self.left == 0 {
            return Type::Unsure;
        }
        self.left = self.left.saturating_sub(1);
        let ty = self.store.shallow(ty);
        match &ty {
            Type::Var(_) => self.open = true,
            Type::Quant(dims, shape) => self.open |= dims.known().is_none() || matches!(shape, Shape::Var(_)),
            _ => {}
        }
        inner(&ty, &mut |part| self.ty(part))
    }

    fn need(&mut self, need: &Need) -> Need {
        mapped(need, |ty| self.ty(ty))
    }
}

/// The kinds inside a kind, each put through `map`.
fn inner(ty: &Type, map: &mut dyn FnMut(&Type) -> Type) -> Type {
    match ty {
        Type::Maybe(inner) => Type::Maybe(Rc::new(map(inner))),
        Type::List(item) => Type::List(Rc::new(map(item))),
        Type::Mixed(pair) => Type::Mixed(Rc::new((map(&pair.0), map(&pair.1)))),
        Type::Record(record) => Type::Record(Rc::new(Parts {
            parts: record.parts.iter().map(|(name, part)| (name.clone(), map(part))).collect(),
            more: record.more,
        })),
        other => other.clone(),
    }
}

fn mapped(need: &Need, mut map: impl FnMut(&Type) -> Type) -> Need {
    let what = match &need.what {
        What::Times(op, a, b, r) => What::Times(*op, map(a), map(b), map(r)),
        What::Power(a, r) => What::Power(map(a), map(r)),
        What::Part(of, name, r) => What::Part(map(of), name.clone(), map(r)),
        What::Either(a, b, r) => What::Either(map(a), map(b), map(r)),
        What::Extreme(a, r) => What::Extreme(map(a), map(r)),
        What::Money(ty, kind) => What::Money(map(ty), *kind),
    };
    Need { what, ..need.clone() }
}

/// Gives each variable of a scheme a new one.
struct Renewal<'s> {
    store: &'s mut Store,
    types: HashMap<u32, Type>,
    shapes: HashMap<u32, Shape>,
    dims: HashMap<u32, u32>,
}

impl Renewal<'_> {
    fn ty(&mut self, ty: &Type) -> Type {
        match ty {
            Type::Var(var) => self.types.entry(*var).or_insert_with(|| self.store.fresh()).clone(),
            Type::Quant(dims, shape) => {
                let shape = match shape {
                    Shape::Var(var) => *self.shapes.entry(*var).or_insert_with(|| self.store.fresh_shape()),
                    known => *known,
                };
                Type::Quant(self.dimension(dims), shape)
            }
            other => inner(other, &mut |part| self.ty(part)),
        }
    }

    fn dimension(&mut self, dims: &Dims) -> Dims {
        let Dims::Open(open) = dims else { return dims.clone() };
        let mut vars: Vec<(u32, i32)> = open
            .vars
            .iter()
            .map(|(var, power)| (*self.dims.entry(*var).or_insert_with(|| self.store.dims.fresh()), *power))
            .collect();
        vars.sort_unstable();
        Dims::Open(Rc::new(Open { known: open.known, vars }))
    }
}
