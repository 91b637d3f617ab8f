//! `draw tuck_marks(…)`, `draw "the flap": flap.outline`

use super::*;
use crate::docket::Picture;
use crate::recipe::picture::parts;
use crate::syntax::tree::{Draw, ExprKind};
use crate::value::describe::Operand;

#[derive(Debug)]
struct DrawAct {
    title: Vec<Piece>,
    value: Node,
}

impl Meaning for Draw {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        let title = match &self.label {
            Some(text) => compiler.pieces(text, scope),
            None => vec![Piece::Plain(own_words(compiler.files, self.value.span))],
        };
        let span = self.value.span;
        let drawn = match &self.value.kind {
            ExprKind::Call(call) => compiler.drawn(call, span, scope),
            _ => None,
        };
        let value = drawn.map_or_else(|| compiler.expr(&self.value, scope), |code| Node { code, span });
        Some(Box::new(DrawAct { title, value }))
    }

    fn makes(&self) -> bool {
        true
    }
}

impl Act for DrawAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.pieces(&self.title);
        infer.expr(&self.value);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let title = maker.text(&self.title, line)?;
        let value = maker.eval(&self.value, line)?;
        maker.machine.spend(value.weight().saturating_mul(100), line.span)?;
        maker.machine.spend_items(value.weight(), line.span)?;
        let parts = parts(&Operand::new(&value, self.value.span), &maker.machine.settings.manner)?;
        if maker.live.is_some() {
            maker.kept(&format!("draw {title}"), &value);
        }
        maker.run.docket.pictures.push(Picture { title, parts, line: line.row() });
        Ok(())
    }
}
