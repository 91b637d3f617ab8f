//! `show flat`, `show "cut size": flat`

use super::*;
use crate::code::node::{Code, Op};
use crate::docket::{Shown, StepKind};
use crate::syntax::tree::Show;

#[derive(Debug)]
struct ShowAct {
    label: Vec<Piece>,
    value: Node,
}

impl Meaning for Show {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        scope.total = true;
        let label = match &self.label {
            Some(text) => compiler.pieces(text, scope),
            None => vec![Piece::Plain(own_words(compiler.files, self.value.span))],
        };
        Some(Box::new(ShowAct { label, value: compiler.expr(&self.value, scope) }))
    }

    fn makes(&self) -> bool {
        true
    }
}

impl Act for ShowAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.pieces(&self.label);
        infer.expr(&self.value);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let label: Rc<str> = maker.text(&self.label, line)?;
        let value = maker.eval(&self.value, line)?;
        maker.machine.spend_items(value.weight(), line.span)?;
        let shown = Shown { label, value: maker.figure(&value), line: line.row() };
        maker.run.docket.shows.push(shown);
        if maker.live.is_some() {
            maker.note(None, &value);
            maker.say(&value);
            maker.machine.that = Some(value);
        }
        Ok(())
    }

    fn shows(&self) -> Option<(u32, bool)> {
        let mut base = &self.value;
        let mut part = false;
        while let Code::Apply(Op::Part(..), of) = &base.code {
            base = of.first()?;
            part = true;
        }
        match base.code {
            Code::Global(slot) => Some((slot, part)),
            _ => None,
        }
    }

    fn answers(&self) -> bool {
        true
    }

    fn save(&self) -> Save {
        Save::Answer
    }

    fn explain<'a>(&'a self, _set: bool, origin: &mut Origin<'a>) {
        origin.kind = StepKind::Answer;
        origin.node = Some(&self.value);
    }

    fn asked<'a>(&'a self, line: &Compiled, all: Option<&[Origin<'a>]>) -> Option<(Asked<'a>, bool)> {
        all.map(|_| (Asked::Formula(&self.value, line.slots), false))
    }
}
