//! Dimensions that may hold unknowns: integer powers of what is known and of variables, made equal
//! by the integer elimination that units-of-measure inference uses.

use std::cell::Cell;
use std::rc::Rc;

use crate::check::bindings::Bindings;
use crate::limits::{CHECK, UNKNOWNS};
use crate::measure::Dim;

/// Larger powers than any rule of the trade has.
const HIGHEST: i32 = 1_000;

/// What something measures, as far as it is known.
#[derive(Clone, Debug)]
pub enum Dims {
    /// Known.
    Known(Dim),
    /// A known part times powers of variables.
    Open(Rc<Open>),
}

/// A dimension with variables.
#[derive(Clone, Debug)]
pub struct Open {
    /// What is known of it.
    pub known: Dim,
    /// Variables and their powers, by number; no power is 0.
    pub vars: Vec<(u32, i32)>,
}

/// Why two dimensions cannot be made equal.
#[derive(Debug)]
pub struct Clash;

impl Dims {
    /// A bare number.
    pub const NONE: Dims = Dims::Known(Dim::NONE);
    /// A length.
    pub const LENGTH: Dims = Dims::Known(Dim::LENGTH);

    /// A variable alone.
    pub fn var(var: u32) -> Dims {
        Dims::Open(Rc::new(Open { known: Dim::NONE, vars: vec![(var, 1)] }))
    }

    /// The dimension, where all of it is known.
    pub fn known(&self) -> Option<Dim> {
        match self {
            Dims::Known(dim) => Some(*dim),
            Dims::Open(_) => None,
        }
    }

    fn parts(&self) -> (Dim, &[(u32, i32)]) {
        match self {
            Dims::Known(dim) => (*dim, &[]),
            Dims::Open(open) => (open.known, &open.vars),
        }
    }

    fn of(known: Dim, vars: Vec<(u32, i32)>) -> Option<Dims> {
        if vars.is_empty() {
            return Some(Dims::Known(known));
        }
        let modest = vars.len() <= UNKNOWNS && vars.iter().all(|(_, power)| power.abs() <= HIGHEST);
        modest.then(|| Dims::Open(Rc::new(Open { known, vars })))
    }

    /// This times a power of another; `None` where that is no dimension, or too much of one.
    pub fn times(&self, other: &Dims, power: i32) -> Option<Dims> {
        let (a, x) = self.parts();
        let (b, y) = other.parts();
        let known = a.times(b.powi(power).ok()?).ok()?;
        if y.is_empty() && x.is_empty() {
            return Some(Dims::Known(known));
        }
        let mut vars = x.to_vec();
        for (var, k) in y {
            add_to(&mut vars, *var, k.checked_mul(power)?);
        }
        Dims::of(known, vars)
    }

    /// Raised to a whole power.
    pub fn power(&self, power: i32) -> Option<Dims> {
        Dims::NONE.times(self, power)
    }
}

fn add_to(vars: &mut Vec<(u32, i32)>, var: u32, power: i32) {
    match vars.binary_search_by_key(&var, |(known, _)| *known) {
        Ok(at) => {
            let sum = vars.get(at).map_or(0, |(_, known)| known.saturating_add(power));
            if sum == 0 {
                vars.remove(at);
            } else if let Some(place) = vars.get_mut(at) {
                place.1 = sum;
            }
        }
        Err(at) if power != 0 => vars.insert(at, (var, power)),
        Err(_) => {}
    }
}

/// A known dimension's whole root, where it has one.
pub fn root(dim: Dim, n: i32) -> Option<Dim> {
    let part = |power: i8, of: Dim| {
        let power = i32::from(power);
        if power.checked_rem(n)? == 0 { of.powi(power.checked_div(n)?).ok() } else { None }
    };
    let mut made = part(dim.length(), Dim::LENGTH)?;
    made = made.times(part(dim.mass(), Dim::MASS)?).ok()?;
    made = made.times(part(dim.time(), Dim::TIME)?).ok()?;
    made = made.times(part(dim.angle(), Dim::ANGLE)?).ok()?;
    match dim.currency() {
        Some(currency) => made.times(part(dim.money_power(), Dim::money(currency))?).ok(),
        None => Some(made),
    }
}

/// What a variable was bound to, and when: what a binding speaks of was free then, so that putting in
/// the earliest binding first meets each of them once, and no binding leads back to itself.
#[derive(Debug)]
struct Bound {
    at: usize,
    dims: Dims,
}

