//! What is kept where something is measured: the settings of the lines, what was cut, what was made.

use std::rc::Rc;

use crate::eval::machine::Settings;
use crate::eval::words::Operand;
use crate::fault::{Code as FaultCode, Fault, FileId, Span, closest};
use crate::measure::Manner;
use crate::value::data::Value;

/// What was measured, from outside.
#[derive(Debug, Default)]
pub(crate) struct Outside {
    /// Slot and value.
    pub made: Vec<(u32, Value)>,
    /// The pieces that are cut already.
    pub cut: Vec<Rc<str>>,
}

/// A `cut` line as it was worked.
#[derive(Clone, Debug)]
pub(crate) struct CutMade {
    /// Where it stands.
    pub span: Span,
    /// Its label.
    pub label: Rc<str>,
    /// How many, and which size, as they were cut.
    pub cut: (Value, Value),
    /// The size as it would be cut by what was measured; as it was cut where nothing changed.
    pub now: Value,
    /// How it is read.
    pub manner: Manner,
}

/// A name, what was planned, and what was made.
#[derive(Debug)]
pub(crate) struct MadeName {
    pub slot: u32,
    pub planned: Value,
    pub made: Value,
    /// The settings in force where it was measured.
    pub settings: Settings,
}

/// What a way through the lines keeps where something is measured.
#[derive(Debug, Default)]
pub(crate) struct Follow {
    /// Whether the measured values are put in place.
    pub real: bool,
    /// What was measured from outside, where no line of the recipe measures it.
    pub outside: Vec<(u32, Value)>,
    /// What a line of the recipe measures, from outside.
    pub instead: Vec<(u32, Value)>,
    /// The settings in force before each line, and those of the files that use its own.
    pub before: Vec<(Settings, Vec<Settings>)>,
    /// The `cut` lines of this way.
    pub cuts: Vec<CutMade>,
    /// Those of the planned way.
    pub planned: Vec<CutMade>,
    /// Labels of pieces that are cut already, and where they were named.
    pub labels: Vec<(Rc<str>, Option<Span>)>,
    /// What was measured, in order.
    pub made: Vec<MadeName>,
    /// Whether the planned way came out.
    pub whole: bool,
}

/// How much was followed at some time.
#[derive(Clone, Copy, Debug)]
pub(crate) struct FollowMark([usize; 4]);

impl Follow {
    /// For the prompt, where what is measured holds at once.
    pub fn live() -> Follow {
        Follow { real: true, whole: true, ..Follow::default() }
    }

    /// What is followed now.
    pub fn mark(&self) -> FollowMark {
        FollowMark([self.before.len(), self.cuts.len(), self.labels.len(), self.made.len()])
    }

    /// No more is followed than was at a mark.
    pub fn back(&mut self, mark: FollowMark) {
        let FollowMark([before, cuts, labels, made]) = mark;
        self.before.truncate(before);
        self.cuts.truncate(cuts);
        self.labels.truncate(labels);
        self.made.truncate(made);
    }

    /// For the way as measured.
    pub fn measured(outside: &Outside, in_recipe: impl Fn(u32) -> bool, plan: Follow, whole: bool) -> Follow {
        let labels = outside.cut.iter().map(|label| (label.clone(), None)).collect();
        let (instead, outside) = outside.made.iter().cloned().partition(|(slot, _)| in_recipe(*slot));
        Follow { real: true, outside, instead, planned: plan.cuts, labels, whole, ..Follow::default() }
    }

    /// Whether what was measured tells that pieces of this label were cut before.
    pub fn is_cut(&self, label: &str) -> bool {
        self.real && self.labels.iter().any(|(known, _)| **known == *label)
    }

    /// Labels of pieces that no `cut` line has, from one on.
    pub fn unknown_labels(&self, first: usize) -> Vec<Fault> {
        let known = |label: &str| self.cuts.iter().any(|cut| *cut.label == *label);
        let unknown = self.labels.iter().skip(first).filter(|(label, _)| !known(label));
        let fault = |(label, span): &(Rc<str>, Option<Span>)| {
            let message = format!("no `cut` line has a piece called \"{label}\"");
            let fault = match span {
                Some(span) => Fault::new(FaultCode::UnknownName, *span, message),
                None => Fault::nowhere(FaultCode::UnknownName, message),
            };
            fault.did_you_mean(closest(label, self.cuts.iter().map(|cut| &*cut.label)))
        };
        unknown.map(fault).collect()
    }
}

/// How what was made is written.
pub(crate) const BOTH_WAYS: &str = "measure it both ways: `59 5/8 in by 71 3/4 in`";
pub(crate) const AS_PLANNED: &str = "write it in the same way as it was planned, with its unit";
pub(crate) const MEASURABLE: &str = "measure a length, a size, or a list of these";

/// What was measured must be of the kind that was planned.
pub(crate) fn same_kind(name: &str, planned: &Value, made: &Value, span: Option<Span>) -> Result<(), Fault> {
    if planned.measures_like(made) || matches!((planned, made), (Value::List(_), Value::List(_))) {
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
