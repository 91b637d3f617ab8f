//! The working of values, to be read and handed out: each step its formula, its numbers, its result.

use std::io::{self, Write};

use super::wrap::hang;
use super::{Screen, figure_text, slack_lines, value_text};
use crate::docket::{StepKind, WorkStep, Working};
use crate::measure::{literal, size};

/// Steps are so much further in than what rests on them, up to so many times.
const STEP_IN: usize = 3;
const MOST_IN: usize = 5;
/// A result longer than this is shown in short: its working says more.
const LONGEST: usize = 400;

/// The working as text.
pub fn working_text(working: &Working) -> String {
    working_on(working, Screen::default())
}

/// The working as text for a screen.
pub fn working_on(working: &Working, screen: Screen) -> String {
    let mut out = Vec::new();
    // Nothing fails in memory.
    let _ = write_working(working, screen.prose(), &mut out);
    String::from_utf8_lossy(&out).into_owned()
}

/// Writes the working to be read.
pub(crate) fn write_working(working: &Working, columns: usize, out: &mut dyn Write) -> io::Result<()> {
    let mut teller = Teller { working, out, columns, told: vec![None; working.steps.len()], next: 1 };
    for (at, root) in working.roots.iter().enumerate() {
        if root.briefly {
            let line = brief(working, root.step);
            teller.hanging(0, "", &line)?;
            continue;
        }
        if at > 0 && teller.told.get(root.step).is_some_and(Option::is_some) {
            continue;
        }
        if at > 0 {
            teller.line("")?;
        }
        teller.step(root.step, 0)?;
    }
    if working.cut_short {
        teller.line("There is more working; write `why` with a part of it.")?;
    }
    Ok(())
}

/// One line: the formula, its numbers, the result; a rule that does all of it is looked into.
fn brief(working: &Working, root: usize) -> String {
    let Some(mut step) = working.steps.get(root) else { return String::new() };
    let mut chain: Vec<String> = Vec::new();
    chain.extend(step.label.as_deref().map(str::to_owned));
    let result = figure_text(&step.value);
    if step.kind == StepKind::Found {
        chain.push(result);
        let told = step.formula.as_deref().unwrap_or("");
        return format!("{}, so that {told}", chain.join(" = "));
    }
    loop {
        chain.extend(step.filled.as_ref().or(step.formula.as_ref()).map(|text| text.to_string()));
        let inside = step.parts.first().filter(|_| step.is_call).and_then(|at| working.steps.get(*at));
        match inside {
            Some(inside) if chain.len() < 6 => step = inside,
            _ => break,
        }
    }
    while chain.last().is_some_and(|last| says(&result, last)) {
        chain.pop();
    }
    chain.push(result);
    chain.dedup();
    chain.join(" = ")
}

/// Whether a result says already what its row of numbers says: `generous 4 1/4 in (4 2/7 in)`.
fn says(result: &str, row: &str) -> bool {
    let inner = result
        .strip_suffix(')')
        .and_then(|result| result.rsplit_once(" ("))
        .map_or(result, |(_, inner)| inner);
    match (literal(inner), literal(row)) {
        (Ok(result), Ok(row)) => matches!(result.compare(&row), Ok(std::cmp::Ordering::Equal)),
        _ => inner == row,
    }
}

struct Teller<'a> {
    working: &'a Working,
    out: &'a mut dyn Write,
    /// No line is longer.
    columns: usize,
    /// The number under which each step was reported.
    told: Vec<Option<usize>>,
    next: usize,
}

impl Teller<'_> {
    fn line(&mut self, text: &str) -> io::Result<()> {
        writeln!(self.out, "{}", text.trim_end())
    }

    fn hanging(&mut self, indent: usize, lead: &str, words: &str) -> io::Result<()> {
        let lead = format!("{}{lead}", " ".repeat(indent));
        hang(&lead, words, self.columns).iter().try_for_each(|row| self.line(row))
    }

    fn step(&mut self, at: usize, depth: usize) -> io::Result<()> {
        let Some(step) = self.working.steps.get(at) else { return Ok(()) };
        let indent = STEP_IN.saturating_mul(depth.min(MOST_IN));
        if let Some(number) = self.told.get(at).copied().flatten() {
            let label = step.label.as_deref().unwrap_or("this");
            return self.hanging(indent, "", &format!("{label} = {}: see {number}", result(step)));
        }
        let number = self.next;
        self.next = self.next.saturating_add(1);
        if let Some(told) = self.told.get_mut(at) {
            *told = Some(number);
        }
        let lead = format!("{number}. ");
        if let Some(words) = on_one_line(step) {
            return self.hanging(indent, &lead, &words);
        }
        self.hanging(indent, &lead, &heading(step))?;
        let inner = indent.saturating_add(lead.len());
        for because in &step.because {
            self.hanging(inner, "  since ", because)?;
        }
        let mut rows: Vec<String> =
            [&step.formula, &step.filled].into_iter().flatten().map(|text| text.to_string()).collect();
        let found = step.kind == StepKind::Found;
        if !found {
            let result = result(step);
            rows.retain(|row| !says(&result, row));
            rows.push(result);
        }
        rows.dedup();
        for (at, row) in rows.iter().enumerate() {
            self.hanging(inner, if at == 0 || found { "  " } else { "= " }, row)?;
        }
        // Of what was asked itself, which sources add its slack.
        let shares = if depth == 0 { slack_lines(&step.value) } else { Vec::new() };
        for share in &shares {
            self.hanging(inner, "  ", share)?;
        }
        for source in &step.sources {
            self.hanging(inner, "  source: ", source)?;
        }
        step.parts.iter().try_for_each(|part| self.step(*part, depth.saturating_add(1)))
    }
}

