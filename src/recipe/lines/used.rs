//! `use "house.scant"`: its lines are gathered in its place, under settings of their own.

use super::*;
use crate::syntax::tree::Use;

/// Where the lines of a used file begin, and where they end.
#[derive(Debug)]
pub(super) enum UsedAct {
    Begins,
    Ends,
}

impl Meaning for Use {
    fn compile(&self, _line: &Line, _builder: &mut Builder<'_>, _scope: &mut Scope) -> Option<Box<dyn Act>> {
        None
    }

    fn may_be_used(&self) -> bool {
        true
    }
}

impl Act for UsedAct {
    fn check(&self, _infer: &mut Infer<'_>) {}

    fn make(&self, _line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        match self {
            UsedAct::Begins => maker.outer.push(maker.machine.settings.clone()),
            UsedAct::Ends => {
                if let Some(settings) = maker.outer.pop() {
                    maker.machine.settings = settings;
                }
            }
        }
        Ok(())
    }

    fn save(&self) -> Save {
        if matches!(self, UsedAct::Begins) { Save::Use } else { Save::Never }
    }

    fn again(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        self.make(line, maker)
    }
}
