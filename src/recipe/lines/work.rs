//! An expression by itself: shown where it is entered, without a label.

use super::*;
use crate::recipe::lines::show::ShowAct;
use crate::syntax::tree::Work;

impl Meaning for Work {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        scope.total = true;
        Some(Box::new(ShowAct { label: None, value: builder.compiler.expr(&self.value, scope) }))
    }
}
