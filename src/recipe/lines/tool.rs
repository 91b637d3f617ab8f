//! `tool scissors`

use super::*;
use crate::docket;
use crate::syntax::tree::Tool;

#[derive(Debug)]
struct ToolAct {
    tool: docket::Tool,
    blade: Node,
}

impl Meaning for Tool {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, _scope: &mut Scope) -> Option<Box<dyn Act>> {
        let tool = match self {
            Tool::Rotary => docket::Tool::Rotary,
            Tool::Scissors => docket::Tool::Scissors,
        };
        Some(Box::new(ToolAct { tool, blade: blade::caution(line, builder) }))
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

    fn again(&self, _line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        maker.machine.settings.tool = self.tool;
        Ok(())
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        maker.machine.settings.tool = self.tool;
        blade::say(&self.blade, line, maker)
    }
}
