//! What a sewer would do about a difference: the library's rules are asked, side by side.

use std::rc::Rc;

use crate::code::{CallNode, Code, Compiler, Names, Node};
use crate::eval::limits::Limits;
use crate::eval::machine::{Machine, Settings};
use crate::fault::{FileId, Files, Span};
use crate::measure::{Dim, Quantity};
use crate::value::data::Value;

/// The rule about a thing that came out otherwise than planned, and that about a piece that was cut to the old number.
pub(crate) const PUT_RIGHT: &str = "put_right";
pub(crate) const RECUT: &str = "recut";

/// What a rule says to do about a difference, side by side.
pub(crate) fn corrections(rule: &str, first: &Value, second: &Value, settings: &Settings) -> Vec<Rc<str>> {
    let middle = |value: &Value| match value {
        Value::Slack(slack) => Value::Measure(slack.middle()),
        Value::SlackSize(size) => Value::size(size.0.middle(), size.1.middle()),
        other => other.clone(),
    };
    let pairs: Vec<(&str, Quantity, Quantity)> = match (middle(first), middle(second)) {
        (Value::Measure(a), Value::Measure(b)) => vec![("", a, b)],
        (Value::Size(a), Value::Size(b)) => {
            vec![("across: ", a.0.clone(), b.0.clone()), ("along: ", a.1.clone(), b.1.clone())]
        }
        _ => Vec::new(),
    };
    let told = pairs.into_iter().filter_map(|(side, a, b)| {
        let same = a.compare(&b).is_ok_and(std::cmp::Ordering::is_eq);
        if same || a.dim != Dim::LENGTH {
            return None;
        }
        let words = ask(rule, a, b, settings)?;
        Some(format!("{side}{words}").into())
    });
    told.collect()
}

/// The words of a rule of the library about two lengths.
fn ask(rule: &str, first: Quantity, second: Quantity, settings: &Settings) -> Option<Rc<str>> {
    let mut names = Names::default();
    let mut files = Files::new();
    let mut compiler = Compiler::new(&mut names, &mut files);
    let id = compiler.names.library_rule(rule, compiler.files)?;
    compiler.rule(id);
    if !compiler.faults.is_empty() {
        return None;
    }
    let mut machine = Machine::new(Limits::default());
    machine.rules = names.rules.iter().map(|entry| entry.code.clone()).collect();
    machine.settings = settings.clone();
    let span = Span::new(FileId(0), 0, 0);
    let constant = |quantity| Node { code: Code::Const(Value::Measure(quantity)), span };
    let args = vec![(0, constant(first)), (1, constant(second))];
    let call = Node { code: Code::Call(Box::new(CallNode { rule: id, args })), span };
    match machine.line(&call, 0) {
        Ok(Value::Text(words)) => Some(words),
        _ => None,
    }
}
