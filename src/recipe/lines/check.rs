//! `check flat.across <= linen.usable: "too wide"`

use super::*;
use crate::code::node::Code;
use crate::docket;
use crate::eval::words;
use crate::syntax::tree::Check;
use crate::value::{Value, Want};

#[derive(Debug)]
struct CheckAct {
    condition: Node,
    message: Option<Vec<Piece>>,
    /// The condition's own text.
    words: Rc<str>,
}

impl Meaning for Check {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let compiler = &mut builder.compiler;
        scope.total = true;
        Some(Box::new(CheckAct {
            words: own_words(compiler.files, self.condition.span),
            condition: compiler.expr(&self.condition, scope),
            message: self.message.as_ref().map(|text| compiler.pieces(text, scope)),
        }))
    }

    fn makes(&self) -> bool {
        true
    }

    fn advise(&self, look: &mut Look<'_>) {
        let idle = look.idle_check(&self.condition);
        look.told.extend(idle);
    }
}

impl Act for CheckAct {
    fn check(&self, infer: &mut Infer<'_>) {
        infer.condition(&self.condition);
        infer.pieces(self.message.as_deref().unwrap_or(&[]));
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        let (passed, doubt) = match maker.eval(&self.condition, line)? {
            Value::YesNo(yes) => (yes, None),
            Value::NotSure(doubt) => (false, Some(doubt.words.clone())),
            other => return Err(words::wanted(Want::YES_NO, &other, self.condition.span).into()),
        };
        let message = match &self.message {
            Some(pieces) => maker.text(pieces, line)?,
            None => self.words.clone(),
        };
        let open = doubt.is_some();
        let detail = if passed { None } else { doubt.or_else(|| self.compared(line, maker)) };
        if maker.live.is_some() {
            let (verdict, words) = match passed {
                true => ("ok", &self.words),
                false if open => ("not sure", &message),
                false => ("NOT", &message),
            };
            let detail = detail.as_ref().map(|words| format!(" ({words})")).unwrap_or_default();
            maker.answer(Answer::Words(format!("{verdict}: {words}{detail}")));
        }
        let line = line.row();
        maker.run.docket.checks.push(docket::Check { passed, open, message, detail, line });
        Ok(())
    }
}

impl CheckAct {
    /// What a failed comparison compared: both true values.
    fn compared(&self, line: &Compiled, maker: &mut Maker<'_>) -> Option<Rc<str>> {
        let Code::Compare(first, links) = &self.condition.code else { return None };
        let sides = std::iter::once(&**first).chain(links.iter().map(|link| &link.operand));
        let values: Vec<String> = sides
            .map(|side| maker.eval(side, line).ok().map(|value| value.exact_text()))
            .collect::<Option<_>>()?;
        Some(values.join(" against ").into())
    }
}
