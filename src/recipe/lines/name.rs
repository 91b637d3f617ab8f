//! `strip = double_binding_cut(binding)`

use super::draw::drawing;
use super::*;
use crate::code::node::Code;
use crate::syntax::tree::Name;

#[derive(Debug)]
struct NameAct {
    slot: u32,
    value: Node,
    drawing: Option<Node>,
}

impl Meaning for Name {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let value = builder.compiler.named(&self.name.name, &self.value, scope);
        let slot = builder.give(&self.name);
        let given = Node { code: Code::Global(slot), span: value.span };
        let drawing = drawing(&mut builder.compiler, &self.value, given, scope).ok();
        Some(Box::new(NameAct { slot, value, drawing }))
    }

    fn declare(&self, builder: &mut Builder<'_>) {
        builder.declare_name(&self.name);
    }

    fn may_be_used(&self) -> bool {
        true
    }
}

impl Act for NameAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.name(self.slot, |infer| infer.expr(&self.value));
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let value = maker.eval(&self.value, line)?;
        maker.give(self.slot, value);
        Ok(())
    }

    fn again(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let value = maker.eval(&self.value, line)?;
        maker.put(self.slot, value);
        Ok(())
    }

    fn written(&self) -> Option<&Node> {
        Some(&self.value)
    }

    fn drawing(&self) -> Option<&Node> {
        self.drawing.as_ref()
    }

    fn gives(&self) -> Option<u32> {
        Some(self.slot)
    }

    fn follows(&self) -> Option<&Node> {
        Some(&self.value)
    }

    fn explain<'a>(&'a self, _set: bool, origin: &mut Origin<'a>) {
        origin.node = Some(&self.value);
    }

    fn asked<'a>(&'a self, _line: &Compiled, all: Option<&[Origin<'a>]>) -> Option<(Asked<'a>, bool)> {
        last_origin(self.slot, all)
    }
}
