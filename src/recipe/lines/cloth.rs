//! What the check asks of lines about cloth: a count, a cloth, a size.

use crate::check::{Dims, Infer, Quant, Type, words};
use crate::code::node::Node;

impl Infer<'_> {
    /// A whole number, 0 or more.
    pub(crate) fn whole(&mut self, node: &Node, what: &str) {
        let ty = self.expr(node);
        self.count(&ty, node, what);
    }

    /// Across by along.
    pub(crate) fn size(&mut self, node: &Node, what: &str) {
        let ty = self.expr(node);
        self.is_size(&ty, node, what);
    }

    /// The size of a piece, its shape, or a record with its outline.
    pub(crate) fn piece(&mut self, node: &Node) {
        let ty = self.expr(node);
        let outlined = match self.store.shallow(&ty) {
            Type::Outline => true,
            Type::Record(record) => record.more || record.parts.iter().any(|(name, _)| &**name == "outline"),
            _ => false,
        };
        if !outlined {
            self.is_size(&ty, node, "a piece");
        }
    }

    fn is_size(&mut self, ty: &Type, node: &Node, what: &str) {
        let fits = match self.quant(ty) {
            Quant::Is(..) => self.store.unify(ty, &Type::SIZE).is_ok(),
            Quant::Unsure => true,
            Quant::Not => false,
        };
        if !fits {
            let fault = words::wanted(self, &format!("the size of {what}"), ty, node);
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
        let named = part("name").map_or(record.more, |ty| self.store.unify(&ty, &Type::Text).is_ok());
        let wide = part("usable").map_or(record.more, |ty| self.fits(&ty, &Dims::LENGTH));
        if !named {
            self.tell(bad(NAME));
        } else if !wide {
            self.tell(bad(WIDTH));
        }
    }
}
