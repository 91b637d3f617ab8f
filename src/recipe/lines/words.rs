//! `recipe`, `note`, `step` and `caution`: a text with values filled in.

use super::*;
use crate::code::node::Piece;
use crate::docket;
use crate::fault::{Code, Fault};
use crate::syntax::tree::{Words, WordsKind};

#[derive(Debug)]
struct WordsAct {
    what: WordsKind,
    pieces: Vec<Piece>,
}

impl Meaning for Words {
    fn compile(&self, line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        if self.what == WordsKind::Recipe
            && let Some(first) = builder.body.place.title.replace(line.span)
        {
            let message = "a file can have only one recipe, and this is the second";
            let fault = Fault::new(Code::BadLine, line.span, message);
            builder.compiler.faults.push(fault.other(first, "the first is here"));
            return None;
        }
        scope.total = self.what == WordsKind::Step;
        Some(Box::new(WordsAct { what: self.what, pieces: builder.compiler.pieces(&self.text, scope) }))
    }

    fn may_be_used(&self) -> bool {
        matches!(self.what, WordsKind::Recipe | WordsKind::Note)
    }

    fn makes(&self) -> bool {
        self.what == WordsKind::Step
    }

    fn advise(&self, look: &mut Look<'_>) {
        if self.what == WordsKind::Step {
            look.forgotten_braces(&self.text);
        }
    }
}

impl Act for WordsAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.pieces(&self.pieces);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let text = maker.text(&self.pieces, line)?;
        if maker.live.is_some() {
            maker.answer(Answer::Words(text.to_string()));
            return Ok(());
        }
        let made = &mut maker.run.docket;
        match self.what {
            WordsKind::Recipe => made.recipe = Some(text),
            WordsKind::Note => made.notes.push(docket::Words { words: text, line: line.row() }),
            WordsKind::Step => made.steps.push(docket::Words { words: text, line: line.row() }),
            WordsKind::Caution => maker.machine.cautions.push(text),
        }
        Ok(())
    }
}
