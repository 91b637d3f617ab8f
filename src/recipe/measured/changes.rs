//! What the measured way changed beside the planned one.

use std::collections::HashSet;
use std::rc::Rc;

use crate::docket::{AlreadyCut, Change, Docket, Figure, FigureValue, Made, Measured};
use crate::measure::{Manner, Quantity};
use crate::recipe::build::Recipe;
use crate::recipe::lines::Compiled;
use crate::recipe::lines::maker::Run;
use crate::recipe::measured::corrections::{PUT_RIGHT, RECUT, corrections};
use crate::recipe::measured::follow::Follow;
use crate::value::data::Value;

/// A list whose items changed is reported item by item up to here.
const MOST_ITEMS: usize = 12;

/// How many values are compared in all; names of lists beyond that are passed over.
const MOST_COMPARED: u64 = 1_000_000;

/// All that is to be reported of what was measured.
pub(crate) fn told(
    recipe: &Recipe,
    follow: Follow,
    planned: &Run,
    before: &[Value],
    docket: &Docket,
) -> Measured {
    let name =
        |slot: u32| recipe.names.globals.get(slot as usize).map_or("".into(), |entry| entry.name.clone());
    let made = follow.made.iter().map(|made| {
        let figure = |value: &Value| Figure { value: value.to_figure(), manner: made.settings.manner };
        Made {
            name: name(made.slot),
            planned: figure(&made.planned),
            made: figure(&made.made),
            corrections: corrections(PUT_RIGHT, &made.planned, &made.made, &made.settings),
        }
    });
    let mut measured = Measured { made: made.collect(), ..Measured::default() };
    if !follow.whole {
        measured.unplanned = true;
        return measured;
    }
    let settings = follow.made.last().map(|made| made.settings.clone()).unwrap_or_default();
    let manner = recipe.machine.settings.manner;
    let mut changes = Vec::new();
    let mut left = MOST_COMPARED;
    let slots = recipe.lines.iter().filter_map(|line| line.act.gives());
    for slot in slots.filter(|slot| follow.made.iter().all(|made| made.slot != *slot)) {
        let pair = (before.get(slot as usize), recipe.machine.globals.get(slot as usize));
        if let (Some(before), Some(after)) = pair {
            let weight = before.weight().saturating_add(after.weight());
            let Some(less) = left.checked_sub(weight) else { continue };
            left = less;
            changed(&name(slot), &before.to_figure(), &after.to_figure(), &manner, &mut changes);
        }
    }
    // The parts of a record are reported one by one, a size as a whole.
    let by_name = |line: &&Compiled| {
        line.act.shows().is_some_and(|(slot, part)| {
            !part || matches!(recipe.machine.globals.get(slot as usize), Some(Value::Record(_)))
        })
    };
    let told = recipe.lines.iter().filter(by_name).map(Compiled::row).collect();
    in_dockets(&planned.docket, docket, &told, &mut changes);
    for cut in &follow.cuts {
        let (was, now) = (cut.cut.1.to_figure(), cut.now.to_figure());
        if !same(&was, &now) {
            let figure = |value| Figure { value, manner: cut.manner };
            measured.cut.push(AlreadyCut {
                label: cut.label.clone(),
                cut: figure(was),
                now: figure(now),
                corrections: corrections(RECUT, &cut.cut.1, &cut.now, &settings),
            });
            continue;
        }
        if let Some(plan) = follow.planned.iter().find(|plan| plan.span == cut.span) {
            let manner = &cut.manner;
            let what = format!("{}, cut size", cut.label);
            changed(&what, &plan.cut.1.to_figure(), &was, manner, &mut changes);
            let what = format!("{}, how many", cut.label);
            changed(&what, &plan.cut.0.to_figure(), &cut.cut.0.to_figure(), manner, &mut changes);
        }
    }
    measured.changes = changes;
    let steps = (1..).zip(planned.docket.steps.iter().zip(&docket.steps));
    measured.steps = steps.filter(|(_, (plan, now))| plan.words != now.words).map(|(at, _)| at).collect();
    measured
}

