//! An expression by itself.

use super::*;
use crate::docket::StepKind;
use crate::syntax::tree::Work;

#[derive(Debug)]
struct WorkAct(Node);

impl Meaning for Work {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        scope.total = true;
        Some(Box::new(WorkAct(builder.compiler.expr(&self.value, scope))))
    }
}

impl Act for WorkAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.expr(&self.0);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let value = maker.eval(&self.0, line)?;
        maker.note(None, &value);
        maker.say(&value);
        maker.machine.that = Some(value);
        Ok(())
    }

    fn answers(&self) -> bool {
        true
    }

    fn is_sum(&self) -> bool {
        true
    }

    fn save(&self) -> Save {
        Save::Answer
    }

    fn explain<'a>(&'a self, _set: bool, origin: &mut Origin<'a>) {
        origin.kind = StepKind::Answer;
        origin.node = Some(&self.0);
    }
}
