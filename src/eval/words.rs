//! What the lines of a recipe say of values: the causes of faults of evaluating, ready to be given back.

pub use crate::value::describe::Operand;

use crate::code::node::{Code as NodeCode, Node, RuleCode};
use crate::eval::halt::{Halt, Worked};
use crate::fault::{Code, Fault, Label, Span};
use crate::measure::{Dim, Trouble};
use crate::value::builtin::Builtin;
use crate::value::cause::{At, Cause, One, Uncounted, Want};
use crate::value::data::{Doubt, Value};

/// A value of the wrong kind for the place where it stands.
pub fn wanted<'w>(what: impl Into<Want<'w>>, value: &Value, span: Span) -> Fault {
    Cause::wanted(what, &Operand::new(value, span)).into()
}

/// Two values that cannot be compared.
pub fn comparison(trouble: Trouble, left: Operand<'_>, right: Operand<'_>) -> Halt {
    Cause::comparison(trouble, &left, &right).into()
}

/// Trouble with one value.
pub fn alone(trouble: Trouble, span: Span) -> Halt {
    Cause::At(At::Number(trouble), span).into()
}

/// A yes or no is needed, and slack leaves it open.
pub fn not_sure(doubt: &Doubt, span: Span) -> Halt {
    Cause::At(At::NotSure(doubt.words.clone()), span).into()
}

/// More than a recipe may take.
pub fn too_much(span: Span, message: impl Into<String>) -> Fault {
    Fault::new(Code::TooMuch, span, message)
}

/// A whole number, 0 or more.
pub(crate) fn whole_count(operand: Operand<'_>, what: &str) -> Result<u64, Halt> {
    let quantity = match operand.value {
        Value::Measure(quantity) if quantity.dim == Dim::NONE => quantity,
        _ => return Err(Cause::wanted("a count", &operand).into()),
    };
    if let Some(count) = quantity.whole_count().and_then(|n| u64::try_from(n).ok()) {
        return Ok(count);
    }
    let why = Uncounted::of(quantity);
    Err(Cause::At(At::Count(what.to_owned(), why, operand.value.short()), operand.span).into())
}

/// How many calling places a fault inside a rule names, so that endless recursion stays readable.
const CALLERS_SHOWN: u8 = 3;

/// A fault inside a rule names the places that called it, the nearest first.
pub(crate) fn called_from(halt: Halt, rule: &RuleCode, span: Span) -> Halt {
    let Halt::Fault(mut fault) = halt else { return halt };
    if rule.library && fault.code == Code::DivisionByZero {
        fault.code = Code::OutOfBounds;
        fault.message = format!("`{}` would divide by 0 with these values", rule.name);
    }
    if rule.library && fault.code == Code::BadSetting {
        // The default of an argument needs it; where the library says so helps nobody.
        let label = format!("`{}` needs it", rule.name);
        fault.primary = Some(Label { span, text: label });
        fault.others.clear();
        return Halt::Fault(fault);
    }
    let inside = fault.span().is_some_and(|place| !within(place, span));
    let told = fault.others.iter().any(|label| label.span == span);
    if inside && !told && fault.callers < CALLERS_SHOWN && fault.code != Code::Stopped {
        fault.others.push(Label { span, text: format!("`{}` is called here", rule.name) });
        fault.callers = fault.callers.saturating_add(1);
    }
    Halt::Fault(fault)
}

/// A setting that the default of a parameter needs can be given as that parameter too.
pub(crate) fn or_give(halt: Halt, param: &str) -> Halt {
    let Halt::Fault(mut fault) = halt else { return halt };
    if fault.code == Code::BadSetting
        && let Some(hint) = fault.hints.last_mut()
    {
        hint.push_str(&format!(", or give `{param}: …` in the brackets"));
    }
    Halt::Fault(fault)
}

/// A division by 0 in a rule's own formula names the argument that is 0.
pub(crate) fn zero_in(halt: Halt, rule: &RuleCode) -> Halt {
    let Halt::Fault(mut fault) = halt else { return halt };
    if fault.code == Code::DivisionByZero
        && let Some(span) = fault.span()
        && let Some(slot) = slot_at(&rule.body, span)
        && let Some(param) = rule.params.get(slot as usize)
    {
        fault.message =
            format!("`{}` in `{}` is 0, and a number cannot be divided by 0", param.name, rule.name);
    }
    Halt::Fault(fault)
}

/// The slot of the name that stands at a place of a formula.
fn slot_at(node: &Node, span: Span) -> Option<u32> {
    if let (true, NodeCode::Local(slot)) = (node.span == span, &node.code) {
        return Some(*slot);
    }
    let mut found = None;
    node.children(&mut |child| found = found.or_else(|| slot_at(child, span)));
    found
}

fn within(inner: Span, outer: Span) -> bool {
    inner.file == outer.file && outer.start <= inner.start && inner.end <= outer.end
}

/// Why a built-in makes nothing of a measure.
pub(crate) fn no_number(trouble: Trouble, builtin: Builtin, operand: Operand<'_>) -> Cause {
    match trouble {
        Trouble::UnitMix => Cause::one(One::NoRoot, &operand),
        Trouble::NoSuchNumber if builtin == Builtin::Sqrt => Cause::At(At::NegativeRoot, operand.span),
        Trouble::NoSuchNumber => Cause::At(At::NoTangent, operand.span),
        other => Cause::At(At::Number(other), operand.span),
    }
}

/// Items that do not add up.
pub(crate) fn mixed_list(trouble: Trouble, first: &Value, item: &Value, place: Span) -> Halt {
    match trouble {
        Trouble::UnitMix | Trouble::MoneyMix => {
            Cause::At(At::MixedList(first.trade_name(), item.trade_name()), place).into()
        }
        other => alone(other, place),
    }
}

/// A yes, a no, or what is not sure.
pub(crate) fn yes_or_no(value: Value, span: Span) -> Worked {
    match value {
        answer @ (Value::YesNo(_) | Value::NotSure(_)) => Ok(answer),
        other => Err(Cause::wanted(Want::YES_NO, &Operand::new(&other, span)).into()),
    }
}

/// Advice that a rule gave less than nothing.
pub(crate) fn less_than_nothing(rule: &RuleCode, made: &Value) -> Fault {
    let message = format!("`{}` gives {}, less than nothing", rule.name, made.short());
    let fault = Fault::advice(Code::Advice, rule.heading, message);
    fault
        .hint("if that is right, write `signed` before the kind that it gives, for example `: signed length`")
}
