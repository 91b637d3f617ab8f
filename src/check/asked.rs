//! The lines that ask: `why` and `find`.

use crate::ask::act::AskAct;
use crate::ask::find::FindAct;
use crate::check::Infer;
use crate::check::Known;
use crate::check::operate::Quant;
use crate::check::types::{Shape, Type};
use crate::check::words;
use crate::code::node::Node;
use crate::fault::{Code as FaultCode, Fault};

impl Infer<'_> {
    /// A line that gives no name.
    pub(crate) fn asked(&mut self, ask: &AskAct) {
        match ask {
            AskAct::Why { asked, .. } => {
                self.expr(asked);
            }
            AskAct::Find { find, .. } => {
                self.find(find);
            }
        }
    }

    /// What is looked for is of its range's kind, in the condition too.
    pub(crate) fn find(&mut self, find: &FindAct) -> Type {
        let (low, high, on, condition) = find.nodes();
        let ty = self.find_range(low, high);
        if let Some(on) = on {
            let step = self.expr(on);
            let what = "a step to search on, such as `1/8 in`,";
            if self.one(&step, on, what).is_some() && self.store.unify(&ty, &step).is_err() {
                let fault = words::comparison(self, (&ty, low), (&step, on));
                self.tell(fault.hint("a step is of the range's kind"));
            }
        }
        let ty = match (on, ty) {
            (Some(_), Type::Quant(dims, _)) => Type::Quant(dims, Shape::One),
            (_, ty) => ty,
        };
        match self.globals.get_mut(find.slot as usize) {
            Some(place) if find.names => *place = Known::Told(ty.clone()),
            Some(Known::Told(known)) => {
                let known = known.clone();
                self.find_again(find, &known, &ty, low);
            }
            _ => {}
        }
        self.condition(condition);
        ty
    }

    fn find_range(&mut self, low: &Node, high: &Node) -> Type {
        let (a, b) = (self.expr(low), self.expr(high));
        let what = "an end of the range, a measure or a number,";
        let (Some(_), Some(_)) = (self.one(&a, low, what), self.one(&b, high, what)) else {
            return Type::Unsure;
        };
        if self.store.unify(&a, &b).is_err() {
            let fault = words::comparison(self, (&a, low), (&b, high));
            self.tell(fault);
            return Type::Unsure;
        }
        match (self.quant(&a), self.quant(&b)) {
            (Quant::Is(dims, Shape::Count), Quant::Is(_, Shape::Count)) => Type::Quant(dims, Shape::Count),
            (Quant::Is(dims, _), _) => Type::Quant(dims, Shape::One),
            _ => Type::Unsure,
        }
    }

    /// A name that has its value already is looked for among values of its own kind.
    fn find_again(&mut self, find: &FindAct, known: &Type, ty: &Type, low: &Node) {
        if self.store.unify(known, ty).is_ok() {
            return;
        }
        let (a, b) = (words::name(self, known), words::name(self, ty));
        let message = format!("`{}` is {a}, and it is looked for from {b} on", find.name);
        let fault = Fault::new(FaultCode::UnitMix, low.span, message);
        let fault = match self.names.globals.get(find.slot as usize) {
            Some(entry) => fault.other(entry.span, "it has its value here"),
            None => fault,
        };
        self.tell(fault.hint("write the range as the value is written, or look for another name"));
    }
}
