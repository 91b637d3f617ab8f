//! `given depth = 1/8 in from 1/16 in to 1/2 in`: a name whose value may come from outside.

use super::*;
use crate::code::node::Code;
use crate::docket::{self, StepKind};
use crate::recipe::lines::bounds::{Given, GivenBounds, given_value};
use crate::syntax::tree::{self, Bounds};

#[derive(Debug)]
struct GivenAct {
    /// Its place among the givens.
    index: usize,
    given: Rc<Given>,
}

impl Meaning for tree::Given {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        let default = compiler.named(&self.name.name, &self.default, scope);
        let bounds = match &self.bounds {
            Bounds::Any => GivenBounds::Any,
            Bounds::FromTo(low, high) => {
                GivenBounds::FromTo(compiler.expr(low, scope), compiler.expr(high, scope))
            }
            Bounds::OneOf(choices) => {
                GivenBounds::OneOf(choices.iter().map(|choice| compiler.expr(choice, scope)).collect())
            }
        };
        let words = line.doc.as_ref().map(|doc| doc.words.trim()).filter(|words| !words.is_empty());
        let given = Rc::new(Given {
            name: self.name.name.clone(),
            words: words.map(Into::into),
            span: self.name.span,
            slot: builder.give(&self.name),
            slots: scope.slots(),
            default,
            bounds,
        });
        builder.body.givens.push(given.clone());
        Some(Box::new(GivenAct { index: builder.body.givens.len().saturating_sub(1), given }))
    }

    fn declare(&self, builder: &mut Builder<'_>) {
        builder.declare_name(&self.name);
    }
}

impl Act for GivenAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.name(self.given.slot, |infer| self.given.check(infer));
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let given = &self.given;
        let set = maker.set_for(self.index);
        let value = given_value(maker.machine, given, set)?;
        let (name, words, set) = (given.name.clone(), given.words.clone(), set.is_some());
        let (figure, line) = (maker.figure(value.as_typed().into_figure()), line.row());
        maker.run.docket.givens.push(docket::Given { name, words, value: figure, set, line });
        maker.give(given.slot, value);
        Ok(())
    }

    fn again(&self, _line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let set = maker.set_for(self.index);
        let value = given_value(maker.machine, &self.given, set)?;
        maker.put(self.given.slot, value);
        Ok(())
    }

    fn written(&self) -> Option<&Node> {
        Some(&self.given.default)
    }

    fn gives(&self) -> Option<u32> {
        Some(self.given.slot)
    }

    fn given(&self) -> Option<usize> {
        Some(self.index)
    }

    fn explain<'a>(&'a self, set: bool, origin: &mut Origin<'a>) {
        let given = &self.given;
        origin.kind = if set { StepKind::Set } else { StepKind::Given };
        origin.words = given.words.clone();
        origin.node = (!set && !matches!(given.default.code, Code::Const(_))).then_some(&given.default);
    }
}
