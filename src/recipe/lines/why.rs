//! `why flat`, `why flat briefly`

use crate::ask::why::{Asked, Origin};
use crate::check::Infer;
use crate::code::node::{Code, Node};
use crate::code::scope::Scope;
use crate::eval::machine::Halt;
use crate::recipe::build::Builder;
use crate::recipe::lines::{Act, Compiled, Meaning};
use crate::recipe::make::Maker;
use crate::syntax::tree::{Line, Why};

#[derive(Debug)]
struct WhyAct {
    asked: Node,
    briefly: bool,
}

impl Meaning for Why {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let asked = match &self.asked {
            Some(asked) => builder.compiler.expr(asked, scope),
            None => Node { code: Code::That, span: line.span },
        };
        Some(Box::new(WhyAct { asked, briefly: self.briefly }))
    }
}

impl Act for WhyAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.framed(|infer| {
            infer.expr(&self.asked);
        });
    }

    /// The working itself is told when the run is done; a fault is told here.
    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        maker.eval(&self.asked, line).map(drop)
    }

    fn only_asks(&self) -> bool {
        true
    }

    fn asked<'a>(&'a self, line: &Compiled, _all: Option<&[Origin<'a>]>) -> Option<(Asked<'a>, bool)> {
        Some((Asked::Formula(&self.asked, line.slots), self.briefly))
    }
}
