//! `show flat`, `show "cut size": flat`

use super::*;
use crate::code::node::{Code, Op};
use crate::docket::{Shown, StepKind};
use crate::syntax::tree::Show;

#[derive(Debug)]
pub(super) struct ShowAct {
    /// What it is called on the docket; nothing for an answer at the prompt alone.
    pub label: Option<Vec<Piece>>,
    pub value: Node,
}

impl Meaning for Show {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        scope.total = true;
        let label = match &self.label {
            Some(text) => compiler.pieces(text, scope),
            None => vec![Piece::Plain(own_words(compiler.files, self.value.span))],
        };
        Some(Box::new(ShowAct { label: Some(label), value: compiler.expr(&self.value, scope) }))
    }

    fn makes(&self) -> bool {
        true
    }
}

impl Act for ShowAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.pieces(self.label.as_deref().unwrap_or(&[]));
        infer.expr(&self.value);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let label = self.label.as_ref().map(|label| maker.text(label, line)).transpose()?;
        let value = maker.eval(&self.value, line)?;
        if label.is_some() {
            maker.machine.spend_items(value.weight(), line.span)?;
        }
        if maker.live.is_some() || label.is_none() {
            maker.note(None, &value);
            maker.say(&value);
            maker.machine.that = Some(value.clone());
        }
        if let Some(label) = label {
            let shown = Shown { label, value: maker.figure(value.into_figure()), line: line.row() };
            maker.run.docket.shows.push(shown);
        }
        Ok(())
    }

    fn shows(&self) -> Option<(u32, bool)> {
        self.label.as_ref()?;
        let mut base = &self.value;
        while let Code::Apply(Op::Part(..), of) = &base.code {
            base = of.first()?;
        }
        match base.code {
            Code::Global(slot) => Some((slot, !std::ptr::eq(base, &self.value))),
            _ => None,
        }
    }

    fn answers(&self) -> bool {
        true
    }

    fn is_sum(&self) -> bool {
        self.label.is_none()
    }

    fn save(&self) -> Save {
        Save::Answer
    }

    fn explain<'a>(&'a self, _set: bool, origin: &mut Origin<'a>) {
        origin.kind = StepKind::Answer;
        origin.node = Some(&self.value);
    }

    fn asked<'a>(&'a self, line: &Compiled, all: Option<&[Origin<'a>]>) -> Option<(Asked<'a>, bool)> {
        self.label.as_ref().and(all).map(|_| (Asked::Formula(&self.value, line.slots), false))
    }
}
