//! What the check asks of lines about cloth: a count, a cloth, a size.

use crate::check::Infer;
use crate::check::dims::Dims;
use crate::check::operate::Quant;
use crate::check::rules::never_a_count;
use crate::check::types::Type;
use crate::check::words;
use crate::code::node::{Code, Node};
use crate::fault::{Code as FaultCode, Fault};
use crate::measure::{Exact, Quantity};
use crate::value::data::Value;

impl Infer<'_> {
    /// A whole number, 0 or more.
    pub(crate) fn whole(&mut self, node: &Node, what: &str) {
        let ty = self.expr(node);
        if !self.fits(&ty, &Dims::NONE) {
            let fault = words::wanted(self, "a count", &ty, node);
            return self.tell(fault);
        }
        if !never_a_count(node) {
            return;
        }
        let below = match &node.code {
            Code::Const(Value::Measure(x)) => x.is_negative(),
            _ => true,
        };
        let range = if below { "0 or more" } else { "a whole number" };
        let number = match &node.code {
            Code::Const(value) => crate::eval::words::short(value),
            _ => self.files.text(node.span).to_owned(),
        };
        let whole = |x: &Quantity| x.number.exact().is_some_and(Exact::is_whole);
        if matches!(&node.code, Code::Const(Value::Measure(x)) if whole(x) && !below) {
            let message = format!("{what} is more than can be counted: {number}");
            return self.tell(Fault::new(FaultCode::TooMuch, node.span, message));
        }
        let fault = words::kind(node.span, format!("{what} is {range}, and this is {number}"));
        self.tell(if below { fault } else { fault.hint("round it: `x up 1`, `x down 1`") });
    }

    /// Across by along.
    pub(crate) fn size(&mut self, node: &Node, what: &str) {
        let ty = self.expr(node);
        let fits = match self.quant(&ty) {
            Quant::Is(..) => self.store.unify(&ty, &Type::SIZE).is_ok(),
            Quant::Unsure => true,
            Quant::Not => false,
        };
        if !fits {
            let fault = words::wanted(self, &format!("the size of {what}"), &ty, node);
            self.tell(fault.hint(crate::recipe::cutting::SIZES));
        }
    }

    /// A record with the parts of a cloth.
    pub(crate) fn cloth(&mut self, node: &Node) {
        use crate::recipe::cloth::{MADE_WITH, NAME, NAMED_FIRST, WIDTH};
        let ty = self.expr(node);
        let bad = |message: &str| words::kind(node.span, message.into()).hint(MADE_WITH);
        let record = match self.store.shallow(&ty) {
            Type::Record(record) => record,
            Type::Unsure | Type::Never | Type::Mixed(_) | Type::Var(_) | Type::Maybe(_) => return,
            _ => {
                let fault = words::wanted(self, "a cloth", &ty, node);
                return self.tell(fault.hint(NAMED_FIRST));
            }
        };
        let part =
            |name: &str| record.parts.iter().find(|(known, _)| &**known == name).map(|(_, ty)| ty.clone());
        let named = match part("name") {
            Some(ty) => self.store.unify(&ty, &Type::Text).is_ok(),
            None => record.more,
        };
        let wide = match part("usable") {
            Some(ty) => self.fits(&ty, &Dims::LENGTH),
            None => record.more,
        };
        if !named {
            self.tell(bad(NAME));
        } else if !wide {
            self.tell(bad(WIDTH));
        }
    }
}