/// What the two dockets show, buy and pay otherwise, entry by entry of the same line; `told` are the rows of lines that show
/// what a name has shown already.
fn in_dockets(before: &Docket, after: &Docket, told: &HashSet<usize>, out: &mut Vec<Change>) {
    let mut figures = |what: &str, before: &Figure, after: &Figure| {
        changed(what, &before.value, &after.value, &after.manner, out);
    };
    for now in after.shows.iter().filter(|now| !told.contains(&now.line)) {
        if let Some(plan) = before.shows.iter().find(|plan| plan.line == now.line) {
            figures(&now.label, &plan.value, &now.value);
        }
    }
    for now in &after.cloths {
        if let Some(plan) = before.cloths.iter().find(|plan| plan.cloth == now.cloth) {
            figures(&format!("{}, to buy", now.cloth), &plan.buy, &now.buy);
        }
    }
    for now in &after.buys {
        if let Some(plan) = before.buys.iter().find(|plan| plan.line == now.line) {
            figures(&format!("{}, to buy", now.label), &plan.buy, &now.buy);
        }
    }
    let totals = before.totals.iter().zip(&after.totals);
    totals.for_each(|(plan, now)| figures("total", plan, now));
}

/// Each number in which two values differ, part by part.
pub(crate) fn changed(
    what: &str,
    before: &FigureValue,
    after: &FigureValue,
    manner: &Manner,
    out: &mut Vec<Change>,
) {
    if same(before, after) {
        return;
    }
    match (before, after) {
        (FigureValue::Record(a), FigureValue::Record(b)) if a.len() == b.len() => {
            for ((name, a), (_, b)) in a.iter().zip(b) {
                changed(&format!("{what}.{name}"), a, b, manner, out);
            }
        }
        (FigureValue::List(a), FigureValue::List(b)) if a.len() == b.len() && a.len() <= MOST_ITEMS => {
            for (at, (a, b)) in (1..).zip(a.iter().zip(b)) {
                changed(&format!("{what}[{at}]"), a, b, manner, out);
            }
        }
        _ => {
            let figure = |value: &FigureValue| Figure { value: value.clone(), manner: *manner };
            let what: Rc<str> = what.into();
            out.push(Change { what, before: figure(before), after: figure(after) });
        }
    }
}

/// Whether two values are the same; approximate ones where their bounds are.
fn same(a: &FigureValue, b: &FigureValue) -> bool {
    let all =
        |a: &[FigureValue], b: &[FigureValue]| a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b));
    match (a, b) {
        (FigureValue::Measure(a), FigureValue::Measure(b)) => alike(a, b),
        (FigureValue::Size(a), FigureValue::Size(b)) => alike(&a.0, &b.0) && alike(&a.1, &b.1),
        (FigureValue::Slack(a), FigureValue::Slack(b)) => {
            alike(&a.middle, &b.middle) && alike(&a.slack, &b.slack)
        }
        (FigureValue::SlackSize(a), FigureValue::SlackSize(b)) => [(&a.0, &b.0), (&a.1, &b.1)]
            .iter()
            .all(|(a, b)| alike(&a.middle, &b.middle) && alike(&a.slack, &b.slack)),
        (FigureValue::Text(a), FigureValue::Text(b)) => a == b,
        (FigureValue::YesNo(a), FigureValue::YesNo(b)) => a == b,
        (FigureValue::List(a), FigureValue::List(b)) => all(a, b),
        (FigureValue::Record(a), FigureValue::Record(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|((n, a), (m, b))| n == m && same(a, b))
        }
        _ => false,
    }
}

fn alike(a: &Quantity, b: &Quantity) -> bool {
    a.dim == b.dim && a.number.lower() == b.number.lower() && a.number.upper() == b.number.upper()
}
