//! `measured top = 59 5/8 in by 71 3/4 in, already cut "border"`: what was really made.

use crate::ask::why::Origin;
use crate::check::Infer;
use crate::check::types::{Shape, Type};
use crate::check::words;
use crate::code::names::Names;
use crate::code::node::{Code, Node, Piece};
use crate::code::scope::Scope;
use crate::docket::StepKind;
use crate::eval::machine::Halt;
use crate::eval::words::Operand;
use crate::fault::{Code as FaultCode, Fault, FileId, Span, closest};
use crate::recipe::build::Builder;
use crate::recipe::lines::{Act, Compiled, Meaning};
use crate::recipe::make::Maker;
use crate::syntax::tree::{Ident, Line, Measured};
use crate::value::data::Value;

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
        if let Some(first) = builder.lines.iter().find(|line| line.act.measures() == Some(slot)) {
            let message = format!("`{}` is measured twice", name.name);
            let fault = Fault::new(FaultCode::NameTwice, name.span, message).other(first.span, "first here");
            builder.compiler.faults.push(fault.hint("keep the line of the last measuring"));
            return None;
        }
        Some(Box::new(MeasuredAct { slot, value, cut }))
    }
}

impl Act for MeasuredAct {
    /// What was made must be of the kind that was planned.
    fn check(&self, infer: &mut Infer<'_>) {
        infer.framed(|infer| {
            self.check_kind(infer);
            self.cut.iter().for_each(|pieces| infer.pieces(pieces));
        });
    }

    fn make(&self, line: &Compiled, maker: &mut Maker<'_>) -> Result<(), Halt> {
        maker.measured_line(self.slot, &self.value, &self.cut, line)
    }

    fn measures(&self) -> Option<u32> {
        Some(self.slot)
    }

    fn explain<'a>(&'a self, _set: bool, origin: &mut Origin<'a>) {
        origin.kind = StepKind::Measured;
        origin.node = (!matches!(self.value.code, Code::Const(_))).then_some(&self.value);
    }
}

const BOTH_WAYS: &str = "measure it both ways: `59 5/8 in by 71 3/4 in`";
const AS_PLANNED: &str = "write it as it was planned, with its unit";
const MEASURABLE: &str = "measure a length, a size or a list of such";

impl MeasuredAct {
    fn check_kind(&self, infer: &mut Infer<'_>) {
        let made = infer.expr(&self.value);
        let Some(planned) = infer.known(self.slot) else { return };
        if infer.store.unify(&planned, &made).is_ok() {
            return;
        }
        let Some(entry) = infer.names.globals.get(self.slot as usize) else { return };
        let (a, b) = (words::name(infer, &planned), words::described(infer, &made, &self.value));
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
pub(crate) fn planned(names: &Names, name: &Ident) -> Result<u32, Option<Fault>> {
    let Some(slot) = names.slots.get(&name.name).copied() else {
        if names.spoiled.contains(&name.name) {
            return Err(None);
        }
        let message = format!("nothing here is called `{}`", name.name);
        let close = closest(&name.name, names.slots.keys().map(|name| &**name));
        let fault = Fault::new(FaultCode::UnknownName, name.span, message).did_you_mean(close);
        return Err(Some(fault.hint("`measured` tells what a name of a line above really came out as")));
    };
    match names.globals.get(slot as usize) {
        Some(entry) if !entry.passed => {
            let message = format!("`{}` is measured here, but its own line comes later", name.name);
            let fault = Fault::new(FaultCode::TooEarly, name.span, message)
                .other(entry.span, "it is planned here")
                .hint("a thing is planned first and measured when it is sewn: move this line below it");
            Err(Some(fault))
        }
        _ => Ok(slot),
    }
}

/// What was measured must be of the kind that was planned.
pub(crate) fn same_kind(name: &str, planned: &Value, made: &Value, span: Option<Span>) -> Result<(), Fault> {
    let fits = match (planned, made) {
        (Value::Measure(x), Value::Measure(y)) => x.dim == y.dim,
        (Value::Slack(x), Value::Measure(y)) | (Value::Measure(y), Value::Slack(x)) => x.dim() == y.dim,
        (Value::Slack(x), Value::Slack(y)) => x.dim() == y.dim(),
        (Value::Size(_) | Value::SlackSize(_), Value::Size(_) | Value::SlackSize(_)) => true,
        (Value::List(_), Value::List(_)) => true,
        _ => false,
    };
    if fits {
        return Ok(());
    }
    let at = span.unwrap_or(Span::new(FileId(0), 0, 0));
    let (made, as_planned) = (Operand::new(made, at).words(), Operand::new(planned, at).words());
    let hint = match planned {
        Value::Size(_) | Value::SlackSize(_) => BOTH_WAYS,
        Value::Measure(_) | Value::Slack(_) | Value::List(_) => AS_PLANNED,
        _ => MEASURABLE,
    };
    let message = match hint {
        MEASURABLE => format!("`{name}` is {as_planned}, which cannot be measured"),
        _ => format!("`{name}` was planned as {as_planned}, and this is {made}"),
    };
    let fault = match span {
        Some(span) => Fault::new(FaultCode::WrongKind, span, message),
        None => Fault::nowhere(FaultCode::WrongKind, message),
    };
    Err(fault.hint(hint))
}
