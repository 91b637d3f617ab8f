//! What the lines of a recipe ask of the check.

use crate::check::types::Type;
use crate::check::{Infer, Known};
use crate::code::node::Node;
use crate::value::cause::Pair;

/// The lines that give names their values: a rule may read a name whose line comes later.
pub(crate) trait Lines {
    /// Looks at the line that gives the name in a slot.
    fn look_at(&self, slot: u32, infer: &mut Infer<'_>);

    /// What the line that gives the name in a slot writes for it.
    fn written(&self, _slot: u32) -> Option<&Node> {
        None
    }
}

/// No lines at all.
impl Lines for () {
    fn look_at(&self, _slot: u32, _infer: &mut Infer<'_>) {}
}

impl Infer<'_> {
    /// Looks at every rule, the library's too.
    pub fn all_rules(mut self) -> crate::check::Found {
        self.all = true;
        for rule in 0..self.names.rules.len() {
            self.rule(u32::try_from(rule).unwrap_or(u32::MAX));
        }
        self.found()
    }

    /// Looks at a rule by itself.
    pub fn rule(&mut self, rule: u32) {
        self.scheme(rule);
    }

    /// Looks at an example: both sides must be of one kind.
    pub fn example(&mut self, tried: &Node, expected: &Node) {
        self.framed(|infer| {
            let (a, b) = (infer.expr(tried), infer.expr(expected));
            if infer.store.unify(&a, &b).is_err() && !infer.maybe_alike(&a, &b) {
                infer.tell_pair(Pair::Comparison, (&a, tried), (&b, expected));
            }
        });
    }

    /// Lists and records are distinguished only when they are evaluated.
    fn maybe_alike(&self, a: &Type, b: &Type) -> bool {
        let held = |ty: &Type| matches!(self.store.shallow(ty), Type::List(_) | Type::Record(_));
        held(a) && held(b)
    }

    /// Looks at something in a frame of its own.
    pub(crate) fn framed(&mut self, look: impl FnOnce(&mut Self)) {
        let outer = std::mem::take(&mut self.locals);
        let needs = self.needs.len();
        look(self);
        self.settle(needs);
        self.needs.truncate(needs);
        self.locals = outer;
    }

    /// Looks at a line that gives a name, unless it was looked at already because a rule reads the name.
    pub(crate) fn name(&mut self, slot: u32, look: impl FnOnce(&mut Self) -> Type) {
        if !matches!(self.globals.get(slot as usize), Some(Known::Waiting)) {
            return;
        }
        self.set_known(slot, Known::Busy);
        let quiet = std::mem::take(&mut self.quiet);
        let mut told = Type::Unsure;
        self.framed(|infer| told = look(infer));
        self.quiet = quiet;
        self.make_known(slot, told);
    }

    fn set_known(&mut self, slot: u32, known: Known) {
        if let Some(place) = self.globals.get_mut(slot as usize) {
            *place = known;
        }
    }

    /// A name is of this kind.
    pub(crate) fn make_known(&mut self, slot: u32, ty: Type) {
        self.set_known(slot, Known::Inferred(ty));
    }

    /// What is known of a name that was looked at.
    pub(crate) fn known(&self, slot: u32) -> Option<Type> {
        match self.globals.get(slot as usize) {
            Some(Known::Inferred(ty)) => Some(ty.clone()),
            _ => None,
        }
    }
}
