//! `why flat`, `why flat briefly`

use super::*;
use crate::code::node::Code;
use crate::fault::{Code as FaultCode, Fault};
use crate::syntax::tree::Why;

#[derive(Debug)]
struct WhyAct {
    asked: Node,
    briefly: bool,
    /// Whether it asks for the last answer.
    alone: bool,
}

impl Meaning for Why {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let asked = match &self.asked {
            Some(asked) => builder.compiler.expr(asked, scope),
            None => {
                scope.mentions.push((line.span, Mention::That));
                Node { code: Code::That, span: line.span }
            }
        };
        Some(Box::new(WhyAct { asked, briefly: self.briefly, alone: self.asked.is_none() }))
    }
}

impl Act for WhyAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.expr(&self.asked);
    }

    /// The working itself is reported when the run is done; a fault is reported here.
    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        if maker.live.is_some() && self.alone && maker.machine.that.is_none() {
            let fault = Fault::new(FaultCode::TooEarly, line.span, "there is no answer yet");
            return Err(fault.hint("type a sum first, or write it after `why`: `why 6 * 3/4 in`").into());
        }
        maker.eval(&self.asked, line)?;
        maker.tell_working((Asked::Formula(&self.asked, line.slots), self.briefly), line.span)
    }

    fn only_asks(&self) -> bool {
        true
    }

    fn asked<'a>(&'a self, line: &Compiled, _all: Option<&[Origin<'a>]>) -> Option<(Asked<'a>, bool)> {
        Some((Asked::Formula(&self.asked, line.slots), self.briefly))
    }
}
