//! `tool scissors`

use crate::check::Infer;
use crate::code::scope::Scope;
use crate::docket;
use crate::eval::machine::Halt;
use crate::recipe::lines::append::Builder;
use crate::recipe::lines::maker::Maker;
use crate::recipe::lines::{Act, Compiled, Meaning, Save};
use crate::syntax::tree::{Line, Tool};

#[derive(Debug)]
struct ToolAct(docket::Tool);

impl Meaning for Tool {
    fn compile(&self, _line: &Line, _builder: &mut Builder<'_>, _scope: &mut Scope) -> Option<Box<dyn Act>> {
        Some(Box::new(ToolAct(match self {
            Tool::Rotary => docket::Tool::Rotary,
            Tool::Scissors => docket::Tool::Scissors,
        })))
    }

    fn may_be_used(&self) -> bool {
        true
    }
}

impl Act for ToolAct {
    fn check(&self, _infer: &mut Infer<'_>) {}

    fn save(&self) -> Save {
        Save::Always
    }

    fn again(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        self.make(line, maker)
    }

    fn make(&self, _line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        maker.machine.settings.tool = self.0;
        Ok(())
    }
}
