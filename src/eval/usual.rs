//! What a call leaves out, where the library's usual value is in inches and the call is metric, or the other way.

use crate::code::node::{CallNode, Code, Node, RuleCode};
use crate::eval::machine::Machine;
use crate::fault::{Code as FaultCode, Fault, Span, listed};
use crate::measure::{Dim, Exact, Number, Quantity, Reading, System, UnitId, Units, Way};
use crate::value::data::Value;

impl Machine {
    /// Advice on the usual values that a call takes in another system than that of its arguments.
    #[cold]
    pub(crate) fn usual_values(&mut self, call: &CallNode, rule: &RuleCode, span: Span) {
        if self.advice.iter().any(|fault| fault.span() == Some(span)) {
            return;
        }
        let mut systems = call.args.iter().filter_map(|(slot, _)| self.local(*slot).and_then(system));
        let Some(asked) = systems.next() else { return };
        if systems.any(|other| other != asked) {
            return;
        }
        let other = rule.left_out(call).filter_map(|(_, param, default)| {
            let usual = literal(default)?;
            (usual.reading.system()? != asked).then(|| (param.name.to_string(), usual))
        });
        let other: Vec<(String, &Quantity)> = other.collect();
        if !other.is_empty() {
            self.advice.push(told(rule, &other, asked, span));
        }
    }
}

/// The system in which a length or a size was given.
fn system(value: &Value) -> Option<System> {
    match value {
        Value::Measure(quantity) if quantity.dim == Dim::LENGTH => quantity.reading.system(),
        Value::Size(size) => size.0.reading.system(),
        Value::Slack(slack) if slack.dim() == Dim::LENGTH => slack.middle().reading.system(),
        _ => None,
    }
}

/// A length that a heading states as it is written, other than 0.
fn literal(default: &Node) -> Option<&Quantity> {
    match &default.code {
        Code::Const(Value::Measure(usual)) if usual.dim == Dim::LENGTH && !usual.is_zero() => Some(usual),
        _ => None,
    }
}

fn told(rule: &RuleCode, other: &[(String, &Quantity)], asked: System, span: Span) -> Fault {
    let taken = other.iter().map(|(name, usual)| format!("`{name}` as {}", usual.show(&Default::default())));
    let taken: Vec<String> = taken.collect();
    let whose = if other.len() == 1 { "its usual value" } else { "their usual values" };
    let message = format!("`{}` takes {}, {whose}", rule.name, listed(&taken));
    let fault = Fault::advice(FaultCode::Advice, span, message);
    let instead = other.iter().filter_map(|(name, usual)| {
        round_value(usual, asked).map(|value| format!("{name}: {}", value.show(&Default::default())))
    });
    let system = if asked == System::Metric { "metric" } else { "inches" };
    fault.hint(format!("for a round value in {system} write `{}`", instead.collect::<Vec<_>>().join(", ")))
}

/// A value near the usual one that is easy to measure in the other system.
fn round_value(usual: &Quantity, asked: System) -> Option<Quantity> {
    let below = |whole: i64, unit: UnitId| usual.number.mid() < Exact::whole(whole) * unit.factor();
    // So many steps in a unit, or one step of so many units.
    let (unit, steps, units) = match asked {
        System::Metric if below(1, UnitId::IN) => (UnitId::MM, 1, 1),
        System::Metric if below(6, UnitId::IN) => (UnitId::CM, 2, 1),
        System::Metric if below(10, UnitId::IN) => (UnitId::CM, 1, 1),
        System::Metric => (UnitId::CM, 1, 5),
        System::Inch if below(1, UnitId::CM) => (UnitId::IN, 16, 1),
        System::Inch => (UnitId::IN, 4, 1),
    };
    let number = Number::Exact((Exact::whole(units) * unit.factor()).checked_div(&Exact::whole(steps))?);
    let step = Quantity { number, dim: Dim::LENGTH, reading: Reading::Typed(Units::one(unit)) };
    let rounded = usual.round_to(&step, Way::Nearest).ok()?;
    Some(Quantity { reading: step.reading, ..rounded })
}
