//! `draw tuck_marks(…)`, `draw "the flap": flap.outline`

use super::*;
use crate::code::{Code, Compiler};
use crate::docket::Picture;
use crate::recipe::answer::Answer;
use crate::recipe::picture::parts;
use crate::syntax::tree::{Draw, Expr, ExprKind};
use crate::value::{Operand, Value};

#[derive(Debug)]
struct DrawAct {
    title: Vec<Piece>,
    value: Node,
}

/// The drawing of an expression's value, where it is a call of a rule that says how it is drawn; else the value.
pub(super) fn drawing(
    compiler: &mut Compiler<'_>,
    expr: &Expr,
    value: Node,
    scope: &mut Scope,
) -> Result<Node, Node> {
    let ExprKind::Call(call) = &expr.kind else { return Err(value) };
    let Some(mut drawn) = compiler.drawn(call, scope) else { return Err(value) };
    let span = value.span;
    drawn.args.insert(0, (0, value));
    Ok(Node { code: Code::Call(drawn), span })
}

impl Meaning for Draw {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        let title = match &self.label {
            Some(text) => compiler.pieces(text, scope),
            None => vec![Piece::Plain(own_words(compiler.files, self.value.span))],
        };
        let value = compiler.expr(&self.value, scope);
        let value = drawing(compiler, &self.value, value, scope).unwrap_or_else(|value| value);
        Some(Box::new(DrawAct { title, value }))
    }

    fn makes(&self) -> bool {
        true
    }
}

impl DrawAct {
    /// What is drawn: of a name that a call gave, as the rule of the call says.
    fn drawn_value(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<Value, Halt> {
        if let Code::Global(slot) = self.value.code {
            let given = maker.lines.iter().rev().find(|line| line.act.gives() == Some(slot));
            if let Some((drawing, given)) = given.and_then(|given| Some((given.act.drawing()?, given))) {
                return maker.eval(drawing, given);
            }
        }
        maker.eval(&self.value, line)
    }
}

impl Act for DrawAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.pieces(&self.title);
        infer.expr(&self.value);
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let title = maker.text(&self.title, line)?;
        let value = self.drawn_value(line, maker)?;
        maker.machine.spend(value.weight().saturating_mul(100), line.span)?;
        maker.machine.spend_items(value.weight(), line.span)?;
        let parts = parts(&Operand::new(&value, self.value.span), &maker.machine.settings.manner)?;
        if maker.live.is_some() {
            let shown = "kept for the recipe: `save` it, and `scant run FILE --as pdf` shows the drawing";
            maker.answer(Answer::Words(format!("draw {title} ({shown})")));
        }
        maker.run.docket.pictures.push(Picture { title, parts, line: line.row() });
        Ok(())
    }
}
