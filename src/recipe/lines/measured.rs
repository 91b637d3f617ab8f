//! `measured top = 59 5/8 in by 71 3/4 in, already cut "border"`: what was really made.

use super::*;
use crate::check::{Shape, Type, words};
use crate::code::{Code, Names};
use crate::docket::StepKind;
use crate::fault::{Code as FaultCode, Fault, closest};
use crate::recipe::measured::follow::{AS_PLANNED, BOTH_WAYS, MEASURABLE};
use crate::syntax::tree::{Ident, Measured};

#[derive(Debug)]
struct MeasuredAct {
    slot: u32,
    value: Node,
    cut: Vec<Vec<Piece>>,
}

impl Meaning for Measured {
    fn compile(&self, _line: &Line, builder: &mut Builder<'_>, scope: &mut Scope) -> Option<Box<dyn Act>> {
        let name = &self.name;
        let compiler = &mut builder.compiler;
        let value = compiler.named(&name.name, &self.value, scope);
        let cut = self.cut.iter().map(|label| compiler.pieces(label, scope)).collect();
        let slot = planned(compiler.names, name).map_err(|fault| compiler.faults.extend(fault)).ok()?;
        scope.mentions.push((name.span, Mention::Name(slot)));
        let first = || builder.body.lines.iter().find(|line| line.act.measures() == Some(slot));
        if !builder.body.grows
            && let Some(first) = first()
        {
            let message = format!("`{}` is measured twice", name.name);
            let fault = Fault::new(FaultCode::NameTwice, name.span, message).other(first.span, "first here");
            builder.compiler.faults.push(fault.hint("keep only the line of the last measurement"));
            return None;
        }
        Some(Box::new(MeasuredAct { slot, value, cut }))
    }
}

impl Act for MeasuredAct {
    /// What was made must be of the kind that was planned.
    fn check(&self, infer: &mut Infer<'_>) {
        self.check_kind(infer);
        self.cut.iter().for_each(|pieces| infer.pieces(pieces));
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        maker.measured_line(self.slot, &self.value, &self.cut, line)
    }

    fn measures(&self) -> Option<u32> {
        Some(self.slot)
    }

    fn save(&self) -> Save {
        Save::Last(format!("measured {}", self.slot).into())
    }

    fn explain<'a>(&'a self, _set: bool, origin: &mut Origin<'a>) {
        origin.kind = StepKind::Measured;
        origin.node = (!matches!(self.value.code, Code::Const(_))).then_some(&self.value);
    }
}

impl MeasuredAct {
    fn check_kind(&self, infer: &mut Infer<'_>) {
        let made = infer.expr(&self.value);
        let Some(planned) = infer.known(self.slot) else { return };
        if infer.store.unify(&planned, &made).is_ok() {
            return;
        }
        let Some(entry) = infer.names.globals.get(self.slot as usize) else { return };
        let (a, b) = (infer.kind_name(&planned), words::described(infer, &made, &self.value));
        let (name, span) = (entry.name.clone(), entry.span);
        let (message, hint) = match &planned {
            Type::Quant(..) | Type::List(_) => (
                format!("`{name}` was planned as {a}, and this is {b}"),
                if matches!(planned, Type::Quant(_, Shape::Size)) { BOTH_WAYS } else { AS_PLANNED },
            ),
            _ => (format!("`{name}` is {a}, which cannot be measured"), MEASURABLE),
        };
        infer.tell(words::kind(self.value.span, message).other(span, "it is planned here").hint(hint));
    }
}

/// The slot of a name that is measured: it must have been planned on a line above.
fn planned(names: &Names, name: &Ident) -> Result<u32, Option<Fault>> {
    let Some(slot) = names.slots.get(&name.name).copied() else {
        if names.spoiled.contains(&name.name) {
            return Err(None);
        }
        let message = format!("nothing here is called `{}`", name.name);
        let close = closest(&name.name, names.slots.keys().map(|name| &**name));
        let fault = Fault::new(FaultCode::UnknownName, name.span, message).did_you_mean(close);
        return Err(Some(fault.hint("`measured` gives the real size of something named on a line above")));
    };
    match names.globals.get(slot as usize) {
        Some(entry) if !entry.passed => {
            let message = format!("`{}` is measured here, but its own line is below", name.name);
            let fault = Fault::new(FaultCode::TooEarly, name.span, message)
                .other(entry.span, "it is planned here")
                .hint("plan first and measure later: move this line below that one");
            Err(Some(fault))
        }
        _ => Ok(slot),
    }
}
