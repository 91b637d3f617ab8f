//! A second look at a sound recipe: what nobody uses, checks that cannot fail, steps that forgot
//! their braces, givens without bounds. Advice, never an error.

use std::collections::{HashMap, HashSet};
use std::rc::Rc;

use crate::fault::{Code as FaultCode, Fault, Files, Span, closest};
use crate::measure::Quantity;
use crate::recipe::lines::meaning;
use crate::recipe::used::Gathered;
use crate::syntax::tree::{
    BinaryOp, Bounds, CompareOp, Comparison, Expr, ExprKind, Given, Ident, Line, LineKind, Text, TextPart,
};
use crate::syntax::visit::{exprs, within};

/// Advice on the lines of a recipe, in the order of the lines.
pub(crate) fn advice(lines: &[Gathered], files: &Files) -> Vec<Fault> {
    let all: Vec<&Line> = lines.iter().filter_map(Gathered::line).collect();
    let own: Vec<&Line> = lines
        .iter()
        .filter_map(|line| match line {
            Gathered::Line(line, false) => Some(line),
            _ => None,
        })
        .collect();
    let givens = own.iter().filter_map(|line| match &line.kind {
        LineKind::Given(given) => Some((given.name.name.clone(), &**given)),
        _ => None,
    });
    let mut look = Look {
        givens: givens.collect(),
        names: all.iter().filter_map(|line| named(line)).map(|ident| &*ident.name).collect(),
        files,
        told: Vec::new(),
        unbounded: HashSet::new(),
    };
    unused(&all, &own, &mut look.told);
    for line in &own {
        meaning(&line.kind).advise(&mut look);
        look.formulas(line);
    }
    look.told.sort_by_key(Fault::span);
    look.told
}

/// What a second look knows of the recipe, and what it says.
pub(crate) struct Look<'a> {
    givens: HashMap<Rc<str>, &'a Given>,
    names: HashSet<&'a str>,
    files: &'a Files,
    pub told: Vec<Fault>,
    /// Givens that are reported to be unbounded already.
    unbounded: HashSet<Rc<str>>,
}

/// The name that a line gives to a value.
fn named(line: &Line) -> Option<&Ident> {
    match &line.kind {
        LineKind::Given(given) => Some(&given.name),
        LineKind::Name(line) => Some(&line.name),
        _ => None,
    }
}

/// Givens and names that nothing reads.
fn unused(all: &[&Line], own: &[&Line], told: &mut Vec<Fault>) {
    if !own.iter().any(|line| meaning(&line.kind).makes()) {
        return;
    }
    let mut read: HashSet<&str> = HashSet::new();
    for line in all {
        if let LineKind::Measured(measured) = &line.kind {
            read.insert(&measured.name.name);
        }
        exprs(line, &mut |expr| {
            within(expr, &mut |part| {
                if let ExprKind::Name(name) = &part.kind {
                    read.insert(name);
                }
            });
        });
    }
    for line in own {
        let Some(ident) = named(line).filter(|ident| !read.contains(&*ident.name)) else { continue };
        let given = matches!(line.kind, LineKind::Given(_));
        let message = match given {
            true => format!("the given `{}` changes nothing: no line uses it", ident.name),
            false => format!("`{}` is calculated, and no line uses it", ident.name),
        };
        let fault = Fault::advice(FaultCode::Advice, ident.span, message);
        told.push(
            fault.hint(format!("write `show {}` to put it on the docket, or leave the line out", ident.name)),
        );
    }
}

/// The bound of a given that makes a comparison with a measure as written hold for all its values.
fn held_by(given: &Given, link: &Comparison) -> Option<Span> {
    use std::cmp::Ordering::{Equal, Greater, Less};
    let Bounds::FromTo(low, high) = &given.bounds else { return None };
    let against = written(&link.operand)?;
    let (bound, wanted): (&Expr, &[std::cmp::Ordering]) = match link.op {
        CompareOp::Less => (high, &[Less]),
        CompareOp::AtMost => (high, &[Less, Equal]),
        CompareOp::More => (low, &[Greater]),
        CompareOp::AtLeast => (low, &[Greater, Equal]),
        CompareOp::Is | CompareOp::IsNot => return None,
    };
    let order = written(bound)?.compare(against).ok()?;
    wanted.contains(&order).then_some(bound.span)
}