/// What dimension variables stand for.
#[derive(Debug, Default)]
pub struct DimTable {
    bound: Bindings<Bound>,
    steps: Cell<u64>,
    unsettled: Cell<bool>,
}

impl DimTable {
    /// A new variable.
    pub fn fresh(&mut self) -> u32 {
        self.bound.fresh()
    }

    /// A place to come back to.
    pub fn mark(&self) -> usize {
        self.bound.mark()
    }

    /// Takes back what was bound since `mark`.
    pub fn undo(&mut self, mark: usize) {
        self.bound.undo(mark);
    }

    /// Whether something was left open since this was last asked.
    pub fn take_unsettled(&self) -> bool {
        self.unsettled.take()
    }

    /// Leaves something to the check at run time.
    pub fn leave(&self) {
        self.unsettled.set(true);
    }

    fn bind(&mut self, var: u32, dims: Dims) {
        self.bound.bind(var, Bound { at: self.bound.mark(), dims });
    }

    /// With every bound variable put in; `None` where that is more than is looked at.
    pub fn resolve(&self, dims: &Dims) -> Option<Dims> {
        let made = self.put_in(dims);
        if made.is_none() {
            self.leave();
        }
        made
    }

    fn put_in(&self, dims: &Dims) -> Option<Dims> {
        let mut made = dims.clone();
        loop {
            let Dims::Open(open) = &made else { return Some(made) };
            let bound = |(var, power): &(u32, i32)| {
                let bound = self.bound.get(*var)?;
                Some((bound, *var, *power))
            };
            let Some((bound, var, power)) =
                open.vars.iter().filter_map(bound).min_by_key(|(bound, ..)| bound.at)
            else {
                return Some(made);
            };
            let steps = self.steps.get().saturating_add((open.vars.len() as u64).saturating_add(1));
            self.steps.set(steps);
            if steps > CHECK {
                return None;
            }
            made = made.times(&Dims::var(var), power.checked_neg()?)?.times(&bound.dims, power)?;
        }
    }

    /// Makes two dimensions equal.
    pub fn unify(&mut self, a: &Dims, b: &Dims) -> Result<(), Clash> {
        if let (Dims::Known(x), Dims::Known(y)) = (a, b) {
            return if x == y { Ok(()) } else { Err(Clash) };
        }
        let ratio = self.resolve(a).zip(self.resolve(b)).and_then(|(a, b)| a.times(&b, -1));
        match ratio {
            Some(ratio) => self.none(ratio),
            // Past what this can say; the run-time check decides.
            None => {
                self.leave();
                Ok(())
            }
        }
    }

    /// Makes a resolved dimension that of a bare number, by elimination over whole powers.
    fn none(&mut self, mut dims: Dims) -> Result<(), Clash> {
        loop {
            let Dims::Open(open) = &dims else {
                return if dims.known() == Some(Dim::NONE) { Ok(()) } else { Err(Clash) };
            };
            let Some((var, k)) = open.vars.iter().copied().min_by_key(|(_, k)| k.abs()) else {
                return Ok(());
            };
            let rest = || open.vars.iter().copied().filter(|(other, _)| *other != var);
            if rest().all(|(_, other)| other.checked_rem(k) == Some(0)) {
                // var^k * rest * known is nothing: var is the k-th root of what is left, turned over.
                let known = root(open.known, k).ok_or(Clash)?;
                let vars = rest().map(|(other, power)| (other, power.checked_div(k).unwrap_or(0))).collect();
                match Dims::of(known, vars).and_then(|value| value.power(-1)) {
                    Some(value) => self.bind(var, value),
                    None => self.leave(),
                }
                return Ok(());
            }
            // The least power grows less at each turn.
            let whole = rest()
                .map(|(other, power)| (other, power.checked_div_euclid(k).map_or(0, i32::saturating_neg)))
                .filter(|(_, p)| *p != 0);
            let mut vars: Vec<(u32, i32)> = whole.collect();
            vars.push((self.fresh(), 1));
            let next = Dims::of(Dim::NONE, vars).and_then(|value| {
                self.bind(var, value);
                self.resolve(&dims)
            });
            let Some(next) = next else {
                self.leave();
                return Ok(());
            };
            dims = next;
        }
    }
}
