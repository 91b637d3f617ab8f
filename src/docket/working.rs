//! The working of values: a tree of steps, each with its formula, its numbers and its result.

use std::rc::Rc;

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::Figure;
use super::json_object::object;

/// The working of one or several values. A step that several others use is kept once.
#[derive(Clone, Debug, Default)]
pub struct Working {
    /// What was asked.
    pub roots: Vec<Root>,
    /// All steps; one comes before those that it rests on.
    pub steps: Vec<WorkStep>,
    /// Whether there are more steps than are reported.
    pub cut_short: bool,
}

/// One thing that was asked.
#[derive(Clone, Copy, Debug)]
pub struct Root {
    /// Index of its step.
    pub step: usize,
    /// Whether one line is enough.
    pub briefly: bool,
}

/// One step.
#[derive(Clone, Debug)]
pub struct WorkStep {
    /// What sort of step it is.
    pub kind: StepKind,
    /// A name, or a rule's call with its numbers; nothing for a sum by itself.
    pub label: Option<Rc<str>>,
    /// The formula in its own words.
    pub formula: Option<Rc<str>>,
    /// Which way each `if` went: `60 in > 54 in is yes`.
    pub because: Vec<Rc<str>>,
    /// The formula with its numbers put in, where that says more.
    pub filled: Option<Rc<str>>,
    /// The result.
    pub value: Figure,
    /// What was planned, where it was made otherwise.
    pub planned: Option<Figure>,
    /// Where the formula is.
    pub place: Option<Place>,
    /// The `##` words above a given.
    pub words: Option<Rc<str>>,
    /// Where a rule comes from.
    pub sources: Vec<Rc<str>>,
    /// Whether the formula is one call of a rule, whose working is the first of `parts`.
    pub is_call: bool,
    /// Indices of the steps that it rests on.
    pub parts: Vec<usize>,
}

/// Sorts of step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum StepKind {
    /// A named value of the recipe.
    Name,
    /// A given at its default.
    Given,
    /// A given set from outside.
    Set,
    /// A rule.
    Rule,
    /// A named value inside a rule.
    Inner,
    /// One of a list.
    Item,
    /// What a `seam`, `ruler` or `shop` line says.
    Setting,
    /// The last answer.
    Answer,
    /// A sum without a name.
    Sum,
    /// What `find` found.
    Found,
    /// What was really made.
    Measured,
}

/// A line of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// The file's name.
    pub file: Rc<str>,
    /// The line, from one.
    pub line: usize,
}

/// Steps are counted from one.
fn counted(index: usize) -> usize {
    index.saturating_add(1)
}

/// A step and its number, from one.
struct Numbered<'a>(usize, &'a WorkStep);

impl Serialize for Working {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let steps = (1..).zip(&self.steps).map(|(number, step)| Numbered(number, step));
        object!(serializer,
            "asked": self.roots.iter().map(|root| counted(root.step)).collect::<Vec<_>>(),
            "steps": steps.collect::<Vec<_>>(),
            "cut_short": self.cut_short,
        )
    }
}

impl Serialize for Numbered<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Numbered(number, step) = *self;
        object!(serializer,
            "step": number,
            "kind": step.kind,
            "of": step.label,
            "formula": step.formula,
            "because": step.because,
            "filled": step.filled,
            "value": step.value,
            "planned": step.planned,
            "file": step.place.as_ref().map(|place| &place.file),
            "line": step.place.as_ref().map(|place| place.line),
            "words": step.words,
            "sources": step.sources,
            "depends_on": step.parts.iter().copied().map(counted).collect::<Vec<_>>(),
        )
    }
}