fn written(expr: &Expr) -> Option<&Quantity> {
    match &expr.kind {
        ExprKind::Measure(quantity) => Some(quantity),
        ExprKind::Bracket(inner) => written(inner),
        _ => None,
    }
}

/// Where a word is in a text.
fn place(files: &Files, span: Span, word: &str) -> Span {
    match files.text(span).find(word) {
        Some(at) => {
            let start = (span.start as usize).saturating_add(at);
            Span::new(span.file, start, start.saturating_add(word.len()))
        }
        None => span,
    }
}

impl Look<'_> {
    /// A check that comes out the same whatever is given.
    pub fn idle_check(&self, condition: &Expr) -> Option<Fault> {
        let mut changes = false;
        within(condition, &mut |part| {
            changes |= matches!(part.kind, ExprKind::Name(_) | ExprKind::Call(_) | ExprKind::That);
        });
        let never = |message: String| {
            let fault = Fault::advice(FaultCode::Advice, condition.span, message);
            fault.hint("check what changes from size to size, or leave the line out")
        };
        if !changes {
            return Some(never("nothing in this check changes: the answer is always the same".into()));
        }
        let ExprKind::Compare(first, links) = &condition.kind else { return None };
        let [link] = links.as_slice() else { return None };
        let same = self.files.text(first.span) == self.files.text(link.operand.span);
        if same && matches!(link.op, CompareOp::Is | CompareOp::AtMost | CompareOp::AtLeast) {
            return Some(never("this check can never fail: both sides are the same".into()));
        }
        let ExprKind::Name(name) = &first.kind else { return None };
        let given = self.givens.get(name)?;
        let bound = held_by(given, link)?;
        let message = format!("this check can never fail: `{name}` is always within its bounds");
        Some(never(message).other(bound, "because of this bound"))
    }

    /// `step "Mark in_width fold lines."`: a name that is in a step as a mere word.
    pub fn forgotten_braces(&mut self, text: &Text) {
        for part in &text.parts {
            let TextPart::Plain(plain) = part else { continue };
            let words = plain.split(|c: char| !(c.is_alphanumeric() || c == '_'));
            // A word with a stroke below the line is a name; any other may be plain English.
            for word in words.filter(|word| word.trim_matches('_').contains('_')) {
                let close = if self.names.contains(word) { Some(word) } else { self.close_to(word) };
                let Some(close) = close else { continue };
                let span = place(self.files, text.span, word);
                let message = match close == word {
                    true => format!("this step prints the word `{word}`, not its value"),
                    false => format!("nothing here is called `{word}`, which this step names"),
                };
                let fault = Fault::advice(FaultCode::Advice, span, message);
                self.told.push(fault.hint(format!("for the value write `{{{close}}}`")));
            }
        }
    }

    fn close_to(&self, word: &str) -> Option<&str> {
        let mut names: Vec<&str> = self.names.iter().copied().collect();
        names.sort_unstable();
        closest(word, names)
    }

    /// A given without bounds in a place where some values would stop the run.
    pub fn unbounded(&mut self, expr: &Expr, why: &str) {
        let ExprKind::Name(name) = &expr.kind else { return };
        let given = self.givens.get(name).filter(|given| matches!(given.bounds, Bounds::Any));
        let Some(given) = given.filter(|_| self.unbounded.insert(name.clone())) else { return };
        let default = self.files.text(given.default.span);
        let message = format!("`{name}` has no bounds, and {why}");
        let fault = Fault::advice(FaultCode::Advice, given.name.span, message).other(expr.span, "here");
        self.told.push(fault.hint(format!("give it bounds: `given {name} = {default} from … to …`")));
    }

    /// Unbounded givens in a line's formulas.
    fn formulas(&mut self, line: &Line) {
        exprs(line, &mut |expr| {
            within(expr, &mut |part| match &part.kind {
                ExprKind::Binary(binary) if binary.op == BinaryOp::Divide => {
                    self.unbounded(&binary.right, "a number cannot be divided by 0");
                }
                ExprKind::Range(range) => self.unbounded(&range.to, "a range must end"),
                ExprKind::HowMany(pair) => {
                    self.unbounded(&pair.0, "a piece must be more than 0 to be counted");
                }
                _ => {}
            });
        });
    }
}