fn result(step: &WorkStep) -> String {
    let text = figure_text(&step.value);
    if text.chars().count() <= LONGEST {
        return text;
    }
    let few = match &step.value.value {
        crate::docket::FigureValue::List(items) => {
            let first: Vec<String> =
                items.iter().take(2).map(|item| value_text(item, &step.value.manner)).collect();
            format!("[{}, … {} in all]", first.join(", "), items.len())
        }
        _ => text,
    };
    if few.chars().count() <= LONGEST { few } else { few.chars().take(LONGEST).chain(['…']).collect() }
}

/// Whether a formula is a value as it is written, with nothing in it to work: `8.5 in`, `8 in ± 1/32 in`.
fn is_written(formula: &str) -> bool {
    let number = |text: &str| literal(text.trim().trim_start_matches('-').trim_start()).is_ok();
    let words = formula.strip_prefix('"').and_then(|rest| rest.strip_suffix('"'));
    formula.split('±').all(number) || size(formula).is_ok() || words.is_some_and(|words| !words.contains('"'))
}

/// `; planned 53 in`
fn planned(step: &WorkStep) -> String {
    step.planned.as_ref().map_or(String::new(), |planned| format!("; planned {}", figure_text(planned)))
}

fn place(step: &WorkStep) -> Option<String> {
    step.place.as_ref().map(|place| format!("{}, line {}", place.file, place.line))
}

/// What a step is of, and where its formula is.
fn heading(step: &WorkStep) -> String {
    let label = match step.kind {
        StepKind::Item => format!("with {}", step.label.as_deref().unwrap_or("")),
        _ => step.label.as_deref().unwrap_or("the sum").to_owned(),
    };
    match (step.kind, place(step)) {
        (StepKind::Rule, Some(place)) => format!("{label}, by the rule in {place}"),
        (StepKind::Found, Some(place)) => format!("{label} = {}, found in {place}", result(step)),
        (StepKind::Measured, Some(place)) => format!("{label}, as measured in {place}{}", planned(step)),
        (StepKind::Given, Some(place)) => format!("{label}, given in {place}"),
        (_, Some(place)) => format!("{label}, {place}"),
        (_, None) => label,
    }
}

/// A step that has nothing to work out: what was given, or written as a number.
fn on_one_line(step: &WorkStep) -> Option<String> {
    let label = step.label.as_deref().unwrap_or("the sum");
    let shown = figure_text(&step.value);
    let plain = step.parts.is_empty() && step.because.is_empty();
    let plain = plain && step.filled.as_deref().is_none_or(|filled| filled == shown || says(&shown, filled));
    if !plain {
        return None;
    }
    let result = result(step);
    let from = match step.kind {
        StepKind::Given => ", given",
        StepKind::Set => ", set for this docket",
        StepKind::Setting => ", as set",
        StepKind::Measured => ", as measured",
        _ => "",
    };
    let words = step.words.as_deref().map_or(String::new(), |words| format!(": {words}"));
    let sum = |formula: &str| match step.kind {
        StepKind::Inner => formula.contains(['+', '*', '(', '{', '[']),
        _ => formula != result && !is_written(formula),
    };
    if matches!(step.kind, StepKind::Rule | StepKind::Found) || step.formula.as_deref().is_some_and(sum) {
        return None;
    }
    let place = place(step).map_or(String::new(), |place| format!(" ({place})"));
    let place = format!("{place}{}", planned(step));
    // `shrink_across = shrink = 4%`
    let name = step.formula.as_deref().filter(|formula| *formula != result && step.kind == StepKind::Inner);
    let name = name.map_or(String::new(), |formula| format!(" = {formula}"));
    Some(format!("{label}{name} = {result}{from}{words}{place}"))
}
