//! `rule twice(x: length) = 2 * x`: compiled before the lines, so that rules may stand in any order.

use std::rc::Rc;

use crate::code::scope::Scope;
use crate::recipe::build::Builder;
use crate::recipe::lines::{Act, Meaning};
use crate::syntax::tree::{Line, Rule};

impl Meaning for Rc<Rule> {
    fn compile(&self, _line: &Line, _builder: &mut Builder<'_>, _scope: &mut Scope) -> Option<Box<dyn Act>> {
        None
    }

    fn may_be_used(&self) -> bool {
        true
    }
}
